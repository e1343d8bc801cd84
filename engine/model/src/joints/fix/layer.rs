//! The wood that an axis passes, with its distances to edges and ends.

use crate::Part;
use crate::joints::Layer;
use slatwork_base::{Angle, maths};
use slatwork_solid::{DVec3, along};

/// A layer of wood along an axis, from the head, with its distances to edges and ends.
pub(crate) fn layer(part: &Part, head: DVec3, direction: DVec3, (from, to): (f64, f64), tip: f64) -> Layer {
    let axes = [part.pose.matrix3.x_axis, part.pose.matrix3.y_axis, part.pose.matrix3.z_axis];
    let lean = axes[0].dot(direction).abs().min(1.0);
    // Distances are measured along the face that the axis goes through, not square to the axis: a leaning axis would else look
    // out of the face.
    let across = if axes[1].dot(direction).abs() > axes[2].dot(direction).abs() { 2 } else { 1 };
    let along_grain = lean > ALONG_GRAIN;
    let (one, other) = if along_grain { (axes[1], axes[2]) } else { (axes[0], axes[across]) };
    let (mut end, mut edge) = (f64::INFINITY, f64::INFINITY);
    let stop = to.min(tip);
    let reach = stop - from;
    let inside = (reach * 0.15).min(2.0);
    let free = |depth: f64, ray: DVec3| {
        let point = head + direction * depth;
        let span = along(&part.placed(), point, point + ray * FARTHEST).first().copied();
        let free = span.map_or(0.0, |span| if span.0 < 0.1 { span.1 } else { 0.0 });
        if free >= FARTHEST - 0.1 { f64::INFINITY } else { free }
    };
    // Just under the face the rays run along that face, and only across the grain: under a sawn curve the grain soon runs out of
    // the surface, which is no end of the board.
    if let Some(side) = direction.cross(axes[0]).try_normalize() {
        edge = edge.min(free(from + inside, side)).min(free(from + inside, -side));
    }
    for depth in [from + reach * 0.3, stop - inside] {
        for turn in 0..8 {
            let (sine, cosine) = (EIGHTHS[(turn + 6) % 8], EIGHTHS[turn]);
            let found = free(depth, one * cosine + other * sine);
            if turn % 4 == 0 && !along_grain {
                end = end.min(found);
            } else {
                edge = edge.min(found);
            }
        }
    }
    Layer { part: part.id, from, to, grain: Angle::rad(maths::acos(lean)), end, edge }
}

/// Cosines of the eight eighths of a turn.
const EIGHTHS: [f64; 8] = {
    const H: f64 = core::f64::consts::FRAC_1_SQRT_2;
    [1.0, H, 0.0, -H, -1.0, -H, 0.0, H]
};

/// An axis that leans from the grain by less than 45 degrees sits in end grain (cosine).
const ALONG_GRAIN: f64 = core::f64::consts::FRAC_1_SQRT_2;

/// Edges and ends farther away than this do not matter, mm.
const FARTHEST: f64 = 150.0;
