//! [`Placed`]: a solid at its place in the world, and how two of them lie to each other.

use crate::{Bounds, DAffine3, DVec3, HalfSpace, Piece, Solid};

/// A solid at its place in the world.
#[derive(Clone, Copy, Debug)]
pub struct Placed<'a> {
    /// The solid, in its board's frame.
    pub solid: &'a Solid,
    /// From the board's frame to the world: a rotation and a translation.
    pub pose: DAffine3,
}

impl Placed<'_> {
    /// The box around it in the world, mm; arcs count as their facets here, so it may be a chord short at a crown.
    pub fn bounds(&self) -> Bounds {
        let points = self.solid.pieces().iter().flat_map(|piece| piece.vertices());
        Bounds::around(points.map(|&point| self.pose.transform_point3(point)))
    }

    /// How far its wood reaches along a world direction, lowest and highest, mm; arcs count as their facets.
    pub fn extent(&self, direction: DVec3) -> (f64, f64) {
        let local = self.pose.matrix3.transpose() * direction;
        let base = direction.dot(self.pose.translation);
        let corners = self.solid.pieces().iter().flat_map(|piece| piece.vertices());
        corners.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), corner| {
            let at = base + local.dot(*corner);
            (low.min(at), high.max(at))
        })
    }

    /// From the other's board frame to this one's.
    pub(crate) fn from(&self, other: &Placed) -> DAffine3 {
        self.pose.inverse() * other.pose
    }
}

/// The box around a box that was moved.
pub(crate) fn moved_bounds(bounds: &Bounds, motion: &DAffine3) -> Bounds {
    Bounds::around(bounds.corners().map(|corner| motion.transform_point3(corner)))
}

/// A piece seen from another board's frame.
pub(crate) struct MovedPiece<'a> {
    pub(crate) piece: &'a Piece,
    pub(crate) planes: Vec<HalfSpace>,
    pub(crate) vertices: Vec<DVec3>,
    pub(crate) bounds: Bounds,
}

impl<'a> MovedPiece<'a> {
    pub(crate) fn new(piece: &'a Piece, motion: &DAffine3) -> Self {
        let vertices: Vec<DVec3> =
            piece.vertices().iter().map(|&point| motion.transform_point3(point)).collect();
        let plane = |half: &HalfSpace| {
            let normal = motion.transform_vector3(half.normal);
            HalfSpace { normal, offset: half.offset + normal.dot(motion.translation), tag: half.tag }
        };
        let bounds = Bounds::around(vertices.iter().copied());
        MovedPiece { piece, planes: piece.planes().iter().map(plane).collect(), vertices, bounds }
    }

    /// The pieces of a solid that come within `margin` of a box, moved.
    pub(crate) fn near(
        solid: &'a Solid,
        motion: &DAffine3,
        around: &Bounds,
        margin: f64,
    ) -> Vec<MovedPiece<'a>> {
        let reaches = |piece: &&Piece| moved_bounds(&piece.bounds(), motion).overlaps(around, margin);
        solid.pieces().iter().filter(reaches).map(|piece| MovedPiece::new(piece, motion)).collect()
    }
}
