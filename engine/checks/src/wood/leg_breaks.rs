//! # What it checks
//! That legs are strong enough under load from above and from the side.
//! # Why
//! Short grain, tapers and bolt holes meet in legs; one that breaks throws everybody.
//! # Method and source
//! The whole piece as a frame with springs for joints, under every load case; the worst section by bending about both axes
//! with load along (NDS-2018 3.9, read and from memory), its holes and notches taken out (3.1.2, read), at half, at once and at twice the
//! stiffness of the joints (project choice). Load levels: EN 581-2 by a copy, read; project loads.
//! # Example
//! A bent rear leg sawn from a board: at the bend the grain runs out.
//! # Remedy
//! Take a wider plank for the legs, or taper them less.

use super::roles::Role;
use super::worst_bending;
use crate::{Check, Look, Way};

pub(super) const CHECK: Check = Check {
    fault: "leg-breaks",
    about: "legs carry the piece, and who pushes it sideways or back",
    rates: true,
    look: Look::Judges(|case| {
        worst_bending(
            case,
            "leg-breaks",
            Role::Leg,
            |_| true,
            ("Take a wider plank for the legs, or taper them less.", &[Way::Section, Way::Wood]),
        )
    }),
};
