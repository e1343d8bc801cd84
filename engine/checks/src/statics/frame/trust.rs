//! Checks on every answer, each by another road than the one it was found by.

use super::loading::Loading;
use super::model::Frame;
use super::structure::Structure;
use super::sum::{Sum, share};
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

/// Condition beyond which a reader is told: half the digits of the machine may be lost, and beyond about 3e8 forces left
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
    pub(super) loading: &'a Loading<'a>,
    pub(super) displacements: &'a [f64],
    /// Loads less resistance at every freedom: what is left over where free, the reaction's opposite where held.
    pub(super) left_over: &'a [f64],
    /// Force and moment of supports on each node.
    pub(super) reactions: &'a [f64],
    /// Local axes, start force and moment, end force and moment.
    pub(super) end_forces: &'a [[DVec3; 4]],
    /// Twice the energy stored.
    pub(super) twice_energy: f64,
    pub(super) condition: f64,
    pub(super) rounds: usize,
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

    fn left_over(&self) -> f64 {
        let (mut force, mut moment) = (0.0_f64, 0.0_f64);
        for [start, start_moment, end, end_moment] in self.end_forces {
            force = force.max(start.length_squared()).max(end.length_squared());
            moment = moment.max(start_moment.length_squared()).max(end_moment.length_squared());
        }
        let (mut force, mut moment) = (force.sqrt(), moment.sqrt());
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
        share(forces, force).max(share(moments, moment.max(force * self.structure.arm)))
    }

    fn whole(&self) -> f64 {
        let mut sum = self.loading.whole();
        let first = self.frame.nodes[0].at;
        for (node, own) in self.frame.nodes.iter().zip(self.reactions.as_chunks::<6>().0) {
            if own.iter().any(|own| *own != 0.0) {
                sum.add(node.at - first, DVec3::from_slice(own), DVec3::from_slice(&own[3..]));
            }
        }
        sum.left(self.structure.arm)
    }

    /// Every member for itself, about its start and in its local axes.
    fn members(&self) -> f64 {
        let mut sums = vec![Sum::default(); self.end_forces.len()];
        self.loading.members().for_each(|(factor, load)| sums[load.member].add_sum(&load.sum.times(factor)));
        let arm = self.structure.arm;
        let (mut worst, mut largest) = (0.0, 0.0_f64);
        for ((sum, ends), element) in sums.iter_mut().zip(self.end_forces).zip(&self.structure.elements) {
            sum.add(DVec3::ZERO, ends[0], ends[1]);
            sum.add(DVec3::X * element.line.length, ends[2], ends[3]);
            largest = largest.max(sum.forces + sum.moments / arm);
            worst = worse(worst, sum.force.length().max(sum.moment.length() / arm));
        }
        share(worst, largest)
    }

    fn energy(&self) -> f64 {
        let stored = self.twice_energy;
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
