//! Where a drawing is looked at from.

use slatwork_solid::{DVec2, DVec3};

/// A view of a whole piece, by name. World axes: x to the right of someone who faces the seat, y to the rear, z up.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum View {
    /// Facing the seat.
    Front,
    /// From the right of someone who faces the seat.
    Side,
    /// From above, the front toward the reader.
    Top,
    /// From above, in front and to the right, the three axes foreshortened alike.
    Isometric,
}

impl View {
    /// All views in the order of the sheet.
    pub const ALL: [View; 4] = [View::Front, View::Side, View::Top, View::Isometric];

    /// What it is called on the sheet.
    pub fn name(self) -> &'static str {
        match self {
            View::Front => "front",
            View::Side => "side",
            View::Top => "top",
            View::Isometric => "isometric",
        }
    }

    /// The directions of paper and viewer.
    pub fn camera(self) -> Camera {
        match self {
            View::Front => Camera { right: DVec3::X, up: DVec3::Z, toward: DVec3::NEG_Y },
            View::Side => Camera { right: DVec3::Y, up: DVec3::Z, toward: DVec3::X },
            View::Top => Camera { right: DVec3::X, up: DVec3::Y, toward: DVec3::Z },
            View::Isometric => Camera {
                right: DVec3::new(1.0, 1.0, 0.0).normalize(),
                up: DVec3::new(-1.0, 1.0, 2.0).normalize(),
                toward: DVec3::new(1.0, -1.0, 1.0).normalize(),
            },
        }
    }
}

/// Directions of a view: all of unit length, at right angles, `right` x `up` = `toward`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Camera {
    /// The world's direction that runs to the right on paper.
    pub right: DVec3,
    /// The world's direction that runs up on paper.
    pub up: DVec3,
    /// From the piece to the viewer.
    pub toward: DVec3,
}

impl Camera {
    /// From a corner of the box round the piece, its three axes foreshortened alike: the signs say on which side of each.
    pub(crate) fn from_corner(corner: DVec3) -> Camera {
        let toward = corner.normalize();
        let right = DVec3::Z.cross(toward).normalize();
        Camera { right, up: toward.cross(right), toward }
    }

    /// A board's wide face: the grain to the right, the width up.
    pub const BOARD_FACE: Camera = Camera { right: DVec3::X, up: DVec3::Y, toward: DVec3::Z };
    /// A board's edge, seen from the low edge; it stands below the face in third-angle projection.
    pub const BOARD_EDGE: Camera = Camera { right: DVec3::X, up: DVec3::Z, toward: DVec3::NEG_Y };
    /// A board's far end; it stands to the right of the face in third-angle projection.
    pub const BOARD_END: Camera = Camera { right: DVec3::NEG_Z, up: DVec3::Y, toward: DVec3::X };

    /// Where a point falls on the view, mm.
    pub fn flat(&self, point: DVec3) -> DVec2 {
        DVec2::new(point.dot(self.right), point.dot(self.up))
    }

    /// Where a point falls on the view, and how near to the viewer it is, mm.
    pub(crate) fn see(&self, point: DVec3) -> DVec3 {
        DVec3::new(point.dot(self.right), point.dot(self.up), point.dot(self.toward))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cameras_are_right_handed() {
        let boards = [Camera::BOARD_FACE, Camera::BOARD_EDGE, Camera::BOARD_END];
        for camera in View::ALL.map(View::camera).into_iter().chain(boards) {
            assert!((camera.right.cross(camera.up) - camera.toward).length() < 1e-15, "{camera:?}");
        }
    }
}
