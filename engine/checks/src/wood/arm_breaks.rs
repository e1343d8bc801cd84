//! # What it checks
//! That arms carry a person who rises on them, at their ends and in the middle, and who pushes them sideways.
//! # Why
//! People put half their weight on one arm when they rise.
//! # Method and source
//! The whole piece as a frame with springs for joints, under every load case; the worst section by bending about both axes
//! with load along (NDS-2018 3.9, read and from memory), its holes and notches taken out (3.1.2, read), at half, at once and at twice the
//! stiffness of the joints (project choice). Load levels: EN 581-2 by a copy, read; project loads.
//! # Example
//! An arm of 19 mm between supports 550 mm apart.
//! # Remedy
//! Take a thicker arm, or set a support nearer to its middle.

use super::roles::Role;
use super::worst_bending;
use crate::framing::About;
use crate::{Check, Look, Way};

pub(super) const CHECK: Check = Check {
    fault: "arm-breaks",
    about: "arms carry who leans or rises on them",
    rates: true,
    look: Look::Judges(|case| {
        worst_bending(
            case,
            "arm-breaks",
            Role::Arm,
            |about| about != About::Standing,
            (
                "Take a thicker arm, or set a support nearer to its middle.",
                &[Way::Section, Way::Span, Way::Wood],
            ),
        )
    }),
};
