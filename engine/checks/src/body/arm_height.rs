//! # What it checks
//! The height of the arms over the seat against elbows.
//! # Why
//! High arms push shoulders up, low ones make the sitter lean.
//! # Method and source
//! Top of the arms over the middle of the seat, less elbow rest height: comfortable -30 to +30 mm, tolerable -60 to +50 (ANSUR II,
//! derived; ranges project choice).
//! # Example
//! 229 mm: comfortable for 68 %, bearable for 95 % of men and women half and half; 178 mm for 14 and 50 %.
//! # Remedy
//! Higher or lower arms.

use super::{Suited, shape, worst_place};
use crate::{Case, Check, Look, Verdict};
use slatwork_base::both_tapes_whole;
use slatwork_catalog::{BodyMeasure, Status};

const FAULT: &str = "arm-height-misfits";
pub(super) const CHECK: Check = Check {
    fault: FAULT,
    about: "arms are as high over the seat as elbows",
    rates: false,
    look: Look::Judges(look),
};

/// Of the arm over the elbow, mm: comfortable and tolerable.
const COMFORTABLE: (f64, f64) = (-30.0, 30.0);
const TOLERABLE: (f64, f64) = (-60.0, 50.0);

fn look(case: &Case) -> Vec<Verdict> {
    worst_place(case, FAULT, |sitting| {
        let arms = case.model.seat.iter().flat_map(|seat| &seat.arms).map(|arm| case.model.part(*arm));
        Some(shape(judged(case, sitting.arm_height?).about(arms), "set the arms higher or lower"))
    })
}

pub(super) fn judged(case: &Case, height: f64) -> Verdict {
    let elbows = |(low, high): (f64, f64)| (height - high, height - low);
    let suited = Suited {
        fault: FAULT,
        told: format!("the arms are {} over the middle of the seat", both_tapes_whole(height)),
        measure: BodyMeasure::ElbowRestHeight,
        comfortable: elbows(COMFORTABLE),
        tolerable: elbows(TOLERABLE),
        tails: ("too high", "too low"),
    };
    suited.judged(case).after("arms over elbows", Status::ProjectChoice)
}
