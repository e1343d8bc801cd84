//! Forces added up.

use super::model::Spread;
use slatwork_solid::DVec3;

/// A sum of forces and of their moments about a point, with the sizes of what was summed.
#[derive(Clone, Copy, Default)]
pub(super) struct Sum {
    pub(super) force: DVec3,
    pub(super) moment: DVec3,
    pub(super) forces: f64,
    pub(super) moments: f64,
}

impl Sum {
    /// Adds a force with a moment, by its place from the point.
    pub(super) fn add(&mut self, at: DVec3, force: DVec3, moment: DVec3) {
        let moment = moment + at.cross(force);
        self.force += force;
        self.moment += moment;
        self.forces += force.length();
        self.moments += moment.length();
    }

    /// Adds a sum about the same point.
    pub(super) fn add_sum(&mut self, other: &Sum) {
        self.force += other.force;
        self.moment += other.moment;
        self.forces += other.forces;
        self.moments += other.moments;
    }

    /// Adds a load spread along a line, by its resultant.
    pub(super) fn add_spread(&mut self, start: DVec3, along: DVec3, length: f64, spread: &Spread) {
        let (from, to, begins, ends) = match *spread {
            Spread::Point { at, force } => return self.add(start + along * at, force, DVec3::ZERO),
            Spread::Uniform(load) => (0.0, length, load, load),
            Spread::Trapezoid { from, to, begins, ends } => (from, to, begins, ends),
        };
        // A trapezoid is two triangles, whose weights lie at the thirds.
        let third = (to - from) / 3.0;
        self.add(start + along * (from + third), begins * (1.5 * third), DVec3::ZERO);
        self.add(start + along * (to - third), ends * (1.5 * third), DVec3::ZERO);
    }

    /// The same `factor` times.
    pub(super) fn times(&self, factor: f64) -> Sum {
        Sum {
            force: self.force * factor,
            moment: self.moment * factor,
            forces: self.forces * factor.abs(),
            moments: self.moments * factor.abs(),
        }
    }

    /// What is left, as a share of what was summed; moments also against the largest forces at the given arm.
    pub(super) fn left(&self, arm: f64) -> f64 {
        let moments = self.moments.max(self.forces * arm);
        share(self.force.length(), self.forces).max(share(self.moment.length(), moments))
    }
}

/// A part as a share of a whole.
pub(super) fn share(part: f64, whole: f64) -> f64 {
    // NaN stays NaN and fails every comparison.
    if part == 0.0 { 0.0 } else { part / whole }
}
