//! The wood that an axis passes, with its distances to edges and ends.

use crate::Part;
use crate::joints::Layer;
use slatwork_base::{Angle, maths};
use slatwork_solid::{DVec3, Lines};

/// A layer of wood along an axis, from the head, with its distances to edges and ends.
pub(crate) fn layer(part: &Part, head: DVec3, direction: DVec3, span: (f64, f64), tip: f64) -> Layer {
    let mut layer = unmeasured(part, direction, span);
    measure(&mut layer, part, (head, direction, tip), &|_| false);
    layer
}

/// A layer of wood along an axis, from the head, its distances not measured yet.
pub(super) fn unmeasured(part: &Part, direction: DVec3, (from, to): (f64, f64)) -> Layer {
    let lean = part.pose.matrix3.x_axis.dot(direction).abs().min(1.0);
    let grain = Angle::rad(maths::acos(lean));
    Layer { part: part.id, from, to, grain, end: f64::INFINITY, edge: f64::INFINITY }
}

/// Measures the distances of a layer to edges and ends, ray by ray, until it is known well `enough`.
pub(super) fn measure(
    layer: &mut Layer,
    part: &Part,
    (head, direction, tip): (DVec3, DVec3, f64),
    enough: &dyn Fn(&Layer) -> bool,
) {
    let mut lines = Lines::through(&part.placed());
    let mut free = |depth: f64, ray: DVec3| {
        let point = head + direction * depth;
        let span = lines.along(point, point + ray * FARTHEST).first();
        let free = span.map_or(0.0, |span| if span.0 < 0.1 { span.1 } else { 0.0 });
        if free >= FARTHEST - 0.1 { f64::INFINITY } else { free }
    };
    let grain = part.pose.matrix3.x_axis;
    let stop = layer.to.min(tip);
    let reach = stop - layer.from;
    let inside = (reach * 0.15).min(2.0);
    // Just under the face the rays run along that face, and only across the grain: under a sawn curve the grain soon runs out of
    // the surface, which is no end of the board.
    if let Some(side) = direction.cross(grain).try_normalize() {
        for ray in [side, -side] {
            layer.edge = layer.edge.min(free(layer.from + inside, ray));
            if enough(layer) {
                return;
            }
        }
    }
    let star = Star::of(part, direction);
    for depth in [layer.from + reach * 0.3, stop - inside] {
        for (ray, to_end) in star.rays() {
            let nearest = if to_end { &mut layer.end } else { &mut layer.edge };
            *nearest = nearest.min(free(depth, ray));
            if enough(layer) {
                return;
            }
        }
    }
}

/// The directions in which edges and ends are looked for from a fastener.
struct Star {
    one: DVec3,
    other: DVec3,
    /// The first one is the grain's.
    with_grain: bool,
}

impl Star {
    fn of(part: &Part, direction: DVec3) -> Self {
        let axes = part.pose.matrix3;
        // Distances are measured along the face that the axis goes through, not square to the axis: a leaning axis would else
        // look out of the face.
        let across = if axes.y_axis.dot(direction).abs() > axes.z_axis.dot(direction).abs() {
            axes.z_axis
        } else {
            axes.y_axis
        };
        if axes.x_axis.dot(direction).abs().min(1.0) > ALONG_GRAIN {
            return Star { one: axes.y_axis, other: axes.z_axis, with_grain: false };
        }
        Star { one: axes.x_axis, other: across, with_grain: true }
    }

    /// Eight rays, and whether they run to an end.
    fn rays(&self) -> impl Iterator<Item = (DVec3, bool)> + '_ {
        (0..8).map(|turn| {
            let (sine, cosine) = (EIGHTHS[(turn + 6) % 8], EIGHTHS[turn]);
            (self.one * cosine + self.other * sine, self.with_grain && turn % 4 == 0)
        })
    }
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
