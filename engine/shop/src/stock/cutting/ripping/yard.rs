//! The problem as the solver sees it: alike parts together, alike boards together, lengths in the coarsest unit that loses
//! nothing, boards by width.
//!
//! A part carries its crosscut kerf and a strip its rip kerf, the board one more of each. A section is as long as its longest
//! strip, so sections add up along the board as parts do along a strip.

use super::super::instance::{self, Instance, common_measure};
use super::{Board, Fault, Part, Problem, Way};
use std::collections::BTreeMap;
use std::ops::Range;

/// Strips of one width.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Lane {
    /// Width with its rip kerf.
    pub need: i64,
    /// Kinds of part that have this width.
    pub parts: Vec<u32>,
}

/// Boards of one width and as many flaws.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Plank {
    /// Width.
    pub width: i64,
    /// Room across for strips that each carry a rip kerf.
    pub room: i64,
    /// Room along the longest of them.
    pub capacity: i64,
    /// Strips that may be ripped, widest first.
    pub lanes: Vec<Lane>,
    /// Kinds of part that take the whole width.
    pub whole: Vec<u32>,
    /// Indices of the boards.
    pub boards: Range<usize>,
}

/// Parts and boards in units.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Yard {
    /// For the linear program and the search: sizes are lengths with a crosscut kerf, boards go by width and then length.
    pub instance: Instance,
    /// Width of each kind of part with its rip kerf.
    pub needs: Vec<i64>,
    /// The parts behind each kind.
    pub alike: Vec<Vec<usize>>,
    /// Boards by width.
    pub planks: Vec<Plank>,
}

/// Boards of the problem, and how many of each.
type Sources = Vec<(usize, u32)>;

/// Worths add up to less than this, where whole numbers are exact in binary64.
const EXACT: i64 = 1 << 53;
/// A board's cost is divided into at most so many parts: fine enough, and far from [`EXACT`].
const FINEST: i64 = 1 << 40;
/// Worths of parts may pass the dearest board by this factor while columns are generated.
const SPARE: i64 = 4;

impl Yard {
    /// Of a problem that was validated; refuses costs that could not be counted exactly.
    pub(super) fn of(problem: &Problem) -> Result<Yard, Fault> {
        let kinds = kinds(problem);
        let parts: Vec<&Part> = kinds.iter().map(|kind| &problem.parts[kind[0]]).collect();
        let demand = |kind: &Vec<usize>| count(kind.iter().map(|&part| problem.parts[part].demand).sum());
        let demands: Vec<u32> = kinds.iter().map(demand).collect();
        let unit = parts
            .iter()
            .fold(0, |unit, part| common_measure(unit, part.length + problem.crosscut_kerf))
            .max(1);
        let sizes: Vec<i64> = parts.iter().map(|part| (part.length + problem.crosscut_kerf) / unit).collect();
        let boards = boards(problem, &parts, unit, count(problem.part_count()));
        let planks = planks(problem, &parts, &boards);
        let lengths = parts.iter().map(|part| part.length).collect();
        let boards = boards.into_iter().map(|own| own.1).collect();
        let mut yard = Yard {
            instance: Instance { sizes, demands, lengths, boards, step: 1, scale: 1 },
            needs: parts.iter().map(|part| part.width + problem.rip_kerf).collect(),
            alike: kinds,
            planks,
        };
        yard.add_missing();
        let instance = &mut yard.instance;
        instance.step = instance.boards.iter().fold(0, |step, board| common_measure(step, board.cost)).max(1);
        yard.instance.scale = yard.finest_scale().ok_or(Fault::TooDear)?;
        Ok(yard)
    }

    /// The boards' plank; nothing for what stands for missing boards.
    pub(super) fn plank(&self, board: usize) -> Option<&Plank> {
        self.planks.iter().find(|plank| plank.boards.contains(&board))
    }

    /// Where some part comes from boards of limited number only, a plan may be short of boards. Each part that is short is
    /// cut from an imagined board, dearer than all that is limited together, so that a cheapest plan uses few of those.
    fn add_missing(&mut self) {
        let boards = &self.instance.boards;
        let is_safe = |part: u32| {
            let planks = self.planks.iter().filter(|plank| plank.holds(part));
            let size = self.instance.sizes[part as usize];
            planks
                .flat_map(|plank| &boards[plank.boards.clone()])
                .any(|board| board.available.is_none() && board.capacity >= size)
        };
        if (0..self.instance.sizes.len() as u32).all(is_safe) {
            return;
        }
        let total = self.instance.part_count();
        let each = |board: &instance::Board| {
            board.cost.saturating_mul(i64::from(board.available.unwrap_or(total).min(total)))
        };
        let dearer = boards.iter().map(each).fold(1, i64::saturating_add);
        let missing = instance::Board {
            capacity: 1,
            cost: dearer,
            available: None,
            sources: Vec::new(),
            is_missing: true,
        };
        self.instance.boards.push(missing);
    }

    /// The finest scale at which the worth of any filling is exact, if there is one.
    fn finest_scale(&self) -> Option<i64> {
        let instance = &self.instance;
        let dearest = instance.dearest();
        let smallest = instance.sizes.iter().copied().min().unwrap_or(1);
        let strips = |plank: &Plank| plank.lanes.last().map_or(1, |lane| (plank.room / lane.need).max(1));
        let most =
            self.planks.iter().map(|plank| i128::from(plank.capacity / smallest) * i128::from(strips(plank)));
        let parts = most.fold(1, i128::max);
        let countable = i128::from(dearest) * i128::from(instance.part_count()) < 1 << 62;
        let scale = i128::from(EXACT - 1) / (i128::from(dearest) * i128::from(SPARE) * parts);
        i64::try_from(scale.min(i128::from((FINEST / dearest).max(1))))
            .ok()
            .filter(|&scale| scale > 0 && countable)
    }
}

impl Plank {
    /// Whether a part comes from boards of this width.
    pub(super) fn holds(&self, part: u32) -> bool {
        self.whole.contains(&part) || self.lanes.iter().any(|lane| lane.parts.contains(&part))
    }
}

/// Parts wanted that are alike in size and boards: longest first, then widest.
fn kinds(problem: &Problem) -> Vec<Vec<usize>> {
    let mut kinds: BTreeMap<_, Vec<usize>> = BTreeMap::new();
    for (at, part) in problem.parts.iter().enumerate().filter(|(_, part)| part.demand > 0) {
        kinds
            .entry((-part.length, -part.width, part.narrowest_board, part.widest_board, part.flaws))
            .or_default()
            .push(at);
    }
    kinds.into_values().collect()
}

/// Width and flaws of boards.
type Make = (i64, u8);

/// Make and board of all that give a part at all and are not beaten by one of the same make: merged where alike.
fn boards(problem: &Problem, parts: &[&Part], unit: i64, total: u32) -> Vec<(Make, instance::Board)> {
    let mut alike: BTreeMap<(Make, i64, i64, bool), Sources> = BTreeMap::new();
    for (at, board) in problem.boards.iter().enumerate() {
        let capacity = (problem.usable(board) + problem.crosscut_kerf).div_euclid(unit);
        let available = board.available.map_or(total, |number| count(number).min(total));
        if available > 0 && parts.iter().any(|part| problem.way(part, board).is_some()) {
            let make = (board.width, board.flaws);
            let sources = alike.entry((make, -capacity, board.cost, board.available.is_some())).or_default();
            // Of boards without limit one source is enough.
            if board.available.is_some() || sources.is_empty() {
                sources.push((at, available));
            }
        }
    }
    let mut boards: Vec<(Make, instance::Board)> = Vec::new();
    for ((make, capacity, cost, limited), sources) in alike {
        // Those before are as long, or longer.
        let beaten =
            boards.iter().any(|(other, own)| *other == make && own.available.is_none() && own.cost <= cost);
        if !beaten {
            let number = sources.iter().map(|source| source.1).fold(0, u32::saturating_add).min(total);
            let available = limited.then_some(number);
            boards.push((
                make,
                instance::Board { capacity: -capacity, cost, available, sources, is_missing: false },
            ));
        }
    }
    boards
}

fn planks(problem: &Problem, parts: &[&Part], boards: &[(Make, instance::Board)]) -> Vec<Plank> {
    let of_one_make = boards.chunk_by(|a, b| a.0 == b.0);
    let mut begin = 0;
    let plank = |alike: &[(Make, instance::Board)]| {
        let ((width, flaws), longest) = (alike[0].0, alike[0].1.capacity);
        begin += alike.len();
        let length =
            alike.iter().flat_map(|own| &own.1.sources).map(|source| problem.boards[source.0].length).max();
        let board = Board { length: length.unwrap_or(0), width, cost: 0, available: None, flaws };
        let (mut whole, mut lanes) = (Vec::new(), BTreeMap::<i64, Vec<u32>>::new());
        for (at, part) in parts.iter().enumerate() {
            match problem.way(part, &board) {
                Some(Way::Whole) => whole.push(at as u32),
                Some(Way::Strip) => lanes.entry(-part.width - problem.rip_kerf).or_default().push(at as u32),
                None => {}
            }
        }
        let lanes = lanes.into_iter().map(|(need, parts)| Lane { need: -need, parts }).collect();
        let room = width - problem.edge_allowance + problem.rip_kerf;
        Plank { width, room, capacity: longest, lanes, whole, boards: begin - alike.len()..begin }
    };
    of_one_make.map(plank).collect()
}

fn count(number: usize) -> u32 {
    u32::try_from(number).unwrap_or(u32::MAX)
}
