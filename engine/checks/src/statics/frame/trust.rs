//! Checks on every answer, each by another road than the one it was found by.

use super::loading::Loading;
use super::model::{Frame, Spread};
use super::structure::{Structure, Work};
use slatwork_base::Diagnostic;
use slatwork_solid::DVec3;

/// Largest force left over at a node, as a share of the largest force: a thousand times the rounding of well-made models
/// (project choice).
const LEFT_OVER: f64 = 1e-9;

/// Largest sum of all forces on the whole frame or on one member, as a share of them (project choice).
const OUT_OF_BALANCE: f64 = 1e-8;

/// Largest difference between work done and energy stored, as a share (project choice).
const ENERGY_LOST: f64 = 1e-8;

/// Condition beyond which figures are not handed out: of sixteen digits fewer than three would be left.
const TOO_LOOSE: f64 = 1e13;

/// Condition beyond which a reader is told: half the digits of the machine may be lost, and beyond about 1e9 forces left
/// over at nodes no longer pass (measured on a cantilever with an ever softer joint).
const LOOSE: f64 = 1e8;

/// What an answer that fails its own checks is refused with.
pub(super) const NOT_TRUSTED: &str = "answer-not-trusted";

/// How far an answer can be trusted. Shares of the largest force, moment or energy of the same kind.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Trust {
    /// Largest force or moment left over at a node.
    pub left_over: f64,
    /// Largest sum of loads and reactions over the whole, forces and moments.
    pub whole: f64,
    /// Largest sum of end forces and loads over one member, forces and moments.
    pub member: f64,
    /// Difference between the work of loads and supports and the energy stored.
    pub energy: f64,
    /// Estimate from below of the condition of the matrix scaled to a unit diagonal; digits lost in its logarithm.
    pub condition: f64,
    /// Times the frame was solved until no one-sided item changed.
    pub rounds: usize,
}

/// What is looked at.
pub(super) struct Evidence<'a> {
    pub(super) frame: &'a Frame,
    pub(super) structure: &'a Structure,
    pub(super) loading: &'a Loading,
    pub(super) work: &'a Work,
    pub(super) displacements: &'a [f64],
    /// Loads less resistance at every freedom: what is left over where free, the reaction's opposite where held.
    pub(super) left_over: &'a [f64],
    /// Force and moment of supports on each node.
    pub(super) reactions: &'a [f64],
    /// Local axes, start force and moment, end force and moment.
    pub(super) end_forces: &'a [[DVec3; 4]],
    pub(super) condition: f64,
    pub(super) rounds: usize,
}

/// A sum of forces and of their moments about a point, with the sizes of what was summed.
struct Sum {
    about: DVec3,
    force: DVec3,
    moment: DVec3,
    forces: f64,
    moments: f64,
}

impl Sum {
    fn new(about: DVec3) -> Sum {
        Sum { about, force: DVec3::ZERO, moment: DVec3::ZERO, forces: 0.0, moments: 0.0 }
    }

    fn add(&mut self, at: DVec3, force: DVec3, moment: DVec3) {
        let moment = moment + (at - self.about).cross(force);
        self.force += force;
        self.moment += moment;
        self.forces += force.length();
        self.moments += moment.length();
    }

    /// A load spread along a line, by its resultant.
    fn add_spread(&mut self, start: DVec3, along: DVec3, length: f64, spread: &Spread) {
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

    /// What is left, as a share of what was summed; moments also against the largest forces at the given arm.
    fn left(&self, arm: f64) -> f64 {
        let moments = self.moments.max(self.forces * arm);
        share(self.force.length(), self.forces).max(share(self.moment.length(), moments))
    }
}

fn share(part: f64, whole: f64) -> f64 {
    // NaN stays NaN and fails every comparison below.
    if part == 0.0 { 0.0 } else { part / whole }
}

impl Evidence<'_> {
    /// The checks; `Err` when the answer may not be shown.
    pub(super) fn judge(&self) -> Result<Trust, Diagnostic> {
        let trust = Trust {
            left_over: self.left_over(),
            whole: self.whole(),
            member: self.members(),
            energy: self.energy(),
            condition: self.condition,
            rounds: self.rounds,
        };
        let limits = [
            ("forces left over at a node", trust.left_over, LEFT_OVER),
            ("loads and reactions out of balance", trust.whole, OUT_OF_BALANCE),
            ("forces on a member out of balance", trust.member, OUT_OF_BALANCE),
            ("work that is not stored", trust.energy, ENERGY_LOST),
            ("condition", trust.condition, TOO_LOOSE),
        ];
        match limits.into_iter().find(|(_, value, limit)| value.is_nan() || value > limit) {
            None => Ok(trust),
            Some((what, value, limit)) => {
                let message =
                    format!("the answer fails its own check: {what} {value:.1e}, at most {limit:.0e}");
                let help = "look for members far stiffer or softer than the rest, or nearly without hold";
                Err(Diagnostic::error(NOT_TRUSTED, message).help(help))
            }
        }
    }

    /// Something a reader must know about the frame's hold.
    pub(super) fn remark(&self) -> Option<Diagnostic> {
        (self.condition > LOOSE).then(|| {
            let message = format!(
                "the frame hardly holds together (condition {:.0e}); digits are lost",
                self.condition
            );
            Diagnostic::warning("nearly-a-mechanism", message)
                .help("look for a weak spring or a very slender member")
        })
    }

    /// Arm that turns forces into moments of the frame's size: the mean length of a member.
    fn arm(&self) -> f64 {
        let lengths: f64 = self.structure.elements.iter().map(|own| own.line.length).sum();
        lengths / self.structure.elements.len() as f64
    }

    fn left_over(&self) -> f64 {
        let all = self.end_forces.as_flattened().iter();
        let (mut force, mut moment) = (0.0_f64, 0.0_f64);
        for (at, own) in all.enumerate() {
            if at % 2 == 0 { force = force.max(own.length()) } else { moment = moment.max(own.length()) }
        }
        let (mut forces, mut moments) = (0.0_f64, 0.0_f64);
        for (freedom, left) in self.left_over.iter().enumerate() {
            let held = self.structure.is_held(freedom);
            let left = if held { 0.0 } else { left.abs() };
            let load = self.loading.at_nodes[freedom].abs();
            if freedom % 6 < 3 {
                (forces, force) = (worse(forces, left), force.max(load));
            } else {
                (moments, moment) = (worse(moments, left), moment.max(load));
            }
        }
        share(forces, force).max(share(moments, moment.max(force * self.arm())))
    }

    fn whole(&self) -> f64 {
        let mut sum = Sum::new(self.frame.nodes[0].at);
        for load in &self.loading.nodal {
            sum.add(self.frame.nodes[load.node].at, load.force, load.moment);
        }
        for load in &self.loading.members {
            let (start, along) = self.line(load.member);
            let length = self.structure.elements[load.member].line.length;
            sum.add_spread(start, along, length, &load.spread);
        }
        for (node, own) in self.frame.nodes.iter().zip(self.reactions.as_chunks::<6>().0) {
            sum.add(node.at, DVec3::from_slice(own), DVec3::from_slice(&own[3..]));
        }
        sum.left(self.arm())
    }

    /// Where a member starts and which way it runs.
    fn line(&self, member: usize) -> (DVec3, DVec3) {
        let element = &self.structure.elements[member];
        (self.frame.nodes[element.nodes[0]].at + element.offsets[0], element.axes.x_axis)
    }

    fn members(&self) -> f64 {
        let mut sums: Vec<Sum> = (0..self.end_forces.len()).map(|own| Sum::new(self.line(own).0)).collect();
        for load in &self.loading.members {
            let (start, along) = self.line(load.member);
            let length = self.structure.elements[load.member].line.length;
            sums[load.member].add_spread(start, along, length, &load.spread);
        }
        let arm = self.arm();
        let mut worst = 0.0;
        let mut largest = 0.0_f64;
        for (member, (sum, ends)) in sums.iter_mut().zip(self.end_forces).enumerate() {
            let (start, along) = self.line(member);
            let element = &self.structure.elements[member];
            let to_global = |own: DVec3| element.axes * own;
            sum.add(start, to_global(ends[0]), to_global(ends[1]));
            sum.add(start + along * element.line.length, to_global(ends[2]), to_global(ends[3]));
            largest = largest.max(sum.forces + sum.moments / arm);
            worst = worse(worst, sum.force.length().max(sum.moment.length() / arm));
        }
        share(worst, largest)
    }

    fn energy(&self) -> f64 {
        let stored = self.structure.twice_energy(self.displacements, self.work);
        let done = |forces: &[f64]| -> f64 {
            let held = (0..forces.len()).filter(|&freedom| self.structure.is_held(freedom));
            held.map(|freedom| forces[freedom] * self.displacements[freedom]).sum()
        };
        let loads = self.loading.at_nodes.iter().zip(self.displacements).map(|(force, moved)| force * moved);
        let by_supports = done(self.reactions);
        let done = loads.sum::<f64>() + by_supports;
        share((stored - done).abs(), stored.abs().max(done.abs()).max(by_supports.abs()))
    }
}

/// The larger, where no number is the largest of all.
fn worse(a: f64, b: f64) -> f64 {
    if b.is_nan() || b > a { b } else { a }
}
