//! From problem to proven plan: first fit, column generation, dives, enumeration.

use super::super::answer::{Cases, Step};
use super::super::costs::Costs;
use super::super::diving::{Best, dive};
use super::super::farley;
use super::super::generation::Generation;
use super::super::greedy::Rest;
use super::super::integer::{Reach, search, search_through};
use super::super::pattern::{Packing, Pattern};
use super::super::pricing::Pricing;
use super::super::solve::{DIVES_OF_A_TALLY, Limits, NEAR, Sources, TALLIES, exact, in_stock, tree_in_stock};
use super::super::tally::{self, PARTS, Told};
use super::super::work::{Progress, Work};
use super::answer::{Answer, Certificate, Cut, Layout, Section, Strip, Tallies, Worths};
use super::arrange::{Arranged, arrange};
use super::checker::check;
use super::fill::{Cutting, Piece, Row, joined, rows};
use super::pricing::Ripped;
use super::tidied::{shortest, with_few_strips};
use super::yard::Yard;
use super::{Fault, Flaw, Problem};
use std::cmp::Reverse;

/// How hard to try, unless more is asked: boards that are ripped take longer to list than rows.
pub const LIMITS: Limits =
    Limits { steps: 1_100_000_000, dives: 12, rounding: 100, tallies: 400, patterns: 20_000, cases: 20_000 };

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
    let yard = Yard::of(problem)?;
    let mut work = Work::new(limits.steps, go_on);
    let mut search = Search::new(problem, &yard);
    if yard.needs.is_empty() {
        search.best.cost = 0;
        search.step = Step::Greedy;
    } else {
        search.run(limits, &mut work);
    }
    let answer = search.answer(&work);
    match check(problem, &answer) {
        Ok(()) => Ok(answer),
        // What cannot be checked is not claimed.
        Err(Flaw::TooManyToList) => {
            let answer = search.without_cases().answer(&work);
            check(problem, &answer).map(|()| answer).map_err(Fault::Unsound)
        }
        Err(flaw) => Err(Fault::Unsound(flaw)),
    }
}

/// Such a part of all steps is kept for numbers of boards.
const SHARE: u64 = 11;

struct Search<'a> {
    problem: &'a Problem,
    yard: &'a Yard,
    pricing: Ripped<'a>,
    best: Best,
    /// What plans can cost at all.
    costs: Costs,
    /// What shows the first bound: worths as they came, what is taken off them on each board.
    certificate: Option<(Vec<i64>, Vec<Vec<i64>>)>,
    /// The same worths, shrunk.
    worths: farley::Worths,
    bound: i64,
    step: Step,
    /// Numbers of boards that were gone through, and what is taken off the worths of each cut on each board.
    tallies: Option<(Told, Vec<Vec<Vec<i64>>>)>,
    cases: Option<Cases>,
}

impl<'a> Search<'a> {
    fn new(problem: &'a Problem, yard: &'a Yard) -> Self {
        Search {
            problem,
            yard,
            pricing: Ripped::new(yard),
            best: Best::none(),
            costs: Costs::of(&yard.instance, 0),
            certificate: None,
            worths: farley::Worths::default(),
            bound: 0,
            step: Step::Open,
            tallies: None,
            cases: None,
        }
    }

    fn run(&mut self, limits: Limits, work: &mut Work) {
        let instance = &self.yard.instance;
        if let Some(packing) = self.singles() {
            self.best.offer(instance, packing);
        }
        if let Some(packing) = self.pricing.finish(Rest::all(instance), None) {
            self.best.offer(instance, packing);
        }
        if !self.pricing.is_able() {
            return;
        }
        let mut generation = Generation::new(instance, &mut self.pricing);
        for (pattern, _) in self.best.packing.clone() {
            generation.add(pattern);
        }
        let worths = generation.solve(&mut self.pricing, self.best.cost, work);
        self.show(&worths, work);
        if self.closed_by(Step::Greedy) || work.is_over() {
            return;
        }
        let mut forbidden = Vec::new();
        for _ in 0..limits.dives {
            dive(&generation, &mut self.pricing, &mut self.best, &mut forbidden, self.bound, work);
            work.progress.cost = Some(self.best.cost);
            if self.closed_by(Step::Diving) || work.is_over() {
                return;
            }
        }
        let reach = Reach { costs: &self.costs, below: self.best.cost, cases: limits.rounding };
        search(instance, &generation.patterns, &mut self.best, reach, work);
        if self.closed_by(Step::Rounding) || work.is_over() {
            return;
        }
        // Numbers of boards come last, for with worths that can be gone over again each cut takes long. Some steps are kept for them.
        let all = work.limit_to(limits.steps - limits.steps / SHARE);
        self.enumerate(limits, work);
        work.limit_to(all);
        if self.best.cost > self.bound && !work.is_over() {
            self.tally(&generation, limits, work);
            self.closed_by(Step::Tallies);
        }
    }

    /// Looks at how many boards of each kind a plan may buy.
    fn tally(&mut self, generation: &Generation, limits: Limits, work: &mut Work) {
        let (cases, tallies, dives) = (limits.tallies, TALLIES, DIVES_OF_A_TALLY);
        let reach = tally::Reach { cases, tallies, dives, steps: u64::MAX };
        let best = self.pricing.sure(&self.worths.worth, self.worths.best.clone(), work);
        let first = farley::Worths { best, ..self.worths.clone() };
        let known = (&first, &self.costs);
        let told = tally::search(generation, known, &mut self.pricing, &mut self.best, reach, work);
        work.progress.cost = Some(self.best.cost);
        if let Some(told) = told.filter(|told| told.bound > self.bound) {
            self.bound = told.bound;
            work.progress.bound = told.bound;
            let sure = |cut: &tally::Cut| {
                self.pricing.made_sure(&cut.worth, work).iter().map(|own| own.relief.clone()).collect()
            };
            let reliefs = told.cuts.iter().map(sure).collect();
            self.tallies = Some((told, reliefs));
            // They show less.
            self.cases = None;
        }
    }

    /// The plainest plan: boards that hold one kind of part each.
    fn singles(&mut self) -> Option<Packing> {
        let instance = &self.yard.instance;
        let unlimited = |board: &usize| instance.boards[*board].available.is_none();
        let mut plan = Packing::new();
        for (part, &demand) in instance.demands.iter().enumerate() {
            let boards = (0..instance.boards.len()).filter(unlimited);
            let singles = boards.filter_map(|board| self.pricing.single(board, part as u32, demand));
            let times = |pattern: &Pattern| demand.div_ceil(pattern.counts[0].1);
            let cost = |pattern: &Pattern| instance.boards[pattern.board].cost * i64::from(times(pattern));
            let cheapest = singles.min_by_key(cost)?;
            let times = times(&cheapest);
            plan.push((cheapest, times));
        }
        Some(plan)
    }

    /// Takes the bound of worths, as good as multipliers make it.
    fn show(&mut self, worths: &farley::Worths, work: &mut Work) {
        let instance = &self.yard.instance;
        let worth: Vec<i64> = worths.worth.iter().map(|&worth| worth as i64).collect();
        let shown = self.pricing.shown(&worth, work);
        let best: Vec<f64> = shown.iter().map(|own| own.best as f64).collect();
        self.worths = farley::Worths::new(instance, &instance.demands, &worths.worth, &best);
        self.costs = Costs::of(instance, self.best.cost);
        self.bound = self.costs.at_least(self.worths.cost(instance));
        work.progress.bound = self.bound;
        self.certificate = Some((worth, shown.into_iter().map(|own| own.relief).collect()));
    }

    /// Searches all that boards of a cheaper plan could hold. The search reaches for plans near the bound first, where little
    /// matters, and twice as far each time that there is none.
    fn enumerate(&mut self, limits: Limits, work: &mut Work) {
        let step = self.yard.instance.step;
        let mut reach = (self.best.cost - self.bound) / NEAR;
        while self.best.cost > self.bound {
            let below = self.costs.below(self.best.cost.min(self.bound + reach + 1));
            let listed = self.pricing.list(&self.worths, below, limits.patterns, work);
            let Some(patterns) = listed else { return };
            let near = Reach { costs: &self.costs, below, cases: limits.cases };
            let before = self.best.clone();
            let tree = search_through(&self.yard.instance, &patterns, &mut self.best, near, work);
            if !self.can_be_cut(work) {
                self.best = before;
                // No proof can come of it, but perhaps a plan.
                let sure: Vec<Pattern> =
                    patterns.into_iter().filter(|pattern| self.knows(pattern, work)).collect();
                let near = Reach { costs: &self.costs, below, cases: limits.cases };
                search(&self.yard.instance, &sure, &mut self.best, near, work);
                return;
            }
            let Some(tree) = tree else { return };
            let below = below.min(self.costs.below(self.best.cost));
            self.cases = Some(Cases { below, limited: Vec::new(), tree });
            self.bound = self.costs.at_least(below + step);
            reach *= 2;
        }
        self.step = Step::Enumeration;
    }

    /// Whether it is known how to cut every board of the best plan.
    fn can_be_cut(&mut self, work: &mut Work) -> bool {
        let plan = self.best.packing.clone();
        plan.iter().all(|(pattern, _)| self.knows(pattern, work))
    }

    /// Whether it is known how to cut a pattern; notes how.
    fn knows(&mut self, pattern: &Pattern, work: &mut Work) -> bool {
        let board = &self.yard.instance.boards[pattern.board];
        if board.is_missing || self.pricing.cuttings.contains_key(pattern) {
            return true;
        }
        let Some(plank) = self.yard.plank(pattern.board) else { return false };
        let found = arrange(self.yard, plank, board.capacity, &pattern.counts, work);
        let Arranged::Fits(cutting) = found else { return false };
        self.pricing.cuttings.insert(pattern.clone(), cutting);
        true
    }

    fn closed_by(&mut self, step: Step) -> bool {
        let closed = self.best.cost <= self.bound;
        if closed {
            self.step = step;
        }
        closed
    }

    /// The same with the first bound only.
    fn without_cases(mut self) -> Self {
        self.cases = None;
        self.tallies = None;
        self.bound = self.costs.at_least(self.worths.cost(&self.yard.instance));
        self.step = Step::Open;
        self
    }

    fn answer(&mut self, work: &Work) -> Answer {
        let (layouts, missing) = self.layouts();
        let cost = |layout: &Layout| self.problem.boards[layout.board].cost * layout.times as i64;
        let (bound, proof, certificate) = match (missing.is_empty(), self.step) {
            (true, step) => (self.bound, step, self.certificate()),
            // What the boards do not suffice for has no least cost.
            (false, Step::Open) => (0, Step::Open, Certificate::Nothing),
            (false, _) => (0, Step::Shortage, Certificate::Nothing),
        };
        Answer {
            cost: layouts.iter().map(cost).sum(),
            layouts,
            bound,
            missing,
            proof,
            certificate,
            steps: work.steps(),
            stopped: work.is_over(),
        }
    }

    fn certificate(&self) -> Certificate {
        let Some((worth, relief)) = &self.certificate else { return Certificate::Nothing };
        let (instance, boards) = (&self.yard.instance, self.problem.boards.len());
        match (&self.cases, &self.tallies) {
            (Some(cases), _) => {
                Certificate::Cases(self.worths_of(worth, relief), in_stock(instance, cases, boards))
            }
            (None, Some((told, reliefs))) => {
                let whole =
                    |cut: &tally::Cut| -> Vec<i64> { cut.worth.iter().map(|&worth| worth as i64).collect() };
                let cuts = told.cuts.iter().zip(reliefs).map(|(cut, own)| self.worths_of(&whole(cut), own));
                let tree = tree_in_stock(instance, &told.tree, boards);
                Certificate::Tallies(Tallies { cuts: cuts.collect(), parts: PARTS, below: told.below, tree })
            }
            (None, None) => Certificate::Worths(self.worths_of(worth, relief)),
        }
    }

    /// Worths of kinds, and what is taken off them on kinds of board, by part and board.
    fn worths_of(&self, worth: &[i64], relief: &[Vec<i64>]) -> Worths {
        let parts = self.problem.parts.len();
        let by_part = |own: &[i64]| {
            let mut by_part = vec![0; parts];
            for (alike, &value) in self.yard.alike.iter().zip(own) {
                alike.iter().for_each(|&part| by_part[part] = value);
            }
            by_part
        };
        let mut by_board = vec![vec![0; parts]; self.problem.boards.len()];
        for (board, relief) in self.yard.instance.boards.iter().zip(relief) {
            board.sources.iter().for_each(|source| by_board[source.0] = by_part(relief));
        }
        Worths { worth: by_part(worth), relief: by_board, scale: self.yard.instance.scale }
    }

    /// Patterns as layouts of the boards behind them, without parts that are too many; and what comes from no board.
    fn layouts(&mut self) -> (Vec<Layout>, Vec<Cut>) {
        let boards = &self.yard.instance.boards;
        let mut sources = Sources::of(&self.yard.instance);
        let (mut layouts, mut missing): (Vec<Layout>, Vec<Cut>) = (Vec::new(), Vec::new());
        for (pattern, times) in exact(&self.yard.instance, &self.best) {
            let board = &boards[pattern.board];
            if board.is_missing {
                let lacking = |own: &(u32, u32)| Cut { count: (own.1 * times) as usize, ..self.cut(own) };
                missing.extend(pattern.counts.iter().map(lacking));
                continue;
            }
            let sections = self.sections(self.tidied(&pattern));
            let dealt = sources.deal(pattern.board, times).into_iter();
            let layout = |(board, times)| Layout { board, times, sections: sections.clone() };
            layouts.extend(dealt.map(layout));
        }
        (layouts, missing)
    }

    /// How a pattern is cut: as it was found, or as one of the plan that holds it.
    fn cutting(&self, pattern: &Pattern) -> Cutting {
        let known = &self.pricing.cuttings;
        if let Some(cutting) = known.get(pattern) {
            return cutting.clone();
        }
        let holds = |own: &Pattern| {
            own.board == pattern.board && pattern.counts.iter().all(|&(part, count)| own.count(part) >= count)
        };
        let larger =
            self.best.packing.iter().map(|own| &own.0).find(|own| holds(own)).and_then(|own| known.get(own));
        larger.map(|cutting| without(cutting, &pattern.counts)).unwrap_or_default()
    }

    fn cut(&self, &(part, count): &(u32, u32)) -> Cut {
        Cut { part: self.yard.alike[part as usize][0], count: count as usize }
    }

    /// The same with a long remainder and few strips.
    fn tidied(&self, pattern: &Pattern) -> Vec<Piece> {
        let known = self.cutting(pattern);
        let short = match self.yard.plank(pattern.board) {
            Some(plank) => shortest(self.yard, plank, known),
            None => known,
        };
        joined(self.yard, &short).into_iter().map(|piece| with_few_strips(self.yard, piece)).collect()
    }

    fn sections(&self, cutting: Vec<Piece>) -> Vec<Section> {
        let mut sections: Vec<Section> = cutting.iter().map(|piece| self.section(piece)).collect();
        sections.sort_by(|a, b| Reverse(a.length).cmp(&Reverse(b.length)).then_with(|| a.cmp(b)));
        sections
    }

    fn section(&self, piece: &Piece) -> Section {
        let kerf = self.problem.crosscut_kerf;
        let along = |strip: &Strip| -> i64 {
            strip.cuts.iter().map(|cut| (self.problem.parts[cut.part].length + kerf) * cut.count as i64).sum()
        };
        let mut strips: Vec<Strip> = rows(piece).iter().map(|row| self.strip(row)).collect();
        strips.sort_by_key(|strip| (Reverse(strip.width), Reverse(along(strip))));
        let length = strips.iter().map(along).max().unwrap_or(kerf) - kerf;
        Section { length, ripped: matches!(piece, Piece::Ripped(_)), strips }
    }

    fn strip(&self, row: &Row) -> Strip {
        let cuts: Vec<Cut> = row.iter().map(|own| self.cut(own)).collect();
        Strip { width: cuts.first().map_or(0, |cut| self.problem.parts[cut.part].width), cuts }
    }
}

/// A cutting with no more of each kind than wanted.
fn without(cutting: &[Piece], wanted: &[(u32, u32)]) -> Cutting {
    let mut left: std::collections::BTreeMap<u32, u32> = wanted.iter().copied().collect();
    let mut own_row = |row: &Row| -> Row {
        let mut own = Row::new();
        for &(part, count) in row {
            let left = left.entry(part).or_default();
            let now = count.min(*left);
            *left -= now;
            own.extend((now > 0).then_some((part, now)));
        }
        own
    };
    let mut smaller = Cutting::new();
    for piece in cutting {
        let kept: Vec<Row> = rows(piece).iter().map(&mut own_row).filter(|row| !row.is_empty()).collect();
        match piece {
            Piece::Whole(_) => smaller.extend(kept.into_iter().map(Piece::Whole)),
            Piece::Ripped(_) if kept.is_empty() => {}
            Piece::Ripped(_) => smaller.push(Piece::Ripped(kept)),
        }
    }
    smaller
}
