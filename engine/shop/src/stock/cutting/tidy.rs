//! Among plans that cost the same: fewest ways to cut, then longest usable remainders.
//!
//! The cost is held at what the plan costs. Every pattern that such a plan could use is listed, those with room to spare
//! too, and plans are searched depth first: the largest part that is left decides which patterns come next, and what is
//! left must be worth no more than what may still be spent. Fewer patterns are tried first, so that the first plan found
//! has the fewest; plans with as few are then compared by their remainders. Where there are too many patterns or plans, the
//! best that was found is given, and that it may not be the best is told. (Pattern reduction: Foerster and Waescher 2000,
//! International Journal of Production Research 38:1657-1676, which goes from plan to plan instead.)

use super::answer::{Answer, Certificate};
use super::checker::check;
use super::diving::Best;
use super::enumeration::enumerate_all;
use super::farley::Worths;
use super::instance::Instance;
use super::knapsack::Knapsack;
use super::pattern::{Packing, Pattern};
use super::solve::layouts;
use super::work::{Progress, Work};
use super::{Fault, Problem};
use std::cmp::Reverse;

/// Most patterns that are searched.
const MOST_PATTERNS: usize = 20_000;

/// How sure it is that there is nothing better.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shown {
    /// All plans of that cost were searched.
    Best,
    /// The best of those that were looked at.
    BestFound,
}

/// A plan as cheap as before.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Tidied {
    /// The plan.
    pub answer: Answer,
    /// Different ways to cut.
    pub patterns: usize,
    /// Whether fewer ways would do.
    pub patterns_shown: Shown,
    /// Sum of the remainders that are usable.
    pub remainders: i64,
    /// Whether they could be longer with as few ways to cut.
    pub remainders_shown: Shown,
}

/// Fewest patterns at the answer's cost, then the longest sum of remainders that are `usable` or longer; spends `steps` on
/// each of the two.
pub fn tidy(problem: &Problem, answer: &Answer, usable: i64, steps: u64) -> Result<Tidied, Fault> {
    problem.validate()?;
    let instance = Instance::of(problem)?;
    let found = Found::of(&instance, problem, answer, usable);
    let mut tidied = found.tidied(answer);
    if !answer.missing.is_empty() {
        return Ok(tidied);
    }
    let go_on = &mut |_: &Progress| true;
    let mut work = Work::new(steps, go_on);
    let worths = worths(&instance, answer, &mut work);
    let Some(patterns) = enumerate_all(&instance, &worths, answer.cost, MOST_PATTERNS, &mut work) else {
        return Ok(tidied);
    };
    let mut search = Search::new(&instance, problem, patterns, &worths, answer.cost, found);
    (tidied.patterns_shown, tidied.remainders_shown) = search.run(steps);
    let Found { packing, patterns, remainders, .. } = search.best;
    if let Some(packing) = packing {
        tidied.answer.layouts = layouts(&instance, &Best { packing, cost: answer.cost }).0;
        check(problem, &tidied.answer).map_err(Fault::Unsound)?;
    }
    (tidied.patterns, tidied.remainders) = (patterns, remainders);
    Ok(tidied)
}

/// The worths of the answer's certificate.
fn worths(instance: &Instance, answer: &Answer, work: &mut Work) -> Worths {
    let duals = match &answer.certificate {
        Certificate::Duals(duals) | Certificate::Cases(duals, _) => Some(duals),
        Certificate::Tallies(tallies) => tallies.cuts.first(),
        Certificate::Nothing => None,
    };
    let Some(duals) = duals else {
        return Worths::new(
            instance,
            &instance.demands,
            &vec![0.0; instance.sizes.len()],
            &vec![0.0; instance.boards.len()],
        );
    };
    let of = |length: &i64| duals.worth.iter().find(|own| own.0 == *length).map_or(0.0, |own| own.1 as f64);
    let worth: Vec<f64> = instance.lengths.iter().map(of).collect();
    let mut knapsack = Knapsack::default();
    knapsack.fill(&instance.sizes, &instance.demands, (&worth, 0.0), instance.capacity(), work);
    let best: Vec<f64> = instance.boards.iter().map(|board| knapsack.bound(board.capacity)).collect();
    Worths::new(instance, &instance.demands, &worth, &best)
}

/// The best plan so far; no packing for the one that was given.
struct Found {
    packing: Option<Packing>,
    patterns: usize,
    remainders: i64,
    usable: i64,
}

impl Found {
    fn of(instance: &Instance, problem: &Problem, answer: &Answer, usable: i64) -> Found {
        let each = |layout: &super::Layout| {
            let taken: i64 =
                layout.cuts.iter().map(|cut| (cut.length + problem.kerf) * cut.count as i64).sum();
            counted(problem.room(&problem.stocks[layout.stock]) - taken, usable) * layout.times as i64
        };
        // Stock that is alike counts as one way to cut.
        let board = |stock: usize| {
            instance.boards.iter().position(|board| board.sources.iter().any(|source| source.0 == stock))
        };
        let ways: std::collections::BTreeSet<_> =
            answer.layouts.iter().map(|layout| (board(layout.stock), &layout.cuts)).collect();
        Found {
            packing: None,
            patterns: ways.len(),
            remainders: answer.layouts.iter().map(each).sum(),
            usable,
        }
    }

    fn tidied(&self, answer: &Answer) -> Tidied {
        Tidied {
            answer: answer.clone(),
            patterns: self.patterns,
            patterns_shown: Shown::BestFound,
            remainders: self.remainders,
            remainders_shown: Shown::BestFound,
        }
    }
}

/// A remainder as far as it is of use. What is left of the room has carried the kerf of the last cut already.
fn counted(remainder: i64, usable: i64) -> i64 {
    if remainder >= usable.max(0) { remainder } else { 0 }
}

struct Search<'a> {
    instance: &'a Instance,
    patterns: Vec<Pattern>,
    /// Usable remainder of each pattern.
    remainders: Vec<i64>,
    worths: &'a Worths,
    /// What the plan costs, in `scale`ths.
    cost: i128,
    best: Found,
    left: Vec<u32>,
    boards: Vec<Option<u32>>,
    taken: Vec<(usize, u32)>,
    nodes: u64,
    most_nodes: u64,
    /// Whether plans with as few patterns are compared by their remainders.
    by_remainders: bool,
}

impl<'a> Search<'a> {
    fn new(
        instance: &'a Instance,
        problem: &Problem,
        mut patterns: Vec<Pattern>,
        worths: &'a Worths,
        cost: i64,
        best: Found,
    ) -> Self {
        // Largest parts first, and fullest boards, which lead to plans sooner.
        patterns.sort_by_cached_key(|own| (Reverse(own.size(instance)), own.clone()));
        let remainder = |pattern: &Pattern| {
            let board = &instance.boards[pattern.board];
            let Some(&(stock, _)) = board.sources.first() else { return 0 };
            let lengths = pattern
                .counts
                .iter()
                .map(|&(part, count)| (instance.lengths[part as usize] + problem.kerf) * i64::from(count));
            counted(problem.room(&problem.stocks[stock]) - lengths.sum::<i64>(), best.usable)
        };
        let remainders = patterns.iter().map(remainder).collect();
        Search {
            instance,
            remainders,
            patterns,
            worths,
            cost: i128::from(cost) * i128::from(instance.scale),
            best,
            left: instance.demands.clone(),
            boards: instance.boards.iter().map(|board| board.available).collect(),
            taken: Vec::new(),
            nodes: 0,
            most_nodes: 0,
            by_remainders: false,
        }
    }

    fn run(&mut self, steps: u64) -> (Shown, Shown) {
        // A node looks at every pattern.
        self.most_nodes = steps / (self.patterns.len() as u64 + 1);
        let (mut fewest, mut most) = (Shown::BestFound, 1);
        while self.nodes < self.most_nodes && fewest == Shown::BestFound {
            if most >= self.best.patterns || self.descend(most, 0) {
                fewest = Shown::Best;
            }
            most += 1;
        }
        if self.nodes >= self.most_nodes {
            return (Shown::BestFound, Shown::BestFound);
        }
        (self.by_remainders, self.nodes) = (true, 0);
        self.descend(self.best.patterns, 0);
        (fewest, if self.nodes < self.most_nodes { Shown::Best } else { Shown::BestFound })
    }

    /// Goes on with up to `most` patterns more, from the pattern `from` on while it is the same part. Whether to end.
    fn descend(&mut self, most: usize, from: usize) -> bool {
        self.nodes += 1;
        let Some(part) = self.left.iter().position(|&left| left > 0) else { return self.offer() };
        if most == 0 || self.nodes >= self.most_nodes || self.least_cost() > self.cost {
            return self.nodes >= self.most_nodes;
        }
        for at in from..self.patterns.len() {
            let pattern = &self.patterns[at];
            if pattern.count(part as u32) == 0 || !pattern.is_within(&self.left) {
                continue;
            }
            let counts = pattern.counts.iter().map(|&(part, count)| self.left[part as usize] / count);
            let times = counts.min().unwrap_or(0).min(self.boards[pattern.board].unwrap_or(u32::MAX));
            for times in (1..=times).rev() {
                self.take(at, times, true);
                let next = if self.left[part] > 0 { at + 1 } else { 0 };
                let ends = self.descend(most - 1, next);
                self.take(at, times, false);
                if ends {
                    return true;
                }
            }
        }
        false
    }

    fn take(&mut self, at: usize, times: u32, on: bool) {
        let pattern = &self.patterns[at];
        for &(part, count) in &pattern.counts {
            let left = &mut self.left[part as usize];
            *left = if on { *left - count * times } else { *left + count * times };
        }
        if let Some(left) = &mut self.boards[pattern.board] {
            *left = if on { *left - times } else { *left + times };
        }
        if on { self.taken.push((at, times)) } else { self.taken.truncate(self.taken.len() - 1) }
    }

    /// What the plan must cost at least, in `scale`ths.
    fn least_cost(&self) -> i128 {
        let scale = i128::from(self.instance.scale);
        let cost = |board: usize| i128::from(self.instance.boards[board].cost) * scale;
        let spent: i128 =
            self.taken.iter().map(|&(at, times)| cost(self.patterns[at].board) * i128::from(times)).sum();
        let wanted = self.left.iter().zip(&self.worths.worth);
        let worth: i128 = wanted.map(|(&left, &worth)| i128::from(left) * worth as i128).sum();
        let gain = self.boards.iter().enumerate().map(|(board, left)| {
            i128::from(left.unwrap_or(0)) * (self.worths.best[board] as i128 - cost(board)).max(0)
        });
        spent + worth - gain.sum::<i128>()
    }

    /// A plan that makes all parts.
    fn offer(&mut self) -> bool {
        let scale = i128::from(self.instance.scale);
        let price = |&(at, times): &(usize, u32)| {
            i128::from(self.instance.boards[self.patterns[at].board].cost) * i128::from(times) * scale
        };
        if self.taken.iter().map(price).sum::<i128>() > self.cost {
            return false;
        }
        let remainders = self.taken.iter().map(|&(at, times)| self.remainders[at] * i64::from(times)).sum();
        let patterns = self.taken.len();
        if (patterns, Reverse(remainders)) < (self.best.patterns, Reverse(self.best.remainders)) {
            let packing = self.taken.iter().map(|&(at, times)| (self.patterns[at].clone(), times)).collect();
            self.best = Found { packing: Some(packing), patterns, remainders, usable: self.best.usable };
        }
        !self.by_remainders
    }
}
