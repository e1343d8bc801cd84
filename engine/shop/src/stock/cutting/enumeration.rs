//! All patterns that a cheaper plan could use.
//!
//! Worths that prove a bound also say what each pattern wastes: its board's cost less its worth. The waste of a whole plan
//! is its cost less the bound, so a plan of cost `below` or less uses no pattern that wastes more than the difference
//! (Baldacci, Christofides and Mingozzi 2008, Mathematical Programming 115:351-385, from memory). Patterns to which a part
//! could be added are left out, and those that fit a cheaper board without limit: others do as well.

use super::farley::Worths;
use super::instance::Instance;
use super::knapsack::{Asked, Knapsack};
use super::pattern::Pattern;
use super::work::Work;

/// The patterns to which no part can be added, in a defined order; nothing when there are more than `most`.
pub(super) fn enumerate(
    instance: &Instance,
    worths: &Worths,
    below: i64,
    most: usize,
    work: &mut Work,
) -> Option<Vec<Pattern>> {
    list(instance, worths, below, (most, true), work)
}

/// The same, and those with room for a part more.
pub(super) fn enumerate_all(
    instance: &Instance,
    worths: &Worths,
    below: i64,
    most: usize,
    work: &mut Work,
) -> Option<Vec<Pattern>> {
    list(instance, worths, below, (most, false), work)
}

fn list(
    instance: &Instance,
    worths: &Worths,
    below: i64,
    (most, full): (usize, bool),
    work: &mut Work,
) -> Option<Vec<Pattern>> {
    let gap = i128::from(below) * i128::from(instance.scale) - worths.bound;
    let mut knapsack = Knapsack::default();
    knapsack.fill(&instance.sizes, &instance.demands, (&worths.worth, -1.0), instance.capacity(), work);
    let mut patterns: Vec<Pattern> = Vec::new();
    for (board, own) in instance.boards.iter().enumerate() {
        let least = worths.allowed(instance, board) - gap as f64;
        let mut found = Vec::new();
        let asked = Asked { least, full, most: most - patterns.len() };
        if !knapsack.all(own.capacity, asked, &mut found, work) {
            return None;
        }
        let on_board = found.into_iter().map(|counts| Pattern { board, counts });
        patterns.extend(on_board.filter(|own| !own.counts.is_empty() && !fits_cheaper(instance, own)));
    }
    Some(patterns)
}

/// Whether a cheaper board without limit holds the pattern as well.
fn fits_cheaper(instance: &Instance, pattern: &Pattern) -> bool {
    let (size, own) = (pattern.size(instance), &instance.boards[pattern.board]);
    instance
        .boards
        .iter()
        .any(|other| other.available.is_none() && other.capacity >= size && other.cost < own.cost)
}

#[cfg(test)]
mod tests {
    use super::super::{Part, Problem, Stock};
    use super::*;

    /// Boards of 10 at 6 and of 7 at 5; parts of 5 (worth 3) and 3 (worth 2). Full patterns that waste at most 1: 5 + 5 (0),
    /// 5 + 3 (1), 3 + 3 + 3 (0) on 10. On 7, 3 + 3 wastes 1; 5 alone wastes 2. 3 + 3 on 10 is not full.
    #[test]
    fn patterns_within_the_gap_are_listed() {
        let stock = |length, cost| Stock { length, cost, available: None };
        let parts = vec![Part { length: 5, demand: 4 }, Part { length: 3, demand: 3 }];
        let problem = Problem { stocks: vec![stock(10, 6), stock(7, 5)], parts, ..Problem::default() };
        let instance = Instance::of(&problem).unwrap();
        let scale = instance.scale as f64;
        let worths = Worths::new(
            &instance,
            &instance.demands,
            &[3.0 * scale, 2.0 * scale],
            &[6.0 * scale, 4.0 * scale],
        );
        let go_on = &mut |_: &_| true;
        let patterns = enumerate(&instance, &worths, 19, 99, &mut Work::new(u64::MAX, go_on)).unwrap();
        let found: Vec<(usize, &[(u32, u32)])> =
            patterns.iter().map(|own| (own.board, &own.counts[..])).collect();
        assert_eq!(found, [(0, &[(0, 2)][..]), (0, &[(0, 1), (1, 1)]), (0, &[(1, 3)]), (1, &[(1, 2)])]);
        assert!(enumerate(&instance, &worths, 19, 2, &mut Work::new(u64::MAX, go_on)).is_none());
    }
}
