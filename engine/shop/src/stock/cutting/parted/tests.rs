use super::super::{Limits, Part, Step, Stock};
use super::*;
use proptest::prelude::*;
use std::collections::BTreeMap;

fn stock(length: i64, cost: i64, available: Option<usize>) -> Stock {
    Stock { length, cost, available }
}

fn cut(length: i64, parts: &[(usize, usize)]) -> Cut {
    Cut { length, parts: parts.to_vec() }
}

/// Two parts of 6 take 12 of a board of 10 at 4 each, spooned only 9: one board where two were needed. A third makes it two
/// boards, whatever lies with it.
#[test]
fn a_row_saves_a_board() {
    let problem = |demand| Problem {
        stocks: vec![stock(10, 4, None)],
        demands: vec![demand],
        cuts: vec![cut(6, &[(0, 1)]), cut(9, &[(0, 2)])],
        ..Problem::default()
    };
    for (demand, cost) in [(1, 4), (2, 4), (3, 8), (8, 16)] {
        let answer = solve(&problem(demand), Limits::default()).unwrap();
        assert_eq!((answer.cost, answer.bound), (cost, cost), "{demand}");
    }
    let answer = solve(&problem(2), Limits::default()).unwrap();
    assert_eq!(answer.layouts, [Layout { stock: 0, times: 1, cuts: vec![(1, 1)] }]);
}

/// Two parts from a length that one takes as well: the board holds two.
#[test]
fn rows_of_few_units_are_counted() {
    let problem = Problem {
        stocks: vec![stock(20, 3, None)],
        demands: vec![2],
        cuts: vec![cut(13, &[(0, 1)]), cut(13, &[(0, 2)])],
        ..Problem::default()
    };
    let answer = solve(&problem, Limits::default()).unwrap();
    assert_eq!((answer.cost, answer.bound), (3, 3));
}

/// A row may give a part that nobody wants; kerfs stand between lengths, not between the parts of one.
#[test]
fn rows_carry_one_kerf_and_may_give_too_many() {
    let problem = Problem {
        stocks: vec![stock(30, 5, None)],
        demands: vec![3, 1],
        cuts: vec![cut(10, &[(0, 1)]), cut(18, &[(0, 2)]), cut(9, &[(1, 1)])],
        kerf: 2,
        trim: [1, 0],
    };
    // 1 + 18 + 2 + 9 = 30; the third part of the first kind then takes a board of its own, alone or in a row.
    let answer = solve(&problem, Limits::default()).unwrap();
    assert_eq!((answer.cost, answer.bound), (10, 10));
    let longer = Problem { kerf: 3, ..problem.clone() };
    assert_eq!(solve(&longer, Limits::default()).unwrap().cost, 10);
    let one = Problem { demands: vec![1, 0], cuts: vec![cut(18, &[(0, 2)])], ..problem };
    assert_eq!(solve(&one, Limits::default()).unwrap().cost, 5);
}

#[test]
fn nonsense_is_named() {
    let problem = Problem {
        stocks: vec![stock(10, 4, Some(1))],
        demands: vec![1, 2],
        cuts: vec![cut(6, &[(0, 1)]), cut(12, &[(1, 1)])],
        ..Problem::default()
    };
    let fault = |problem: &Problem| solve(problem, Limits::default()).unwrap_err();
    assert_eq!(fault(&problem), Fault::NotMade(1));
    let unknown = Problem { cuts: vec![cut(6, &[(7, 1)])], ..problem.clone() };
    assert_eq!(fault(&unknown), Fault::Cut(0));
    let empty = Problem { cuts: vec![cut(0, &[(0, 1)])], ..problem.clone() };
    assert_eq!(fault(&empty), Fault::Cutting(super::super::Fault::PartLength(0)));
    // Boards run out: what is short is told.
    let short = Problem { cuts: vec![cut(6, &[(0, 1)]), cut(5, &[(1, 1)])], ..problem };
    let answer = solve(&short, Limits::default()).unwrap();
    assert_eq!((answer.cost, answer.bound, answer.missing), (4, 0, vec![(0, 1)]));
    assert_eq!(answer.proof, Step::Shortage);
}

/// A certificate that is bent shows less, and a plan that lacks a part is none.
#[test]
fn what_is_wrong_is_found() {
    let problem = Problem {
        stocks: vec![stock(10, 4, None)],
        demands: vec![3],
        cuts: vec![cut(6, &[(0, 1)]), cut(9, &[(0, 2)])],
        ..Problem::default()
    };
    let answer = solve(&problem, Limits::default()).unwrap();
    assert_eq!(check(&problem, &answer), Ok(()));
    let certificate = Certificate::Worths(Worths { worth: vec![1], scale: 1 });
    assert!(matches!(check(&problem, &Answer { certificate, ..answer.clone() }), Err(Flaw::Certificate(_))));
    let certificate = Certificate::Worths(Worths { worth: vec![3], scale: 1 });
    assert!(matches!(check(&problem, &Answer { certificate, ..answer.clone() }), Err(Flaw::Certificate(_))));
    let layouts = answer.layouts[..1].to_vec();
    assert!(check(&problem, &Answer { layouts, ..answer.clone() }).is_err());
    assert_eq!(check(&problem, &Answer { bound: 12, ..answer.clone() }), Err(Flaw::Bound));
    assert_eq!(check(&problem, &Answer { cost: 9, bound: 0, ..answer }), Err(Flaw::Cost));
}

/// Boards of 10 at 10 hold three parts, spooned, boards of 7 at 8 one. Seven parts would take two and a third of the first; whole boards
/// cost 28.
#[test]
fn numbers_of_boards_that_are_not_shown_are_found() {
    let problem = Problem {
        stocks: vec![stock(10, 10, None), stock(7, 8, None)],
        demands: vec![7],
        cuts: vec![cut(6, &[(0, 1)]), cut(8, &[(0, 2)]), cut(10, &[(0, 3)])],
        ..Problem::default()
    };
    let good = solve(&problem, Limits::default()).unwrap();
    assert_eq!((good.cost, good.bound, good.proof), (28, 28, Step::Tallies));
    let refused = |change: &dyn Fn(&mut Tallies)| {
        let mut answer = good.clone();
        let Certificate::Tallies(tallies) = &mut answer.certificate else { panic!("no numbers of boards") };
        change(tallies);
        assert!(matches!(check(&problem, &answer), Err(Flaw::Certificate(_) | Flaw::Cases(_))));
    };
    refused(&|own| own.cuts.clear());
    refused(&|own| own.cuts.iter_mut().for_each(|cut| cut.worth[0] /= 2));
    refused(&|own| own.below -= 2);
    refused(&|own| own.tree.split = None);
}

/// Cost of the cheapest plan, by trying all: the next part wanted comes with some length, on a board that is open or a new one.
struct Trial<'a> {
    problem: &'a Problem,
    known: BTreeMap<(Vec<usize>, Vec<i64>), i64>,
}

impl Trial<'_> {
    /// `open` holds the rooms that are left on boards.
    fn least(&mut self, wanted: &[usize], open: &[i64]) -> i64 {
        let Some(part) = wanted.iter().position(|&own| own > 0) else { return 0 };
        let key = (wanted.to_vec(), open.to_vec());
        if let Some(&known) = self.known.get(&key) {
            return known;
        }
        let problem = self.problem;
        let mut best = i64::MAX / 2;
        for cut in problem.cuts.iter().filter(|cut| cut.parts.iter().any(|own| own.0 == part)) {
            let mut rest = wanted.to_vec();
            cut.parts.iter().for_each(|own| rest[own.0] = rest[own.0].saturating_sub(own.1));
            let size = cut.length + problem.kerf;
            let rooms = problem
                .stocks
                .iter()
                .map(|stock| (stock.length - problem.trim[0] - problem.trim[1] + problem.kerf, stock.cost));
            for (at, room) in open.iter().enumerate().filter(|own| *own.1 >= size) {
                let mut open = open.to_vec();
                open[at] = room - size;
                open.sort_unstable();
                best = best.min(self.least(&rest, &open));
            }
            for (room, cost) in rooms.filter(|own| own.0 >= size) {
                let mut open = open.to_vec();
                open.push(room - size);
                open.sort_unstable();
                best = best.min(cost + self.least(&rest, &open));
            }
        }
        self.known.insert(key, best);
        best
    }
}

prop_compose! {
    fn problems()(
        stocks in prop::collection::vec((20_i64..60, 3_i64..12), 1..3),
        parts in prop::collection::vec((4_i64..18, 1_usize..4), 1..4),
        rows in prop::collection::vec((0_usize..3, 0_usize..3, 1_usize..3, 1_usize..3, 50_i64..100), 0..4),
        kerf in 0_i64..3,
        trim in 0_i64..3,
    ) -> Problem {
        let mut cuts: Vec<Cut> = parts.iter().enumerate().map(|(at, part)| cut(part.0, &[(at, 1)])).collect();
        for (first, second, some, more, share) in rows {
            let (first, second) = (first % parts.len(), second % parts.len());
            let held = if first == second { vec![(first, some + more)] } else { vec![(first, some), (second, more)] };
            let whole: i64 = held.iter().map(|own| parts[own.0].0 * own.1 as i64).sum();
            cuts.push(Cut { length: (whole * share / 100).max(1), parts: held });
        }
        Problem {
            stocks: stocks.into_iter().map(|(length, cost)| stock(length, cost, None)).collect(),
            demands: parts.iter().map(|part| part.1).collect(),
            cuts,
            kerf,
            trim: [trim, 0],
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    /// Small problems are proven, at the cost that trying all gives.
    #[test]
    fn small_problems_cost_what_trying_all_gives(problem in problems()) {
        let answer = solve(&problem, Limits::default()).unwrap();
        let least = Trial { problem: &problem, known: BTreeMap::new() }.least(&problem.demands, &[]);
        prop_assert_eq!((answer.cost, answer.bound), (least, least));
    }

    /// Without lengths that give several parts it is the problem of plain parts, whose solver is another.
    #[test]
    fn plain_lengths_are_plain_parts(problem in problems(), times in 1_usize..9) {
        let demands: Vec<usize> = problem.demands.iter().map(|own| own * times).collect();
        let cuts: Vec<Cut> = problem.cuts.iter().take(demands.len()).cloned().collect();
        let parts = cuts.iter().zip(&demands).map(|(cut, &demand)| Part { length: cut.length, demand }).collect();
        let plain = super::super::solve(&problem.plain(parts), Limits::default()).unwrap();
        let answer = solve(&Problem { demands, cuts, ..problem }, Limits::default()).unwrap();
        prop_assert_eq!((answer.cost, answer.bound), (plain.cost, plain.bound));
    }
}
