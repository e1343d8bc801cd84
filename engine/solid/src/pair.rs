//! Two solids: overlap, contact, clearance, seating; and a solid and a line.

use crate::{Bounds, DAffine3, DVec3, Solid, Tag};

/// A solid at its place in the world.
#[derive(Clone, Copy, Debug)]
pub struct Placed<'a> {
    /// The solid, in its board's frame.
    pub solid: &'a Solid,
    /// From the board's frame to the world: a rotation and a translation.
    pub pose: DAffine3,
}

impl Placed<'_> {
    /// The box around it in the world, mm.
    pub fn bounds(&self) -> Bounds {
        let points = self.solid.pieces().iter().flat_map(|piece| piece.vertices());
        Bounds::around(points.map(|&point| self.pose.transform_point3(point)))
    }
}

/// Where two solids lie face to face.
#[derive(Clone, Debug, PartialEq)]
pub struct Patch {
    /// The outline, then the outlines of what is left out of it, in the world, mm.
    pub polygon: Vec<Vec<DVec3>>,
    /// Area, mm^2.
    pub area: f64,
    /// Unit normal, out of the first solid.
    pub normal: DVec3,
    /// Middle of the patch.
    pub centroid: DVec3,
    /// What made the two faces: of the first and of the second solid.
    pub tags: (Tag, Tag),
}

/// How one solid sits before another, seen along a direction.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Seating {
    /// Least clear distance over the common footprint, mm.
    pub least: f64,
    /// Greatest clear distance over the common footprint, mm.
    pub greatest: f64,
    /// Area of the common footprint, mm^2.
    pub area: f64,
}

/// Volume that two solids share, mm^3; 0 when they only touch.
pub fn overlap(_a: &Placed, _b: &Placed) -> f64 {
    0.0
}

/// Where two solids lie face to face with no more than `gap` mm between.
pub fn contacts(_a: &Placed, _b: &Placed, _gap: f64) -> Vec<Patch> {
    Vec::new()
}

/// Least distance between two solids, mm; 0 when they touch or overlap.
pub fn clearance(_a: &Placed, _b: &Placed) -> f64 {
    0.0
}

/// The stretches of a segment that run inside the wood, mm from `from`; holes are ignored.
pub fn along(_solid: &Placed, _from: DVec3, _to: DVec3) -> Vec<(f64, f64)> {
    Vec::new()
}

/// How `b` sits before `a`, seen along `direction`.
pub fn gap_along(_a: &Placed, _b: &Placed, _direction: DVec3) -> Option<Seating> {
    None
}
