//! Where a rigid body stands and how it is turned.

use super::linear::Columns;
use slatwork_base::{Angle, maths};
use slatwork_solid::{DMat3, DQuat, DVec3};

/// Three along x, y, z, then three about them: how a pose may move.
pub(super) const FREEDOMS: usize = 6;

/// A pose: a point p of the body stands at `place` + `turn` p.
#[derive(Clone, Copy, Debug)]
pub(super) struct Pose {
    pub(super) place: DVec3,
    pub(super) turn: DQuat,
}

impl Pose {
    /// Level, as drawn.
    pub(super) fn level(place: DVec3) -> Self {
        Pose { place, turn: DQuat::IDENTITY }
    }

    /// Shifted, and turned about fixed axes through `place` by the rotation vector in the last three.
    pub(super) fn moved(&self, step: &[f64]) -> Self {
        let (shift, turn) = halves(step);
        Pose { place: self.place + shift, turn: (DQuat::from_scaled_axis(turn) * self.turn).normalize() }
    }

    pub(super) fn point(&self, of_body: DVec3) -> DVec3 {
        self.place + self.turn * of_body
    }

    /// The same pose told by another point of the body.
    pub(super) fn told_by(&self, of_body: DVec3) -> Self {
        Pose { place: self.point(of_body), turn: self.turn }
    }

    /// Cosine of the angle between the body's own upright and the vertical: negative when it has turned over.
    pub(super) fn uprightness(&self) -> f64 {
        (self.turn * DVec3::Z).z
    }

    /// Tilt (rear goes down), roll (right side goes up) and yaw: turned about the fixed x axis first, then y, then z.
    pub(super) fn angles(&self) -> [Angle; 3] {
        let matrix = DMat3::from_quat(self.turn);
        let (x, y) = (matrix.x_axis, matrix.y_axis);
        let about_x = maths::atan2(y.z, matrix.z_axis.z);
        let about_y = maths::asin(-x.z);
        let about_z = maths::atan2(x.y, x.x);
        [-Angle::rad(about_x), -Angle::rad(about_y), Angle::rad(about_z)]
    }
}

/// The shift and the turn of a step.
pub(super) fn halves(step: &[f64]) -> (DVec3, DVec3) {
    (DVec3::new(step[0], step[1], step[2]), DVec3::new(step[3], step[4], step[5]))
}

/// Shift and turn in one row.
pub(super) fn joined(shift: DVec3, turn: DVec3) -> Vec<f64> {
    [shift.to_array(), turn.to_array()].concat()
}

/// What a step told by a point at `lever` from the place (in fixed axes) is when told by the place itself: the turn is the
/// same, and the place shifts by the turn times the lever less.
pub(super) fn told_at(lever: DVec3) -> Columns {
    let shifts = [DVec3::X, DVec3::Y, DVec3::Z].map(|axis| joined(axis, DVec3::ZERO));
    let turns = [DVec3::X, DVec3::Y, DVec3::Z].map(|axis| joined(lever.cross(axis), axis));
    [shifts, turns].concat()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn angles_have_the_signs_of_the_trade() {
        let turned = |turn: DVec3| Pose::level(DVec3::ZERO).moved(&joined(DVec3::ZERO, turn));
        let rear_down = turned(DVec3::new(-0.1, 0.0, 0.0));
        assert!(rear_down.point(DVec3::Y).z < 0.0);
        let right_up = turned(DVec3::new(0.0, -0.1, 0.0));
        assert!(right_up.point(DVec3::X).z > 0.0);
        let degrees = |pose: Pose| pose.angles().map(|angle| (angle.as_rad() * 1e9).round() / 1e9);
        assert_eq!(degrees(rear_down), [0.1, 0.0, 0.0]);
        assert_eq!(degrees(right_up), [0.0, 0.1, 0.0]);
        assert_eq!(degrees(turned(DVec3::new(0.0, 0.0, 0.1))), [0.0, 0.0, 0.1]);
        assert_eq!(degrees(turned(DVec3::new(-2.5, 0.0, 0.0))), [2.5, 0.0, 0.0], "beyond a right angle");
    }

    #[test]
    fn a_step_told_by_another_point_moves_the_body_alike() {
        let pose = Pose::level(DVec3::new(1.0, 2.0, 3.0)).moved(&[0.0, 0.0, 0.0, 0.3, -0.2, 0.5]);
        let (other, step) = (DVec3::new(0.4, -0.7, 0.2), [1e-7, -2e-7, 0.5e-7, 2e-7, 3e-7, -1e-7]);
        let by_place = super::super::linear::times(&told_at(pose.turn * other), &step);
        let (one, two) = (pose.moved(&by_place), pose.told_by(other).moved(&step));
        assert!(one.point(other).distance(two.place) < 1e-13);
        assert!(one.place.distance(two.point(-other)) < 1e-13);
    }
}
