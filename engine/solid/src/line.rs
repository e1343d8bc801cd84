//! [`along`]: a line through a board; [`Lines`]: many of them.

use crate::tolerance::WELD;
use crate::{Bounds, DAffine3, DVec3, Piece, Placed};

/// Directions flatter than this to a plane run beside it (as a sine).
const BESIDE: f64 = 1e-12;

/// The stretches of the segment that run inside the wood, in order, in mm from `from`; holes are ignored, so that the
/// layers a screw passes are whole. Stretches less than a tenth of a micrometre apart are one.
pub fn along(solid: &Placed, from: DVec3, to: DVec3) -> Vec<(f64, f64)> {
    let mut lines = Lines::through(solid);
    lines.along(from, to);
    lines.found
}

/// Many lines through one board, one after the other: what they have in common is worked out once.
pub struct Lines<'a> {
    pieces: &'a [Piece],
    /// From the world into the board's frame.
    inverse: DAffine3,
    found: Vec<(f64, f64)>,
}

impl<'a> Lines<'a> {
    /// Lines through this board.
    pub fn through(solid: &Placed<'a>) -> Self {
        Lines { pieces: solid.solid.pieces(), inverse: solid.pose.inverse(), found: Vec::new() }
    }

    /// What [`along`] gives, until the next line.
    pub fn along(&mut self, from: DVec3, to: DVec3) -> &[(f64, f64)] {
        let (start, end) = (self.inverse.transform_point3(from), self.inverse.transform_point3(to));
        self.found.clear();
        if let Some(direction) = (end - start).try_normalize() {
            let span = (0.0, (end - start).length());
            // Pushed one by one: there are few, and the list keeps its room from line to line.
            stretches(self.pieces, start, direction, span).for_each(|stretch| self.found.push(stretch));
            merge(&mut self.found);
        }
        &self.found
    }
}

/// The stretches of a line inside pieces, within a span.
pub(crate) fn inside(pieces: &[Piece], start: DVec3, direction: DVec3, span: (f64, f64)) -> Vec<(f64, f64)> {
    let mut found: Vec<(f64, f64)> = stretches(pieces, start, direction, span).collect();
    merge(&mut found);
    found
}

/// The stretches of a line inside each of the pieces, as they come.
fn stretches(
    pieces: &[Piece],
    start: DVec3,
    direction: DVec3,
    span: (f64, f64),
) -> impl Iterator<Item = (f64, f64)> {
    let (from, to) = (start + direction * span.0, start + direction * span.1);
    let (low, high) = (from.min(to), from.max(to));
    let near = move |piece: &&Piece| {
        let Bounds { min, max } = piece.bounds();
        // Written out, so that most pieces are passed over after one or two comparisons.
        max.x >= low.x
            && min.x <= high.x
            && max.y >= low.y
            && min.y <= high.y
            && max.z >= low.z
            && min.z <= high.z
    };
    pieces.iter().filter(near).filter_map(move |piece| inside_one(piece, start, direction, span))
}

/// Sorts stretches, and makes those one that lie in each other or end to end.
fn merge(found: &mut Vec<(f64, f64)>) {
    if found.len() < 2 {
        return;
    }
    found.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
    found.dedup_by(|next, last| {
        let joins = next.0 <= last.1 + WELD;
        if joins {
            last.1 = last.1.max(next.1);
        }
        joins
    });
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
