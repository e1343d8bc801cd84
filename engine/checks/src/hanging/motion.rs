//! What swinging asks of the chains beyond rest.

use super::weigh::Body;
use crate::statics::swing::{Chain, Motion, Pendulum, Posture, RingSwing, STANDARD_GRAVITY};
use slatwork_base::Angle;
use slatwork_solid::{DVec2, DVec3};

/// How far a porch swing is swung, from rest (project choice).
pub(super) const AMPLITUDE: Angle = Angle::deg(30.0);
/// Hooks nearer than this are one, m.
const ONE_HOOK: f64 = 1e-3;

/// Of each hook its front and its rear chain, where every hook holds two: then seat and chains swing as one body about the hooks.
pub(super) fn rings(chains: &[Chain]) -> Option<Vec<[usize; 2]>> {
    let mut hooks: Vec<Vec<usize>> = Vec::new();
    for (index, chain) in chains.iter().enumerate() {
        let near = |own: &&mut Vec<usize>| chains[own[0]].hook.distance(chain.hook) < ONE_HOOK;
        match hooks.iter_mut().find(near) {
            Some(own) => own.push(index),
            None => hooks.push(vec![index]),
        }
    }
    let pair = |own: Vec<usize>| -> Option<[usize; 2]> {
        let [one, other] = own[..] else { return None };
        let is_front = chains[one].eye.y <= chains[other].eye.y;
        Some(if is_front { [one, other] } else { [other, one] })
    };
    hooks.into_iter().map(pair).collect()
}

/// Greatest and least pull of each chain while it swings, over its pull at rest.
pub(super) struct Swings {
    pub(super) greatest: Vec<f64>,
    pub(super) least: Vec<f64>,
}

/// A seat at rest, to be swung.
pub(super) struct Swung<'a> {
    pub(super) chains: &'a [Chain],
    pub(super) rings: Option<&'a [[usize; 2]]>,
    pub(super) posture: &'a Posture,
    pub(super) body: Body,
}

impl Swung<'_> {
    /// As one body about its hooks where it hangs by rings; else as a point on parallel chains, which all take the same.
    pub(super) fn swings(&self) -> Swings {
        let (rest, turning) = (self.pendulum().at_angle(Angle::ZERO), self.pendulum().at_angle(AMPLITUDE));
        let weight = self.body.mass.mass * STANDARD_GRAVITY;
        let count = self.chains.len();
        let mut swings = Swings {
            greatest: vec![rest.normal / weight; count],
            least: vec![turning.normal / weight; count],
        };
        let Some((rings, split)) =
            self.rings.and_then(|rings| Some((rings, self.ring(rings).split().value?)))
        else {
            return swings;
        };
        for pair in rings {
            for (end, chain) in pair.iter().enumerate() {
                swings.greatest[*chain] = split.greatest[end] / split.at_rest[end];
                swings.least[*chain] = split.least[end] / split.at_rest[end];
            }
        }
        swings
    }

    /// What all hooks together are pulled with where the pull is most level.
    pub(super) fn most_level(&self) -> Option<Motion> {
        self.pendulum().swing().value.map(|swing| swing.most_horizontal)
    }

    fn pendulum(&self) -> Pendulum {
        let hooks = self.chains.iter().map(|chain| chain.hook.z).sum::<f64>() / self.chains.len() as f64;
        Pendulum {
            gravity: STANDARD_GRAVITY,
            mass: self.body.mass.mass,
            radius: hooks - self.posture.centre.z,
            gyration: 0.0,
            amplitude: AMPLITUDE,
        }
    }

    fn ring(&self, rings: &[[usize; 2]]) -> RingSwing {
        let back = self.posture.turn.inverse();
        let seen = |point: DVec3| DVec2::new(point.y, point.z);
        let mean = |of: &dyn Fn(&[usize; 2]) -> DVec3| {
            seen(rings.iter().map(of).sum::<DVec3>() / rings.len() as f64)
        };
        RingSwing {
            gravity: STANDARD_GRAVITY,
            mass: self.body.mass.mass,
            inertia: self.body.inertia,
            front: mean(&|pair| self.chains[pair[0]].eye),
            rear: mean(&|pair| self.chains[pair[1]].eye),
            ring: mean(&|pair| back * (self.chains[pair[0]].hook - self.posture.origin)),
            centre: seen(self.body.mass.at),
            amplitude: AMPLITUDE,
        }
    }
}
