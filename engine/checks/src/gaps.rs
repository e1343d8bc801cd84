//! Gaps between neighbours of a run: which slats stand beside each other, and how far apart.

use slatwork_model::{Model, PartId};
use slatwork_solid::{DVec3, along, clearance};

/// Slats nearer than this were laid tight, mm: what a builder pushes together never closes to nothing everywhere.
pub(crate) const TIGHT: f64 = 0.5;

/// From the edge of a slat its neighbour is looked for so far, mm: beyond what holds a child's head (9 in).
const REACH: f64 = 400.0;

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
        let least = clearance(&model.part(*a).placed(), &model.part(*b).placed());
        Gap { a: *a, b: *b, least }
    };
    next.map(gap).collect()
}

/// From an end of a slat so far in, mm, a line to its neighbour meets it beside rounded corners and trimmed crests.
const FROM_END: f64 = 60.0;

/// The gap of two neighbours where it is widest: at either end of the first, measured square to its edge; at least the least.
pub(crate) fn widest(model: &Model, gap: Gap) -> f64 {
    let (one, other) = (model.part(gap.a), model.part(gap.b));
    let (length, width, middle) = (one.length.as_mm(), one.width.as_mm(), one.thickness.as_mm() / 2.0);
    let centre = |part: &slatwork_model::Part| part.placed().bounds().centre();
    let across = one.pose.transform_vector3(DVec3::Y);
    let toward = (centre(other) - centre(one)).dot(across).signum();
    let edge = if toward > 0.0 { width } else { 0.0 };
    let at = |x: f64| {
        let from = one.pose.transform_point3(DVec3::new(x, edge, middle));
        let met = along(&other.placed(), from, from + across * toward * REACH);
        met.first().map(|stretch| stretch.0)
    };
    [FROM_END, length - FROM_END].into_iter().filter_map(at).fold(gap.least, f64::max)
}
