//! Figures as questions and answers hold them, and what is looked up for them.
//!
//! In JSON a length is a text with its unit (`"1-1/2in"`, `"38mm"`) or a bare number of millimetres. A force in an answer is
//! `{"n": .., "lb": ..}`, a stress `{"mpa": .., "psi": ..}`.

use serde::{Deserialize, Deserializer, Serialize, de::Error};
use slatwork_base::{Diagnostic, Length, Place, did_you_mean};
use slatwork_catalog::{Catalogue, Species};
use slatwork_checks::statics::units::{POUND, PSI};
use slatwork_checks::statics::wood::{Adjusted, Duration, Factor, Service};

/// A length, mm.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Size(pub f64);

impl<'de> Deserialize<'de> for Size {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        #[derive(Deserialize)]
        #[serde(untagged)]
        enum Written {
            Millimetres(f64),
            Text(String),
        }
        match Written::deserialize(deserializer)? {
            Written::Millimetres(mm) => Ok(Size(mm)),
            Written::Text(text) => {
                text.parse::<Length>().map(|length| Size(length.as_mm())).map_err(D::Error::custom)
            }
        }
    }
}

/// A force in both units.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Force {
    /// Newtons.
    pub n: f64,
    /// Pounds-force.
    pub lb: f64,
}

impl Force {
    /// From newtons.
    pub fn newtons(n: f64) -> Self {
        Force { n, lb: n / POUND }
    }
}

/// A stress in both units.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Stress {
    /// Megapascals.
    pub mpa: f64,
    /// Pounds-force per square inch.
    pub psi: f64,
}

impl Stress {
    /// From megapascals.
    pub fn mpa(mpa: f64) -> Self {
        Stress { mpa, psi: mpa / PSI }
    }
}

/// A factor in an answer.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Times {
    /// As the standard writes it: `CM`.
    pub symbol: &'static str,
    /// What the value is multiplied by.
    pub value: f64,
    /// Where it comes from and how it was come by.
    pub source: &'static str,
}

impl From<Factor> for Times {
    fn from(factor: Factor) -> Self {
        Times { symbol: factor.symbol, value: factor.value, source: factor.source }
    }
}

/// A force with what it is multiplied by.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct AdjustedForce {
    /// Before any factor.
    pub reference: Force,
    /// The factors.
    pub factors: Vec<Times>,
    /// With all factors.
    pub adjusted: Force,
}

impl From<&Adjusted> for AdjustedForce {
    fn from(value: &Adjusted) -> Self {
        AdjustedForce {
            reference: Force::newtons(value.reference),
            factors: value.factors.iter().copied().map(Times::from).collect(),
            adjusted: Force::newtons(value.value()),
        }
    }
}

/// A stress with what it is multiplied by.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct AdjustedStress {
    /// Before any factor.
    pub reference: Stress,
    /// The factors.
    pub factors: Vec<Times>,
    /// With all factors.
    pub adjusted: Stress,
}

impl From<&Adjusted> for AdjustedStress {
    fn from(value: &Adjusted) -> Self {
        AdjustedStress {
            reference: Stress::mpa(value.reference),
            factors: value.factors.iter().copied().map(Times::from).collect(),
            adjusted: Stress::mpa(value.value()),
        }
    }
}

/// Picks what a word stands for.
pub(super) fn choose<T: Copy>(key: &str, word: &str, words: &[(T, &str)]) -> Result<T, Diagnostic> {
    if let Some((value, _)) = words.iter().find(|(_, own)| *own == word) {
        return Ok(*value);
    }
    let trouble = Diagnostic::error("unknown-word", format!("`{key}` cannot be `{word}`"))
        .at(Place::Named(key.to_string()));
    let names = || words.iter().map(|(_, own)| *own);
    Err(match did_you_mean(word, names()) {
        Some(near) => trouble.help(format!("did you mean `{near}`?")),
        None => trouble.help(format!("take one of {}", names().collect::<Vec<_>>().join(", "))),
    })
}

/// What a question leaves out or says twice.
pub(super) fn incomplete(message: impl Into<String>, help: &str) -> Diagnostic {
    Diagnostic::error("incomplete-question", message).help(help)
}

/// Specific gravity for fasteners: as given, else that of a wood of the catalogue.
pub(super) fn gravity(
    catalogue: &Catalogue,
    given: Option<f64>,
    wood: Option<&str>,
) -> Result<f64, Diagnostic> {
    match (given, wood) {
        (Some(gravity), None) => Ok(gravity),
        (None, Some(wood)) => catalogue.species(wood).map(Species::connection_gravity),
        (Some(_), Some(_)) => {
            Err(incomplete("a member has a wood and a specific gravity", "give one of them"))
        }
        (None, None) => Err(incomplete("a member has no wood", "give `wood`, `gravity` or `steel`")),
    }
}

/// What a flag of wetness stands for.
pub(super) fn service(wet: bool) -> Service {
    if wet { Service::Wet } else { Service::Dry }
}

/// The word of a load's duration; ten years where it is left out.
pub(super) fn duration(word: Option<&str>) -> Result<Duration, Diagnostic> {
    word.map_or(Ok(Duration::TenYears), |word| {
        choose("duration", word, &slatwork_checks::statics::wood::DURATIONS)
    })
}

/// Degrees Celsius where nothing is said.
pub(super) const USUAL_TEMPERATURE: f64 = 20.0;
