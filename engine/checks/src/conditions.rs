//! What a piece lives in: air, weather, glue. Nothing of it is part of the design itself.

use crate::statics::moisture::{self, Air};
use core::fmt::{self, Display, Formatter};
use slatwork_base::Outcome;

/// Air of a place between its driest and its dampest month, and the moisture of the wood when it is worked.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Climate {
    /// Name ("temperate").
    pub name: &'static str,
    /// Monthly mean air when wood is driest.
    pub dry: Air,
    /// Monthly mean air when wood is dampest.
    pub damp: Air,
    /// Moisture of the wood at the bench, percent.
    pub at_bench: f64,
}

const fn air(humidity: f64, celsius: f64) -> Air {
    Air { humidity, celsius }
}

/// Named examples of monthly means (project choice): the figures of the very place are better. Most wood under cover outdoors
/// sits near 12 % (Wood Handbook chapter 4, from memory), which is how it comes to the bench.
pub const CLIMATES: [Climate; 4] = [
    Climate { name: "temperate", dry: air(0.60, 20.0), damp: air(0.85, 4.0), at_bench: 12.0 },
    Climate { name: "damp coast", dry: air(0.70, 16.0), damp: air(0.90, 6.0), at_bench: 14.0 },
    Climate { name: "dry inland", dry: air(0.25, 28.0), damp: air(0.60, 2.0), at_bench: 9.0 },
    Climate { name: "humid south", dry: air(0.65, 14.0), damp: air(0.82, 27.0), at_bench: 13.0 },
];

impl Climate {
    /// The example of that name.
    pub fn named(name: &str) -> Option<Climate> {
        CLIMATES.into_iter().find(|climate| climate.name == name)
    }

    /// Moistures that wood comes to under cover.
    pub fn range(&self) -> Outcome<moisture::Range> {
        moisture::climate(&[self.dry, self.damp])
    }
}

/// How much weather reaches the piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Exposure {
    /// Under a roof that keeps rain off.
    Covered,
    /// Rain and sun.
    Exposed,
}

impl Exposure {
    /// Where it stands, in words.
    pub fn words(self) -> &'static str {
        match self {
            Exposure::Covered => "under a roof",
            Exposure::Exposed => "in the rain",
        }
    }
}

/// Classes of glue, from the least to the most weather that they bear.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum GlueClass {
    /// EN 204 D1 or D2: indoors.
    Indoor,
    /// EN 204 D3, ANSI/HPVA Type II: sheltered.
    Sheltered,
    /// EN 204 D4, ANSI/HPVA Type I: outdoors under a finish.
    Exposed,
    /// Resorcinol, epoxy, EN 301 type I.
    Structural,
}

impl GlueClass {
    /// What it is meant for, in words.
    pub fn meant_for(self) -> &'static str {
        match self {
            GlueClass::Indoor => "indoors",
            GlueClass::Sheltered => "sheltered places",
            GlueClass::Exposed => "outdoors under a finish",
            GlueClass::Structural => "the open without a finish",
        }
    }
}

/// What keeps rot from the wood, put in before it is bought.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Preservative {
    /// None: the wood as it grew.
    None,
    /// Copper based (ACQ, CA, MCA).
    Copper,
    /// Borate: washes out in rain.
    Borate,
    /// Creosote, pentachlorophenol, or CCA of old stock: not for what bare skin touches.
    Harmful,
}

impl Preservative {
    /// What it is, in words.
    pub fn words(self) -> &'static str {
        match self {
            Preservative::None => "none",
            Preservative::Copper => "copper",
            Preservative::Borate => "borate",
            Preservative::Harmful => "harmful to bare skin",
        }
    }
}

/// What a piece lives in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Conditions {
    /// Air of the place.
    pub climate: Climate,
    /// Weather.
    pub exposure: Exposure,
    /// Salt in the air: within 5 miles of salt water, or by a pool.
    pub salt: bool,
    /// Class of the glue; what stays unsaid is not judged.
    pub glue: Option<GlueClass>,
    /// What the wood is treated with.
    pub preservative: Preservative,
}

/// Rain wets what is exposed beyond what air does: reckoned with the moisture from which wood is in wet service, percent
/// (NDS-2018 4.1.4, from memory; that slats in the rain reach it is a project choice).
const RAINED_ON: f64 = 19.0;

impl Conditions {
    /// Between what moistures the wood moves; the mean is that at the bench.
    pub fn moisture(&self) -> Outcome<moisture::Range> {
        let rain = if self.exposure == Exposure::Exposed { RAINED_ON } else { 0.0 };
        let at_bench = self.climate.at_bench;
        self.climate.range().map(|air| moisture::Range {
            driest: air.driest.min(at_bench),
            wettest: air.wettest.max(rain).max(at_bench),
            mean: at_bench,
        })
    }
}

/// "temperate air, in the rain, away from salt; glue not said; wood not treated".
impl Display for Conditions {
    fn fmt(&self, out: &mut Formatter) -> fmt::Result {
        let salt = if self.salt { "salt near" } else { "away from salt" };
        write!(out, "{} air, {}, {salt}; ", self.climate.name, self.exposure.words())?;
        match self.glue {
            Some(glue) => write!(out, "glue for {}; ", glue.meant_for())?,
            None => write!(out, "glue not said; ")?,
        }
        match self.preservative {
            Preservative::None => write!(out, "wood not treated"),
            treated => write!(out, "treatment of the wood: {}", treated.words()),
        }
    }
}

impl Default for Conditions {
    fn default() -> Self {
        Conditions {
            climate: CLIMATES[0],
            exposure: Exposure::Exposed,
            salt: false,
            glue: None,
            preservative: Preservative::None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn they_are_told_in_words() {
        assert_eq!(
            Conditions::default().to_string(),
            "temperate air, in the rain, away from salt; glue not said; wood not treated"
        );
        let other = Conditions {
            exposure: Exposure::Covered,
            salt: true,
            glue: Some(GlueClass::Exposed),
            preservative: Preservative::Borate,
            ..Conditions::default()
        };
        let words = "temperate air, under a roof, salt near; glue for outdoors under a finish; treatment of the wood: borate";
        assert_eq!(other.to_string(), words);
    }

    #[test]
    fn every_named_climate_has_a_range_round_the_bench() {
        for climate in CLIMATES {
            let range = climate.range().value.expect("air within the equation's range");
            assert!(
                range.driest < climate.at_bench && climate.at_bench < range.wettest,
                "{climate:?} {range:?}"
            );
            assert_eq!(Climate::named(climate.name), Some(climate));
        }
    }
}
