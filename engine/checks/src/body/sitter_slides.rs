//! # What it checks
//! That the seat falls enough to hold the sitter against a back that leans.
//! # Why
//! A leaning back pushes forward; a level seat under it lets the sitter slide.
//! # Method and source
//! Fall of at least 0.35 of the back's lean, less 2 degrees (project choice, from the forward push of the back on the sitter); of a
//! swing both as it hangs with people in it.
//! # Example
//! A back that leans 20 degrees wants a fall of 5.
//! # Remedy
//! More fall, or less lean.

use super::{shape, worst_as_it_rests};
use crate::{Case, Check, Limit, Look, Measure, Unit, Verdict, Working};
use slatwork_base::Severity;
use slatwork_base::formula::{Equation, Expression, NamedNumber, greatest};
use slatwork_catalog::Status;

const FAULT: &str = "sitter-slides";
pub(super) const CHECK: Check = Check {
    fault: FAULT,
    about: "the seat falls enough that nobody slides off a leaning back",
    rates: false,
    look: Look::Judges(look),
};

/// Fall for each degree of lean, and what friction spares, degrees.
const SHARE: f64 = 0.35;
const SPARED: f64 = 2.0;

/// What a seat must fall at least under a back of such a lean, degrees.
fn needed(lean: f64) -> f64 {
    (SHARE * lean - SPARED).max(0.0)
}

fn look(case: &Case) -> Vec<Verdict> {
    worst_as_it_rests(case, FAULT, |sitting| {
        let lean = sitting.lean?;
        let needed = needed(lean);
        let measure = Measure::new("fall of the seat", sitting.fall, Limit::AtLeast(needed), Unit::Angle);
        let told = format!(
            "the back leans {lean:.1} degrees and the seat falls {:.1}, where it takes {needed:.1} that nobody slides",
            sitting.fall
        );
        let angle = |symbol, meaning, value| NamedNumber::new(symbol, meaning, value, Unit::Angle);
        let own = angle("β", "lean of the back, measured on the piece, as it hangs where it does", lean);
        let by = SHARE * own - Expression::Number(SPARED, Unit::Angle);
        let limit = angle("φn", "fall at which nobody slides", needed);
        let limit = Equation::of(limit, greatest([by, Expression::Number(0.0, Unit::Angle)]));
        let meaning = "fall of the seat, measured on the piece, as it hangs where it does";
        let working = Working::measured("φ", meaning, &measure).held_to(limit);
        let verdict = Verdict::measured(FAULT, measure, Severity::Warning)
            .worked(working)
            .told(told)
            .after("fall of a seat under a leaning back", Status::ProjectChoice);
        Some(shape(verdict, "let the seat fall more, or the back lean less"))
    })
}

#[cfg(test)]
mod tests {
    use super::needed;

    /// As published with the rule: 5 degrees at a lean of 20, 8.5 at 30.
    #[test]
    fn seats_fall_as_the_rule_was_published() {
        assert!((needed(20.0) - 5.0).abs() < 1e-9 && (needed(30.0) - 8.5).abs() < 1e-9);
        assert!(needed(4.0).abs() < 1e-9, "an upright back pushes nobody");
    }
}
