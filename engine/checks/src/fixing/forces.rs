//! What each fastener of a joint gets: across its axis and along it.
//!
//! Sliding and turning in the plane go round the elastic centre. What pulls the parts straight apart is shared evenly; what
//! would open them on one side is held about the edge that stays closed, the compression that lies on the joint taken off.
//! Such a share balances the load and asks nothing of wood in tension: it is on the safe side (lower bound theorem).

use crate::framing::{Tie, TieForces};
use crate::statics::group::{Fastener, Load, share};
use slatwork_base::maths::hypot;
use slatwork_model::PartId;
use slatwork_solid::DVec3;

/// Load on one fastener.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Pull {
    /// Along and across the patch, N.
    pub(super) lateral: [f64; 2],
    /// Along its axis, N, out of the wood.
    pub(super) axial: f64,
}

impl Pull {
    /// Amount of the lateral load, N.
    pub(super) fn shear(&self) -> f64 {
        let [along, across] = self.lateral;
        (along * along + across * across).sqrt()
    }
}

/// How the fasteners of a tie share whatever load comes on it: worked out once, as every load is shared alike.
pub(super) struct Sharing<'a> {
    tie: &'a Tie,
    /// What each fastener gets across its axis of 1 N along, of 1 N across and of 1 N mm in the plane.
    laterals: Vec<[[f64; 2]; 3]>,
    /// What each fastener gets along its axis of 1 N mm that lifts along each axis about its low and its high edge.
    pried: Vec<[[f64; 2]; 2]>,
}

impl Sharing<'_> {
    pub(super) fn of(tie: &Tie) -> Sharing<'_> {
        let units = [([1.0, 0.0], 0.0), ([0.0, 1.0], 0.0), ([0.0; 2], 1.0)];
        let [along, across, turn] = units.map(|(force, turn)| laterals(tie, force, turn));
        let at = |at: usize| [along[at], across[at], turn[at]];
        let levers = Levers::of_both(tie);
        let about = |at: usize, axis: usize| levers[axis].each_ref().map(|own| own.share(tie, axis, at));
        let pried = |at| [about(at, 0), about(at, 1)];
        let all = 0..tie.places.len();
        Sharing { tie, laterals: all.clone().map(at).collect(), pried: all.map(pried).collect() }
    }

    /// What some fasteners together do to a part along a direction of 1 N along, of 1 N across and of 1 N mm in the plane.
    pub(super) fn along(&self, fasteners: &[usize], part: PartId, way: DVec3) -> [f64; 3] {
        // What a fastener does to the first part, it does the other way to the second.
        let sign = if self.tie.parts[0] == part { 1.0 } else { -1.0 };
        let way = [self.tie.axes[1], self.tie.axes[2]].map(|axis| sign * axis.dot(way));
        let of = |unit: usize| {
            let laterals = fasteners.iter().map(|at| self.laterals[*at][unit]);
            laterals.map(|own| own[0] * way[0] + own[1] * way[1]).sum()
        };
        [of(0), of(1), of(2)]
    }

    /// What shares of `capacities`, across and along its axis, no fastener exceeds under any load.
    pub(super) fn reach(&self, capacities: impl Iterator<Item = [f64; 2]>) -> Reach {
        let nothing = Reach { across: [0.0; 3], along: [0.0; 3] };
        let each = self.laterals.iter().zip(&self.pried).zip(capacities);
        each.fold(nothing, |most, ((lateral, pried), [across, along])| {
            let of_unit = |unit: usize| hypot(lateral[unit][0], lateral[unit][1]) / across;
            let even = 1.0 / self.tie.places.len() as f64 / along;
            let of_lift = |axis: usize| pried[axis][0].max(pried[axis][1]) / along;
            Reach {
                across: [0, 1, 2].map(|unit| most.across[unit].max(of_unit(unit))),
                along: [
                    most.along[0].max(even),
                    most.along[1].max(of_lift(0)),
                    most.along[2].max(of_lift(1)),
                ],
            }
        })
    }

    /// The load on every fastener.
    pub(super) fn pulls(&self, forces: &TieForces) -> impl Iterator<Item = Pull> {
        let [apart, along, across, turn, lift_across, lift_along] = *forces;
        let even = apart.max(0.0) / self.tie.places.len() as f64;
        let pressed = (-apart).max(0.0);
        let lifts = [lift_along, lift_across].map(f64::abs);
        // Pull of a fastener that keeps the joint from gaping along an axis, about the worse edge.
        let gaping = move |axis: usize, share: [f64; 2]| {
            let [low, high] = self.tie.extent[axis];
            let left = |edge: f64| (lifts[axis] - pressed * edge.abs()).max(0.0);
            (left(low) * share[0]).max(left(high) * share[1])
        };
        self.laterals.iter().zip(&self.pried).map(move |(own, pried)| Pull {
            lateral: [0, 1].map(|way| own[0][way] * along + own[1][way] * across + own[2][way] * turn),
            axial: even + gaping(0, pried[0]) + gaping(1, pried[1]),
        })
    }
}

/// Shares that no fastener of a tie exceeds, by the amounts of what passes through it.
pub(super) struct Reach {
    /// Across its axis, of 1 N along, of 1 N across and of 1 N mm in the plane.
    across: [f64; 3],
    /// Along its axis, of 1 N that pulls the parts apart and of 1 N mm that lifts along each axis.
    along: [f64; 3],
}

impl Reach {
    /// Across and along its axis.
    pub(super) fn under(&self, forces: &TieForces) -> [f64; 2] {
        let [apart, along, across, turn, lift_across, lift_along] = *forces;
        let sum = |shares: &[f64; 3], amounts: [f64; 3]| -> f64 {
            shares.iter().zip(amounts).map(|(share, amount)| share * amount.abs()).sum()
        };
        [
            sum(&self.across, [along, across, turn]),
            sum(&self.along, [apart.max(0.0), lift_along, lift_across]),
        ]
    }
}

/// What presses the parts of a tie together, N: what lies on it, and what its fasteners pull against as they keep it closed about
/// the worse edge.
pub(super) struct Closing {
    levers: [[Levers; 2]; 2],
    glued: bool,
}

impl Closing {
    pub(super) fn of(tie: &Tie) -> Closing {
        Closing { levers: Levers::of_both(tie), glued: tie.glued }
    }

    /// N, under what passes through the tie.
    pub(super) fn under(&self, forces: &TieForces) -> f64 {
        let [apart, .., lift_across, lift_along] = *forces;
        let pressed = (-apart).max(0.0);
        if self.glued {
            return pressed;
        }
        let lifts = [lift_along, lift_across].map(f64::abs);
        let pried = |axis: usize| {
            let about = |own: &Levers| (lifts[axis] - pressed * own.edge.abs()).max(0.0) * own.all;
            self.levers[axis].iter().map(about).fold(0.0, f64::max)
        };
        pressed + pried(0) + pried(1)
    }
}

fn laterals(tie: &Tie, force: [f64; 2], turn: f64) -> Vec<[f64; 2]> {
    let group: Vec<Fastener> =
        tie.places.iter().zip(&tie.slip).map(|(at, slip)| Fastener { at: *at, stiffness: *slip }).collect();
    // The heads take a part of the turn by friction; a single screw takes all of it so.
    let round: f64 = group.iter().map(|one| one.stiffness * (one.at[0].powi(2) + one.at[1].powi(2))).sum();
    let moment = if group.len() > 1 { turn * round / tie.springs[3].max(round) } else { 0.0 };
    let shared = share(&group, &Load { force, at: [0.0; 2], moment }).value;
    shared.map_or_else(|| vec![force; group.len()], |shared| shared.forces)
}

/// How fasteners hold a joint about an edge that stays closed: T = M z / sum z2.
struct Levers {
    /// Where the edge is, mm from the elastic centre.
    edge: f64,
    /// sum z2, mm2.
    square: f64,
    /// What all fasteners together get of 1 N mm, N.
    all: f64,
}

impl Levers {
    /// About the low and the high edge along each axis.
    fn of_both(tie: &Tie) -> [[Levers; 2]; 2] {
        [0, 1].map(|axis| tie.extent[axis].map(|edge| Levers::of(tie, axis, edge)))
    }

    fn of(tie: &Tie, axis: usize, edge: f64) -> Levers {
        let levers = tie.places.iter().map(|place| (place[axis] - edge).abs());
        let square: f64 = levers.clone().map(|lever| lever.powi(2)).sum();
        let all = if square > 0.0 { levers.sum::<f64>() / square } else { 0.0 };
        Levers { edge, square, all }
    }

    /// What one fastener gets of 1 N mm, N.
    fn share(&self, tie: &Tie, axis: usize, at: usize) -> f64 {
        let lever = (tie.places[at][axis] - self.edge).abs();
        if self.square > 0.0 { lever / self.square } else { 0.0 }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pulls(tie: &Tie, forces: &TieForces) -> Vec<Pull> {
        Sharing::of(tie).pulls(forces).collect()
    }

    /// Two screws 60 mm apart across a patch of 100 by 40 mm.
    fn two_screws() -> Tie {
        Tie {
            joint: 0,
            fasteners: vec![0, 1],
            places: vec![[-30.0, 0.0], [30.0, 0.0]],
            parts: [PartId(0), PartId(1)],
            at: DVec3::ZERO,
            axes: [DVec3::Z, DVec3::X, DVec3::Y],
            extent: [[-50.0, 50.0], [-20.0, 20.0]],
            springs: [4e3, 4e3, 4e3, 4e3 * 900.0, 1.6e6, 1e7],
            slip: vec![2e3; 2],
            glued: false,
        }
    }

    /// A turn of 60 N m is a couple of 1000 N on screws 60 mm apart; 400 N across are 200 N each.
    #[test]
    fn a_turn_in_the_plane_is_a_couple() {
        let pulls = pulls(&two_screws(), &[0.0, 0.0, 400.0, 60_000.0, 0.0, 0.0]);
        assert!((pulls[0].lateral[1] - (200.0 - 1000.0)).abs() < 1e-9, "{pulls:?}");
        assert!((pulls[1].lateral[1] - (200.0 + 1000.0)).abs() < 1e-9, "{pulls:?}");
        assert!(pulls.iter().all(|pull| pull.axial == 0.0 && pull.lateral[0].abs() < 1e-9));
    }

    /// Opening along: levers 20 and 80 mm from the closed edge, T = M z / (20^2 + 80^2); the sum of T z is the moment.
    #[test]
    fn what_gapes_is_held_about_the_closed_edge() {
        let pulls = pulls(&two_screws(), &[0.0, 0.0, 0.0, 0.0, 0.0, 34_000.0]);
        assert!((pulls[1].axial - 34_000.0 * 80.0 / 6_800.0).abs() < 1e-9, "{pulls:?}");
        // 34 N m about one edge alone: 400 N at 80 mm and 100 N at 20 mm.
        assert!((400.0_f64 * 80.0 + 100.0 * 20.0 - 34_000.0).abs() < 1e-9);
    }

    /// Whatever passes through a tie, no fastener takes a greater share than is said beforehand; where one unit alone acts, one
    /// takes just that.
    #[test]
    fn no_fastener_takes_more_than_its_reach() {
        let tie = two_screws();
        let capacities = [[1000.0, 400.0], [800.0, 500.0]];
        let sharing = Sharing::of(&tie);
        let reach = sharing.reach(capacities.into_iter());
        let most = |forces: &TieForces| {
            let shares = sharing
                .pulls(forces)
                .zip(capacities)
                .map(|(pull, [across, along])| [pull.shear() / across, pull.axial / along]);
            shares.fold([0.0_f64; 2], |most, own| [most[0].max(own[0]), most[1].max(own[1])])
        };
        let units = [300.0, -200.0, 500.0, -9e3, 2e4, 3e4];
        for all in 0..64_u32 {
            let forces: TieForces =
                core::array::from_fn(|at| if all >> at & 1 == 1 { units[at] } else { 0.0 });
            let (most, bound) = (most(&forces), reach.under(&forces));
            assert!(most.iter().zip(bound).all(|(most, bound)| *most <= bound * (1.0 + 1e-12)), "{forces:?}");
            let alone = most.iter().zip(bound).all(|(most, bound)| (most - bound).abs() <= 1e-12 * bound);
            assert!(alone || all.count_ones() > 1, "{forces:?} {most:?} {bound:?}");
        }
    }

    /// 34 N m about the closed edge pull 100 and 400 N: with 300 N more that press, which hold 15 N m of it, 500 N stay half.
    #[test]
    fn what_fasteners_pull_presses_the_closed_edge() {
        let closing = |forces: &TieForces| Closing::of(&two_screws()).under(forces);
        let pried = closing(&[0.0, 0.0, 0.0, 0.0, 0.0, 34_000.0]);
        assert!((pried - 500.0).abs() < 1e-9, "{pried}");
        let both = closing(&[-300.0, 0.0, 0.0, 0.0, 0.0, 34_000.0]);
        assert!((both - (300.0 + 500.0 * 19.0 / 34.0)).abs() < 1e-9, "{both}");
        assert!(closing(&[500.0, 20.0, 0.0, 0.0, 0.0, 0.0]).abs() < 1e-9, "pulled apart");
    }

    /// 1000 N of compression in the middle of a patch 100 mm long hold 50 N m closed.
    #[test]
    fn compression_keeps_a_joint_closed() {
        let held = pulls(&two_screws(), &[-1000.0, 0.0, 0.0, 0.0, 0.0, 49_000.0]);
        assert!(held.iter().all(|pull| pull.axial == 0.0), "{held:?}");
        let apart = pulls(&two_screws(), &[500.0, 0.0, 0.0, 0.0, 0.0, 0.0]);
        assert!(apart.iter().all(|pull| (pull.axial - 250.0).abs() < 1e-9));
    }
}
