//! # What it checks
//! That the lowest of the seat stays clear of the floor while it swings.
//! # Why
//! A foot, or a child who lies there, is caught under it.
//! # Method and source
//! Every corner turned about the hooks by 30 degrees each way, with nobody and with all in it; at least 150 mm (project choice).
//! # Example
//! Hooks 7 ft 2 in over the floor for a seat drawn for 8 ft.
//! # Remedy
//! Shorter chains, or higher hooks.

use super::reach::reach;
use super::{hung_part, told_metres, with_hung};
use crate::{Case, Check, Limit, Look, Measure, Unit, Verdict, Way};
use slatwork_base::{Severity, both_tapes_whole};
use slatwork_catalog::Status;

const FAULT: &str = "swing-hangs-low";
pub(super) const CHECK: Check = Check {
    fault: FAULT,
    about: "the seat stays clear of the floor",
    rates: false,
    look: Look::Judges(look),
};

/// mm (project choice: a shoe on its side).
const CLEAR: f64 = 150.0;

fn look(case: &Case) -> Vec<Verdict> {
    with_hung(case, FAULT, |hung| {
        let verdict = match (hung.floor, reach(case, hung)) {
            (Some(floor), Some(reach)) => {
                let over = reach.lowest - floor;
                let measure =
                    Measure::new("lowest over the floor", over * 1e3, Limit::AtLeast(CLEAR), Unit::Length);
                Verdict::measured(FAULT, measure, Severity::Failure)
                    .measured_as("h", "lowest corner over the floor, swung 30 degrees from the posture")
                    .told(format!(
                        "swung 30 degrees its lowest corner passes {} over the floor",
                        told_metres(over)
                    ))
            }
            (None, _) => Verdict::not_judged(FAULT, "how high it hangs is told by the site (hook_height)"),
            (_, None) => Verdict::not_judged(FAULT, "it does not hang"),
        };
        vec![
            verdict
                .about(hung_part(case))
                .after("swept by the corners of the seat", Status::Derived)
                .after(both_tapes_whole(CLEAR), Status::ProjectChoice)
                .remedy("shorten the chains, or set the hooks higher", [Way::Place]),
        ]
    })
}
