//! Specific gravity, density and weight of wood at any moisture.

use super::given::Given;
use super::moisture::MOST_MOISTURE;
use super::units::{GRAVITY, KG_PER_CUBIC_METRE};
use slatwork_base::Outcome;

/// Specific gravity of the cell wall itself, which no wood exceeds (Wood Handbook Eq 4-3, read).
const CELL_WALL: f64 = 1.54;
/// Mass of water, and so of wood of specific gravity 1, kg/m3.
const WATER: f64 = 1_000.0;
/// Moisture above which wood no longer swells where the species is not known, percent (Wood Handbook Eq 4-13, read).
const FIBRE_SATURATION: f64 = 30.0;

fn look(given: &mut Given, gravity: f64, moisture: f64) {
    given.positive("specific gravity", gravity).within("specific gravity", gravity, 0.0, CELL_WALL);
    given.within("moisture in percent", moisture, 0.0, MOST_MOISTURE);
}

/// Specific gravity on the volume at a moisture in percent, from the green one: Gb/(1 - 0.265 Gb (1 - x/30)), from 30 % on
/// Gb (Wood Handbook Eq 4-13, read). Extractives of tropical woods make it approximate.
pub fn gravity_at(green: f64, moisture: f64) -> Outcome<f64> {
    let mut given = Given::new();
    look(&mut given, green, moisture);
    given.settle(|| {
        let dried = 1.0 - moisture.min(FIBRE_SATURATION) / FIBRE_SATURATION;
        green / (1.0 - 0.265 * green * dried)
    })
}

/// The same where the shrinkage of the volume down to that moisture is known, in percent of the green volume (Wood Handbook
/// beside Eq 4-13, read).
pub fn gravity_shrunk(green: f64, volume_lost: f64) -> Outcome<f64> {
    let mut given = Given::new();
    look(&mut given, green, 0.0);
    given.within("shrinkage of the volume in percent", volume_lost, 0.0, 50.0);
    given.settle(|| green / (1.0 - volume_lost / 100.0))
}

/// Density in kg/m3 from the specific gravity on the volume at that moisture: 1000 Gx (1 + x/100) (Wood Handbook Eq 4-14,
/// read).
pub fn density(gravity: f64, moisture: f64) -> Outcome<f64> {
    let mut given = Given::new();
    look(&mut given, gravity, moisture);
    given.settle(|| WATER * gravity * (1.0 + moisture / 100.0))
}

/// The most moisture that wood can hold, percent: 100 (1.54 - Gb)/(1.54 Gb) (Wood Handbook Eq 4-3, read).
pub fn most_moisture(green: f64) -> Outcome<f64> {
    let mut given = Given::new();
    look(&mut given, green, 0.0);
    given.settle(|| 100.0 * (CELL_WALL - green) / (CELL_WALL * green))
}

/// Weight in N of a volume in mm3 of a density in kg/m3.
pub fn weight(volume: f64, density: f64) -> Outcome<f64> {
    Given::new()
        .not_negative("volume", volume)
        .positive("density", density)
        .settle(|| volume * density * KG_PER_CUBIC_METRE * GRAVITY)
}
