//! [`Shelf`]: the rows of every way of taking parts, on every board, found when asked for.

use super::partition::{Lengths, Offer};
use super::row::{Obstacle, Row, Rows};
use super::{NestFault, NestProblem};
use std::collections::BTreeMap;

/// Trials of one row of the thousands on a shelf: a few dives.
const TRIALS: usize = 200;

/// Rows of some kinds of parts.
pub(super) struct Shelf<'a> {
    problem: &'a NestProblem,
    pub(super) rows: Rows<'a>,
    /// By board.
    obstacles: Vec<Vec<Obstacle>>,
    /// By way, and by board where that has zones.
    known: BTreeMap<(usize, Option<usize>), Option<Row>>,
}

impl<'a> Shelf<'a> {
    pub(super) fn new(problem: &'a NestProblem, rows: Rows<'a>) -> Result<Self, NestFault> {
        let obstacles = problem.boards.iter().map(|board| board.zones.iter().map(Obstacle::new).collect());
        Ok(Shelf { problem, rows, obstacles: obstacles.collect::<Result<_, _>>()?, known: BTreeMap::new() })
    }

    fn length(&self, board: usize) -> i64 {
        self.problem.boards[board].length.as_nm()
    }

    /// The row of a way on a board, if it fits.
    pub(super) fn row(&mut self, way: usize, board: usize) -> Option<Row> {
        self.known_row(way, board).cloned()
    }

    /// Length that the row of a way takes on a board, nm.
    pub(super) fn used(&mut self, way: usize, board: usize) -> Option<i64> {
        self.known_row(way, board).map(|row| row.length)
    }

    /// No row of a way on a board takes less.
    pub(super) fn used_at_least(&self, way: usize, board: usize) -> Option<i64> {
        Some(self.rows.at_least(way)).filter(|&least| least <= self.length(board))
    }

    /// By board, then by way: the length that the row takes, and the least that any row takes, where it fits.
    pub(super) fn lengths(&mut self) -> (Vec<Lengths>, Vec<Lengths>) {
        let (boards, ways) = (0..self.problem.boards.len(), 0..self.rows.lattice.size());
        let used = boards.clone().map(|board| ways.clone().map(|way| self.used(way, board)).collect());
        let used = used.collect();
        let at_least = boards.map(|board| ways.clone().map(|way| self.used_at_least(way, board)).collect());
        (used, at_least.collect())
    }

    fn known_row(&mut self, way: usize, board: usize) -> Option<&Row> {
        self.used_at_least(way, board)?;
        let (length, zones) = (self.length(board), &self.obstacles[board]);
        let key = (way, (!zones.is_empty()).then_some(board));
        let known = self.known.entry(key).or_insert_with(|| self.rows.shortest(way, zones, TRIALS));
        known.as_ref().filter(|row| row.length <= length)
    }

    /// Area of the parts of a way, twice, nm^2.
    pub(super) fn area(&self, way: usize) -> i128 {
        let counts = self.rows.lattice.counts(way);
        let parts = counts.iter().zip(&self.problem.parts);
        parts.map(|(&count, part)| count as i128 * part.polygon.twice_area()).sum()
    }

    /// The board and way with the least cost for its area; of equal ones the larger area.
    pub(super) fn best(&mut self, offers: &[Offer]) -> Option<(usize, usize)> {
        let mut best: Option<(i64, i128, usize, usize)> = None;
        for offer in offers.iter().filter(|offer| offer.available != Some(0)) {
            for way in 1..self.rows.lattice.size() {
                let area = self.area(way);
                let better = best.is_none_or(|(cost, most, ..)| {
                    let (own, other) = (i128::from(offer.cost) * most, i128::from(cost) * area);
                    own < other || (own == other && area > most)
                });
                if better && self.used(way, offer.board).is_some() {
                    best = Some((offer.cost, area, offer.board, way));
                }
            }
        }
        best.map(|(.., board, way)| (board, way))
    }
}
