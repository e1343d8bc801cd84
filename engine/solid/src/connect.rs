//! How many separate bodies the pieces of a board make.

use crate::Mesh;
use crate::body::Body;
use crate::flat::{Frame, signed_area};
use crate::piece::Piece;
use crate::{DVec2, DVec3};

/// Pieces that share less than this hang together by an edge or a thread only: separate, mm^2.
const LEAST_SHARED: f64 = 1e-3;

/// Bodies: groups of pieces that share faces.
pub(crate) fn bodies(body: &Body) -> usize {
    hanging_together(body).count()
}

/// The pieces that do not hang together with the greatest body.
pub(crate) fn loose(body: &Body) -> Vec<&Piece> {
    let mut groups = hanging_together(body);
    let roots: Vec<usize> = (0..body.pieces.len()).map(|piece| groups.root(piece)).collect();
    let mut volumes = vec![0.0; roots.len()];
    roots.iter().zip(&body.pieces).for_each(|(&root, piece)| volumes[root] += piece.volume());
    let greatest = (0..volumes.len()).max_by(|a, b| volumes[*a].total_cmp(&volumes[*b]));
    let apart = roots.iter().zip(&body.pieces).filter(|(root, _)| Some(**root) != greatest);
    apart.map(|(_, piece)| piece).collect()
}

fn hanging_together(body: &Body) -> Groups {
    let mut groups = Groups::new(body.pieces.len());
    if body.pieces.len() > 1 {
        for plane in sides_by_plane(body).chunk_by(|a, b| a.plane == b.plane) {
            join_across(plane, body, &mut groups);
        }
    }
    groups
}

/// Bodies of a closed mesh: groups of triangles that share corners, hollows inside not counted.
pub(crate) fn mesh_bodies(mesh: &Mesh) -> usize {
    let mut groups = Groups::new(mesh.positions.len());
    for &[a, b, c] in &mesh.triangles {
        groups.join(a as usize, b as usize);
        groups.join(b as usize, c as usize);
    }
    let mut volumes = vec![0.0; mesh.positions.len()];
    for &[a, b, c] in &mesh.triangles {
        let [p, q, r] = [a, b, c].map(|corner| mesh.positions[corner as usize]);
        volumes[groups.root(a as usize)] += p.dot(q.cross(r));
    }
    volumes.iter().filter(|&&volume| volume > 0.0).count()
}

#[derive(Clone, Copy)]
struct Side {
    plane: u32,
    flipped: bool,
    piece: usize,
    side: usize,
}

fn sides_by_plane(body: &Body) -> Vec<Side> {
    let mut sides = Vec::new();
    for (piece, at) in body.pieces.iter().zip(0..) {
        for (origin, side) in piece.origins().iter().zip(0..) {
            sides.push(Side { plane: origin.plane, flipped: origin.flipped, piece: at, side });
        }
    }
    sides.sort_by_key(|side| (side.plane, side.flipped));
    sides
}

fn join_across(sides: &[Side], body: &Body, groups: &mut Groups) {
    let split = sides.partition_point(|side| !side.flipped);
    let plane = sides[0].plane;
    let frame = Frame::new(body.planes.normal(plane), body.planes.offset(plane));
    for one in &sides[..split] {
        for other in &sides[split..] {
            if groups.root(one.piece) != groups.root(other.piece)
                && share(&body.pieces[one.piece], one.side, &body.pieces[other.piece], other.side, &frame)
            {
                groups.join(one.piece, other.piece);
            }
        }
    }
}

fn share(one: &Piece, side: usize, other: &Piece, other_side: usize, frame: &Frame) -> bool {
    if !one.bounds().overlaps(&other.bounds(), 0.0) {
        return false;
    }
    let flat = |piece: &Piece, side: usize| -> Vec<DVec2> {
        let point = |&corner: &u32| -> DVec3 { piece.vertices()[corner as usize] };
        piece.side(side).iter().map(point).map(|point| frame.flat(point)).collect()
    };
    let common = crate::contact::convex_intersection(&flat(one, side), &flat(other, other_side));
    common.is_some_and(|ring| signed_area(&ring) * frame.stretch() > LEAST_SHARED)
}

/// Things put together in groups.
struct Groups {
    parent: Vec<usize>,
}

impl Groups {
    fn new(count: usize) -> Self {
        Groups { parent: (0..count).collect() }
    }

    fn root(&mut self, at: usize) -> usize {
        let mut root = at;
        while self.parent[root] != root {
            self.parent[root] = self.parent[self.parent[root]];
            root = self.parent[root];
        }
        root
    }

    /// The lower root stays, so the result does not depend on the order.
    fn join(&mut self, a: usize, b: usize) {
        let (a, b) = (self.root(a), self.root(b));
        self.parent[a.max(b)] = a.min(b);
    }

    fn count(&mut self) -> usize {
        (0..self.parent.len()).filter(|&at| self.parent[at] == at).count()
    }
}
