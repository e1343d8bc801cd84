//! From problem to proven plan: greedy, column generation, dives, enumeration.

use super::answer::{Answer, Case, Cases, Certificate, Cut, Duals, Layout, Step};
use super::checker::check;
use super::costs::Costs;
use super::diving::{Best, dive};
use super::enumeration::enumerate;
use super::farley::Worths;
use super::generation::Generation;
use super::greedy::{Rest, greedy};
use super::instance::Instance;
use super::integer::{Reach, search, search_through};
use super::interior::interior;
use super::pattern::Pattern;
use super::pricing::{InARow, Pricing};
use super::work::{Progress, Work};
use super::{Fault, Problem};

/// How hard to try.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Limits {
    /// Elementary steps; roughly a thousand a microsecond.
    pub steps: u64,
    /// Dives from the root before patterns are enumerated.
    pub dives: usize,
    /// Cases of the search over generated patterns.
    pub rounding: usize,
    /// Most patterns that are enumerated.
    pub patterns: usize,
    /// Cases of the search over enumerated patterns.
    pub cases: usize,
}

/// Share of the gap that the first search over enumerated patterns reaches for.
pub(super) const NEAR: i64 = 8;

/// Patterns that are many: with more, worths are looked for that leave fewer.
const MANY: usize = 5_000;

impl Default for Limits {
    fn default() -> Self {
        Limits { steps: 20_000_000_000, dives: 12, rounding: 100, patterns: 400_000, cases: 80_000 }
    }
}

/// The cheapest plan, with its bound, as far as the limits reach. Every answer has passed the checker.
pub fn solve(problem: &Problem, limits: Limits) -> Result<Answer, Fault> {
    solve_watched(problem, limits, &mut |_| true)
}

/// The same; `go_on` is told the progress now and then, and ends the search with the best plan so far by answering `false`.
pub fn solve_watched(
    problem: &Problem,
    limits: Limits,
    go_on: &mut dyn FnMut(&Progress) -> bool,
) -> Result<Answer, Fault> {
    problem.validate()?;
    let instance = Instance::of(problem)?;
    let mut work = Work::new(limits.steps, go_on);
    let mut search = Search {
        instance: &instance,
        best: Best::none(),
        worths: Worths::default(),
        bound: 0,
        step: Step::Open,
        costs: Costs::of(&instance, 0),
        cases: None,
    };
    if instance.sizes.is_empty() {
        search.best.cost = 0;
        search.step = Step::Greedy;
    } else {
        search.run(limits, &mut work);
    }
    let answer = search.answer(problem, &work);
    match check(problem, &answer) {
        Ok(()) => Ok(answer),
        Err(flaw) => Err(Fault::Unsound(flaw)),
    }
}

struct Search<'a> {
    instance: &'a Instance,
    best: Best,
    worths: Worths,
    bound: i64,
    step: Step,
    costs: Costs,
    /// The cases with the worths that they were found with.
    cases: Option<(Worths, Cases)>,
}

impl Search<'_> {
    fn run(&mut self, limits: Limits, work: &mut Work) {
        let instance = self.instance;
        self.offer_greedy(None);
        let mut pricing = InARow::new(instance);
        let mut generation = Generation::new(instance, &mut pricing);
        for (pattern, _) in self.best.packing.clone() {
            generation.add(pattern);
        }
        self.worths = generation.solve(&mut pricing, self.best.cost, work);
        if work.is_over() {
            // A program cut short may show less than the lengths by themselves.
            let by_size = Worths::by_size(instance);
            if by_size.bound > self.worths.bound {
                self.worths = by_size;
            }
        }
        self.bound = self.worths.cost(instance);
        if self.closed_by(Step::Greedy, work) {
            return;
        }
        self.costs = Costs::of(instance, self.best.cost);
        self.bound = self.costs.at_least(self.bound);
        self.offer_greedy(Some(&self.worths.worth.clone()));
        let mut forbidden = Vec::new();
        for _ in 0..limits.dives {
            dive(&generation, &mut pricing, &mut self.best, &mut forbidden, self.bound, work);
            if self.closed_by(Step::Diving, work) {
                return;
            }
        }
        self.round(&generation.patterns, limits, work);
        if !self.closed_by(Step::Rounding, work) {
            self.enumerate(&generation, &mut pricing, limits, work);
        }
    }

    fn offer_greedy(&mut self, worth: Option<&[f64]>) {
        if let Some(packing) = greedy(self.instance, Rest::all(self.instance), worth) {
            self.best.offer(self.instance, packing);
        }
    }

    /// Looks for a cheaper plan over the patterns generated so far: a better plan leaves fewer patterns to enumerate.
    fn round(&mut self, patterns: &[Pattern], limits: Limits, work: &mut Work) {
        let reach = Reach { costs: &self.costs, below: self.best.cost, cases: limits.rounding };
        search(self.instance, patterns, &mut self.best, reach, work);
    }

    /// Searches all patterns that a cheaper plan could use. The search reaches for plans near the bound first, where few
    /// patterns matter, and twice as far each time that there is none.
    fn enumerate(
        &mut self,
        generation: &Generation,
        pricing: &mut dyn Pricing,
        limits: Limits,
        work: &mut Work,
    ) {
        let instance = self.instance;
        let mut reach = (self.best.cost - self.bound) / NEAR;
        let mut is_interior = false;
        while self.best.cost > self.bound {
            let below = self.costs.below(self.best.cost.min(self.bound + reach + 1));
            let most = if is_interior { limits.patterns } else { MANY };
            let Some(patterns) = enumerate(instance, &self.worths, below, most, work) else {
                if is_interior || work.is_over() {
                    return;
                }
                is_interior = true;
                self.take_interior(generation, pricing, work);
                continue;
            };
            let near = Reach { costs: &self.costs, below, cases: limits.cases };
            let tree = search_through(instance, &patterns, &mut self.best, near, work);
            let Some(tree) = tree else { return };
            let below = below.min(self.costs.below(self.best.cost));
            self.cases = Some((self.worths.clone(), Cases { below, limited: Vec::new(), tree }));
            self.bound = self.costs.at_least(below + instance.step);
            self.tell(work);
            reach *= 2;
        }
        self.step = Step::Enumeration;
    }

    /// Worths that leave fewer patterns, when they prove as much.
    fn take_interior(&mut self, generation: &Generation, pricing: &mut dyn Pricing, work: &mut Work) {
        let inner = interior(generation, pricing, &self.worths, work);
        if inner.cost(self.instance) >= self.worths.cost(self.instance) {
            self.worths = inner;
        }
    }

    fn tell(&self, work: &mut Work) {
        work.progress.cost = Some(self.best.cost);
        work.progress.bound = self.bound;
    }

    /// Whether the gap is closed, by this step, or the search must end.
    fn closed_by(&mut self, step: Step, work: &mut Work) -> bool {
        self.tell(work);
        let closed = self.best.cost <= self.bound;
        if closed {
            self.step = step;
        }
        closed || work.is_over()
    }

    fn answer(&self, problem: &Problem, work: &Work) -> Answer {
        let (layouts, missing) = layouts(self.instance, &self.best);
        let cost = layouts.iter().map(|layout| problem.stocks[layout.stock].cost * layout.times as i64).sum();
        let (steps, stopped) = (work.steps(), work.is_over());
        if !missing.is_empty() {
            let proof = if self.step == Step::Open { Step::Open } else { Step::Shortage };
            return Answer {
                layouts,
                cost,
                bound: 0,
                missing,
                proof,
                certificate: Certificate::Nothing,
                steps,
                stopped,
            };
        }
        let certificate = match &self.cases {
            _ if self.worths.worth.is_empty() => Certificate::Nothing,
            Some((worths, cases)) => {
                Certificate::Cases(self.duals(worths, problem), self.in_stock(cases, problem))
            }
            None => Certificate::Duals(self.duals(&self.worths, problem)),
        };
        Answer { layouts, cost, bound: self.bound, missing, proof: self.step, certificate, steps, stopped }
    }

    /// Cases that name stock in place of boards.
    fn in_stock(&self, cases: &Cases, problem: &Problem) -> Cases {
        let boards = &self.instance.boards;
        let first =
            |board: usize| boards[board].sources.first().map_or(problem.stocks.len(), |source| source.0);
        let limited =
            (0..boards.len()).filter(|&board| boards[board].available.is_some()).map(first).collect();
        let mut cases = Cases { limited, ..cases.clone() };
        rename(&mut cases.tree, &first);
        cases
    }

    fn duals(&self, worths: &Worths, problem: &Problem) -> Duals {
        let whole = |value: &f64| *value as i64;
        let mut best = vec![None; problem.stocks.len()];
        for (board, value) in self.instance.boards.iter().zip(&worths.best) {
            board.sources.iter().for_each(|source| best[source.0] = Some(whole(value)));
        }
        let worth = self.instance.lengths.iter().copied().zip(worths.worth.iter().map(whole)).collect();
        Duals { worth, best, scale: self.instance.scale }
    }
}

/// Renames the stock of all choices.
pub(super) fn rename(case: &mut Case, name: &dyn Fn(usize) -> usize) {
    if let Some(split) = &mut case.split {
        split.picked.stock = split.picked.stock.map(name);
        rename(&mut split.fewer, name);
        rename(&mut split.more, name);
    }
}

/// Patterns as layouts of the stock behind their boards, without parts that are too many; and what is cut from no stock.
pub(super) fn layouts(instance: &Instance, best: &Best) -> (Vec<Layout>, Vec<Cut>) {
    let mut sources: Vec<Vec<(usize, u32)>> =
        instance.boards.iter().map(|board| board.sources.clone()).collect();
    let (mut layouts, mut missing): (Vec<Layout>, Vec<Cut>) = (Vec::new(), Vec::new());
    for (pattern, times) in exact(instance, best) {
        let cuts: Vec<Cut> = pattern
            .counts
            .iter()
            .map(|&(part, count)| Cut { length: instance.lengths[part as usize], count: count as usize })
            .collect();
        if instance.boards[pattern.board].is_missing {
            missing.extend(cuts.iter().map(|cut| Cut { count: cut.count * times as usize, ..*cut }));
            continue;
        }
        let unlimited = instance.boards[pattern.board].available.is_none();
        let mut open = times;
        for (stock, number) in &mut sources[pattern.board] {
            let now = if unlimited { open } else { open.min(*number) };
            if now > 0 {
                layouts.push(Layout { stock: *stock, times: now as usize, cuts: cuts.clone() });
                open -= now;
                *number = number.saturating_sub(now);
            }
        }
    }
    (layouts, missing)
}

/// The packing with parts that nobody wants taken out, equal patterns together, in a defined order.
pub(super) fn exact(instance: &Instance, best: &Best) -> Vec<(Pattern, u32)> {
    let mut over: Vec<i64> = instance.demands.iter().map(|&demand| -i64::from(demand)).collect();
    for (pattern, times) in &best.packing {
        pattern.counts.iter().for_each(|&(part, count)| over[part as usize] += i64::from(count * times));
    }
    let mut patterns: std::collections::BTreeMap<Pattern, u32> = std::collections::BTreeMap::new();
    for (pattern, times) in &best.packing {
        let mut times = *times;
        while times > 0 {
            let mut own = pattern.clone();
            let same = trim(&mut own, &mut over, times);
            if !own.counts.is_empty() {
                *patterns.entry(own).or_default() += same;
            }
            times -= same;
        }
    }
    patterns.into_iter().collect()
}

/// Takes parts that are too many out of a pattern cut `times` times; gives how many of those are now alike.
fn trim(pattern: &mut Pattern, over: &mut [i64], times: u32) -> u32 {
    let is_over = pattern.counts.iter().any(|count| over[count.0 as usize] > 0);
    let same = if is_over { 1 } else { times };
    if is_over {
        for (part, count) in &mut pattern.counts {
            let out = over[*part as usize].clamp(0, i64::from(*count));
            *count -= out as u32;
            over[*part as usize] -= out;
        }
        pattern.counts.retain(|count| count.1 > 0);
    }
    same
}
