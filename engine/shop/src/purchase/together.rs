//! The cheapest plan over all rows that save something, where pieces only lie one behind the other along the board.

use super::cheapest::{Asked, stock};
use super::nests::{Group, Rows, Shop};
use crate::stock::cutting::{Limits, parted};
use crate::stock::nesting::Bundle;
use slatwork_base::Length;
use std::collections::BTreeMap;

/// What such a plan costs, and which rows it holds.
pub(super) struct Found {
    /// Cost of its boards.
    pub(super) cost: i64,
    /// No plan costs less.
    pub(super) bound: i64,
    /// Its rows.
    pub(super) rows: Rows,
}

/// A row that may be cut.
struct Choice {
    group: usize,
    row: Bundle,
    /// Length to cut for it; none where it saves nothing as it was found.
    length: Option<Length>,
    /// No row of these parts is cut from less.
    least: Length,
}

/// The plan; nothing where pieces lie abreast, where there are more rows than are looked at, or boards do not suffice.
pub(super) fn plan(groups: &[Group], asked: &Asked, shop: Shop) -> Option<Found> {
    if !asked.lie_in_a_row() || asked.boards.iter().any(|board| board.choice.is_some()) {
        return None;
    }
    let mut choices = Vec::new();
    for (at, group) in groups.iter().enumerate() {
        let choice = |(row, least): (Bundle, Length)| Choice {
            group: at,
            length: group.length_of(&row, shop),
            least: shop.length_for(least),
            row,
        };
        choices.extend(group.table.rows()?.into_iter().map(choice));
    }
    let wanted = Wanted::of(groups, asked);
    let (problem, rows) = wanted.problem(&choices, asked, |choice| choice.length);
    let limits = Limits { steps: asked.steps, ..Limits::default() };
    let answer = parted::solve(&problem, limits).ok().filter(|answer| answer.missing.is_empty())?;
    let mut found = Found { cost: answer.cost, bound: answer.bound, rows: vec![Vec::new(); groups.len()] };
    if choices.iter().any(|choice| choice.length != Some(choice.least)) {
        // Rows that are not known to be the shortest may be shorter.
        let (shortest, _) = wanted.problem(&choices, asked, |choice| Some(choice.least));
        found.bound = parted::solve(&shortest, limits).ok()?.bound;
    }
    for layout in &answer.layouts {
        for &(cut, count) in &layout.cuts {
            if let Some(&choice) = cut.checked_sub(wanted.kinds.len()).and_then(|at| rows.get(at)) {
                let own = std::iter::repeat_n(&choices[choice].row, count * layout.times);
                found.rows[choices[choice].group].extend(own.cloned());
            }
        }
    }
    Some(found)
}

/// The pieces by what they are to a row: curved ones by outline, all others by length.
struct Wanted {
    /// Length of each kind, and how many are wanted.
    kinds: Vec<(Length, usize)>,
    /// The first kind of each group.
    firsts: Vec<usize>,
}

impl Wanted {
    fn of(groups: &[Group], asked: &Asked) -> Self {
        let (mut kinds, mut firsts) = (Vec::new(), Vec::new());
        let mut is_curved = vec![false; asked.pieces.len()];
        for group in groups {
            firsts.push(kinds.len());
            for pieces in &group.kinds {
                pieces.iter().for_each(|own| is_curved[own.0] = true);
                let length = pieces.first().map_or(Length::ZERO, |own| asked.pieces[own.0].length);
                kinds.push((length, pieces.len()));
            }
        }
        let mut others: BTreeMap<Length, usize> = BTreeMap::new();
        let plain = asked.pieces.iter().zip(&is_curved).filter(|own| !own.1);
        plain.for_each(|(piece, _)| *others.entry(piece.length).or_default() += 1);
        kinds.extend(others.into_iter().rev());
        Wanted { kinds, firsts }
    }

    /// A length for each kind by itself, then for each row that has one; and which rows these are.
    fn problem(
        &self,
        choices: &[Choice],
        asked: &Asked,
        length: impl Fn(&Choice) -> Option<Length>,
    ) -> (parted::Problem, Vec<usize>) {
        let alone = self.kinds.iter().enumerate();
        let mut cuts: Vec<parted::Cut> =
            alone.map(|(part, own)| parted::Cut { length: own.0.as_nm(), parts: vec![(part, 1)] }).collect();
        let mut rows = Vec::new();
        for (at, choice) in choices.iter().enumerate() {
            let Some(length) = length(choice) else { continue };
            let counts = choice.row.counts.iter().enumerate().filter(|own| *own.1 > 0);
            let first = self.firsts[choice.group];
            let parts = counts.map(|(kind, &count)| (first + kind, count)).collect();
            cuts.push(parted::Cut { length: length.as_nm(), parts });
            rows.push(at);
        }
        let problem = parted::Problem {
            stocks: asked.boards.iter().map(stock).collect(),
            demands: self.kinds.iter().map(|own| own.1).collect(),
            cuts,
            kerf: asked.saw.kerf.as_nm(),
            trim: asked.trim(),
        };
        (problem, rows)
    }
}
