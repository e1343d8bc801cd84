//! The best ways to fill one board, and all good ways: a bounded knapsack by dynamic programming and depth-first search.
//!
//! Parts are taken largest first. A table for each suffix of the parts holds the most that a room can be worth when only
//! those parts are left (parts of equal length in binary portions, so that every pass is a plain loop over the room). Where
//! the room has many units, sizes are counted in cells of several units, rounded down, and so is the room:
//! every real filling fits there too, so the tables bound from above, and the depth-first search, which knows the exact
//! sizes, prunes by them. With cells of one unit it never takes a wrong turn. One table serves every board.
//!
//! Values are whole numbers held in binary64, small enough for sums and comparisons to be exact (see `farley.rs`).
//!
//! Sources: the dynamic program is Gilmore and Gomory 1961, 1963 (from memory); suffix tables as bounds of a depth-first
//! search follow the usual branch and bound for knapsacks (Martello and Toth 1990, from memory).

use super::work::Work;

/// Up to so many units cells are single ones and the tables are exact.
const CELLS: i64 = 12_000;
/// The same for parts of few lengths, whose search is short anyway.
const CELLS_OF_FEW: i64 = 4_096;
/// Cells of a table that is not exact.
const COARSE: i64 = 2_048;
/// Lengths that are few.
const FEW: usize = 40;
/// Nodes of one search; beyond, the best so far counts, and the table as the bound.
const MOST_NODES: usize = 20_000_000;

/// One kind of part that is worth something.
#[derive(Clone, Copy, Debug)]
struct Choice {
    part: u32,
    size: i64,
    most: u32,
    value: f64,
}

/// Tables for one set of values.
#[derive(Default)]
pub(super) struct Knapsack {
    choices: Vec<Choice>,
    /// Units to a cell.
    cell: i64,
    /// Length of a table.
    width: usize,
    tables: Vec<f64>,
}

/// Which fillings are listed.
#[derive(Clone, Copy)]
pub(super) struct Asked {
    /// What they must be worth.
    pub least: f64,
    /// Only those to which no part can be added.
    pub full: bool,
    /// Most that are listed.
    pub most: usize,
}

/// A filling: what it is worth, and the parts with their numbers.
pub(super) type Filling = (f64, Vec<(u32, u32)>);

impl Knapsack {
    /// Works out the tables for rooms up to `capacity`. Parts worth no more than `above` are left out: nought leaves out
    /// what no best filling needs, and less than nought lists every part.
    pub(super) fn fill(
        &mut self,
        sizes: &[i64],
        most: &[u32],
        values: (&[f64], f64),
        capacity: i64,
        work: &mut Work,
    ) {
        let (values, above) = values;
        self.choices.clear();
        for (part, (&size, &most)) in sizes.iter().zip(most).enumerate() {
            let most = most.min(u32::try_from(capacity / size).unwrap_or(u32::MAX));
            if most > 0 && values[part] > above {
                self.choices.push(Choice { part: part as u32, size, most, value: values[part] });
            }
        }
        let exact = if self.choices.len() <= FEW { CELLS_OF_FEW } else { CELLS };
        self.cell = if capacity <= exact { 1 } else { 1 + (capacity - 1) / COARSE };
        self.width = (capacity / self.cell) as usize + 1;
        let length = (self.choices.len() + 1) * self.width;
        if self.tables.len() < length {
            self.tables.resize(length, 0.0);
        }
        self.tables[self.choices.len() * self.width..length].fill(0.0);
        for at in (0..self.choices.len()).rev() {
            work.spend(self.width * (1 + self.choices[at].most.ilog2() as usize) / 4);
            self.fill_one(at);
        }
    }

    /// The table of the parts from `at` on, from the one after it.
    fn fill_one(&mut self, at: usize) {
        let choice = self.choices[at];
        let (before, after) = self.tables.split_at_mut((at + 1) * self.width);
        let (own, next) = (&mut before[at * self.width..], &after[..self.width]);
        let cells = (choice.size / self.cell) as usize;
        pass(own, next, cells, choice.value);
        let (mut left, mut portion) = (choice.most - 1, 1);
        while left > 0 {
            portion = (2 * portion).min(left);
            pass_again(own, cells * portion as usize, choice.value * f64::from(portion));
            left -= portion;
        }
    }

    /// The most that a room can be worth by the tables: exact where cells are single units, else from above.
    pub(super) fn bound(&self, room: i64) -> f64 {
        self.bound_from(0, room)
    }

    /// The same for the kinds from `from` on.
    pub(super) fn bound_from(&self, from: usize, room: i64) -> f64 {
        self.tables[from * self.width + (room / self.cell) as usize]
    }

    /// How many kinds of part are worth something.
    pub(super) fn kinds(&self) -> usize {
        self.choices.len()
    }

    /// The best filling that uses only the kinds from `from` on and is worth more than `above`. The flag says whether the
    /// search was complete.
    pub(super) fn best(
        &self,
        from: usize,
        room: i64,
        above: f64,
        work: &mut Work,
    ) -> (Option<Filling>, bool) {
        // Exact tables know the best before it is found.
        let known = if self.cell == 1 { self.bound_from(from, room) - 1.0 } else { 0.0 };
        let above = above.max(known);
        let mut search = Search { knapsack: self, above, taken: Vec::new(), best: None, nodes: 0 };
        search.descend(from, room, 0.0);
        work.spend(8 * search.nodes);
        let complete = search.nodes < MOST_NODES;
        (search.best.map(|counts| (search.above, counts)), complete)
    }

    /// Every filling asked for, in a fixed order; `false` when there are too many, or the search is too long.
    pub(super) fn all(
        &self,
        room: i64,
        asked: Asked,
        found: &mut Vec<Vec<(u32, u32)>>,
        work: &mut Work,
    ) -> bool {
        let mut listing = Listing { knapsack: self, asked, taken: Vec::new(), found, nodes: 0 };
        let complete = listing.descend(0, room, 0.0);
        work.spend(8 * listing.nodes);
        complete
    }
}

/// `own[c]` = the better of `next[c]` and `next[c - cells] + value`.
fn pass(own: &mut [f64], next: &[f64], cells: usize, value: f64) {
    let cells = cells.min(own.len());
    own[..cells].copy_from_slice(&next[..cells]);
    for ((own, &without), &with) in own[cells..].iter_mut().zip(&next[cells..]).zip(next) {
        let with = with + value;
        *own = if with > without { with } else { without };
    }
}

/// The same in place, from the far end: in blocks as long as the step, so that none reads what it has written.
fn pass_again(own: &mut [f64], cells: usize, value: f64) {
    if cells == 0 {
        return own.iter_mut().for_each(|own| *own += value);
    }
    let mut end = own.len();
    while end > cells {
        let begin = end.saturating_sub(cells).max(cells);
        let (before, block) = own.split_at_mut(begin);
        for (own, &with) in block[..end - begin].iter_mut().zip(&before[begin - cells..]) {
            let with = with + value;
            *own = if with > *own { with } else { *own };
        }
        end = begin;
    }
}

/// Depth-first search for the best filling.
struct Search<'a> {
    knapsack: &'a Knapsack,
    above: f64,
    taken: Vec<(u32, u32)>,
    best: Option<Vec<(u32, u32)>>,
    nodes: usize,
}

impl Search<'_> {
    fn descend(&mut self, from: usize, room: i64, value: f64) {
        if value > self.above {
            self.above = value;
            self.best = Some(self.taken.clone());
        }
        for at in from..self.knapsack.choices.len() {
            self.nodes += 1;
            if value + self.knapsack.bound_from(at, room) <= self.above || self.nodes >= MOST_NODES {
                return;
            }
            let choice = self.knapsack.choices[at];
            let most = i64::from(choice.most).min(room / choice.size);
            for count in (1..=most).rev() {
                self.taken.push((choice.part, count as u32));
                self.descend(at + 1, room - count * choice.size, value + count as f64 * choice.value);
                self.taken.pop();
            }
        }
    }
}

/// Depth-first listing of all good fillings.
struct Listing<'a> {
    knapsack: &'a Knapsack,
    asked: Asked,
    taken: Vec<(u32, u32)>,
    found: &'a mut Vec<Vec<(u32, u32)>>,
    nodes: usize,
}

impl Listing<'_> {
    fn descend(&mut self, from: usize, room: i64, value: f64) -> bool {
        for at in from..self.knapsack.choices.len() {
            self.nodes += 1;
            if value + self.knapsack.bound_from(at, room) < self.asked.least {
                return true;
            }
            if self.nodes >= MOST_NODES {
                return false;
            }
            let choice = self.knapsack.choices[at];
            let most = i64::from(choice.most).min(room / choice.size);
            for count in (1..=most).rev() {
                self.taken.push((choice.part, count as u32));
                let goes_on =
                    self.descend(at + 1, room - count * choice.size, value + count as f64 * choice.value);
                self.taken.pop();
                if !goes_on {
                    return false;
                }
            }
        }
        if value >= self.asked.least && (!self.asked.full || self.is_full(room)) {
            self.found.push(self.taken.clone());
        }
        self.found.len() <= self.asked.most
    }

    /// Whether no part fits beside those taken. Smallest parts are asked first, as they decide it nearly always.
    fn is_full(&self, room: i64) -> bool {
        for choice in self.knapsack.choices.iter().rev() {
            if choice.size > room {
                return true;
            }
            let taken = self.taken.iter().find(|taken| taken.0 == choice.part).map_or(0, |taken| taken.1);
            if taken < choice.most {
                return false;
            }
        }
        true
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Worth of the best filling, by trying all.
    fn best(parts: &[(i64, u32, u32)], room: i64) -> f64 {
        let Some((&(size, most, value), rest)) = parts.split_first() else { return 0.0 };
        let counts = 0..=i64::from(most).min(room / size);
        counts.map(|n| n as f64 * f64::from(value) + best(rest, room - n * size)).fold(0.0, f64::max)
    }

    fn filled(parts: &[(i64, u32, u32)], capacity: i64, above: f64) -> Knapsack {
        let sizes: Vec<i64> = parts.iter().map(|part| part.0).collect();
        let most: Vec<u32> = parts.iter().map(|part| part.1).collect();
        let values: Vec<f64> = parts.iter().map(|part| f64::from(part.2)).collect();
        let go_on = &mut |_: &_| true;
        let mut knapsack = Knapsack::default();
        knapsack.fill(&sizes, &most, (&values, above), capacity, &mut Work::new(u64::MAX, go_on));
        knapsack
    }

    /// Parts of 5 and 3 in 11: 5 + 3 + 3 is full, 5 + 5 too (if nothing of 1 is there), 3 + 3 + 3 holds no 5 more.
    #[test]
    fn full_fillings_are_listed() {
        let knapsack = filled(&[(5, 2, 10), (3, 3, 6)], 11, -1.0);
        let go_on = &mut |_: &_| true;
        let mut found = Vec::new();
        let asked = Asked { least: 0.0, full: true, most: 99 };
        assert!(knapsack.all(11, asked, &mut found, &mut Work::new(u64::MAX, go_on)));
        assert_eq!(found, [vec![(0, 2)], vec![(0, 1), (1, 2)], vec![(1, 3)]]);
    }

    proptest! {
        /// With cells of one unit and of many, for every room, the best filling is found and never passes its bound.
        #[test]
        fn fillings_are_as_good_as_by_trying_all(
            parts in prop::collection::vec((1_i64..40, 1_u32..4, 0_u32..50), 1..6),
            coarse in any::<bool>(), room in 0_i64..80,
        ) {
            let mut parts = parts;
            let (factor, capacity) = if coarse { (997, 80_000) } else { (1, 80) };
            parts.iter_mut().enumerate().for_each(|(at, part)| part.0 = part.0 * factor + at as i64);
            let room = room * factor;
            let knapsack = filled(&parts, capacity, 0.0);
            let go_on = &mut |_: &_| true;
            let (found, complete) = knapsack.best(0, room, 0.0, &mut Work::new(u64::MAX, go_on));
            let wanted = best(&parts, room);
            prop_assert!(complete && knapsack.bound(room) >= wanted);
            prop_assert!(coarse || knapsack.bound(room) == wanted);
            let size: i64 = found.iter().flat_map(|own| &own.1).map(|&(at, n)| parts[at as usize].0 * i64::from(n)).sum();
            prop_assert!(size <= room);
            prop_assert_eq!(found.map_or(0.0, |own| own.0), wanted);
        }
    }
}
