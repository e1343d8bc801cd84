//! Wood species: weight, clear-wood strength, movement, durability.

use crate::Source;

/// How well the heartwood stands up to decay.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Decay {
    /// Slightly or not resistant.
    Slight,
    /// Moderately resistant.
    Moderate,
    /// Resistant or very resistant.
    Resistant,
}

/// Every decay class with its word in data files.
pub const DECAY_CLASSES: [(Decay, &str); 3] =
    [(Decay::Slight, "slight"), (Decay::Moderate, "moderate"), (Decay::Resistant, "resistant")];

/// Mean strength of small clear pieces at 12 % moisture: never a design value.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ClearWood {
    /// Modulus of elasticity in bending, MPa.
    pub elasticity_mpa: f64,
    /// Modulus of rupture, MPa.
    pub rupture_mpa: f64,
    /// Shear along the grain, MPa.
    pub shear_mpa: f64,
    /// Compression along the grain, MPa.
    pub compression_mpa: f64,
    /// Compression across the grain, MPa, where the source gives it.
    pub compression_across_mpa: Option<f64>,
    /// Side hardness, N.
    pub hardness_n: f64,
}

/// Shrinkage from green to oven-dry, percent of the green size.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Shrinkage {
    /// Across the growth rings.
    pub radial: f64,
    /// Along the growth rings.
    pub tangential: f64,
    /// Of the volume.
    pub volumetric: f64,
}

/// One species of wood.
#[derive(Clone, Debug, PartialEq)]
pub struct Species {
    /// Stable name in scripts and orders: `white_oak`.
    pub id: String,
    /// Common name: `white oak`.
    pub name: String,
    /// Other names that find it.
    pub aliases: Vec<String>,
    /// Botanical name.
    pub botanical: String,
    /// Whether it is a hardwood.
    pub hardwood: bool,
    /// Specific gravity on oven-dry mass and green volume.
    pub gravity_green: f64,
    /// Specific gravity on oven-dry mass and volume at 12 %, where the source gives it.
    pub gravity_12: Option<f64>,
    /// Clear-wood means.
    pub clear: ClearWood,
    /// Movement.
    pub shrinkage: Shrinkage,
    /// Moisture above which the wood no longer swells, percent.
    pub fibre_saturation: f64,
    /// Decay resistance of the heartwood.
    pub decay: Decay,
    /// What to know about its durability, in words.
    pub decay_note: String,
    /// Whether its tannin or acid stains with plain steel and eats it.
    pub tannic: bool,
    /// Species group in the tables of design values; `None` when no values are published.
    pub design_group: Option<String>,
    /// Specific gravity for connections, on oven-dry mass and volume, where a table gives it.
    pub design_gravity: Option<f64>,
    /// Where the figures come from.
    pub source: Source,
}

/// Moisture at which the tables give specific gravity and strength, percent.
const TABLE_MOISTURE: f64 = 12.0;

impl Species {
    /// The id of a wood that is given by its name alone: `Lake cypress` becomes `lake_cypress`.
    pub fn id_of(name: &str) -> String {
        species_key(name).replace(' ', "_")
    }

    /// Density at 12 % moisture, kg/m3: 1000 G12 (1 + 0.12) (Wood Handbook FPL-GTR-282 Eq 4-14).
    pub fn density_kg_m3(&self) -> f64 {
        self.density_at(TABLE_MOISTURE)
    }

    /// Density at a moisture content in percent, kg/m3: 1000 Gx (1 + x/100) (Wood Handbook Eq 4-14).
    pub fn density_at(&self, moisture: f64) -> f64 {
        1000.0 * self.gravity_at(moisture) * (1.0 + moisture / 100.0)
    }

    /// Specific gravity on oven-dry mass and the volume at a moisture content in percent: the green one over
    /// (1 - Sx/100), as the Wood Handbook gives beside Eq 4-13, put through the printed 12 % figure where there is one.
    pub fn gravity_at(&self, moisture: f64) -> f64 {
        let left = |moisture: f64| 1.0 - self.volume_lost(moisture) / 100.0;
        match self.gravity_12 {
            Some(gravity) => gravity * left(TABLE_MOISTURE) / left(moisture),
            None => self.gravity_green / left(moisture),
        }
    }

    /// Volume lost from green down to a moisture content, percent (Wood Handbook Eq 4-9).
    fn volume_lost(&self, moisture: f64) -> f64 {
        let dry = 1.0 - moisture.clamp(0.0, self.fibre_saturation) / self.fibre_saturation;
        self.shrinkage.volumetric * dry
    }

    /// Specific gravity for connections, oven-dry: from the design table, else by shrinkage from green.
    pub fn connection_gravity(&self) -> f64 {
        self.design_gravity.unwrap_or_else(|| self.gravity_at(0.0))
    }
}

/// The name with case, underscores, hyphens and commas out of the way: `White_Oak` is `white oak`.
pub(crate) fn species_key(name: &str) -> String {
    let spaced: String = name.chars().map(|c| if c.is_alphanumeric() { c } else { ' ' }).collect();
    spaced.to_lowercase().split_whitespace().collect::<Vec<_>>().join(" ")
}
