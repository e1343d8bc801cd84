//! What one link more or less does to a hanging seat.

use crate::statics::swing::{Posture, Rest, Suspended, settle};
use slatwork_base::{Angle, Diagnostic, Outcome};
use slatwork_solid::DVec3;

/// What changes.
#[derive(Clone, Debug, PartialEq)]
pub struct LinkEffect {
    /// Rear down.
    pub tilt: Angle,
    /// Right side up.
    pub roll: Angle,
    /// Shift of the seat frame's origin, fixed axes, m.
    pub shift: DVec3,
    /// The posture after it.
    pub after: Posture,
}

/// Hangs the named chains one link shorter (`pitch` above zero) or longer (below) and compares.
///
/// # Errors
///
/// As [`settle`], before or after; a name that no chain has; a seat that turns over has no posture to compare.
pub fn one_link(swing: &Suspended, chains: &[&str], pitch: f64) -> Outcome<LinkEffect> {
    if let Some(fault) = unknown(swing, chains) {
        return Outcome::failed(fault);
    }
    let mut shorter = swing.clone();
    for chain in shorter.chains.iter_mut().filter(|chain| chains.contains(&chain.id.as_str())) {
        chain.length -= pitch;
    }
    posture(swing).then(|before| posture(&shorter).map(|after| effect(&before, after)))
}

fn unknown(swing: &Suspended, chains: &[&str]) -> Option<Diagnostic> {
    let has = |name: &str| swing.chains.iter().any(|chain| chain.id == name);
    chains.iter().find(|name| !has(name)).map(|name| {
        Diagnostic::error("unknown-chain", format!("there is no chain named `{name}`"))
            .help("take the name of one of the seat's chains")
    })
}

fn posture(swing: &Suspended) -> Outcome<Posture> {
    settle(swing).then(|rest| match rest {
        Rest::Hangs(posture) => Outcome::fine(posture),
        Rest::Tips(_) => Outcome { value: None, diagnostics: Vec::new() },
    })
}

fn effect(before: &Posture, after: Posture) -> LinkEffect {
    LinkEffect {
        tilt: after.tilt - before.tilt,
        roll: after.roll - before.roll,
        shift: after.origin - before.origin,
        after,
    }
}
