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

/// How far off the wood a bore of that radius begins, mm: where it leans, its whole rim must be clear of the face.
pub(super) fn lead_in(part: &Part, direction: DVec3, radius: f64) -> f64 {
    let local = part.pose.matrix3.transpose() * direction;
    // The face or the edge that it enters by; ends are bored square.
    let upright = if local.x.abs() > ALONG { local.x.abs() } else { local.y.abs().max(local.z.abs()) };
    let aslant = (1.0 - upright * upright).max(0.0).sqrt();
    LEAD_IN + if aslant < STRAIGHT { 0.0 } else { radius * aslant / upright }
}

/// An axis nearer to the grain than this enters by an end (cosine; 10 degrees).
const ALONG: f64 = 0.985;

/// Bores that lean less than this are square (sine): rounding of turned groups.
const STRAIGHT: f64 = 1e-6;

/// Bits run this far out of the far side, mm.
pub(super) const THROUGH: f64 = 0.5;

/// A counterbore that takes a socket over a hex head: across the corners and 5 mm (common practice, no source), in
/// sixteenths of an inch.
pub(super) fn socket_bore(across_flats: Length) -> Length {
    let corners = across_flats.as_mm() * 2.0 / 3f64.sqrt() + 5.0;
    Length::mm(rules::next_bit(corners))
}
