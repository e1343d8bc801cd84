//! What a piece lives in: air, weather, glue. Nothing of it is part of the design itself.

use crate::statics::moisture::{self, Air};
use core::fmt::{self, Display, Formatter};
use slatwork_base::Outcome;
use slatwork_model::Site;

/// Air of a place between its driest and its dampest month, and the moisture of the wood when it is worked.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Climate {
    /// Name of the example ("temperate"); nothing where its air is given.
    pub name: Option<&'static str>,
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
    Climate { name: Some("temperate"), dry: air(0.60, 20.0), damp: air(0.85, 4.0), at_bench: 12.0 },
    Climate { name: Some("damp coast"), dry: air(0.70, 16.0), damp: air(0.90, 6.0), at_bench: 14.0 },
    Climate { name: Some("dry inland"), dry: air(0.25, 28.0), damp: air(0.60, 2.0), at_bench: 9.0 },
    Climate { name: Some("humid south"), dry: air(0.65, 14.0), damp: air(0.82, 27.0), at_bench: 13.0 },
];

/// Temperature of air of which only the humidity is given, degrees C (project choice: that of the tables).
const USUAL_CELSIUS: f64 = 20.0;

/// How the air of a place is written.
pub const AIR_FORMAT: &str = "write its air as LOW..HIGH% of relative humidity, with temperatures if they are known: \"30..80%\", \"30..80% 5..30C\"";

impl Climate {
    /// The example of that name.
    pub fn named(name: &str) -> Option<Climate> {
        CLIMATES
            .into_iter()
            .find(|climate| climate.name.is_some_and(|own| own.eq_ignore_ascii_case(name.trim())))
    }

    /// An example by its name, or the air of the place: "30..80%", "30..80% 5..30C", "30..80% 40..85F".
    ///
    /// # Errors
    /// What is wrong with it, in words.
    pub fn read(text: &str) -> Result<Climate, String> {
        Climate::named(text).map_or_else(|| Climate::of_air(text), Ok)
    }

    /// Wood is driest where air is dry and warm, and wettest where it is damp and cold. It comes to the bench at the mean of the
    /// two (project choice).
    fn of_air(text: &str) -> Result<Climate, String> {
        let mut words = text.split_whitespace();
        let shares = words.next().and_then(|word| range(word.strip_suffix('%')?));
        let (low, high) = shares.ok_or_else(|| format!("there is no climate `{text}`"))?;
        let (cold, warm) = match (words.next(), words.next()) {
            (None, _) => (USUAL_CELSIUS, USUAL_CELSIUS),
            (Some(word), None) => {
                temperatures(word).ok_or_else(|| format!("`{word}` is no range of temperatures"))?
            }
            (Some(_), Some(more)) => return Err(format!("nothing may follow the temperatures: `{more}`")),
        };
        let (dry, damp) = (air(low / 100.0, warm), air(high / 100.0, cold));
        let found = moisture::climate(&[dry, damp]);
        let range = found.value.filter(|range| range.driest <= range.wettest).ok_or_else(|| {
            found
                .diagnostics
                .first()
                .map_or_else(|| format!("there is no such air: `{text}`"), |own| own.message.clone())
        })?;
        Ok(Climate { name: None, dry, damp, at_bench: f64::midpoint(range.driest, range.wettest) })
    }

    /// Moistures that wood comes to under cover.
    pub fn range(&self) -> Outcome<moisture::Range> {
        moisture::climate(&[self.dry, self.damp])
    }
}

/// "temperate air", "air of 30 to 80 % at 5 to 30 C".
impl Display for Climate {
    fn fmt(&self, out: &mut Formatter) -> fmt::Result {
        let (dry, damp) = (self.dry, self.damp);
        match self.name {
            Some(name) => write!(out, "{name} air"),
            None if dry.celsius == damp.celsius => {
                write!(
                    out,
                    "air of {:.0} to {:.0} % at {:.0} C",
                    dry.humidity * 100.0,
                    damp.humidity * 100.0,
                    dry.celsius
                )
            }
            None => write!(
                out,
                "air of {:.0} to {:.0} % at {:.0} to {:.0} C",
                dry.humidity * 100.0,
                damp.humidity * 100.0,
                damp.celsius,
                dry.celsius
            ),
        }
    }
}

/// "30..80": two numbers, the second not less.
fn range(text: &str) -> Option<(f64, f64)> {
    let (low, high) = text.split_once("..")?;
    let number = |word: &str| word.trim().parse::<f64>().ok().filter(|number| number.is_finite());
    let (low, high) = (number(low)?, number(high)?);
    (low <= high).then_some((low, high))
}

/// "5..30C", "40..85F" in degrees C.
fn temperatures(text: &str) -> Option<(f64, f64)> {
    let celsius = text.strip_suffix(['C', 'c']);
    let fahrenheit = text.strip_suffix(['F', 'f']);
    let both = |(low, high): (f64, f64), of: fn(f64) -> f64| (of(low), of(high));
    match (celsius, fahrenheit) {
        (Some(text), _) => range(text),
        (None, Some(text)) => Some(both(range(text)?, |degrees| (degrees - 32.0) / 1.8)),
        (None, None) => None,
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
    /// The same in the air that a site tells of; where it tells of none, or of none that can be read, as they are.
    #[must_use]
    pub fn at(self, site: &Site) -> Self {
        let told = site.climate.as_deref().and_then(|text| Climate::read(text).ok());
        Conditions { climate: told.unwrap_or(self.climate), ..self }
    }

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
        write!(out, "{}, {}, {salt}; ", self.climate, self.exposure.words())?;
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
            assert_eq!(Climate::read(climate.name.expect("an example")), Ok(climate));
        }
    }
    /// By the table of the Wood Handbook at 70 F (21.1 C): 6.2 % at 30 % of humidity and 16.0 % at 80 %.
    #[test]
    fn the_air_of_a_place_is_told_by_its_range() {
        let climate = Climate::read("30..80% 70..70F").expect("air");
        let range = climate.range().value.expect("within the equation's range");
        assert!((range.driest - 6.2).abs() < 0.1 && (range.wettest - 16.0).abs() < 0.1, "{range:?}");
        assert!((climate.at_bench - 11.1).abs() < 0.1, "{climate:?}");
        let warm = Climate::read(" 30..80%  5..30C ").expect("air");
        assert_eq!((warm.dry, warm.damp), (air(0.30, 30.0), air(0.80, 5.0)));
        assert_eq!(warm.to_string(), "air of 30 to 80 % at 5 to 30 C");
        assert_eq!(Climate::read("30..80%").expect("air").to_string(), "air of 30 to 80 % at 20 C");
        let site = Site { climate: Some(String::from("30..80%")), ..Site::default() };
        let exposed = Conditions::default().at(&site);
        assert!((exposed.moisture().value.expect("known").driest - 6.2).abs() < 0.1);
    }

    #[test]
    fn what_is_no_air_is_refused() {
        for text in [
            "70",
            "70%",
            "80..30%",
            "30..80",
            "30..130%",
            "30..80% 5..30",
            "30..80% 5C",
            "nan..80%",
            "30..80% 5..30C wet",
            "",
        ] {
            assert!(Climate::read(text).is_err(), "{text:?}");
        }
    }
}
