//! An exhaustive model for up to eight parts: sets of parts, every way to divide them into boards, sections and strips.

use crate::stock::cutting::ripping::{Problem, Way};
use std::collections::BTreeMap;

/// Parts one by one as bits of a set.
type Set = usize;

/// The least cost, or nothing when the boards do not suffice.
pub(super) fn least_cost(problem: &Problem) -> Option<i64> {
    let parts: Vec<usize> = (0..problem.parts.len())
        .flat_map(|part| std::iter::repeat_n(part, problem.parts[part].demand))
        .collect();
    assert!(parts.len() <= 10, "too many parts to try all");
    let model = Model { problem, parts };
    let all = (1 << model.parts.len()) - 1;
    let fits: Vec<Vec<bool>> = (0..problem.boards.len()).map(|board| model.fits(board)).collect();
    let number = |left: Option<usize>| left.unwrap_or(all).min(model.parts.len());
    let left = problem.boards.iter().map(|board| number(board.available)).collect();
    model.least(all, left, &fits, &mut BTreeMap::new())
}

struct Model<'a> {
    problem: &'a Problem,
    parts: Vec<usize>,
}

impl Model<'_> {
    fn least(
        &self,
        set: Set,
        left: Vec<usize>,
        fits: &[Vec<bool>],
        known: &mut BTreeMap<(Set, Vec<usize>), Option<i64>>,
    ) -> Option<i64> {
        if set == 0 {
            return Some(0);
        }
        if let Some(&known) = known.get(&(set, left.clone())) {
            return known;
        }
        let mut least: Option<i64> = None;
        for board in (0..left.len()).filter(|&board| left[board] > 0) {
            let mut fewer = left.clone();
            fewer[board] -= usize::from(self.problem.boards[board].available.is_some());
            for own in subsets(set).filter(|&own| fits[board][own]) {
                let rest = self.least(set & !own, fewer.clone(), fits, known);
                least =
                    least.into_iter().chain(rest.map(|rest| rest + self.problem.boards[board].cost)).min();
            }
        }
        known.insert((set, left), least);
        least
    }

    /// Which sets a board holds.
    fn fits(&self, board: usize) -> Vec<bool> {
        let all = 1 << self.parts.len();
        let mut lengths: Vec<Option<i64>> = vec![None; all];
        for set in 1..all {
            for section in subsets(set) {
                let own = self.section(section, board);
                let rest = set & !section;
                let total = match (own, rest) {
                    (Some(own), 0) => Some(own),
                    (Some(own), rest) => {
                        lengths[rest].map(|others| own + self.problem.crosscut_kerf + others)
                    }
                    (None, _) => None,
                };
                lengths[set] = lengths[set].into_iter().chain(total).min();
            }
        }
        let usable = self.problem.usable(&self.problem.boards[board]);
        lengths.into_iter().map(|length| length.is_some_and(|length| length <= usable)).collect()
    }

    /// Least length of one section with all of these.
    fn section(&self, set: Set, board: usize) -> Option<i64> {
        let own = &self.problem.boards[board];
        let first = &self.problem.parts[self.parts[set.trailing_zeros() as usize]];
        let way = self
            .problem
            .way(first, &crate::stock::cutting::ripping::Board { length: i64::MAX / 2, ..*own })?;
        if way == Way::Whole {
            return (set.count_ones() == 1).then_some(first.length);
        }
        self.strips(set, board, own.width - self.problem.edge_allowance)
    }

    /// Least length of strips abreast with all of these.
    fn strips(&self, set: Set, board: usize, across: i64) -> Option<i64> {
        if set == 0 {
            return Some(0);
        }
        let width = self.problem.parts[self.parts[set.trailing_zeros() as usize]].width;
        let mut least: Option<i64> = None;
        for strip in subsets(set) {
            let members = (0..self.parts.len())
                .filter(|&at| strip & (1 << at) != 0)
                .map(|at| &self.problem.parts[self.parts[at]]);
            let comes = |part: &crate::stock::cutting::ripping::Part| {
                let endless = crate::stock::cutting::ripping::Board {
                    length: i64::MAX / 2,
                    ..self.problem.boards[board]
                };
                part.width == width && self.problem.way(part, &endless) == Some(Way::Strip)
            };
            if width > across || !members.clone().all(comes) {
                continue;
            }
            let length = members.map(|part| part.length + self.problem.crosscut_kerf).sum::<i64>()
                - self.problem.crosscut_kerf;
            let others = self.strips(set & !strip, board, across - width - self.problem.rip_kerf);
            least = least.into_iter().chain(others.map(|others| others.max(length))).min();
        }
        least
    }
}

/// The subsets of a set that hold its first member.
fn subsets(set: Set) -> impl Iterator<Item = Set> {
    let first = set & set.wrapping_neg();
    let others = set & !first;
    let mut next = Some(others);
    std::iter::from_fn(move || {
        let own = next?;
        next = (own > 0).then(|| (own - 1) & others);
        Some(own | first)
    })
}
