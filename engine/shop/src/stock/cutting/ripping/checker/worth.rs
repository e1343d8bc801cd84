//! What multipliers show: the most that each board can be worth, worked out anew.
//!
//! Another way than the solver's: for each length that some strip can have the best strips abreast, by a search over how many
//! of each width; then lengths along the board are reached one after the other from the front end.

use super::{Alike, Flaw, measure, way};
use crate::stock::cutting::checker::cases::{Kind, sum_at_least};
use crate::stock::cutting::checker::tallies::{Cut, Tally};
use crate::stock::cutting::ripping::{Problem, Tallies, Way, Worths};
use std::collections::BTreeMap;

/// Parts wanted that are alike.
#[derive(Clone, Debug)]
pub(super) struct Parts {
    /// The first of them.
    pub part: usize,
    /// Length with a crosscut kerf, in units.
    pub size: i64,
    /// Width with a rip kerf.
    pub need: i64,
    pub demand: i64,
}

/// What is wanted, in units.
#[derive(Clone, Debug)]
pub(super) struct Wanted {
    /// Longest first, then widest.
    pub kinds: Vec<Parts>,
    unit: i64,
}

impl Wanted {
    fn of(problem: &Problem) -> Wanted {
        let mut alike: BTreeMap<Alike, (usize, i64)> = BTreeMap::new();
        for (at, part) in problem.parts.iter().enumerate().filter(|own| own.1.demand > 0) {
            alike
                .entry((-part.length, -part.width, part.narrowest_board, part.widest_board, part.flaws))
                .or_insert((at, 0))
                .1 += part.demand as i64;
        }
        let unit = alike.keys().fold(0, |unit, key| measure(unit, problem.crosscut_kerf - key.0)).max(1);
        let kind = |(key, own): (&Alike, &(usize, i64))| Parts {
            part: own.0,
            size: (problem.crosscut_kerf - key.0) / unit,
            need: problem.rip_kerf - key.1,
            demand: own.1,
        };
        Wanted { kinds: alike.iter().map(kind).collect(), unit }
    }

    fn count(&self) -> i64 {
        self.kinds.iter().map(|kind| kind.demand).sum()
    }

    /// Room along a board.
    pub(super) fn room(&self, problem: &Problem, board: usize) -> i64 {
        (problem.usable(&problem.boards[board]) + problem.crosscut_kerf).div_euclid(self.unit)
    }
}

/// A bound with what it rests on.
#[derive(Clone, Debug)]
pub(super) struct Shown {
    pub wanted: Wanted,
    /// Boards that matter, alike ones together.
    pub boards: Vec<Kind>,
    /// Worth of each kind, shrunk.
    pub worth: Vec<i64>,
    /// What none of these boards passes with no more than is wanted, shrunk.
    pub best: Vec<i64>,
    /// In `scale`ths.
    pub bound: i128,
    pub scale: i64,
}

impl Shown {
    pub(super) fn by(problem: &Problem, worths: &Worths) -> Result<Shown, Flaw> {
        let wanted = Wanted::of(problem);
        if !is_sound(problem, worths) {
            return Err(Flaw::Certificate("scale or multipliers make no sense"));
        }
        let worth: Vec<i64> = wanted.kinds.iter().map(|kind| worths.worth[kind.part]).collect();
        let boards = boards(problem, &wanted);
        let best: Vec<i64> =
            boards.iter().map(|board| most_worth(problem, &wanted, worths, board.stock)).collect();
        let (shrunk, from) = ratio(&boards, &best, worths.scale);
        let shrink = |&value: &i64| i64::try_from(i128::from(value) * shrunk / from).unwrap_or(i64::MAX);
        let worth: Vec<i64> = worth.iter().map(shrink).collect();
        let best: Vec<i64> = best.iter().map(shrink).collect();
        let parts = wanted.kinds.iter().zip(&worth);
        let mut bound: i128 = parts.map(|(kind, &worth)| i128::from(kind.demand) * i128::from(worth)).sum();
        for (board, &best) in boards.iter().zip(&best) {
            let gain = i128::from(best) - i128::from(board.cost) * i128::from(worths.scale);
            bound -= gain.max(0) * i128::from(board.available.unwrap_or(0).min(wanted.count()));
        }
        Ok(Shown { boards, wanted, worth, best, bound, scale: worths.scale })
    }

    /// What several multipliers say about numbers of boards.
    pub(super) fn check_tallies(problem: &Problem, own: &Tallies, bound: i64) -> Result<(), Flaw> {
        let wanted = Wanted::of(problem);
        let kinds = boards(problem, &wanted);
        if sum_at_least(&kinds, i128::from(own.below) + 1) < i128::from(bound) {
            return Err(Flaw::Certificate("the cases are closed for cheaper plans only"));
        }
        let scale = own.cuts.first().map_or(0, |cut| cut.scale);
        if own.cuts.iter().any(|cut| !is_sound(problem, cut) || cut.scale != scale) {
            return Err(Flaw::Certificate("scale or multipliers make no sense"));
        }
        let cut = |worths: &Worths| {
            let asked = |kind: &Parts| i128::from(worths.worth[kind.part]) * i128::from(kind.demand);
            let held = |board: &Kind| i128::from(most_worth(problem, &wanted, worths, board.stock));
            Cut { held: kinds.iter().map(held).collect(), asked: wanted.kinds.iter().map(asked).sum() }
        };
        let cuts: Vec<Cut> = own.cuts.iter().map(cut).collect();
        let (parts, below, wanted) = (own.parts, own.below, wanted.count());
        let tally = Tally { kinds: &kinds, cuts: &cuts, scale, parts, below, wanted };
        tally.check(&own.tree).map_err(|_| Flaw::Certificate("a case of numbers of boards is not closed"))
    }

    /// The least cost that boards can add up to and that is not below the bound.
    pub(super) fn least_cost(&self) -> i128 {
        let scale = i128::from(self.scale);
        sum_at_least(&self.boards, (self.bound + scale - 1).div_euclid(scale))
    }
}

/// Boards that give a part and that another without limit does not beat, alike ones of limited number together.
fn boards(problem: &Problem, wanted: &Wanted) -> Vec<Kind> {
    let mut kinds: Vec<Kind> = Vec::new();
    for (stock, own) in problem.boards.iter().enumerate() {
        let room = wanted.room(problem, stock);
        let available = own.available.map(|available| available.min(problem.part_count()) as i64);
        let gives = wanted.kinds.iter().any(|kind| way(problem, kind.part, stock).is_some());
        let alike = |kind: &&mut Kind| {
            let other = &problem.boards[kind.stock];
            let same = (other.width, other.flaws) == (own.width, own.flaws)
                && kind.room == room
                && kind.cost == own.cost;
            same && kind.available.is_some() == available.is_some()
        };
        if available == Some(0) || !gives {
            continue;
        }
        match (kinds.iter_mut().find(alike), available) {
            (Some(kind), Some(more)) => kind.available = kind.available.map(|now| now + more),
            (Some(_), None) => {}
            (None, _) => kinds.push(Kind { stock, room, cost: own.cost, available }),
        }
    }
    let beaten = |kind: &Kind| {
        kinds.iter().any(|other| {
            let is_more = other.room > kind.room || other.cost < kind.cost || kind.available.is_some();
            let does =
                other.available.is_none() && other.room >= kind.room && other.cost <= kind.cost && is_more;
            let (other, own) = (&problem.boards[other.stock], &problem.boards[kind.stock]);
            does && (other.width, other.flaws) == (own.width, own.flaws)
        })
    };
    kinds.iter().filter(|kind| !beaten(kind)).cloned().collect()
}

/// Nothing is negative, nothing is eased beyond its worth, sums can be counted.
fn is_sound(problem: &Problem, worths: &Worths) -> bool {
    let parts = problem.parts.len();
    let shapes = worths.worth.len() == parts
        && worths.relief.len() == problem.boards.len()
        && worths.relief.iter().all(|relief| relief.len() == parts);
    shapes
        && worths.scale > 0
        && worths.worth.iter().all(|&worth| (0..1 << 53).contains(&worth))
        && worths
            .relief
            .iter()
            .all(|relief| relief.iter().zip(&worths.worth).all(|(own, worth)| (0..=*worth).contains(own)))
}

/// The least ratio of cost to worth among boards without limit, or one.
fn ratio(boards: &[Kind], best: &[i64], scale: i64) -> (i128, i128) {
    let (mut shrunk, mut from) = (1, 1);
    for (board, &best) in boards.iter().zip(best).filter(|own| own.0.available.is_none()) {
        let (cost, best) = (i128::from(board.cost) * i128::from(scale), i128::from(best));
        if best > cost && best * shrunk > cost * from {
            (shrunk, from) = (cost, best);
        }
    }
    (shrunk, from)
}

/// What no board passes that holds no more than is wanted.
fn most_worth(problem: &Problem, wanted: &Wanted, worths: &Worths, board: usize) -> i64 {
    let room = wanted.room(problem, board);
    // By need: one strip, and what all parts of that width are worth.
    let mut lanes: BTreeMap<i64, (Reached, i64)> = BTreeMap::new();
    let mut whole = Reached::start();
    let mut eased = 0;
    for kind in &wanted.kinds {
        let relief = worths.relief[board][kind.part];
        eased += relief * kind.demand;
        let worth = worths.worth[kind.part] - relief;
        match way(problem, kind.part, board) {
            Some(Way::Whole) => whole.put_in(kind.size, worth, kind.demand, room),
            Some(Way::Strip) => {
                let lane = lanes.entry(kind.need).or_insert_with(|| (Reached::start(), 0));
                lane.0.put_in(kind.size, worth, kind.demand, room);
                lane.1 += worth * kind.demand;
            }
            None => {}
        }
    }
    let across = problem.boards[board].width - problem.edge_allowance + problem.rip_kerf;
    let sections = sections(&lanes, across);
    along(&sections, &whole, room) + eased
}

/// Lengths that can be reached and the most that each is worth; none is worth less than a shorter one.
#[derive(Clone, Debug)]
struct Reached(BTreeMap<i64, i64>);

impl Reached {
    fn start() -> Reached {
        Reached(BTreeMap::from([(0, 0)]))
    }

    /// Up to `demand` parts more.
    fn put_in(&mut self, size: i64, worth: i64, demand: i64, room: i64) {
        let fitting = if worth > 0 { demand.min(room / size) } else { 0 };
        let before: Vec<(i64, i64)> = self.0.iter().map(|(&at, &own)| (at, own)).collect();
        for (at, own) in before {
            for count in 1..=fitting.min((room - at) / size) {
                let reached = self.0.entry(at + count * size).or_insert(0);
                *reached = (*reached).max(own + count * worth);
            }
        }
        let mut most = -1;
        self.0.retain(|_, own| {
            let is_more = *own > most;
            most = most.max(*own);
            is_more
        });
    }

    fn best(&self, room: i64) -> i64 {
        self.0.range(..=room).next_back().map_or(0, |own| *own.1)
    }
}

/// Length and worth of each section that pays, shortest first.
fn sections(lanes: &BTreeMap<i64, (Reached, i64)>, across: i64) -> Vec<(i64, i64)> {
    let mut lengths: Vec<i64> =
        lanes.values().flat_map(|lane| lane.0.0.keys().copied()).filter(|&length| length > 0).collect();
    lengths.sort_unstable();
    lengths.dedup();
    let mut sections: Vec<(i64, i64)> = Vec::new();
    for length in lengths {
        let strips: Vec<(i64, i64, i64)> =
            lanes.iter().map(|(&need, lane)| (need, lane.0.best(length), lane.1)).collect();
        let worth = abreast(&strips, across, &mut BTreeMap::new());
        if sections.last().is_none_or(|last| worth > last.1) {
            sections.push((length, worth));
        }
    }
    sections
}

/// The most that strips (need, worth of one, of any number) are worth abreast: the first so many times, then the others.
fn abreast(strips: &[(i64, i64, i64)], across: i64, known: &mut BTreeMap<(usize, i64), i64>) -> i64 {
    let Some((&(need, one, all), others)) = strips.split_first() else { return 0 };
    if across < need {
        // The narrowest comes first.
        return 0;
    }
    if let Some(&own) = known.get(&(strips.len(), across)) {
        return own;
    }
    let with = |count: i64| (count * one).min(all) + abreast(others, across - count * need, known);
    let best = (0..=across / need).map(with).max().unwrap_or(0);
    known.insert((strips.len(), across), best);
    best
}

/// The most that sections and parts of the whole width are worth along a board.
fn along(sections: &[(i64, i64)], whole: &Reached, room: i64) -> i64 {
    let mut open = BTreeMap::from([(0_i64, 0_i64)]);
    let (mut last, mut best) = (-1, 0);
    while let Some((at, worth)) = open.pop_first() {
        // What a shorter row is worth as well leads nowhere new.
        if worth <= last {
            continue;
        }
        last = worth;
        best = best.max(worth + whole.best(room - at));
        for &(length, more) in sections.iter().take_while(|section| at + section.0 <= room) {
            let reached = open.entry(at + length).or_insert(0);
            *reached = (*reached).max(worth + more);
        }
    }
    best
}
