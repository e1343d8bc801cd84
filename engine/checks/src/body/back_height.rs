//! # What it checks
//! How high the back goes on over the seat.
//! # Why
//! A back that ends under the shoulder blades gives no rest; leaned far back, the shoulders want it too.
//! # Method and source
//! Height along the back over shoulder height sitting. Upright: comfortable 0.60 to 0.80 (Gouvali and Boudolos 2006, from
//! memory), tolerable from 0.50 on: taller than needed harms nobody. Lounge: from 0.95, tolerable from 0.75 (project choice). A
//! swing is judged as upright.
//! # Example
//! 457 mm upright: comfortable for 62 %, bearable for all.
//! # Remedy
//! A higher back.

use super::people::size_bound;
use super::{Style, Suited, shape, worst_place};
use crate::{Case, Check, Look, Unit, Verdict};
use slatwork_base::both_tapes_whole;
use slatwork_base::formula::NamedNumber;
use slatwork_catalog::{BodyMeasure, Status};

const FAULT: &str = "back-height-misfits";
pub(super) const CHECK: Check = Check {
    fault: FAULT,
    about: "the back is as high as those who lean on it want",
    rates: false,
    look: Look::Judges(look),
};

/// Height over shoulder height: comfortable range and what is tolerable at least.
const UPRIGHT: ((f64, f64), f64) = ((0.60, 0.80), 0.50);
const LOUNGE: ((f64, f64), f64) = ((0.95, f64::INFINITY), 0.75);

fn look(case: &Case) -> Vec<Verdict> {
    worst_place(case, FAULT, |sitting| {
        let Some(height) = sitting.back_height else {
            return Some(Verdict::does_not_apply(FAULT, "there is no back"));
        };
        Some(judged(case, sitting.style, height))
    })
}

pub(super) fn judged(case: &Case, style: Style, height: f64) -> Verdict {
    let ((low, high), least) = if style == Style::Lounge { LOUNGE } else { UPRIGHT };
    let own = NamedNumber::new(
        "h",
        "height of the back over the seat, measured on the piece",
        height,
        Unit::Length,
    );
    let suited = Suited {
        fault: FAULT,
        told: format!("the back is {} high", both_tapes_whole(height)),
        measure: BodyMeasure::ShoulderHeight,
        comfortable: (height / high, height / low),
        tolerable: (f64::NEG_INFINITY, height / least),
        bounds: size_bound("b2", (&own, least), None, height / least).into_iter().collect(),
        tails: ("", "too low"),
    };
    let verdict = suited
        .judged(case)
        .after("mismatch limits for school seats, Gouvali and Boudolos 2006", Status::FromMemory);
    shape(verdict, "make the back higher")
}
