//! What plans can cost at all: sums of the boards' costs. Between two such sums there is no plan, so a bound may be rounded up
//! to the next, and a cheaper plan costs no more than the one before. With prices of a few lengths and few boards the sums are
//! far apart; with many boards every multiple of the costs' common measure is one.

use super::instance::Instance;

/// Beyond so many multiples of the step all count as possible costs: there they are dense.
const MOST_MULTIPLES: i64 = 1 << 19;

/// The possible costs.
pub(super) struct Costs {
    step: i64,
    /// Of each multiple of the step, whether it is one; beyond, all are.
    is_possible: Vec<bool>,
}

impl Costs {
    /// Up to `most`.
    pub(super) fn of(instance: &Instance, most: i64) -> Costs {
        let step = instance.step;
        if most / step > MOST_MULTIPLES {
            return Costs { step, is_possible: Vec::new() };
        }
        let mut is_possible = vec![false; usize::try_from(most / step).unwrap_or(0) + 1];
        is_possible[0] = true;
        for board in instance.boards.iter().filter(|board| board.cost > 0) {
            let each = usize::try_from(board.cost / step).unwrap_or(usize::MAX);
            match board.available {
                None => (each..is_possible.len()).for_each(|at| is_possible[at] |= is_possible[at - each]),
                Some(available) => add_limited(&mut is_possible, each, available),
            }
        }
        Costs { step, is_possible }
    }

    fn holds(&self, multiple: i64) -> bool {
        usize::try_from(multiple).is_ok_and(|at| self.is_possible.get(at).copied().unwrap_or(true))
    }

    /// The least possible cost that is not below a multiple of the step.
    pub(super) fn at_least(&self, cost: i64) -> i64 {
        let mut multiple = cost / self.step;
        while !self.holds(multiple) {
            multiple += 1;
        }
        multiple * self.step
    }

    /// The greatest possible cost below one; less than nought where there is none.
    pub(super) fn below(&self, cost: i64) -> i64 {
        let mut multiple = (cost - 1).div_euclid(self.step);
        while multiple >= 0 && !self.holds(multiple) {
            multiple -= 1;
        }
        multiple * self.step
    }
}

/// Adds up to so many boards of one cost: how many at least it takes to reach each sum, from the sums that needed none.
fn add_limited(is_possible: &mut [bool], each: usize, available: u32) {
    let mut needed: Vec<u32> = is_possible.iter().map(|&own| if own { 0 } else { u32::MAX }).collect();
    for at in each..is_possible.len() {
        let more = needed[at - each].saturating_add(1);
        needed[at] = needed[at].min(more);
        is_possible[at] = needed[at] <= available;
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Part, Problem, Stock};
    use super::*;

    /// Boards at 70 and offcuts, two at most, at 25: 0, 25, 50, 70, 95, 120, 140, 165, 190, 210, ...
    #[test]
    fn sums_of_costs_are_rounded_to() {
        let stock = |length, cost, available| Stock { length, cost, available };
        let problem = Problem {
            stocks: vec![stock(10, 70, None), stock(6, 25, Some(2))],
            parts: vec![Part { length: 3, demand: 7 }],
            ..Problem::default()
        };
        let costs = Costs::of(&Instance::of(&problem).unwrap(), 300);
        assert_eq!(
            [1, 25, 55, 100, 170, 195].map(|cost| costs.at_least(cost / 5 * 5)),
            [0, 25, 70, 120, 190, 210]
        );
        assert_eq!([25, 70, 95, 140, 210, 1].map(|cost| costs.below(cost)), [0, 50, 70, 120, 190, 0]);
        assert!(costs.below(0) < 0);
    }
}
