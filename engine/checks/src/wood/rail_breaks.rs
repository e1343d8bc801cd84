//! # What it checks
//! That rails, stretchers and braces are strong enough.
//! # Why
//! They hold legs and bearers in place; when one breaks the others are not where they were drawn.
//! # Method and source
//! The whole piece as a frame with springs for joints, under every load case; the worst section by bending about both axes
//! with load along (NDS-2018 3.9, read and from memory), its holes and notches taken out (3.1.2, read), at half, at once and at twice the
//! stiffness of the joints (project choice). Load levels: EN 581-2 by a copy, read; project loads.
//! # Example
//! A rear rail of 19 mm that holds two middle bearers.
//! # Remedy
//! Take a wider or thicker rail.

use super::roles::Role;
use super::worst_bending;
use crate::{Check, Look, Way};

pub(super) const CHECK: Check = Check {
    fault: "rail-breaks",
    about: "rails and braces carry what the frame hands them",
    rates: true,
    look: Look::Judges(|case| {
        worst_bending(
            case,
            "rail-breaks",
            Role::Rail,
            |_| true,
            ("Take a wider or thicker rail.", &[Way::Section, Way::Wood]),
        )
    }),
};
