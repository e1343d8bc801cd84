//! # What it checks
//! How high the front of the seat stands over the floor as it hangs, empty and with people, so that a fall from it is short.
//! # Why
//! Children are assumed: they climb, and fall out of what moves.
//! # Method and source
//! Front edge of every place with every seating at equilibrium; at most 600 mm where children use it (project choice, after
//! common guidance on heights that call for protection).
//! # Example
//! A seat hung 4 ft over a porch.
//! # Remedy
//! Longer chains, or state that only adults use it.

use super::{hung_part, told_metres, with_hung};
use crate::{Case, Check, Limit, Look, Measure, Unit, Verdict, Way};
use slatwork_base::{Severity, both_tapes_whole};
use slatwork_catalog::Status;

const FAULT: &str = "swing-hangs-high";
pub(super) const CHECK: Check =
    Check { fault: FAULT, about: "a fall from the seat is short", rates: false, look: Look::Judges(look) };

/// mm (project choice).
const MOST: f64 = 600.0;

fn look(case: &Case) -> Vec<Verdict> {
    with_hung(case, FAULT, |hung| {
        let Some(floor) = hung.floor else {
            let why = "how high it hangs is told by the site (hook_height)";
            return vec![Verdict::not_judged(FAULT, why).about(hung_part(case))];
        };
        let edges = &hung.sitters.edges;
        let heights = hung.hanging().flat_map(|(state, posture)| {
            edges.iter().map(move |edge| (state, (posture.origin + posture.turn * *edge).z - floor))
        });
        let all: Vec<_> = heights.collect();
        let Some((state, most)) = all.iter().max_by(|one, other| one.1.total_cmp(&other.1)) else {
            return vec![Verdict::not_judged(FAULT, "it does not hang").about(hung_part(case))];
        };
        let least = all.iter().map(|own| own.1).fold(f64::INFINITY, f64::min);
        let told = format!(
            "the front of the seat hangs {} to {} over the floor, with and without people",
            told_metres(least),
            told_metres(*most)
        );
        let verdict = if case.model.people.children {
            let measure = Measure::new("height of the front", most * 1e3, Limit::AtMost(MOST), Unit::Length);
            Verdict::measured(FAULT, measure, Severity::Failure)
                .measured_as("h", "greatest height of the front edge over the floor, from the posture")
                .told(told)
                .governed_by(format!("children; {}", state.name))
                .after(both_tapes_whole(MOST), Status::ProjectChoice)
        } else {
            Verdict::yes_or_no(FAULT, true, Severity::Failure)
                .told(format!("{told}; only adults use it, as stated"))
                .after("who uses it, of the site", Status::Stated)
        };
        vec![
            verdict
                .about(hung_part(case))
                .after("posture by equilibrium of the seat under its chains", Status::Derived)
                .remedy("lengthen the chains, or state that only adults use it", [Way::Place]),
        ]
    })
}
