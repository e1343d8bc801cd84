//! Goes over a division into cases: lists all patterns that a cheaper plan could use, by its own means, and holds every
//! case against them.

use super::{Flaw, Frontier, remainders};
use crate::stock::cutting::{Case, Cases, Duals, Picked, Problem};
use std::collections::BTreeMap;
use std::rc::Rc;

/// Stock that is alike in what it holds and costs.
#[derive(Clone, Debug)]
pub(in crate::stock::cutting) struct Kind {
    /// The first of that kind.
    pub stock: usize,
    pub room: i64,
    pub cost: i64,
    pub available: Option<i64>,
}

/// A pattern: index of its kind of stock, and the parts in it.
pub(in crate::stock::cutting) struct Pattern {
    pub kind: usize,
    pub counts: Vec<(usize, u32)>,
}

/// Sizes (kerf included, largest first), demands and kinds of stock in common units.
pub(in crate::stock::cutting) struct Sizes {
    pub sizes: Vec<i64>,
    pub demands: Vec<i64>,
    pub worth: Vec<i64>,
    pub kinds: Vec<Kind>,
    pub scale: i64,
}

/// `shown` is the bound of the multipliers, in `scale`ths.
pub(super) fn check(
    problem: &Problem,
    duals: &Duals,
    shown: i128,
    cases: &Cases,
    bound: i64,
) -> Result<(), Flaw> {
    let sizes = Sizes::of(problem, duals);
    if at_least(problem, i128::from(cases.below) + 1) < i128::from(bound) {
        return Err(Flaw::Certificate("the cases are closed for cheaper plans only"));
    }
    let lacking = i128::from(cases.below) * i128::from(sizes.scale) - shown;
    walk(&sizes, &sizes.patterns(lacking), cases)
}

/// Holds every case against a list of all patterns that matter.
pub(in crate::stock::cutting) fn walk(
    sizes: &Sizes,
    patterns: &[Pattern],
    cases: &Cases,
) -> Result<(), Flaw> {
    let walk = Walk { sizes, patterns, cases };
    let rows = walk.rows()?;
    let pool: Vec<usize> = (0..patterns.len()).collect();
    walk.visit(&cases.tree, &rows, &[], &pool)
}

/// Beyond so many multiples of the costs' common measure sums of costs are not looked at.
const MOST_MULTIPLES: i128 = 1 << 20;

/// The least sum of costs of stock that a cheapest plan may need, not below `cost`.
pub(super) fn at_least(problem: &Problem, cost: i128) -> i128 {
    sum_at_least(&kinds(problem, unit(problem)), cost)
}

/// The least sum of costs of these kinds, not below `cost`.
pub(in crate::stock::cutting) fn sum_at_least(kinds: &[Kind], cost: i128) -> i128 {
    let step = i128::from(kinds.iter().fold(0, |step, kind| measure(step, kind.cost)).max(1));
    let first = (cost + step - 1).div_euclid(step).max(0);
    // Of what can be had without limit some number costs that, or less than one more.
    let unlimited = kinds.iter().filter(|kind| kind.available.is_none() && kind.cost > 0);
    let next = unlimited.map(|kind| kind.cost).min().or_else(|| kinds.iter().map(|kind| kind.cost).max());
    let last = first + i128::from(next.unwrap_or(0)) / step;
    if last > MOST_MULTIPLES {
        return first * step;
    }
    // How many of the last kind are used at least, for each multiple that is a sum; one kind after another.
    let mut is_sum = vec![false; usize::try_from(last).unwrap_or(0) + 1];
    is_sum[0] = true;
    for kind in kinds.iter().filter(|kind| kind.cost > 0) {
        let each = usize::try_from(i128::from(kind.cost) / step).unwrap_or(usize::MAX);
        let mut used: Vec<i64> = is_sum.iter().map(|&is| if is { 0 } else { i64::MAX - 1 }).collect();
        for at in each..used.len() {
            used[at] = used[at].min(used[at - each] + 1);
            is_sum[at] = kind.available.is_none_or(|own| used[at] <= own) && used[at] < i64::MAX / 2;
        }
    }
    let first = usize::try_from(first).unwrap_or(usize::MAX);
    (first..is_sum.len()).find(|&at| is_sum[at]).map_or((last + 1) * step, |at| at as i128 * step)
}

/// Greatest common measure of all sizes.
pub(super) fn unit(problem: &Problem) -> i64 {
    let wanted = problem.parts.iter().filter(|part| part.demand > 0);
    wanted.fold(0, |unit, part| measure(unit, part.length + problem.kerf)).max(1)
}

fn measure(a: i64, b: i64) -> i64 {
    if b == 0 { a } else { measure(b, a % b) }
}

impl Sizes {
    fn of(problem: &Problem, duals: &Duals) -> Sizes {
        let mut wanted: BTreeMap<i64, i64> = BTreeMap::new();
        for part in problem.parts.iter().filter(|part| part.demand > 0) {
            *wanted.entry(part.length).or_default() += part.demand as i64;
        }
        let worths: BTreeMap<i64, i64> = duals.worth.iter().copied().collect();
        let unit = unit(problem);
        Sizes {
            sizes: wanted.keys().rev().map(|length| (length + problem.kerf) / unit).collect(),
            demands: wanted.values().rev().copied().collect(),
            worth: wanted.keys().rev().map(|length| worths.get(length).copied().unwrap_or(0)).collect(),
            kinds: kinds(problem, unit),
            scale: duals.scale,
        }
    }

    /// All patterns to which no part can be added, that waste no more than `lacking`, and that no cheaper stock without
    /// limit holds as well.
    fn patterns(&self, lacking: i128) -> Vec<Pattern> {
        let room = self.kinds.iter().map(|kind| kind.room).max().unwrap_or(0);
        let mut suffixes = vec![Frontier::of(&[], room)];
        for at in (0..self.sizes.len()).rev() {
            let item = (self.sizes[at], self.worth[at], usize::try_from(self.demands[at]).unwrap_or(0));
            let next =
                suffixes.last().map_or_else(|| Frontier::of(&[], room), |last| last.with_items(item, room));
            suffixes.push(next);
        }
        suffixes.reverse();
        let mut found = Vec::new();
        for (at, kind) in self.kinds.iter().enumerate() {
            let cost = i128::from(kind.cost) * i128::from(self.scale);
            let best = i128::from(suffixes[0].best(kind.room));
            let allowed = if kind.available.is_some() { cost.max(best) } else { cost };
            let mut listing = Listing {
                sizes: self,
                suffixes: &suffixes,
                kind: at,
                least: allowed - lacking,
                taken: Vec::new(),
                found: &mut found,
            };
            listing.descend(0, kind.room, 0);
        }
        found
    }

    fn is_full(&self, taken: &[(usize, u32)], room: i64) -> bool {
        (0..self.sizes.len()).all(|part| {
            let own = taken.iter().find(|own| own.0 == part).map_or(0, |own| i64::from(own.1));
            self.sizes[part] > room || own >= self.demands[part]
        })
    }

    fn fits_cheaper(&self, kind: usize, size: i64) -> bool {
        self.kinds.iter().any(|other| {
            other.available.is_none() && other.room >= size && other.cost < self.kinds[kind].cost
        })
    }
}

/// Stock that holds a part and that another without limit does not beat, alike stock of limited number together.
pub(in crate::stock::cutting) fn kinds(problem: &Problem, unit: i64) -> Vec<Kind> {
    let wanted = problem.parts.iter().filter(|part| part.demand > 0);
    let smallest = wanted.map(|part| (part.length + problem.kerf) / unit).min().unwrap_or(i64::MAX);
    let mut kinds: Vec<Kind> = Vec::new();
    for (stock, own) in problem.stocks.iter().enumerate() {
        let room = problem.room(own).div_euclid(unit);
        let available = own.available.map(|available| available.min(problem.part_count()) as i64);
        let alike = |kind: &&mut Kind| {
            kind.room == room && kind.cost == own.cost && kind.available.is_some() == available.is_some()
        };
        if available == Some(0) || room < smallest {
            continue;
        }
        match (kinds.iter_mut().find(alike), available) {
            (Some(kind), Some(more)) => kind.available = kind.available.map(|now| now + more),
            (Some(_), None) => {}
            (None, _) => kinds.push(Kind { stock, room, cost: own.cost, available }),
        }
    }
    let beaten = |kind: &Kind| {
        kinds.iter().any(|other| {
            let other_is_more = other.room > kind.room || other.cost < kind.cost || kind.available.is_some();
            other.available.is_none() && other.room >= kind.room && other.cost <= kind.cost && other_is_more
        })
    };
    kinds.iter().filter(|kind| !beaten(kind)).cloned().collect()
}

/// Lists patterns depth first.
struct Listing<'a> {
    sizes: &'a Sizes,
    suffixes: &'a [Frontier],
    kind: usize,
    least: i128,
    taken: Vec<(usize, u32)>,
    found: &'a mut Vec<Pattern>,
}

impl Listing<'_> {
    fn descend(&mut self, part: usize, room: i64, worth: i64) {
        if i128::from(worth) + i128::from(self.suffixes[part].best(room)) < self.least {
            return;
        }
        if part == self.sizes.sizes.len() {
            let used = self.sizes.kinds[self.kind].room - room;
            let is_new = !self.taken.is_empty() && self.sizes.is_full(&self.taken, room);
            if is_new && !self.sizes.fits_cheaper(self.kind, used) {
                self.found.push(Pattern { kind: self.kind, counts: self.taken.clone() });
            }
            return;
        }
        let (size, each) = (self.sizes.sizes[part], self.sizes.worth[part]);
        for count in 0..=self.sizes.demands[part].min(room / size) {
            if count > 0 {
                self.taken.push((part, u32::try_from(count).unwrap_or(u32::MAX)));
            }
            self.descend(part + 1, room - count * size, worth + count * each);
            if count > 0 {
                self.taken.pop();
            }
        }
    }
}

/// One row: how every pattern counts in it, its right side, and whether it asks for at least that.
#[derive(Clone)]
struct Row {
    counts: Rc<[i64]>,
    right: i64,
    at_least: bool,
}

struct Walk<'a> {
    sizes: &'a Sizes,
    patterns: &'a [Pattern],
    cases: &'a Cases,
}

impl Walk<'_> {
    /// Demands and limited stock.
    fn rows(&self) -> Result<Vec<Row>, Flaw> {
        let mut rows: Vec<Row> = Vec::new();
        for &demand in &self.sizes.demands {
            // How patterns count in these, they say themselves.
            rows.push(Row { counts: Rc::new([]), right: demand, at_least: true });
        }
        for &stock in &self.cases.limited {
            let kind =
                self.sizes.kinds.iter().position(|kind| kind.stock == stock && kind.available.is_some());
            let Some(kind) = kind else {
                return Err(Flaw::Certificate("a row of stock that is not limited"));
            };
            let available = self.sizes.kinds[kind].available.unwrap_or(0);
            rows.push(self.row(|pattern| i64::from(pattern.kind == kind), available, false));
        }
        Ok(rows)
    }

    fn row(&self, counts: impl Fn(&Pattern) -> i64, right: i64, at_least: bool) -> Row {
        Row { counts: self.patterns.iter().map(counts).collect(), right, at_least }
    }

    fn is_picked(&self, picked: &Picked, pattern: &Pattern) -> bool {
        picked.stock.is_none_or(|stock| self.sizes.kinds[pattern.kind].stock == stock)
            && picked.holding.iter().all(|&(part, least)| count(pattern, part) >= i64::from(least))
    }

    /// Which patterns of the pool are picked; the others no longer matter.
    fn picked_of(&self, picked: &Picked, pool: &[usize]) -> Rc<[i64]> {
        let mut counts = vec![0; self.patterns.len()];
        pool.iter().for_each(|&at| counts[at] = i64::from(self.is_picked(picked, &self.patterns[at])));
        counts.into()
    }

    /// `made` names the choices behind the last rows.
    fn visit(&self, case: &Case, rows: &[Row], made: &[(&Picked, bool)], pool: &[usize]) -> Result<(), Flaw> {
        let y = &case.multipliers;
        let signs = y.iter().zip(rows).all(|(&y, row)| if row.at_least { y >= 0 } else { y <= 0 });
        if y.len() != rows.len() || !signs {
            return Err(Flaw::Certificate("multipliers that do not suit their rows"));
        }
        let wastes: Vec<i128> = pool.iter().map(|&at| self.waste(at, y, rows)).collect();
        let least = wastes.iter().copied().fold(0, i128::min);
        let parts: i128 = self.sizes.demands.iter().map(|&demand| i128::from(demand)).sum();
        let worth: i128 = y.iter().zip(rows).map(|(&y, row)| i128::from(y) * i128::from(row.right)).sum();
        let lacking = i128::from(self.cases.below) * i128::from(self.sizes.scale) - (worth + parts * least);
        if lacking < 0 {
            return Ok(());
        }
        if let Some(lattice) = &case.lattice {
            let wasted: Vec<(usize, i128)> =
                pool.iter().zip(&wastes).map(|(&at, waste)| (at, waste - least)).collect();
            return remainders::check(self.sizes, self.patterns, lattice, &wasted, (y, lacking));
        }
        let Some(split) = &case.split else { return Err(Flaw::Certificate("a case is not closed")) };
        let pool: Vec<usize> =
            pool.iter().zip(wastes).filter(|(_, waste)| *waste <= lacking).map(|(&at, _)| at).collect();
        let counts: Rc<[i64]> = self.picked_of(&split.picked, &pool);
        let fewer = Row { counts: counts.clone(), right: split.most, at_least: false };
        let more = Row { counts, right: split.most + 1, at_least: true };
        for (row, next) in [(fewer, &split.fewer), (more, &split.more)] {
            let (mut rows, mut made) = (rows.to_vec(), made.to_vec());
            let fixed = rows.len() - made.len();
            let choice = (&split.picked, row.at_least);
            match made.iter().position(|own| *own == choice) {
                Some(at) => rows[fixed + at] = row,
                None => {
                    rows.push(row);
                    made.push(choice);
                }
            }
            self.visit(next, &rows, &made, &pool)?;
        }
        Ok(())
    }

    /// What a pattern costs more than it is worth. The first rows are the demands, of which it counts in few.
    fn waste(&self, at: usize, y: &[i64], rows: &[Row]) -> i128 {
        let pattern = &self.patterns[at];
        let cost = i128::from(self.sizes.kinds[pattern.kind].cost) * i128::from(self.sizes.scale);
        let parts = pattern.counts.iter().map(|&(part, count)| i128::from(y[part]) * i128::from(count));
        let others = y.iter().zip(rows).skip(self.sizes.sizes.len()).filter(|(y, _)| **y != 0);
        let others = others.map(|(&y, row)| i128::from(y) * i128::from(row.counts[at]));
        cost - parts.sum::<i128>() - others.sum::<i128>()
    }
}

fn count(pattern: &Pattern, part: usize) -> i64 {
    pattern.counts.iter().find(|own| own.0 == part).map_or(0, |own| i64::from(own.1))
}
