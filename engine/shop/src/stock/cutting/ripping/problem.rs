//! What is asked: boards, parts, saws. One problem for each species, grade and thickness. Validated before anything is worked
//! out, so that the solver may add and multiply without looking over its shoulder.

use super::super::problem::{LARGEST, MOST_PARTS};
use super::Flaw;
use std::fmt;

/// One kind of board.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Board {
    /// Along the grain.
    pub length: i64,
    /// Across the grain.
    pub width: i64,
    /// Cost of one, in any whole unit.
    pub cost: i64,
    /// How many there are; `None` when any number can be had.
    pub available: Option<usize>,
    /// How much in it is not wanted in every part: 0 for clear boards.
    pub flaws: u8,
}

/// Parts of one size.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Part {
    /// Along the grain.
    pub length: i64,
    /// Across the grain.
    pub width: i64,
    /// How many are wanted.
    pub demand: usize,
    /// The narrowest board that it may be cut from: 0 when any will do.
    pub narrowest_board: i64,
    /// The widest board that it may be cut from; `None` when any will do.
    pub widest_board: Option<i64>,
    /// The most flaws that its board may have.
    pub flaws: u8,
}

impl Part {
    /// Whether it may be cut from boards so wide and so good.
    pub fn may_come_from(&self, board: &Board) -> bool {
        let is_wide = self.narrowest_board <= board.width;
        is_wide && self.widest_board.is_none_or(|widest| board.width <= widest) && board.flaws <= self.flaws
    }
}

/// Boards, parts and saws. All lengths in one whole unit.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Problem {
    /// What may be cut.
    pub boards: Vec<Board>,
    /// What is wanted.
    pub parts: Vec<Part>,
    /// Width of a cut along the grain.
    pub rip_kerf: i64,
    /// Width of a cut across the grain.
    pub crosscut_kerf: i64,
    /// Squared off the front and the back end of each board, the kerf of that cut included.
    pub trim: [i64; 2],
    /// Taken once off the width of what is ripped, for a straight edge to begin from.
    pub edge_allowance: i64,
    /// No strip is ripped narrower than this.
    pub narrowest_strip: i64,
}

/// How a part comes from a board.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// It takes the whole width: it is as wide as the board, or so nearly that no strip is left beside it.
    Whole,
    /// Out of a strip.
    Strip,
}

/// Why a problem cannot be taken.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Fault {
    /// No board at all.
    NoBoard,
    /// A board whose length or width is zero or negative: index.
    BoardSize(usize),
    /// A negative cost: index of the board.
    BoardCost(usize),
    /// A part whose length or width is zero or negative: index.
    PartSize(usize),
    /// A negative kerf, trim, edge allowance or narrowest strip.
    Saw,
    /// A measure beyond [`LARGEST`].
    TooLong(i64),
    /// More than [`MOST_PARTS`] parts.
    TooManyParts,
    /// Costs that could add up to more than can be counted.
    TooDear,
    /// A part longer than every board between its trims: index, and the longest that any board holds.
    PartTooLong {
        /// Index of the part.
        part: usize,
        /// Longest part that the boards hold; may be negative.
        longest: i64,
    },
    /// A part wider than every board that it may come from: index, and the widest that can be had.
    PartTooWide {
        /// Index of the part.
        part: usize,
        /// Widest part that those boards give.
        widest: i64,
    },
    /// A part that would have to be ripped narrower than the narrowest strip: index.
    StripTooNarrow(usize),
    /// A part that no board gives, although some are long enough and others wide enough: index.
    NoBoardFor(usize),
    /// The answer did not pass its check: the solver is at fault, and nothing is answered.
    Unsound(Flaw),
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Fault::NoBoard => write!(f, "there is no board to cut from"),
            Fault::BoardSize(at) => write!(f, "board {at}: length and width must be greater than zero"),
            Fault::BoardCost(at) => write!(f, "board {at}: the cost is negative"),
            Fault::PartSize(at) => write!(f, "part {at}: length and width must be greater than zero"),
            Fault::Saw => write!(f, "a kerf, a trim, the edge allowance or the narrowest strip is negative"),
            Fault::TooLong(length) => {
                write!(f, "a length of {length} is beyond the {LARGEST} that can be taken")
            }
            Fault::TooManyParts => write!(f, "more than {MOST_PARTS} parts"),
            Fault::TooDear => write!(f, "the costs of so many boards add up to more than can be counted"),
            Fault::PartTooLong { part, longest } => {
                write!(f, "part {part} is longer than every board: the longest that fits is {longest}")
            }
            Fault::PartTooWide { part, widest } => {
                write!(
                    f,
                    "part {part} is wider than every board it may come from: the widest that fits is {widest}"
                )
            }
            Fault::StripTooNarrow(part) => {
                write!(f, "part {part} is narrower than the narrowest strip that may be ripped")
            }
            Fault::NoBoardFor(part) => write!(f, "no board is both long and wide enough for part {part}"),
            Fault::Unsound(flaw) => {
                write!(f, "the answer did not pass its check ({flaw}): please report the problem")
            }
        }
    }
}

impl std::error::Error for Fault {}

impl Problem {
    /// Longest part that a board holds between its trims.
    pub fn usable(&self, board: &Board) -> i64 {
        board.length - self.trim[0] - self.trim[1]
    }

    /// How a part comes from a board, if it can.
    pub fn way(&self, part: &Part, board: &Board) -> Option<Way> {
        if !part.may_come_from(board) || part.length > self.usable(board) {
            return None;
        }
        self.way_across(part.width, board)
    }

    /// The same by the width alone.
    fn way_across(&self, width: i64, board: &Board) -> Option<Way> {
        let beside = board.width - width;
        if beside == 0 || 0 < beside && beside < self.rip_kerf {
            return Some(Way::Whole);
        }
        (beside >= self.edge_allowance && beside > 0 && width >= self.narrowest_strip).then_some(Way::Strip)
    }

    /// Number of parts wanted.
    pub fn part_count(&self) -> usize {
        self.parts.iter().fold(0, |sum, part| sum.saturating_add(part.demand))
    }

    /// Refuses what makes no sense, what would overflow, and parts that no board gives.
    pub fn validate(&self) -> Result<(), Fault> {
        self.validate_saws()?;
        if self.boards.is_empty() {
            return Err(Fault::NoBoard);
        }
        if self.part_count() > MOST_PARTS {
            return Err(Fault::TooManyParts);
        }
        for (at, board) in self.boards.iter().enumerate() {
            if board.length <= 0 || board.width <= 0 {
                return Err(Fault::BoardSize(at));
            }
            not_too_long(board.length.max(board.width))?;
            if board.cost < 0 {
                return Err(Fault::BoardCost(at));
            }
        }
        (0..self.parts.len()).try_for_each(|at| self.validate_part(at))
    }

    fn validate_saws(&self) -> Result<(), Fault> {
        let saws = [
            self.rip_kerf,
            self.crosscut_kerf,
            self.trim[0],
            self.trim[1],
            self.edge_allowance,
            self.narrowest_strip,
        ];
        if saws.iter().any(|&width| width < 0) {
            return Err(Fault::Saw);
        }
        saws.into_iter().try_for_each(not_too_long)
    }

    fn validate_part(&self, at: usize) -> Result<(), Fault> {
        let part = &self.parts[at];
        if part.length <= 0 || part.width <= 0 {
            return Err(Fault::PartSize(at));
        }
        not_too_long(part.length.max(part.width))?;
        if part.demand == 0 || self.boards.iter().any(|board| self.way(part, board).is_some()) {
            return Ok(());
        }
        Err(self.why_not(at))
    }

    /// Why no board gives a part.
    fn why_not(&self, at: usize) -> Fault {
        let part = &self.parts[at];
        let longest = self.boards.iter().map(|board| self.usable(board)).max().unwrap_or(0);
        if part.length > longest {
            return Fault::PartTooLong { part: at, longest };
        }
        let allowed = || self.boards.iter().filter(|board| part.may_come_from(board));
        let widest = allowed().map(|board| board.width).max().unwrap_or(0);
        if part.width > widest {
            return Fault::PartTooWide { part: at, widest };
        }
        let is_narrow = part.width < self.narrowest_strip && allowed().any(|board| board.width > part.width);
        if is_narrow { Fault::StripTooNarrow(at) } else { Fault::NoBoardFor(at) }
    }
}

fn not_too_long(length: i64) -> Result<(), Fault> {
    if length > LARGEST { Err(Fault::TooLong(length)) } else { Ok(()) }
}
