//! What is asked: stock lengths with prices and numbers, parts with demands, a saw. Validated before anything is worked
//! out, so that the solver may add and multiply without looking over its shoulder.

use super::Flaw;
use std::collections::BTreeSet;
use std::fmt;

/// Longest length, and dearest sum, that is taken: whole numbers up to here are also exact in binary64 (2^53).
/// In nanometres that is 9,007 km.
pub const LARGEST: i64 = 1 << 53;

/// Most parts in one problem (project choice): twenty times a large order for a fair is 10^5.
pub const MOST_PARTS: usize = 10_000_000;

/// Most different lengths of parts, and kinds of stock, together (project choice): each is a row of a linear program whose
/// inverse is held whole, some 30 MB for so many. The largest instance of the benchmark has 401.
pub const MOST_KINDS: usize = 2_000;

/// One kind of stock.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stock {
    /// Length of each piece.
    pub length: i64,
    /// Cost of one, in any whole unit.
    pub cost: i64,
    /// How many there are; `None` when any number can be had.
    pub available: Option<usize>,
}

/// Parts of one length.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Part {
    /// Length.
    pub length: i64,
    /// How many are wanted.
    pub demand: usize,
}

/// A one-dimensional cutting-stock problem. All lengths in one whole unit.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Problem {
    /// What may be cut.
    pub stocks: Vec<Stock>,
    /// What is wanted.
    pub parts: Vec<Part>,
    /// Width of a cut.
    pub kerf: i64,
    /// Squared off the front and the back end of each piece of stock, the kerf of that cut included.
    pub trim: [i64; 2],
}

/// Why a problem cannot be taken.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Fault {
    /// No stock at all.
    NoStock,
    /// A stock length that is zero or negative: index.
    StockLength(usize),
    /// A negative cost: index of the stock.
    StockCost(usize),
    /// A part length that is zero or negative: index.
    PartLength(usize),
    /// A negative kerf.
    Kerf,
    /// A negative trim.
    Trim,
    /// A length of stock, part, kerf or trim beyond [`LARGEST`].
    TooLong(i64),
    /// More than [`MOST_PARTS`] parts.
    TooManyParts,
    /// More than [`MOST_KINDS`] different lengths and kinds of stock: how many.
    TooManyKinds(usize),
    /// Costs that could add up to more than can be counted.
    TooDear,
    /// The answer did not pass its check: the solver is at fault, and nothing is answered.
    Unsound(Flaw),
    /// A part longer than every piece of stock between its trims: index, and the longest that any stock holds.
    PartTooLong {
        /// Index of the part.
        part: usize,
        /// Longest part that the stock holds; may be negative.
        longest: i64,
    },
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Fault::NoStock => write!(f, "there is no stock to cut from"),
            Fault::StockLength(at) => write!(f, "stock {at}: the length must be greater than zero"),
            Fault::StockCost(at) => write!(f, "stock {at}: the cost is negative"),
            Fault::PartLength(at) => write!(f, "part {at}: the length must be greater than zero"),
            Fault::Kerf => write!(f, "the kerf is negative"),
            Fault::Trim => write!(f, "a trim is negative"),
            Fault::TooLong(length) => {
                write!(f, "a length of {length} is beyond the {LARGEST} that can be taken")
            }
            Fault::TooManyParts => write!(f, "more than {MOST_PARTS} parts"),
            Fault::TooManyKinds(count) => {
                write!(
                    f,
                    "{count} different lengths of parts and stock are more than the {MOST_KINDS} that can be taken"
                )
            }
            Fault::TooDear => {
                write!(f, "the costs of so many pieces of stock add up to more than can be counted")
            }
            Fault::Unsound(flaw) => {
                write!(f, "the answer did not pass its check ({flaw}): please report the problem")
            }
            Fault::PartTooLong { part, longest } => {
                write!(f, "part {part} is longer than every stock: the longest that fits is {longest}")
            }
        }
    }
}

impl std::error::Error for Fault {}

impl Problem {
    /// Room for parts that each carry one kerf: n parts have n-1 kerfs between them, and the last cut takes its kerf from
    /// the remainder, which may be shorter than the kerf. One kerf added to the stock states this exactly.
    pub fn room(&self, stock: &Stock) -> i64 {
        stock.length - self.trim[0] - self.trim[1] + self.kerf
    }

    /// Number of parts wanted.
    pub fn part_count(&self) -> usize {
        self.parts.iter().fold(0, |sum, part| sum.saturating_add(part.demand))
    }

    /// Refuses what makes no sense, what would overflow, and parts that no stock holds.
    pub fn validate(&self) -> Result<(), Fault> {
        self.validate_saw()?;
        if self.stocks.is_empty() {
            return Err(Fault::NoStock);
        }
        let count = self.part_count();
        if count > MOST_PARTS {
            return Err(Fault::TooManyParts);
        }
        for (at, stock) in self.stocks.iter().enumerate() {
            validate_stock(at, stock)?;
        }
        let longest = self.stocks.iter().map(|stock| self.room(stock) - self.kerf).max().unwrap_or(0);
        for (at, part) in self.parts.iter().enumerate() {
            if part.length <= 0 {
                return Err(Fault::PartLength(at));
            }
            not_too_long(part.length)?;
            if part.demand > 0 && part.length > longest {
                return Err(Fault::PartTooLong { part: at, longest });
            }
        }
        let kinds = self.kind_count();
        if kinds > MOST_KINDS { Err(Fault::TooManyKinds(kinds)) } else { Ok(()) }
    }

    /// Different lengths of parts, and different kinds of stock.
    fn kind_count(&self) -> usize {
        let wanted = self.parts.iter().filter(|part| part.demand > 0);
        let lengths: BTreeSet<i64> = wanted.map(|part| part.length).collect();
        let kind = |stock: &Stock| (stock.length, stock.cost, stock.available.is_some());
        let kinds: BTreeSet<(i64, i64, bool)> = self.stocks.iter().map(kind).collect();
        lengths.len() + kinds.len()
    }

    fn validate_saw(&self) -> Result<(), Fault> {
        if self.kerf < 0 {
            return Err(Fault::Kerf);
        }
        if self.trim.iter().any(|&trim| trim < 0) {
            return Err(Fault::Trim);
        }
        self.trim.iter().chain([&self.kerf]).try_for_each(|&length| not_too_long(length))
    }
}

fn validate_stock(at: usize, stock: &Stock) -> Result<(), Fault> {
    if stock.length <= 0 {
        return Err(Fault::StockLength(at));
    }
    not_too_long(stock.length)?;
    if stock.cost < 0 { Err(Fault::StockCost(at)) } else { Ok(()) }
}

fn not_too_long(length: i64) -> Result<(), Fault> {
    if length > LARGEST { Err(Fault::TooLong(length)) } else { Ok(()) }
}
