//! Loads between the ends of a member, brought to its ends by work.
//!
//! The shape functions of a bar with shear deformation are its exact deflection lines under end displacements. The work that
//! a load does on them is therefore exactly the force the ends must take (reciprocity), not an approximation.

use slatwork_solid::DVec3;

use super::model::Spread;

/// What a bar's length and shear deformation make of it: enough to know its deflection line.
#[derive(Clone, Copy, Debug)]
pub(super) struct Line {
    pub(super) length: f64,
    /// 12 E I / (G A_s L^2) for bending along local y and z.
    pub(super) shear: [f64; 2],
    /// Whether it bends; a truss only turns.
    pub(super) bends: bool,
}

/// Deflection at `xi` (0..1) for unit displacement and rotation at start and end.
fn deflections(xi: f64, length: f64, shear: f64) -> [f64; 4] {
    let (square, cube) = (xi * xi, xi * xi * xi);
    let lean = shear / 2.0 * (xi - square);
    [
        1.0 - 3.0 * square + 2.0 * cube + shear * (1.0 - xi),
        length * (xi - 2.0 * square + cube + lean),
        3.0 * square - 2.0 * cube + shear * xi,
        length * (cube - square - lean),
    ]
    .map(|value| value / (1.0 + shear))
}

impl Line {
    /// End forces equivalent to a force at `at`, local axes.
    fn point(&self, at: f64, force: DVec3) -> [f64; 12] {
        let xi = at / self.length;
        let straight = [1.0 - xi, 0.0, xi, 0.0];
        let bent = |shear| if self.bends { deflections(xi, self.length, shear) } else { straight };
        let (y, z) = (bent(self.shear[0]), bent(self.shear[1]));
        let mut ends = [0.0; 12];
        for end in 0..2 {
            ends[6 * end] = force.x * straight[2 * end];
            ends[6 * end + 1] = force.y * y[2 * end];
            ends[6 * end + 5] = force.y * y[2 * end + 1];
            ends[6 * end + 2] = force.z * z[2 * end];
            // A rotation about y turns x into -z.
            ends[6 * end + 4] = -force.z * z[2 * end + 1];
        }
        ends
    }

    /// End forces equivalent to a load, local axes.
    pub(super) fn ends(&self, spread: &Spread) -> [f64; 12] {
        match *spread {
            Spread::Uniform(load) => self.trapezoid(0.0, self.length, load, load),
            Spread::Point { at, force } => self.point(at, force),
            Spread::Trapezoid { from, to, begins, ends } => self.trapezoid(from, to, begins, ends),
        }
    }

    fn trapezoid(&self, from: f64, to: f64, begins: DVec3, ends: DVec3) -> [f64; 12] {
        let mut sum = [0.0; 12];
        for (share, weight) in gauss() {
            let force = begins.lerp(ends, share) * (weight * (to - from));
            let point = self.point(from + share * (to - from), force);
            sum.iter_mut().zip(point).for_each(|(sum, value)| *sum += value);
        }
        sum
    }
}

/// Places and weights on 0..1 that integrate polynomials to the fifth power exactly; a trapezoid times a cubic is a quartic.
fn gauss() -> [(f64, f64); 3] {
    let aside = 0.15_f64.sqrt();
    [(0.5 - aside, 5.0 / 18.0), (0.5, 8.0 / 18.0), (0.5 + aside, 5.0 / 18.0)]
}

#[cfg(test)]
mod tests {
    use super::*;

    fn close(a: f64, b: f64) {
        assert!((a - b).abs() <= 1e-12 * (1.0 + b.abs()), "{a} {b}");
    }

    /// Beam tables: w L / 2 and w L^2 / 12, whatever the shear deformation.
    #[test]
    fn an_even_load_gives_its_halves_and_twelfths() {
        for shear in [0.0, 0.7] {
            let line = Line { length: 2.0, shear: [shear; 2], bends: true };
            let ends = line.ends(&Spread::Uniform(DVec3::new(1.0, -300.0, 60.0)));
            let expected = [1.0, -300.0, 60.0, 0.0, -20.0, -100.0, 1.0, -300.0, 60.0, 0.0, 20.0, 100.0];
            ends.iter().zip(expected).for_each(|(a, b)| close(*a, b));
        }
    }

    /// A triangle rising from nothing at the start: w L^2 / 30 and w L^2 / 20 (beam tables, from memory).
    #[test]
    fn a_triangle_gives_a_thirtieth_and_a_twentieth() {
        let line = Line { length: 3.0, shear: [0.0; 2], bends: true };
        let (begins, ends) = (DVec3::ZERO, DVec3::new(0.0, 20.0, 0.0));
        let ends = line.ends(&Spread::Trapezoid { from: 0.0, to: 3.0, begins, ends });
        close(ends[5], 6.0);
        close(ends[11], -9.0);
        close(ends[1] + ends[7], 30.0);
    }

    /// P a b (b + phi L / 2) / (L^2 (1 + phi)), derived by the force method.
    #[test]
    fn a_point_load_feels_the_shear_deformation() {
        let (length, a, shear) = (1.5, 0.4, 0.8);
        let line = Line { length, shear: [shear, 0.0], bends: true };
        let ends = line.ends(&Spread::Point { at: a, force: DVec3::new(0.0, 10.0, 0.0) });
        let b = length - a;
        close(ends[5], 10.0 * a * b * (b + shear * length / 2.0) / (length * length * (1.0 + shear)));
        close(ends[11], -10.0 * a * b * (a + shear * length / 2.0) / (length * length * (1.0 + shear)));
    }

    #[test]
    fn a_truss_takes_load_like_a_beam_on_two_hinges() {
        let line = Line { length: 2.0, shear: [0.0; 2], bends: false };
        let ends = line.ends(&Spread::Point { at: 0.5, force: DVec3::new(0.0, 8.0, 4.0) });
        assert_eq!(ends, [0.0, 6.0, 3.0, 0.0, 0.0, 0.0, 0.0, 2.0, 1.0, 0.0, 0.0, 0.0]);
    }
}
