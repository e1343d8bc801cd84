//! The bound that is a proof.
//!
//! Let parts be worth u (whole numbers, in `scale`ths of a unit of cost) and V(s) be the most that a pattern on board s is
//! worth, or more. Where V(s) passes the cost of a board of unlimited number, all worths are shrunk by that ratio and
//! rounded down (Farley 1990, Operations Research 38:922-923, from memory). Then every plan costs at least
//!
//!     sum d u - sum over limited boards of a(s) max(0, V(s) - c(s) scale)
//!
//! in `scale`ths: a plan's patterns are worth no more than their boards cost, but for what the limited ones may gain.

use super::instance::Instance;

/// Worths of parts that prove a bound.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Worths {
    /// Of each part, in `scale`ths; whole numbers.
    pub worth: Vec<f64>,
    /// What no pattern on each board passes.
    pub best: Vec<f64>,
    /// The bound, in `scale`ths.
    pub bound: i128,
}

impl Worths {
    /// Of worths for which no pattern on a board passes `best`.
    pub(super) fn new(instance: &Instance, demands: &[u32], worth: &[f64], best: &[f64]) -> Worths {
        let scale = i128::from(instance.scale);
        let costs = || instance.boards.iter().map(|board| i128::from(board.cost) * scale);
        let (mut shrunk, mut from) = (1_i128, 1_i128);
        for ((board, cost), &value) in instance.boards.iter().zip(costs()).zip(best) {
            let value = value as i128;
            if board.available.is_none() && value * shrunk > cost * from {
                (shrunk, from) = (cost, value);
            }
        }
        let shrink = |value: &f64| (*value as i128 * shrunk / from) as f64;
        let worth: Vec<f64> = worth.iter().map(shrink).collect();
        // No whole number of worths shrunk and rounded down passes this, either.
        let best: Vec<f64> = best.iter().map(shrink).collect();
        let mut bound: i128 =
            demands.iter().zip(&worth).map(|(&demand, &worth)| i128::from(demand) * worth as i128).sum();
        for ((board, cost), &value) in instance.boards.iter().zip(costs()).zip(&best) {
            bound -= i128::from(board.available.unwrap_or(0)) * (value as i128 - cost).max(0);
        }
        Worths { worth, best, bound: bound.max(0) }
    }

    /// The least cost that is not below the bound.
    pub(super) fn cost(&self, instance: &Instance) -> i64 {
        instance.round_up(self.bound, i128::from(instance.scale))
    }

    /// What a pattern on a board lacks of being worth its cost, at the least nought.
    pub(super) fn allowed(&self, instance: &Instance, board: usize) -> f64 {
        let own = &instance.boards[board];
        let cost = own.cost as f64 * instance.scale as f64;
        if own.available.is_some() { cost.max(self.best[board]) } else { cost }
    }
}
