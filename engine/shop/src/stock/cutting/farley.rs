//! The bound that is a proof.
//!
//! Let parts be worth u (whole numbers, in `scale`ths of a unit of cost) and V(s) be the most that a pattern on board s is
//! worth, or more. Where V(s) passes the cost of a board of unlimited number, all worths are shrunk by that ratio and
//! rounded down (Farley 1990, Operations Research 38:922-923, from memory). Then every plan costs at least
//!
//! ```text
//! sum d u - sum over limited boards of a(s) max(0, V(s) - c(s) scale)
//! ```
//!
//! in `scale`ths: a plan's patterns are worth no more than their boards cost, but for what the limited ones may gain.

use super::instance::{Board, EXACT, Instance};

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
        // Below nought it shows nothing, but what patterns waste is still counted from it.
        Worths { worth, best, bound }
    }

    /// Worths in proportion to the sizes: what a part takes of the board that costs least for its room. They prove what the
    /// sum of all lengths costs at the least, whatever the state of a linear program. Nothing where they would not be exact.
    pub(super) fn by_size(instance: &Instance) -> Worths {
        let scale = i128::from(instance.scale);
        let unlimited = instance.boards.iter().filter(|board| board.available.is_none());
        let price = |board: &Board| (i128::from(board.cost) * scale, i128::from(board.capacity).max(1));
        // Prices for room are compared without division: a / b < c / d where a d < c b.
        let cheaper = |a: &(i128, i128), b: &(i128, i128)| (a.0 * b.1).cmp(&(b.0 * a.1));
        let Some((cost, room)) = unlimited.map(price).min_by(cheaper) else { return Worths::default() };
        let worth_of = |size: i64| i128::from(size) * cost / room;
        let worth: Vec<f64> = instance.sizes.iter().map(|&size| worth_of(size) as f64).collect();
        let best: Vec<i128> = instance.boards.iter().map(|board| worth_of(board.capacity)).collect();
        if best.iter().any(|&best| best >= i128::from(EXACT)) {
            return Worths::default();
        }
        let best: Vec<f64> = best.iter().map(|&best| best as f64).collect();
        Worths::new(instance, &instance.demands, &worth, &best)
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

#[cfg(test)]
mod tests {
    use super::super::{Part, Problem, Stock};
    use super::*;

    fn instance(offcuts: Option<usize>) -> Instance {
        let stock = |length, cost, available| Stock { length, cost, available };
        Instance::of(&Problem {
            stocks: vec![stock(10, 4, None), stock(6, 0, offcuts)],
            parts: vec![Part { length: 3, demand: 7 }],
            ..Problem::default()
        })
        .unwrap()
    }

    /// Three parts of 3 fit a board of 10 at 4: each is worth 4/3, seven 28/3, rounded up to multiples of 4: 12. At twice
    /// the worth the bound is the same, since worths are shrunk to what a board costs.
    #[test]
    fn worths_are_shrunk_to_what_a_board_costs() {
        let (instance, scale) = (instance(Some(0)), |of: &Instance| of.scale as f64);
        let each = (4.0 * scale(&instance) / 3.0).floor();
        for factor in [1.0, 2.0] {
            let worths = Worths::new(&instance, &[7], &[factor * each], &[3.0 * factor * each]);
            assert_eq!(worths.cost(&instance), 12);
            assert!((worths.bound as f64 / scale(&instance) - 28.0 / 3.0).abs() < 1e-6);
        }
    }

    /// In units of 3 a board of 3 costs 4: seven parts take 28/3 of it, rounded up to multiples of 4: 12. An offcut of 2 units
    /// at no cost may save 8/3.
    #[test]
    fn lengths_alone_prove_what_their_sum_costs() {
        let worths = |instance: Instance| (Worths::by_size(&instance).cost(&instance), instance);
        assert_eq!(worths(instance(Some(0))).0, 12);
        let (cost, instance) = worths(instance(Some(1)));
        let shown = Worths::by_size(&instance).bound as f64 / instance.scale as f64;
        assert_eq!(cost, 8);
        assert!((shown - 20.0 / 3.0).abs() < 1e-6);
    }

    /// An offcut of 6 at no cost holds two parts, and saves at most their worth: 28/3 - 8/3 = 20/3, rounded up 8.
    #[test]
    fn limited_boards_take_what_they_may_gain_off_the_bound() {
        let instance = instance(Some(1));
        let each = (4.0 * instance.scale as f64 / 3.0).floor();
        let worths = Worths::new(&instance, &[7], &[each], &[3.0 * each, 2.0 * each]);
        assert_eq!(worths.cost(&instance), 8);
        assert_eq!(worths.allowed(&instance, 1), 2.0 * each);
    }
}
