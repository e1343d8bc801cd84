//! # What it checks
//! That the boards under the slats are strong enough, curved or straight, where notches and bolts leave the least of them.
//! # Why
//! A bearer carries whole places; curved ones have short grain, and notches sit where they bend most.
//! # Method and source
//! The whole piece as a frame with springs for joints, under every load case; the worst section by bending about both axes
//! with load along (NDS-2018 3.9, read and from memory), its holes and notches taken out (3.1.2, read), at half, at once and at twice the
//! stiffness of the joints (project choice). Load levels: EN 581-2 by a copy, read; project loads.
//! # Example
//! A scooped bearer that is 60 mm deep at its lowest.
//! # Remedy
//! Take a deeper bearer, or set one more.

use super::roles::Role;
use super::worst_bending;
use crate::{Check, Look, Way};

pub(super) const CHECK: Check = Check {
    fault: "bearer-breaks",
    about: "what seat slats lie on carries them, at its notches and bolts too",
    rates: true,
    look: Look::Judges(|case| {
        worst_bending(
            case,
            "bearer-breaks",
            Role::Bearer,
            |_| true,
            ("Take a deeper bearer, or set one more.", &[Way::Section, Way::Bearers, Way::Wood]),
        )
    }),
};
