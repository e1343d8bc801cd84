//! Gaps between neighbours of a run: which slats stand beside each other, and how far apart.

use slatwork_model::{Model, Part, PartId};
use slatwork_solid::{Bounds, DVec3, along, clearance};

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

/// The gap of two neighbours where it is widest: at either end of the first, measured square to its edge to the wood that comes
/// next, be it the neighbour's or that of a post the two are notched round; at least the least.
pub(crate) fn widest(model: &Model, gap: Gap) -> f64 {
    let (one, other) = (model.part(gap.a), model.part(gap.b));
    let (length, middle) = (one.length.as_mm(), one.thickness.as_mm() / 2.0);
    let centre = |part: &Part| part.placed().bounds().centre();
    let across = one.pose.transform_vector3(DVec3::Y);
    let toward = across * (centre(other) - centre(one)).dot(across).signum();
    let at = |x: f64| {
        let start = one.pose.transform_point3(DVec3::new(x, one.width.as_mm() / 2.0, middle));
        let edge = start + toward * along(&one.placed(), start, start + toward * REACH).first()?.1;
        let met = along(&other.placed(), edge, edge + toward * REACH).first()?.0;
        let between = model.parts.iter().filter(|part| ![gap.a, gap.b].contains(&part.id));
        Some(between.filter_map(|part| first_wood(part, edge, edge + toward * met)).fold(met, f64::min))
    };
    [FROM_END, length - FROM_END].into_iter().filter_map(at).fold(gap.least, f64::max)
}

/// How far from `from` the wood of a part begins on the way to `to`, if it stands there.
fn first_wood(part: &Part, from: DVec3, to: DVec3) -> Option<f64> {
    let placed = part.placed();
    let way = Bounds::around([from, to]);
    placed.bounds().overlaps(&way, 0.0).then(|| along(&placed, from, to)).and_then(|met| Some(met.first()?.0))
}
