//! Checks on every answer, each by another road than the one it was found by.

use super::loading::Loading;
use super::model::Frame;
use super::sides::{Sides, Vectors, each, larger, worse};
use super::structure::Structure;
use super::sum::share;
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

/// What is looked at: combinations side by side.
pub(super) struct Evidence<'a, const N: usize> {
    pub(super) frame: &'a Frame,
    pub(super) structure: &'a Structure,
    pub(super) loading: &'a Loading<'a, N>,
    pub(super) displacements: &'a [Sides<N>],
    /// Loads less resistance at every freedom: what is left over where free, the reaction's opposite where held.
    pub(super) left_over: &'a [Sides<N>],
    /// Force and moment of each support on its node.
    pub(super) reactions: &'a [[Sides<N>; 6]],
    /// Local axes, start force and moment, end force and moment.
    pub(super) end_forces: &'a [[Vectors<N>; 4]],
    /// Twice the energy stored.
    pub(super) twice_energy: Sides<N>,
    pub(super) condition: f64,
    pub(super) rounds: usize,
}

/// Loads on one member, about its start and in its local axes.
#[derive(Clone, Copy)]
struct OnMember<const N: usize> {
    force: Vectors<N>,
    moment: Vectors<N>,
    /// What was summed.
    forces: Sides<N>,
    moments: Sides<N>,
}

impl<const N: usize> Evidence<'_, N> {
    /// The checks of each; `Err` where the answer may not be shown.
    pub(super) fn judge(&self) -> [Result<Trust, Diagnostic>; N] {
        let (left_over, member, energy) = (self.left_over(), self.members(), self.energy());
        core::array::from_fn(|side| {
            let trust = Trust {
                left_over: left_over[side],
                whole: self.whole(side),
                member: member[side],
                energy: energy[side],
                condition: self.condition,
                rounds: self.rounds,
            };
            trust.within_limits()
        })
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

    fn left_over(&self) -> Sides<N> {
        let (mut force, mut moment) = ([0.0; N], [0.0; N]);
        for [start, start_moment, end, end_moment] in self.end_forces {
            force = larger(larger(force, start.squared()), end.squared());
            moment = larger(larger(moment, start_moment.squared()), end_moment.squared());
        }
        let (mut force, mut moment) = (force.map(f64::sqrt), moment.map(f64::sqrt));
        let (mut forces, mut moments) = ([0.0; N], [0.0; N]);
        for (freedom, (left, load)) in self.left_over.iter().zip(&self.loading.at_nodes).enumerate() {
            let left = if self.structure.is_held(freedom) { [0.0; N] } else { left.map(f64::abs) };
            let load = load.map(f64::abs);
            if freedom % 6 < 3 {
                (forces, force) = (worse(forces, left), larger(force, load));
            } else {
                (moments, moment) = (worse(moments, left), larger(moment, load));
            }
        }
        let arm = self.structure.arm;
        each(|side| {
            let moments = share(moments[side], moment[side].max(force[side] * arm));
            share(forces[side], force[side]).max(moments)
        })
    }

    fn whole(&self, side: usize) -> f64 {
        let mut sum = self.loading.whole(side);
        let first = self.frame.nodes[0].at;
        for (support, own) in self.frame.supports.iter().zip(self.reactions) {
            let [force, moment] = [&own[..3], &own[3..]].map(|own| Vectors::from_row(own).of(side));
            sum.add(self.frame.nodes[support.node].at - first, force, moment);
        }
        sum.left(self.structure.arm)
    }

    /// Every member for itself, about its start and in its local axes.
    fn members(&self) -> Sides<N> {
        let (arm, structure) = (self.structure.arm, self.structure);
        let nothing =
            OnMember { force: Vectors::ZERO, moment: Vectors::ZERO, forces: [0.0; N], moments: [0.0; N] };
        let mut borne = vec![nothing; self.end_forces.len()];
        for (factors, load) in self.loading.members() {
            let (own, sum) = (&mut borne[load.member], &load.sum);
            own.force += Vectors::times(sum.force, factors);
            own.moment += Vectors::times(sum.moment, factors);
            own.forces = each(|side| own.forces[side] + sum.forces * factors[side].abs());
            own.moments = each(|side| own.moments[side] + sum.moments * factors[side].abs());
        }
        let (mut worst, mut most) = ([0.0; N], [0.0; N]);
        for ((own, ends), element) in borne.iter().zip(self.end_forces).zip(&structure.elements) {
            let far = ends[3] - ends[2].cross(DVec3::X * element.line.length);
            let (force, moment) = (own.force + ends[0] + ends[2], own.moment + ends[1] + far);
            let lengths = [ends[0], ends[2], ends[1], far].map(|own| own.length());
            most = larger(
                most,
                each(|side| {
                    let forces = own.forces[side] + lengths[0][side] + lengths[1][side];
                    forces + (own.moments[side] + lengths[2][side] + lengths[3][side]) / arm
                }),
            );
            worst = worse(worse(worst, force.squared()), moment.squared().map(|own| own / (arm * arm)));
        }
        each(|side| share(worst[side].sqrt(), most[side]))
    }

    fn energy(&self) -> Sides<N> {
        let mut by_loads = [0.0; N];
        for (load, moved) in self.loading.at_nodes.iter().zip(self.displacements) {
            by_loads = each(|side| by_loads[side] + load[side] * moved[side]);
        }
        let mut by_supports = [0.0; N];
        for (support, own) in self.frame.supports.iter().zip(self.reactions) {
            for (freedom, force) in (6 * support.node..).zip(own) {
                if self.structure.is_held(freedom) {
                    let moved = &self.displacements[freedom];
                    by_supports = each(|side| by_supports[side] + force[side] * moved[side]);
                }
            }
        }
        each(|side| {
            let (stored, by_supports) = (self.twice_energy[side], by_supports[side]);
            let done = by_loads[side] + by_supports;
            share((stored - done).abs(), stored.abs().max(done.abs()).max(by_supports.abs()))
        })
    }
}

impl Trust {
    /// Itself where an answer that is so far to be trusted may be shown.
    fn within_limits(self) -> Result<Trust, Diagnostic> {
        let limits = [
            ("forces left over at a node", self.left_over, LEFT_OVER),
            ("loads and reactions out of balance", self.whole, OUT_OF_BALANCE),
            ("forces on a member out of balance", self.member, OUT_OF_BALANCE),
            ("work that is not stored", self.energy, ENERGY_LOST),
            ("condition", self.condition, TOO_LOOSE),
        ];
        match limits.into_iter().find(|(_, value, limit)| value.is_nan() || value > limit) {
            None => Ok(self),
            Some((what, value, limit)) => {
                let message =
                    format!("the answer fails its own check: {what} {value:.1e}, at most {limit:.0e}");
                let help = "look for members far stiffer or softer than the rest, or nearly without hold";
                Err(Diagnostic::error(NOT_TRUSTED, message).help(help))
            }
        }
    }
}
