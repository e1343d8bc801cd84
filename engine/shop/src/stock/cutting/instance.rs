//! The problem as the solver sees it: sizes and capacities in the coarsest unit that loses nothing, equal lengths merged,
//! stock that another beats left out.
//!
//! A part carries its kerf, the stock one kerf more (see [`Problem::room`]). All sizes are then divided by their greatest
//! common measure and capacities rounded down to it, which changes no pattern.

use super::{Fault, Problem};
use std::collections::BTreeMap;

/// One kind of stock that is worth cutting.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Board {
    /// Room in units.
    pub capacity: i64,
    /// Cost of one.
    pub cost: i64,
    /// How many there are; `None` when any number can be had.
    pub available: Option<u32>,
    /// The kinds of stock behind it, and how many of each; those that are short of number merge when alike.
    pub sources: Vec<(usize, u32)>,
    /// Not stock, but parts that must be done without (see [`Instance::missing`]).
    pub is_missing: bool,
}

/// A cutting problem in units.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Instance {
    /// Size of each length of part, kerf included, largest first.
    pub sizes: Vec<i64>,
    /// How many are wanted of each.
    pub demands: Vec<u32>,
    /// The lengths themselves.
    pub lengths: Vec<i64>,
    /// Stock, most capacious first.
    pub boards: Vec<Board>,
    /// Every total cost is a multiple of this.
    pub step: i64,
    /// Into so many parts a unit of cost is divided where worths are whole numbers.
    pub scale: i64,
}

/// Worths add up to less than this, where whole numbers are exact in binary64.
pub(super) const EXACT: i64 = 1 << 53;
/// A board's cost is divided into at most so many parts: fine enough, and far from [`EXACT`].
const FINEST: i64 = 1 << 40;
/// Worths of parts may pass the dearest board by this factor while columns are generated.
const SPARE: i64 = 4;

impl Instance {
    /// Of a problem that was validated; refuses costs that could not be counted exactly.
    pub(super) fn of(problem: &Problem) -> Result<Instance, Fault> {
        let mut wanted: BTreeMap<i64, usize> = BTreeMap::new();
        for part in problem.parts.iter().filter(|part| part.demand > 0) {
            *wanted.entry(part.length).or_default() += part.demand;
        }
        let lengths: Vec<i64> = wanted.keys().rev().copied().collect();
        let demands: Vec<u32> = wanted.values().rev().map(|&demand| count(demand)).collect();
        let measure =
            lengths.iter().fold(0, |measure, length| common_measure(measure, length + problem.kerf)).max(1);
        let sizes: Vec<i64> = lengths.iter().map(|length| (length + problem.kerf) / measure).collect();
        let smallest = sizes.last().copied().unwrap_or(i64::MAX);
        let boards = boards(problem, measure, smallest, demands.iter().sum());
        let instance = Instance { sizes, demands, lengths, boards, step: 1, scale: 1 };
        let largest = instance.sizes.first().copied().unwrap_or(0);
        instance.finished(largest)
    }

    /// With what stands for missing stock, which holds so much, and with step and scale.
    pub(super) fn finished(mut self, largest: i64) -> Result<Instance, Fault> {
        self.add_missing(largest);
        self.step = self.boards.iter().fold(0, |step, board| common_measure(step, board.cost)).max(1);
        self.scale = self.finest_scale().ok_or(Fault::TooDear)?;
        Ok(self)
    }

    /// The finest scale at which the worth of any pattern is exact, if there is one.
    fn finest_scale(&self) -> Option<i64> {
        let dearest = self.dearest();
        let smallest = self.sizes.iter().copied().min().unwrap_or(1);
        let parts = (self.capacity() / smallest).clamp(1, i64::from(self.part_count()).max(1));
        let most = i128::from(dearest) * i128::from(SPARE * parts);
        let countable = i128::from(dearest) * i128::from(self.part_count()) < 1 << 62;
        let scale = (i128::from(EXACT - 1) / most).min(i128::from(FINEST / dearest).max(1));
        i64::try_from(scale).ok().filter(|&scale| scale > 0 && countable)
    }

    /// Cost of the dearest board, or 1.
    pub(super) fn dearest(&self) -> i64 {
        self.boards.iter().map(|board| board.cost).fold(1, i64::max)
    }

    /// Where stock of unlimited number does not hold every part, a plan may be short of stock. What is short is cut from an
    /// imagined stock, dearer than all that is limited together, so that a cheapest plan uses as little of it as can be.
    fn add_missing(&mut self, largest: i64) {
        let longest =
            self.boards.iter().filter(|board| board.available.is_none()).map(|board| board.capacity).max();
        if self.sizes.is_empty() || longest.is_some_and(|capacity| capacity >= largest) {
            return;
        }
        let total: u32 = self.demands.iter().sum();
        let each =
            |board: &Board| board.cost.saturating_mul(i64::from(board.available.unwrap_or(total).min(total)));
        let dearer = self.boards.iter().map(each).fold(1, i64::saturating_add);
        let sources = Vec::new();
        self.boards.push(Board {
            capacity: largest,
            cost: dearer,
            available: None,
            sources,
            is_missing: true,
        });
        self.boards.sort_by_key(|board| std::cmp::Reverse(board.capacity));
    }

    /// Number of parts.
    pub(super) fn part_count(&self) -> u32 {
        self.demands.iter().sum()
    }

    /// Largest capacity.
    pub(super) fn capacity(&self) -> i64 {
        self.boards.first().map_or(0, |board| board.capacity)
    }

    /// The least multiple of the step that is not below `value` / `scale`.
    pub(super) fn round_up(&self, value: i128, scale: i128) -> i64 {
        let unit = scale * i128::from(self.step);
        let steps = value.div_euclid(unit) + i128::from(value.rem_euclid(unit) != 0);
        i64::try_from(steps.max(0)).unwrap_or(i64::MAX).saturating_mul(self.step)
    }
}

/// Stock that holds a part at all and is not beaten: merged where alike, most capacious first.
pub(super) fn boards(problem: &Problem, measure: i64, smallest: i64, total: u32) -> Vec<Board> {
    let mut alike: BTreeMap<(i64, i64, bool), Vec<(usize, u32)>> = BTreeMap::new();
    for (at, stock) in problem.stocks.iter().enumerate() {
        let capacity = problem.room(stock).div_euclid(measure);
        let available = stock.available.map_or(total, |number| count(number).min(total));
        if capacity >= smallest && available > 0 {
            let sources = alike.entry((-capacity, stock.cost, stock.available.is_some())).or_default();
            // Of stock without limit one source is enough.
            if stock.available.is_some() || sources.is_empty() {
                sources.push((at, available));
            }
        }
    }
    let mut boards: Vec<Board> = Vec::new();
    for ((capacity, cost, limited), sources) in alike {
        // Those before are as capacious, or more.
        let beaten = boards.iter().any(|other| other.available.is_none() && other.cost <= cost);
        if !beaten {
            let number = sources.iter().map(|source| source.1).fold(0, u32::saturating_add).min(total);
            let available = limited.then_some(number);
            boards.push(Board { capacity: -capacity, cost, available, sources, is_missing: false });
        }
    }
    boards
}

pub(super) fn count(number: usize) -> u32 {
    u32::try_from(number).unwrap_or(u32::MAX)
}

/// Greatest common measure of two non-negative numbers.
pub(super) fn common_measure(a: i64, b: i64) -> i64 {
    if b == 0 { a } else { common_measure(b, a % b) }
}

#[cfg(test)]
mod tests {
    use super::super::{Part, Stock};
    use super::*;

    fn stock(length: i64, cost: i64, available: Option<usize>) -> Stock {
        Stock { length, cost, available }
    }

    /// Parts of 37 and 17 with a kerf of 3 are 40 and 20: the measure is 20. A stock of 100 with trims of 2 holds
    /// 100 - 4 + 3 = 99, that is 4 units.
    #[test]
    fn sizes_are_divided_by_their_common_measure() {
        let problem = Problem {
            stocks: vec![stock(100, 6, None)],
            parts: vec![
                Part { length: 17, demand: 2 },
                Part { length: 37, demand: 1 },
                Part { length: 17, demand: 1 },
            ],
            kerf: 3,
            trim: [2, 2],
        };
        let instance = Instance::of(&problem).unwrap();
        assert_eq!((instance.sizes, instance.demands), (vec![2, 1], vec![1, 3]));
        assert_eq!((instance.boards[0].capacity, instance.step), (4, 6));
    }

    #[test]
    fn beaten_stock_is_left_out_and_offcuts_merge() {
        let offcut = stock(50, 0, Some(2));
        let problem = Problem {
            stocks: vec![stock(100, 6, None), stock(90, 6, None), offcut, offcut, stock(80, 7, Some(1))],
            parts: vec![Part { length: 20, demand: 9 }],
            ..Problem::default()
        };
        let boards = Instance::of(&problem).unwrap().boards;
        assert_eq!(boards.iter().map(|board| board.cost).collect::<Vec<_>>(), [6, 0]);
        assert_eq!((boards[1].available, &boards[1].sources), (Some(4), &vec![(2, 2), (3, 2)]));
    }
}
