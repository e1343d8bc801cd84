//! Lengths that give several parts: a row of curved parts is crosscut from its board as one, and parted afterwards.
//!
//! Stock, kerf and trims are those of plain parts, and so is the way to a proven plan. A pattern holds so many of each part; of
//! those that some length gives together with others, each number of them is known by the least room that it takes, in
//! whatever lengths, and stands on a board beside plain parts. Bound and plan are so over all the lengths that are listed.
//!
//! | file | what |
//! |---|---|
//! | `mod.rs`, `answer.rs` | what is asked, what is answered |
//! | `rows.rs` | the least room of every number of parts |
//! | `pricing.rs` | which patterns are worth more than they cost, and all that a cheaper plan could use |
//! | `solve.rs` | from problem to proven plan |
//! | `checker.rs` | goes over every answer, by other means |

mod answer;
mod checker;
mod pricing;
mod rows;
mod solve;
#[cfg(test)]
mod tests;

pub use answer::{Answer, Certificate, Layout, Tallies, Worths};
pub use checker::{Flaw, check};
pub use solve::solve;

use super::{Part, Stock};
use std::fmt;

/// A length that is crosscut from a board.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Cut {
    /// Length.
    pub length: i64,
    /// Each part that it gives, and how many; a plain part is one by itself.
    pub parts: Vec<(usize, usize)>,
}

/// A cutting problem with lengths that give several parts. All lengths in one whole unit.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Problem {
    /// What may be cut.
    pub stocks: Vec<Stock>,
    /// How many are wanted of each part.
    pub demands: Vec<usize>,
    /// The lengths that may be crosscut.
    pub cuts: Vec<Cut>,
    /// Width of a cut.
    pub kerf: i64,
    /// Squared off the front and the back end of each piece of stock, the kerf of that cut included.
    pub trim: [i64; 2],
}

/// Why a problem cannot be taken.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Fault {
    /// What is wrong with stock, saw, costs or a length; lengths go by their place among the cuts.
    Cutting(super::Fault),
    /// A length that gives nothing, or a part that is not there: index of the cut.
    Cut(usize),
    /// A part that no length short enough for any stock gives: its index.
    NotMade(usize),
    /// Together more numbers of parts lie on a board than can be listed.
    TooMany,
    /// The answer did not pass its check: the solver is at fault, and nothing is answered.
    Unsound(Flaw),
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Fault::Cutting(fault) => fault.fmt(f),
            Fault::Cut(at) => write!(f, "length {at} gives no part that is wanted"),
            Fault::NotMade(part) => write!(f, "part {part} comes from no length that any stock holds"),
            Fault::TooMany => write!(f, "the lengths give too many numbers of parts to list"),
            Fault::Unsound(flaw) => {
                write!(f, "the answer did not pass its check ({flaw}): please report the problem")
            }
        }
    }
}

impl std::error::Error for Fault {}

impl Problem {
    /// Refuses what makes no sense, and parts that cannot be had.
    pub fn validate(&self) -> Result<(), Fault> {
        // Lengths that no stock holds are of no use, and no fault.
        let part = |cut: &Cut| Part { length: cut.length, demand: 0 };
        let plain = self.plain(self.cuts.iter().map(part).collect());
        plain.validate().map_err(Fault::Cutting)?;
        let gives = |cut: &Cut| {
            let known = cut.parts.iter().all(|own| own.0 < self.demands.len() && own.1 > 0);
            known && !cut.parts.is_empty()
        };
        if let Some(at) = self.cuts.iter().position(|cut| !gives(cut)) {
            return Err(Fault::Cut(at));
        }
        let longest = plain.stocks.iter().map(|stock| plain.room(stock) - self.kerf).max().unwrap_or(0);
        let made = |part: usize| {
            self.cuts.iter().any(|cut| cut.length <= longest && cut.parts.iter().any(|own| own.0 == part))
        };
        let lacking = (0..self.demands.len()).find(|&part| self.demands[part] > 0 && !made(part));
        lacking.map_or(Ok(()), |part| Err(Fault::NotMade(part)))?;
        let all = self.demands.iter().fold(0_usize, |sum, &demand| sum.saturating_add(demand));
        let counted = self.plain(vec![Part { length: 1, demand: all }]);
        counted.validate().map_err(Fault::Cutting)
    }

    /// The same stock and saw for plain parts.
    fn plain(&self, parts: Vec<Part>) -> super::Problem {
        super::Problem { stocks: self.stocks.clone(), parts, kerf: self.kerf, trim: self.trim }
    }
}
