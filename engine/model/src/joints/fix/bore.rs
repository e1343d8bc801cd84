//! The holes of fasteners.

use crate::joints::Bore;
use crate::joints::rules::{self, LEAD_IN};
use crate::{Part, When};
use slatwork_base::Length;
use slatwork_solid::{DVec3, Hole, HoleStep, Tag};

/// A bore in a part, from a world point.
pub(super) fn bore(
    part: &Part,
    start: DVec3,
    direction: DVec3,
    steps: Vec<HoleStep>,
    what: String,
    when: When,
) -> Bore {
    let hole = Hole {
        start: part.pose.inverse().transform_point3(start),
        direction: part.pose.matrix3.transpose() * direction,
        steps,
        tag: Tag(0),
    };
    Bore { part: part.id, hole, what, when, countersink: None, in_solid: true }
}

/// A bore drilled on through the hole of another part: too small to weaken the wood, it stays out of the solid.
pub(super) fn pilot(
    holding: &Part,
    through: &Part,
    from: DVec3,
    direction: DVec3,
    diameter: Length,
    depth: f64,
    what: String,
) -> Bore {
    let steps = vec![HoleStep { radius: diameter.as_mm() / 2.0, depth: depth + LEAD_IN }];
    let when = When::Through { part: through.name.clone() };
    Bore { in_solid: false, ..bore(holding, from - direction * LEAD_IN, direction, steps, what, when) }
}

/// Bits run this far out of the far side, mm.
pub(super) const THROUGH: f64 = 0.5;

/// A counterbore that takes a socket over a hex head: across the corners and 5 mm (common practice, no source), in
/// sixteenths of an inch.
pub(super) fn socket_bore(across_flats: Length) -> Length {
    let corners = across_flats.as_mm() * 2.0 / 3f64.sqrt() + 5.0;
    Length::mm(rules::next_bit(corners))
}
