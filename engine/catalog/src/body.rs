//! Body sizes of people, by population.

use crate::Source;

/// Whose body.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Sex {
    /// Men.
    Men,
    /// Women.
    Women,
}

/// Both with their words in data files.
pub const SEXES: [(Sex, &str); 2] = [(Sex::Men, "men"), (Sex::Women, "women")];

impl Sex {
    /// The word for it.
    pub fn word(self) -> &'static str {
        SEXES.iter().find(|(sex, _)| *sex == self).map_or("", |(_, word)| word)
    }
}

/// What is measured of a body, barefoot and unclothed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum BodyMeasure {
    /// Floor to crown, standing.
    Stature,
    /// Floor to the underside of the thigh behind the knee.
    PoplitealHeight,
    /// Back of the buttock to the back of the knee.
    ButtockPoplitealLength,
    /// Hips, sitting.
    HipBreadth,
    /// Seat to the underside of the elbow.
    ElbowRestHeight,
    /// Seat to the shoulder.
    ShoulderHeight,
    /// Seat to the crown.
    SittingHeight,
    /// Seat to the top of the thigh.
    ThighClearance,
    /// Over both upper arms.
    ShoulderBreadth,
}

/// Every measure with its word in data files.
pub const BODY_MEASURES: [(BodyMeasure, &str); 9] = [
    (BodyMeasure::Stature, "stature"),
    (BodyMeasure::PoplitealHeight, "popliteal height"),
    (BodyMeasure::ButtockPoplitealLength, "buttock popliteal length"),
    (BodyMeasure::HipBreadth, "hip breadth sitting"),
    (BodyMeasure::ElbowRestHeight, "elbow rest height"),
    (BodyMeasure::ShoulderHeight, "shoulder height sitting"),
    (BodyMeasure::SittingHeight, "sitting height"),
    (BodyMeasure::ThighClearance, "thigh clearance"),
    (BodyMeasure::ShoulderBreadth, "shoulder breadth"),
];

impl BodyMeasure {
    /// The word for it.
    pub fn word(self) -> &'static str {
        BODY_MEASURES.iter().find(|(measure, _)| *measure == self).map_or("", |(_, word)| word)
    }
}

/// One body size of one sex of a population, taken as normally distributed.
#[derive(Clone, Debug, PartialEq)]
pub struct BodySize {
    /// Population: `us_army`.
    pub population: String,
    /// Sex.
    pub sex: Sex,
    /// What is measured.
    pub measure: BodyMeasure,
    /// Mean, mm.
    pub mean: f64,
    /// Standard deviation, mm.
    pub deviation: f64,
    /// Where the figures come from.
    pub source: Source,
}

impl BodySize {
    /// Whether it is of the same people and the same measure.
    pub(crate) fn is_of_same(&self, other: &BodySize) -> bool {
        (&self.population, self.sex, self.measure) == (&other.population, other.sex, other.measure)
    }
}
