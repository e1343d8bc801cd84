//! The integer step: the cheapest plan over a list of patterns, by branch and bound, with a proof in whole numbers.
//!
//! Each case is a linear program over few of the patterns, to which the others are added while they are worth more than
//! they cost. Its multipliers, rounded to whole numbers, close the case when they show that every plan in it costs too
//! much; the sums are whole numbers, so nothing rests on the linear program's own. A case that stays open is split by how
//! often some patterns are used: those cut from one board, those that hold so many of a part, those that hold two parts
//! together, or a single one (after Vanderbeck 2000, Operations Research 48:111-128, and Ryan and Foster 1981, from memory).

use super::answer::{Case, Picked, RoundedSum};
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

/// What a search over a list of patterns came to.
pub(super) struct Outcome {
    /// The division into cases, when it is complete.
    pub tree: Option<Case>,
    /// Cases looked at.
    pub cases: usize,
}

/// Looks for plans cheaper than the best, until there is none or `most` cases were looked at.
pub(super) fn search(
    instance: &Instance,
    patterns: &[Pattern],
    cuts: &[RoundedSum],
    best: &mut Best,
    most: usize,
    work: &mut Work,
) -> Outcome {
    let rows = Rows::new(instance, patterns, cuts);
    let mut search = Search { instance, patterns, rows, best, active: Vec::new(), is_active: vec![false; patterns.len()], cases: 0, most };
    search.activate_first();
    let tree = search.explore(&mut Vec::new(), &[], work);
    Outcome { tree, cases: search.cases }
}

struct Search<'a> {
    instance: &'a Instance,
    patterns: &'a [Pattern],
    rows: Rows<'a>,
    best: &'a mut Best,
    /// Patterns in the program, in order of entry: the columns.
    active: Vec<usize>,
    is_active: Vec<bool>,
    cases: usize,
    most: usize,
}

/// How a case came out.
enum Solved {
    /// Multipliers that close it.
    Closed(Vec<i64>),
    /// The program's plan: patterns with their levels; and its basis.
    Open(Vec<(usize, f64)>, Vec<Basic>),
    /// Out of steps.
    Stopped,
}

impl Search<'_> {
    /// Begins with a pattern for each part.
    fn activate_first(&mut self) {
        for part in 0..self.instance.sizes.len() as u32 {
            if let Some(at) = self.patterns.iter().position(|pattern| pattern.count(part) > 0) {
                self.activate(at);
            }
        }
    }

    fn activate(&mut self, at: usize) {
        if !self.is_active[at] {
            self.is_active[at] = true;
            self.active.push(at);
        }
    }

    /// The division of a case, or nothing when the search was cut short.
    fn explore(&mut self, choices: &mut Vec<Choice>, basis: &[Basic], work: &mut Work) -> Option<Case> {
        self.cases += 1;
        if self.cases > self.most {
            return None;
        }
        let (levels, basis) = match self.solve(choices, basis, work) {
            Solved::Closed(multipliers) => return Some(Case::Closed(multipliers)),
            Solved::Stopped => return None,
            Solved::Open(levels, basis) => (levels, basis),
        };
        if self.take_whole(&levels) {
            // The case is not closed yet: it may hold cheaper plans still.
            self.cases -= 1;
            return self.explore(choices, &basis, work);
        }
        let (picked, level) = split(self.instance, self.patterns, &levels)?;
        let most = (level + WHOLE).floor() as i64;
        let mut half = |search: &mut Self, is_more: bool, work: &mut Work| {
            choices.push(Choice { picked: picked.clone(), most, is_more });
            let case = search.explore(choices, &basis, work);
            choices.pop();
            case.map(Box::new)
        };
        // The nearer half first: it is likelier to hold a plan.
        let more_first = level - most as f64 > 0.4;
        let first = half(self, more_first, work)?;
        let second = half(self, !more_first, work)?;
        let (fewer, more) = if more_first { (second, first) } else { (first, second) };
        Some(Case::Split { picked, most, fewer, more })
    }

    /// Solves the program of a case.
    fn solve(&mut self, choices: &[Choice], basis: &[Basic], work: &mut Work) -> Solved {
        let dear = 3.0 * self.instance.dearest() as f64;
        let mut master = Master::new(&self.rows.sides(choices), dear);
        for &at in &self.active {
            master.add(self.rows.column(at, choices));
        }
        if !basis.is_empty() {
            let mut basis = basis.to_vec();
            basis.extend((self.rows.fixed() + choices.len()).checked_sub(1).map(Basic::Slack));
            master.take_basis(&basis, work);
            master.dual(work);
        }
        let mut dearer = 0;
        for _ in 0..MOST_ROUNDS {
            master.primal(work);
            if work.is_over() {
                return Solved::Stopped;
            }
            let multipliers = self.rows.multipliers(master.duals(), choices);
            let scan = self.rows.scan(&multipliers, choices, A_ROUND, work);
            if self.rows.bound(&multipliers, choices, scan.least) > self.below() {
                return Solved::Closed(multipliers);
            }
            let fresh: Vec<usize> = scan.patterns.into_iter().filter(|&at| !self.is_active[at]).collect();
            for &at in &fresh {
                self.activate(at);
                master.add(self.rows.column(at, choices));
            }
            if fresh.is_empty() {
                if master.shortage() < WHOLE || dearer == DEARER_TIMES {
                    break;
                }
                dearer += 1;
                master.set_dear(dear * (0..dearer).fold(1.0, |dear, _| dear * DEARER));
            }
        }
        let levels = master.levels().into_iter().map(|(column, level)| (self.active[column], level)).collect();
        Solved::Open(levels, master.basis().to_vec())
    }

    /// What a plan must not cost more than to be of use, in `scale`ths.
    fn below(&self) -> i128 {
        i128::from(self.best.cost - self.instance.step) * i128::from(self.instance.scale)
    }

    /// Takes the program's plan when it is whole and cheaper; also when it is so rounded up.
    fn take_whole(&mut self, levels: &[(usize, f64)]) -> bool {
        let packing: Packing = levels
            .iter()
            .map(|&(at, level)| (self.patterns[at].clone(), (level + 1.0 - WHOLE) as u32))
            .filter(|own| own.1 > 0)
            .collect();
        is_plan(self.instance, &packing) && self.best.offer(self.instance, packing)
    }
}

/// Whether all parts are there, and no more boards than there are.
pub(super) fn is_plan(instance: &Instance, packing: &[(Pattern, u32)]) -> bool {
    let mut made = vec![0_u64; instance.sizes.len()];
    let mut used = vec![0_u64; instance.boards.len()];
    for (pattern, times) in packing {
        used[pattern.board] += u64::from(*times);
        pattern.counts.iter().for_each(|&(part, count)| made[part as usize] += u64::from(count) * u64::from(*times));
    }
    made.iter().zip(&instance.demands).all(|(&made, &demand)| made >= u64::from(demand))
        && used.iter().zip(&instance.boards).all(|(&used, board)| board.available.is_none_or(|own| used <= u64::from(own)))
}

/// Whether a pattern is among the picked.
pub(super) fn is_picked(picked: &Picked, pattern: &Pattern) -> bool {
    picked.stock.is_none_or(|board| board == pattern.board)
        && picked.holding.iter().all(|&(part, count)| pattern.count(part as u32) >= count)
}
