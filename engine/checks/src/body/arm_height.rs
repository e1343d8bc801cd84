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
use crate::{Case, Check, Look, Unit, Verdict};
use slatwork_base::both_tapes_whole;
use slatwork_base::formula::{Equation, Expression, NamedNumber};
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
    let own = NamedNumber::new(
        "h",
        "height of the arms over the seat, measured on the piece",
        height,
        Unit::Length,
    );
    let bearable = elbows(TOLERABLE);
    let over = |symbol, meaning, (off, value): (f64, f64)| {
        let left = NamedNumber::new(symbol, meaning, value, Unit::Length);
        Equation::of(left, &own - Expression::Number(off, Unit::Length))
    };
    let suited = Suited {
        fault: FAULT,
        told: format!("the arms are {} over the middle of the seat", both_tapes_whole(height)),
        measure: BodyMeasure::ElbowRestHeight,
        comfortable: elbows(COMFORTABLE),
        tolerable: bearable,
        bounds: vec![
            over("b1", "least height of elbows that can bear it", (TOLERABLE.1, bearable.0)),
            over("b2", "greatest height of elbows that can bear it", (TOLERABLE.0, bearable.1)),
        ],
        tails: ("too high", "too low"),
    };
    suited.judged(case).after("arms over elbows", Status::ProjectChoice)
}
