//! [`SolidFault`]: why a shape cannot be built.

use std::fmt;

use crate::DVec2;

/// Why a shape cannot be built.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum SolidFault {
    /// The outline has fewer than three corners, or no area.
    NoOutline,
    /// The outline runs clockwise.
    Clockwise,
    /// The outline crosses or touches itself.
    SelfCrossing {
        /// Where, in the outline's plane, mm.
        at: DVec2,
    },
    /// The shape has no thickness (`high` is not above `low`).
    NoThickness,
    /// A size is not a number, or not finite.
    NotFinite,
    /// A size is beyond a kilometre, where the tolerances of the kernel lose their meaning.
    TooLarge,
    /// Cuts and notches leave no wood.
    Empty,
    /// The surface of the solid could not be closed.
    NotClosed,
}

impl fmt::Display for SolidFault {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            SolidFault::NoOutline => {
                out.write_str("the outline encloses no area; give it at least three corners that do not lie on one line")
            }
            SolidFault::Clockwise => {
                out.write_str("the outline runs clockwise; list its corners counter-clockwise")
            }
            SolidFault::SelfCrossing { at } => write!(
                out,
                "the outline crosses or touches itself at ({:.2}, {:.2}) mm; make the curve shallower or the board wider there",
                at.x, at.y
            ),
            SolidFault::NoThickness => out.write_str("the board has no thickness; make the high side lie above the low side"),
            SolidFault::NotFinite => {
                out.write_str("a size of the board is not a finite number; look for a division by zero or a square root of a negative number")
            }
            SolidFault::TooLarge => {
                out.write_str("a size of the board is beyond a kilometre; look for a missing or doubled unit")
            }
            SolidFault::Empty => {
                out.write_str("nothing is left of the board after its cuts and notches; check which side of the cut is kept")
            }
            SolidFault::NotClosed => out.write_str(
                "the surface of the board could not be closed; move cuts or notches that nearly coincide apart, or make them coincide",
            ),
        }
    }
}

impl std::error::Error for SolidFault {}
