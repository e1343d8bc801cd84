//! A posture at rest as an answer: in metres, newtons and degrees, in the seat's own frame and in fixed axes.

use super::balance::Balance;
use super::bonds::Bonds;
use super::stability::Stability;
use super::suspended::{Chain, Suspended};
use slatwork_base::{Angle, maths};
use slatwork_solid::{DQuat, DVec3};

/// How the seat hangs.
#[derive(Clone, Debug, PartialEq)]
pub struct Posture {
    /// Turn about the width, positive when the rear goes down.
    pub tilt: Angle,
    /// Positive when the right side goes up.
    pub roll: Angle,
    /// Turn about the vertical, right-handed.
    pub yaw: Angle,
    /// The seat frame's origin, fixed axes, m.
    pub origin: DVec3,
    /// The seat's turn from the level drawing.
    pub turn: DQuat,
    /// Centre of gravity, fixed axes, m.
    pub centre: DVec3,
    /// Each chain, in the order given.
    pub chains: Vec<ChainState>,
    /// Each hook, in the order of the chains.
    pub hooks: Vec<HookForce>,
    /// Motions that the taut chains leave free.
    pub freedoms: usize,
    /// Least force, or moment, that brings the seat back from a small free motion of its origin, N a metre (a radian
    /// counting as a metre). Zero: nothing does.
    pub stiffness: f64,
    /// More chains are taut than the posture needs: their tensions are those of equally stiff chains.
    pub undetermined: bool,
}

/// What a chain does.
#[derive(Clone, Debug, PartialEq)]
pub struct ChainState {
    /// Its name.
    pub id: String,
    /// Tension, N; zero when slack.
    pub tension: f64,
    /// Length that it has to spare, m; zero when taut.
    pub spare: f64,
    /// From eye to hook, of length 1, fixed axes.
    pub up: DVec3,
    /// The same as the seat sees it, seat frame: the direction in which the eye is pulled.
    pub pull: DVec3,
    /// Between the chain and the vertical.
    pub from_vertical: Angle,
}

/// Force of all chains on one hook.
#[derive(Clone, Debug, PartialEq)]
pub struct HookForce {
    /// Its name.
    pub hook: String,
    /// Fixed axes, N.
    pub force: DVec3,
}

impl ChainState {
    /// Whether it carries nothing.
    pub fn is_slack(&self) -> bool {
        self.tension == 0.0
    }
}

impl Posture {
    pub(super) fn of(swing: &Suspended, bonds: &Bonds, balance: &Balance, stability: &Stability) -> Self {
        let seat = balance.pose.told_by(-bonds.centre / bonds.scale);
        let [tilt, roll, yaw] = seat.angles();
        let chains = chain_states(swing, bonds, balance);
        let taut = chains.iter().filter(|chain| !chain.is_slack()).count();
        Posture {
            tilt,
            roll,
            yaw,
            origin: seat.place * bonds.scale,
            turn: seat.turn,
            centre: balance.pose.place * bonds.scale,
            hooks: hook_forces(swing, &chains),
            freedoms: stability.freedoms,
            stiffness: if stability.is_indifferent() { 0.0 } else { stability.stiffness * swing.weight() },
            undetermined: taut + stability.freedoms > super::pose::FREEDOMS,
            chains,
        }
    }
}

fn chain_states(swing: &Suspended, bonds: &Bonds, balance: &Balance) -> Vec<ChainState> {
    let spans = bonds.spans(&balance.pose);
    let back = balance.pose.turn.inverse();
    let state = |(index, chain): (usize, &Chain)| {
        let (span, is_taut) = (&spans[index], balance.taut()[index]);
        let up = -span.down;
        ChainState {
            id: chain.id.clone(),
            tension: if is_taut { balance.tensions[index] * swing.weight() } else { 0.0 },
            spare: if is_taut { 0.0 } else { (-span.beyond * bonds.scale).max(0.0) },
            up,
            pull: back * up,
            from_vertical: from_vertical(up),
        }
    };
    swing.chains.iter().enumerate().map(state).collect()
}

/// Angle between a direction and the vertical, exact near zero too.
pub(crate) fn from_vertical(direction: DVec3) -> Angle {
    Angle::rad(maths::atan2(maths::hypot(direction.x, direction.y), direction.z))
}

fn hook_forces(swing: &Suspended, chains: &[ChainState]) -> Vec<HookForce> {
    let mut hooks: Vec<HookForce> = Vec::new();
    for (chain, state) in swing.chains.iter().zip(chains) {
        let force = -state.up * state.tension;
        match hooks.iter_mut().find(|own| own.hook == chain.hook_id) {
            Some(own) => own.force += force,
            None => hooks.push(HookForce { hook: chain.hook_id.clone(), force }),
        }
    }
    hooks
}
