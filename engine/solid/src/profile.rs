//! Closed outlines of lines and arcs.

use crate::{DVec2, Tag};

/// A corner of a [`Profile`] and the edge that leaves it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Vertex {
    /// Where, in mm.
    pub point: DVec2,
    /// Tangent of a quarter of the angle that the edge to the next vertex turns through: 0 for a line, positive for
    /// an arc turning left, 1 for a half circle (the DXF convention).
    pub bulge: f64,
    /// What made the edge that leaves this vertex.
    pub tag: Tag,
}

/// A closed outline, counter-clockwise, of lines and arcs. It never crosses itself.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Profile {
    /// Corners in order; the last edge leads back to the first corner.
    pub vertices: Vec<Vertex>,
}

impl Profile {
    /// A rectangle from (0, 0) to (`length`, `width`), edges tagged as a board's edges and ends.
    pub fn rectangle(length: f64, width: f64) -> Self {
        let corner = |x, y, tag| Vertex { point: DVec2::new(x, y), bulge: 0.0, tag };
        Profile {
            vertices: vec![
                corner(0.0, 0.0, Tag::LOW_EDGE),
                corner(length, 0.0, Tag::HIGH_END),
                corner(length, width, Tag::HIGH_EDGE),
                corner(0.0, width, Tag::LOW_END),
            ],
        }
    }
}
