//! Chains as bonds between the body and fixed points: their lengths with first and second derivatives.
//!
//! In here the weight is 1 and stands at the body's own origin, and the longest chain is 1.

use super::linear::{Columns, add};
use super::pose::{FREEDOMS, Pose, joined};
use super::suspended::Suspended;
use slatwork_solid::{DMat3, DVec3};

/// What the search looks at: the seat scaled to weight 1 and length 1, its origin moved to the centre of gravity.
#[derive(Clone, Debug)]
pub(super) struct Bonds {
    pub(super) bonds: Vec<Bond>,
    /// Metres of a length of 1.
    pub(super) scale: f64,
    /// Centre of gravity in the seat frame, m.
    pub(super) centre: DVec3,
}

/// One chain.
#[derive(Clone, Copy, Debug)]
pub(super) struct Bond {
    pub(super) eye: DVec3,
    pub(super) hook: DVec3,
    pub(super) length: f64,
}

impl Bonds {
    pub(super) fn of(swing: &Suspended) -> Self {
        let centre = swing.centre();
        let scale = swing.chains.iter().map(|chain| chain.length).fold(0.0, f64::max);
        let scaled = |chain: &super::Chain| Bond {
            eye: (chain.eye - centre) / scale,
            hook: chain.hook / scale,
            length: chain.length / scale,
        };
        Bonds { bonds: swing.chains.iter().map(scaled).collect(), scale, centre }
    }

    pub(super) fn spans(&self, pose: &Pose) -> Vec<Span> {
        self.bonds.iter().map(|bond| Span::of(bond, pose)).collect()
    }
}

/// What a bond does at a pose.
#[derive(Clone, Copy, Debug)]
pub(super) struct Span {
    /// From hook to eye, of length 1.
    pub(super) down: DVec3,
    /// From the body's place to the eye, in fixed axes.
    lever: DVec3,
    /// From hook to eye.
    pub(super) distance: f64,
    /// How much of the distance is beyond the chain's length; below zero the chain is slack.
    pub(super) beyond: f64,
}

/// An eye nearer to its hook than this pulls in no direction that means anything; it is far from being taut anyway.
const AT_THE_HOOK: f64 = 1e-9;

impl Span {
    fn of(bond: &Bond, pose: &Pose) -> Self {
        let lever = pose.turn * bond.eye;
        let from_hook = pose.place + lever - bond.hook;
        let distance = from_hook.length();
        let down = if distance > AT_THE_HOOK { from_hook / distance } else { -DVec3::Z };
        Span { down, lever, distance: distance.max(AT_THE_HOOK), beyond: distance - bond.length }
    }

    /// How the distance grows as the body moves.
    pub(super) fn gradient(&self) -> Vec<f64> {
        joined(self.down, self.lever.cross(self.down))
    }

    /// Second derivative of the distance. The eye moves by x = shift + turn x lever + turn x (turn x lever) / 2, so with
    /// the chain across its own line P = (1 - u u') / distance it is B' P B, B = dx, and u . x'' for the turn.
    pub(super) fn curvature(&self) -> Columns {
        let (down, lever) = (self.down, self.lever);
        let across = |vector: DVec3| (vector - down * down.dot(vector)) / self.distance;
        let moves = [DVec3::X, DVec3::Y, DVec3::Z];
        let moves = [moves, moves.map(|axis| axis.cross(lever))].concat();
        let mut all: Columns =
            moves.iter().map(|one| moves.iter().map(|other| other.dot(across(*one))).collect()).collect();
        let turned = turning(down, lever);
        for (column, own) in all[3..].iter_mut().zip([turned.x_axis, turned.y_axis, turned.z_axis]) {
            add(&mut column[3..], 1.0, &own.to_array());
        }
        all
    }
}

/// u . (t x (t x r)) as a symmetric matrix in t: (u r' + r u') / 2 - (u . r).
fn turning(down: DVec3, lever: DVec3) -> DMat3 {
    let outer = |one: DVec3, other: DVec3| DMat3::from_cols(one * other.x, one * other.y, one * other.z);
    (outer(down, lever) + outer(lever, down)) * 0.5 - DMat3::from_diagonal(DVec3::splat(down.dot(lever)))
}

/// How the height of the weight grows as the body moves.
pub(super) fn weight() -> Vec<f64> {
    joined(DVec3::Z, DVec3::ZERO)
}

/// Sum of the curvatures, each times its tension: the second derivative of the Lagrangian.
pub(super) fn lagrangian(spans: &[Span], tensions: &[f64]) -> Columns {
    let mut sum = vec![vec![0.0; FREEDOMS]; FREEDOMS];
    for (span, tension) in spans.iter().zip(tensions) {
        for (own, column) in sum.iter_mut().zip(span.curvature()) {
            add(own, *tension, &column);
        }
    }
    sum
}

#[cfg(test)]
mod tests {
    use super::*;

    const BOND: Bond = Bond { eye: DVec3::new(0.3, -0.4, 0.2), hook: DVec3::new(0.1, 0.5, 0.9), length: 1.0 };

    fn pose() -> Pose {
        Pose::level(DVec3::new(0.2, -0.1, -0.6)).moved(&[0.0, 0.0, 0.0, 0.2, -0.3, 0.1])
    }

    fn distance_after(step: &[f64]) -> f64 {
        Span::of(&BOND, &pose().moved(step)).distance
    }

    fn step(one: usize, by: f64, other: usize, also: f64) -> Vec<f64> {
        let mut step = vec![0.0; FREEDOMS];
        step[one] += by;
        step[other] += also;
        step
    }

    #[test]
    fn the_gradient_is_that_of_small_steps() {
        let gradient = Span::of(&BOND, &pose()).gradient();
        for (index, own) in gradient.iter().enumerate() {
            let by = 1e-6;
            let found = (distance_after(&step(index, by, index, 0.0))
                - distance_after(&step(index, -by, index, 0.0)))
                / (2.0 * by);
            assert!((found - own).abs() < 1e-9, "{index}: {found} and {own}");
        }
    }

    #[test]
    fn the_curvature_is_that_of_small_steps() {
        let curvature = Span::of(&BOND, &pose()).curvature();
        let by = 1e-4;
        for (one, column) in curvature.iter().enumerate() {
            for (other, own) in column.iter().enumerate() {
                let at = |first: f64, second: f64| distance_after(&step(one, first * by, other, second * by));
                let found = (at(1.0, 1.0) - at(1.0, -1.0) - at(-1.0, 1.0) + at(-1.0, -1.0)) / (4.0 * by * by);
                assert!((found - own).abs() < 1e-6, "{one}, {other}: {found} and {own}");
            }
        }
    }
}
