//! The shortest row of blocks, one after another along a board.
//!
//! Two passes. A dynamic program over the ways of taking parts looks only at neighbours: it gives for each last block and
//! each rest of parts the least length still to come, a lower bound, as parts farther back only push on. A search depth
//! first, led by that bound, then lays blocks clear of all before them and of the zones; where neighbours are all that
//! touch, its first dive is the optimum and proves it at once.

use super::apart::{Laid, keep_apart};
use super::block::{Block, Placement, step};
use super::silhouette::{Disc, Silhouette};
use super::{NestFault, Point, Polygon, Zone};
use crate::stock::counts::Lattice;

/// Beyond all lengths.
const NEVER: i64 = i64::MAX / 4;
/// Most steps of the dynamic program: some tenths of a second.
pub(super) const MOST_WORK: usize = 100_000_000;

/// Blocks laid along a board.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Row {
    /// Index of each block and where it begins.
    pub(super) laid: Vec<(usize, i64)>,
    /// From the board's low end to the end of the last part.
    pub(super) length: i64,
    /// Whether no row of these blocks is shorter.
    pub(super) proven: bool,
}

impl Row {
    /// The parts where they lie.
    pub(super) fn placements(&self, blocks: &[Block]) -> Vec<Placement> {
        let moved =
            |placed: &Placement, x: i64| Placement { at: placed.at.plus(Point::new(x, 0)), ..*placed };
        self.laid
            .iter()
            .flat_map(|&(block, x)| blocks[block].placements.iter().map(move |placed| moved(placed, x)))
            .collect()
    }
}

/// Blocks with their distances.
#[derive(Clone, Debug)]
pub(super) struct Steps {
    pub(super) blocks: Vec<Block>,
    steps: Vec<i64>,
}

impl Steps {
    pub(super) fn new(blocks: Vec<Block>) -> Self {
        let steps = blocks.iter().flat_map(|own| blocks.iter().map(|next| step(own, next))).collect();
        Steps { blocks, steps }
    }

    pub(super) fn between(&self, block: usize, next: usize) -> i64 {
        self.steps[block * self.blocks.len() + next]
    }

    /// Blocks that hold a part alone.
    pub(super) fn singles(&self, part: usize) -> impl Iterator<Item = usize> + '_ {
        let alone = move |placements: &[Placement]| placements.len() == 1 && placements[0].part == part;
        (0..self.blocks.len()).filter(move |&block| alone(&self.blocks[block].placements))
    }

    /// Blocks one after the other, each as far down as those before allow.
    pub(super) fn laid(&self, blocks: &[usize]) -> Vec<(usize, i64)> {
        let mut laid = Vec::with_capacity(blocks.len());
        for &block in blocks {
            laid.push((block, self.after(&laid, block, &[])));
        }
        laid
    }

    /// Length of the row of these blocks.
    pub(super) fn length(&self, blocks: &[usize]) -> i64 {
        self.laid(blocks).iter().map(|&(block, x)| x + self.blocks[block].length).max().unwrap_or(0)
    }

    /// Where a block begins after all that are laid, and clear of the zones.
    pub(super) fn after(&self, laid: &[(usize, i64)], block: usize, zones: &[Obstacle]) -> i64 {
        let pushed = laid.iter().map(|&(own, x)| x + self.between(own, block)).max().unwrap_or(0);
        clear_of(zones, &self.blocks[block], pushed)
    }
}

/// A zone that a row goes round; parts keep no clearance from it.
#[derive(Clone, Debug)]
pub(super) struct Obstacle {
    at: Point,
    polygon: Polygon,
    silhouette: Silhouette,
}

impl Obstacle {
    pub(super) fn new(zone: &Zone) -> Result<Self, NestFault> {
        let size = zone.high.minus(zone.low);
        let polygon = Polygon::rectangle(size.x, size.y)?;
        let silhouette = Silhouette::new(&polygon, &Disc::new(0));
        Ok(Obstacle { at: zone.low, polygon, silhouette })
    }

    fn hits(&self, block: &Block, x: i64) -> bool {
        let own = Laid { polygon: &self.polygon, at: self.at };
        block.parts().any(|(placed, polygon)| {
            let at = placed.at.plus(Point::new(x, 0));
            !keep_apart(own, Laid { polygon, at }, 0)
        })
    }
}

/// Where a block begins that may not begin before `x`: there, or behind a zone that it would reach into.
fn clear_of(zones: &[Obstacle], block: &Block, mut x: i64) -> i64 {
    // Behind a zone it is clear of that for good, so each moves it once at most.
    while let Some(zone) = zones.iter().find(|zone| zone.hits(block, x)) {
        let behind = zone.silhouette.separation(&block.silhouette, -zone.at.y).unwrap_or(0);
        x = x.max(zone.at.x + behind);
    }
    x
}

/// The least lengths by neighbours, for every way of taking parts.
#[derive(Clone, Debug)]
pub(super) struct Rows<'a> {
    pub(super) lattice: Lattice,
    pub(super) steps: &'a Steps,
    /// What each block takes off a way.
    taken: Vec<usize>,
    /// By rest of parts, then by block: least length from the block's low end to the row's end.
    rest: Vec<i64>,
}

impl<'a> Rows<'a> {
    /// The table for up to `counts` of each part; `None` when it takes more than [`MOST_WORK`].
    pub(super) fn new(steps: &'a Steps, counts: &[usize]) -> Option<Self> {
        let kinds = steps.blocks.len();
        let lattice = Lattice::new(counts, MOST_WORK / (kinds * kinds).max(1))?;
        let taken = steps.blocks.iter().map(|block| block.taken(&lattice)).collect();
        let mut rows = Rows { rest: Vec::with_capacity(lattice.size() * kinds), taken, steps, lattice };
        for way in 0..rows.lattice.size() {
            let following: Vec<usize> = rows.fitting(way).collect();
            for block in 0..kinds {
                let own = rows.steps.blocks[block].length;
                let after =
                    |next: usize| rows.steps.between(block, next) + rows.rest(way - rows.taken[next], next);
                let least = following.iter().map(|&next| after(next)).min();
                let least = least.unwrap_or(if way == 0 { own } else { NEVER });
                rows.rest.push(least.max(own).min(NEVER));
            }
        }
        Some(rows)
    }

    fn rest(&self, way: usize, block: usize) -> i64 {
        self.rest[way * self.steps.blocks.len() + block]
    }

    /// Blocks whose parts are all in a way.
    fn fitting(&self, way: usize) -> impl Iterator<Item = usize> + '_ {
        (0..self.taken.len()).filter(move |&block| self.steps.blocks[block].fits(&self.lattice, way))
    }

    /// No row of these parts is shorter, whatever the zones.
    pub(super) fn at_least(&self, way: usize) -> i64 {
        let first = |block: usize| self.rest(way - self.taken[block], block);
        self.fitting(way).map(first).min().unwrap_or(if way == 0 { 0 } else { NEVER })
    }

    /// The shortest row of some parts that goes round the zones, within a number of trials.
    pub(super) fn shortest(&self, way: usize, zones: &[Obstacle], trials: usize) -> Option<Row> {
        let mut search =
            Search { rows: self, zones, laid: Vec::new(), best: None, bound: self.at_least(way), trials };
        search.extend(way, 0);
        let proven = search.trials > 0;
        search.best.map(|row| Row { proven, ..row })
    }
}

/// A row being laid.
struct Search<'a> {
    rows: &'a Rows<'a>,
    zones: &'a [Obstacle],
    laid: Vec<(usize, i64)>,
    best: Option<Row>,
    bound: i64,
    trials: usize,
}

impl Search<'_> {
    /// Lays the parts of a way after what is laid, which ends at `end`.
    fn extend(&mut self, way: usize, end: i64) {
        if way == 0 {
            self.keep(end);
            return;
        }
        let mut following: Vec<(i64, usize, i64)> = self
            .rows
            .fitting(way)
            .map(|block| {
                let x = self.rows.steps.after(&self.laid, block, self.zones);
                let least = x + self.rows.rest(way - self.rows.taken[block], block);
                (least.max(end), block, x)
            })
            .collect();
        following.sort_unstable();
        for (least, block, x) in following {
            let best = self.best.as_ref().map_or(NEVER, |row| row.length);
            if least >= best || best == self.bound || self.trials == 0 {
                return;
            }
            self.trials -= 1;
            let ends = x + self.rows.steps.blocks[block].length;
            self.laid.push((block, x));
            self.extend(way - self.rows.taken[block], end.max(ends));
            self.laid.pop();
        }
    }

    fn keep(&mut self, length: i64) {
        if self.best.as_ref().is_none_or(|row| length < row.length) {
            self.best = Some(Row { laid: self.laid.clone(), length, proven: false });
        }
    }
}
