//! A plane as a builder marks it: where it crosses three long lines of the board's box.

use crate::words::Along;
use slatwork_base::Length;
use slatwork_solid::{DVec3, HalfSpace};

/// A plane by three marks. Each lies on a corner line of the finished box that runs along [`PlaneMarks::along`], measured
/// from that direction's datum: the line where both other directions are at their datum; the one at the far side of
/// the first of them (in the order length, width, thickness); the one at the far side of the second. A builder strikes
/// the line between the first two on one side of the board and between the first and the third on the other. The marks
/// may lie beyond the board.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PlaneMarks {
    /// The direction in which the plane is measured: the one it lies most squarely across.
    pub along: Along,
    /// The half-space meant is the one on the far side of the marks; else the one on the datum's side.
    pub beyond: bool,
    /// The three marks, to the nanometre.
    pub marks: [Length; 3],
}

impl PlaneMarks {
    /// The marks of the half-space on a box of the given size (length, width, thickness), mm.
    pub fn of(plane: &HalfSpace, size: DVec3) -> Self {
        let normal = plane.normal;
        let axis = normal.abs().max_position();
        let along = Along::ALL[axis];
        let (first, second) = across(along);
        let mark = |at_first: f64, at_second: f64| {
            let rest = normal[first] * at_first + normal[second] * at_second;
            Length::mm((plane.offset - rest) / normal[axis])
        };
        let marks = [mark(0.0, 0.0), mark(size[first], 0.0), mark(0.0, size[second])];
        PlaneMarks { along, beyond: normal[axis] < 0.0, marks }
    }

    /// The plane again, normal pointing out of the half-space meant: what a reader of the papers works out. `None` for a
    /// box without extent.
    pub fn plane(&self, size: DVec3) -> Option<(DVec3, f64)> {
        let axis = self.along.index();
        let (first, second) = across(self.along);
        let at = |mark: Length, at_first: f64, at_second: f64| {
            let mut point = DVec3::ZERO;
            point[axis] = mark.as_mm();
            point[first] = at_first;
            point[second] = at_second;
            point
        };
        let corner = at(self.marks[0], 0.0, 0.0);
        let (a, b) = (at(self.marks[1], size[first], 0.0), at(self.marks[2], 0.0, size[second]));
        let square = (a - corner).cross(b - corner).try_normalize()?;
        let out = if (square[axis] < 0.0) == self.beyond { square } else { -square };
        Some((out, out.dot(corner)))
    }
}

/// The two other directions, in order.
fn across(along: Along) -> (usize, usize) {
    match along {
        Along::Length => (1, 2),
        Along::Width => (0, 2),
        Along::Thickness => (0, 1),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use slatwork_solid::Tag;

    proptest! {
        /// Three marks give the plane back, to a thousandth of a millimetre anywhere on the board.
        #[test]
        fn marks_give_the_plane_back(
            (x, y, z) in (-1.0f64..1.0, -1.0f64..1.0, -1.0f64..1.0), offset in -500.0f64..500.0,
            (length, width, thickness) in (20.0f64..3000.0, 20.0f64..300.0, 10.0f64..90.0),
        ) {
            let vector = DVec3::new(x, y, z);
            prop_assume!(vector.length() > 0.1);
            let plane = HalfSpace { normal: vector.normalize(), offset, tag: Tag::default() };
            let size = DVec3::new(length, width, thickness);
            let marks = PlaneMarks::of(&plane, size);
            let (normal, back) = marks.plane(size).expect("the box has extent");
            prop_assert!(normal.dot(plane.normal) > 0.0);
            for corner in [DVec3::ZERO, size, size * DVec3::X, size * DVec3::Y, size * DVec3::Z] {
                let (here, there) = (plane.normal.dot(corner) - offset, normal.dot(corner) - back);
                prop_assert!((here - there).abs() < 1e-3, "{here} {there}");
            }
        }
    }
}
