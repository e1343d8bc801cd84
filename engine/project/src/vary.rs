//! Ranges and lists of values for a batch: `width=48in..72in/6in`, `wood=cedar,white_oak`.

use crate::workshop::exact_text;
use slatwork_base::{Diagnostic, Length, Place};
use slatwork_script::{Declared, ParameterKind, Value};

/// Most values of one parameter: more is a slip of the step.
const MOST_VALUES: usize = 100_000;

/// A parameter and the values it takes in turn.
#[derive(Clone, Debug, PartialEq)]
pub struct Vary {
    /// The parameter.
    pub name: String,
    /// Its values in order, as settings.
    pub values: Vec<String>,
}

impl Vary {
    /// Reads `name=a..b/step` or `name=a,b,c`. Values are read as the family declares the parameter; whether each is
    /// allowed is told by the row that takes it.
    ///
    /// # Errors
    /// `bad-vary` with the way it is written, `unknown-parameter`, `wrong-parameter-kind`.
    pub fn read(text: &str, declared: &Declared) -> Result<Vary, Diagnostic> {
        let Some((name, values)) = text.split_once('=') else { return Err(bad(text, "it has no `=`")) };
        let name = name.trim();
        let kind = declared.parameter(name)?.kind;
        let values = match values.split_once("..") {
            Some((from, rest)) => match rest.split_once('/') {
                Some((to, step)) => range(text, kind, [from, to, step])?,
                None => return Err(bad(text, "the range has no step")),
            },
            None => list(text, kind, values)?,
        };
        Ok(Vary { name: name.to_string(), values })
    }
}

fn bad(text: &str, why: &str) -> Diagnostic {
    Diagnostic::error("bad-vary", format!("`{text}` cannot be read: {why}"))
        .at(Place::Named(String::from("--vary")))
        .help("write a range with its step, width=48in..72in/6in, or a list, wood=cedar,white_oak")
}

fn list(text: &str, kind: ParameterKind, values: &str) -> Result<Vec<String>, Diagnostic> {
    let words: Vec<&str> = values.split(',').map(str::trim).collect();
    if words.iter().any(|word| word.is_empty()) {
        return Err(bad(text, "a value is empty"));
    }
    words.iter().map(|word| value(text, kind, word).map(|value| exact_text(&value))).collect()
}

fn value(text: &str, kind: ParameterKind, word: &str) -> Result<Value, Diagnostic> {
    Value::read(kind, word).map_err(|why| bad(text, &why))
}

fn range(text: &str, kind: ParameterKind, words: [&str; 3]) -> Result<Vec<String>, Diagnostic> {
    let [from, to, step] = words.map(|word| value(text, kind, word));
    let values = match (from?, to?, step?) {
        (Value::Length(from), Value::Length(to), Value::Length(step)) => {
            whole_steps(text, [from, to, step].map(Length::as_nm))?
                .map(|nm| Value::Length(Length::nm(nm)))
                .collect()
        }
        (Value::Count(from), Value::Count(to), Value::Count(step)) => {
            whole_steps(text, [from, to, step])?.map(Value::Count).collect()
        }
        (Value::Angle(from), Value::Angle(to), Value::Angle(step)) => {
            let steps = even_steps(text, [from, to, step].map(slatwork_base::Angle::as_deg))?;
            steps.map(|deg| Value::Angle(slatwork_base::Angle::deg(deg))).collect()
        }
        (Value::Number(from), Value::Number(to), Value::Number(step)) => {
            even_steps(text, [from, to, step])?.map(Value::Number).collect::<Vec<_>>()
        }
        _ => return Err(bad(text, &format!("a {} has no range", kind.word()))),
    };
    Ok(values.iter().map(exact_text).collect())
}

fn check(text: &str, forward: bool, count: f64) -> Result<(), Diagnostic> {
    if !forward {
        return Err(bad(text, "the step must be greater than nothing, and the range must rise"));
    }
    if count >= MOST_VALUES as f64 {
        return Err(bad(text, &format!("it has more than {MOST_VALUES} values")));
    }
    Ok(())
}

fn whole_steps(
    text: &str,
    [from, to, step]: [i64; 3],
) -> Result<impl Iterator<Item = i64> + use<>, Diagnostic> {
    let span = i128::from(to) - i128::from(from);
    check(text, step > 0 && span >= 0, span as f64 / step.max(1) as f64)?;
    Ok((0..).map(move |n| from.saturating_add(step.saturating_mul(n))).take_while(move |value| *value <= to))
}

/// How far past the end of a range a sum of decimal steps may come, as a share of the step.
const SLACK: f64 = 1e-6;

fn even_steps(
    text: &str,
    [from, to, step]: [f64; 3],
) -> Result<impl Iterator<Item = f64> + use<>, Diagnostic> {
    let count = (to - from) / step;
    check(text, step > 0.0 && to >= from, count)?;
    Ok((0..MOST_VALUES)
        .map(|n| n as f64)
        .take_while(move |n| *n <= count + SLACK)
        .map(move |n| from + n * step))
}
