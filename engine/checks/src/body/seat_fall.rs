//! # What it checks
//! How far the seat falls to the rear.
//! # Why
//! A level seat lets the sitter slide forward, a steep one folds the body and is hard to leave.
//! # Method and source
//! Upright 3 to 8 degrees, tolerable 0 to 12 (pages on benches, read second hand); lounge 12 to 22, tolerable 8 to 26 (Grandjean's
//! easy chair second hand, and project choice); swing 5 to 12 as it hangs with somebody in it, tolerable 2 to 15 (project
//! choice). Of a hollow seat the line from the front edge to under the seat bones counts, 130 mm before the back.
//! # Example
//! A bench that falls 4 degrees with a scoop of 5/8 in.
//! # Remedy
//! More or less fall.

use super::{Ranges, shape, worst_as_it_rests};
use crate::{Case, Check, Look, Verdict};

const FAULT: &str = "seat-fall-misfits";
pub(super) const CHECK: Check = Check {
    fault: FAULT,
    about: "the seat falls to the rear as it should",
    rates: false,
    look: Look::Judges(look),
};

/// Of a swing as it hangs with people in it, degrees: comfortable and tolerable.
pub(crate) const SWING_FALL: [(f64, f64); 2] = [(5.0, 12.0), (2.0, 15.0)];

/// Degrees: comfortable and tolerable.
const RANGES: Ranges =
    Ranges { upright: [(3.0, 8.0), (0.0, 12.0)], lounge: [(12.0, 22.0), (8.0, 26.0)], swing: SWING_FALL };

fn look(case: &Case) -> Vec<Verdict> {
    worst_as_it_rests(case, FAULT, |sitting| {
        let verdict = sitting.style.angle(FAULT, "fall of the seat", sitting.fall, RANGES);
        Some(shape(verdict, "let the seat fall more or less"))
    })
}
