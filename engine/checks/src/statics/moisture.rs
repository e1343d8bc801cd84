//! What moisture wood takes from the air, and how it moves with it. Moisture and shrinkage are in percent.

use super::given::Given;
use slatwork_base::formula::{Equation, Expression, NamedNumber, Unit, least};
use slatwork_base::{Outcome, maths};

/// Temperatures in degrees C between which the equation is held to its table: 30 to 130 F is what was compared.
const COLDEST: f64 = -1.2;
const HOTTEST: f64 = 54.5;
/// Beyond these degrees C the equation itself turns over.
const LEAST_TEMPERATURE: f64 = -40.0;
const MOST_TEMPERATURE: f64 = 110.0;
/// Relative humidity short of which the equation is meant; at 1 wood gets wet by drops, not by air.
const MOST_HUMIDITY: f64 = 0.999;

/// More moisture than this, percent, is a slip: the wettest green wood of the Wood Handbook's Table 4-1 is sapwood of western red
/// cedar, 249 % (from memory; the limit itself is a project choice).
pub const MOST_MOISTURE: f64 = 300.0;

/// Moisture that wood comes to in air of a relative humidity (0 to 1) and a temperature in degrees C (Wood Handbook
/// FPL-GTR-282 Eq 4-5, read). Outdoors, rain adds to it.
pub fn equilibrium(humidity: f64, celsius: f64) -> Outcome<f64> {
    Given::new()
        .within("relative humidity", humidity, 0.0, MOST_HUMIDITY)
        .within("temperature in degrees C", celsius, LEAST_TEMPERATURE, MOST_TEMPERATURE)
        .tried_within("temperature in degrees C", celsius, COLDEST, HOTTEST)
        .settle(|| equilibrium_at(humidity, celsius))
}

fn equilibrium_at(h: f64, t: f64) -> f64 {
    let w = 349.0 + 1.29 * t + 0.0135 * t * t;
    let k = 0.805 + 0.000_736 * t - 0.000_002_73 * t * t;
    let k1 = 6.27 - 0.009_38 * t - 0.000_303 * t * t;
    let k2 = 1.91 + 0.0407 * t - 0.000_293 * t * t;
    let kh = k * h;
    let (one, two) = (k1 * kh, k1 * k2 * kh * kh);
    1_800.0 / w * (kh / (1.0 - kh) + (one + 2.0 * two) / (1.0 + one + two))
}

/// The same by the later equation (Glass 2014, Wood Handbook Eq 4-6, read): an independent second opinion.
pub fn equilibrium_later(humidity: f64, celsius: f64) -> Outcome<f64> {
    // The equation has no value at nothing and at one.
    Given::new()
        .within("relative humidity", humidity, 0.001, MOST_HUMIDITY)
        .within("temperature in degrees C", celsius, LEAST_TEMPERATURE, MOST_TEMPERATURE)
        .settle(|| {
            let t = celsius + ABSOLUTE_ZERO;
            let base = -0.000_612 * t * maths::powf(1.0 - t / 647.1, 2.43) * maths::ln(1.0 - humidity);
            100.0 * maths::powf(base, 0.0577 * maths::powf(t, 0.430))
        })
}

/// Degrees K at 0 degrees C.
const ABSOLUTE_ZERO: f64 = 273.15;

/// Air at one time of the year.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Air {
    /// Relative humidity, 0 to 1.
    pub humidity: f64,
    /// Temperature, degrees C.
    pub celsius: f64,
}

/// Between what moistures wood moves.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Range {
    /// Driest.
    pub driest: f64,
    /// Wettest.
    pub wettest: f64,
    /// Mean over the times given.
    pub mean: f64,
}

/// The moistures that wood under cover comes to over a year: monthly means of the place give monthly moistures. Thick pieces
/// lag behind and stay within.
pub fn climate(year: &[Air]) -> Outcome<Range> {
    let mut given = Given::new();
    given.positive("number of months", year.len() as f64);
    let found: Vec<f64> =
        year.iter().filter_map(|air| given.take(equilibrium(air.humidity, air.celsius))).collect();
    given.settle(|| Range {
        driest: found.iter().copied().fold(f64::INFINITY, f64::min),
        wettest: found.iter().copied().fold(f64::NEG_INFINITY, f64::max),
        mean: found.iter().sum::<f64>() / found.len() as f64,
    })
}

/// How a wood moves: shrinkage from green to oven-dry, percent of the green size.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Movement {
    /// Across the growth rings: the width of a quarter-sawn board.
    pub radial: f64,
    /// Along the growth rings: the width of a flat-sawn board.
    pub tangential: f64,
    /// Moisture above which it no longer swells: 30, and 22 for redwood, western red cedar and northern white cedar (from
    /// memory; they give the Handbook's coefficients of change).
    pub fibre_saturation: f64,
}

/// How a board was sawn from its log.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sawn {
    /// Rings run along the width; also where it is not known.
    Flat,
    /// Rings run along the thickness.
    Quarter,
}

impl Movement {
    fn look(&self, given: &mut Given) {
        given.within("radial shrinkage in percent", self.radial, 0.0, MOST_SHRINKAGE);
        given.within("tangential shrinkage in percent", self.tangential, 0.0, MOST_SHRINKAGE);
        given.within("fibre saturation in percent", self.fibre_saturation, 15.0, 40.0);
    }

    /// Shrinkage of the width of a board so sawn.
    pub fn of_width(&self, sawn: Sawn) -> f64 {
        if sawn == Sawn::Flat { self.tangential } else { self.radial }
    }

    /// Shrinkage of its thickness.
    pub fn of_thickness(&self, sawn: Sawn) -> f64 {
        if sawn == Sawn::Flat { self.radial } else { self.tangential }
    }
}

/// No wood shrinks more, percent.
const MOST_SHRINKAGE: f64 = 25.0;

/// Shrinkage from green down to a moisture: S0 (1 - x/MCfs), nothing above fibre saturation (Wood Handbook Eq 4-9, read).
pub fn shrinkage(to_dry: f64, fibre_saturation: f64, moisture: f64) -> Outcome<f64> {
    let movement = Movement { radial: to_dry, tangential: to_dry, fibre_saturation };
    let mut given = Given::new();
    movement.look(&mut given);
    given.within("moisture in percent", moisture, 0.0, MOST_MOISTURE);
    given.settle(|| shrunk(to_dry, fibre_saturation, moisture))
}

fn shrunk(to_dry: f64, fibre_saturation: f64, moisture: f64) -> f64 {
    to_dry * (1.0 - moisture.min(fibre_saturation) / fibre_saturation)
}

/// How a board changes between two moistures.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Change {
    /// Change of the width, mm: greater than zero when it swells.
    pub width: f64,
    /// Change of the thickness, mm.
    pub thickness: f64,
    /// How much more, in percent of the width, the side with the rings along it moves than the other: what cups a board.
    pub cup: f64,
}

/// How a board of a width and thickness in mm at one moisture changes on its way to another: the ratio of two shrinkages, which
/// is the form D (Mf - Mi)/(100 MCfs/S0 - MCfs + Mi) of Wood Handbook Eq 13-2 (form from memory).
pub fn change(
    movement: &Movement,
    sawn: Sawn,
    (width, thickness): (f64, f64),
    (from, to): (f64, f64),
) -> Outcome<Change> {
    let mut given = Given::new();
    movement.look(&mut given);
    given.positive("width", width).positive("thickness", thickness);
    given.within("moisture at first", from, 0.0, MOST_MOISTURE);
    given.within("moisture in the end", to, 0.0, MOST_MOISTURE);
    given.settle(|| {
        let part = |to_dry: f64| changed(to_dry, movement.fibre_saturation, from, to);
        Change {
            width: width * part(movement.of_width(sawn)),
            thickness: thickness * part(movement.of_thickness(sawn)),
            cup: 100.0 * (part(movement.tangential) - part(movement.radial)),
        }
    })
}

/// Change of the width as an equation: what [`change`] comes to. The symbols of one board are told from those of another by its number.
pub fn change_equation(
    movement: &Movement,
    sawn: Sawn,
    (width, [from, to]): (f64, [&NamedNumber; 2]),
    (board, changes): (&str, f64),
) -> Equation {
    let named = |symbol: &str, meaning: String, value, unit| {
        NamedNumber::new(format!("{symbol}{board}"), meaning, value, unit)
    };
    let width = named("w", format!("width of board {board}"), width, Unit::Length);
    let whole = "shrinkage of the width from green to oven-dry";
    let shrinks = named("S", format!("{whole}, board {board}"), movement.of_width(sawn), Unit::Percent);
    let meaning = format!("moisture above which it no longer swells, board {board}");
    let full = named("M", meaning, movement.fibre_saturation, Unit::Percent);
    let left = |moisture: &NamedNumber| {
        let counted = if moisture.value > full.value {
            least([moisture.into(), (&full).into()])
        } else {
            moisture.into()
        };
        Expression::Number(100.0, Unit::Percent) - &shrinks * (1.0 - counted / &full)
    };
    let changes = named("Δ", format!("swelling of board {board}"), changes, Unit::Length);
    Equation::of(changes, &width * (left(to) / left(from) - 1.0))
}

/// Change in parts of the size at `from`.
fn changed(to_dry: f64, fibre_saturation: f64, from: f64, to: f64) -> f64 {
    let left = |moisture: f64| 1.0 - shrunk(to_dry, fibre_saturation, moisture) / 100.0;
    left(to) / left(from) - 1.0
}

/// Change per percent of moisture about 10 %, in parts of the size: 1/(100 MCfs/S0 - MCfs + 10), for 6 to 14 % (Wood Handbook
/// Table 13-5, from memory).
pub fn coefficient(to_dry: f64, fibre_saturation: f64) -> Outcome<f64> {
    Given::new()
        .positive("shrinkage in percent", to_dry)
        .within("shrinkage in percent", to_dry, 0.0, MOST_SHRINKAGE)
        .within("fibre saturation in percent", fibre_saturation, 15.0, 40.0)
        .settle(|| 1.0 / (100.0 * fibre_saturation / to_dry - fibre_saturation + 10.0))
}

/// Shrinkage of dimension lumber from green to a moisture of 8 to 19 %: of its width and of its thickness (FPL-RP-489, read).
pub fn dimension_lumber(moisture: f64) -> Outcome<(f64, f64)> {
    Given::new()
        .within("moisture in percent", moisture, 8.0, 19.0)
        .settle(|| (6.031 - 0.215 * moisture, 5.062 - 0.181 * moisture))
}
