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
            Some((from, rest)) => {
                let (to, step) = to_and_step(text, kind, rest)?;
                range(text, kind, [from, to, step])?
            }
            None => list(text, kind, values)?,
        };
        Ok(Vary { name: name.to_string(), values })
    }
}

/// Splits `72in/6in` and `1-1/2in/1/8in`: at the first slash that leaves a value on both sides, else at the last one, so
/// that the message names the value that cannot be read.
fn to_and_step<'t>(text: &str, kind: ParameterKind, rest: &'t str) -> Result<(&'t str, &'t str), Diagnostic> {
    let splits = || rest.match_indices('/').map(|(at, _)| (&rest[..at], &rest[at + 1..]));
    let reads = |word: &str| Value::read(kind, word).is_ok();
    let found = splits().find(|(to, step)| reads(to) && reads(step)).or_else(|| splits().next_back());
    found.ok_or_else(|| bad(text, "the range has no step"))
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Memory, Request, Workshop};
    use proptest::prelude::*;

    fn read(text: &str) -> Result<Vec<String>, &'static str> {
        let script = "//! T.\nfn describe(f) {\n f.title = \"T\";\n f.length(\"width\", 1.inch);\n f.count(\"n\", 1);\n \
                      f.angle(\"lean\", 10.deg);\n f.number(\"share\", 0.5);\n f.choice(\"edge\", [\"a\", \"b\"]);\n}\n\
                      fn build(job, p) { }\n";
        let world = Memory::of([("families/t.rhai", script)]);
        let workshop = Workshop::open(&world, &Request::new("t")).value.expect("a family");
        Vary::read(text, workshop.declared()).map(|vary| vary.values).map_err(|trouble| trouble.code)
    }

    #[test]
    fn ranges_are_exact_and_end_where_they_say() {
        let eighths = read("width=1in..1-1/2in/1/8in").unwrap();
        assert_eq!(eighths, ["25.400000mm", "28.575000mm", "31.750000mm", "34.925000mm", "38.100000mm"]);
        assert_eq!(read("width=1/2in..3/4in/1/16in").unwrap().len(), 5);
        assert_eq!(read("width=1in..1-1/2in/3/8in").unwrap().len(), 2, "the end is not reached");
        assert_eq!(read("n=1..4/1").unwrap(), ["1", "2", "3", "4"]);
        assert_eq!(read("lean=10..11/0.1").unwrap().len(), 11);
        assert_eq!(read("edge=a,b").unwrap(), ["a", "b"]);
        assert_eq!(read("width=5ft,1m").unwrap(), ["1524.000000mm", "1000.000000mm"]);
    }

    #[test]
    fn slips_are_told() {
        for slip in
            ["width", "width=1in..2in", "width=2in..1in/1in", "width=1in..2in/0in", "edge=a..b/1", "edge=a,"]
        {
            assert_eq!(read(slip), Err("bad-vary"), "{slip}");
        }
        assert_eq!(read("width=1mm..1km/1nm"), Err("bad-vary"), "far too many");
        assert_eq!(read("widht=1in,2in"), Err("unknown-parameter"));
    }

    proptest! {
        /// Every value lies on the raster and within the ends, in rising order.
        #[test]
        fn lengths_step_by_the_step(from in 0i64..10_000, span in 0i64..10_000, step in 1i64..500) {
            let nm: Vec<i64> = whole_steps("t", [from, from + span, step]).unwrap().collect();
            prop_assert_eq!(nm.len() as i64, span / step + 1);
            prop_assert!(nm.iter().all(|value| (value - from) % step == 0 && *value <= from + span));
            prop_assert!(nm.windows(2).all(|pair| pair[1] - pair[0] == step));
        }
    }
}
