//! What is to be nested, and on what.

use super::{Faces, MOST_CLEARANCE, MOST_EXTENT, NestFault, Point, Polygon};
use slatwork_base::Length;

/// Most parts of one problem, counted with their numbers.
pub const MOST_PARTS: usize = 2_000;

/// Largest cost of a board: the cost of all parts on boards of their own is still a number.
pub const MOST_COST: i64 = 1 << 48;

/// Parts of one outline.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NestPart {
    /// The outline.
    pub polygon: Polygon,
    /// Which faces may lie up.
    pub faces: Faces,
    /// How many.
    pub count: usize,
}

/// A rectangle of a board that no part may reach into.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Zone {
    /// Corner with the least coordinates.
    pub low: Point,
    /// Corner with the largest coordinates.
    pub high: Point,
}

/// Boards of one length, squared and trimmed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NestBoard {
    /// Between the trims.
    pub length: Length,
    /// Cost of one, in any whole unit.
    pub cost: i64,
    /// How many there are; `None` when any number can be had.
    pub available: Option<usize>,
    /// Defects, measured from the low corner.
    pub zones: Vec<Zone>,
}

/// Parts to be nested on boards of one width, their grain along the boards.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NestProblem {
    /// Parts.
    pub parts: Vec<NestPart>,
    /// Width of all boards.
    pub width: Length,
    /// Least distance between two parts: kerf of the saw that parts them, and margin.
    pub clearance: Length,
    /// Boards.
    pub boards: Vec<NestBoard>,
}

impl NestProblem {
    /// Refuses what has no meaning: the first fault found.
    pub(super) fn check(&self) -> Result<(), NestFault> {
        if !(0..=MOST_CLEARANCE).contains(&self.clearance.as_nm()) {
            return Err(NestFault::BadClearance);
        }
        if self.boards.is_empty() {
            return Err(NestFault::NoBoards);
        }
        if let Some(board) = self.boards.iter().position(|board| !self.is_sound(board)) {
            return Err(NestFault::BadBoard { board });
        }
        let (widest, longest) = (self.width.as_nm(), self.longest());
        if widest > MOST_EXTENT || longest > MOST_EXTENT {
            return Err(NestFault::TooLarge);
        }
        if self
            .counts()
            .iter()
            .try_fold(0_usize, |sum, &count| sum.checked_add(count))
            .is_none_or(|sum| sum > MOST_PARTS)
        {
            return Err(NestFault::TooManyParts);
        }
        if let Some(part) = self.parts.iter().position(|part| part.polygon.width() > widest) {
            return Err(NestFault::WiderThanBoard { part });
        }
        match self.parts.iter().position(|part| part.polygon.length() > longest) {
            Some(part) => Err(NestFault::LongerThanBoards { part }),
            None => Ok(()),
        }
    }

    fn is_sound(&self, board: &NestBoard) -> bool {
        let zone = |zone: &Zone| {
            (0 <= zone.low.x && zone.low.x < zone.high.x && zone.high.x <= MOST_EXTENT)
                && (0 <= zone.low.y && zone.low.y < zone.high.y && zone.high.y <= MOST_EXTENT)
        };
        self.width.is_positive()
            && board.length.is_positive()
            && (0..=MOST_COST).contains(&board.cost)
            && board.zones.iter().all(zone)
    }

    /// Length of the longest board, nm.
    pub(super) fn longest(&self) -> i64 {
        self.boards.iter().map(|board| board.length.as_nm()).max().unwrap_or(0)
    }

    /// How many of each part.
    pub(super) fn counts(&self) -> Vec<usize> {
        self.parts.iter().map(|part| part.count).collect()
    }
}
