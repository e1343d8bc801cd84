//! The integer step: the cheapest plan over a list of patterns, by branch and bound, with a proof in whole numbers.
//!
//! Each case is a linear program over few of the patterns, to which the others are added while they are worth more than
//! they cost. Its multipliers, rounded to whole numbers, close the case when they show that every plan in it costs too
//! much; the sums are whole numbers, so nothing rests on the linear program's own. The case of all plans may be closed by
//! remainders, see `remainders.rs`. A case that stays open is split by how
//! often some patterns are used: those cut from one board, those that hold so many of a part, those that hold two parts
//! together, or a single one (after Vanderbeck 2000, Operations Research 48:111-128, and Ryan and Foster 1981, from memory).

use super::answer::{Case, Lattice, Picked, Split};
use super::costs::Costs;
use super::diving::Best;
use super::instance::Instance;
use super::pattern::{Packing, Pattern};
use super::remainders::{self, Told};
use super::rows::{Choice, Rows};
use super::simplex::{Basic, Master};
use super::splitting::{candidates, split};
use super::work::Work;

/// Levels this near to a whole number are that.
const WHOLE: f64 = 1e-4;
/// Patterns taken into the program in one round.
const A_ROUND: usize = 40;
/// Artificial variables grow dearer by this factor while a case leans on them.
const DEARER: f64 = 16.0;
/// How often.
const DEARER_TIMES: usize = 5;
/// No part is worth so many of the dearest board.
const DEAR: f64 = 3.0;
/// Part of the most that a half of a split can gain.
const A_LITTLE: i128 = 1_000;
/// Splits of which the programs are solved.
const TRIED: usize = 4;
/// Rounds of pricing in one case.
const MOST_ROUNDS: usize = 2_000;
/// Choices upon choices; the search calls itself so deep.
const DEEPEST: usize = 400;

/// How far to search.
#[derive(Clone, Copy)]
pub(super) struct Reach<'a> {
    /// What plans can cost.
    pub costs: &'a Costs,
    /// Plans that cost more are of no use.
    pub below: i64,
    /// Most cases to look at.
    pub cases: usize,
}

/// Cases that are looked at before splits are chosen by trying several.
const FEW: usize = 1_000;
/// Cases in which they are then chosen so.
const TRYING: usize = 500;
/// Most patterns with which that pays: with more, every program takes long.
const SMALL: usize = 1_000;
/// Effort for what remainders tell of all plans.
const ADDITIONS: usize = 1_000_000;

/// As [`search`], to the end: with the nearest split of each case at first; should that not end soon and patterns are few, with
/// splits chosen by trying several; then with the nearest again.
pub(super) fn search_through(
    instance: &Instance,
    patterns: &[Pattern],
    best: &mut Best,
    reach: Reach,
    work: &mut Work,
) -> Option<Case> {
    if patterns.len() <= SMALL && reach.cases > FEW {
        let found = search(instance, patterns, best, Reach { cases: FEW, ..reach }, work);
        if found.is_some() {
            return found;
        }
        let mut trying = Search::new(instance, patterns, best, Reach { cases: TRYING, ..reach });
        trying.is_trying = true;
        let found = trying.run(work);
        if found.is_some() {
            return found;
        }
    }
    search(instance, patterns, best, reach, work)
}

/// Looks for plans that are cheaper than the best and within reach, until there is none: then it gives the division into
/// cases that shows it. Nothing when the search was cut short.
pub(super) fn search(
    instance: &Instance,
    patterns: &[Pattern],
    best: &mut Best,
    reach: Reach,
    work: &mut Work,
) -> Option<Case> {
    Search::new(instance, patterns, best, reach).run(work)
}

struct Search<'a> {
    instance: &'a Instance,
    patterns: &'a [Pattern],
    rows: Rows<'a>,
    best: &'a mut Best,
    /// Patterns in the program, in order of entry.
    active: Vec<u32>,
    is_active: Vec<bool>,
    cases: usize,
    reach: Reach<'a>,
    /// Whether splits are chosen by trying several.
    is_trying: bool,
}

/// Where a case begins: the patterns that still matter, and the basis of the case above, which names patterns, not columns.
#[derive(Clone, Copy)]
struct At<'a> {
    pool: &'a [u32],
    basis: &'a [Basic],
}

/// A solved case.
struct Solved {
    multipliers: Vec<i64>,
    /// What every plan in the case costs at least, in `scale`ths.
    bound: i128,
    /// The program's plan, when the bound does not close the case: patterns with their levels.
    levels: Vec<(usize, f64)>,
    basis: Vec<Basic>,
    /// The pattern of each column.
    columns: Vec<u32>,
}

impl<'a> Search<'a> {
    fn new(instance: &'a Instance, patterns: &'a [Pattern], best: &'a mut Best, reach: Reach<'a>) -> Self {
        let (rows, is_active) = (Rows::new(instance, patterns), vec![false; patterns.len()]);
        let active = Vec::new();
        Search { instance, patterns, rows, best, active, is_active, cases: 0, reach, is_trying: false }
    }

    fn run(&mut self, work: &mut Work) -> Option<Case> {
        self.activate_first();
        let all: Vec<u32> = (0..self.patterns.len() as u32).collect();
        self.explore(0, &[], At { pool: &all, basis: &[] }, work)
    }

    /// Begins with a pattern for each part.
    fn activate_first(&mut self) {
        for part in 0..self.instance.sizes.len() as u32 {
            if let Some(at) = self.patterns.iter().position(|pattern| pattern.count(part) > 0) {
                self.activate(at as u32);
            }
        }
    }

    fn activate(&mut self, at: u32) {
        if !std::mem::replace(&mut self.is_active[at as usize], true) {
            self.active.push(at);
        }
    }

    /// The division of a case, or nothing when the search was cut short.
    fn explore(&mut self, depth: usize, choices: &[Choice], at: At, work: &mut Work) -> Option<Case> {
        let pool = at.pool;
        self.cases += 1;
        if self.cases > self.reach.cases || depth > DEEPEST {
            return None;
        }
        let mut solved = self.solve(choices, at, MOST_ROUNDS, work)?;
        if solved.bound <= self.below() {
            self.take_whole(&solved.levels);
        }
        let multipliers = std::mem::take(&mut solved.multipliers);
        let lacking = self.below() - solved.bound;
        if lacking < 0 {
            return Some(Case { multipliers, lattice: None, split: None });
        }
        let (pool, wastes) = self.rows.within(pool, &multipliers, choices, lacking);
        let basis = solved.named_basis();
        if depth == 0 {
            let near = (&pool[..], &wastes[..]);
            if let Some(lattice) = self.look_at_remainders(near, &multipliers, solved.bound, &basis, work) {
                return Some(Case { multipliers, lattice: Some(lattice), split: None });
            }
        }
        let near = At { pool: &pool, basis: &basis };
        let tried = if self.is_trying { self.try_splits(choices, near, &solved, work)? } else { None };
        let (picked, level) = tried.or_else(|| split(self.instance, self.patterns, &solved.levels))?;
        let most = (level + WHOLE).floor() as i64;
        let members = self.rows.members(&picked, &pool);
        let mut half = |is_more: bool, work: &mut Work| {
            let choice = Choice { picked: picked.clone(), members: members.clone(), most, is_more };
            self.explore(depth + 1, &with(choices, choice), At { pool: &pool, basis: &basis }, work)
        };
        // The nearer half first: it is likelier to hold a plan.
        let more_first = level - most as f64 > 0.4;
        let first = half(more_first, work)?;
        let second = half(!more_first, work)?;
        let (fewer, more) = if more_first { (second, first) } else { (first, second) };
        Some(Case { multipliers, lattice: None, split: Some(Box::new(Split { picked, most, fewer, more })) })
    }

    /// What closes the case of all plans by remainders, if it can be closed so. Takes the plan that they point to.
    fn look_at_remainders(
        &mut self,
        (pool, wastes): (&[u32], &[i64]),
        multipliers: &[i64],
        bound: i128,
        basis: &[Basic],
        work: &mut Work,
    ) -> Option<Lattice> {
        let asked = remainders::Asked {
            patterns: self.patterns,
            demands: &self.instance.demands,
            pool,
            wastes,
            worths: multipliers,
            lacking: self.below() - bound,
            additions: ADDITIONS,
        };
        match remainders::look(&asked, &self.rows.vectors(basis), work) {
            Told::Closed(lattice) => Some(lattice),
            Told::Way(lattice, way) => {
                self.take_way(&way.patterns, basis, work);
                (way.waste > self.below() - bound).then_some(lattice)
            }
            Told::Nothing => None,
        }
    }

    /// Takes the plan that a way of patterns and the basis make together, when it is whole and cheaper.
    fn take_way(&mut self, way: &[u32], basis: &[Basic], work: &mut Work) {
        let mut sides = self.rows.sides(&[]);
        for &at in way {
            let column = self.rows.column(at as usize, &[]);
            column.entries.iter().for_each(|&(row, count)| sides[row as usize].1 -= count);
        }
        let of_pattern = |basic: &Basic| match *basic {
            Basic::Column(at) => Some(at as u32),
            _ => None,
        };
        let columns: Vec<u32> = basis.iter().filter_map(of_pattern).collect();
        let mut master = Master::new(&sides, DEAR * self.instance.dearest() as f64);
        columns.iter().for_each(|&at| master.add(self.rows.column(at as usize, &[])));
        master.take_basis(&in_columns(basis, &columns, sides.len()), work);
        let own = master.levels().into_iter().map(|(column, level)| (columns[column] as usize, level));
        let levels: Vec<(usize, f64)> = own.chain(way.iter().map(|&at| (at as usize, 1.0))).collect();
        self.take_whole(&levels);
    }

    /// The split of which both halves cost most more: by an estimate of all that are likely, then by solving the programs of the
    /// best of these. Of halves that cost no more, none. Nothing at all when steps run out.
    fn try_splits(
        &mut self,
        choices: &[Choice],
        at: At,
        solved: &Solved,
        work: &mut Work,
    ) -> Option<Option<(Picked, f64)>> {
        let most_gain = self.below() + 1 - solved.bound;
        let mut likely: Vec<(i128, (Picked, f64))> = Vec::new();
        for split in candidates(self.instance, self.patterns, &solved.levels) {
            let gains = self.gains(choices, at, (&split, 1), solved.bound, work)?;
            likely.push((score(gains, most_gain), split));
        }
        likely.sort_by_key(|own| std::cmp::Reverse(own.0));
        let mut best: Option<(i128, (Picked, f64))> = None;
        for (_, split) in likely.into_iter().take(TRIED) {
            let gains = self.gains(choices, at, (&split, MOST_ROUNDS), solved.bound, work)?;
            let score = score(gains, most_gain);
            let is_new = gains[0].min(gains[1]) > 0 || gains[0].max(gains[1]) >= most_gain;
            if is_new && best.as_ref().is_none_or(|best| score > best.0) {
                best = Some((score, split));
            }
        }
        Some(best.map(|best| best.1))
    }

    /// What the halves of a split cost more at the least: with patterns taken in for so many rounds, less than that in truth.
    fn gains(
        &mut self,
        choices: &[Choice],
        at: At,
        ((picked, level), rounds): (&(Picked, f64), usize),
        bound: i128,
        work: &mut Work,
    ) -> Option<[i128; 2]> {
        let most = (level + WHOLE).floor() as i64;
        let members = self.rows.members(picked, at.pool);
        let mut gain = |is_more: bool| {
            let choice = Choice { picked: picked.clone(), members: members.clone(), most, is_more };
            let half = self.solve(&with(choices, choice), at, rounds, work)?;
            Some((half.bound.min(self.below() + 1) - bound).max(0))
        };
        Some([gain(false)?, gain(true)?])
    }

    /// Solves the program of a case, with patterns taken in for so many rounds at the most; at the last its own value stands
    /// for the bound. Nothing when steps run out.
    fn solve(&mut self, choices: &[Choice], at: At, rounds: usize, work: &mut Work) -> Option<Solved> {
        let At { pool, basis } = at;
        let dear = DEAR * self.instance.dearest() as f64;
        let mut master = Master::new(&self.rows.sides(choices), dear);
        let mut columns = self.active_of(pool);
        columns.iter().for_each(|&at| master.add(self.rows.column(at as usize, choices)));
        if !basis.is_empty() {
            let rows = self.rows.fixed() + choices.len();
            master.take_basis(&in_columns(basis, &columns, rows), work);
            master.dual(work);
        }
        let mut dearer = 0;
        for round in 1..=rounds {
            master.primal(work);
            if work.is_over() {
                return None;
            }
            let multipliers = self.rows.multipliers(master.duals(), choices);
            if round == rounds && rounds < MOST_ROUNDS {
                let bound = (master.plain_objective() * self.instance.scale as f64) as i128;
                return Some(Solved { multipliers, bound, levels: Vec::new(), basis: Vec::new(), columns });
            }
            let scan = self.rows.scan(pool, &multipliers, choices, A_ROUND, work);
            let bound = self.rows.bound(&multipliers, choices, scan.least);
            let fresh: Vec<u32> = scan.patterns.into_iter().filter(|at| !columns.contains(at)).collect();
            let leans = master.shortage() > WHOLE && dearer < DEARER_TIMES;
            if bound > self.below() || fresh.is_empty() && !leans {
                let levels =
                    master.levels().into_iter().map(|own| (columns[own.0] as usize, own.1)).collect();
                return Some(Solved { multipliers, bound, levels, basis: master.basis().to_vec(), columns });
            }
            if fresh.is_empty() {
                dearer += 1;
                master.set_dear(dear * (0..dearer).fold(1.0, |dear, _| dear * DEARER));
            }
            for at in fresh {
                self.activate(at);
                columns.push(at);
                master.add(self.rows.column(at as usize, choices));
            }
        }
        None
    }

    /// The patterns of the pool that have been of use.
    fn active_of(&self, pool: &[u32]) -> Vec<u32> {
        self.active.iter().copied().filter(|at| pool.binary_search(at).is_ok()).collect()
    }

    /// What a plan must not cost more than to be of use, in `scale`ths.
    fn below(&self) -> i128 {
        let below = self.reach.below.min(self.reach.costs.below(self.best.cost));
        i128::from(below) * i128::from(self.instance.scale)
    }

    /// Takes the program's plan when it is whole and cheaper; also when it is so rounded up.
    fn take_whole(&mut self, levels: &[(usize, f64)]) {
        let packing: Packing = levels
            .iter()
            .map(|&(at, level)| (self.patterns[at].clone(), (level + 1.0 - WHOLE) as u32))
            .filter(|own| own.1 > 0)
            .collect();
        if is_plan(self.instance, &packing) {
            self.best.offer(self.instance, packing);
        }
    }
}

impl Solved {
    /// The basis with patterns in place of columns.
    fn named_basis(&self) -> Vec<Basic> {
        let named = |basic: &Basic| match *basic {
            Basic::Column(at) => Basic::Column(self.columns[at] as usize),
            other => other,
        };
        self.basis.iter().map(named).collect()
    }
}

/// How good a split is by what its halves cost more: one that costs no more still counts for a little.
fn score(gains: [i128; 2], most: i128) -> i128 {
    (gains[0] + most / A_LITTLE) * (gains[1] + most / A_LITTLE)
}

/// A basis that names patterns as one of columns, with the slack of a row that is new.
fn in_columns(basis: &[Basic], columns: &[u32], rows: usize) -> Vec<Basic> {
    let own = |basic: &Basic| match *basic {
        Basic::Column(at) => columns.iter().position(|&own| own as usize == at).map(Basic::Column),
        other => Some(other),
    };
    let mut basis: Vec<Basic> = basis.iter().filter_map(own).collect();
    basis.extend((basis.len()..rows).map(|_| Basic::Slack(rows - 1)));
    basis
}

/// The choices with one more; it takes the place of one on the same patterns in the same sense.
fn with(choices: &[Choice], choice: Choice) -> Vec<Choice> {
    let mut choices = choices.to_vec();
    match choices.iter().position(|own| own.picked == choice.picked && own.is_more == choice.is_more) {
        Some(at) => choices[at] = choice,
        None => choices.push(choice),
    }
    choices
}

/// Whether all parts are there, and no more boards than there are.
pub(super) fn is_plan(instance: &Instance, packing: &[(Pattern, u32)]) -> bool {
    let mut made = vec![0_u64; instance.sizes.len()];
    let mut used = vec![0_u64; instance.boards.len()];
    for (pattern, times) in packing {
        used[pattern.board] += u64::from(*times);
        pattern
            .counts
            .iter()
            .for_each(|&(part, count)| made[part as usize] += u64::from(count) * u64::from(*times));
    }
    made.iter().zip(&instance.demands).all(|(&made, &demand)| made >= u64::from(demand))
        && used
            .iter()
            .zip(&instance.boards)
            .all(|(&used, board)| board.available.is_none_or(|own| used <= u64::from(own)))
}

/// Whether a pattern is among the picked.
pub(super) fn is_picked(picked: &Picked, pattern: &Pattern) -> bool {
    picked.stock.is_none_or(|board| board == pattern.board)
        && picked.holding.iter().all(|&(part, count)| pattern.count(part as u32) >= count)
}
