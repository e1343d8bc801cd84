//! The wood round a thick fastener in one part, and what that leaves of its value by the way it pushes: CΔ.

use crate::beside::{Free, free, grain_and_across, nearer};
use crate::framing::Tie;
use crate::statics::group::{Distances, GrainLoad, Placing, geometry_in_proportion};
use slatwork_model::Part;
use slatwork_model::joints::{Fastening, Layer};
use slatwork_solid::DVec3;

/// Fasteners nearer across a line than this many diameters stand in it (project choice).
const IN_LINE: f64 = 1.0;

/// The wood round a fastener in one part.
#[derive(Clone, Copy, Debug)]
pub(super) struct Room {
    /// Along the grain and across it, square to the fastener; both across in end grain.
    axes: [DVec3; 2],
    /// CΔ of a push along each axis, against it and with it.
    factors: [[f64; 2]; 2],
}

/// A thick fastener of a tie where it passes a part.
pub(super) struct Standing<'a> {
    pub(super) tie: &'a Tie,
    /// Which of the tie's fasteners.
    pub(super) at: usize,
    pub(super) fastening: &'a Fastening,
    pub(super) layer: &'a Layer,
    pub(super) part: &'a Part,
    pub(super) hardwood: bool,
    /// l/D of the joint.
    pub(super) slenderness: f64,
    /// Whether it sits in end grain.
    pub(super) in_end: bool,
}

impl Room {
    /// Whatever the way it pushes, nothing is lost.
    pub(super) const AMPLE: Room = Room { axes: [DVec3::ZERO; 2], factors: [[1.0; 2]; 2] };

    pub(super) fn of(own: &Standing) -> Room {
        let axes = own.axes();
        let free = axes.map(|axis| own.free(axis));
        let factors = if own.in_end { own.in_end_grain(free) } else { own.in_side_grain(free, axes) };
        Room { axes, factors }
    }

    /// CΔ under a push on the part: that along the grain and that across it, together as Hankinson's formula takes strengths
    /// along and across (project choice).
    pub(super) fn factor(&self, push: DVec3) -> f64 {
        let parts = [0, 1].map(|axis| {
            let component = self.axes[axis].dot(push);
            (component * component, self.factors[axis][usize::from(component > 0.0)])
        });
        let [(along, with), (across, over)] = parts;
        let below = along * over + across * with;
        if below > 0.0 {
            return with * over * (along + across) / below;
        }
        // Pushed along one axis alone, or with no value at all along both.
        if along > 0.0 { with } else { over }
    }

    /// The least of it whichever way it pushes.
    pub(super) fn least(&self) -> f64 {
        self.factors.as_flattened().iter().copied().fold(1.0, f64::min)
    }
}

impl Standing<'_> {
    fn axes(&self) -> [DVec3; 2] {
        let direction = self.fastening.direction;
        if !self.in_end {
            return grain_and_across(self.part, direction);
        }
        let across = self.part.pose.matrix3.y_axis;
        let first = (across - direction * across.dot(direction)).normalize_or_zero();
        [first, direction.cross(first)]
    }

    /// How far the wood reaches along an axis.
    fn free(&self, axis: DVec3) -> Free {
        let (from, to) = (self.layer.from.max(0.0), self.layer.to.min(self.fastening.length.as_mm()));
        let at = |depth: f64| self.fastening.head + self.fastening.direction * depth;
        free(self.part, (at(from), at(to)), axis)
    }

    /// CΔ of one kind of load; where a distance is under the least, nothing.
    fn factor(&self, load: GrainLoad, there: &Distances) -> f64 {
        let (diameter, hardwood) = (self.fastening.diameter.as_mm(), self.hardwood);
        let placing = Placing { diameter, hardwood, load, slenderness: self.slenderness };
        geometry_in_proportion(&placing, there).value.map_or(0.0, |found| found.factor)
    }

    fn in_side_grain(&self, [ends, edges]: [Free; 2], axes: [DVec3; 2]) -> [[f64; 2]; 2] {
        let [in_row, beside] = self.neighbours(axes);
        let along = |way: usize| {
            let toward = Distances {
                end: ends[way],
                in_row,
                edge: nearer(edges),
                between_rows: beside,
                ..Distances::default()
            };
            let behind = Distances { end: ends[1 - way], ..Distances::default() };
            self.factor(GrainLoad::Towards, &toward).min(self.factor(GrainLoad::Away, &behind))
        };
        let across = |way: usize| {
            // What stands in line across the grain is a row to the other part, which says how far apart.
            let there = Distances {
                end: nearer(ends),
                loaded_edge: edges[way],
                edge: edges[1 - way],
                between_rows: in_row,
                ..Distances::default()
            };
            self.factor(GrainLoad::Across, &there)
        };
        [[along(0), along(1)], [across(0), across(1)]]
    }

    /// In end grain every load is across the grain, and what it runs against is an edge.
    fn in_end_grain(&self, free: [Free; 2]) -> [[f64; 2]; 2] {
        let across = |axis: usize, way: usize| {
            let other: Free = [free[axis][1 - way], nearer(free[1 - axis])];
            let there =
                Distances { loaded_edge: free[axis][way], edge: nearer(other), ..Distances::default() };
            self.factor(GrainLoad::Across, &there)
        };
        [0, 1].map(|axis| [across(axis, 0), across(axis, 1)])
    }

    /// To the nearest fastener of the tie in its line of grain, and in its line across that, mm.
    fn neighbours(&self, axes: [DVec3; 2]) -> [Option<f64>; 2] {
        let line = IN_LINE * self.fastening.diameter.as_mm();
        let own = self.tie.places[self.at];
        let others = self.tie.places.iter().enumerate().filter(|(other, _)| *other != self.at);
        let mut nearest: [Option<f64>; 2] = [None; 2];
        for (_, place) in others {
            let way = self.tie.axes[1] * (place[0] - own[0]) + self.tie.axes[2] * (place[1] - own[1]);
            let apart = axes.map(|axis| axis.dot(way).abs());
            for (axis, nearest) in nearest.iter_mut().enumerate() {
                if apart[1 - axis] < line && apart[axis] > 0.0 {
                    *nearest = Some(nearest.map_or(apart[axis], |known| known.min(apart[axis])));
                }
            }
        }
        nearest
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn room(factors: [[f64; 2]; 2]) -> Room {
        Room { axes: [DVec3::X, DVec3::Y], factors }
    }

    /// Half along the grain and whole across it: at 45 degrees 2/3, as Hankinson's formula takes 0.5 and 1.
    #[test]
    fn distances_count_by_the_way_that_a_fastener_pushes() {
        let room = room([[1.0, 0.5], [1.0, 0.75]]);
        let near = |push: DVec3, wanted: f64| {
            let found = room.factor(push);
            assert!((found - wanted).abs() < 1e-12, "{push} {found}");
        };
        near(DVec3::X, 0.5);
        near(-DVec3::X, 1.0);
        near(DVec3::Y * 7.0, 0.75);
        near(DVec3::new(1.0, -1.0, 0.0), 0.5 / (0.5 * 0.5 + 0.5));
        near(DVec3::Z, 1.0);
        assert!((room.least() - 0.5).abs() < 1e-12);
    }

    #[test]
    fn a_push_toward_what_is_too_near_counts_for_nothing() {
        let room = room([[1.0, 0.0], [1.0, 1.0]]);
        assert_eq!(room.factor(DVec3::new(1.0, 3.0, 0.0)), 0.0);
        assert_eq!(room.factor(DVec3::new(-1.0, 3.0, 0.0)), 1.0);
        assert_eq!(room.factor(DVec3::X), 0.0);
    }
}
