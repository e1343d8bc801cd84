//! All patterns that a cheaper plan could use.
//!
//! Worths that prove a bound also say what each pattern wastes: its board's cost less its worth. The waste of a whole plan
//! is its cost less the bound, so a plan of cost `below` or less uses no pattern that wastes more than the difference
//! (Baldacci, Christofides and Mingozzi 2008, Mathematical Programming 115:351-385, from memory). Patterns to which a part
//! could be added are left out, and those that fit a cheaper board without limit: others do as well.

use super::farley::Worths;
use super::instance::Instance;
use super::knapsack::Knapsack;
use super::pattern::Pattern;
use super::work::Work;

/// The patterns, in a defined order; nothing when there are more than `most`.
pub(super) fn enumerate(
    instance: &Instance,
    worths: &Worths,
    below: i64,
    most: usize,
    work: &mut Work,
) -> Option<Vec<Pattern>> {
    let gap = i128::from(below) * i128::from(instance.scale) - worths.bound;
    let mut knapsack = Knapsack::default();
    knapsack.fill(&instance.sizes, &instance.demands, (&worths.worth, -1.0), instance.capacity(), work);
    let mut patterns = Vec::new();
    for (board, own) in instance.boards.iter().enumerate() {
        let least = worths.allowed(instance, board) - gap as f64;
        let mut found = Vec::new();
        let room_for = most - patterns.len();
        if !knapsack.all(own.capacity, least, room_for, &mut found, work) {
            return None;
        }
        let on_board = found.into_iter().map(|counts| Pattern { board, counts });
        patterns.extend(on_board.filter(|pattern| !pattern.counts.is_empty() && !fits_cheaper(instance, pattern)));
    }
    Some(patterns)
}

/// Whether a cheaper board without limit holds the pattern as well; of boards that cost the same, a shorter one.
fn fits_cheaper(instance: &Instance, pattern: &Pattern) -> bool {
    let (size, own) = (pattern.size(instance), &instance.boards[pattern.board]);
    instance.boards.iter().any(|other| {
        other.available.is_none() && other.capacity >= size && other.cost < own.cost
    })
}
