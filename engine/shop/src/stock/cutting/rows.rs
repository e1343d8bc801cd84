//! The rows of the integer step: demands, limited boards, choices; how patterns count in them; and the bound
//! of whole-number multipliers.

use super::answer::Picked;
use super::instance::Instance;
use super::integer::is_picked;
use super::pattern::Pattern;
use super::simplex::{Basic, Column, Sense};
use super::work::Work;
use std::rc::Rc;

/// The picked patterns are used at most so often, or more often.
#[derive(Clone, Debug)]
pub(super) struct Choice {
    pub picked: Picked,
    /// Of each pattern, whether it is picked; `false` for those that no longer matter.
    pub members: Rc<[bool]>,
    pub most: i64,
    pub is_more: bool,
}

/// Rows over a list of patterns.
pub(super) struct Rows<'a> {
    instance: &'a Instance,
    patterns: &'a [Pattern],
    /// Limited boards, by row after the parts.
    limited: Vec<usize>,
    /// Rows and counts of every pattern in the fixed rows, one after another; and where each begins.
    entries: Vec<(u32, i32)>,
    begins: Vec<usize>,
}

/// What a look over all patterns gives.
pub(super) struct Scan {
    /// Least reduced cost, in `scale`ths.
    pub least: i64,
    /// The patterns of the least reduced costs below nought, least first.
    pub patterns: Vec<u32>,
}

impl<'a> Rows<'a> {
    pub(super) fn new(instance: &'a Instance, patterns: &'a [Pattern]) -> Self {
        let limited: Vec<usize> =
            (0..instance.boards.len()).filter(|&at| instance.boards[at].available.is_some()).collect();
        let mut rows = Rows { instance, patterns, limited, entries: Vec::new(), begins: vec![0] };
        let parts = instance.sizes.len();
        for pattern in patterns {
            rows.entries.extend(pattern.counts.iter().map(|&(part, count)| (part, count as i32)));
            if let Some(at) = rows.limited.iter().position(|&board| board == pattern.board) {
                rows.entries.push(((parts + at) as u32, 1));
            }
            rows.begins.push(rows.entries.len());
        }
        rows
    }

    /// How parts count in what is basic; those of other rows do not.
    pub(super) fn vectors(&self, basis: &[Basic]) -> Vec<Vec<i64>> {
        let parts = self.instance.sizes.len();
        let mut vectors = vec![vec![0; parts]; basis.len()];
        for (vector, basic) in vectors.iter_mut().zip(basis) {
            match *basic {
                Basic::Column(at) => {
                    self.patterns[at].counts.iter().for_each(|own| vector[own.0 as usize] = i64::from(own.1));
                }
                Basic::Slack(row) | Basic::Artificial(row) if row < parts => vector[row] = 1,
                Basic::Slack(_) | Basic::Artificial(_) => {}
            }
        }
        vectors
    }

    /// Rows that hold in every case.
    pub(super) fn fixed(&self) -> usize {
        self.instance.sizes.len() + self.limited.len()
    }

    /// Sense and right side of every row, in whole numbers.
    fn whole_sides(&self, choices: &[Choice]) -> Vec<(Sense, i64)> {
        let demands = &self.instance.demands;
        let mut sides: Vec<(Sense, i64)> =
            demands.iter().map(|&demand| (Sense::Least, i64::from(demand))).collect();
        let available = |board: &usize| self.instance.boards[*board].available.unwrap_or(0);
        sides.extend(self.limited.iter().map(|board| (Sense::Most, i64::from(available(board)))));
        sides.extend(choices.iter().map(|choice| {
            if choice.is_more { (Sense::Least, choice.most + 1) } else { (Sense::Most, choice.most) }
        }));
        sides
    }

    /// The same for the linear program.
    pub(super) fn sides(&self, choices: &[Choice]) -> Vec<(Sense, f64)> {
        self.whole_sides(choices).into_iter().map(|(sense, right)| (sense, right as f64)).collect()
    }

    fn fixed_entries(&self, at: usize) -> &[(u32, i32)] {
        &self.entries[self.begins[at]..self.begins[at + 1]]
    }

    /// A pattern as a column.
    pub(super) fn column(&self, at: usize, choices: &[Choice]) -> Column {
        let pattern = &self.patterns[at];
        let mut entries: Vec<(u32, f64)> =
            self.fixed_entries(at).iter().map(|&(row, count)| (row, f64::from(count))).collect();
        let chosen = choices.iter().enumerate().filter(|(_, choice)| choice.members[at]);
        entries.extend(chosen.map(|(row, _)| ((self.fixed() + row) as u32, 1.0)));
        Column { cost: self.instance.boards[pattern.board].cost as f64, entries }
    }

    /// Multipliers in whole `scale`ths, of the sign that each row's sense asks for.
    pub(super) fn multipliers(&self, duals: &[f64], choices: &[Choice]) -> Vec<i64> {
        let scale = self.instance.scale as f64;
        let whole = |(dual, (sense, _)): (&f64, (Sense, i64))| {
            let value = (dual * scale).floor() as i64;
            if sense == Sense::Least { value.max(0) } else { value.min(0) }
        };
        duals.iter().zip(self.whole_sides(choices)).map(whole).collect()
    }

    /// Which patterns of the pool are picked.
    pub(super) fn members(&self, picked: &Picked, pool: &[u32]) -> Rc<[bool]> {
        let mut members = vec![false; self.patterns.len()];
        pool.iter().for_each(|&at| members[at as usize] = is_picked(picked, &self.patterns[at as usize]));
        members.into()
    }

    /// What each pattern of the pool wastes, in `scale`ths.
    fn wastes(&self, pool: &[u32], multipliers: &[i64], choices: &[Choice]) -> Vec<i64> {
        let costs: Vec<i64> =
            self.instance.boards.iter().map(|board| board.cost * self.instance.scale).collect();
        let (fixed, chosen) = multipliers.split_at(self.fixed());
        let worth = |&(row, count): &(u32, i32)| fixed[row as usize] * i64::from(count);
        let mut wastes: Vec<i64> = pool
            .iter()
            .map(|&at| {
                let entries = self.fixed_entries(at as usize);
                costs[self.patterns[at as usize].board] - entries.iter().map(worth).sum::<i64>()
            })
            .collect();
        for (choice, &multiplier) in choices.iter().zip(chosen).filter(|(_, multiplier)| **multiplier != 0) {
            for (waste, &at) in wastes.iter_mut().zip(pool) {
                *waste -= multiplier * i64::from(choice.members[at as usize]);
            }
        }
        wastes
    }

    /// Patterns that do not waste more than what is lacking, and what each wastes more than the least below nought.
    pub(super) fn within(
        &self,
        pool: &[u32],
        multipliers: &[i64],
        choices: &[Choice],
        lacking: i128,
    ) -> (Vec<u32>, Vec<i64>) {
        let wastes = self.wastes(pool, multipliers, choices);
        let least = wastes.iter().copied().fold(0, i64::min);
        let within = pool.iter().copied().zip(wastes).filter(|own| i128::from(own.1) <= lacking);
        within.map(|(at, waste)| (at, waste - least)).unzip()
    }

    /// Looks over all patterns of the pool.
    pub(super) fn scan(
        &self,
        pool: &[u32],
        multipliers: &[i64],
        choices: &[Choice],
        most: usize,
        work: &mut Work,
    ) -> Scan {
        let wastes = self.wastes(pool, multipliers, choices);
        let least = wastes.iter().copied().fold(0, i64::min);
        let mut below: Vec<(i64, u32)> =
            wastes.into_iter().zip(pool.iter().copied()).filter(|own| own.0 < 0).collect();
        work.spend(pool.len() * (6 + choices.len()));
        if below.len() > most {
            below.select_nth_unstable(most);
            below.truncate(most);
        }
        below.sort_unstable();
        Scan { least, patterns: below.into_iter().map(|own| own.1).collect() }
    }

    /// What every plan in the case costs at least, in `scale`ths: a plan uses no more boards than it has parts, so nothing
    /// is gained beyond that many times the least reduced cost.
    pub(super) fn bound(&self, multipliers: &[i64], choices: &[Choice], least: i64) -> i128 {
        let sides = self.whole_sides(choices);
        let sum: i128 =
            multipliers.iter().zip(sides).map(|(&own, (_, right))| i128::from(own) * i128::from(right)).sum();
        sum + i128::from(least) * i128::from(self.instance.part_count())
    }
}
