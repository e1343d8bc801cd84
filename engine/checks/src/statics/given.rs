//! What a calculation is given: whether it can be worked with, and what to say if not.

use slatwork_base::{Diagnostic, Outcome, Place};

/// Figures nearer to nothing than this (in mm, N, MPa) are slips, and would only overflow what is worked out from them.
const NEXT_TO_NOTHING: f64 = 1e-9;
/// Figures over this are slips as well: a stiffness in N mm a radian comes nearest to it.
const BEYOND_ALL: f64 = 1e15;

/// Up to this, figures of a message are written out.
const WRITTEN_OUT: f64 = 1e7;
/// Figures of a message are rounded to this part.
const PARTS: f64 = 1e4;

/// A figure in a message, to four decimals at the most.
fn short(value: f64) -> String {
    if value.abs() < WRITTEN_OUT {
        ((value * PARTS).round() / PARTS).to_string()
    } else {
        format!("{value:.3e}")
    }
}

/// Collects what is wrong with the figures of one calculation, all of it at once.
#[derive(Debug, Default)]
pub struct Given {
    troubles: Vec<Diagnostic>,
}

impl Given {
    /// Nothing looked at yet.
    pub fn new() -> Self {
        Given::default()
    }

    /// The figure must be a number of a size that one can work with. Gives whether it is.
    fn finite(&mut self, what: &'static str, value: f64) -> bool {
        if value.abs() <= BEYOND_ALL {
            return true;
        }
        let message = format!("the {what} is {value}, which is no figure to work with");
        self.add(Diagnostic::error("not-a-figure", message).help("look at what it is worked out from"), what);
        false
    }

    /// The figure must be greater than zero.
    pub fn positive(&mut self, what: &'static str, value: f64) -> &mut Self {
        if self.finite(what, value) && value < NEXT_TO_NOTHING {
            let message = format!("the {what} is {value} and must be greater than zero");
            self.add(
                Diagnostic::error("not-greater-than-zero", message).help(format!("give the {what}")),
                what,
            );
        }
        self
    }

    /// The figure must be zero or greater.
    pub fn not_negative(&mut self, what: &'static str, value: f64) -> &mut Self {
        if self.finite(what, value) && value < 0.0 {
            let message = format!("the {what} is {value} and must not be less than zero");
            self.add(Diagnostic::error("less-than-zero", message).help("give it without its sign"), what);
        }
        self
    }

    /// The figure may be any number.
    pub fn any(&mut self, what: &'static str, value: f64) -> &mut Self {
        self.finite(what, value);
        self
    }

    /// The figure must lie between two others, both included.
    pub fn within(&mut self, what: &'static str, value: f64, least: f64, most: f64) -> &mut Self {
        if self.finite(what, value) && !(least <= value && value <= most) {
            let message = format!(
                "the {what} is {} and must lie between {} and {}",
                short(value),
                short(least),
                short(most)
            );
            self.add(
                Diagnostic::error("outside-what-is-known", message)
                    .help("stay between them: nothing is known beyond"),
                what,
            );
        }
        self
    }

    /// The figure must be greater than zero, or endless: a limit that is never reached.
    pub fn positive_or_endless(&mut self, what: &'static str, value: f64) -> &mut Self {
        if value == f64::INFINITY { self } else { self.positive(what, value) }
    }

    /// Beyond these the equation is stretched further than its source has tried it: a warning.
    pub fn tried_within(&mut self, what: &'static str, value: f64, least: f64, most: f64) -> &mut Self {
        if value.is_finite() && !(least <= value && value <= most) {
            let message = format!(
                "the {what} is {}, and the source has values only between {} and {}",
                short(value),
                short(least),
                short(most)
            );
            let help = "take the result as an estimate";
            self.add(Diagnostic::warning("beyond-the-tables", message).help(help), what);
        }
        self
    }

    /// Tells a trouble about one of the figures.
    pub fn add(&mut self, trouble: Diagnostic, what: &'static str) -> &mut Self {
        self.troubles.push(trouble.at(Place::Named(what.into())));
        self
    }

    /// Takes over the troubles of another calculation and gives its value.
    pub fn take<T>(&mut self, outcome: Outcome<T>) -> Option<T> {
        self.troubles.extend(outcome.diagnostics);
        outcome.value
    }

    /// The value, unless something is wrong with the figures; it is not worked out then.
    pub fn settle<T>(&mut self, work_out: impl FnOnce() -> T) -> Outcome<T> {
        let diagnostics = core::mem::take(&mut self.troubles);
        let value = if diagnostics.iter().any(Diagnostic::is_error) { None } else { Some(work_out()) };
        Outcome { value, diagnostics }
    }

    /// As [`Given::settle`], where working it out may itself meet troubles.
    pub fn settle_with<T>(&mut self, work_out: impl FnOnce() -> Outcome<T>) -> Outcome<T> {
        self.settle(|| ()).then(|()| work_out())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn all_troubles_are_told_and_nothing_is_worked_out() {
        let mut given = Given::new();
        given.positive("depth", 0.0).positive("breadth", f64::NAN).not_negative("gap", -1.0);
        given.within("humidity", 1.2, 0.0, 1.0).any("moment", f64::INFINITY);
        let outcome: Outcome<()> = given.settle(|| panic!("must not be worked out"));
        let codes: Vec<&str> = outcome.diagnostics.iter().map(|trouble| trouble.code).collect();
        let wanted = [
            "not-greater-than-zero",
            "not-a-figure",
            "less-than-zero",
            "outside-what-is-known",
            "not-a-figure",
        ];
        assert_eq!(codes, wanted);
        assert_eq!(outcome.value, None);
    }

    #[test]
    fn a_stretched_equation_warns_and_answers() {
        let outcome = Given::new().tried_within("specific gravity", 0.9, 0.31, 0.73).settle(|| 7);
        assert_eq!(outcome.value, Some(7));
        assert_eq!(outcome.diagnostics[0].code, "beyond-the-tables");
    }
}
