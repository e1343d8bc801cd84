//! The wood that an axis passes, with its distances to edges and ends.

use crate::Part;
use crate::joints::Layer;
use crate::joints::seam::Seam;
use slatwork_base::{Angle, maths};
use slatwork_solid::{DMat3, DVec3, Lines};

/// A layer of wood along an axis, from the head, with its distances to edges and ends.
pub(crate) fn layer(part: &Part, head: DVec3, direction: DVec3, span: (f64, f64), tip: f64) -> Layer {
    let mut layer = unmeasured(part, direction, span);
    let mut star = Star::of(part, &layer, (head, direction, tip));
    (0..Star::LINES).for_each(|line| star.measure(&mut layer, line));
    layer
}

/// The layers of both parts of a seam, their distances not measured yet: from the head, where the seam is and where the second
/// part's wood begins and ends.
pub(super) fn both(seam: &Seam, direction: DVec3, seam_at: f64, inner: (f64, f64)) -> Vec<Layer> {
    vec![unmeasured(seam.first, direction, (0.0, seam_at)), unmeasured(seam.second, direction, inner)]
}

/// A layer of wood along an axis, from the head, its distances not measured yet.
pub(super) fn unmeasured(part: &Part, direction: DVec3, (from, to): (f64, f64)) -> Layer {
    let lean = part.pose.matrix3.x_axis.dot(direction).abs().min(1.0);
    let grain = Angle::rad(maths::acos(lean));
    Layer { part: part.id, from, to, grain, end: f64::INFINITY, edge: f64::INFINITY }
}

/// The lines through an axis in a layer by which its edges and ends are found.
pub(super) struct Star<'a> {
    lines: Lines<'a>,
    head: DVec3,
    direction: DVec3,
    /// From the head to where the lines pass: just under the face, well in, and just before the layer's end or the tip.
    depths: [f64; 3],
    /// Across the grain along the face; none where the axis runs with the grain.
    beside: Option<DVec3>,
    /// Two directions square to each other; the first is the grain's unless the axis runs with the grain.
    axes: [DVec3; 2],
    with_grain: bool,
    /// The first of the two directions where the layer ends, if it is another one there.
    at_end: Option<DVec3>,
}

impl<'a> Star<'a> {
    /// How many lines there are, each looked along both ways.
    pub(super) const LINES: usize = 9;

    pub(super) fn of(part: &'a Part, layer: &Layer, (head, direction, tip): (DVec3, DVec3, f64)) -> Self {
        let DMat3 { x_axis: grain, y_axis, z_axis } = part.pose.matrix3;
        // Distances are measured along the face that the axis goes through, not square to the axis: a leaning axis would else
        // look out of the face.
        let across = if y_axis.dot(direction).abs() > z_axis.dot(direction).abs() { z_axis } else { y_axis };
        let lean = grain.dot(direction).abs().min(1.0);
        // The face where the joint is lies square to the axis: through the bevelled end of a brace it runs aslant over the grain.
        let aslant = (lean > SQUARE_ENOUGH && lean < WITH_GRAIN)
            .then(|| (grain - direction * grain.dot(direction)).normalize());
        let with_grain = lean > ALONG_GRAIN && aslant.is_none();
        let beside = direction.cross(grain).try_normalize();
        let stop = layer.to.min(tip);
        let reach = stop - layer.from;
        let inside = (reach * 0.15).min(2.0);
        Star {
            lines: Lines::through(&part.placed()),
            head,
            direction,
            depths: [
                layer.from + inside,
                layer.from + if aslant.is_some() { inside } else { reach * 0.3 },
                stop - inside,
            ],
            beside,
            axes: match (aslant, beside) {
                // Where the fastener enters, along the face that is turned up; where it holds, in the plane of the joint.
                (Some(aslant), Some(beside)) => [if layer.from > 0.0 { aslant } else { grain }, beside],
                _ if with_grain => [y_axis, z_axis],
                _ => [grain, across],
            },
            with_grain,
            at_end: aslant,
        }
    }

    /// Measures along one of the lines: the nearest of what it finds and what is known is the layer's distance.
    pub(super) fn measure(&mut self, layer: &mut Layer, line: usize) {
        let Some((depth, way, to_end)) = self.line(line) else { return };
        let free = self.free(self.head + self.direction * depth, way);
        let nearest = if to_end { &mut layer.end } else { &mut layer.edge };
        *nearest = nearest.min(free);
    }

    /// The depth where a line passes the axis, its direction, and whether it runs to an end.
    fn line(&self, line: usize) -> Option<(f64, DVec3, bool)> {
        // Just under the face it runs along that face, and only across the grain: under a sawn curve the grain soon runs
        // out of the surface, which is no end of the board.
        if line == 0 {
            return self.beside.map(|way| (self.depths[0], way, false));
        }
        let (depth, turn) = (self.depths[1 + (line - 1) / 4], (line - 1) % 4);
        let (cosine, sine) = QUARTERS[turn];
        let first = self.at_end.filter(|_| line > 4).unwrap_or(self.axes[0]);
        let way = first * cosine + self.axes[1] * sine;
        Some((depth, way, turn == 0 && !self.with_grain))
    }

    /// How far the wood reaches from a point, the way where it reaches less far.
    fn free(&mut self, point: DVec3, way: DVec3) -> f64 {
        let spans = self.lines.along(point - way * FARTHEST, point + way * FARTHEST);
        let here = spans.iter().find(|span| span.0 < FARTHEST + 0.1 && span.1 > FARTHEST - 0.1);
        let free = here.map_or(0.0, |span| (FARTHEST - span.0).min(span.1 - FARTHEST).max(0.0));
        if free >= FARTHEST - 0.1 { f64::INFINITY } else { free }
    }
}

/// Cosines and sines of four eighths of a turn: along the first direction, between it and the second, along the second, beyond.
const QUARTERS: [(f64, f64); 4] = {
    const H: f64 = core::f64::consts::FRAC_1_SQRT_2;
    [(1.0, 0.0), (H, H), (0.0, 1.0), (-H, H)]
};

/// An axis nearer to square to the grain than this is measured as one that is square (cosine; 65 degrees to the grain).
const SQUARE_ENOUGH: f64 = 0.423;

/// An axis nearer to the grain than this is measured as one that runs with it (cosine; 10 degrees).
const WITH_GRAIN: f64 = 0.985;

/// An axis that leans from the grain by less than 45 degrees sits in end grain (cosine).
const ALONG_GRAIN: f64 = core::f64::consts::FRAC_1_SQRT_2;

/// Edges and ends farther away than this do not matter, mm.
const FARTHEST: f64 = 150.0;
