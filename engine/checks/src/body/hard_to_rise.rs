//! # What it checks
//! That people get up from a low or steep seat.
//! # Why
//! Who sits low or far back rises by the arms.
//! # Method and source
//! Front edge under 380 mm, or a fall over 18 degrees: arms are wanted, and they reach to within 50 mm of the front edge (project
//! choice). A swing is judged as it hangs with people in it; where its height is not known only by its fall.
//! # Example
//! A reclined chair 356 mm high, whose arms pass its front edge.
//! # Remedy
//! Arms that reach farther forward, or a higher seat.

use super::{Sitting, worst_as_it_rests};
use crate::{Case, Check, Limit, Look, Measure, Unit, Verdict, Way};
use slatwork_base::{Severity, both_tapes_whole};
use slatwork_catalog::Status;

const FAULT: &str = "hard-to-rise";
pub(super) const CHECK: Check =
    Check { fault: FAULT, about: "people get up from it", rates: false, look: Look::Judges(look) };

/// Lower than this, mm, or steeper, degrees, people rise by the arms.
const LOW: f64 = 380.0;
const STEEP: f64 = 18.0;
/// Arms may end so far behind the front edge, mm.
const ARMS_BEHIND: f64 = 50.0;

fn look(case: &Case) -> Vec<Verdict> {
    worst_as_it_rests(case, FAULT, |sitting| Some(judged(sitting)))
}

fn judged(sitting: &Sitting) -> Verdict {
    let low = sitting.height.map(|height| height < LOW);
    let verdict = if sitting.fall <= STEEP && low.is_none() {
        Verdict::not_judged(FAULT, "the seat is not steep, but how high it hangs is not known")
    } else if sitting.fall <= STEEP && low == Some(false) {
        Verdict::yes_or_no(FAULT, true, Severity::Warning).told("the seat is neither low nor steep")
    } else if let Some(behind) = sitting.arms_behind {
        let limit = Limit::AtMost(ARMS_BEHIND);
        let measure = Measure::new("arms behind the front edge", behind, limit, Unit::Length);
        Verdict::measured(FAULT, measure, Severity::Warning)
            .measured_as("a", "from the front edge back to the arms, measured on the piece")
            .told(format!("from a seat so low or steep people rise by the arms, which end {}", ends(behind)))
    } else {
        Verdict::yes_or_no(FAULT, false, Severity::Warning)
            .told("the seat is low or steep, and there are no arms to rise by")
    };
    verdict
        .after("rising from low seats", Status::ProjectChoice)
        .remedy("let arms reach nearer to the front edge, or set the seat higher", [Way::Shape])
}

fn ends(behind: f64) -> String {
    if behind > 0.0 {
        format!("{} behind the front edge", both_tapes_whole(behind))
    } else {
        format!("{} before the front edge", both_tapes_whole(-behind))
    }
}
