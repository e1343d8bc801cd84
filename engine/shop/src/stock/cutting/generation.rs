//! Column generation: the master problem over the patterns known so far prices the parts, pricing finds patterns worth
//! more than they cost, until there are none (Gilmore and Gomory 1961, 1963, from memory).
//!
//! Every round also gives a bound that holds whatever the state of the linear program, see `farley.rs`.

use super::farley::Worths;
use super::instance::Instance;
use super::pattern::{Packing, Pattern};
use super::pricing::{Priced, Prices, Pricing};
use super::simplex::{Column, Master, Sense};
use super::work::Work;
use std::collections::HashSet;

/// Rounds without end are cut off here; a bound holds after each.
const MOST_ROUNDS: usize = 20_000;
/// A part is never worth more than the cheapest board that holds it, so this is too dear for any plan.
const DEAR: f64 = 3.0;
/// Share of the dearest board by which a pattern must be worth more than its cost to enter the program: less is noise.
const NOISE: f64 = 1e-9;

/// The linear program over patterns.
#[derive(Clone)]
pub(super) struct Generation<'a> {
    pub instance: &'a Instance,
    pub master: Master,
    /// The pattern of each column.
    pub patterns: Vec<Pattern>,
    /// Parts still to be made.
    pub left: Vec<u32>,
    /// Row of each limited board.
    board_rows: Vec<Option<usize>>,
    /// Numbers of limited boards still to be had.
    pub boards_left: Vec<Option<u32>>,
    known: HashSet<Pattern>,
    /// Columns that overshoot what is left.
    is_banned: Vec<bool>,
}

impl<'a> Generation<'a> {
    pub(super) fn new(instance: &'a Instance, pricing: &mut dyn Pricing) -> Self {
        let mut rows: Vec<(Sense, f64)> =
            instance.demands.iter().map(|&demand| (Sense::Least, f64::from(demand))).collect();
        let mut board_rows = Vec::new();
        for board in &instance.boards {
            board_rows.push(board.available.map(|available| {
                rows.push((Sense::Most, f64::from(available)));
                rows.len() - 1
            }));
        }
        let mut generation = Generation {
            instance,
            master: Master::new(&rows, DEAR * instance.dearest() as f64),
            patterns: Vec::new(),
            left: instance.demands.clone(),
            board_rows,
            boards_left: instance.boards.iter().map(|board| board.available).collect(),
            known: HashSet::new(),
            is_banned: Vec::new(),
        };
        generation.add_singles(pricing);
        generation
    }

    /// For each part the pattern that holds nothing else, on the board where it costs least.
    fn add_singles(&mut self, pricing: &mut dyn Pricing) {
        let boards = &self.instance.boards;
        let each = |pattern: &Pattern| boards[pattern.board].cost as f64 / f64::from(pattern.counts[0].1);
        for part in 0..self.left.len() {
            let unlimited = (0..boards.len()).filter(|&board| boards[board].available.is_none());
            let singles = unlimited.filter_map(|board| pricing.single(board, part as u32, self.left[part]));
            if let Some(cheapest) = singles.min_by(|a, b| each(a).total_cmp(&each(b))) {
                self.add(cheapest);
            }
        }
    }

    /// A pattern more, unless it is known.
    pub(super) fn add(&mut self, pattern: Pattern) -> bool {
        if !self.known.insert(pattern.clone()) {
            return false;
        }
        self.is_banned.push(!pattern.is_within(&self.left));
        self.master.add(column(self.instance, &pattern, &self.board_rows));
        self.patterns.push(pattern);
        true
    }

    /// Solves to the end, or until the bound, rounded up, is `enough`. Gives the best bound seen.
    pub(super) fn solve(&mut self, pricing: &mut dyn Pricing, enough: i64, work: &mut Work) -> Worths {
        let mut best = Worths::default();
        for _ in 0..MOST_ROUNDS {
            let Some((worth, Priced { patterns, best: passed })) = self.priced(pricing, work) else { break };
            let worths = Worths::new(self.instance, &self.left, &worth, &passed);
            if worths.bound > best.bound || best.worth.is_empty() {
                best = worths;
            }
            if self.add_all(patterns) == 0 || best.cost(self.instance) >= enough {
                break;
            }
        }
        best
    }

    /// Worths of the parts by the program as it stands, and what pricing finds by them; nothing when steps run out.
    fn priced(&mut self, pricing: &mut dyn Pricing, work: &mut Work) -> Option<(Vec<f64>, Priced)> {
        self.master.primal(work);
        if work.is_over() {
            return None;
        }
        let (worth, allowed) = self.prices();
        let priced = pricing.price(Prices { worth: &worth, most: &self.left, allowed: &allowed }, work);
        Some((worth, priced))
    }

    /// Patterns more; gives how many were not known.
    fn add_all(&mut self, patterns: Vec<Pattern>) -> usize {
        // Not by `any`: all of them are to be added.
        patterns.into_iter().filter(|pattern| self.add(pattern.clone())).count()
    }

    /// From now on there are so many of each limited board; broken numbers count in the program.
    fn set_boards(&mut self, numbers: &[f64], work: &mut Work) {
        for (board, &number) in numbers.iter().enumerate() {
            if let Some(row) = self.board_rows[board] {
                self.boards_left[board] = Some(number as u32);
                self.master.set_right(row, number);
            }
        }
        self.master.dual(work);
    }

    /// Whether these numbers of boards hold all parts, if patterns may be cut broken numbers of times: worths of the parts, and
    /// what no pattern on each board passes by them, by which the parts are worth more than all that the boards can hold; or
    /// nothing. All boards are limited. Costs count beside what lacks, so that a lack that is cheap may go unseen.
    pub(super) fn too_few(
        &mut self,
        numbers: &[f64],
        pricing: &mut dyn Pricing,
        work: &mut Work,
    ) -> Option<(Vec<f64>, Vec<f64>)> {
        self.set_boards(numbers, work);
        for _ in 0..MOST_ROUNDS {
            let (worth, Priced { patterns, best }) = self.priced(pricing, work)?;
            let asked: f64 = worth.iter().zip(&self.left).map(|(worth, &left)| worth * f64::from(left)).sum();
            let held: f64 = best.iter().zip(numbers).map(|(best, number)| best * number).sum();
            if held < asked * (1.0 - NOISE) {
                return Some((worth, best));
            }
            if self.add_all(patterns) == 0 {
                break;
            }
        }
        None
    }

    /// Worths of the parts in whole numbers, and what a pattern of each board must be worth more than.
    fn prices(&self) -> (Vec<f64>, Vec<f64>) {
        let scale = self.instance.scale as f64;
        let duals = self.master.duals();
        let worth = duals[..self.left.len()].iter().map(|dual| (dual.max(0.0) * scale).floor()).collect();
        let noise = (NOISE * self.instance.dearest() as f64 * scale).floor();
        let allowed = self.instance.boards.iter().zip(&self.board_rows).map(|(board, row)| {
            let fee = row.map_or(0.0, |row| (-duals[row]).max(0.0));
            board.cost as f64 * scale + (fee * scale).ceil() + noise
        });
        (worth, allowed.collect())
    }

    /// Takes patterns off what is wanted, each as often as asked or as there is left, and mends the plan. Patterns that hold
    /// more of a part than is left become too dear, so that what remains is cut exactly. Gives what was taken.
    pub(super) fn take(&mut self, mut fixed: Packing, work: &mut Work) -> Packing {
        for (pattern, times) in &mut fixed {
            *times = self.most_times(pattern).min(*times);
            for &(part, count) in &pattern.counts {
                self.left[part as usize] -= count * *times;
                self.master.set_right(part as usize, f64::from(self.left[part as usize]));
            }
            if let (Some(row), Some(left)) =
                (self.board_rows[pattern.board], &mut self.boards_left[pattern.board])
            {
                *left -= *times;
                self.master.set_right(row, f64::from(*left));
            }
        }
        fixed.retain(|own| own.1 > 0);
        self.master.dual(work);
        let dear = 2.0 * DEAR * self.instance.dearest() as f64;
        for column in 0..self.patterns.len() {
            if !self.is_banned[column] && !self.patterns[column].is_within(&self.left) {
                self.is_banned[column] = true;
                self.master.set_cost(column, dear);
            }
        }
        self.master.restore_duals();
        fixed
    }

    /// How often a pattern can be cut without making more of a part than is wanted.
    fn most_times(&self, pattern: &Pattern) -> u32 {
        let parts = pattern.counts.iter().map(|&(part, count)| self.left[part as usize] / count);
        parts.min().unwrap_or(0).min(self.boards_left[pattern.board].unwrap_or(u32::MAX))
    }

    /// Used columns that are not too dear.
    pub(super) fn levels(&self) -> Vec<(usize, f64)> {
        let mut levels = self.master.levels();
        levels.retain(|level| !self.is_banned[level.0]);
        levels
    }
}

/// A pattern as a column of the program.
pub(super) fn column(instance: &Instance, pattern: &Pattern, board_rows: &[Option<usize>]) -> Column {
    let mut entries: Vec<(u32, f64)> =
        pattern.counts.iter().map(|&(part, count)| (part, f64::from(count))).collect();
    entries.extend(board_rows[pattern.board].map(|row| (row as u32, 1.0)));
    Column { cost: instance.boards[pattern.board].cost as f64, entries }
}
