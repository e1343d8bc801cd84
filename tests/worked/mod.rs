//! Whether every figure that a check tells can be worked out again from the formulas beside it.

use slatwork::base::formula::Unit;
use slatwork::checks::{Limit, SUBJECTS, Verdict, Working};

/// What a formula comes to is the figure that it stands beside, to this share.
const NEAR: f64 = 1e-6;
/// Differences of lengths that cancel leave so much, in the unit of the figure.
const NOTHING: f64 = 1e-9;

fn is_same(one: f64, other: f64) -> bool {
    one == other || (one - other).abs() <= NEAR * one.abs().max(other.abs()) + NOTHING
}

/// Whether what wood or a fastener may carry comes of an equation, and does not just stand there.
fn is_led_to(verdict: &Verdict, working: &Working) -> bool {
    let mut subjects = SUBJECTS.iter().filter(|subject| ["wood", "fixing"].contains(&subject.name));
    let is_of_strength =
        subjects.any(|subject| subject.checks.iter().any(|check| check.fault == verdict.check));
    // Shares of what may be carried are held to the whole, and sags to a figure of the rule itself.
    let share_of_more = working.figure.left.unit == Unit::Plain
        && verdict.measure.as_ref().is_some_and(|own| own.limit != Limit::AtMost(1.0));
    let by_rule = working.limit.is_none() && working.figure.right.is_some() && !share_of_more;
    !is_of_strength || by_rule || working.limit.as_ref().is_some_and(|limit| limit.right.is_some())
}

/// Every verdict with a figure has a working, each equation comes to what it states, equations use what those before them came to,
/// and the last ones are the figure and its limit.
pub(crate) fn assert_worked(verdicts: &[Verdict]) {
    for verdict in verdicts {
        let Some(measure) = &verdict.measure else {
            assert_eq!(verdict.working, None, "{} has no figure to work out", verdict.check);
            continue;
        };
        let working =
            verdict.working.as_ref().unwrap_or_else(|| panic!("{}: no formula is told", verdict.check));
        let told = |symbol: &str| format!("{}, `{symbol}`: {}", verdict.check, verdict.told);
        let all: Vec<_> = working.equations().collect();
        for (at, equation) in all.iter().enumerate() {
            let left = &equation.left;
            let by = equation.in_signs().text();
            assert!(
                is_same(equation.value(), left.value),
                "{} = {left:?} by {by} = {}",
                told(&left.symbol),
                equation.value()
            );
            assert!(!left.symbol.is_empty() && !left.meaning.is_empty(), "{}", told(&left.symbol));
            for number in equation.right.iter().flat_map(|right| right.numbers()) {
                let earlier = all[..at].iter().find(|own| own.left.symbol == number.symbol);
                let stated = earlier.is_none_or(|own| is_same(own.left.value, number.value));
                assert!(stated, "{} uses {number:?}, which came to something else", told(&left.symbol));
                assert!(
                    number.value.is_finite() || earlier.is_some(),
                    "{} uses {number:?}",
                    told(&left.symbol)
                );
            }
        }
        let figure = &working.figure.left;
        assert!(is_same(figure.value, measure.found), "{} {figure:?} {measure:?}", told(&figure.symbol));
        assert_eq!(figure.unit, measure.unit, "{}", told(&figure.symbol));
        assert!(is_led_to(verdict, working), "{}: nothing leads to what it may carry", told(&figure.symbol));
        if let Some(limit) = working.limit.as_ref().map(|own| &own.left) {
            let (Limit::AtMost(held) | Limit::AtLeast(held)) = measure.limit else {
                panic!("{}: a range is no formula", told(&limit.symbol))
            };
            assert!(is_same(limit.value, held), "{} {limit:?} {measure:?}", told(&limit.symbol));
            assert_eq!(limit.unit, measure.unit, "{}", told(&limit.symbol));
        }
    }
}
