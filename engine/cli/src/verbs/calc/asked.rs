//! The question under way: what a file asks, and flags over it.

use crate::arguments::Common;
use crate::outside;
use crate::terminal::Stopped;
use clap::Args;
use serde_json::Value;
use slatwork_base::{Diagnostic, Length, Place};
use slatwork_project::World;
use slatwork_project::calc::{Question, figure, located};

/// Where a question is read, and what it is answered with.
#[derive(Debug, Args)]
pub(super) struct File {
    /// A JSON file with the question, or - for standard input
    #[arg(value_name = "FILE")]
    path: Option<String>,
    /// A TOML catalogue file laid over all others
    #[arg(long, value_name = "FILE")]
    pub(super) measured: Vec<String>,
}

/// How a text becomes a question.
pub(super) type Parse = fn(&str) -> Result<Question, Diagnostic>;

/// The path that stands for standard input.
const DASH: &str = "-";

impl File {
    /// Whether the question, or some of it, stands in a file.
    pub(super) fn is_named(&self) -> bool {
        self.path.is_some()
    }

    /// What the file asks; nothing without one.
    pub(super) fn read(&self, common: &Common, parse: Parse) -> Result<Asked, Stopped> {
        let Some(path) = &self.path else { return Ok(Asked::default()) };
        let (text, shown) = match path.as_str() {
            DASH => (outside::standard_input(), outside::STANDARD_INPUT),
            path => (common.world().read(path), path),
        };
        let asked = text.and_then(|text| {
            let question = parse(&text).map_err(|trouble| trouble.at(Place::Path(shown.to_string())))?;
            Ok(Asked { question, source: Some((shown.to_string(), text)) })
        });
        asked.map_err(|trouble| vec![trouble])
    }
}

/// A question under way.
#[derive(Debug, Default)]
pub(super) struct Asked {
    question: Question,
    /// The file as the user knows it, and its text.
    source: Option<(String, String)>,
}

impl Asked {
    pub(super) fn question(&self) -> &Question {
        &self.question
    }

    /// Troubles at their lines of the file; nothing without one.
    pub(super) fn located(&self, troubles: Vec<Diagnostic>) -> Vec<Diagnostic> {
        match &self.source {
            Some((file, text)) => located(troubles, file, text),
            None => troubles,
        }
    }

    /// Sets what a flag says, by the keys to it: `side.thickness`. A flag that is not there sets nothing.
    pub(super) fn set(&mut self, path: &str, value: Option<impl Into<Value>>) {
        let Some(value) = value else { return };
        let keys: Vec<&str> = path.split('.').collect();
        put(&mut self.question, &keys, value.into());
    }

    /// Sets a flag that is either there or not.
    pub(super) fn mark(&mut self, path: &str, is_there: bool) {
        self.set(path, is_there.then_some(true));
    }

    /// What a file says of a key.
    pub(super) fn has(&self, key: &str) -> bool {
        self.question.contains_key(key)
    }
}

/// Puts a value where keys lead to; whatever else stood on that way gives way to the flag.
fn put(question: &mut Question, keys: &[&str], value: Value) {
    match keys {
        [] => {}
        [last] => drop(question.insert((*last).to_string(), value)),
        [first, rest @ ..] => {
            let mut inner = match question.remove(*first) {
                Some(Value::Object(inner)) => inner,
                _ => Question::new(),
            };
            put(&mut inner, rest, value);
            question.insert((*first).to_string(), Value::Object(inner));
        }
    }
}

/// A length as it is written, for clap.
pub(super) fn length(text: &str) -> Result<String, String> {
    text.parse::<Length>().map(|_| text.to_string()).map_err(|error| error.to_string())
}

/// A length in metres, for clap.
pub(super) fn metres(text: &str) -> Result<f64, String> {
    text.parse::<Length>().map(Length::as_metre).map_err(|error| error.to_string())
}

/// A number without a unit, for clap.
pub(super) fn number(text: &str) -> Result<f64, String> {
    let number = text.trim().parse::<f64>().ok().filter(|number| number.is_finite());
    number.ok_or_else(|| String::from("write a number, such as 0.55 or 240"))
}

/// An angle in degrees, for clap.
pub(super) fn degrees(text: &str) -> Result<f64, String> {
    text.parse::<slatwork_base::Angle>().map(slatwork_base::Angle::as_deg).map_err(|error| error.to_string())
}

/// A force in N, for clap.
pub(super) fn force(text: &str) -> Result<f64, String> {
    figure::force(text)
}

/// A mass in kg, for clap.
pub(super) fn mass(text: &str) -> Result<f64, String> {
    figure::mass(text)
}

/// A temperature in degrees C, for clap.
pub(super) fn temperature(text: &str) -> Result<f64, String> {
    figure::temperature(text)
}

/// Percent with or without its sign, for clap.
pub(super) fn percent(text: &str) -> Result<f64, String> {
    match text.trim().trim_end_matches('%').trim().parse::<f64>() {
        Ok(number) if number.is_finite() => Ok(number),
        _ => Err(String::from("write a number of percent, such as 12%")),
    }
}
