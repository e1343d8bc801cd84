//! # What it checks
//! That every hole leaves wood between its wall and the outline of its part, all along.
//! # Why
//! A wall thinner than 3 mm breaks out under the bit, and a leaning hole that is fine on the face may run out below.
//! # Method and source
//! Rays from the axis along the face that it pierces, at both ends of each stretch in the wood: reach less the hole's half width
//! at least 3 mm (project
//! choice). Fasteners are judged by their own distances; this looks at what else is bored: eyes, chains, holes of the script.
//! # Example
//! A chain hole 1 in wide whose middle lies 14 mm from an arm's edge leaves 14 - 12.7 = 1.3 mm.
//! # Remedy
//! Move the hole in, open it to the edge as a notch, or take a wider part.

use crate::{Case, Check, Look};
use slatwork_base::{Diagnostic, Place, Severity, both_tapes, maths};
use slatwork_catalog::Status;
use slatwork_model::joints::rules;
use slatwork_model::{FeatureKind, Part};
use slatwork_solid::{Hole, along};

pub(super) const CHECK: Check = Check {
    fault: "hole-near-outline",
    about: "holes leave at least 1/8\" (3 mm) of wood to the outline",
    rates: false,
    look: Look::Finds(look, &[("wood between a hole and an outline", Status::ProjectChoice)]),
};

/// Rays all round an axis.
const RAYS: usize = 24;

/// Outlines farther away do not matter, mm.
const FARTHEST: f64 = 80.0;

fn look(case: &Case) -> Vec<Diagnostic> {
    let others = |part: &'_ Part| -> Vec<Diagnostic> {
        let holes = part.shape.holes.iter().filter(|hole| !super::is_fasteners(case, part, hole));
        holes.filter_map(|hole| thin(part, hole)).collect()
    };
    case.model.parts.iter().flat_map(others).collect()
}

fn thin(part: &Part, hole: &Hole) -> Option<Diagnostic> {
    let feature = part.features.iter().find(|feature| match &feature.kind {
        FeatureKind::Hole { hole: own, .. } => own.tag == hole.tag && own.start == hole.start,
        _ => false,
    })?;
    let left = wall(part, hole)?;
    (left < rules::LEAST_WOOD - 0.01).then(|| {
        let what = purpose(part, hole);
        let message = if left < 0.0 {
            format!("the hole ({what}) runs {} out of the side of `{}`", both_tapes(-left), part.name)
        } else {
            format!("the hole ({what}) leaves {} of wood beside it in `{}`", both_tapes(left), part.name)
        };
        Diagnostic::new(Severity::Failure, CHECK.fault, message)
            .at_origin(feature.origin)
            .with_trace(Place::Part(part.name.clone()), "the part it is about")
            .help("move it in, open it to the edge as a notch, or take a wider part")
    })
}

/// Thinnest wall beside a hole, mm.
fn wall(part: &Part, hole: &Hole) -> Option<f64> {
    let placed = part.placed();
    let (start, direction) =
        (part.pose.transform_point3(hole.start), part.pose.transform_vector3(hole.direction));
    let deep = hole.steps.iter().map(|step| step.depth).fold(0.0, f64::max).min(2_000.0);
    let radius = hole.steps.iter().map(|step| step.radius).fold(0.0, f64::max);
    // Along the face that the hole goes through: a leaning axis would else look out of the face.
    let axes = [part.pose.matrix3.x_axis, part.pose.matrix3.y_axis, part.pose.matrix3.z_axis];
    let main =
        (0..3).max_by(|a, b| axes[*a].dot(direction).abs().total_cmp(&axes[*b].dot(direction).abs()))?;
    let (one, other) = (axes[(main + 1) % 3], axes[(main + 2) % 3]);
    let mut least: Option<f64> = None;
    for (from, to) in along(&placed, start, start + direction * deep) {
        let inside = ((to - from) * 0.15).min(1.0);
        for depth in [from + inside, to - inside] {
            let point = start + direction * depth;
            for ray in 0..RAYS {
                let (sine, cosine) = maths::sin_cos(2.0 * maths::PI * ray as f64 / RAYS as f64);
                let way = one * cosine + other * sine;
                let free = along(&placed, point, point + way * FARTHEST).first().map_or(0.0, |span| span.1);
                let slant = way.dot(direction);
                let left = free - radius / (1.0 - slant * slant).sqrt();
                least = Some(least.map_or(left, |least| least.min(left)));
            }
        }
    }
    least
}

/// What a hole is for.
pub(super) fn purpose(part: &Part, hole: &Hole) -> String {
    let named = part.features.iter().find_map(|feature| match &feature.kind {
        FeatureKind::Hole { hole: own, what, .. } if own.tag == hole.tag && own.start == hole.start => {
            Some(what.clone())
        }
        _ => None,
    });
    named.unwrap_or_else(|| String::from("hole"))
}
