//! Gaps between neighbours of a run: which slats stand beside each other, and how far apart.

use slatwork_model::{Model, PartId};
use slatwork_solid::clearance;

/// Slats nearer than this were laid tight, mm: what a builder pushes together never closes to nothing everywhere.
pub(crate) const TIGHT: f64 = 0.5;

/// Parts farther apart than this are no neighbours of one run, mm.
const APART: f64 = 60.0;

/// Two slats beside each other.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Gap {
    /// One.
    pub(crate) a: PartId,
    /// The other.
    pub(crate) b: PartId,
    /// Least clear distance, mm.
    pub(crate) least: f64,
}

/// The gaps of a run, in the order of its slats: each with the next one made.
pub(crate) fn neighbours(model: &Model, parts: &[PartId]) -> Vec<Gap> {
    let next = parts.iter().zip(parts.iter().skip(1));
    let gap = |(a, b): (&PartId, &PartId)| {
        let (one, other) = (model.part(*a).placed(), model.part(*b).placed());
        let near = one.bounds().distance(&other.bounds()) < APART;
        near.then(|| Gap { a: *a, b: *b, least: clearance(&one, &other) })
    };
    next.filter_map(gap).filter(|gap| gap.least < APART).collect()
}
