//! The integer step: the cheapest plan over a list of patterns, by branch and bound, with a proof in whole numbers.
//!
//! Each case is a linear program over few of the patterns, to which the others are added while they are worth more than
//! they cost. Its multipliers, rounded to whole numbers, close the case when they show that every plan in it costs too
//! much; the sums are whole numbers, so nothing rests on the linear program's own. A case that stays open is split by how
//! often some patterns are used: those cut from one board, those that hold so many of a part, those that hold two parts
//! together, or a single one (after Vanderbeck 2000, Operations Research 48:111-128, and Ryan and Foster 1981, from memory).

use super::answer::{Case, Picked, Split};
use super::costs::Costs;
use super::diving::Best;
use super::instance::Instance;
use super::pattern::{Packing, Pattern};
use super::rows::{Choice, Rows};
use super::simplex::{Basic, Master};
use super::splitting::split;
use super::work::Work;

/// Levels this near to a whole number are that.
const WHOLE: f64 = 1e-4;
/// Patterns taken into the program in one round.
const A_ROUND: usize = 40;
/// Artificial variables grow dearer by this factor while a case leans on them.
const DEARER: f64 = 16.0;
/// How often.
const DEARER_TIMES: usize = 5;
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

/// Looks for plans that are cheaper than the best and within reach, until there is none: then it gives the division into
/// cases that shows it. Nothing when the search was cut short.
pub(super) fn search(
    instance: &Instance,
    patterns: &[Pattern],
    best: &mut Best,
    reach: Reach,
    work: &mut Work,
) -> Option<Case> {
    let rows = Rows::new(instance, patterns);
    let is_active = vec![false; patterns.len()];
    let mut search =
        Search { instance, patterns, rows, best, active: Vec::new(), is_active, cases: 0, reach };
    search.activate_first();
    let all: Vec<u32> = (0..patterns.len() as u32).collect();
    search.explore(0, &[], At { pool: &all, basis: &[] }, work)
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

impl Search<'_> {
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
        let At { pool, basis } = at;
        self.cases += 1;
        if self.cases > self.reach.cases || depth > DEEPEST {
            return None;
        }
        let mut solved = self.solve(choices, pool, basis, work)?;
        if solved.bound <= self.below() {
            self.take_whole(&solved.levels);
        }
        let multipliers = std::mem::take(&mut solved.multipliers);
        let lacking = self.below() - solved.bound;
        if lacking < 0 {
            return Some(Case { multipliers, split: None });
        }
        let pool = self.rows.within(pool, &multipliers, choices, lacking);
        let (picked, level) = split(self.instance, self.patterns, &solved.levels)?;
        let most = (level + WHOLE).floor() as i64;
        let basis = solved.named_basis();
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
        Some(Case { multipliers, split: Some(Box::new(Split { picked, most, fewer, more })) })
    }

    /// Solves the program of a case. Nothing when steps run out.
    fn solve(
        &mut self,
        choices: &[Choice],
        pool: &[u32],
        basis: &[Basic],
        work: &mut Work,
    ) -> Option<Solved> {
        let dear = 3.0 * self.instance.dearest() as f64;
        let mut master = Master::new(&self.rows.sides(choices), dear);
        let mut columns = self.active_of(pool);
        columns.iter().for_each(|&at| master.add(self.rows.column(at as usize, choices)));
        if !basis.is_empty() {
            let rows = self.rows.fixed() + choices.len();
            master.take_basis(&in_columns(basis, &columns, rows), work);
            master.dual(work);
        }
        let mut dearer = 0;
        for _ in 0..MOST_ROUNDS {
            master.primal(work);
            if work.is_over() {
                return None;
            }
            let multipliers = self.rows.multipliers(master.duals(), choices);
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
