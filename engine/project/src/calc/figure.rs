//! Figures as questions and answers hold them, and what is looked up for them.
//!
//! In JSON a length is a text with its unit (`"1-1/2in"`, `"38mm"`) or a bare number of millimetres. A force in an answer is
//! `{"n": .., "lb": ..}`, a stress `{"mpa": .., "psi": ..}`.

use serde::Serialize;
use serde_json::Value;
use slatwork_base::{Diagnostic, Length, Place, Severity, did_you_mean};
use slatwork_catalog::{Catalogue, Species};
use slatwork_checks::statics::units::{GRAVITY, POUND, PSI, celsius};
use slatwork_checks::statics::wood::{Adjusted, Duration, Factor, Service};

/// A length, mm.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Size(pub f64);

impl Size {
    /// A length as JSON holds it.
    pub(super) fn of(value: &Value) -> Option<Size> {
        match value {
            Value::String(text) => text.parse::<Length>().ok().map(|length| Size(length.as_mm())),
            _ => value.as_f64().map(Size),
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

/// A word however it is joined: `ten years`, `ten-years`, `ten_years`.
fn plain(word: &str) -> String {
    word.to_lowercase().replace(['-', '_'], " ")
}

/// Picks what a word stands for.
pub(super) fn choose<T: Copy>(key: &str, word: &str, words: &[(T, &str)]) -> Result<T, Diagnostic> {
    if let Some((value, _)) = words.iter().find(|(_, own)| plain(own) == plain(word)) {
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

/// To so many parts of one; a zero has no sign.
pub(super) fn rounded(value: f64, parts: f64) -> f64 {
    // Adding zero takes the sign from a zero.
    (value * parts).round() / parts + 0.0
}

/// What is told of a share of the capacity over the whole of it.
pub(super) fn over_capacity(what: &str, share: f64) -> Option<Diagnostic> {
    (share > 1.0).then(|| {
        let message = format!("the load asks {:.0} % of what {what} carries", (100.0 * share).ceil());
        Diagnostic::new(Severity::Failure, "over-capacity", message)
            .help("take a larger size, a stronger wood, a shorter span or more fasteners")
    })
}

/// A force by a person's words, N: `250lb`, `1.1kN`, `800N`, `80kg` (its weight).
///
/// # Errors
/// What is wrong with it, in words.
pub fn force(text: &str) -> Result<f64, String> {
    quantity(
        text,
        &[("kN", 1e3), ("N", 1.0), ("lbf", POUND), ("lb", POUND), ("kg", GRAVITY)],
        "250lb, 800N, 1.1kN, 80kg",
    )
}

/// A mass by a person's words, kg: `250lb`, `80kg`.
///
/// # Errors
/// What is wrong with it, in words.
pub fn mass(text: &str) -> Result<f64, String> {
    quantity(text, &[("lb", POUND / GRAVITY), ("kg", 1.0)], "250lb, 80kg")
}

/// A temperature by a person's words, degrees C: `21C`, `70F`.
///
/// # Errors
/// What is wrong with it, in words.
pub fn temperature(text: &str) -> Result<f64, String> {
    let examples = "21C, 70F";
    if text.trim().ends_with('F') {
        return quantity(text, &[("\u{b0}F", 1.0), ("F", 1.0)], examples).map(celsius);
    }
    quantity(text, &[("\u{b0}C", 1.0), ("C", 1.0)], examples)
}

/// A number with one of these units.
fn quantity(text: &str, units: &[(&str, f64)], examples: &str) -> Result<f64, String> {
    let found = units.iter().find_map(|(unit, each)| Some((text.trim().strip_suffix(unit)?, each)));
    let Some((digits, each)) = found else { return Err(format!("the unit is missing; write {examples}")) };
    match digits.trim().parse::<f64>() {
        Ok(number) if number.is_finite() => Ok(number * each),
        _ => Err(format!("`{}` is no number; write {examples}", digits.trim())),
    }
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quantities_are_read_with_their_unit() {
        assert_eq!(force("2kN"), Ok(2000.0));
        assert!((force("10 kg").unwrap() - 98.0665).abs() < 1e-9);
        assert!((force("100lb").unwrap() - 444.822).abs() < 1e-3);
        assert!((mass("100lb").unwrap() - 45.359_237).abs() < 1e-9);
        assert_eq!((temperature("212F"), temperature("21 C")), (Ok(100.0), Ok(21.0)));
        for wrong in ["", "12", "N", "1e999N", "twoN", "NaN kN"] {
            assert!(force(wrong).is_err(), "{wrong}");
        }
        assert!(temperature("21").is_err() && mass("5N").is_err());
        assert_eq!((temperature(" 212 \u{b0}F "), temperature("21\u{b0}C")), (Ok(100.0), Ok(21.0)));
        assert!(temperature("70FF").is_err() && temperature("21CC").is_err());
    }
}
