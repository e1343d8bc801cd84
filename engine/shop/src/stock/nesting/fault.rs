//! What cannot be nested, each by its name.

use super::{PlanFault, Point};
use std::fmt;

/// Why a polygon, a board or a problem is refused.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NestFault {
    /// A corner has a coordinate or a bulge that is no number.
    NotFinite {
        /// Index of the corner.
        corner: usize,
    },
    /// The outline encloses next to nothing.
    NoArea,
    /// The outline runs clockwise.
    Clockwise,
    /// The outline crosses or touches itself, or runs back over itself.
    SelfCrossing {
        /// Where, near enough.
        at: Point,
    },
    /// A coordinate, a length or a width is beyond [`MOST_EXTENT`](super::MOST_EXTENT).
    TooLarge,
    /// The outline has more than [`MOST_CORNERS`](super::MOST_CORNERS) corners.
    TooManyCorners,
    /// A corner is too sharp to be snapped to whole nanometres outward.
    TooSharp {
        /// Where, near enough.
        at: Point,
    },
    /// The tolerance of flattening is not positive.
    BadTolerance,
    /// The clearance is negative or beyond [`MOST_CLEARANCE`](super::MOST_CLEARANCE).
    BadClearance,
    /// A board's length, width or cost is negative, nothing or too large, or a zone of it is inside out.
    BadBoard {
        /// Index of the board.
        board: usize,
    },
    /// There is no board at all.
    NoBoards,
    /// More than [`MOST_PARTS`](super::MOST_PARTS) parts are wanted.
    TooManyParts,
    /// A part is wider than the boards; it may not be turned by a quarter.
    WiderThanBoard {
        /// Index of the part.
        part: usize,
    },
    /// A part is longer than every board.
    LongerThanBoards {
        /// Index of the part.
        part: usize,
    },
    /// A plan did not stand being gone over again: an error of this room.
    NotVerified(PlanFault),
}

impl fmt::Display for NestFault {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        match self {
            NestFault::NotFinite { corner } => write!(f, "corner {corner} is no number"),
            NestFault::NoArea => f.write_str("the outline encloses nothing"),
            NestFault::Clockwise => f.write_str("the outline runs clockwise"),
            NestFault::SelfCrossing { at } => write!(f, "the outline crosses itself near {at}"),
            NestFault::TooLarge => f.write_str("a size is too large"),
            NestFault::TooManyCorners => f.write_str("the outline has too many corners"),
            NestFault::TooSharp { at } => write!(f, "the corner near {at} is too sharp"),
            NestFault::BadTolerance => f.write_str("the tolerance is not positive"),
            NestFault::BadClearance => f.write_str("the clearance is negative or too large"),
            NestFault::BadBoard { board } => {
                write!(f, "board {board} has a size, cost or zone that cannot be")
            }
            NestFault::NoBoards => f.write_str("there is no board"),
            NestFault::TooManyParts => f.write_str("too many parts are wanted"),
            NestFault::WiderThanBoard { part } => write!(f, "part {part} is wider than the boards"),
            NestFault::LongerThanBoards { part } => write!(f, "part {part} is longer than every board"),
            NestFault::NotVerified(fault) => write!(f, "the nest is not sound: {fault}"),
        }
    }
}
