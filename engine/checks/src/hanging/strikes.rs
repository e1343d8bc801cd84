//! # What it checks
//! That the seat strikes nothing while it swings: wall, railing or window, in front, behind and beside it.
//! # Why
//! A wooden seat with people in it hits hard, and who stands behind it is caught against the wall.
//! # Method and source
//! Every corner turned about the hooks by 30 degrees each way, and 300 mm more in front and behind, and to each side (project
//! choice). The site says how far from the line of the hooks the nearest hard thing stands: `clear_front`, `clear_rear`; and beside
//! each end of the seat: `clear_side`.
//! # Example
//! A wall 30 in behind hooks that hold a seat 5 ft 6 in below.
//! # Remedy
//! Hooks farther from the wall, or a lower hang; no hard corner, railing or window in the path.

use super::reach::reach;
use super::{hung_part, told_metres, with_hung};
use crate::{Case, Check, Limit, Look, Measure, Unit, Verdict, Way};
use slatwork_base::formula::{Equation, NamedNumber};
use slatwork_base::{Length, Severity};
use slatwork_catalog::Status;

const FAULT: &str = "swing-strikes";
pub(super) const CHECK: Check = Check {
    fault: FAULT,
    about: "the seat strikes nothing while it swings",
    rates: false,
    look: Look::Judges(look),
};

/// Beyond the travel, m (project choice).
const CLEAR: f64 = 0.3;

fn look(case: &Case) -> Vec<Verdict> {
    with_hung(case, FAULT, |hung| {
        let Some(reach) = reach(case, hung) else {
            return vec![Verdict::not_judged(FAULT, "it does not hang").about(hung_part(case))];
        };
        let site = &case.model.site;
        let from_hooks = [
            ("rear", site.clear_rear, reach.rear, "from the line of the hooks to the rear"),
            ("front", site.clear_front, reach.front, "from the line of the hooks to the front"),
        ];
        let sides = ("side", site.clear_side, 0.0, "beside each end of the seat");
        let all = from_hooks.into_iter().chain([sides]);
        all.map(|(way, clear, reach, words)| judged(case, way, clear, reach, words)).collect()
    })
}

fn judged(case: &Case, way: &str, clear: Option<Length>, reach: f64, words: &str) -> Verdict {
    let needed = reach + CLEAR;
    let room = format!("swung 30 degrees it needs {} {words}", told_metres(needed));
    let verdict = match clear {
        None => {
            Verdict::not_judged(FAULT, format!("{room}; the site does not say what there is (clear_{way})"))
        }
        Some(clear) => {
            let measure =
                Measure::new("clear room", clear.as_mm(), Limit::AtLeast(needed * 1e3), Unit::Length);
            let length = |symbol, meaning, value| NamedNumber::new(symbol, meaning, value, Unit::Length);
            let swept =
                length("r", "how far the seat comes, swept by its corners from the posture", reach * 1e3);
            let beyond = length("c", "room that stays beyond", CLEAR * 1e3);
            let limit = Equation::of(length("Ln", "room that it needs", needed * 1e3), swept + beyond);
            Verdict::measured(FAULT, measure, Severity::Failure)
                .measured_as("L", "clear room, as the site tells it")
                .held_to(limit)
                .told(format!("{room}; there are {}", told_metres(clear.as_metre())))
        }
    };
    verdict
        .about(hung_part(case))
        .governed_by("swung 30 degrees")
        .assuming("legs stretched out reach farther; nobody stands in the path")
        .after("swept by the corners of the seat", Status::Derived)
        .after("30 degrees and 11 13/16\" (300 mm) beyond", Status::ProjectChoice)
        .remedy("set the hooks farther from what stands there, or hang the seat lower", [Way::Place])
}
