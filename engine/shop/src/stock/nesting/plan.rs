//! Which boards, and which row on each.
//!
//! Few parts: every way of taking some of them is a row of known length, so the cheapest boards are an exact partition of
//! the parts. Many parts: the row with the least cost for its area is cut again and again, until what is left is few.

use super::block::{Placement, blocks};
use super::bound::{cost_by_area, cost_by_pitch};
use super::partition::{Offer, Partition, partition};
use super::row::{Row, Rows, Steps};
use super::shelf::Shelf;
use super::{NestFault, NestProblem, verify};
use slatwork_base::Length;

/// Most kinds of parts that are looked at together.
const MOST_KINDS: usize = 12;
/// Most pairs of a way and a way within it that a partition goes through.
const MOST_PARTITION: usize = 1_000_000;

/// A board with its parts.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NestedBoard {
    /// Index of the kind of board.
    pub board: usize,
    /// Parts, in order from the low end.
    pub placements: Vec<Placement>,
    /// From the low end to the end of the last part.
    pub used: Length,
}

/// Boards for all parts, and what cannot be beaten.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct NestPlan {
    /// Boards in the order they are opened.
    pub boards: Vec<NestedBoard>,
    /// A part for each that found no board, as many times as it is left over.
    pub unplaced: Vec<usize>,
    /// Cost of the boards.
    pub cost: i64,
    /// Without parts unplaced: no rows of the blocks looked at cost less.
    pub cost_of_rows_at_least: i64,
    /// Without parts unplaced: no layout whatever costs less.
    pub cost_at_least: i64,
}

impl NestPlan {
    /// Length of the boards.
    pub fn length(&self, problem: &NestProblem) -> Length {
        self.boards.iter().map(|nested| problem.boards[nested.board].length).sum()
    }
}

/// Nests all parts, at the least cost found, and goes over the result.
pub fn nest(problem: &NestProblem) -> Result<NestPlan, NestFault> {
    problem.check()?;
    let mut yard = Yard::new(problem);
    let groups = groups(problem);
    let mut least = cost_by_area(problem);
    yard.plan.cost_at_least = least;
    for kinds in &groups {
        let steps = Steps::new(blocks(problem, kinds));
        let rows_at_least = yard.nest_kinds(&steps, kinds)?;
        if groups.len() == 1 {
            least = least.max(cost_by_pitch(problem, &steps)).max(rows_at_least.unwrap_or(0));
        }
    }
    yard.plan.cost_of_rows_at_least = least;
    verify(problem, &yard.plan).map_err(NestFault::NotVerified)?;
    Ok(yard.plan)
}

/// Kinds of parts that are wanted, longest first, in groups that are looked at together.
pub(super) fn groups(problem: &NestProblem) -> Vec<Vec<usize>> {
    let mut kinds: Vec<usize> =
        (0..problem.parts.len()).filter(|&part| problem.parts[part].count > 0).collect();
    kinds.sort_by_key(|&part| (std::cmp::Reverse(problem.parts[part].polygon.length()), part));
    kinds.chunks(MOST_KINDS).map(<[usize]>::to_vec).collect()
}

/// What is still wanted and to be had.
struct Yard<'a> {
    problem: &'a NestProblem,
    left: Vec<usize>,
    available: Vec<Option<usize>>,
    plan: NestPlan,
}

impl<'a> Yard<'a> {
    fn new(problem: &'a NestProblem) -> Self {
        let available = problem.boards.iter().map(|board| board.available).collect();
        Yard { problem, left: problem.counts(), available, plan: NestPlan::default() }
    }

    /// Nests what is left of some kinds. The least cost of rows, when all that is wanted is few enough to tell.
    fn nest_kinds(&mut self, steps: &Steps, kinds: &[usize]) -> Result<Option<i64>, NestFault> {
        loop {
            let wanted: Vec<usize> = (0..self.left.len())
                .map(|part| if kinds.contains(&part) { self.left[part] } else { 0 })
                .collect();
            let counts = window(&wanted, steps);
            let Some(rows) = Rows::new(steps, &counts) else { return Ok(None) };
            let mut shelf = Shelf::new(self.problem, rows)?;
            if counts == wanted {
                let all = wanted == self.problem.counts();
                let least = self.nest_few(&mut shelf);
                return Ok(least.filter(|_| all));
            }
            if !self.nest_often(&mut shelf) {
                self.leave(&wanted);
                return Ok(None);
            }
        }
    }

    fn offers(&self) -> Vec<Offer> {
        let offer = |(board, available): (usize, &Option<usize>)| Offer {
            board,
            cost: self.problem.boards[board].cost,
            available: *available,
        };
        self.available.iter().enumerate().map(offer).collect()
    }

    /// The cheapest boards for all of a shelf; when there are too few, for as much of it by area as they hold. The least
    /// cost of rows by neighbours alone.
    fn nest_few(&mut self, shelf: &mut Shelf) -> Option<i64> {
        let (offers, all) = (self.offers(), shelf.rows.lattice.size() - 1);
        let (used, at_least) = shelf.lengths();
        let found = partition(&shelf.rows.lattice, &offers, &used);
        let least = partition(&shelf.rows.lattice, &offers, &at_least);
        let held = (0..=all).filter(|&way| found.score(way).is_some());
        let most = held.max_by_key(|&way| shelf.area(way)).unwrap_or(0);
        self.take(shelf, &found, most);
        self.leave(&shelf.rows.lattice.counts(all - most));
        least.score(all).map(|score| score.0)
    }

    fn take(&mut self, shelf: &mut Shelf, found: &Partition, way: usize) {
        for (board, held) in found.boards(way) {
            if let Some(row) = shelf.row(held, board) {
                self.open(board, &row, shelf);
            }
        }
    }

    /// Opens a board.
    fn open(&mut self, board: usize, row: &Row, shelf: &Shelf) {
        let placements = row.placements(&shelf.rows.steps.blocks);
        for placed in &placements {
            self.left[placed.part] -= 1;
        }
        if let Some(available) = &mut self.available[board] {
            *available -= 1;
        }
        self.plan.cost += self.problem.boards[board].cost;
        self.plan.boards.push(NestedBoard { board, placements, used: Length::nm(row.length) });
    }

    /// Gives up parts.
    fn leave(&mut self, counts: &[usize]) {
        for (part, &count) in counts.iter().enumerate() {
            self.left[part] -= count;
            self.plan.unplaced.extend(std::iter::repeat_n(part, count));
        }
    }

    /// Opens the board with the least cost for its area as often as all of it is wanted; whether there was one.
    fn nest_often(&mut self, shelf: &mut Shelf) -> bool {
        let Some((board, way)) = shelf.best(&self.offers()) else { return false };
        let (counts, Some(row)) = (shelf.rows.lattice.counts(way), shelf.row(way, board)) else {
            return false;
        };
        while self.available[board] != Some(0) && counts.iter().zip(&self.left).all(|(own, left)| own <= left)
        {
            self.open(board, &row, shelf);
        }
        true
    }
}

/// As many of each part as can be looked at together: all, or the largest counts taken down one by one.
pub(super) fn window(wanted: &[usize], steps: &Steps) -> Vec<usize> {
    let mut counts = wanted.to_vec();
    while !fits(&counts, steps) {
        let Some(most) = (0..counts.len()).max_by_key(|&part| counts[part]) else { break };
        counts[most] -= 1;
    }
    counts
}

fn fits(counts: &[usize], steps: &Steps) -> bool {
    let product = |of: fn(usize) -> usize| {
        counts.iter().try_fold(1_usize, |product, &count| product.checked_mul(of(count)))
    };
    let pairs = product(|count| (count + 1) * (count + 2) / 2);
    let ways = product(|count| count + 1).and_then(|ways| ways.checked_mul(steps.blocks.len().pow(2)));
    pairs.is_some_and(|pairs| pairs <= MOST_PARTITION)
        && ways.is_some_and(|ways| ways <= super::row::MOST_WORK)
}
