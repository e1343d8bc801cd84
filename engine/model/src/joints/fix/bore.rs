//! The holes of fasteners.

use crate::joints::Bore;
use crate::joints::rules::{self, LEAD_IN};
use crate::{Part, When};
use slatwork_base::Length;
use slatwork_solid::{DVec3, Hole, HoleStep, Tag};

/// A bore in a part, from where its axis enters, in the world; depths of its steps are measured from there.
pub(super) fn bore(
    part: &Part,
    mouth: DVec3,
    direction: DVec3,
    steps: Vec<HoleStep>,
    what: String,
    when: When,
) -> Bore {
    let widest = steps.iter().map(|step| step.radius).fold(0.0, f64::max);
    begun(part, (mouth, direction), steps, lead_in(part, direction, widest), what, when)
}

/// A bore drilled on through the hole of another part: too small to weaken the wood, it stays out of the solid.
pub(super) fn pilot(
    holding: &Part,
    through: &Part,
    mouth: DVec3,
    direction: DVec3,
    diameter: Length,
    depth: f64,
    what: String,
) -> Bore {
    let steps = vec![HoleStep { radius: diameter.as_mm() / 2.0, depth }];
    let when = When::Through { part: through.name.clone() };
    Bore { in_solid: false, ..begun(holding, (mouth, direction), steps, LEAD_IN, what, when) }
}

/// A bore that begins so far off the wood, mm.
fn begun(
    part: &Part,
    (mouth, direction): (DVec3, DVec3),
    mut steps: Vec<HoleStep>,
    lead_in: f64,
    what: String,
    when: When,
) -> Bore {
    steps.iter_mut().for_each(|step| step.depth += lead_in);
    let hole = Hole {
        start: part.pose.inverse().transform_point3(mouth - direction * lead_in),
        direction: part.pose.matrix3.transpose() * direction,
        steps,
        tag: Tag(0),
    };
    Bore { part: part.id, hole, what, when, countersink: None, in_solid: true }
}

/// How far off the wood a bore of that radius begins, mm: where it leans, its whole rim must be clear of the face.
fn lead_in(part: &Part, direction: DVec3, radius: f64) -> f64 {
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
