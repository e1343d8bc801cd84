//! Cutting plans with proofs: against the benchmark's known optima, against plain enumeration of all plans, against bad
//! input, and certificates that were tampered with.

mod instances;

use instances::class;
use proptest::prelude::*;
use proptest::test_runner::FileFailurePersistence;
use slatwork_shop::stock::cutting::{
    Answer, Cases, Certificate, Fault, Flaw, LARGEST, Limits, MOST_KINDS, MOST_PARTS, Part, Problem, Shown,
    Step, Stock, Tallies, check, solve, solve_watched, tidy,
};

fn stock(length: i64, cost: i64, available: Option<usize>) -> Stock {
    Stock { length, cost, available }
}

fn part(length: i64, demand: usize) -> Part {
    Part { length, demand }
}

/// Solves every instance of a class. No bound may pass a known optimum and no plan may beat one; gives how many are proven.
fn proven(name: &str, most: usize) -> usize {
    let mut proven = 0;
    for own in class(name).iter().take(most) {
        let answer =
            solve(&own.problem, Limits::default()).unwrap_or_else(|fault| panic!("{}: {fault}", own.name));
        assert_eq!(check(&own.problem, &answer), Ok(()), "{}", own.name);
        if let Some(optimum) = own.optimum {
            assert!(answer.bound <= optimum && optimum <= answer.cost, "{}: {answer:?}", own.name);
        }
        proven += usize::from(answer.is_optimal());
    }
    proven
}

#[test]
fn the_shop_is_proven() {
    for name in ["shop_imperial", "shop_metric", "shop_mixed", "shop_offcut"] {
        assert_eq!(proven(name, 12), 12, "{name}");
    }
}

#[test]
fn large_orders_are_proven_or_within_five_ten_thousandths() {
    let mut proven = 0;
    for own in class("shop_fair") {
        let answer = solve(&own.problem, Limits::default()).unwrap();
        assert!(
            answer.gap() as f64 <= 0.0005 * answer.cost as f64,
            "{}: {} {}",
            own.name,
            answer.bound,
            answer.cost
        );
        proven += usize::from(answer.is_optimal());
    }
    assert!(proven >= 8, "{proven}");
}

#[test]
fn easy_classes_are_proven() {
    for (name, most) in [("falkenauer_u", 20), ("scholl_1", 50), ("schwerin_1", 10), ("schwerin_2", 10)] {
        assert_eq!(proven(name, most), most, "{name}");
    }
    assert_eq!(proven("falkenauer_t", 10), 10);
    assert_eq!(proven("waescher", 9), 9);
    assert_eq!(proven("scholl_2", 10), 10);
    assert_eq!(proven("random", 15), 15);
    assert_eq!(proven("gi", 3), 3);
    assert_eq!(proven("vsbpp_monaci", 25), 25);
    assert_eq!(proven("vsbpp_hs_lin", 15), 15);
    assert_eq!(proven("vsbpp_hs_conc", 15), 15);
    assert_eq!(proven("vsbpp_hs_conv", 10), 10);
}

#[test]
fn hard_ones_are_proven() {
    assert_eq!(proven("hard28", 2), 2);
    assert_eq!(proven("ai", 1), 1);
    // A plan of one board less than the cheapest is no worse than the linear program: only cases show that there is none.
    assert_eq!(proven("ani", 1), 1);
}

/// The cheapest plan by trying all: parts one by one, each into every open board with room, or into a new one.
fn cheapest(problem: &Problem) -> Option<i64> {
    let mut parts: Vec<i64> =
        problem.parts.iter().flat_map(|part| std::iter::repeat_n(part.length, part.demand)).collect();
    parts.sort_unstable_by(|a, b| b.cmp(a));
    let mut left: Vec<usize> =
        problem.stocks.iter().map(|stock| stock.available.unwrap_or(parts.len())).collect();
    try_all(problem, &parts, &mut Vec::new(), &mut left, 0)
}

fn try_all(
    problem: &Problem,
    parts: &[i64],
    rooms: &mut Vec<i64>,
    left: &mut [usize],
    cost: i64,
) -> Option<i64> {
    let Some((&first, rest)) = parts.split_first() else { return Some(cost) };
    let (size, mut best) = (first + problem.kerf, None);
    let mut tried = Vec::new();
    for at in 0..rooms.len() {
        if rooms[at] >= size && !tried.contains(&rooms[at]) {
            tried.push(rooms[at]);
            rooms[at] -= size;
            best = lesser(best, try_all(problem, rest, rooms, left, cost));
            rooms[at] += size;
        }
    }
    for (at, stock) in problem.stocks.iter().enumerate() {
        let room = stock.length - problem.trim[0] - problem.trim[1] + problem.kerf;
        if left[at] > 0 && room >= size {
            left[at] -= 1;
            rooms.push(room - size);
            best = lesser(best, try_all(problem, rest, rooms, left, cost + stock.cost));
            rooms.pop();
            left[at] += 1;
        }
    }
    best
}

fn lesser(a: Option<i64>, b: Option<i64>) -> Option<i64> {
    a.into_iter().chain(b).min()
}

fn small_problem() -> impl Strategy<Value = Problem> {
    let stocks = prop::collection::vec((20_i64..90, 0_i64..50, prop::option::of(0_usize..3)), 1..4);
    let parts = prop::collection::vec((5_i64..60, 1_usize..3), 1..5);
    (stocks, parts, 0_i64..5, 0_i64..4, 0_i64..4).prop_map(|(stocks, parts, kerf, front, back)| Problem {
        stocks: stocks.into_iter().map(|(length, cost, available)| stock(length, cost, available)).collect(),
        parts: parts.into_iter().map(|(length, demand)| part(length, demand)).collect(),
        kerf,
        trim: [front, back],
    })
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 400,
        failure_persistence: Some(Box::new(FileFailurePersistence::WithSource("proptest-regressions"))),
        ..ProptestConfig::default()
    })]

    /// As cheap as the cheapest of all plans, with kerf, trims and few offcuts; short of parts just where every plan is.
    #[test]
    fn small_problems_are_solved_as_by_trying_all(problem in small_problem()) {
        match solve(&problem, Limits::default()) {
            Err(fault) => prop_assert!(matches!(fault, Fault::PartTooLong { .. }), "{fault}"),
            Ok(answer) => match cheapest(&problem) {
                None => prop_assert!(!answer.missing.is_empty()),
                Some(cost) => {
                    prop_assert!(answer.is_optimal(), "{answer:?}");
                    prop_assert_eq!((answer.cost, answer.bound), (cost, cost));
                }
            },
        }
    }

    /// Twice all lengths, the same plan; a second run, the same answer.
    #[test]
    fn scale_changes_nothing(problem in small_problem()) {
        let mut double = problem.clone();
        double.stocks.iter_mut().for_each(|stock| stock.length *= 2);
        double.parts.iter_mut().for_each(|part| part.length *= 2);
        (double.kerf, double.trim) = (2 * double.kerf, double.trim.map(|trim| 2 * trim));
        if let (Ok(one), Ok(two)) = (solve(&problem, Limits::default()), solve(&double, Limits::default())) {
            prop_assert_eq!((one.cost, one.bound), (two.cost, two.bound));
            prop_assert_eq!(solve(&problem, Limits::default()), Ok(one));
        }
    }
}

/// 96 in hold three parts of 31 7/8 in with two kerfs of 1/8 in, and 1/8 in remains: narrower than no kerf, so it is cut off.
/// A hair longer, and only two come out.
#[test]
fn the_last_kerf_may_fall_into_the_remainder() {
    let of = |length: i64| Problem {
        stocks: vec![stock(96 * 64, 7, None)],
        parts: vec![part(length, 3)],
        kerf: 8,
        trim: [0, 0],
    };
    let exact = (96 * 64 - 16) / 3;
    assert_eq!(solve(&of(exact), Limits::default()).unwrap().cost, 7);
    assert_eq!(solve(&of(exact + 1), Limits::default()).unwrap().cost, 14);
}

/// Problems on which a search once went in circles, or an answer once was refused, and what their cheapest plans cost.
#[test]
fn odd_stock_is_proven_in_few_steps() {
    let problem = |kerf, trim, stocks: &[(i64, i64, Option<usize>)], parts: &[(i64, usize)]| Problem {
        stocks: stocks.iter().map(|&(length, cost, available)| stock(length, cost, available)).collect(),
        parts: parts.iter().map(|&(length, demand)| part(length, demand)).collect(),
        kerf,
        trim: [trim, 0],
    };
    let all = [
        // All from what costs nothing: no worths say anything about numbers of boards.
        problem(
            0,
            0,
            &[(100, 67, None), (80, 0, Some(2)), (83, 0, Some(2)), (79, 0, Some(2))],
            &[(15, 2), (64, 2), (54, 2), (27, 2), (37, 2), (26, 2), (16, 2)],
        ),
        // Many cheap boards are worth more by the cuts than any plan needs of them.
        problem(
            2,
            1,
            &[(83, 7, None), (138, 151, None), (93, 11, None), (145, 167, None)],
            &[(21, 10), (45, 1), (106, 4)],
        ),
        // What a dive meant to take was used up.
        problem(
            0,
            0,
            &[(3000, 68, None), (2420, 0, Some(1)), (1856, 61, None), (1856, 61, Some(3))],
            &[(1286, 2), (378, 11), (939, 1), (345, 22), (1494, 6), (601, 9)],
        ),
        // More offcuts than parts.
        problem(0, 0, &[(100, 85, None), (70, 40, None), (72, 1, Some(3))], &[(45, 1), (44, 1)]),
        // A board so dear that nobody counts up to it.
        problem(
            3,
            1,
            &[(83, 102, Some(5)), (69, 76, None), (114, 128, None), (228, 3_000_001, None)],
            &[(46, 11), (52, 10)],
        ),
    ];
    let limits = Limits { steps: 20_000_000, ..Limits::default() };
    let costs = all.map(|problem| {
        let answer = solve(&problem, limits).unwrap();
        assert!(answer.is_optimal(), "{answer:?}");
        answer.cost
    });
    assert_eq!(costs, [0, 625, 666, 2, 10 * 128 + 76]);
}

/// A search that is stopped keeps what it has shown: more steps never show less.
#[test]
fn more_steps_show_no_less() {
    let own =
        class("vsbpp_hs_conc").into_iter().find(|own| own.name == "HSconc100-1-9").expect("it is there");
    let bound = |steps| solve(&own.problem, Limits { steps, ..Limits::default() }).unwrap().bound;
    let bounds: Vec<i64> = (1..=30).map(|part| bound(part * 500_000)).collect();
    assert!(bounds.is_sorted(), "{bounds:?}");
    assert_eq!(bounds.last(), Some(&7103));
}

#[test]
fn nothing_wanted_costs_nothing() {
    let problem = Problem { stocks: vec![stock(10, 3, None)], ..Problem::default() };
    let answer = solve(&problem, Limits::default()).unwrap();
    assert_eq!((answer.cost, answer.bound, answer.is_optimal(), answer.layouts.len()), (0, 0, true, 0));
}

/// All from offcuts at no cost: the bound of the multipliers is below nought, and nought needs no proof.
#[test]
fn what_costs_nothing_needs_no_proof() {
    let stocks = vec![stock(48_768, 1536, None), stock(20_927, 0, Some(2)), stock(20_784, 0, Some(1))];
    let parts = vec![part(9_727, 2), part(9_691, 1), part(2_329, 3)];
    let problem = Problem { stocks, parts, kerf: 31, trim: [254, 127] };
    let answer = solve(&problem, Limits::default()).unwrap();
    assert_eq!((answer.cost, answer.is_optimal()), (0, true));
}

#[test]
fn bad_input_is_named() {
    let good = Problem { stocks: vec![stock(100, 5, None)], parts: vec![part(30, 2)], kerf: 1, trim: [0, 0] };
    let fault = |change: &dyn Fn(&mut Problem)| {
        let mut problem = good.clone();
        change(&mut problem);
        solve(&problem, Limits::default()).unwrap_err()
    };
    assert_eq!(fault(&|p| p.stocks.clear()), Fault::NoStock);
    assert_eq!(fault(&|p| p.stocks[0].length = 0), Fault::StockLength(0));
    assert_eq!(fault(&|p| p.stocks[0].length = -4), Fault::StockLength(0));
    assert_eq!(fault(&|p| p.stocks[0].length = i64::MAX), Fault::TooLong(i64::MAX));
    assert_eq!(fault(&|p| p.stocks[0].cost = -1), Fault::StockCost(0));
    assert_eq!(fault(&|p| p.stocks[0].cost = i64::MAX), Fault::TooDear);
    assert_eq!(fault(&|p| p.parts[0].length = 0), Fault::PartLength(0));
    assert_eq!(fault(&|p| p.parts[0].length = i64::MIN), Fault::PartLength(0));
    assert_eq!(fault(&|p| p.parts[0].length = LARGEST + 1), Fault::TooLong(LARGEST + 1));
    assert_eq!(fault(&|p| p.parts[0].length = 101), Fault::PartTooLong { part: 0, longest: 100 });
    assert_eq!(fault(&|p| p.trim = [60, 60]), Fault::PartTooLong { part: 0, longest: -20 });
    assert_eq!(fault(&|p| p.parts[0].demand = MOST_PARTS + 1), Fault::TooManyParts);
    assert_eq!(fault(&|p| p.parts.push(part(5, usize::MAX))), Fault::TooManyParts);
    assert_eq!(fault(&|p| p.kerf = -1), Fault::Kerf);
    assert_eq!(fault(&|p| p.trim[1] = -1), Fault::Trim);
    assert_eq!(fault(&|p| p.trim[0] = i64::MAX), Fault::TooLong(i64::MAX));
}

/// What is missing is named: two of the three parts have no stock.
#[test]
fn exhausted_stock_names_what_is_missing() {
    let problem = Problem {
        stocks: vec![stock(100, 5, Some(1))],
        parts: vec![part(70, 2), part(60, 1)],
        kerf: 3,
        trim: [0, 0],
    };
    let answer = solve(&problem, Limits::default()).unwrap();
    assert_eq!(answer.layouts.len(), 1);
    assert_eq!(answer.missing.iter().map(|cut| cut.count).sum::<usize>(), 2);
    assert_eq!((answer.is_optimal(), answer.proof), (false, Step::Shortage));
}

/// Two parts of 4 with a kerf of 50 take 58; a lone part of 10 needs no room for its kerf.
#[test]
fn a_kerf_longer_than_a_part_is_cut_all_the_same() {
    let problem = Problem {
        stocks: vec![stock(58, 5, None)],
        parts: vec![part(4, 4), part(10, 1)],
        kerf: 50,
        trim: [0, 0],
    };
    let answer = solve(&problem, Limits::default()).unwrap();
    assert_eq!((answer.cost, answer.bound), (15, 15));
}

#[test]
fn lengths_near_the_limit_do_not_overflow() {
    let problem = Problem {
        stocks: vec![stock(LARGEST, 1 << 30, None), stock(LARGEST / 2, 1 << 29, Some(3))],
        parts: vec![part(LARGEST / 3, 7), part(LARGEST / 5 - 1, 4), part(1, 2)],
        kerf: LARGEST / 1_000_003,
        trim: [1, 2],
    };
    let answer = solve(&problem, Limits::default()).unwrap();
    assert_eq!(check(&problem, &answer), Ok(()));
    assert!(answer.is_optimal());
}

/// A hundred thousand parts of eighteen lengths: proven, or within a ten-thousandth.
#[test]
fn a_hundred_thousand_parts_do_not_hang() {
    let parts = (0..18).map(|at| part(200_000 + 37_501 * at, 5_000 + 111 * at as usize)).collect();
    let problem = Problem {
        stocks: vec![stock(2_438_400, 1_321, None), stock(3_657_600, 2_044, None)],
        parts,
        kerf: 3_175,
        trim: [12_700, 12_700],
    };
    let answer = solve(&problem, Limits { steps: 2_000_000_000, ..Limits::default() }).unwrap();
    assert!(answer.gap() * 10_000 <= answer.cost, "{} {}", answer.bound, answer.cost);
}

/// Every length is a row of the linear program: too many are refused by name before anything is worked out.
#[test]
fn too_many_lengths_are_refused() {
    let of = |count: usize| Problem {
        stocks: vec![stock(400_000, 7, None)],
        parts: (0..count).map(|at| part(100_000 + at as i64, 1)).collect(),
        kerf: 3,
        trim: [0, 0],
    };
    let fault = solve(&of(100_000), Limits::default()).unwrap_err();
    assert_eq!(fault, Fault::TooManyKinds(100_001));
    // Three to a board: the greedy plan is as cheap as can be, but so few steps do not show it.
    let problem = of(MOST_KINDS - 1);
    let answer = solve(&problem, Limits { steps: 1, ..Limits::default() }).unwrap();
    assert!(answer.stopped && check(&problem, &answer) == Ok(()));
    assert!(answer.cost == 4_669 && answer.bound >= 3_500, "{} {}", answer.cost, answer.bound);
}

#[test]
fn an_interrupted_search_gives_its_best_plan_and_bound() {
    let own = &class("ani")[0];
    let mut looks = 0;
    let answer = solve_watched(&own.problem, Limits::default(), &mut |progress| {
        looks += 1;
        assert!(progress.steps < 400_000_000);
        looks < 12
    })
    .unwrap();
    assert!(answer.stopped && looks == 12);
    assert!(answer.bound <= 66 && answer.cost >= 66);
    assert_eq!(check(&own.problem, &answer), Ok(()));
    let at_once = solve(&own.problem, Limits { steps: 1, ..Limits::default() }).unwrap();
    assert!(at_once.stopped && at_once.cost >= 66);
    // The lengths by themselves show nearly as much as the linear program.
    assert!(at_once.bound >= 60, "{}", at_once.bound);
    assert_eq!(check(&own.problem, &at_once), Ok(()));
}

/// Ways to cut, by trying all plans of that cost: parts one by one as in [`cheapest`], each plan's boards compared at its end.
fn fewest_ways(problem: &Problem, cost: i64) -> usize {
    let mut parts: Vec<i64> =
        problem.parts.iter().flat_map(|part| std::iter::repeat_n(part.length, part.demand)).collect();
    parts.sort_unstable_by(|a, b| b.cmp(a));
    let left: Vec<usize> =
        problem.stocks.iter().map(|stock| stock.available.unwrap_or(parts.len())).collect();
    ways(problem, &parts, &mut Vec::new(), &mut left.clone(), cost)
}

fn ways(
    problem: &Problem,
    parts: &[i64],
    boards: &mut Vec<(usize, Vec<i64>)>,
    left: &mut [usize],
    cost: i64,
) -> usize {
    if cost < 0 {
        return usize::MAX;
    }
    let Some((&first, rest)) = parts.split_first() else {
        return boards.iter().cloned().collect::<std::collections::BTreeSet<_>>().len();
    };
    let room = |stock: usize| problem.room(&problem.stocks[stock]);
    let mut best = usize::MAX;
    for at in 0..boards.len() {
        let taken: i64 = boards[at].1.iter().map(|length| length + problem.kerf).sum();
        if taken + first + problem.kerf <= room(boards[at].0) {
            boards[at].1.push(first);
            best = best.min(ways(problem, rest, boards, left, cost));
            boards[at].1.pop();
        }
    }
    for stock in 0..problem.stocks.len() {
        if left[stock] > 0 && first + problem.kerf <= room(stock) {
            left[stock] -= 1;
            boards.push((stock, vec![first]));
            best = best.min(ways(problem, rest, boards, left, cost - problem.stocks[stock].cost));
            boards.pop();
            left[stock] += 1;
        }
    }
    best
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 60,
        failure_persistence: Some(Box::new(FileFailurePersistence::WithSource("proptest-regressions"))),
        ..ProptestConfig::default()
    })]

    /// Tidied plans cost the same, check, and have as few ways to cut as any plan of that cost.
    #[test]
    fn tidied_plans_have_fewest_ways_to_cut(
        lengths in prop::collection::vec((5_i64..40, 1_usize..4), 1..4), stock_length in 40_i64..90, kerf in 0_i64..4,
    ) {
        let parts: Vec<Part> = lengths.into_iter().map(|(length, demand)| part(length, demand)).collect();
        prop_assume!(parts.iter().map(|part| part.demand).sum::<usize>() <= 7);
        let problem = Problem { stocks: vec![stock(stock_length, 3, None)], parts, kerf, trim: [0, 0] };
        let answer = solve(&problem, Limits::default()).unwrap();
        let tidied = tidy(&problem, &answer, 10, 100_000_000).unwrap();
        prop_assert_eq!(check(&problem, &tidied.answer), Ok(()));
        prop_assert_eq!(tidied.patterns_shown, Shown::Best);
        prop_assert_eq!(tidied.patterns, fewest_ways(&problem, answer.cost));
    }
}

/// Four parts of 40 and four of 30 on boards of 100: three boards (280 of 300) must hold them, 40 + 30 + 30 twice and
/// 40 + 40 once. Two ways to cut; 20 remains once.
#[test]
fn tidied_plans_keep_the_longest_remainders() {
    let problem = Problem {
        stocks: vec![stock(100, 9, None)],
        parts: vec![part(40, 4), part(30, 4)],
        kerf: 0,
        trim: [0, 0],
    };
    let answer = solve(&problem, Limits::default()).unwrap();
    let tidied = tidy(&problem, &answer, 15, 100_000_000).unwrap();
    assert_eq!((answer.cost, tidied.patterns, tidied.remainders), (27, 2, 20));
    assert_eq!((tidied.patterns_shown, tidied.remainders_shown), (Shown::Best, Shown::Best));
}

/// The first problem whose proof needs more than one case. (A plan found on the way may leave a first case that closes alone.)
fn with_cases() -> (Problem, Answer) {
    let answered = class("shop_imperial").into_iter().map(|own| {
        let answer = solve(&own.problem, Limits::default()).unwrap();
        (own.problem, answer)
    });
    let needs_cases = |(problem, answer): &(Problem, Answer)| {
        let mut undivided = answer.clone();
        let Certificate::Cases(_, cases) = &mut undivided.certificate else { return false };
        cases.tree.split.take().is_some() && check(problem, &undivided).is_err()
    };
    answered.into_iter().find(needs_cases).expect("one of them is split")
}

/// Lengths in sixteenths of an inch, six lengths of boards from 6 to 16 ft whose prices are nearly in proportion.
fn forty(prices: [i64; 6], parts: &[(i64, usize)]) -> Problem {
    let lengths = [72, 96, 120, 144, 168, 192].map(|inches| inches * 16);
    Problem {
        stocks: lengths.into_iter().zip(prices).map(|(length, cost)| stock(length, cost, None)).collect(),
        parts: parts.iter().map(|&(length, demand)| part(length, demand)).collect(),
        kerf: 2,
        trim: [8, 8],
    }
}

fn posts() -> Problem {
    forty([3440, 4587, 5733, 6880, 8027, 9173], &[(453, 200), (257, 80), (76, 80)])
}

/// Many equal pieces: the linear program is hundreds of cents low, since boards come in whole numbers. Neither dives nor a search
/// by cases closes these; the remainders of the parts do. The cheapest plans agree with a general solver, which found the first
/// without a proof in a minute and proved the second over all patterns.
#[test]
fn forty_pieces_are_proven_by_remainders() {
    let slats = [(337, 80), (346, 80), (353, 80), (359, 80), (363, 80), (366, 80), (367, 80), (368, 40)];
    let slats = forty([1720, 2293, 2867, 3440, 4013, 4587], &slats);
    for (problem, cost) in [(posts(), 355_449), (slats, 339_372)] {
        let answer = solve(&problem, Limits { steps: 20_000_000, ..Limits::default() }).unwrap();
        assert_eq!((answer.cost, answer.bound), (cost, cost));
        let Certificate::Cases(_, cases) = &answer.certificate else { panic!("{:?}", answer.certificate) };
        assert!(cases.tree.lattice.is_some());
    }
}

/// A lattice too coarse or of another shape, worths of parts too many that are too high, a bound too high: refused.
#[test]
fn tampered_lattices_are_refused() {
    let problem = posts();
    let good = solve(&problem, Limits::default()).unwrap();
    let refused = |change: &dyn Fn(&mut Answer, &mut Cases)| {
        let mut answer = good.clone();
        let Certificate::Cases(duals, mut cases) = good.certificate.clone() else { panic!("no cases") };
        change(&mut answer, &mut cases);
        answer.certificate = Certificate::Cases(duals, cases);
        assert!(check(&problem, &answer).is_err());
    };
    let rows = |cases: &mut Cases, change: &dyn Fn(&mut Vec<Vec<i64>>)| {
        change(&mut cases.tree.lattice.as_mut().expect("a lattice").rows);
    };
    refused(&|_, cases| rows(cases, &|rows| rows[2][2] = 1));
    refused(&|_, cases| rows(cases, &|rows| rows[2][2] = -35));
    refused(&|_, cases| rows(cases, &|rows| rows[2][0] = 1));
    refused(&|_, cases| rows(cases, &|rows| rows[2][2] = i64::MAX));
    refused(&|_, cases| rows(cases, &|rows| rows.truncate(2)));
    refused(&|_, cases| rows(cases, &|rows| rows[2].truncate(1)));
    refused(&|_, cases| rows(cases, &|rows| rows[1].push(1)));
    refused(&|_, cases| cases.tree.lattice.as_mut().expect("a lattice").parts[0] = 3);
    refused(&|_, cases| cases.tree.lattice = None);
    refused(&|_, cases| cases.tree.multipliers[0] *= 2);
    refused(&|answer, cases| {
        answer.layouts[0].times += 1;
        answer.cost += problem.stocks[answer.layouts[0].stock].cost;
        answer.bound += 1;
        cases.below += 1;
    });
}

/// Boards of 10 at 10 hold two parts, boards of 7 at 8 one. Two and a half of the first would do for five parts, at 25; whole
/// boards cost 28.
#[test]
fn tampered_tallies_are_refused() {
    let stocks = vec![stock(10, 10, None), stock(7, 8, None)];
    let problem = Problem { stocks, parts: vec![part(4, 5)], kerf: 0, trim: [0, 0] };
    let good = solve(&problem, Limits::default()).unwrap();
    assert_eq!((good.cost, good.bound, good.proof), (28, 28, Step::Tallies));
    let refused = |change: &dyn Fn(&mut Tallies)| {
        let mut answer = good.clone();
        let Certificate::Tallies(tallies) = &mut answer.certificate else { panic!("no tallies") };
        change(tallies);
        assert!(matches!(check(&problem, &answer), Err(Flaw::Certificate(_))));
    };
    refused(&|own| own.cuts.clear());
    refused(&|own| own.cuts.iter_mut().for_each(|cut| cut.worth[0].1 /= 2));
    refused(&|own| own.cuts.iter_mut().for_each(|cut| cut.worth[0].1 = -1));
    refused(&|own| own.cuts[0].scale *= 2);
    // What is claimed to be held is not believed where it is too little.
    refused(&|own| {
        own.cuts.iter_mut().for_each(|cut| cut.best.iter_mut().for_each(|best| *best = best.map(|_| 0)));
        own.tree.multipliers.iter_mut().for_each(|multiplier| *multiplier *= 4);
        own.tree.split = None;
    });
    refused(&|own| own.parts = 0);
    refused(&|own| own.below -= 2);
    refused(&|own| own.tree.split = None);
    refused(&|own| own.tree.split.as_mut().unwrap().most = 0);
    refused(&|own| own.tree.split.as_mut().unwrap().picked.stock = Some(9));
    let mut dearer = good.clone();
    dearer.bound += 1;
    assert_eq!(check(&problem, &dearer), Err(Flaw::Bound));
}

/// The checker refuses what was tampered with: a bound too high, multipliers, a choice, a layout.
#[test]
fn tampered_answers_are_refused() {
    let (problem, good) = with_cases();
    let refused = |change: &dyn Fn(&mut Answer)| {
        let mut answer = good.clone();
        change(&mut answer);
        assert!(check(&problem, &answer).is_err());
    };
    refused(&|answer| answer.cost -= 1);
    refused(&|answer| answer.bound += 1);
    refused(&|answer| answer.layouts[0].times += 1);
    refused(&|answer| answer.layouts[0].cuts[0].count += 1);
    refused(&|answer| answer.layouts[0].stock += 1);
    refused(&|answer| {
        answer.layouts.pop();
    });
    let cases = |answer: &mut Answer, change: &dyn Fn(&mut Cases)| {
        if let Certificate::Cases(_, cases) = &mut answer.certificate {
            change(cases);
        }
    };
    refused(&|answer| cases(answer, &|cases| cases.tree.multipliers.clear()));
    refused(&|answer| cases(answer, &|cases| cases.below /= 2));
    refused(&|answer| {
        answer.layouts[0].times += 1;
        answer.cost += problem.stocks[answer.layouts[0].stock].cost;
        answer.bound = answer.cost;
        cases(answer, &|cases| cases.below = i64::MAX / 4);
    });
    refused(&|answer| {
        if let Certificate::Cases(duals, _) = &mut answer.certificate {
            duals.worth.iter_mut().for_each(|worth| worth.1 = worth.1 * 11 / 10);
        }
    });
}
