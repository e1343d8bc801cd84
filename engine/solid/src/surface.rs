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
        // Edges are put in a tray for each lower corner; the few in a tray are compared at once.
        let edges = || {
            let sides = self.triangles.iter().flat_map(|&[a, b, c]| [(a, b), (b, c), (c, a)]);
            sides.map(|(from, to)| if from < to { (from, to, 1) } else { (to, from, -1) })
        };
        let mut ends = vec![0_u32; self.positions.len() + 1];
        edges().for_each(|(low, _, _)| ends[low as usize + 1] += 1);
        (1..ends.len()).for_each(|at| ends[at] += ends[at - 1]);
        let mut next = ends.clone();
        let mut trays = vec![(0_u32, 0_i32); self.triangles.len() * 3];
        for (low, high, direction) in edges() {
            trays[next[low as usize] as usize] = (high, direction);
            next[low as usize] += 1;
        }
        ends.windows(2).all(|pair| balances(&mut trays[pair[0] as usize..pair[1] as usize]))
    }
}

/// Whether the directions of the edges to each corner cancel.
fn balances(tray: &mut [(u32, i32)]) -> bool {
    tray.sort_unstable();
    tray.chunk_by(|a, b| a.0 == b.0).all(|run| run.iter().map(|edge| edge.1).sum::<i32>() == 0)
}
