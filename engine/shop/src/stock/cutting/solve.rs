//! From problem to proven plan: greedy, column generation, dives, numbers of boards, enumeration.

use super::answer::{Answer, Case, Cases, Certificate, Cut, Duals, Layout, Step, Tallies};
use super::checker::check;
use super::costs::Costs;
use super::diving::{Best, dive};
use super::farley::Worths;
use super::generation::Generation;
use super::greedy::Rest;
use super::instance::Instance;
use super::integer::{self, search, search_through};
use super::interior::interior;
use super::pattern::Pattern;
use super::pricing::{InARow, Pricing};
use super::tally::{self, PARTS, Reach, Told};
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
    /// Cases of numbers of boards.
    pub tallies: usize,
    /// Most patterns that are enumerated.
    pub patterns: usize,
    /// Cases of the search over enumerated patterns.
    pub cases: usize,
}

/// Share of the gap that the first search over enumerated patterns reaches for.
pub(super) const NEAR: i64 = 8;

/// Patterns that are many: with more, worths are looked for that leave fewer.
const MANY: usize = 5_000;

/// So many times [`MANY`] are listed by those worths; before more are, numbers of boards are looked at once more.
const FOLD: usize = 4;

/// Numbers of boards that are tried in vain at the most.
pub(super) const TALLIES: usize = 12;
/// Dives for each of them.
pub(super) const DIVES_OF_A_TALLY: usize = 4;

/// By which worths patterns are listed, and how many.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Means {
    /// Those that the linear program was left with; not many.
    Found,
    /// Those that leave fewer.
    Interior,
    /// The same, as many as are allowed.
    All,
}

/// Dives before the first look at numbers of boards.
const FEW: usize = 3;
/// Steps of that look, beside twice those that were spent before.
const SOON: u64 = 1_000_000;

impl Default for Limits {
    fn default() -> Self {
        Limits {
            steps: 20_000_000_000,
            dives: 12,
            rounding: 100,
            tallies: 20_000,
            patterns: 400_000,
            cases: 80_000,
        }
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
    let mut search = Search::new(&instance);
    search.run(&mut InARow::new(&instance), limits, &mut work);
    let answer = search.answer(problem, &work);
    match check(problem, &answer) {
        Ok(()) => Ok(answer),
        Err(flaw) => Err(Fault::Unsound(flaw)),
    }
}

/// The way through, for any kind of pattern.
pub(super) struct Search<'a> {
    instance: &'a Instance,
    pub(super) best: Best,
    pub(super) worths: Worths,
    pub(super) bound: i64,
    pub(super) step: Step,
    costs: Costs,
    /// Numbers of boards that were gone through.
    pub(super) tallies: Option<Told>,
    /// The cases with the worths that they were found with.
    pub(super) cases: Option<(Worths, Cases)>,
}

impl<'a> Search<'a> {
    pub(super) fn new(instance: &'a Instance) -> Self {
        Search {
            instance,
            best: Best::none(),
            worths: Worths::default(),
            bound: 0,
            step: Step::Open,
            costs: Costs::of(instance, 0),
            tallies: None,
            cases: None,
        }
    }

    /// Looks for the cheapest plan and what shows that there is none cheaper.
    pub(super) fn run(&mut self, pricing: &mut dyn Pricing, limits: Limits, work: &mut Work) {
        let instance = self.instance;
        if instance.sizes.is_empty() {
            self.best.cost = 0;
            self.step = Step::Greedy;
            return;
        }
        self.offer_greedy(pricing, None);
        let mut generation = Generation::new(instance, pricing);
        for (pattern, _) in self.best.packing.clone() {
            generation.add(pattern);
        }
        self.worths = generation.solve(pricing, self.best.cost, work);
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
        self.offer_greedy(pricing, Some(&self.worths.worth.clone()));
        let mut forbidden = Vec::new();
        for number in 0..limits.dives {
            if number == FEW {
                let soon = SOON + 2 * work.steps();
                self.tally(&generation, pricing, (limits.tallies, soon), work);
                if self.closed_by(self.by_tallies(), work) {
                    return;
                }
            }
            dive(&generation, pricing, &mut self.best, &mut forbidden, self.bound, work);
            if self.closed_by(Step::Diving, work) {
                return;
            }
        }
        self.round(&generation.patterns, limits, work);
        if !self.closed_by(Step::Rounding, work) {
            self.enumerate(&generation, pricing, limits, work);
        }
    }

    fn offer_greedy(&mut self, pricing: &mut dyn Pricing, worth: Option<&[f64]>) {
        if let Some(packing) = pricing.finish(Rest::all(self.instance), worth) {
            self.best.offer(self.instance, packing);
        }
    }

    /// Looks at how many boards of each kind a plan may buy.
    fn tally(
        &mut self,
        generation: &Generation,
        pricing: &mut dyn Pricing,
        (cases, steps): (usize, u64),
        work: &mut Work,
    ) {
        let reach = Reach { cases, tallies: TALLIES, dives: DIVES_OF_A_TALLY, steps };
        let known = (&self.worths, &self.costs);
        let told = tally::search(generation, known, pricing, &mut self.best, reach, work);
        if let Some(told) = told.filter(|told| told.bound > self.bound) {
            self.bound = told.bound;
            self.tallies = Some(told);
            // They show less.
            self.cases = None;
        }
    }

    /// Looks for a cheaper plan over the patterns generated so far: a better plan leaves fewer patterns to enumerate.
    fn round(&mut self, patterns: &[Pattern], limits: Limits, work: &mut Work) {
        let reach = integer::Reach { costs: &self.costs, below: self.best.cost, cases: limits.rounding };
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
        let mut means = Means::Found;
        while self.best.cost > self.bound {
            let below = self.costs.below(self.best.cost.min(self.bound + reach + 1));
            let most = match means {
                Means::Found => MANY,
                Means::Interior => limits.patterns.min(FOLD * MANY),
                Means::All => limits.patterns,
            };
            let Some(patterns) = pricing.list(&self.worths, below, most, work) else {
                if means == Means::All || work.is_over() {
                    return;
                }
                if means == Means::Found {
                    means = Means::Interior;
                    self.take_interior(generation, pricing, work);
                    continue;
                }
                means = Means::All;
                self.tally(generation, pricing, (limits.tallies, limits.steps), work);
                if self.closed_by(self.by_tallies(), work) {
                    return;
                }
                reach = (self.best.cost - self.bound) / NEAR;
                continue;
            };
            let near = integer::Reach { costs: &self.costs, below, cases: limits.cases };
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

    /// Which step it is that closes the gap at numbers of boards: a dive there may meet the bound from before.
    fn by_tallies(&self) -> Step {
        if self.tallies.is_some() { Step::Tallies } else { Step::Diving }
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
        let certificate = match (&self.cases, &self.tallies) {
            _ if self.worths.worth.is_empty() => Certificate::Nothing,
            (Some((worths, cases)), _) => {
                let cases = in_stock(self.instance, cases, problem.stocks.len());
                Certificate::Cases(self.duals(&worths.worth, &worths.best, problem), cases)
            }
            (None, Some(told)) => Certificate::Tallies(Tallies {
                cuts: told.cuts.iter().map(|cut| self.duals(&cut.worth, &cut.best, problem)).collect(),
                parts: PARTS,
                below: told.below,
                tree: tree_in_stock(self.instance, &told.tree, problem.stocks.len()),
            }),
            (None, None) => Certificate::Duals(self.duals(&self.worths.worth, &self.worths.best, problem)),
        };
        Answer { layouts, cost, bound: self.bound, missing, proof: self.step, certificate, steps, stopped }
    }

    fn duals(&self, worth: &[f64], best: &[f64], problem: &Problem) -> Duals {
        let whole = |value: &f64| *value as i64;
        let mut most = vec![None; problem.stocks.len()];
        for (board, value) in self.instance.boards.iter().zip(best) {
            board.sources.iter().for_each(|source| most[source.0] = Some(whole(value)));
        }
        let worth = self.instance.lengths.iter().copied().zip(worth.iter().map(whole)).collect();
        Duals { worth, best: most, scale: self.instance.scale }
    }
}

/// Cases that name stock in place of boards; what stands for missing stock goes by the number that follows all.
pub(super) fn in_stock(instance: &Instance, cases: &Cases, stocks: usize) -> Cases {
    let limited = (0..instance.boards.len()).filter(|&board| instance.boards[board].available.is_some());
    let limited = limited.map(|board| first_of(instance, board, stocks)).collect();
    Cases { below: cases.below, limited, tree: tree_in_stock(instance, &cases.tree, stocks) }
}

/// The same of their tree alone.
pub(super) fn tree_in_stock(instance: &Instance, tree: &Case, stocks: usize) -> Case {
    let mut tree = tree.clone();
    rename(&mut tree, &|board| first_of(instance, board, stocks));
    tree
}

/// The first stock behind a board.
fn first_of(instance: &Instance, board: usize, stocks: usize) -> usize {
    instance.boards[board].sources.first().map_or(stocks, |source| source.0)
}

/// Renames the stock of all choices.
fn rename(case: &mut Case, name: &dyn Fn(usize) -> usize) {
    if let Some(split) = &mut case.split {
        split.picked.stock = split.picked.stock.map(name);
        rename(&mut split.fewer, name);
        rename(&mut split.more, name);
    }
}

/// Patterns as layouts of the stock behind their boards, without parts that are too many; and what is cut from no stock.
pub(super) fn layouts(instance: &Instance, best: &Best) -> (Vec<Layout>, Vec<Cut>) {
    let mut sources = Sources::of(instance);
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
        let dealt = sources.deal(pattern.board, times).into_iter();
        layouts.extend(dealt.map(|(stock, times)| Layout { stock, times, cuts: cuts.clone() }));
    }
    (layouts, missing)
}

/// The stock behind the boards that is not used yet.
pub(super) struct Sources<'a> {
    instance: &'a Instance,
    left: Vec<Vec<(usize, u32)>>,
}

impl<'a> Sources<'a> {
    pub(super) fn of(instance: &'a Instance) -> Self {
        Sources { instance, left: instance.boards.iter().map(|board| board.sources.clone()).collect() }
    }

    /// Takes so many of a board: which stock, and how many of each.
    pub(super) fn deal(&mut self, board: usize, times: u32) -> Vec<(usize, usize)> {
        let is_limited = self.instance.boards[board].available.is_some();
        let (mut open, mut dealt) = (times, Vec::new());
        for (stock, number) in &mut self.left[board] {
            let now = if is_limited { open.min(*number) } else { open };
            if now > 0 {
                dealt.push((*stock, now as usize));
                open -= now;
                *number = number.saturating_sub(now);
            }
        }
        dealt
    }
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
