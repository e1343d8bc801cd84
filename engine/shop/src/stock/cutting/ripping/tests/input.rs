//! Bad input is refused by name.

use super::*;
use crate::stock::cutting::LARGEST;

fn refused(change: impl Fn(&mut Problem)) -> Fault {
    let mut problem = Problem {
        boards: vec![board(100, 10, 5), board(60, 6, 2)],
        parts: vec![part(40, 3, 2)],
        rip_kerf: 1,
        crosscut_kerf: 1,
        trim: [2, 2],
        edge_allowance: 1,
        narrowest_strip: 2,
    };
    change(&mut problem);
    solve(&problem, LIMITS).unwrap_err()
}

#[test]
fn nonsense_is_named() {
    assert_eq!(refused(|problem| problem.boards.clear()), Fault::NoBoard);
    assert_eq!(refused(|problem| problem.boards[1].width = 0), Fault::BoardSize(1));
    assert_eq!(refused(|problem| problem.boards[0].length = -4), Fault::BoardSize(0));
    assert_eq!(refused(|problem| problem.boards[1].cost = -1), Fault::BoardCost(1));
    assert_eq!(refused(|problem| problem.parts[0].width = 0), Fault::PartSize(0));
    assert_eq!(refused(|problem| problem.rip_kerf = -1), Fault::Saw);
    assert_eq!(refused(|problem| problem.edge_allowance = -1), Fault::Saw);
    assert_eq!(refused(|problem| problem.boards[0].length = LARGEST + 1), Fault::TooLong(LARGEST + 1));
    assert_eq!(refused(|problem| problem.parts[0].demand = usize::MAX), Fault::TooManyParts);
    assert_eq!(refused(|problem| problem.boards[0].cost = i64::MAX), Fault::TooDear);
}

#[test]
fn parts_that_no_board_gives_are_named_with_what_does() {
    assert_eq!(refused(|problem| problem.parts[0].length = 97), Fault::PartTooLong { part: 0, longest: 96 });
    assert_eq!(refused(|problem| problem.parts[0].width = 11), Fault::PartTooWide { part: 0, widest: 10 });
    let limited =
        |problem: &mut Problem| (problem.parts[0].width, problem.parts[0].widest_board) = (7, Some(6));
    assert_eq!(refused(limited), Fault::PartTooWide { part: 0, widest: 6 });
    assert_eq!(refused(|problem| problem.parts[0].width = 1), Fault::StripTooNarrow(0));
    // Long enough only narrow, wide enough only short.
    let crossed = |problem: &mut Problem| {
        problem.boards = vec![board(100, 6, 5), board(60, 10, 2)];
        problem.parts[0] = part(90, 8, 1);
    };
    assert_eq!(refused(crossed), Fault::NoBoardFor(0));
    // Ripping 10 leaves 9 beside the edge allowance, and 9.5 is neither that nor the whole width.
    let between = |problem: &mut Problem| {
        problem.edge_allowance = 3;
        problem.parts[0] = part(40, 8, 1);
    };
    assert_eq!(refused(between), Fault::NoBoardFor(0));
}

#[test]
fn nothing_wanted_costs_nothing() {
    let problem =
        Problem { boards: vec![board(100, 10, 5)], parts: vec![part(40, 3, 0)], ..Problem::default() };
    let answer = solved(&problem);
    assert_eq!((answer.cost, answer.bound, answer.layouts.len()), (0, 0, 0));
    assert!(answer.is_optimal());
}

/// Boards of limited number that do not suffice: what is lacking is told.
#[test]
fn what_is_lacking_is_told() {
    let few = Board { available: Some(1), ..board(100, 10, 5) };
    let problem = Problem { boards: vec![few], parts: vec![part(90, 4, 3)], ..Problem::default() };
    let answer = solved(&problem);
    assert_eq!(answer.missing, [Cut { part: 0, count: 1 }]);
    assert!(!answer.is_optimal());
}

/// Lengths near the largest, and many parts.
#[test]
fn large_numbers_are_counted_exactly() {
    let problem = Problem {
        boards: vec![board(LARGEST, LARGEST, 1)],
        parts: vec![part(LARGEST / 3, LARGEST / 2, 13)],
        ..Problem::default()
    };
    assert_eq!(solved(&problem).cost, 3);
    let many =
        Problem { boards: vec![board(100, 10, 7)], parts: vec![part(33, 3, 100_000)], ..Problem::default() };
    assert_eq!(solved(&many).cost, 7 * 11_112);
}

/// Two hundred widths of no common measure: too many ways to lie abreast. There is a plan, and no bound is claimed.
#[test]
fn all_too_many_widths_give_a_plan_without_a_bound() {
    let wide = |at: i64| part(900 + 7 * at, 20_011 + 97 * at * at, 2);
    let problem = Problem {
        boards: vec![board(5_000, 5_000_000, 9)],
        parts: (1..200).map(wide).collect(),
        ..Problem::default()
    };
    let answer = solved(&problem);
    assert!(answer.missing.is_empty() && answer.bound == 0 && !answer.is_optimal());
}
