//! Plain numbers in scripts: rounding to counts, roots and powers with the same bits on every machine.
//!
//! Rhai's own mathematics package is left out: its sines and powers come from the platform, and may differ in the
//! last bit from one machine to the next. For the same reason the operator `**` is switched off.

use crate::host::{HostResult, raise};
use crate::modules::Subject;
use rhai::{Dynamic, ImmutableString, NativeCallContext};
use slatwork_base::{Diagnostic, maths};

/// The value as a float, if it is a number at all.
pub(crate) fn as_number(value: &Dynamic) -> Option<f64> {
    value.as_float().ok().or_else(|| value.as_int().ok().map(|whole| whole as f64))
}

/// The words about plain numbers.
pub(crate) fn subject() -> Subject {
    let mut subject = Subject::new(
        "Numbers",
        "Whole numbers count things; other numbers have a point. Two whole numbers divide to a whole number: \
         `7 / 2` is 3, `7.0 / 2` is 3.5.",
    );
    counts(&mut subject);
    roots(&mut subject);
    conversions(&mut subject);
    subject
}

fn counts(subject: &mut Subject) {
    type Round = fn(f64) -> f64;
    let ways: [(&str, &str, Round); 3] = [
        (
            "floor(number) -> whole number",
            "The whole number at or below. Example: `let slats = (p.width / 3.inch).floor();`",
            f64::floor,
        ),
        (
            "ceiling(number) -> whole number",
            "The whole number at or above. Example: `let bays = (p.width / 30.inch).ceiling();`",
            f64::ceil,
        ),
        (
            "round(number) -> whole number",
            "The nearest whole number; half way goes away from zero. Example: `let n = (p.width / 2.feet).round();`",
            f64::round,
        ),
    ];
    for (signature, doc, way) in ways {
        subject.function(signature, doc, move |ctx: NativeCallContext, number: f64| whole(&ctx, way(number)));
        let name = signature.split('(').next().unwrap_or(signature);
        subject.form(name, |number: i64| number);
    }
}

/// A float without decimals as a whole number.
fn whole(ctx: &NativeCallContext, number: f64) -> HostResult<i64> {
    // Within this range every whole float is a whole number and back again.
    const EXACT: f64 = 9_007_199_254_740_992.0;
    if number.abs() > EXACT || number.is_nan() {
        let diagnostic =
            Diagnostic::error("out-of-range", format!("{number} is out of the range of whole numbers"));
        return Err(raise(ctx, diagnostic));
    }
    #[expect(clippy::cast_possible_truncation, reason = "the range is checked")]
    Ok(number as i64)
}

fn roots(subject: &mut Subject) {
    subject.function(
        "sqrt(number) -> number",
        "The square root; of an area, the length of its side. Refuses a negative number. \
         Example: `let side = sqrt(face);`",
        |ctx: NativeCallContext, number: f64| root(&ctx, number),
    );
    subject.form("sqrt", |ctx: NativeCallContext, number: i64| root(&ctx, number as f64));
    subject.function(
        "power(base: number, exponent: number) -> number",
        "A number to a power. Refuses a result that is no number. Example: `let stiffness = power(1.5, 3);`",
        |ctx: NativeCallContext, base: Dynamic, exponent: Dynamic| power(&ctx, &base, &exponent),
    );
    subject.function(
        "pi() -> number",
        "Circumference over diameter. Example: `let round = pi() * 2;`",
        || maths::PI,
    );
}

fn root(ctx: &NativeCallContext, number: f64) -> HostResult<f64> {
    if number >= 0.0 {
        return Ok(number.sqrt());
    }
    Err(raise(ctx, Diagnostic::error("out-of-range", format!("{number} has no square root"))))
}

fn power(ctx: &NativeCallContext, base: &Dynamic, exponent: &Dynamic) -> HostResult<f64> {
    let result = as_number(base).zip(as_number(exponent)).map(|(base, exponent)| maths::powf(base, exponent));
    result.filter(|value| value.is_finite()).ok_or_else(|| {
        let message = format!("{base} to the power of {exponent} is not a number");
        raise(ctx, Diagnostic::error("out-of-range", message).help("power takes two plain numbers"))
    })
}

fn conversions(subject: &mut Subject) {
    subject.function(
        "to_number(value: whole number) -> number",
        "A whole number as a number with a point, so that it divides with decimals. \
         Example: `let share = n.to_number() / 2;`",
        |value: i64| value as f64,
    );
    subject.form("to_number", |value: f64| value);
    subject.form("to_number", |ctx: NativeCallContext, text: ImmutableString| -> HostResult<f64> {
        let number = text.trim().parse::<f64>().ok().filter(|number| number.is_finite());
        number.ok_or_else(|| {
            raise(&ctx, Diagnostic::error("not-a-number", format!("`{text}` is not a number")))
        })
    });
}
