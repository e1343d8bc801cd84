//! Hand-worked boards, bad input, random small problems against an exhaustive model, properties, and answers that are spoiled.

mod exact;
mod input;
mod properties;
mod spoiled;
mod worked;

use super::*;

fn board(length: i64, width: i64, cost: i64) -> Board {
    Board { length, width, cost, available: None, flaws: 0 }
}

fn part(length: i64, width: i64, demand: usize) -> Part {
    Part { length, width, demand, narrowest_board: 0, widest_board: None, flaws: 0 }
}

fn solved(problem: &Problem) -> Answer {
    solve(problem, LIMITS).unwrap()
}
