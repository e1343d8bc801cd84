//! [`Mover`]: wood and tools moved along straight lines, and whether they pass through what stands.

use crate::gjk::apart;
use crate::piece::{Cut, NO_FACET, Origin};
use crate::{Bounds, DVec3, HalfSpace, Piece, Placed};

/// Convex bodies in the world that move together.
#[derive(Clone, Debug)]
pub struct Mover {
    hulls: Vec<Hull>,
    bounds: Bounds,
}

#[derive(Clone, Debug)]
struct Hull {
    corners: Vec<DVec3>,
    bounds: Bounds,
}

impl Hull {
    fn new(corners: Vec<DVec3>) -> Self {
        let bounds = Bounds::around(corners.iter().copied());
        Hull { corners, bounds }
    }
}

impl Mover {
    /// The wood of a board at its place, holes ignored, each of its pieces made smaller by `inset` mm on every side, so that
    /// boards that only touch slide along each other. Pieces thinner than that vanish.
    pub fn wood(placed: &Placed, inset: f64) -> Mover {
        let hull = |piece: &Piece| {
            let smaller = made_smaller(piece, inset)?;
            let world = smaller.vertices().iter().map(|&point| placed.pose.transform_point3(point));
            Some(Hull::new(world.collect()))
        };
        Mover::of(placed.solid.pieces().iter().filter_map(hull).collect())
    }

    /// A round rod with flat ends, as a prism of `ROD_SIDES` sides around it.
    pub fn rod(from: DVec3, to: DVec3, radius: f64) -> Mover {
        let Some(axis) = (to - from).try_normalize() else { return Mover::of(Vec::new()) };
        let (one, other) = axis.any_orthonormal_pair();
        let outside = radius / slatwork_base::maths::cos(core::f64::consts::PI / ROD_SIDES as f64);
        let rim = (0..ROD_SIDES).map(|side| {
            let turn = core::f64::consts::TAU * side as f64 / ROD_SIDES as f64;
            (one * slatwork_base::maths::cos(turn) + other * slatwork_base::maths::sin(turn)) * outside
        });
        let corners = rim.flat_map(|reach| [from + reach, to + reach]).collect();
        Mover::of(vec![Hull::new(corners)])
    }

    fn of(hulls: Vec<Hull>) -> Mover {
        let bounds = hulls.iter().fold(Bounds::EMPTY, |all, hull| all.union(&hull.bounds));
        Mover { hulls, bounds }
    }

    /// The box around it, mm; an empty box when nothing is left.
    pub fn bounds(&self) -> Bounds {
        self.bounds
    }

    /// Extent along a unit direction: least and greatest, mm.
    pub fn extent(&self, direction: DVec3) -> (f64, f64) {
        let reach = self.hulls.iter().flat_map(|hull| &hull.corners).map(|corner| corner.dot(direction));
        reach.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), at| (low.min(at), high.max(at)))
    }

    /// Whether it passes through the other while it is moved by `motion` from where it is (mm), start and end included.
    pub fn hits(&self, other: &Mover, motion: DVec3) -> bool {
        if !swept(&self.bounds, motion).overlaps(&other.bounds, 0.0) {
            return false;
        }
        self.hulls.iter().any(|hull| {
            let path = swept(&hull.bounds, motion);
            path.overlaps(&other.bounds, 0.0)
                && other.hulls.iter().any(|standing| {
                    path.overlaps(&standing.bounds, 0.0) && !apart(&hull.corners, motion, &standing.corners)
                })
        })
    }
}

/// Sides of the prism that stands for a rod: it is nowhere more than 4 % wider than round.
const ROD_SIDES: usize = 12;

fn swept(bounds: &Bounds, motion: DVec3) -> Bounds {
    Bounds { min: bounds.min + motion.min(DVec3::ZERO), max: bounds.max + motion.max(DVec3::ZERO) }
}

fn made_smaller(piece: &Piece, inset: f64) -> Option<Piece> {
    let origin = Origin { plane: 0, flipped: false, facet: NO_FACET };
    let mut left: Option<Piece> = None;
    for plane in piece.planes() {
        let inner = HalfSpace { offset: plane.offset - inset, ..*plane };
        match left.as_ref().unwrap_or(piece).clip(&inner, origin) {
            Cut::Whole => {}
            Cut::Part(part) => left = Some(part),
            Cut::Nothing => return None,
        }
    }
    left.or_else(|| Some(piece.clone()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{DAffine3, Shape, Solid, Tolerance, build};

    fn block(length: f64, width: f64, thickness: f64) -> Solid {
        build(&Shape::board(length, width, thickness), &Tolerance::default()).unwrap()
    }

    fn at(solid: &Solid, x: f64, y: f64, z: f64) -> Mover {
        let pose = DAffine3::from_translation(DVec3::new(x, y, z));
        Mover::wood(&Placed { solid, pose }, 0.075)
    }

    #[test]
    fn a_board_slides_along_its_neighbour_and_not_through_it() {
        let board = block(100.0, 40.0, 20.0);
        let (standing, beside) = (at(&board, 0.0, 0.0, 0.0), at(&board, 0.0, 40.0, 0.0));
        assert!(!beside.hits(&standing, DVec3::new(500.0, 0.0, 0.0)));
        assert!(!beside.hits(&standing, DVec3::new(0.0, 500.0, 0.0)));
        assert!(beside.hits(&standing, DVec3::new(0.0, -5.0, 0.0)));
        // Right through and out on the other side: both ends are free, the way is not.
        assert!(beside.hits(&standing, DVec3::new(0.0, -500.0, 0.0)));
        // Pressed in by a tenth of a millimetre is touching, by half a millimetre is not.
        assert!(!at(&board, 0.0, 39.9, 0.0).hits(&standing, DVec3::ZERO));
        assert!(at(&board, 0.0, 39.5, 0.0).hits(&standing, DVec3::ZERO));
    }

    #[test]
    fn a_leaning_way_is_followed_exactly() {
        let board = block(100.0, 40.0, 20.0);
        let standing = at(&board, 0.0, 0.0, 0.0);
        let above = at(&board, 200.0, 0.0, 100.0);
        // Its lower left corner comes down beside the other board, to its end and no further; then into it.
        assert!(!above.hits(&standing, DVec3::new(-100.0, 0.0, -100.0)));
        assert!(!above.hits(&standing, DVec3::new(-100.0, 0.0, -79.9)));
        assert!(above.hits(&standing, DVec3::new(-110.0, 0.0, -85.0)));
    }

    #[test]
    fn a_rod_is_round_enough() {
        let board = block(100.0, 40.0, 20.0);
        let standing = at(&board, 0.0, 0.0, 0.0);
        let rod = |x: f64| Mover::rod(DVec3::new(x, 20.0, 50.0), DVec3::new(x, 20.0, 0.0), 5.0);
        assert!(rod(50.0).hits(&standing, DVec3::ZERO));
        assert!(rod(104.0).hits(&standing, DVec3::ZERO));
        assert!(!rod(105.3).hits(&standing, DVec3::ZERO));
        assert!(rod(130.0).hits(&standing, DVec3::new(-50.0, 0.0, 0.0)));
    }
}
