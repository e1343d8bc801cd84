//! [`along`]: a line through a board.

use crate::tolerance::WELD;
use crate::{DVec3, Piece, Placed};

/// Directions flatter than this to a plane run beside it (as a sine).
const BESIDE: f64 = 1e-12;

/// The stretches of the segment that run inside the wood, in order, in mm from `from`; holes are ignored, so that the
/// layers a screw passes are whole. Stretches less than a tenth of a micrometre apart are one.
pub fn along(solid: &Placed, from: DVec3, to: DVec3) -> Vec<(f64, f64)> {
    let inverse = solid.pose.inverse();
    let (start, end) = (inverse.transform_point3(from), inverse.transform_point3(to));
    match (end - start).try_normalize() {
        Some(direction) => inside(solid.solid.pieces(), start, direction, (0.0, (end - start).length())),
        None => Vec::new(),
    }
}

/// The stretches of a line inside pieces, within a span.
pub(crate) fn inside(pieces: &[Piece], start: DVec3, direction: DVec3, span: (f64, f64)) -> Vec<(f64, f64)> {
    let (from, to) = (start + direction * span.0, start + direction * span.1);
    let (low, high) = (from.min(to), from.max(to));
    let near = |piece: &&Piece| {
        let bounds = piece.bounds();
        bounds.max.cmpge(low).all() && bounds.min.cmple(high).all()
    };
    let mut found: Vec<(f64, f64)> =
        pieces.iter().filter(near).filter_map(|piece| inside_one(piece, start, direction, span)).collect();
    if found.len() < 2 {
        return found;
    }
    found.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
    let mut merged: Vec<(f64, f64)> = Vec::new();
    for (low, high) in found {
        match merged.last_mut() {
            Some(last) if low <= last.1 + WELD => last.1 = last.1.max(high),
            _ => merged.push((low, high)),
        }
    }
    merged
}

fn inside_one(piece: &Piece, start: DVec3, direction: DVec3, span: (f64, f64)) -> Option<(f64, f64)> {
    let (mut low, mut high) = span;
    for plane in piece.planes() {
        let rise = plane.normal.dot(direction);
        let room = plane.offset - plane.normal.dot(start);
        if rise.abs() < BESIDE {
            if room <= 0.0 {
                return None;
            }
        } else if rise > 0.0 {
            high = high.min(room / rise);
        } else {
            low = low.max(room / rise);
        }
        if high - low <= WELD {
            return None;
        }
    }
    Some((low, high))
}
