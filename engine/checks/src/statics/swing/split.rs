//! How the force of a swing hung by one ring a side goes into its front and its rear chain.
//!
//! Seen from the side: y rearward, z up, in the seat's own frame. While both chains are taut, ring and seat are one rigid
//! body that swings about the ring. The force along and across the line from the centre of gravity to the ring
//! ([`Pendulum`]) is resolved into the two chains. A chain's force is A cos t + B sin t + C, so its greatest and least over
//! the cycle stand at the turning points or where tan t = B / A (derived).

use super::pendulum::Pendulum;
use super::suspended::near;
use slatwork_base::{Angle, Diagnostic, Outcome, Severity, maths};
use slatwork_solid::DVec2;

/// A seat hung by a ring a side, from the side; points (y, z) in the seat frame, m.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RingSwing {
    /// Acceleration of free fall, m/s2.
    pub gravity: f64,
    /// kg.
    pub mass: f64,
    /// Moment of inertia about the centre of gravity, across the side view, kg m2.
    pub inertia: f64,
    /// Front eye.
    pub front: DVec2,
    /// Rear eye.
    pub rear: DVec2,
    /// Ring.
    pub ring: DVec2,
    /// Centre of gravity.
    pub centre: DVec2,
    /// Greatest angle from rest.
    pub amplitude: Angle,
}

/// Forces in the pair of front chains and the pair of rear chains, N: `[front, rear]` each.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Split {
    /// At rest.
    pub at_rest: [f64; 2],
    /// Passing the lowest point.
    pub bottom: [f64; 2],
    /// At the rearmost point.
    pub rearmost: [f64; 2],
    /// At the foremost point.
    pub foremost: [f64; 2],
    /// Greatest over the cycle.
    pub greatest: [f64; 2],
    /// Least over the cycle.
    pub least: [f64; 2],
    /// Tilt at rest, positive when the rear is down.
    pub tilt: Angle,
}

/// Chains whose directions cross at less than this sine are one line and cannot be told apart (about 0.06 degrees).
/// Project choice.
const ONE_LINE: f64 = 1e-3;

/// An eye nearer to the ring than a millimetre has no chain. Project choice.
const NO_CHAIN_M: f64 = 1e-3;

impl RingSwing {
    /// The forces at rest, over the cycle and at its marks.
    ///
    /// # Errors
    ///
    /// Figures that are none leave no value. A chain that would have to push is a failure told beside the figures, which
    /// then hold for rods only.
    pub fn split(&self) -> Outcome<Split> {
        let faults = self.faults();
        if !faults.is_empty() {
            return Outcome { value: None, diagnostics: faults };
        }
        let split = self.forces();
        let slack = self.slack(&split);
        Outcome::with(split, slack.into_iter().collect())
    }

    fn faults(&self) -> Vec<Diagnostic> {
        let points = [
            (self.front, "the front eye"),
            (self.rear, "the rear eye"),
            (self.ring, "the ring"),
            (self.centre, "the centre of gravity"),
        ];
        let mut faults: Vec<Diagnostic> =
            points.iter().flat_map(|(point, name)| near(point.extend(0.0), name)).collect();
        if faults.is_empty() {
            faults = self.pendulum().faults();
            faults.extend(self.line_fault());
        }
        faults
    }

    fn line_fault(&self) -> Option<Diagnostic> {
        let (front, rear) = (self.ring - self.front, self.ring - self.rear);
        let short = front.length().min(rear.length()) < NO_CHAIN_M;
        let sine = front.normalize_or_zero().perp_dot(rear.normalize_or_zero());
        (short || sine.abs() < ONE_LINE).then(|| {
            let message =
                "front and rear chain lie in one line, so that how they share the load cannot be told";
            Diagnostic::error("chains-in-one-line", message)
                .help("set the front and the rear eye apart, and the ring above them")
        })
    }

    fn pendulum(&self) -> Pendulum {
        Pendulum {
            gravity: self.gravity,
            mass: self.mass,
            radius: self.centre.distance(self.ring),
            // A negative inertia gives no number, and is refused as such.
            gyration: (self.inertia / self.mass).sqrt(),
            amplitude: self.amplitude,
        }
    }

    fn forces(&self) -> Split {
        let amplitude = self.amplitude.abs();
        let resting = RingSwing { amplitude: Angle::ZERO, ..*self };
        let marks = [self.extremes(0), self.extremes(1)];
        let line = self.ring - self.centre;
        Split {
            at_rest: resting.at(Angle::ZERO),
            bottom: self.at(Angle::ZERO),
            rearmost: self.at(amplitude),
            foremost: self.at(-amplitude),
            least: marks.map(|(least, _)| least),
            greatest: marks.map(|(_, greatest)| greatest),
            tilt: Angle::rad(maths::atan2(-line.x, line.y)),
        }
    }

    /// Front and rear force at an angle.
    fn at(&self, angle: Angle) -> [f64; 2] {
        let motion = self.pendulum().at_angle(angle);
        let (along, across) = self.parts();
        [0, 1].map(|chain| along[chain] * motion.normal + across[chain] * motion.transverse)
    }

    /// What each chain bears of a force of 1 along the line to the ring, and across it rearward.
    fn parts(&self) -> ([f64; 2], [f64; 2]) {
        let up = (self.ring - self.centre).normalize();
        let (front, rear) = ((self.ring - self.front).normalize(), (self.ring - self.rear).normalize());
        let crossing = front.perp_dot(rear);
        let parts = |force: DVec2| [force.perp_dot(rear) / crossing, front.perp_dot(force) / crossing];
        (parts(up), parts(DVec2::new(up.y, -up.x)))
    }

    /// Least and greatest force of a chain over the cycle.
    fn extremes(&self, chain: usize) -> (f64, f64) {
        let (along, across) = self.parts();
        let share = self.pendulum().share();
        let level = maths::atan2(across[chain] * (1.0 - share), along[chain] * (1.0 + 2.0 * share));
        let amplitude = self.amplitude.abs().as_rad();
        let levels = [level, level + maths::PI, level - maths::PI];
        let within = levels.into_iter().filter(|angle| angle.abs() <= amplitude);
        let forces = within.chain([-amplitude, amplitude]).map(|angle| self.at(Angle::rad(angle))[chain]);
        forces.fold((f64::INFINITY, f64::NEG_INFINITY), |(least, most), force| {
            (least.min(force), most.max(force))
        })
    }

    fn slack(&self, split: &Split) -> Option<Diagnostic> {
        let names = ["front", "rear"];
        let chain = if split.least[0] <= split.least[1] { 0 } else { 1 };
        (split.least[chain] < 0.0).then(|| {
            let when = if split.at_rest[chain] < 0.0 { "at rest already" } else { "during the swing" };
            let message = format!(
                "the {} chains fall slack {when}: they would have to push with {:.0} N",
                names[chain], -split.least[chain]
            );
            Diagnostic::new(Severity::Failure, "chain-slackens-swinging", message)
                .help("set the eyes farther apart, or keep the load between them")
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Hung unevenly, so that front and rear differ.
    const SWING: RingSwing = RingSwing {
        gravity: 9.80665,
        mass: 150.0,
        inertia: 14.0,
        front: DVec2::new(-0.3, 0.0),
        rear: DVec2::new(0.2, 0.05),
        ring: DVec2::new(-0.02, 1.5),
        centre: DVec2::new(0.01, 0.3),
        amplitude: Angle::deg(35.0),
    };

    #[test]
    fn both_chains_together_give_the_force_of_the_pendulum() {
        for degrees in [-35.0, -12.0, 0.0, 20.0, 35.0] {
            let [front, rear] = SWING.at(Angle::deg(degrees));
            let force =
                (SWING.ring - SWING.front).normalize() * front + (SWING.ring - SWING.rear).normalize() * rear;
            let motion = SWING.pendulum().at_angle(Angle::deg(degrees));
            let wanted = maths::hypot(motion.normal, motion.transverse);
            assert!((force.length() - wanted).abs() < 1e-9, "{degrees}");
        }
    }

    #[test]
    fn extremes_are_those_of_a_scan() {
        for swing in [SWING, RingSwing { centre: DVec2::new(0.15, 0.3), ..SWING }] {
            let split = swing.forces();
            for chain in [0, 1] {
                let at = |step: i32| swing.at(Angle::deg(f64::from(step) * 0.01))[chain];
                let scan: Vec<f64> = (-3500..=3500).map(at).collect();
                let (least, most) = (
                    scan.iter().copied().fold(f64::INFINITY, f64::min),
                    scan.iter().copied().fold(0.0, f64::max),
                );
                assert!((split.least[chain] - least).abs() < 1e-9, "{least} {split:?}");
                // A scan misses the top by the square of its step.
                assert!((0.0..1e-4).contains(&(split.greatest[chain] - most)), "{most} {split:?}");
            }
        }
    }

    #[test]
    fn a_chain_that_would_push_is_told() {
        let steady = SWING.split();
        assert!(steady.value.is_some() && steady.diagnostics.is_empty(), "{steady:?}");
        let code = |swing: RingSwing| swing.split().diagnostics[0].to_string();
        let behind = code(RingSwing { centre: DVec2::new(0.4, 0.3), ..SWING });
        assert!(
            behind.starts_with("fails[chain-slackens-swinging]: the front chains fall slack at rest already"),
            "{behind}"
        );
        let near = code(RingSwing { centre: DVec2::new(0.15, 0.3), inertia: 40.0, ..SWING });
        assert!(near.contains("the front chains fall slack during the swing"), "{near}");
    }

    #[test]
    fn what_no_swing_has_is_told() {
        let code = |swing: RingSwing| {
            let outcome = swing.split();
            assert_eq!(outcome.value, None);
            outcome.diagnostics[0].code
        };
        assert_eq!(code(RingSwing { front: SWING.rear, ..SWING }), "chains-in-one-line");
        assert_eq!(code(RingSwing { front: SWING.ring, ..SWING }), "chains-in-one-line");
        assert_eq!(code(RingSwing { centre: SWING.ring, ..SWING }), "impossible-figure");
        assert_eq!(code(RingSwing { inertia: -1.0, ..SWING }), "impossible-figure");
        assert_eq!(code(RingSwing { mass: 0.0, ..SWING }), "impossible-figure");
        assert_eq!(code(RingSwing { rear: DVec2::new(f64::NAN, 0.0), ..SWING }), "impossible-figure");
        assert_eq!(code(RingSwing { amplitude: Angle::deg(91.0), ..SWING }), "amplitude-too-large");
    }
}
