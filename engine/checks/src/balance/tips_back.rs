//! # What it checks
//! That the piece does not tip over backwards when somebody leans hard.
//! # Why
//! People throw themselves back into a seat, and push off with their feet.
//! # Method and source
//! Moments about the rear feet: 600 N on a place against a push F on the back, 300 mm over the seat (ISO 7174-1, read);
//! F = 0.2857 (1000 - h) N, at least 100, h the height of the seat in mm (EN 1022, from memory).
//! # Example
//! A bench with upright rear legs under a back that leans far.
//! # Remedy
//! Splay the rear legs, or set the seat farther in front of them.

use super::{PERSON, Tipping, after_the_standard, judged};
use crate::{Check, Look, Unit};
use slatwork_base::formula::{Equation, Expression, NamedNumber, greatest};
use slatwork_catalog::Status;
use slatwork_solid::DVec3;

/// Push on the back for each mm that the seat is under a metre, N, and the least push (EN 1022, from memory).
const PUSH: (f64, f64) = (0.2857, 100.0);

pub(super) const CHECK: Check = Check {
    fault: "tips-back",
    about: "the piece does not tip over backwards",
    rates: true,
    look: Look::Judges(|case| {
        let verdicts = judged(case, "tips-back", "backwards", "one person leaning back", |stand| {
            let seating = &stand.seating;
            let height = stand.height(seating.height);
            let push = (PUSH.0 * (METRE - height)).max(PUSH.1);
            let person = (PERSON, DVec3::Y * seating.loaded);
            let tipping = stand.tipping(DVec3::Y, &[person], (push, seating.back?));
            Some(Tipping { by: Some(pushed(height, push)), ..tipping })
        });
        after_the_standard(verdicts, Status::FromMemory)
    }),
};

/// A metre in mm.
const METRE: f64 = 1e3;

/// The push on the back by the height of the seat.
fn pushed(height: f64, push: f64) -> Equation {
    let height = NamedNumber::new("hs", "height of the seat, measured on the piece", height, Unit::Length);
    let lower = Expression::Number(METRE, Unit::Length) - height;
    let by = Expression::Number(PUSH.0, Unit::ForcePerLength) * lower;
    let left = NamedNumber::new("H", "push outward", push, Unit::Force);
    Equation::of(left, greatest([by, Expression::Number(PUSH.1, Unit::Force)]))
}
