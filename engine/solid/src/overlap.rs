//! [`overlap`]: the wood that two boards claim both.

use crate::carve::shared_volume;
use crate::pair::{MovedPiece, moved_bounds};
use crate::piece::{Cut, NO_FACET, Origin};
use crate::tolerance::{LEAST_OVERLAP, TOUCH, TOUCH_CURVED};
use crate::{Bounds, DAffine3, DVec3, HalfSpace, Hole, Mesh, Piece, Placed};

/// Volume that two boards share, mm^3; 0 when they only touch, that is when they press into each other by less than
/// 0.01 mm (0.1 mm on curved faces, which are facets here) or share less than a thousandth of a mm^3.
///
/// Where a hole lies near the shared wood, the pair goes through a mesh boolean, so a peg in its hole does not overlap;
/// there the mesh's facets stand for round walls.
pub fn overlap(a: &Placed, b: &Placed) -> f64 {
    let motion = a.from(b);
    let ours = a.solid.bounds();
    if !moved_bounds(&b.solid.bounds(), &motion).overlaps(&ours, -TOUCH) {
        return 0.0;
    }
    let theirs = MovedPiece::near(b.solid, &motion, &ours, -TOUCH);
    let mut shared = Shared { volume: 0.0, bounds: Bounds::EMPTY };
    for piece in a.solid.pieces() {
        for other in &theirs {
            if piece.bounds().overlaps(&other.bounds, -TOUCH) && !separated(piece, other) {
                shared.add(piece, other);
            }
        }
    }
    if shared.volume < LEAST_OVERLAP {
        return 0.0;
    }
    let volume = if hole_near(a, b, &motion, &shared.bounds) {
        with_holes(a, b, &motion, shared.volume)
    } else {
        shared.volume
    };
    if volume < LEAST_OVERLAP { 0.0 } else { volume }
}

struct Shared {
    volume: f64,
    bounds: Bounds,
}

impl Shared {
    fn add(&mut self, piece: &Piece, other: &MovedPiece) {
        let origin = Origin { plane: 0, flipped: false, facet: NO_FACET };
        let mut left: Option<Piece> = None;
        for plane in &other.planes {
            match left.as_ref().unwrap_or(piece).clip(plane, origin) {
                Cut::Whole => {}
                Cut::Part(part) => left = Some(part),
                Cut::Nothing => return,
            }
        }
        let left = left.as_ref().unwrap_or(piece);
        self.volume += left.volume();
        self.bounds = self.bounds.union(&left.bounds());
    }
}

/// Whether a side of either piece has the other one outside, pressed in by no more than touching allows.
fn separated(piece: &Piece, other: &MovedPiece) -> bool {
    splits(piece.planes(), piece, &other.vertices, other.piece.curved())
        || splits(&other.planes, other.piece, piece.vertices(), piece.curved())
}

fn splits(planes: &[HalfSpace], owner: &Piece, points: &[DVec3], curved: &[bool]) -> bool {
    planes.iter().zip(owner.origins()).any(|(plane, origin)| {
        let allowed =
            |is_curved: bool| if is_curved || origin.facet != NO_FACET { -TOUCH_CURVED } else { -TOUCH };
        points
            .iter()
            .zip(curved)
            .all(|(&point, &is_curved)| plane.normal.dot(point) - plane.offset >= allowed(is_curved))
    })
}

fn hole_near(a: &Placed, b: &Placed, motion: &DAffine3, region: &Bounds) -> bool {
    let near = |hole: &Hole, motion: &DAffine3, length: f64| reaches(hole, motion, length, region);
    let still = DAffine3::IDENTITY;
    let long = |placed: &Placed| placed.solid.bounds().size().length();
    a.solid.shape().holes.iter().any(|hole| near(hole, &still, long(a)))
        || b.solid.shape().holes.iter().any(|hole| near(hole, motion, long(b)))
}

/// Whether the box around a hole meets the region.
fn reaches(hole: &Hole, motion: &DAffine3, length: f64, region: &Bounds) -> bool {
    let deepest = hole.steps.iter().map(|step| step.depth).fold(0.0, f64::max);
    let widest = hole.steps.iter().map(|step| step.radius).fold(0.0, f64::max);
    let start = motion.transform_point3(hole.start);
    // A hole may start somewhat outside the board, but never by more than the board's own length in practice.
    let end =
        start + motion.transform_vector3(hole.direction.normalize_or_zero()) * deepest.min(2.0 * length);
    Bounds::around([start, end]).overlaps(region, widest)
}

/// The shared volume with the holes bored; without them when the boolean fails.
fn with_holes(a: &Placed, b: &Placed, motion: &DAffine3, whole: f64) -> f64 {
    let theirs = b.solid.mesh();
    let positions = theirs.positions.iter().map(|&point| motion.transform_point3(point)).collect();
    let moved = Mesh { positions, triangles: theirs.triangles.clone(), tags: Vec::new() };
    shared_volume(a.solid.mesh(), &moved).unwrap_or(whole).min(whole)
}
