//! What stands in the way of what: parts moved out along straight lines, each pair and direction worked out once.

use slatwork_model::Model;
use slatwork_solid::{Bounds, DVec3, Mover};
use std::cell::{Cell, RefCell};
use std::collections::HashMap;

/// Parts may press into each other by this much on their way, mm: boards that touch slide along each other, facets of
/// curves stand off by up to a tenth, and wood gives more than that.
pub const SLIDING: f64 = 0.15;

/// Pairs of parts tried for one plan at most: some twenty times what the largest seat needs, and a fence against pieces of
/// thousands of parts.
pub const MOST_TRIALS: usize = 2_000_000;

/// Directions nearer than this (1 - cosine) are one: a tenth of a degree.
const SAME_DIRECTION: f64 = 1.5e-6;

/// Parts start at least this far clear of everything that stands, mm: room for hands.
const HAND_ROOM: f64 = 100.0;

/// Start distances are told in steps of this, mm.
const START_STEP: f64 = 10.0;

/// The parts as bodies to be moved.
pub(crate) struct Yard {
    bodies: Vec<Mover>,
    /// Longer than any way out, mm.
    far: f64,
    directions: RefCell<Vec<DVec3>>,
    known: RefCell<HashMap<(u32, u32, u32), bool>>,
    trials: Cell<usize>,
    /// Pairs of parts that may be tried.
    most_trials: usize,
}

impl Yard {
    pub(crate) fn new(model: &Model, most_trials: usize) -> Yard {
        // Either body gives half.
        let body = |part: &slatwork_model::Part| Mover::wood(&part.placed(), SLIDING / 2.0);
        let bodies: Vec<Mover> = model.parts.iter().map(body).collect();
        let all = bodies.iter().fold(Bounds::EMPTY, |all, body| all.union(&body.bounds()));
        let far = if bodies.is_empty() { 0.0 } else { all.size().length() + 2.0 * HAND_ROOM };
        Yard {
            bodies,
            far,
            directions: RefCell::new(Vec::new()),
            known: RefCell::new(HashMap::new()),
            trials: Cell::new(0),
            most_trials,
        }
    }

    pub(crate) fn body(&self, part: usize) -> &Mover {
        &self.bodies[part]
    }

    /// Whether more pairs were tried than any seat asks for.
    pub(crate) fn is_worn_out(&self) -> bool {
        self.trials.get() > self.most_trials
    }

    fn index(&self, direction: DVec3) -> u32 {
        let mut all = self.directions.borrow_mut();
        let same = |own: &DVec3| 1.0 - own.dot(direction) < SAME_DIRECTION;
        let found = all.iter().position(same).unwrap_or_else(|| {
            all.push(direction);
            all.len() - 1
        });
        found as u32
    }

    /// Whether one part, moved out along a direction, meets another where it stands.
    fn meets(&self, part: usize, other: usize, direction: DVec3, index: u32) -> bool {
        let key = (part as u32, other as u32, index);
        if let Some(&found) = self.known.borrow().get(&key) {
            return found;
        }
        self.trials.set(self.trials.get() + 1);
        let found = self.bodies[part].hits(&self.bodies[other], direction * self.far);
        self.known.borrow_mut().insert(key, found);
        found
    }

    /// The first part that stands in the way of some parts moved out together; `None` when the way is free.
    pub(crate) fn obstacle(
        &self,
        moved: &[usize],
        standing: &[usize],
        direction: DVec3,
    ) -> Option<(usize, usize)> {
        let index = self.index(direction);
        let hit = |part: usize| {
            standing
                .iter()
                .copied()
                .find(|&other| self.meets(part, other, direction, index))
                .map(|other| (part, other))
        };
        moved.iter().copied().find_map(hit)
    }

    /// How far out along a direction parts are clear of everything that stands, with room for hands, mm.
    pub(crate) fn start(&self, moved: &[usize], standing: &[usize], direction: DVec3) -> f64 {
        let extent = |parts: &[usize]| {
            let each = parts.iter().map(|&part| self.bodies[part].extent(direction));
            each.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), own| {
                (low.min(own.0), high.max(own.1))
            })
        };
        let clear = extent(standing).1 - extent(moved).0;
        if !clear.is_finite() {
            return 0.0;
        }
        ((clear.max(0.0) + HAND_ROOM) / START_STEP).ceil() * START_STEP
    }
}
