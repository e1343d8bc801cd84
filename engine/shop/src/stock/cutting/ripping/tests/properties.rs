//! Random small problems: the cheapest by an exhaustive model, and what must hold of any answer.

use super::exact::least_cost;
use super::*;
use crate::stock::{Kerfs, Piece, Saw, Stick, abreast, first_fit};
use proptest::prelude::*;
use slatwork_base::Length;

/// Few parts, kerfs, trims, edge allowance, narrowest strip, boards of several widths, some of limited number.
fn problems(most_parts: usize) -> impl Strategy<Value = Problem> {
    let flaws = prop::sample::select(vec![0u8, 0, 0, 1, 2]);
    let board = (20i64..60, 3i64..13, 1i64..40, prop::option::weighted(0.3, 0usize..4), flaws.clone());
    let widths = prop::sample::select(vec![2i64, 3, 4, 5, 7]);
    let held = (prop::option::weighted(0.2, 2i64..8), prop::option::weighted(0.2, 4i64..13));
    let part = (4i64..40, widths, 1usize..4, held, flaws);
    let saws = (0i64..3, 0i64..3, 0i64..3, 0i64..3, 0i64..4);
    (prop::collection::vec(board, 1..5), prop::collection::vec(part, 1..6), saws).prop_map(
        move |(boards, parts, saws)| {
            let boards = boards.into_iter().map(|(length, width, cost, available, flaws)| Board {
                length,
                width,
                cost,
                available,
                flaws,
            });
            let parts = parts.into_iter().map(|(length, width, demand, (narrowest, widest), flaws)| Part {
                length,
                width,
                demand,
                narrowest_board: narrowest.unwrap_or(0),
                widest_board: widest,
                flaws,
            });
            let (rip_kerf, crosscut_kerf, trim, edge_allowance, narrowest_strip) = saws;
            let mut problem = Problem {
                boards: boards.collect(),
                parts: Vec::new(),
                rip_kerf,
                crosscut_kerf,
                trim: [trim, trim / 2],
                edge_allowance,
                narrowest_strip,
            };
            for part in parts {
                let comes = problem.boards.iter().any(|board| problem.way(&part, board).is_some());
                let demand = part.demand.min(most_parts - problem.part_count());
                if comes && demand > 0 {
                    problem.parts.push(Part { demand, ..part });
                }
            }
            problem
        },
    )
}

/// Each part from the narrowest boards that give it: pieces side by side, bundles first fit.
fn cost_of_first_fit(problem: &Problem) -> Option<i64> {
    // From clear boards alone.
    let clear = || problem.boards.iter().filter(|board| board.flaws == 0);
    let mut widths: Vec<i64> = clear().map(|board| board.width).collect();
    widths.sort_unstable();
    widths.dedup();
    let narrowest = |part: &Part| {
        let gives =
            |width: i64| clear().any(|board| board.width == width && problem.way(part, board).is_some());
        widths.iter().copied().find(|&width| gives(width))
    };
    if problem.parts.iter().any(|part| narrowest(part).is_none()) {
        return None;
    }
    let kerfs = Kerfs { rip: Length::nm(problem.rip_kerf), crosscut: Length::nm(problem.crosscut_kerf) };
    let saw = Saw {
        kerf: kerfs.crosscut,
        trim_low: Length::nm(problem.trim[0]),
        trim_high: Length::nm(problem.trim[1]),
    };
    let mut cost = 0;
    for &width in &widths {
        let own = problem.parts.iter().filter(|part| narrowest(part) == Some(width));
        let piece = |part: &Part| Piece { length: Length::nm(part.length), width: Length::nm(part.width) };
        let pieces: Vec<Piece> = own.flat_map(|part| std::iter::repeat_n(piece(part), part.demand)).collect();
        let lengths: Vec<Length> = abreast(&pieces, Length::nm(width - problem.edge_allowance), kerfs)
            .iter()
            .map(|bundle| bundle.length)
            .collect();
        let stick = |board: &Board| Stick {
            length: Length::nm(board.length),
            cost: board.cost,
            available: board.available,
            in_hand: false,
        };
        let sticks: Vec<Stick> = clear().filter(|board| board.width == width).map(stick).collect();
        let filled = first_fit(&lengths, &sticks, saw);
        if !filled.unplaced.is_empty() {
            return None;
        }
        cost += filled.opened.iter().map(|opened| sticks[opened.stick].cost).sum::<i64>();
    }
    Some(cost)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    /// The cheapest of all plans is found and proven, or it is told that boards do not suffice.
    #[test]
    fn small_problems_are_solved_exactly(problem in problems(8)) {
        prop_assume!(problem.part_count() > 0);
        let answer = solved(&problem);
        match least_cost(&problem) {
            Some(cost) => {
                prop_assert!(answer.missing.is_empty());
                prop_assert_eq!((answer.cost, answer.bound, answer.is_optimal()), (cost, cost, true));
            }
            None => prop_assert!(!answer.missing.is_empty()),
        }
    }

    #[test]
    fn no_plan_is_dearer_than_first_fit(problem in problems(24)) {
        prop_assume!(problem.part_count() > 0);
        if let Some(cost) = cost_of_first_fit(&problem) {
            let answer = solved(&problem);
            prop_assert!(answer.missing.is_empty() && answer.cost <= cost, "{} > {cost}", answer.cost);
        }
    }

    #[test]
    fn more_boards_to_choose_from_never_cost_more(problem in problems(12), more in (20i64..60, 3i64..13, 1i64..40)) {
        prop_assume!(problem.part_count() > 0);
        let before = solved(&problem);
        let mut problem = problem;
        problem.boards.push(board(more.0, more.1, more.2));
        let after = solved(&problem);
        if before.missing.is_empty() && after.is_optimal() {
            prop_assert!(after.cost <= before.cost);
        }
    }

    #[test]
    fn the_order_does_not_matter(problem in problems(12)) {
        prop_assume!(problem.part_count() > 0);
        let answer = solved(&problem);
        let mut turned = problem.clone();
        turned.boards.reverse();
        turned.parts.reverse();
        let other = solved(&turned);
        prop_assert_eq!((answer.cost, answer.bound), (other.cost, other.bound));
    }
}
