//! # What it checks
//! The depth of the seat, from its front edge to where the back is met, against the length of thighs.
//! # Why
//! Too deep, and the edge catches the calves of short people or keeps them off the back; too short, and thighs hang.
//! # Method and source
//! Depth along the seat to the back's face 175 mm above it (150 to 200, project choice) over buttock-popliteal length:
//! comfortable 0.80 to 0.95 (mismatch limits for school seats, Gouvali and Boudolos 2006, from memory), tolerable 0.70 to 0.99
//! (project choice). Shares by a normal distribution for each sex.
//! # Example
//! 432 mm: comfortable for 86 %, bearable for 98 % of men and women half and half; 508 mm only for 9 and 26 %.
//! # Remedy
//! A shallower or deeper seat, or the back set forward.

use super::people::size_bound;
use super::{Suited, shape, worst_place};
use crate::{Case, Check, Look, Unit, Verdict};
use slatwork_base::both_tapes_whole;
use slatwork_base::formula::NamedNumber;
use slatwork_catalog::{BodyMeasure, Status};

const FAULT: &str = "seat-depth-misfits";
pub(super) const CHECK: Check = Check {
    fault: FAULT,
    about: "the seat is as deep as thighs are long",
    rates: false,
    look: Look::Judges(look),
};

/// Depth over buttock-popliteal length: comfortable and tolerable.
const COMFORTABLE: (f64, f64) = (0.80, 0.95);
const TOLERABLE: (f64, f64) = (0.70, 0.99);

fn look(case: &Case) -> Vec<Verdict> {
    worst_place(case, FAULT, |sitting| {
        let Some(depth) = sitting.depth else {
            return Some(Verdict::not_judged(FAULT, "the depth of a seat without a back is not judged"));
        };
        Some(judged(case, depth))
    })
}

pub(super) fn judged(case: &Case, depth: f64) -> Verdict {
    let thighs = |(low, high): (f64, f64)| (depth / high, depth / low);
    let own = NamedNumber::new("l", "depth of the seat, measured on the piece", depth, Unit::Length);
    let bearable = thighs(TOLERABLE);
    let bounds = [("b1", TOLERABLE.1, bearable.0), ("b2", TOLERABLE.0, bearable.1)]
        .into_iter()
        .filter_map(|(symbol, ratio, value)| size_bound(symbol, (&own, ratio), None, value));
    let suited = Suited {
        fault: FAULT,
        told: format!("the seat is {} deep", both_tapes_whole(depth)),
        measure: BodyMeasure::ButtockPoplitealLength,
        comfortable: thighs(COMFORTABLE),
        tolerable: bearable,
        bounds: bounds.collect(),
        tails: ("too deep", "too shallow"),
    };
    let verdict = suited
        .judged(case)
        .after("mismatch limits for school seats, Gouvali and Boudolos 2006", Status::FromMemory);
    shape(verdict, "make the seat deeper or shallower")
}
