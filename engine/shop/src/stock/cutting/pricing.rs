//! Pricing: which patterns are worth more than their board costs, given what each part is worth.
//!
//! The master problem, the bound and the dives know patterns only through [`Pricing`]; another kind of pattern (a board
//! ripped into strips, nests of curved parts) is another implementation.

use super::enumeration::enumerate;
use super::farley::Worths;
use super::greedy::{Rest, greedy};
use super::instance::Instance;
use super::knapsack::Knapsack;
use super::pattern::{Packing, Pattern};
use super::work::Work;

/// What pricing finds.
#[derive(Default)]
pub(super) struct Priced {
    /// Patterns worth more than is allowed on their boards, the best of each board first.
    pub patterns: Vec<Pattern>,
    /// For each board the most that a pattern can be worth, or more where that was not needed: never less.
    pub best: Vec<f64>,
}

/// What to price.
#[derive(Clone, Copy)]
pub(super) struct Prices<'a> {
    /// Worth of each part: whole numbers, not negative.
    pub worth: &'a [f64],
    /// How many of each part a pattern may hold.
    pub most: &'a [u32],
    /// What a pattern on each board must be worth more than, to be of use.
    pub allowed: &'a [f64],
}

/// Finds patterns that are worth more than they cost.
pub(super) trait Pricing {
    /// The best patterns, and what no pattern passes.
    fn price(&mut self, prices: Prices, work: &mut Work) -> Priced;

    /// As many of one part as a board holds, up to `most`; nothing when it holds none.
    fn single(&mut self, board: usize, part: u32, most: u32) -> Option<Pattern>;

    /// A quick plan for what is left, if one is found. `worth` says which parts to make first; `None` stands for their sizes.
    fn finish(&mut self, rest: Rest, worth: Option<&[f64]>) -> Option<Packing>;

    /// What no pattern on each board passes by these worths, as far as a checker can go over it: `best`, or more where a search
    /// found less than it can show.
    fn sure(&mut self, _worth: &[f64], best: Vec<f64>, _work: &mut Work) -> Vec<f64> {
        best
    }

    /// All patterns that a plan of cost `below` or less could use, by worths that prove a bound: those to which no part can be
    /// added, in a defined order. Nothing when there are more than `most`, or steps run out.
    fn list(&mut self, worths: &Worths, below: i64, most: usize, work: &mut Work) -> Option<Vec<Pattern>>;
}

/// Patterns returned in one round, for one board.
pub(super) const PATTERNS_A_ROUND: usize = 12;

/// Pricing of patterns that are parts in a row.
pub(super) struct InARow<'a> {
    instance: &'a Instance,
    knapsack: Knapsack,
}

impl<'a> InARow<'a> {
    pub(super) fn new(instance: &'a Instance) -> Self {
        InARow { instance, knapsack: Knapsack::default() }
    }
}

impl Pricing for InARow<'_> {
    fn price(&mut self, prices: Prices, work: &mut Work) -> Priced {
        let sizes = &self.instance.sizes;
        self.knapsack.fill(sizes, prices.most, (prices.worth, 0.0), self.instance.capacity(), work);
        let mut priced = Priced::default();
        let each = (PATTERNS_A_ROUND / self.instance.boards.len()).max(2);
        for (board, own) in self.instance.boards.iter().enumerate() {
            let found = self.best_of(own.capacity, prices.allowed[board], each, &mut priced.best, work);
            priced.patterns.extend(found.into_iter().map(|counts| Pattern { board, counts }));
        }
        priced
    }

    fn single(&mut self, board: usize, part: u32, most: u32) -> Option<Pattern> {
        let count = (self.instance.boards[board].capacity / self.instance.sizes[part as usize])
            .min(i64::from(most)) as u32;
        (count > 0).then(|| Pattern { board, counts: vec![(part, count)] })
    }

    fn finish(&mut self, rest: Rest, worth: Option<&[f64]>) -> Option<Packing> {
        greedy(self.instance, rest, worth)
    }

    fn list(&mut self, worths: &Worths, below: i64, most: usize, work: &mut Work) -> Option<Vec<Pattern>> {
        enumerate(self.instance, worths, below, most, work)
    }
}

impl InARow<'_> {
    /// The best patterns of a room: the best of all, then the best without the largest parts, and so on. Adds what no
    /// pattern passes to `best`.
    fn best_of(
        &self,
        room: i64,
        allowed: f64,
        wanted: usize,
        best: &mut Vec<f64>,
        work: &mut Work,
    ) -> Vec<Vec<(u32, u32)>> {
        let bound = self.knapsack.bound(room);
        let mut found: Vec<Vec<(u32, u32)>> = Vec::new();
        if bound <= allowed {
            best.push(bound);
            return found;
        }
        let (first, complete) = self.knapsack.best(0, room, allowed, work);
        let most = first.as_ref().map_or(allowed, |first| first.0);
        best.push(if complete { most } else { bound });
        let mut last = f64::INFINITY;
        for from in 0..self.knapsack.kinds() {
            let limit = self.knapsack.bound_from(from, room);
            if limit <= allowed || found.len() >= wanted {
                break;
            }
            // The same as without the part before: the same pattern.
            if limit < last || from == 0 {
                let filling =
                    if from == 0 { first.clone() } else { self.knapsack.best(from, room, allowed, work).0 };
                found.extend(filling.map(|filling| filling.1).filter(|counts| !found.contains(counts)));
            }
            last = limit;
        }
        found
    }
}
