//! Goes over a case that is closed by remainders: the least that every way to the demands wastes, settled remainder by
//! remainder (Dijkstra 1959).

use super::Flaw;
use super::cases::{Pattern, Sizes};
use crate::stock::cutting::Lattice;
use std::collections::BTreeMap;

/// More remainders are not gone over.
const MOST: i64 = 1 << 16;

/// Rows that begin one part later each: the remainder by them is one of `count()`.
struct Remainders<'a> {
    rows: &'a [Vec<i64>],
}

impl Remainders<'_> {
    fn count(&self) -> Option<usize> {
        let mut count = 1_i64;
        for (at, row) in self.rows.iter().enumerate() {
            let is_sound =
                row.len() == self.rows.len() && row[..at].iter().all(|&own| own == 0) && row[at] > 0;
            count = Some(count.checked_mul(row[at])?).filter(|&count| is_sound && count <= MOST)?;
        }
        usize::try_from(count).ok()
    }

    /// The number of a remainder, below `count()`.
    fn of(&self, counts: &[i128]) -> usize {
        let (mut left, mut number) = (counts.to_vec(), 0_i128);
        for (at, row) in self.rows.iter().enumerate() {
            let each = i128::from(row[at]);
            let times = left[at].div_euclid(each);
            left.iter_mut().zip(row).for_each(|(left, &own)| *left -= times * i128::from(own));
            number = number * each + left[at];
        }
        usize::try_from(number).unwrap_or(0)
    }

    fn counts(&self, number: usize) -> Vec<i128> {
        let mut number = number as i128;
        let mut counts = vec![0; self.rows.len()];
        for (at, row) in self.rows.iter().enumerate().rev() {
            counts[at] = number % i128::from(row[at]);
            number /= i128::from(row[at]);
        }
        counts
    }
}

/// `wasted` names the patterns that matter and what each wastes, `y` what parts too many do; both at least nought.
pub(super) fn check(
    sizes: &Sizes,
    patterns: &[Pattern],
    lattice: &Lattice,
    wasted: &[(usize, i128)],
    (y, lacking): (&[i64], i128),
) -> Result<(), Flaw> {
    let flaw = Err(Flaw::Certificate("a lattice that makes no sense"));
    let parts = &lattice.parts;
    if parts.len() != lattice.rows.len() || parts.iter().any(|&part| part >= sizes.demands.len()) {
        return flaw;
    }
    let remainders = Remainders { rows: &lattice.rows };
    let Some(count) = remainders.count() else { return flaw };
    let own =
        |counts: &dyn Fn(usize) -> i128| -> Vec<i128> { parts.iter().map(|&part| counts(part)).collect() };
    let mut steps: Vec<(Vec<i128>, i128)> = Vec::new();
    for &(at, waste) in wasted {
        let held = |part: usize| {
            patterns[at].counts.iter().filter(|own| own.0 == part).map(|own| i128::from(own.1)).sum()
        };
        steps.push((own(&held), waste));
    }
    for &part in parts {
        steps.push((own(&|other| -i128::from(other == part)), i128::from(y[part])));
    }
    // Of steps that are alike in their remainder the one that wastes least.
    let mut alike: BTreeMap<usize, i128> = BTreeMap::new();
    for (step, waste) in &steps {
        let least = alike.entry(remainders.of(step)).or_insert(*waste);
        *least = (*least).min(*waste);
    }
    let mut steps: Vec<(Vec<i128>, i128)> =
        alike.into_iter().map(|(at, waste)| (remainders.counts(at), waste)).collect();
    steps.sort_by_key(|step| step.1);
    let goal = remainders.of(&own(&|part| i128::from(sizes.demands[part])));
    // The least known waste on the way to each remainder, and whether it is settled.
    let mut least: Vec<(i128, bool)> = vec![(i128::MAX, false); count];
    least[0].0 = 0;
    loop {
        let open = (0..count).filter(|&at| !least[at].1 && least[at].0 <= lacking);
        let Some(at) = open.min_by_key(|&at| least[at].0) else { return Ok(()) };
        if at == goal {
            return Err(Flaw::Certificate("remainders do not close a case"));
        }
        least[at].1 = true;
        let here = remainders.counts(at);
        let near = lacking - least[at].0;
        for (step, waste) in steps.iter().take_while(|step| step.1 <= near) {
            let sum: Vec<i128> = here.iter().zip(step).map(|(a, b)| a + b).collect();
            let next = remainders.of(&sum);
            least[next].0 = least[next].0.min(least[at].0 + waste);
        }
    }
}
