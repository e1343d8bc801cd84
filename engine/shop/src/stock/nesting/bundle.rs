//! Rows as single pieces for a solver that knows only lengths: a bundle is cut from the board as one length and then sawn apart.

use super::arrange::arranged;
use super::block::{Placement, blocks};
use super::plan::{groups, window};
use super::row::{Rows, Steps};
use super::shelf::Shelf;
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

/// Bundles that are shorter than what they fall apart into with the clearance between, those that save most for their length
/// first, up to a number; and each part alone, which comes before them. So q equal parts come as l + (q - 1) pitches, and
/// stacks come as they are.
pub fn bundles(problem: &NestProblem, most: usize) -> Result<Vec<Bundle>, NestFault> {
    problem.check()?;
    let (mut alone, mut together) = (Vec::new(), Vec::new());
    for kinds in groups(problem) {
        let steps = Steps::new(blocks(problem, &kinds));
        let wanted: Vec<usize> = (0..problem.parts.len())
            .map(|part| if kinds.contains(&part) { problem.parts[part].count } else { 0 })
            .collect();
        let Some(rows) = Rows::new(&steps, &window(&wanted, &steps)) else { continue };
        let mut shelf = Shelf::new(problem, rows)?;
        for way in 1..shelf.rows.lattice.size() {
            let Some((saved, bundle)) = bundle(problem, &mut shelf, way) else { continue };
            if bundle.placements.len() == 1 {
                alone.push(bundle);
            } else if saved > 0 {
                together.push((saved, bundle));
            }
        }
    }
    let share = |saved: i64, other: &Bundle| i128::from(saved) * i128::from(other.length.as_nm());
    together
        .sort_by(|a, b| share(b.0, &a.1).cmp(&share(a.0, &b.1)).then_with(|| a.1.counts.cmp(&b.1.counts)));
    alone.extend(together.into_iter().take(most).map(|(_, bundle)| bundle));
    Ok(alone)
}

/// The bundle of a way, and what it saves against the best two that it falls apart into.
fn bundle(problem: &NestProblem, shelf: &mut Shelf, way: usize) -> Option<(i64, Bundle)> {
    let row = shelf.shortest(way).filter(|row| row.length <= problem.longest())?;
    let within = shelf.rows.lattice.within(way);
    let clearance = problem.clearance.as_nm();
    let apart = within.iter().filter(|&&part| part != 0 && part != way).filter_map(|&part| {
        Some(shelf.shortest(part)?.length + clearance + shelf.shortest(way - part)?.length)
    });
    let saved = apart.min().map_or(0, |apart| apart - row.length);
    let bundle = Bundle {
        counts: shelf.rows.lattice.counts(way),
        length: Length::nm(row.length),
        placements: row.placements(&shelf.rows.steps.blocks),
        proven: row.proven,
    };
    Some((saved, bundle))
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
