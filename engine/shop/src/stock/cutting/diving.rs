//! Diving with column generation: fix what the linear program uses whole, round one pattern up, take both off the demand,
//! generate patterns for what is left, and so on to the end (Sadykov, Vanderbeck, Pessoa, Tahiri and Uchoa 2019, INFORMS
//! Journal on Computing 31:251-267, from memory).
//!
//! Patterns that hold more of a part than is left are given up at once, so that the last boards are filled exactly. Every
//! remainder is also finished by the greedy plan. Later dives may not begin as earlier ones did (limited discrepancy).

use super::generation::Generation;
use super::greedy::Rest;
use super::instance::Instance;
use super::pattern::{Packing, cost};
use super::pricing::Pricing;
use super::work::Work;

/// A level this near above a whole number counts as that.
const WHOLE: f64 = 1e-3;
/// Rounds in a row that may take nothing: what they meant to take was used up, and a new program may know better.
const MOST_IN_VAIN: usize = 3;

/// The best plan so far.
#[derive(Clone, Debug)]
pub(super) struct Best {
    pub packing: Packing,
    pub cost: i64,
}

impl Best {
    /// No plan yet.
    pub(super) fn none() -> Best {
        Best { packing: Packing::new(), cost: i64::MAX }
    }

    /// Takes a plan that is cheaper.
    pub(super) fn offer(&mut self, instance: &Instance, packing: Packing) -> bool {
        let cost = cost(instance, &packing);
        let better = cost < self.cost;
        if better {
            *self = Best { packing, cost };
        }
        better
    }
}

/// One dive from the solved root. It ends when no cheaper plan can come of it, or with a plan. `forbidden` holds the
/// columns that earlier dives rounded up first, and gets this one's.
pub(super) fn dive(
    root: &Generation,
    pricing: &mut dyn Pricing,
    best: &mut Best,
    forbidden: &mut Vec<usize>,
    enough: i64,
    work: &mut Work,
) {
    let instance = root.instance;
    let mut generation = root.clone();
    let mut taken = Packing::new();
    let (mut is_first, mut in_vain) = (true, 0);
    while !work.is_over() && best.cost > enough {
        let levels = generation.levels();
        let mut fixed: Vec<(usize, u32)> = levels
            .iter()
            .map(|&(column, level)| (column, (level + WHOLE) as u32))
            .filter(|fixed| fixed.1 > 0)
            .collect();
        if fixed.is_empty() {
            let free = levels.iter().filter(|level| !is_first || !forbidden.contains(&level.0));
            let Some(&(column, _)) = free.max_by(|a, b| a.1.total_cmp(&b.1)) else { return };
            if is_first {
                forbidden.push(column);
                is_first = false;
            }
            fixed.push((column, 1));
        }
        let fixed: Packing =
            fixed.into_iter().map(|(column, times)| (generation.patterns[column].clone(), times)).collect();
        let now = generation.take(fixed, work);
        in_vain = if now.is_empty() { in_vain + 1 } else { 0 };
        if in_vain > MOST_IN_VAIN {
            return;
        }
        taken.extend(now);
        let rest = Rest { parts: generation.left.clone(), boards: generation.boards_left.clone() };
        if let Some(finish) = pricing.finish(rest, None) {
            best.offer(instance, taken.iter().cloned().chain(finish).collect());
        }
        if generation.left.iter().all(|&left| left == 0) {
            return;
        }
        generation.solve(pricing, i64::MAX, work);
        let lowest = cost(instance, &taken) as f64 + generation.master.plain_objective();
        if lowest > (best.cost - instance.step) as f64 + 1e-6 {
            return;
        }
    }
}
