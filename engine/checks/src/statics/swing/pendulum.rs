//! A swing in motion as a pendulum: a point mass on parallel chains, or a rigid body about its hooks.
//!
//! Method: energy and the equations of motion of the physical pendulum, in closed form. With j = r2 / (r2 + k2), at the
//! angle t of a swing of amplitude a: w2 = 2 (g / r) j (cos t - cos a); along the line cg-hook N = W cos t + m r w2, across
//! it S = W (1 - j) sin t. The period is that of the exact pendulum, by the arithmetic-geometric mean (derived).

use super::suspended::within;
use slatwork_base::{Angle, Diagnostic, Outcome, maths};

/// A swing let go at an angle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pendulum {
    /// Acceleration of free fall, m/s2.
    pub gravity: f64,
    /// kg.
    pub mass: f64,
    /// From the hooks' axis to the centre of gravity, m; on parallel chains, which do not turn the seat, their length.
    pub radius: f64,
    /// Radius of gyration about the centre of gravity, m; zero on parallel chains.
    pub gyration: f64,
    /// Greatest angle from rest.
    pub amplitude: Angle,
}

/// A moment of the swing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Motion {
    /// From rest, positive rearward.
    pub angle: Angle,
    /// rad/s.
    pub angular_speed: f64,
    /// Of the centre of gravity, m/s.
    pub speed: f64,
    /// Force of the hooks on the seat along the line to them, N.
    pub normal: f64,
    /// Across that line, positive the way the angle grows, N.
    pub transverse: f64,
    /// Pull on the hooks, rearward, N.
    pub horizontal: f64,
    /// Pull on the hooks, downward, N.
    pub vertical: f64,
}

/// What a whole swing asks.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Swinging {
    /// At the lowest point: the greatest force.
    pub bottom: Motion,
    /// At the greatest angle.
    pub turning: Motion,
    /// Where the pull on the hooks is most horizontal in newtons.
    pub most_horizontal: Motion,
    /// Force at the bottom over weight.
    pub dynamic_factor: f64,
    /// How far the centre of gravity rises, m.
    pub rise: f64,
    /// For small swings, s.
    pub small_period: f64,
    /// For this amplitude, s.
    pub period: f64,
}

/// Beyond a right angle chains fall slack at the turning point, where only the weight's part along them pulls.
const MOST_AMPLITUDE: f64 = 90.0;

/// A radius below a millimetre or above a kilometre is a slip of units. Project choice.
const RADII_M: (f64, f64) = (1e-3, 1e3);

/// Masses and accelerations beyond these are slips of units. Project choice.
const MASSES_KG: (f64, f64) = (1e-3, 1e6);
const GRAVITIES: (f64, f64) = (1e-3, 1e3);

/// Steps of the arithmetic-geometric mean: each doubles the digits, five are enough.
const MEANS: usize = 12;

impl Pendulum {
    /// Forces, speeds and period.
    ///
    /// # Errors
    ///
    /// Figures that are none, and an amplitude beyond 90 degrees, at which chains fall slack.
    pub fn swing(&self) -> Outcome<Swinging> {
        let faults = self.faults();
        if !faults.is_empty() {
            return Outcome { value: None, diagnostics: faults };
        }
        let amplitude = self.amplitude.abs().as_rad();
        let bottom = self.at(0.0);
        let small_period = 2.0 * maths::PI * (self.radius / self.gravity / self.share()).sqrt();
        Outcome::fine(Swinging {
            bottom,
            turning: self.at(amplitude),
            most_horizontal: self.at(self.most_horizontal()),
            dynamic_factor: bottom.normal / self.weight(),
            rise: self.radius * drop(0.0, amplitude),
            small_period,
            period: small_period / mean(1.0, maths::cos(amplitude / 2.0)),
        })
    }

    /// The moment at an angle within the amplitude.
    pub fn at_angle(&self, angle: Angle) -> Motion {
        self.at(angle.as_rad())
    }

    fn at(&self, angle: f64) -> Motion {
        let (sine, cosine) = maths::sin_cos(angle);
        let amplitude = self.amplitude.abs().as_rad();
        let squared = 2.0 * self.gravity / self.radius * self.share() * drop(angle, amplitude).max(0.0);
        let normal = self.weight() * cosine + self.mass * self.radius * squared;
        let transverse = self.weight() * (1.0 - self.share()) * sine;
        Motion {
            angle: Angle::rad(angle),
            angular_speed: squared.sqrt(),
            speed: squared.sqrt() * self.radius,
            normal,
            transverse,
            horizontal: normal * sine - transverse * cosine,
            vertical: normal * cosine + transverse * sine,
        }
    }

    fn weight(&self) -> f64 {
        self.mass * self.gravity
    }

    /// j = r2 / (r2 + k2): 1 for a point mass.
    pub(super) fn share(&self) -> f64 {
        let (radius, gyration) = (self.radius * self.radius, self.gyration * self.gyration);
        radius / (radius + gyration)
    }

    /// The horizontal pull is j W (3 cos t - 2 cos a) sin t, greatest where 6 c2 - 2 cos a c - 3 = 0 for c = cos t, or at
    /// the turning point if that comes first (derived).
    fn most_horizontal(&self) -> f64 {
        let amplitude = self.amplitude.abs().as_rad();
        let cosine = maths::cos(amplitude);
        maths::acos((cosine + (cosine * cosine + 18.0).sqrt()) / 6.0).min(amplitude)
    }

    pub(super) fn faults(&self) -> Vec<Diagnostic> {
        let figures = [
            within(self.gravity, GRAVITIES, "gravity", "m/s2"),
            within(self.mass, MASSES_KG, "the mass", "kg"),
            within(self.radius, RADII_M, "the radius of the swing", "m"),
            within(self.gyration, (0.0, RADII_M.1), "the radius of gyration", "m"),
        ];
        figures.into_iter().flatten().chain(amplitude_fault(self.amplitude)).collect()
    }
}

/// cos t - cos a, without the loss of digits at small angles.
fn drop(angle: f64, amplitude: f64) -> f64 {
    2.0 * maths::sin((amplitude + angle) / 2.0) * maths::sin((amplitude - angle) / 2.0)
}

fn amplitude_fault(amplitude: Angle) -> Option<Diagnostic> {
    (!(0.0..=MOST_AMPLITUDE).contains(&amplitude.abs().as_deg())).then(|| {
        let message = format!("a swing cannot go {} degrees from rest on chains", amplitude.as_deg());
        Diagnostic::error("amplitude-too-large", message).help(format!(
            "at most {MOST_AMPLITUDE} degrees: beyond, the chains fall slack at the turning point"
        ))
    })
}

/// Arithmetic-geometric mean.
fn mean(mut one: f64, mut other: f64) -> f64 {
    for _ in 0..MEANS {
        (one, other) = ((one + other) / 2.0, (one * other).sqrt());
    }
    one
}

#[cfg(test)]
mod tests {
    use super::*;

    fn porch(amplitude: f64, gyration: f64) -> Pendulum {
        Pendulum { gravity: 9.80665, mass: 180.0, radius: 1.5, gyration, amplitude: Angle::deg(amplitude) }
    }

    /// Force at the bottom and greatest horizontal pull of a point mass, in weights, by hand: 3 - 2 cos a, and
    /// (3 cos t - 2 cos a) sin t at its top.
    #[test]
    fn a_point_mass_pulls_as_by_hand() {
        let by_hand = [
            (10.0, 1.030, 0.171),
            (20.0, 1.121, 0.321),
            (30.0, 1.268, 0.433),
            (45.0, 1.586, 0.600),
            (90.0, 3.0, 1.5),
        ];
        for (amplitude, factor, horizontal) in by_hand {
            let swinging = porch(amplitude, 0.0).swing().value.unwrap();
            let found = swinging.most_horizontal.horizontal / (180.0 * 9.80665);
            assert!((swinging.dynamic_factor - factor).abs() < 5.1e-4, "{amplitude}");
            assert!((found - horizontal).abs() < 5.1e-4, "{amplitude}: {found}");
        }
    }

    /// Runge and Kutta's method on the equation of motion, from the turning point for a quarter of the period.
    fn integrated(own: &Pendulum, time: f64) -> (f64, f64) {
        let pull = -own.gravity / own.radius * own.share();
        let rate = |(angle, speed): (f64, f64)| (speed, pull * maths::sin(angle));
        let (mut state, steps) = ((own.amplitude.as_rad(), 0.0), 2_000);
        let step = time / f64::from(steps);
        let after =
            |state: (f64, f64), rate: (f64, f64), by: f64| (state.0 + rate.0 * by, state.1 + rate.1 * by);
        for _ in 0..steps {
            let one = rate(state);
            let two = rate(after(state, one, step / 2.0));
            let three = rate(after(state, two, step / 2.0));
            let four = rate(after(state, three, step));
            for (rate, share) in [(one, 1.0), (two, 2.0), (three, 2.0), (four, 1.0)] {
                state = after(state, rate, step * share / 6.0);
            }
        }
        state
    }

    #[test]
    fn motion_integrated_step_by_step_keeps_the_time_and_the_speed() {
        for (amplitude, gyration) in [(5.0, 0.0), (25.0, 0.3), (45.0, 0.5), (89.0, 0.1)] {
            let own = porch(amplitude, gyration);
            let swinging = own.swing().value.unwrap();
            let (angle, speed) = integrated(&own, swinging.period / 4.0);
            assert!(angle.abs() < 1e-10, "{amplitude}: {angle}");
            assert!((speed.abs() - swinging.bottom.angular_speed).abs() < 1e-10, "{amplitude}");
            // On the way: the force from the speed that the integration found.
            let (angle, speed) = integrated(&own, swinging.period / 11.0);
            let motion = own.at_angle(Angle::rad(angle));
            let normal = own.mass * (own.gravity * maths::cos(angle) + own.radius * speed * speed);
            assert!((motion.normal - normal).abs() < 1e-7 * normal, "{amplitude}");
        }
    }

    #[test]
    fn energy_and_newtons_law_hold_on_the_way() {
        let own = porch(40.0, 0.4);
        for degrees in [-40.0, -17.0, 0.0, 8.0, 40.0] {
            let motion = own.at_angle(Angle::deg(degrees));
            let angle = Angle::deg(degrees).as_rad();
            let inertia = own.mass * (own.radius * own.radius + own.gyration * own.gyration);
            let energy = inertia * motion.angular_speed * motion.angular_speed / 2.0
                + own.weight() * own.radius * (1.0 - maths::cos(angle));
            let whole = own.weight() * own.radius * (1.0 - maths::cos(own.amplitude.as_rad()));
            assert!((energy - whole).abs() < 1e-9 * whole, "{degrees}");
            // The pull on the hooks is the weight less what accelerates the mass.
            let turning = -own.weight() * own.radius / inertia * maths::sin(angle);
            let along = own.radius * motion.angular_speed * motion.angular_speed;
            let across = own.radius * turning;
            let (sine, cosine) = maths::sin_cos(angle);
            let horizontal = -own.mass * (across * cosine - along * sine);
            let vertical = own.weight() + own.mass * (across * sine + along * cosine);
            assert!((motion.horizontal - horizontal).abs() < 1e-9 * own.weight(), "{degrees}");
            assert!((motion.vertical - vertical).abs() < 1e-9 * own.weight(), "{degrees}");
        }
    }

    #[test]
    fn the_most_horizontal_pull_is_that_of_a_scan() {
        for amplitude in [20.0, 45.0, 80.0] {
            let own = porch(amplitude, 0.3);
            let at = |step: i32| own.at_angle(Angle::deg(amplitude * f64::from(step) / 5_000.0)).horizontal;
            let scan = (0..=5_000).map(at).fold(0.0, f64::max);
            let found = own.swing().value.unwrap().most_horizontal.horizontal;
            assert!((found - scan).abs() < 1e-3 && found >= scan - 1e-9, "{amplitude}: {found} and {scan}");
        }
    }

    #[test]
    fn at_rest_there_is_the_weight_alone() {
        let still = porch(0.0, 0.3).swing().value.unwrap();
        assert_eq!((still.dynamic_factor, still.bottom.speed, still.rise), (1.0, 0.0, 0.0));
        assert_eq!(still.period, still.small_period);
    }

    #[test]
    fn what_no_swing_does_is_told() {
        let code = |own: Pendulum| own.swing().diagnostics[0].code;
        let own = porch(20.0, 0.0);
        assert_eq!(code(porch(90.1, 0.0)), "amplitude-too-large");
        assert_eq!(code(porch(f64::NAN, 0.0)), "amplitude-too-large");
        assert_eq!(code(Pendulum { radius: 0.0, ..own }), "impossible-figure");
        assert_eq!(code(Pendulum { radius: f64::INFINITY, ..own }), "impossible-figure");
        assert_eq!(code(Pendulum { gyration: -0.1, ..own }), "impossible-figure");
        assert_eq!(code(Pendulum { mass: -80.0, ..own }), "impossible-figure");
        assert_eq!(code(Pendulum { gravity: 0.0, ..own }), "impossible-figure");
    }
}
