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

use super::{PERSON, after_the_standard, judged};
use crate::{Check, Look};
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
            let push = (PUSH.0 * (1000.0 - stand.height(seating.height))).max(PUSH.1);
            let person = (PERSON, DVec3::Y * seating.loaded);
            Some(stand.margin(DVec3::Y, &[person], (push, seating.back?)))
        });
        after_the_standard(verdicts, Status::FromMemory)
    }),
};
