//! One shop question at a time, by the solvers that the checks use.
//!
//! A question is a JSON object, whether it comes from a file or from the flags of the command line; its answer is a JSON document
//! and a text for a person at the bench.
//!
//! | file | what |
//! |---|---|
//! | `json.rs` | [`parse`]; a question read key by key, every slip told at its place |
//! | `located.rs` | [`located`]: slips at their lines |
//! | `figure.rs` | lengths, forces and stresses as questions and answers hold them |
//! | `sheet.rs` | the text of an answer, line by line |
//! | `certificate.rs` | the proof of a cutting plan, as another program reads and checks it |
//! | `portal.rs` | two legs and a rail, as a frame |
//! | `told/` | each answer in words |
//! | the others | one calculation each: what it reads, what it answers |

pub mod angle;
pub mod beam;
pub mod board_feet;
pub mod certificate;
pub mod curve;
pub mod cut;
pub mod fastener;
pub mod figure;
pub mod frame;
pub mod hang;
mod json;
pub mod layout;
mod located;
pub mod moisture;
mod portal;
mod sheet;
pub mod swing;
mod told;

pub use json::parse;
pub use located::located;

use crate::{Units, diagnostics_json};
use serde_json::{Map, Value};
use slatwork_base::{Diagnostic, Outcome};
use slatwork_catalog::Catalogue;
use slatwork_checks::Caution;
use slatwork_shop::stock::cutting::Progress;
use std::collections::BTreeSet;
use std::fmt;

/// A question: an object by its keys.
pub type Question = Map<String, Value>;

/// What a question is answered with.
#[derive(Clone, Copy, Debug)]
pub struct Setting<'a> {
    /// The catalogue that names are looked up in.
    pub catalogue: &'a Catalogue,
    /// Measures of the text.
    pub units: Units,
    /// Cautions that somebody accepted.
    pub accepted: &'a BTreeSet<Caution>,
    /// Who looks on while a search is long.
    pub watch: Watch<'a>,
}

/// How far a search has come.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SoFar {
    /// Which instance of the question, from 1.
    pub instance: usize,
    /// Of how many.
    pub of: usize,
    /// Steps, the best plan and its bound.
    pub progress: Progress,
}

impl fmt::Display for SoFar {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.of > 1 {
            write!(f, "{} of {}: ", self.instance, self.of)?;
        }
        let Progress { steps, cost, bound } = self.progress;
        match cost {
            Some(cost) => write!(f, "a plan at {cost}, none below {bound}")?,
            None => write!(f, "looking for a plan")?,
        }
        write!(f, "; {} million steps", steps / 1_000_000)
    }
}

/// Asked at regular counts of steps, told how far the search has come; answers whether it goes on.
#[derive(Clone, Copy)]
pub struct Watch<'a>(pub &'a dyn Fn(&SoFar) -> bool);

impl Watch<'_> {
    /// Whether the search goes on.
    pub fn goes_on(&self, so_far: &SoFar) -> bool {
        (self.0)(so_far)
    }
}

impl Default for Watch<'_> {
    /// Nobody looks on.
    fn default() -> Self {
        Watch(&|_| true)
    }
}

impl fmt::Debug for Watch<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Watch")
    }
}

/// An answer.
#[derive(Clone, Debug)]
pub struct Answered {
    /// The document, without its schema.
    pub document: Map<String, Value>,
    /// For a person.
    pub text: String,
}

/// A kind of question.
#[derive(Clone, Copy, Debug)]
pub struct Calculation {
    /// Its name: `board-feet`.
    pub name: &'static str,
    /// The keys of a question, one a line.
    pub layout: &'static str,
    /// A question that it answers.
    pub example: &'static str,
    /// The JSON Schema of its answer.
    pub schema: &'static str,
    findings: Findings,
    answer: fn(&Question, &Setting<'_>) -> Outcome<Answered>,
}

/// Where a document holds its findings.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Findings {
    /// Beside the figures, as `findings`.
    Beside,
    /// With each load combination, by which all else is keyed.
    Within,
}

impl Calculation {
    /// The kind of document that it answers with: `calc-board-feet`.
    pub fn document_kind(&self) -> String {
        format!("calc-{}", self.name)
    }

    /// The name of the JSON Schema of its answer: `slatwork/calc-board-feet/1`.
    pub fn schema_name(&self) -> String {
        format!("slatwork/{}/1", self.document_kind())
    }

    /// Answers a question. Every trouble is told; an error leaves no answer.
    pub fn answer(&self, question: &Question, setting: &Setting<'_>) -> Outcome<Answered> {
        if question.is_empty() {
            let trouble = Diagnostic::error("incomplete-question", "nothing is asked");
            return Outcome::failed(trouble.help(format!("for example {}", self.example)));
        }
        let mut outcome = (self.answer)(question, setting);
        if let (Some(answered), Findings::Beside) = (&mut outcome.value, self.findings) {
            answered.document.insert("findings".into(), diagnostics_json(&outcome.diagnostics));
        }
        outcome
    }
}

/// The calculation of that name.
pub fn calculation(name: &str) -> Option<&'static Calculation> {
    CALCULATIONS.iter().find(|own| own.name == name)
}

/// Every calculation, in the order of a builder's day.
pub const CALCULATIONS: [Calculation; 11] = [
    board_feet::CALCULATION,
    cut::CALCULATION,
    layout::CALCULATION,
    angle::CALCULATION,
    curve::CALCULATION,
    moisture::CALCULATION,
    fastener::CALCULATION,
    beam::CALCULATION,
    frame::CALCULATION,
    hang::CALCULATION,
    swing::CALCULATION,
];

/// Figures of a document are rounded to this part: a millionth of a mm, a degree or a N is noise in all of them, and a cubic millimetre
/// the least of a volume in m3 (project choice).
const PARTS: f64 = 1e9;

/// An answer as a document, without the noise of rounding.
fn document(answer: &impl serde::Serialize) -> Map<String, Value> {
    match serde_json::to_value(answer) {
        Ok(Value::Object(map)) => map.into_iter().map(|(key, own)| (key, rounded(own))).collect(),
        // Answers are plain structures: they always are objects.
        Ok(_) | Err(_) => Map::new(),
    }
}

/// A value with all its fractions rounded; counts stay whole.
fn rounded(value: Value) -> Value {
    match value {
        Value::Object(map) => Value::Object(map.into_iter().map(|(key, own)| (key, rounded(own))).collect()),
        Value::Array(list) => list.into_iter().map(rounded).collect(),
        Value::Number(own) if own.is_f64() => {
            own.as_f64().map_or(Value::Null, |own| figure::rounded(own, PARTS).into())
        }
        own => own,
    }
}
