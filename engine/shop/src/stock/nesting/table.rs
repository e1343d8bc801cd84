//! [`RowTable`]: what each part counts for at least, in whatever row it lies, and which rows are worth cutting.

use super::block::blocks;
use super::bundle::Bundle;
use super::row::{Rows, Steps};
use super::{NestFault, NestProblem};
use crate::stock::counts::Lattice;
use slatwork_base::Length;
use std::collections::BTreeMap;

/// Most kinds of parts in one table.
const MOST_KINDS: usize = 6;
/// Most parts of a row that is offered (project choice): a length that one person still handles at the band saw, and short enough
/// for nearly all of them to be known to be the shortest.
pub const MOST_IN_A_ROW: usize = 6;
/// So few that each row is looked at before a share is told.
const FEW_WAYS: usize = 64;
/// Trials of one row of these.
const TRIALS: usize = 200;
/// Trials of a row that is asked for: enough to prove most whose parts touch beyond their neighbours.
const MORE_TRIALS: usize = 20_000;

/// What parts and rows take of a board, beside what they are long.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Taken {
    /// By part: what it takes by itself, cut to a rectangle.
    pub alone: Vec<Length>,
    /// What a row takes beyond its own length: room at its ends, and the cut that takes it off the board.
    pub round_rows: Length,
}

/// Rows of a problem's parts, as its longest board may hold them.
#[derive(Clone, Debug)]
pub struct RowTable {
    steps: Steps,
    taken: Taken,
    /// By part: how many are wanted.
    wanted: Vec<usize>,
    longest: i64,
    shares: Vec<i64>,
}

/// What a stretch of a row takes at least, twice, and how many halves of each part it holds.
struct Stretch {
    parts: Vec<(usize, i64)>,
    twice_least: i64,
}

impl Stretch {
    fn sum(&self, shares: &[i64]) -> i64 {
        self.parts.iter().map(|&(part, halves)| shares[part] * halves).sum()
    }
}

impl RowTable {
    /// The table; `None` where there are more kinds of parts than are looked at.
    pub fn new(problem: &NestProblem, taken: Taken) -> Result<Option<Self>, NestFault> {
        problem.check()?;
        let kinds: Vec<usize> =
            (0..problem.parts.len()).filter(|&part| problem.parts[part].count > 0).collect();
        if kinds.len() > MOST_KINDS {
            return Ok(None);
        }
        let steps = Steps::new(blocks(problem, &kinds));
        let alone: Vec<i64> = taken.alone.iter().map(|own| own.as_nm()).collect();
        let stretches = stretches(&steps, taken.round_rows.as_nm());
        let mut shares = in_proportion(&alone, &stretches);
        raise(&mut shares, &alone, &stretches);
        let (wanted, longest) = (problem.counts(), problem.longest());
        let mut table = RowTable { steps, taken, wanted, longest, shares };
        let mut shares = table.shares.clone();
        raise(&mut shares, &alone, &table.whole_rows());
        table.shares = shares;
        Ok(Some(table))
    }

    /// Where they are few, all rows themselves: as long as they are shown to be, or as the shares so far say. Otherwise none of them, and
    /// no share is raised by them.
    fn whole_rows(&self) -> Vec<Stretch> {
        let Some(rows) = self.table(FEW_WAYS) else { return self.as_shared() };
        let round_row = self.taken.round_rows.as_nm();
        let whole = |way: usize| {
            let counts = rows.lattice.counts(way);
            let shared: i64 = counts.iter().zip(&self.shares).map(|(&count, own)| count as i64 * own).sum();
            let proven = rows.shortest(way, &[], TRIALS).filter(|row| row.proven).map(|row| row.length);
            let least = proven.unwrap_or_else(|| rows.at_least(way)) + round_row;
            let parts = counts.iter().enumerate().filter(|own| *own.1 > 0);
            let parts = parts.map(|(part, &count)| (part, 2 * count as i64)).collect();
            Stretch { parts, twice_least: 2 * least.max(shared) }
        };
        let several = |&way: &usize| rows.lattice.counts(way).iter().sum::<usize>() > 1;
        (1..rows.lattice.size())
            .filter(several)
            .filter(|&way| rows.at_least(way) <= self.longest)
            .map(whole)
            .collect()
    }

    /// Every part at its share.
    fn as_shared(&self) -> Vec<Stretch> {
        let own = self.shares.iter().enumerate();
        own.map(|(part, &share)| Stretch { parts: vec![(part, 1)], twice_least: share }).collect()
    }

    /// All ways of taking parts that one board may hold; `None` where there are more than so many.
    fn table(&self, most: usize) -> Option<Rows<'_>> {
        let counts = self.held();
        Lattice::new(&counts, most)?;
        Rows::new(&self.steps, &counts)
    }

    /// By part: no board holds more in one row, nor are more wanted.
    fn held(&self) -> Vec<usize> {
        let room = self.longest + self.taken.round_rows.as_nm();
        let held = |part: usize| usize::try_from(room / self.shares[part].max(1)).unwrap_or(usize::MAX);
        (0..self.wanted.len()).map(|part| held(part).min(self.wanted[part])).collect()
    }

    /// What each part counts for at least, in a row or by itself: whatever rows of the blocks looked at are laid, the parts of one come to
    /// no more than the row takes.
    pub fn shares(&self) -> Vec<Length> {
        self.shares.iter().map(|&share| Length::nm(share)).collect()
    }

    /// All that the parts take by themselves, less what a row of them takes.
    pub fn saved(&self, row: &Bundle) -> Length {
        self.saved_by(row, row.length)
    }

    /// The same for a row so long.
    fn saved_by(&self, row: &Bundle, length: Length) -> Length {
        let alone = row.counts.iter().zip(&self.taken.alone).map(|(&count, own)| own.as_nm() * count as i64);
        Length::nm(alone.sum::<i64>()) - length - self.taken.round_rows
    }

    /// Rows of few parts that save something, those first that save most for their length; each with what no row of its parts is
    /// shorter than. Nothing where there are more than are looked at.
    pub fn rows(&self) -> Option<Vec<(Bundle, Length)>> {
        let most: Vec<usize> = self.held().into_iter().map(|own| own.min(MOST_IN_A_ROW)).collect();
        let rows = Rows::new(&self.steps, &most)?;
        let several =
            |&way: &usize| (2..=MOST_IN_A_ROW).contains(&rows.lattice.counts(way).iter().sum::<usize>());
        let fits = |&way: &usize| rows.at_least(way) <= self.longest;
        let ways = (1..rows.lattice.size()).filter(several).filter(fits);
        let found = |way: usize| {
            let row = self.found(&rows, way, MORE_TRIALS)?;
            let least = if row.proven { row.length } else { Length::nm(rows.at_least(way)) };
            Some((row, least))
        };
        let mut found: Vec<(Bundle, Length)> = ways.filter_map(found).collect();
        found
            .retain(|(row, least)| least.as_nm() <= self.longest && self.saved_by(row, *least).is_positive());
        let share = |row: &Bundle, other: &Bundle| {
            i128::from(self.saved(row).as_nm()) * i128::from(other.length.as_nm())
        };
        found.sort_by(|(a, _), (b, _)| share(b, a).cmp(&share(a, b)).then_with(|| a.counts.cmp(&b.counts)));
        Some(found)
    }

    /// The shortest row of some of the parts; `None` where no board holds it.
    pub fn row(&self, counts: &[usize]) -> Option<Bundle> {
        let all = counts.iter().zip(&self.shares).map(|(&count, share)| share * count as i64).sum::<i64>();
        if all > self.longest + self.taken.round_rows.as_nm() {
            return None;
        }
        let rows = Rows::new(&self.steps, counts)?;
        let row = self.found(&rows, rows.lattice.way(counts), MORE_TRIALS)?;
        (row.length.as_nm() <= self.longest).then_some(row)
    }

    fn found(&self, rows: &Rows, way: usize, trials: usize) -> Option<Bundle> {
        let row = rows.shortest(way, &[], trials)?;
        Some(Bundle {
            counts: rows.lattice.counts(way),
            length: Length::nm(row.length),
            placements: row.placements(&self.steps.blocks),
            proven: row.proven,
        })
    }
}

/// What stretches of any row take at least, from the middle of a block to that of a later one. A row falls into threes that share their
/// ends, with half a block before the first and after the last, or a block and a half where their number is even. From the first of three
/// to the third is as far as both the second and the first keep it off.
fn stretches(steps: &Steps, round_row: i64) -> Vec<Stretch> {
    let count = steps.blocks.len();
    let long = |block: usize| steps.blocks[block].length;
    let (kinds, kind) = kinds(steps);
    // By the kinds of three blocks; one more stands for none.
    let none = kinds.len();
    let place =
        |first: usize, second: usize, third: usize| (first * (none + 1) + second) * (none + 1) + third;
    let mut least = vec![i64::MAX; place(none, none, none) + 1];
    let mut keep = |at: usize, twice: i64| least[at] = least[at].min(twice);
    for first in 0..count {
        keep(place(kind[first], none, none), long(first) + round_row);
        for second in 0..count {
            let between = steps.between(first, second);
            let end = long(first).max(2 * (between + long(second)) - long(first));
            keep(place(kind[first], kind[second], none), end + round_row);
            for third in 0..count {
                let on = (between + steps.between(second, third)).max(steps.between(first, third));
                keep(place(kind[first], kind[second], kind[third]), 2 * on + long(third) - long(first));
            }
        }
    }
    let stretch = |first: usize, second: usize, third: usize| {
        let twice_least = least[place(first, second, third)];
        let each = [(first, 1), (second, 2), (third, 1)].into_iter().filter(|own| own.0 < none);
        let parts = each.flat_map(|(kind, times)| kinds[kind].iter().map(move |&part| (part, times)));
        (twice_least < i64::MAX).then(|| Stretch { parts: together(parts), twice_least })
    };
    let all = (0..none).flat_map(|first| (0..=none).map(move |second| (first, second)));
    all.flat_map(|(first, second)| (0..=none).filter_map(move |third| stretch(first, second, third)))
        .collect()
}

/// The parts that blocks hold, each such set of parts once, and which of these each block holds.
fn kinds(steps: &Steps) -> (Vec<Vec<usize>>, Vec<usize>) {
    let held = steps.blocks.iter().map(|block| {
        let mut parts: Vec<usize> = block.placements.iter().map(|placed| placed.part).collect();
        parts.sort_unstable();
        parts
    });
    let held: Vec<Vec<usize>> = held.collect();
    let mut kinds = held.clone();
    kinds.sort_unstable();
    kinds.dedup();
    let kind = held.iter().map(|own| kinds.binary_search(own).unwrap_or(0)).collect();
    (kinds, kind)
}

/// Counts of equal parts added up.
fn together(parts: impl Iterator<Item = (usize, i64)>) -> Vec<(usize, i64)> {
    let mut counts: BTreeMap<usize, i64> = BTreeMap::new();
    parts.for_each(|(part, count)| *counts.entry(part).or_default() += count);
    counts.into_iter().collect()
}

/// Shares in proportion to what the parts take by themselves, as large as every stretch allows.
fn in_proportion(alone: &[i64], stretches: &[Stretch]) -> Vec<i64> {
    let mut least = (1_i64, 1_i64);
    for own in stretches {
        let of = own.sum(alone).max(1);
        if i128::from(own.twice_least) * i128::from(least.1) < i128::from(least.0) * i128::from(of) {
            least = (own.twice_least.max(0), of);
        }
    }
    let scaled = |own: &i64| (i128::from(*own) * i128::from(least.0) / i128::from(least.1)) as i64;
    alone.iter().map(scaled).collect()
}

/// Each share raised as far as every stretch allows.
fn raise(shares: &mut [i64], alone: &[i64], stretches: &[Stretch]) {
    for part in 0..shares.len() {
        let room = |own: &Stretch| {
            let &(_, count) = own.parts.iter().find(|own| own.0 == part)?;
            Some(shares[part] + (own.twice_least - own.sum(shares)).div_euclid(count))
        };
        let most = stretches.iter().filter_map(room).fold(alone[part], i64::min);
        shares[part] = most.max(shares[part]);
    }
}
