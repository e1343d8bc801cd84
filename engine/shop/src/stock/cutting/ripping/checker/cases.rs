//! Goes over a division into cases: lists all that a board of a cheaper plan could hold, by its own means, and holds every
//! case against that.
//!
//! Whether a board holds certain parts is told by the least length that they take: the first of them lies in some section,
//! with some of the others; in that section it lies in some strip, with some of its width.

use super::worth::Shown;
use super::{Flaw, way};
use crate::stock::cutting::Cases;
use crate::stock::cutting::checker::cases::{Kind, Pattern, Sizes, sum_at_least, walk};
use crate::stock::cutting::ripping::{Problem, Way};
use std::collections::BTreeMap;

/// Looks and listings until the list is given up (project choice: a second or two).
const MOST_STEPS: usize = 5_000_000;
/// Looks at one question until it is left open (project choice).
const MOST_LOOKS: usize = 20_000;

pub(super) fn check(problem: &Problem, shown: &Shown, cases: &Cases, bound: i64) -> Result<(), Flaw> {
    if sum_at_least(&shown.boards, i128::from(cases.below) + 1) < i128::from(bound) {
        return Err(Flaw::Certificate("the cases are closed for cheaper plans only"));
    }
    let kinds = &shown.boards;
    let lacking = i128::from(cases.below) * i128::from(shown.scale) - shown.bound;
    let mut listing = Listing {
        problem,
        shown,
        kinds,
        widths: BTreeMap::new(),
        found: Vec::new(),
        steps: 0,
        looks: 0,
        is_open: false,
    };
    for kind in 0..kinds.len() {
        listing.list(kind, lacking).ok_or(Flaw::TooManyToList)?;
    }
    let (patterns, is_open) = (listing.found, listing.is_open);
    let sizes = Sizes {
        sizes: shown.wanted.kinds.iter().map(|kind| kind.size).collect(),
        demands: shown.wanted.kinds.iter().map(|kind| kind.demand).collect(),
        worth: shown.worth.clone(),
        kinds: kinds.clone(),
        scale: shown.scale,
    };
    // What is only listed because it may be held may be what leaves a case open.
    let flaw = if is_open { Flaw::TooManyToList } else { Flaw::Certificate("a case is not closed") };
    walk(&sizes, &patterns, cases).map_err(|_| flaw)
}

/// How many of each kind.
type Counts = Vec<u32>;

/// Least lengths for boards of one width.
#[derive(Default)]
struct Width {
    /// Of whole boards' content.
    along: BTreeMap<Counts, i64>,
    /// Of one section, by content and the room left across.
    section: BTreeMap<(Counts, i64), Option<i64>>,
}

struct Listing<'a> {
    problem: &'a Problem,
    shown: &'a Shown,
    kinds: &'a [Kind],
    widths: BTreeMap<i64, Width>,
    found: Vec<Pattern>,
    steps: usize,
    /// Looks at the present question.
    looks: usize,
    /// Whether some question was left open: what may be held is listed.
    is_open: bool,
}

/// Whether a board holds something.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Held {
    Yes,
    No,
    Open,
}

impl Listing<'_> {
    /// Adds what a kind of board can hold; nothing when there is too much of it.
    fn list(&mut self, kind: usize, lacking: i128) -> Option<()> {
        let own = &self.kinds[kind];
        let cost = i128::from(own.cost) * i128::from(self.shown.scale);
        let best = i128::from(self.shown.best[kind]);
        let allowed = if own.available.is_some() { cost.max(best) } else { cost };
        self.descend(kind, 0, &mut vec![0; self.shown.wanted.kinds.len()], allowed - lacking)
    }

    fn descend(&mut self, kind: usize, at: usize, counts: &mut Counts, least: i128) -> Option<()> {
        self.steps += 1;
        if self.steps > MOST_STEPS {
            return None;
        }
        if self.at_most(kind, at, counts) < least {
            return Some(());
        }
        if at == counts.len() {
            return self.take(kind, counts);
        }
        let demand = self.shown.wanted.kinds[at].demand;
        let mut listed = Some(());
        while listed.is_some() {
            listed = self.descend(kind, at + 1, counts, least);
            if listed.is_none() || i64::from(counts[at]) == demand {
                break;
            }
            counts[at] += 1;
            if self.holds(kind, counts) == Held::No {
                break;
            }
        }
        counts[at] = 0;
        listed
    }

    /// What can be added by the kinds from one on: those worth most for their area first.
    fn at_most(&self, kind: usize, from: usize, counts: &[u32]) -> i128 {
        let board = &self.problem.boards[self.kinds[kind].stock];
        let across = i128::from(board.width - self.problem.edge_allowance + self.problem.rip_kerf);
        let mut left = across * i128::from(self.kinds[kind].room);
        let (mut sum, mut open) = (0_i128, Vec::new());
        for (at, own) in self.shown.wanted.kinds.iter().enumerate() {
            let area = match way(self.problem, own.part, self.kinds[kind].stock) {
                Some(Way::Whole) => across * i128::from(own.size),
                Some(Way::Strip) => i128::from(own.need) * i128::from(own.size),
                None => continue,
            };
            let worth = i128::from(self.shown.worth[at]);
            left -= area * i128::from(counts[at]);
            sum += worth * i128::from(counts[at]);
            if at >= from {
                open.push((worth, area, i128::from(own.demand)));
            }
        }
        open.sort_by(|a, b| (b.0 * a.1).cmp(&(a.0 * b.1)));
        for (worth, area, demand) in open {
            let whole = demand.min(left / area);
            sum += worth * whole;
            left -= area * whole;
            if whole < demand {
                return sum + worth * left / area + 1;
            }
        }
        sum
    }

    /// Takes what no part can be added to and no cheaper board without limit holds.
    fn take(&mut self, kind: usize, counts: &mut Counts) -> Option<()> {
        if counts.iter().all(|&count| count == 0) {
            return Some(());
        }
        for at in 0..counts.len() {
            if i64::from(counts[at]) < self.shown.wanted.kinds[at].demand {
                counts[at] += 1;
                let holds = self.holds(kind, counts);
                counts[at] -= 1;
                if holds == Held::Yes {
                    return Some(());
                }
            }
        }
        for other in 0..self.kinds.len() {
            let is_cheaper =
                self.kinds[other].available.is_none() && self.kinds[other].cost < self.kinds[kind].cost;
            if is_cheaper && self.holds(other, counts) == Held::Yes {
                return Some(());
            }
        }
        let held =
            counts.iter().enumerate().filter(|own| *own.1 > 0).map(|(at, &count)| (at, count)).collect();
        self.found.push(Pattern { kind, counts: held });
        Some(())
    }

    /// Whether a kind of board holds that.
    fn holds(&mut self, kind: usize, counts: &[u32]) -> Held {
        let (stock, room) = (self.kinds[kind].stock, self.kinds[kind].room);
        let (mut length, mut narrow) = (0, counts.to_vec());
        for (at, own) in self.shown.wanted.kinds.iter().enumerate().filter(|own| counts[own.0] > 0) {
            match way(self.problem, own.part, stock) {
                Some(Way::Whole) => length += own.size * i64::from(std::mem::take(&mut narrow[at])),
                Some(Way::Strip) => {}
                None => return Held::No,
            }
        }
        let board = &self.problem.boards[stock];
        let across = board.width - self.problem.edge_allowance + self.problem.rip_kerf;
        let area: i128 = (0..narrow.len())
            .map(|at| (i128::from(narrow[at]), &self.shown.wanted.kinds[at]))
            .map(|(count, own)| count * i128::from(own.size) * i128::from(own.need))
            .sum();
        if length > room || area > i128::from(across) * i128::from(room - length) {
            return Held::No;
        }
        let mut width = self.widths.remove(&across).unwrap_or_default();
        self.looks = 0;
        let least = self.least_along(&narrow, across, &mut width);
        self.widths.insert(across, width);
        match least {
            Some(least) if least <= room - length => Held::Yes,
            Some(_) => Held::No,
            None => {
                self.is_open = true;
                Held::Open
            }
        }
    }

    /// Counts a look; nothing when there were too many.
    fn look(&mut self) -> Option<()> {
        self.steps += 1;
        self.looks += 1;
        (self.looks <= MOST_LOOKS && self.steps <= MOST_STEPS).then_some(())
    }

    /// Least length of sections that hold all of it.
    fn least_along(&mut self, counts: &Counts, across: i64, width: &mut Width) -> Option<i64> {
        let Some(first) = counts.iter().position(|&count| count > 0) else { return Some(0) };
        if let Some(&known) = width.along.get(counts) {
            return Some(known);
        }
        let mut least = i64::MAX;
        let mut held = vec![0; counts.len()];
        held[first] = 1;
        loop {
            self.look()?;
            if let Some(own) = self.least_section(&held, across, width)? {
                let rest: Counts = counts.iter().zip(&held).map(|(all, held)| all - held).collect();
                least = least.min(self.least_along(&rest, across, width)?.saturating_add(own));
            }
            if !advance(&mut held, counts, first) {
                break;
            }
        }
        width.along.insert(counts.clone(), least);
        Some(least)
    }

    /// Least length of one section that holds all of it, if any does; nothing (outside) when given up.
    fn least_section(&mut self, counts: &Counts, across: i64, width: &mut Width) -> Option<Option<i64>> {
        let Some(first) = counts.iter().position(|&count| count > 0) else { return Some(Some(0)) };
        let need = self.shown.wanted.kinds[first].need;
        if need > across {
            return Some(None);
        }
        let key = (counts.clone(), across);
        if let Some(&known) = width.section.get(&key) {
            return Some(known);
        }
        let same_width =
            |(at, &count): (usize, &u32)| if self.shown.wanted.kinds[at].need == need { count } else { 0 };
        let most: Counts = counts.iter().enumerate().map(same_width).collect();
        let mut least: Option<i64> = None;
        let mut held = vec![0; counts.len()];
        held[first] = 1;
        loop {
            self.look()?;
            let kinds = self.shown.wanted.kinds.iter();
            let length: i64 = kinds.zip(&held).map(|(kind, &held)| kind.size * i64::from(held)).sum();
            if least.is_none_or(|least| length < least) {
                let rest: Counts = counts.iter().zip(&held).map(|(all, held)| all - held).collect();
                let others = self.least_section(&rest, across - need, width)?;
                least = least.into_iter().chain(others.map(|own| own.max(length))).min();
            }
            if !advance(&mut held, &most, first) {
                break;
            }
        }
        width.section.insert(key, least);
        Some(least)
    }
}

/// The next choice out of `most`, with one of the first at the least; `false` after the last.
fn advance(held: &mut Counts, most: &Counts, first: usize) -> bool {
    for at in first..held.len() {
        if held[at] < most[at] {
            held[at] += 1;
            return true;
        }
        held[at] = u32::from(at == first);
    }
    false
}
