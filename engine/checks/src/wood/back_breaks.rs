//! # What it checks
//! That back slats and their rails and stiles carry people who push against them.
//! # Why
//! A back is a lever: the push of every place bends its stiles where they are bolted.
//! # Method and source
//! The whole piece as a frame with springs for joints, under every load case; the worst section by bending about both axes
//! with load along (NDS-2018 3.9, read and from memory), its holes and notches taken out (3.1.2, read), at half, at once and at twice the
//! stiffness of the joints (project choice). Load levels: EN 581-2 by a copy, read; project loads.
//! # Example
//! Two stiles of 38 x 63 mm behind three places.
//! # Remedy
//! Take thicker boards in the back, or set one more of them.

use super::roles::Role;
use super::worst_bending;
use crate::{Check, Look, Way};

pub(super) const CHECK: Check = Check {
    fault: "back-breaks",
    about: "the back carries those who lean on it",
    rates: true,
    look: Look::Judges(|case| {
        worst_bending(
            case,
            "back-breaks",
            Role::Back,
            |_| true,
            (
                "Take thicker boards in the back, or set one more of them.",
                &[Way::Section, Way::Bearers, Way::Wood],
            ),
        )
    }),
};
