//! [`clearance`]: the least distance between two boards.

use crate::gjk::distance;
use crate::pair::{MovedPiece, moved_bounds};
use crate::piece::{Cut, NO_FACET, Origin};
use crate::{Bounds, DVec3, HalfSpace, Piece, Placed};

/// Distances below this are contact, mm: placements carry more noise than that.
const CONTACT: f64 = 1e-7;

/// Least distance between two boards, mm; 0 when they touch or overlap. Holes count as wood, arcs as their facets.
pub fn clearance(a: &Placed, b: &Placed) -> f64 {
    let motion = a.from(b);
    let mut pairs = candidates(a, &motion, b);
    pairs.sort_by(|x, y| x.bound.total_cmp(&y.bound).then(x.index.cmp(&y.index)));
    let mut least = f64::INFINITY;
    let mut moved: Vec<Option<MovedPiece>> = b.solid.pieces().iter().map(|_| None).collect();
    for pair in pairs {
        if pair.bound >= least || least == 0.0 {
            break;
        }
        let (ours, theirs) = pair.index;
        let piece = &a.solid.pieces()[ours];
        let other = moved[theirs].get_or_insert_with(|| MovedPiece::new(&b.solid.pieces()[theirs], &motion));
        least = least.min(piece_distance(piece, other));
    }
    least
}

struct Candidate {
    /// The distance is no less than this.
    bound: f64,
    index: (usize, usize),
}

fn candidates(a: &Placed, motion: &crate::DAffine3, b: &Placed) -> Vec<Candidate> {
    let theirs: Vec<Bounds> =
        b.solid.pieces().iter().map(|piece| moved_bounds(&piece.bounds(), motion)).collect();
    let ours = a.solid.pieces().iter().map(Piece::bounds).enumerate();
    ours.flat_map(|(index, bounds)| {
        theirs
            .iter()
            .enumerate()
            .map(move |(other, box_)| Candidate { bound: bounds.distance(box_), index: (index, other) })
    })
    .collect()
}

fn piece_distance(piece: &Piece, other: &MovedPiece) -> f64 {
    let found = distance(piece.vertices(), &other.vertices).unwrap_or_else(|| by_features(piece, other));
    if found < CONTACT { 0.0 } else { found }
}

/// The distance by every pair of edges and every corner over every side: slow, but it cannot fail.
fn by_features(piece: &Piece, other: &MovedPiece) -> f64 {
    let theirs = Polyhedron { vertices: &other.vertices, piece: other.piece };
    let ours = Polyhedron { vertices: piece.vertices(), piece };
    if meet(piece, &other.planes) {
        return 0.0;
    }
    let mut least = ours.corners_over(&theirs).min(theirs.corners_over(&ours));
    let edges = theirs.edges();
    for (a, b) in ours.edges() {
        for &(c, d) in &edges {
            least = least.min(crate::bore::segment_distance(a, b, c, d));
        }
    }
    least
}

/// Whether something of a piece lies inside all the planes.
fn meet(piece: &Piece, planes: &[HalfSpace]) -> bool {
    let origin = Origin { plane: 0, flipped: false, facet: NO_FACET };
    let mut left: Option<Piece> = None;
    for plane in planes {
        match left.as_ref().unwrap_or(piece).clip(plane, origin) {
            Cut::Whole => {}
            Cut::Part(part) => left = Some(part),
            Cut::Nothing => return false,
        }
    }
    true
}

struct Polyhedron<'a> {
    vertices: &'a [DVec3],
    piece: &'a Piece,
}

impl Polyhedron<'_> {
    fn edges(&self) -> Vec<(DVec3, DVec3)> {
        let sides = self.piece.faces().flat_map(|(_, side)| crate::brep::edges_of(side));
        let once = sides.filter(|(a, b)| a < b);
        once.map(|(a, b)| (self.vertices[a as usize], self.vertices[b as usize])).collect()
    }

    /// Least height of the other's corners over the sides that they stand above; 0 when one is inside.
    fn corners_over(&self, other: &Polyhedron) -> f64 {
        other.vertices.iter().map(|&point| self.height_of(point)).fold(f64::INFINITY, f64::min)
    }

    fn height_of(&self, point: DVec3) -> f64 {
        let mut inside = true;
        let mut least = f64::INFINITY;
        for (_, side) in self.piece.faces() {
            let corner = |index: u32| self.vertices[index as usize];
            let normal = (corner(side[1]) - corner(side[0]))
                .cross(corner(side[2]) - corner(side[0]))
                .normalize_or_zero();
            let height = normal.dot(point - corner(side[0]));
            if height > 0.0 {
                inside = false;
                let above = crate::brep::edges_of(side)
                    .all(|(a, b)| (corner(b) - corner(a)).cross(point - corner(a)).dot(normal) >= 0.0);
                if above {
                    least = least.min(height);
                }
            }
        }
        if inside { 0.0 } else { least }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::piece::block;
    use crate::{DAffine3, DQuat, Tag};

    /// The two roads to the distance agree, for boxes in many attitudes: apart, crossing edges, over faces, touching.
    #[test]
    fn gjk_and_features_agree() {
        let brick = block(&Bounds { min: DVec3::ZERO, max: DVec3::new(40.0, 12.0, 5.0) }, Tag::LOW_END);
        let mut gave_up = 0;
        for step in 0..2000_u32 {
            let turn = |factor: f64| (f64::from(step) * factor).rem_euclid(6.2);
            let turned = DQuat::from_axis_angle(
                DVec3::new(turn(0.37) - 3.0, turn(0.71) - 3.0, 1.0).normalize(),
                turn(1.13),
            );
            let shift = DVec3::new(turn(2.3) * 12.0 - 30.0, turn(3.1) * 8.0 - 20.0, turn(0.93) * 6.0);
            let other = MovedPiece::new(&brick, &DAffine3::from_rotation_translation(turned, shift));
            let exact = by_features(&brick, &other);
            match distance(brick.vertices(), &other.vertices) {
                Some(found) => assert!((found - exact).abs() < 1e-9, "step {step}: {found} is not {exact}"),
                None => gave_up += 1,
            }
        }
        assert!(gave_up < 20, "gave up {gave_up} times");
    }
}
