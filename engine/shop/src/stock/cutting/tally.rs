//! Tallies: how many boards of each kind a plan buys, looked at before how they are cut.
//!
//! Let parts be worth u and let no pattern on board s be worth more than V(s). Whatever boards cost, a plan that buys n(s) of
//! each then satisfies
//!
//! ```text
//! sum n(s) V(s) >= sum d u
//! ```
//!
//! since its boards hold all parts. Such a cut says something about the numbers alone, and these are few and whole: the cheapest
//! tally that satisfies all cuts costs no more than any plan, and often far more than the linear program over patterns, which
//! buys broken boards. Branch and bound finds it. A whole tally that satisfies the cuts is tried: the linear program that has no
//! other boards either gives a cut that it breaks (Benders 1962, Numerische Mathematik 4:238-252, from memory), or shows how
//! to dive for a plan with just these boards. A plan for the cheapest tally is a cheapest plan.
//!
//! The cases, with whole multipliers of the cuts, are the proof; see [`Tallies`].

use super::answer::{Case, Picked, Split};
use super::costs::Costs;
use super::diving::{Best, dive};
use super::farley::Worths;
use super::generation::Generation;
use super::instance::{Board, Instance};
use super::pricing::Pricing;
use super::simplex::{Column, Master, Sense};
use super::work::Work;
use std::cmp::Reverse;
use std::collections::BinaryHeap;

/// A number of boards is broken when it is farther than this from whole.
const BROKEN: f64 = 1e-4;
/// Multipliers of the cuts are counted in such parts of one.
pub(super) const PARTS: i64 = 1 << 30;
/// No multiplier passes this.
const LARGEST: f64 = (1_i64 << 52) as f64;
/// What is lacking to a row is dearer than what is bought by this.
const DEAR: f64 = 64.0;
/// When boards lack all the same, that is made dearer by such a factor, so many times at the most.
const DEARER: f64 = 64.0;
const DEARER_TIMES: usize = 3;
/// Rows of which this share lacks are not met.
const LACKING: f64 = 1e-7;

/// Cuts at the most before there are cases.
const ROUNDS: usize = 40;

/// Steps that a case takes beside those of its program.
const A_CASE: usize = 4_000;

/// How far the search goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Reach {
    /// Cases.
    pub cases: usize,
    /// Tallies that no plan was found for.
    pub tallies: usize,
    /// Dives for each tally.
    pub dives: usize,
    /// Elementary steps.
    pub steps: u64,
}

/// What worths say about numbers of boards.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Cut {
    /// Of each part, in `scale`ths; whole numbers.
    pub worth: Vec<f64>,
    /// What no pattern on each board passes.
    pub best: Vec<f64>,
    /// What all parts wanted are worth: boards must hold as much.
    asked: i128,
}

impl Cut {
    fn of(instance: &Instance, worth: Vec<f64>, best: Vec<f64>) -> Cut {
        let each = instance.demands.iter().zip(&worth);
        let asked = each.map(|(&demand, &worth)| i128::from(demand) * worth as i128).sum();
        Cut { worth, best, asked }
    }

    /// Whether boards in such numbers hold less than is asked for, by more than what may be noise.
    fn is_broken_by(&self, numbers: &[f64]) -> bool {
        let held: f64 = self.best.iter().zip(numbers).map(|(best, number)| best * number).sum();
        held < self.asked as f64 * (1.0 - LACKING)
    }

    /// Whether they hold any less, in whole numbers.
    fn is_broken_by_whole(&self, tally: &[i64]) -> bool {
        let held = self.best.iter().zip(tally).map(|(&best, &number)| best as i128 * i128::from(number));
        held.sum::<i128>() < self.asked
    }
}

/// What was found: no plan costs less than `bound`.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Told {
    pub bound: i64,
    /// The first shows a bound by itself.
    pub cuts: Vec<Cut>,
    /// The greatest cost of a plan below the bound.
    pub below: i64,
    /// Why no plan costs so much, or less.
    pub tree: Case,
}

/// A case: the numbers lie between these.
struct Node {
    low: Vec<i64>,
    high: Vec<i64>,
    /// Of each cut known when it was solved.
    multipliers: Vec<i64>,
    /// What they show, in `scale * PARTS`ths.
    shown: i128,
    /// Numbers of boards in the linear program.
    levels: Vec<f64>,
    split: Option<Halves>,
    /// It holds one tally, for which there is neither a cut nor a plan.
    is_stuck: bool,
}

/// Of a board at most so many, or more.
struct Halves {
    board: usize,
    most: i64,
    fewer: usize,
    more: usize,
}

struct Search<'a> {
    instance: &'a Instance,
    costs: &'a Costs,
    /// The program of the instance with limited boards only.
    generation: Generation<'a>,
    cuts: Vec<Cut>,
    /// Cuts that were of no use where they were found.
    spare: Vec<Cut>,
    nodes: Vec<Node>,
    /// Most of each board that any plan needs.
    high: Vec<i64>,
    /// Most of each board that a plan of use can pay for.
    paid: Vec<i64>,
    /// Open cases by what they show, the least first; what is shown no longer counts for nothing.
    open: BinaryHeap<Reverse<(i128, Reverse<usize>)>>,
    /// Tallies that no plan was found for.
    tried: Vec<Vec<i64>>,
}

/// Looks for the cheapest tally and a plan for it. Nothing where a plan may buy but one kind of board, or be short of boards.
pub(super) fn search(
    root: &Generation<'_>,
    (first, costs): (&Worths, &Costs),
    pricing: &mut dyn Pricing,
    best: &mut Best,
    reach: Reach,
    work: &mut Work,
) -> Option<Told> {
    let instance = root.instance;
    let boards = &instance.boards;
    if boards.len() < 2 || boards.iter().any(|board| board.is_missing) || first.worth.is_empty() {
        return None;
    }
    let mut limited = instance.clone();
    limited.boards.iter_mut().for_each(|board| board.available = Some(0));
    let mut generation = Generation::new(&limited, pricing);
    root.patterns.iter().for_each(|pattern| _ = generation.add(pattern.clone()));
    let first = Cut::of(instance, first.worth.clone(), first.best.clone());
    if first.asked == 0 {
        // All may come of what costs nothing.
        return None;
    }
    let search = Search::new(instance, costs, generation, (first, best.cost));
    search.run(pricing, best, reach, work)
}

impl<'a> Search<'a> {
    /// With a cut, and a plan at a cost at hand.
    fn new(
        instance: &'a Instance,
        costs: &'a Costs,
        generation: Generation<'a>,
        (first, cost): (Cut, i64),
    ) -> Self {
        let parts = i64::from(instance.part_count());
        let needed = |board: &Board| board.available.map_or(parts, i64::from).min(parts);
        let paid = |board: &Board| if board.cost > 0 { cost / board.cost } else { i64::MAX };
        Search {
            instance,
            costs,
            generation,
            cuts: vec![first],
            spare: Vec::new(),
            nodes: Vec::new(),
            high: instance.boards.iter().map(needed).collect(),
            paid: instance.boards.iter().map(paid).collect(),
            open: BinaryHeap::new(),
            tried: Vec::new(),
        }
    }

    /// A cut that these numbers break, if there is one and it can be shown.
    fn too_few(&mut self, numbers: &[f64], pricing: &mut dyn Pricing, work: &mut Work) -> Option<Cut> {
        let (worth, best) = self.generation.too_few(numbers, pricing, work)?;
        let best = pricing.sure(&worth, best, work);
        Some(Cut::of(self.instance, worth, best)).filter(|cut| cut.is_broken_by(numbers))
    }

    fn run(
        mut self,
        pricing: &mut dyn Pricing,
        best: &mut Best,
        reach: Reach,
        work: &mut Work,
    ) -> Option<Told> {
        let last = work.steps().saturating_add(reach.steps);
        self.solve(vec![0; self.high.len()], self.high.clone(), &[], work);
        self.cut_root(last, pricing, work);
        let mut at = Some(0);
        while let Some(now) = at.or_else(|| self.next(best.cost)) {
            let is_far = self.nodes.len() > reach.cases || self.tried.len() >= reach.tallies;
            if is_far || work.steps() > last || work.is_over() {
                break;
            }
            at = self.step(now, pricing, best, reach, work).filter(|&next| self.is_open(next, best.cost));
        }
        let leaves = self.nodes.iter().filter(|node| node.split.is_none());
        let bound = leaves.map(|node| self.cost(node)).min()?.min(best.cost);
        let below = self.costs.below(bound);
        let tree = self.case(0, i128::from(below) * self.unit());
        Some(Told { bound, cuts: self.cuts, below, tree })
    }

    /// `scale` times [`PARTS`].
    fn unit(&self) -> i128 {
        i128::from(self.instance.scale) * i128::from(PARTS)
    }

    /// The least cost that a case leaves possible.
    fn cost(&self, node: &Node) -> i64 {
        self.costs.at_least(self.instance.round_up(node.shown, self.unit()))
    }

    /// Cuts that the program without cases breaks, one after another. Of those after the first, the ones that its plan does not
    /// rest on are put aside.
    fn cut_root(&mut self, last: u64, pricing: &mut dyn Pricing, work: &mut Work) {
        for _ in 0..ROUNDS {
            let numbers = self.nodes[0].levels.clone();
            let found = if work.steps() > last { None } else { self.too_few(&numbers, pricing, work) };
            let Some(cut) = found else { break };
            self.cuts.push(cut);
            self.solve_again(0, work);
        }
        let multipliers = std::mem::take(&mut self.nodes[0].multipliers);
        for (cut, multiplier) in std::mem::take(&mut self.cuts).into_iter().zip(multipliers) {
            if multiplier > 0 || self.cuts.is_empty() {
                self.cuts.push(cut);
                self.nodes[0].multipliers.push(multiplier);
            } else {
                self.spare.push(cut);
            }
        }
        self.solve_again(0, work);
    }

    /// One step on a case; gives the case to go on with, if it is clear.
    fn step(
        &mut self,
        at: usize,
        pricing: &mut dyn Pricing,
        best: &mut Best,
        reach: Reach,
        work: &mut Work,
    ) -> Option<usize> {
        let levels = &self.nodes[at].levels;
        if let Some(spare) = self.spare.iter().position(|cut| cut.is_broken_by(levels)) {
            self.cuts.push(self.spare.remove(spare));
        }
        if self.nodes[at].multipliers.len() < self.cuts.len() {
            self.solve_again(at, work);
        } else if let Some((board, level)) = self.broken(at) {
            return Some(self.split(at, board, level.floor() as i64, work));
        } else {
            self.try_tally(at, pricing, best, reach, work);
        }
        Some(at)
    }

    /// The open case that leaves the least cost possible, below `cost`; of several the last.
    fn next(&mut self, cost: i64) -> Option<usize> {
        while let Some(Reverse((shown, Reverse(at)))) = self.open.pop() {
            if self.nodes[at].shown == shown && self.nodes[at].split.is_none() && !self.nodes[at].is_stuck {
                // It stays open until it is split.
                self.open.push(Reverse((shown, Reverse(at))));
                return self.is_open(at, cost).then_some(at);
            }
        }
        None
    }

    fn is_open(&self, at: usize, cost: i64) -> bool {
        let node = &self.nodes[at];
        node.split.is_none() && !node.is_stuck && self.cost(node) < cost
    }

    /// The board whose number is the most broken.
    fn broken(&self, at: usize) -> Option<(usize, f64)> {
        let off = |level: f64| (level - level.floor() - 0.5).abs();
        let levels = self.nodes[at].levels.iter().copied().enumerate();
        let broken = levels.filter(|own| off(own.1) < 0.5 - BROKEN);
        broken.min_by(|a, b| off(a.1).total_cmp(&off(b.1)))
    }

    /// Divides a case; gives the half that shows less.
    fn split(&mut self, at: usize, board: usize, most: i64, work: &mut Work) -> usize {
        let Node { low, high, multipliers, .. } = &self.nodes[at];
        let (low, high, known) = (low.clone(), high.clone(), multipliers.clone());
        let most = most.min(high[board] - 1);
        let (mut fewer, mut more) = (high.clone(), low.clone());
        fewer[board] = most;
        more[board] = most + 1;
        let fewer = self.solve(low, fewer, &known, work);
        let more = self.solve(more, high, &known, work);
        self.nodes[at].split = Some(Halves { board, most, fewer, more });
        if self.nodes[fewer].shown <= self.nodes[more].shown { fewer } else { more }
    }

    /// Looks for a cut that the case's tally breaks, else for a plan, else goes on beside it.
    fn try_tally(
        &mut self,
        at: usize,
        pricing: &mut dyn Pricing,
        best: &mut Best,
        reach: Reach,
        work: &mut Work,
    ) {
        let tally: Vec<i64> = self.nodes[at].levels.iter().map(|level| level.round() as i64).collect();
        let cost = self.instance.boards.iter().zip(&tally).map(|(board, number)| board.cost * number).sum();
        // What breaks a cut by a hair, or costs no less than the plan at hand, is not tried.
        let is_idle = best.cost <= cost || self.cuts.iter().any(|cut| cut.is_broken_by_whole(&tally));
        if !is_idle && !self.tried.contains(&tally) {
            let numbers: Vec<f64> = tally.iter().map(|&number| number as f64).collect();
            if let Some(cut) = self.too_few(&numbers, pricing, work) {
                self.cuts.push(cut);
                return self.solve_again(at, work);
            }
            let mut forbidden = Vec::new();
            for _ in 0..reach.dives {
                if best.cost > cost && !work.is_over() {
                    dive(&self.generation, pricing, best, &mut forbidden, cost, work);
                }
            }
            if best.cost > cost {
                self.tried.push(tally.clone());
            }
        }
        if self.is_open(at, best.cost) && !work.is_over() {
            self.go_beside(at, &tally, work);
        }
    }

    /// Divides a case so that one half no longer holds the tally.
    fn go_beside(&mut self, at: usize, tally: &[i64], work: &mut Work) {
        let Node { low, high, .. } = &self.nodes[at];
        let open = (0..tally.len()).find(|&board| low[board] < high[board]);
        match open {
            Some(board) => {
                let most = if tally[board] < high[board] { tally[board] } else { tally[board] - 1 };
                self.split(at, board, most, work);
            }
            None => self.nodes[at].is_stuck = true,
        }
    }

    fn solve_again(&mut self, at: usize, work: &mut Work) {
        let Node { low, high, multipliers, .. } = &self.nodes[at];
        let (low, high, known) = (low.clone(), high.clone(), multipliers.clone());
        self.nodes[at] = self.solved(low, high, &known, work);
        self.open.push(Reverse((self.nodes[at].shown, Reverse(at))));
    }

    /// A case more; gives its index.
    fn solve(&mut self, low: Vec<i64>, high: Vec<i64>, known: &[i64], work: &mut Work) -> usize {
        let node = self.solved(low, high, known, work);
        let at = self.nodes.len();
        self.open.push(Reverse((node.shown, Reverse(at))));
        self.nodes.push(node);
        at
    }

    /// The cheapest numbers, broken ones too, that satisfy all cuts. Rows are counted in costs: those of cuts so that all ask for
    /// the same, those of limits so that a board counts by its cost.
    /// Where multipliers that are `known` show more, as after a program that was cut short, those are kept.
    fn solved(&self, low: Vec<i64>, high: Vec<i64>, known: &[i64], work: &mut Work) -> Node {
        let boards = &self.instance.boards;
        let asked = (self.cuts[0].asked as f64 / self.instance.scale as f64).max(1.0);
        let mut rows: Vec<(Sense, f64)> = self.cuts.iter().map(|_| (Sense::Least, asked)).collect();
        let mut columns = Vec::new();
        for (at, board) in boards.iter().enumerate() {
            let share = |cut: &Cut| cut.best[at] * asked / cut.asked as f64;
            let shares = self.cuts.iter().map(share).enumerate();
            let mut entries: Vec<(u32, f64)> =
                shares.filter(|own| own.1 > 0.0).map(|own| (own.0 as u32, own.1)).collect();
            // What the case asks for is there from the start.
            entries.iter().for_each(|&(row, share)| rows[row as usize].1 -= share * low[at] as f64);
            // Without a row a level may pass what any plan needs; a split then gives it one.
            if high[at] < self.high[at] || low[at] > 0 || board.available.is_some() {
                let each = board.cost.max(1) as f64;
                entries.push((rows.len() as u32, each));
                rows.push((Sense::Most, each * (high[at] - low[at]) as f64));
            }
            columns.push(Column { cost: board.cost as f64, entries });
        }
        work.spend(A_CASE);
        let mut master = Master::new(&rows, DEAR);
        columns.into_iter().for_each(|column| master.add(column));
        master.primal(work);
        let mut dear = DEAR;
        for _ in 0..DEARER_TIMES {
            if master.shortage() > LACKING * asked {
                dear *= DEARER;
                master.set_dear(dear);
                master.primal(work);
            }
        }
        let mut levels: Vec<f64> = low.iter().map(|&low| low as f64).collect();
        master.levels().into_iter().for_each(|own| levels[own.0] += own.1);
        let whole = |(dual, cut): (&f64, &Cut)| {
            // None needs to be so large; sums of them stay countable.
            (dual.max(0.0) * asked * self.unit() as f64 / cut.asked as f64).min(LARGEST) as i64
        };
        let mut multipliers: Vec<i64> = master.duals().iter().zip(&self.cuts).map(whole).collect();
        let mut shown = self.shown(&multipliers, &low, &high);
        if self.shown(known, &low, &high) > shown {
            multipliers = known.to_vec();
            multipliers.resize(self.cuts.len(), 0);
            shown = self.shown(&multipliers, &low, &high);
        }
        Node { low, high, multipliers, shown, levels, split: None, is_stuck: false }
    }

    /// What multipliers of the cuts show for numbers between these, in whole numbers.
    fn shown(&self, multipliers: &[i64], low: &[i64], high: &[i64]) -> i128 {
        let asked = multipliers.iter().zip(&self.cuts).map(|(&own, cut)| i128::from(own) * cut.asked);
        let rest = self.instance.boards.iter().enumerate().map(|(at, board)| {
            let held = multipliers.iter().zip(&self.cuts);
            let held: i128 = held.map(|(&own, cut)| i128::from(own) * cut.best[at] as i128).sum();
            let left = i128::from(board.cost) * self.unit() - held;
            left * i128::from(if left >= 0 { low[at] } else { high[at].min(self.paid[at]) })
        });
        asked.sum::<i128>() + rest.sum::<i128>()
    }

    /// The case and those below it, as far as they are needed to show more than so much.
    fn case(&self, at: usize, below: i128) -> Case {
        let node = &self.nodes[at];
        let split = node.split.as_ref().filter(|_| node.shown <= below).map(|halves| {
            Box::new(Split {
                picked: Picked { stock: Some(halves.board), holding: Vec::new() },
                most: halves.most,
                fewer: self.case(halves.fewer, below),
                more: self.case(halves.more, below),
            })
        });
        Case { multipliers: node.multipliers.clone(), lattice: None, split }
    }
}

#[cfg(test)]
mod tests {
    use super::super::pricing::InARow;
    use super::super::{Limits, Part, Problem, Stock, solve};
    use super::*;
    use proptest::prelude::*;

    const REACH: Reach = Reach { cases: 100, tallies: 3, dives: 2, steps: u64::MAX };

    /// The problem gone through from its linear program on, with a plan at `cost` at hand.
    fn told_within(reach: Reach, problem: &Problem, cost: i64) -> (Option<Told>, i64) {
        let instance = Instance::of(problem).unwrap();
        let go_on = &mut |_: &_| true;
        let (work, pricing) = (&mut Work::new(u64::MAX, go_on), &mut InARow::new(&instance));
        let mut generation = Generation::new(&instance, pricing);
        let worths = generation.solve(pricing, i64::MAX, work);
        let mut best = Best { packing: Vec::new(), cost };
        let costs = Costs::of(&instance, cost);
        let told = search(&generation, (&worths, &costs), pricing, &mut best, reach, work);
        (told, best.cost)
    }

    fn told(problem: &Problem, cost: i64) -> (Option<Told>, i64) {
        told_within(REACH, problem, cost)
    }

    fn problem(stocks: &[(i64, i64, Option<usize>)], parts: &[(i64, usize)]) -> Problem {
        let stock = |&(length, cost, available): &_| Stock { length, cost, available };
        let part = |&(length, demand): &_| Part { length, demand };
        Problem {
            stocks: stocks.iter().map(stock).collect(),
            parts: parts.iter().map(part).collect(),
            ..Problem::default()
        }
    }

    /// Boards of 10 at 10 hold two parts of 4, boards of 7 at 8 one. Five parts take two and a half of the first, at 25; the next sum of costs
    /// is 26, of two boards and a half cheaper one. Two and one cost 28.
    #[test]
    fn whole_numbers_of_boards_cost_more_than_broken_ones() {
        let (told, cost) = told(&problem(&[(10, 10, None), (7, 8, None)], &[(4, 5)]), 40);
        assert_eq!((told.unwrap().bound, cost), (28, 28));
    }

    /// Of the cheap boards there is one: 5 + 10 + 10.
    #[test]
    fn limits_of_numbers_count() {
        let (told, cost) = told(&problem(&[(10, 10, None), (7, 5, Some(1))], &[(4, 5)]), 40);
        assert_eq!((told.unwrap().bound, cost), (25, 25));
    }

    /// 6 and 4 in a board of 10, the others in boards of 8: 10 + 3 * 9. By their lengths two boards of 10 and one of 8 would do.
    #[test]
    fn a_tally_that_cannot_hold_the_parts_is_cut_off() {
        let (told, cost) = told(&problem(&[(10, 10, None), (8, 9, None)], &[(6, 3), (5, 1), (4, 1)]), 60);
        assert_eq!((told.unwrap().bound, cost), (37, 37));
    }

    /// With a plan at the least cost at hand nothing cheaper is found, and that is shown.
    #[test]
    fn a_plan_at_hand_is_shown_to_be_cheapest() {
        let (told, cost) = told(&problem(&[(10, 10, None), (7, 8, None)], &[(4, 5)]), 28);
        assert_eq!((told.unwrap().bound, cost), (28, 28));
    }

    #[test]
    fn one_kind_of_board_leaves_nothing_to_look_at() {
        assert_eq!(told(&problem(&[(10, 10, None)], &[(4, 5)]), 40), (None, 40));
    }

    /// No more is looked at than is allowed, and what is told then is true.
    #[test]
    fn a_search_cut_short_tells_what_is_left() {
        let problem = problem(&[(10, 10, None), (7, 8, None)], &[(4, 5)]);
        let (told, cost) = told_within(Reach { cases: 0, ..REACH }, &problem, 40);
        assert!((25..=28).contains(&told.unwrap().bound) && cost == 40);
    }

    proptest! {
        /// No bound passes what the cheapest plan costs (which tests of the whole hold against trying all), and no plan beats it.
        #[test]
        fn bounds_are_no_dearer_than_the_cheapest_plan(
            boards in prop::collection::vec((20_i64..90, 1_i64..50, prop::option::of(1_usize..4)), 1..4),
            parts in prop::collection::vec((5_i64..60, 1_usize..6), 1..5),
        ) {
            // Whatever is wanted can be had.
            let boards: Vec<_> = boards.into_iter().chain([(60, 40, None)]).collect();
            let problem = problem(&boards, &parts);
            let answer = solve(&problem, Limits::default()).unwrap();
            prop_assert!(answer.is_optimal());
            let (told, cost) = told(&problem, answer.cost + 100);
            prop_assert!(cost >= answer.cost);
            prop_assert!(told.is_none_or(|told| told.bound <= answer.cost));
        }
    }
}
