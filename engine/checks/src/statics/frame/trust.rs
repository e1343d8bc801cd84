//! Checks on every answer, each by another road than the one it was found by.

use super::loading::Loading;
use super::model::Frame;
use super::sides::{Ends, Sides, Vectors, each, larger, worse};
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
    pub(super) members: &'a OnMembers<N>,
    /// Twice the energy stored.
    pub(super) twice_energy: Sides<N>,
    pub(super) condition: f64,
    pub(super) rounds: usize,
}

/// Loads on one member, about its start and in its local axes.
pub(super) struct OnMember<const N: usize> {
    force: Vectors<N>,
    moment: Vectors<N>,
    /// What was summed.
    forces: Sides<N>,
    moments: Sides<N>,
}

impl<const N: usize> OnMember<N> {
    pub(super) const NOTHING: Self =
        OnMember { force: Vectors::ZERO, moment: Vectors::ZERO, forces: [0.0; N], moments: [0.0; N] };

    /// Adds a load, so many times in each.
    #[inline(always)]
    pub(super) fn add(&mut self, sum: &Sum, factors: &Sides<N>) {
        self.force += Vectors::times(sum.force, factors);
        self.moment += Vectors::times(sum.moment, factors);
        self.forces = each(|side| self.forces[side] + sum.forces * factors[side].abs());
        self.moments = each(|side| self.moments[side] + sum.moments * factors[side].abs());
    }
}

/// What is gathered of members, one after the other.
pub(super) struct OnMembers<const N: usize> {
    /// Largest force and moment at an end, squared.
    force: Sides<N>,
    moment: Sides<N>,
    /// Largest sum over one member, as a force and squared, and largest of what was summed.
    sum: Sides<N>,
    summed: Sides<N>,
}

impl<const N: usize> OnMembers<N> {
    pub(super) const NOTHING: Self =
        OnMembers { force: [0.0; N], moment: [0.0; N], sum: [0.0; N], summed: [0.0; N] };

    /// Takes in a member: its loads and its end forces, about its start and in its local axes. `arm` turns moments into forces.
    #[inline(always)]
    pub(super) fn take(&mut self, length: f64, own: &OnMember<N>, ends: &Ends<N>, arm: f64) {
        let (start, start_moment) = (Vectors::from_row(&ends[0]), Vectors::from_row(&ends[1]));
        let (end, end_moment) = (Vectors::from_row(&ends[2]), Vectors::from_row(&ends[3]));
        self.force = larger(larger(self.force, start.squared()), end.squared());
        self.moment = larger(larger(self.moment, start_moment.squared()), end_moment.squared());
        let far = end_moment - end.cross(DVec3::X * length);
        let (force, moment) = (own.force + start + end, own.moment + start_moment + far);
        let forces = [own.forces, start.length(), end.length()];
        let moments = [own.moments, start_moment.length(), far.length()];
        let summed = each(|side| {
            let moments = moments[0][side] + moments[1][side] + moments[2][side];
            forces[0][side] + forces[1][side] + forces[2][side] + moments / arm
        });
        self.summed = larger(self.summed, summed);
        let moment = moment.squared().map(|own| own / (arm * arm));
        self.sum = worse(worse(self.sum, force.squared()), moment);
    }
}

impl<const N: usize> Evidence<'_, N> {
    /// The checks of each; `Err` where the answer may not be shown.
    #[inline(always)]
    pub(super) fn judge(&self) -> [Result<Trust, Diagnostic>; N] {
        let (left_over, energy) = (self.left_over(), self.energy());
        core::array::from_fn(|side| {
            let trust = Trust {
                left_over: left_over[side],
                whole: self.whole(side),
                member: share(self.members.sum[side].sqrt(), self.members.summed[side]),
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

    #[inline(always)]
    fn left_over(&self) -> Sides<N> {
        let [mut force, mut moment] = [self.members.force, self.members.moment].map(|own| own.map(f64::sqrt));
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

    #[inline(always)]
    fn whole(&self, side: usize) -> f64 {
        let mut sum = self.loading.whole(side);
        let first = self.frame.nodes[0].at;
        for (support, own) in self.frame.supports.iter().zip(self.reactions) {
            let [force, moment] = [&own[..3], &own[3..]].map(|own| Vectors::from_row(own).of(side));
            sum.add(self.frame.nodes[support.node].at - first, force, moment);
        }
        sum.left(self.structure.arm)
    }

    #[inline(always)]
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
