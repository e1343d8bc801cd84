//! # What it checks
//! That the piece does not tip forward under a person on its front edge.
//! # Why
//! People perch on the edge, and rise from it.
//! # Method and source
//! Moments about the front feet: 600 N down 60 mm inside the front edge and 20 N outward at the height of the seat (EN 1022,
//! read second-hand).
//! # Example
//! A seat that reaches 150 mm over its front legs.
//! # Remedy
//! Set the front legs farther forward.

use super::{INSIDE, OUTWARD, PERSON, after_the_standard, judged};
use crate::{Check, Look};
use slatwork_catalog::Status;
use slatwork_solid::DVec3;

pub(super) const CHECK: Check = Check {
    fault: "tips-forward",
    about: "the piece does not tip forward",
    rates: true,
    look: Look::Judges(|case| {
        let verdicts = judged(case, "tips-forward", "forward", "one person on the front edge", |stand| {
            let person = (PERSON, DVec3::Y * (stand.seating.front + INSIDE));
            Some(stand.tipping(-DVec3::Y, &[person], (OUTWARD, stand.seating.height)))
        });
        after_the_standard(verdicts, Status::Read)
    }),
};
