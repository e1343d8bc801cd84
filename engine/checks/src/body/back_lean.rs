//! # What it checks
//! The angle between seat and back.
//! # Why
//! Under a right angle the body is folded and pushed off; far over it the sitter slides, and the neck is bent.
//! # Method and source
//! Upright 95 to 105 degrees, tolerable 90 to 110; lounge 100 to 112, tolerable 95 to 120 (guides on benches, read; Grandjean's
//! 105 to 110, read second hand); swing 98 to 108, tolerable 93 to 115 (project choice). The back's face counts where loins lean
//! on it, 100 to 300 mm above the seat. Of a swing the lean from upright as it hangs with people in it is told beside, which is
//! comfortable from 15 to 25 (project choice) and not judged: fall and angle are.
//! # Example
//! A seat that falls 4 degrees and a back that leans 13: 99 degrees.
//! # Remedy
//! More or less lean of the back.

use super::{Ranges, Sitting, Style, shape, worst_as_it_rests};
use crate::{Case, Check, Look, Verdict};

const FAULT: &str = "back-lean-misfits";
pub(super) const CHECK: Check = Check {
    fault: FAULT,
    about: "seat and back open at an angle that is sat in at ease",
    rates: false,
    look: Look::Judges(look),
};

/// Degrees: comfortable and tolerable.
const RANGES: Ranges = Ranges {
    upright: [(95.0, 105.0), (90.0, 110.0)],
    lounge: [(100.0, 112.0), (95.0, 120.0)],
    swing: [(98.0, 108.0), (93.0, 115.0)],
};

/// Of a swing's back from upright, degrees: comfortable (project choice).
const SWING_LEAN: (f64, f64) = (15.0, 25.0);

fn look(case: &Case) -> Vec<Verdict> {
    worst_as_it_rests(case, FAULT, |sitting| {
        let Some(included) = sitting.included() else {
            return Some(Verdict::does_not_apply(FAULT, "there is no back"));
        };
        let verdict = sitting.style.angle(FAULT, "angle between seat and back", included, RANGES);
        Some(shape(with_lean(verdict, sitting), "let the back lean more or less"))
    })
}

/// Of a swing, whose back leans as it hangs, how far.
fn with_lean(verdict: Verdict, sitting: &Sitting) -> Verdict {
    let (Style::Swing, Some(lean)) = (sitting.style, sitting.lean) else { return verdict };
    let (low, high) = SWING_LEAN;
    let told = format!(
        "{}; the back leans {lean:.1} degrees from upright, comfortable from {low:.0} to {high:.0}",
        verdict.told
    );
    verdict.told(told)
}
