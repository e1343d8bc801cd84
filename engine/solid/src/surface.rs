//! What a solid's surface is handed out as: faces, walls, edges, mesh.

use crate::{DVec3, Tag};

/// A closed line of straight edges round a [`Face`].
#[derive(Clone, Debug, PartialEq)]
pub struct Loop {
    /// Corners in order, mm, the face on the left when seen from outside the wood.
    pub points: Vec<DVec3>,
    /// For the edge that leaves each corner, the tag of the face on its other side.
    pub edge_tags: Vec<Tag>,
}

/// A planar face of a solid, in one piece.
#[derive(Clone, Debug, PartialEq)]
pub struct Face {
    /// Unit normal, out of the wood.
    pub normal: DVec3,
    /// Distance of the plane from the origin along the normal, mm.
    pub offset: f64,
    /// What made the face.
    pub tag: Tag,
    /// The outer loop, then the inner ones; rims of holes are polygons that carry the hole's tag.
    pub loops: Vec<Loop>,
}

/// The wall of one stretch of a hole: a cylinder between two planes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wall {
    /// Where the axis enters the stretch, mm.
    pub start: DVec3,
    /// Where the axis leaves it.
    pub end: DVec3,
    /// Unit direction of the axis, from start to end.
    pub direction: DVec3,
    /// Normals of the planes that end the cylinder, pointing away from the stretch; along the axis where the rim is a
    /// circle, leaning where it is an ellipse.
    pub end_normals: [DVec3; 2],
    /// Radius, mm.
    pub radius: f64,
    /// The hole.
    pub tag: Tag,
}

/// What an [`Edge`] looks like.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum EdgeKind {
    /// A crease.
    Sharp,
    /// Between facets of one curve, at a tangent transition from line to arc, or between faces of one plane: not a line
    /// on the real board.
    Smooth,
    /// A side of the polygon that stands for the rim of a hole.
    HoleRim,
}

/// A straight edge between two faces.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Edge {
    /// One end, mm.
    pub a: DVec3,
    /// The other end, mm.
    pub b: DVec3,
    /// Normals of the two faces, out of the wood; at a rim the second one is the wall's, toward the axis.
    pub normals: [DVec3; 2],
    /// What made the two faces.
    pub tags: [Tag; 2],
    /// What it looks like.
    pub kind: EdgeKind,
}

/// A closed mesh of triangles: every edge is used once in each direction.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Mesh {
    /// Corners, mm.
    pub positions: Vec<DVec3>,
    /// Triangles, counter-clockwise seen from outside the wood.
    pub triangles: Vec<[u32; 3]>,
    /// What made each triangle.
    pub tags: Vec<Tag>,
}

impl Mesh {
    /// Volume enclosed, mm^3.
    pub fn volume(&self) -> f64 {
        let Some(&origin) = self.positions.first() else { return 0.0 };
        let corner = |index: u32| self.positions[index as usize] - origin;
        let six = |&[a, b, c]: &[u32; 3]| corner(a).dot(corner(b).cross(corner(c)));
        self.triangles.iter().map(six).sum::<f64>() / 6.0
    }

    /// Whether every edge of a triangle is met by exactly as many in the other direction.
    pub fn is_closed(&self) -> bool {
        let mut edges: Vec<(u32, u32, i32)> = Vec::with_capacity(self.triangles.len() * 3);
        for &[a, b, c] in &self.triangles {
            for (from, to) in [(a, b), (b, c), (c, a)] {
                edges.push(if from < to { (from, to, 1) } else { (to, from, -1) });
            }
        }
        edges.sort_unstable();
        edges
            .chunk_by(|a, b| (a.0, a.1) == (b.0, b.1))
            .all(|run| run.iter().map(|edge| edge.2).sum::<i32>() == 0)
    }
}
