//! What a convex region has in common with wood.

use crate::piece::{Cut, INNER, NO_FACET, Origin};
use crate::{Bounds, HalfSpace, Piece, Solid};

/// The part of a piece inside all half-spaces, if any.
fn inside(piece: &Piece, planes: &[HalfSpace]) -> Option<Piece> {
    if !piece.may_meet(planes) {
        return None;
    }
    let origin = Origin { plane: 0, flipped: false, facet: NO_FACET };
    let mut rest: Option<Piece> = None;
    for plane in planes {
        let inner = HalfSpace { tag: INNER, ..*plane };
        match rest.as_ref().unwrap_or(piece).clip(&inner, origin) {
            Cut::Whole => {}
            Cut::Nothing => return None,
            Cut::Part(part) => rest = Some(part),
        }
    }
    Some(rest.unwrap_or_else(|| piece.clone()))
}

/// Volume that a piece shares with the region inside all half-spaces, mm^3.
pub fn clipped_volume(piece: &Piece, planes: &[HalfSpace]) -> f64 {
    inside(piece, planes).map_or(0.0, |part| part.volume())
}

/// The box around what a solid (holes ignored) shares with the region inside all half-spaces; `None` when they share nothing.
pub fn common_bounds(solid: &Solid, planes: &[HalfSpace]) -> Option<Bounds> {
    let parts = solid.pieces().iter().filter_map(|piece| inside(piece, planes));
    parts.map(|part| part.bounds()).reduce(|a, b| a.union(&b))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{DVec3, Shape, Tag, Tolerance, build};

    #[test]
    fn a_corner_of_a_board() {
        let board = build(&Shape::board(100.0, 50.0, 20.0), &Tolerance::default()).expect("a plain board");
        let plane = |normal, offset| HalfSpace { normal, offset, tag: Tag(16) };
        let region = [plane(DVec3::X, 10.0), plane(DVec3::Y, 5.0)];
        assert!((clipped_volume(&board.pieces()[0], &region) - 1000.0).abs() < 1e-9);
        let bounds = common_bounds(&board, &region).expect("they meet");
        assert_eq!((bounds.min, bounds.max), (DVec3::ZERO, DVec3::new(10.0, 5.0, 20.0)));
        assert!(common_bounds(&board, &[plane(DVec3::X, -1.0)]).is_none());
    }
}
