//! Boards as their set's drawing shows them, where they stand: the sides that a tape is hooked on.

use super::places::Line;
use crate::holes::box_size;
use crate::words::{Along, BoardSide};
use slatwork_model::{FeatureKind, Model, NotchPurpose, Part, When, turn_between};
use slatwork_solid::{Bounds, DAffine3, DVec3, Face};

/// Sides and lines nearer than this to parallel (as a sine) are read as one number: half a millimetre over 4 inches.
const PARALLEL: f64 = 0.005;

/// Wood this near to the side of the box lies in it, mm.
const ON_SIDE: f64 = 0.1;

/// A tape is hooked on a side that is there for at least this share of the board (project choice).
const LEAST_SIDE: f64 = 0.25;

/// A line may start this far beyond the flat of the side it is measured from, mm.
const BESIDE: f64 = 5.0;

/// A point on an edge lies within this of it, mm: contacts close gaps as wide.
const ON_EDGE: f64 = 0.6;

/// A face lies in the contact when its normal leaves it by less than this (as a cosine).
const IN_CONTACT: f64 = 0.999;

/// The corners of an end that is sawn askew lie within so much of the board's width of the end (as far as 27 degrees take it).
const AT_END: f64 = 0.51;

/// A board in the axes of its set's drawing.
pub(super) struct Drawn<'a> {
    /// The part that its set is drawn from: the same solid.
    model: &'a Part,
    /// From the drawing's axes to the world.
    pub(super) pose: DAffine3,
    pub(super) size: DVec3,
}

impl<'a> Drawn<'a> {
    pub(super) fn new(model: &'a Model, part: usize) -> Option<Self> {
        let own = model.parts.get(part)?;
        let first = model.sets.get(own.set.0)?.parts.first()?;
        let drawn = model.part(*first);
        let turn = if drawn.id == own.id { DAffine3::IDENTITY } else { turn_between(drawn, own)? };
        Some(Drawn { model: drawn, pose: own.pose * turn, size: box_size(own) })
    }

    /// A direction of the world in the drawing's axes.
    pub(super) fn turned(&self, direction: DVec3) -> DVec3 {
        self.pose.matrix3.transpose() * direction
    }

    /// A point of the world in the drawing's axes.
    pub(super) fn at(&self, point: DVec3) -> DVec3 {
        self.pose.inverse().transform_point3(point)
    }

    /// Whether there is wood at a point of the world.
    pub(super) fn holds(&self, point: DVec3) -> bool {
        let point = self.at(point);
        let inside = |piece: &slatwork_solid::Piece| {
            piece.planes().iter().all(|plane| plane.normal.dot(point) <= plane.offset)
        };
        self.model.solid.pieces().iter().any(inside)
    }

    /// Whether a point of the world lies in wood taken out by a notch: its wall is no side of the board.
    pub(super) fn is_in_notch(&self, point: DVec3) -> bool {
        self.is_taken_out(point, |_| true)
    }

    /// Whether a notch for such a purpose took the wood out at a point of the world.
    fn is_taken_out(&self, point: DVec3, counts: impl Fn(&NotchPurpose) -> bool) -> bool {
        let point = self.at(point);
        let is_in = |region: &slatwork_solid::Notch| {
            region.planes.iter().all(|plane| plane.normal.dot(point) <= plane.offset)
        };
        self.model.features.iter().any(|feature| {
            matches!(&feature.kind, FeatureKind::Notch { regions, purpose, .. }
                if counts(purpose) && regions.iter().any(is_in))
        })
    }

    /// The side that looks most nearly in a direction of the world.
    pub(super) fn side(&self, direction: DVec3) -> BoardSide {
        let direction = self.turned(direction);
        let axis = direction.abs().max_position();
        BoardSide { along: Along::ALL[axis], high: direction[axis] > 0.0 }
    }

    /// What a side is called that meets another board at a point of the world, which lies just beside its wood: beyond an end
    /// with a tenon the shoulder meets it, not the tip; in a notch its floor or a wall does. `whose` is "its" or "the".
    pub(super) fn meeting_word(&self, side: BoardSide, at: DVec3, whose: &str) -> String {
        let word = side.word();
        if self.has_shoulder(side) {
            return format!("{whose} shoulder at the {word}");
        }
        // A tenon's shoulder meets the face round its mortise.
        let is_notch = self.is_taken_out(at, |purpose| !matches!(purpose, NotchPurpose::Mortise { .. }));
        match (is_notch, side.along) {
            (false, _) => format!("{whose} {word}"),
            (true, Along::Thickness) => format!("the floor of {whose} notch in the {word}"),
            (true, Along::Length | Along::Width) => format!("the wall of {whose} notch toward the {word}"),
        }
    }

    /// Whether a side is an end beyond which a tenon stands.
    fn has_shoulder(&self, side: BoardSide) -> bool {
        let is_beyond = |feature: &slatwork_model::Feature| {
            let FeatureKind::Notch { purpose: NotchPurpose::Tenon { .. }, from_end, along, .. } =
                &feature.kind
            else {
                return false;
            };
            let middle = from_end.as_mm() + along.as_mm() / 2.0;
            side.along == Along::Length && side.high == (middle * 2.0 > self.size.x)
        };
        self.model.features.iter().any(is_beyond)
    }

    /// How far the ends of a line lie in from a side, mm: square from it; where that is not square, along the edges of the board
    /// from their corners, for ends that lie on an edge.
    pub(super) fn in_from(&self, side: BoardSide, line: &Line) -> [Option<f64>; 2] {
        if self.can_measure(side, line.ends) {
            return line.ends.map(|end| Some(self.inward(side, self.at(end))));
        }
        line.ends.map(|end| self.along_edge(side, self.at(end), self.turned(line.into)))
    }

    /// Corners at the ends of the face that a contact lies in, on one of the board's edges: their names, and where they are.
    pub(super) fn corners(&self, at: DVec3, into: DVec3) -> Vec<([BoardSide; 2], DVec3)> {
        let faces = self.faces_in_contact(self.at(at), self.turned(into));
        let corners: Vec<DVec3> = faces.into_iter().flat_map(|face| face.loops[0].points.clone()).collect();
        let mut found = Vec::new();
        for (end, edge) in [(false, false), (false, true), (true, false), (true, true)] {
            let end = BoardSide { along: Along::Length, high: end };
            let edge = BoardSide { along: Along::Width, high: edge };
            let is_named = |corner: &&DVec3| {
                self.inward(edge, **corner).abs() < ON_SIDE
                    && self.inward(end, **corner) < AT_END * self.size.y
            };
            if self.is_sawn_later(end) {
                continue;
            }
            let outermost = |a: &&DVec3, b: &&DVec3| self.inward(end, **a).total_cmp(&self.inward(end, **b));
            let corner = corners.iter().filter(is_named).min_by(outermost);
            found.extend(corner.map(|corner| ([end, edge], self.pose.transform_point3(*corner))));
        }
        found
    }

    fn faces_in_contact(&self, point: DVec3, into: DVec3) -> Vec<&Face> {
        let in_contact = |face: &&Face| {
            face.normal.dot(into).abs() > IN_CONTACT && (face.normal.dot(point) - face.offset).abs() < ON_EDGE
        };
        self.model.solid.faces().iter().filter(in_contact).collect()
    }

    /// How far a point lies in from a side of the box, mm.
    fn inward(&self, side: BoardSide, point: DVec3) -> f64 {
        let axis = side.along.index();
        if side.high { self.size[axis] - point[axis] } else { point[axis] }
    }

    /// How far a point on an edge of the wood lies from that edge's corner at an end of the board.
    fn along_edge(&self, end: BoardSide, point: DVec3, into: DVec3) -> Option<f64> {
        if end.along != Along::Length || self.is_sawn_later(end) {
            return None;
        }
        let faces = self.faces_in_contact(point, into).into_iter();
        let edges = faces.flat_map(|face| {
            let ring = &face.loops[0].points;
            (0..ring.len()).map(|index| [ring[index], ring[(index + 1) % ring.len()]])
        });
        let on_edge = |[a, b]: &[DVec3; 2]| {
            let along = (*b - *a).normalize_or_zero();
            let at = along.dot(point - *a);
            (point - *a - along * at).length() < ON_EDGE && -ON_EDGE < at && at < (*b - *a).length() + ON_EDGE
        };
        let corners = edges.filter(on_edge).flatten();
        let at_end = corners.filter(|corner| self.inward(end, *corner) < AT_END * self.size.y);
        at_end.map(|corner| corner.distance(point)).reduce(f64::max)
    }

    /// Whether a tape can be hooked on a side to reach points of the world: it is square, flat beside them, and not sawn later.
    fn can_measure(&self, side: BoardSide, points: [DVec3; 2]) -> bool {
        let (axis, sign) = (side.along.index(), if side.high { 1.0 } else { -1.0 });
        let level = if side.high { self.size[axis] } else { 0.0 };
        let is_on = |face: &&Face| {
            face.normal[axis] * sign > 1.0 - PARALLEL * PARALLEL / 2.0
                && (face.offset * sign - level).abs() < ON_SIDE
        };
        let flats: Vec<Bounds> = self.model.solid.faces().iter().filter(is_on).map(bounds).collect();
        let Some(flat) = flats.into_iter().reduce(|all, one| all.union(&one)) else { return false };
        let long = if side.along == Along::Length { Along::Width } else { Along::Length }.index();
        let beside = |point: &DVec3| {
            let at = self.at(*point)[long];
            flat.min[long] - BESIDE <= at && at <= flat.max[long] + BESIDE
        };
        let wide = flat.max[long] - flat.min[long] > LEAST_SIDE * self.size[long];
        wide && (side.along == Along::Length || points.iter().all(beside)) && !self.is_sawn_later(side)
    }

    /// Whether a side is only there once it was sawn in place.
    fn is_sawn_later(&self, side: BoardSide) -> bool {
        self.model.features.iter().any(|feature| {
            let FeatureKind::Outline { line, .. } = &feature.kind else { return false };
            let middle = line.point_at(line.length() / 2.0);
            let axis = if self.model.rough_length > self.model.length { 0 } else { 1 };
            matches!(feature.when, When::InPlace { .. })
                && side.along.index() == axis
                && side.high == (middle[axis] * 2.0 > self.size[axis])
        })
    }
}

fn bounds(face: &Face) -> Bounds {
    Bounds::around(face.loops[0].points.iter().copied())
}
