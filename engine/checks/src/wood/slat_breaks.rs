//! # What it checks
//! That seat slats are strong enough between their bearers, each by itself.
//! # Why
//! A slat that breaks lets a person fall through, and neighbours carry nothing of what stands on it.
//! # Method and source
//! The whole piece as a frame with springs for joints, under every load case; the worst section by bending about both axes
//! with load along (NDS-2018 3.9, read and from memory), its holes and notches taken out (3.1.2, read), at half, at once and at twice the
//! stiffness of the joints (project choice). Load levels: EN 581-2 by a copy, read; project loads.
//! # Example
//! A board 20 mm thick over 600 mm: a person standing in the middle bends it beyond what it may carry.
//! # Remedy
//! Take thicker slats, or set one more bearer under them.

use super::roles::Role;
use super::worst_bending;
use crate::{Check, Look, Way};

pub(super) const CHECK: Check = Check {
    fault: "slat-breaks",
    about: "seat slats carry those who sit, and who stands on them",
    rates: true,
    look: Look::Judges(|case| {
        worst_bending(
            case,
            "slat-breaks",
            Role::Slat,
            |_| true,
            (
                "Take thicker slats, or set one more bearer under them.",
                &[Way::Section, Way::Bearers, Way::Wood],
            ),
        )
    }),
};
