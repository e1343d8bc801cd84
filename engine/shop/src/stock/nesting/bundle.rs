//! Rows as single pieces for a solver that knows only lengths: a bundle is cut from the board as one length and then sawn apart.

use super::arrange::arranged;
use super::block::{Placement, blocks};
use super::plan::{groups, window};
use super::row::{Rows, Steps};
use super::{NestFault, NestProblem};
use slatwork_base::Length;

/// Trials of a row that is asked for alone: enough to prove most whose parts touch beyond their neighbours.
const TRIALS: usize = 20_000;

/// Some parts in a row.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Bundle {
    /// How many of each part.
    pub counts: Vec<usize>,
    /// Length to cut from the board.
    pub length: Length,
    /// The parts where they lie in it.
    pub placements: Vec<Placement>,
    /// Whether no row of these parts, as single parts at the levels looked at and stacks, is shorter.
    pub proven: bool,
}

/// All parts in one row, as short as found, on a board without end: proven where they are few.
pub fn shortest_row(problem: &NestProblem) -> Result<Bundle, NestFault> {
    problem.check()?;
    let kinds: Vec<usize> = groups(problem).concat();
    let steps = Steps::new(blocks(problem, &kinds));
    let counts = problem.counts();
    let row = if window(&counts, &steps) == counts {
        Rows::new(&steps, &counts).and_then(|rows| rows.shortest(rows.lattice.way(&counts), &[], TRIALS))
    } else {
        None
    };
    let each = counts.iter().enumerate().flat_map(|(part, &count)| std::iter::repeat_n(part, count));
    let row = row.unwrap_or_else(|| arranged(&steps, &each.collect::<Vec<_>>()));
    let placements = row.placements(&steps.blocks);
    Ok(Bundle { counts, length: Length::nm(row.length), placements, proven: row.proven })
}
