//! A hung piece in its posture: chain tensions as forces on it, weight in the direction that it hangs in.

use super::Timbers;
use super::analysis::Unanalysed;
use super::loads::{Push, Situation};
use super::seating::Seating;
use crate::Case;
use crate::statics::swing::{Chain, Mass, Posture, Rest, STANDARD_GRAVITY, Suspended, resettle, settle};
use slatwork_model::Part;
use slatwork_solid::DVec3;

/// A millimetre in metres.
const MM: f64 = 1e-3;

/// A piece as it hangs, in its own frame.
#[derive(Clone, Debug)]
pub(super) struct Hung {
    /// Direction of weight.
    pub(super) gravity: DVec3,
    /// Pull of each chain on its eye, N.
    pub(super) chains: Vec<DVec3>,
    /// What people do: their weight along gravity, their pushes as they were.
    pub(super) pushes: Vec<Push>,
}

/// The posture of a piece under a load case, with that posture itself; `before` is one that it hung in under another.
///
/// # Errors
/// Why it does not hang.
pub(super) fn hung(
    case: &Case,
    seating: &Seating,
    timbers: &Timbers,
    situation: &Situation,
    before: Option<&Posture>,
) -> Result<(Hung, Posture), Unanalysed> {
    let pushes = reacted(seating, situation);
    let mut masses: Vec<Mass> = case.model.parts.iter().map(|part| wood(part, timbers)).collect();
    masses.extend(sitter(&pushes));
    let swing = Suspended { gravity: STANDARD_GRAVITY, chains: chains(case), masses };
    let outcome = before.map_or_else(|| settle(&swing), |before| resettle(&swing, before));
    let told = outcome.diagnostics.first().map(|found| found.message.clone());
    let posture = match outcome.value {
        Some(Rest::Hangs(posture)) => posture,
        Some(Rest::Tips(over)) => {
            let why = format!("under {} it turns over: {}", situation.name, over.why);
            return Err(Unanalysed::TurnsOver(why));
        }
        None => return Err(told.unwrap_or_default().into()),
    };
    let back = posture.turn.inverse();
    let gravity = back * -DVec3::Z;
    let weighed =
        |push: &Push| Push { force: DVec3 { z: 0.0, ..push.force } - gravity * push.force.z, ..*push };
    let hung = Hung {
        gravity,
        chains: posture.chains.iter().map(|chain| back * chain.up * chain.tension).collect(),
        pushes: pushes.iter().map(weighed).collect(),
    };
    Ok((hung, posture))
}

fn wood(part: &Part, timbers: &Timbers) -> Mass {
    let at = part.pose.transform_point3(part.solid.centroid()) * MM;
    Mass { mass: part.solid.volume() / 1e9 * timbers.of(part.id).density, at }
}

fn chains(case: &Case) -> Vec<Chain> {
    let hanging = case.model.hanging.iter().flat_map(|hanging| &hanging.suspensions);
    hanging
        .map(|one| Chain {
            id: one.name.clone(),
            eye: one.eye * MM,
            hook: one.hook * MM,
            hook_id: format!("{:.1} {:.1} {:.1}", one.hook.x, one.hook.y, one.hook.z),
            length: one.eye.distance(one.hook) * MM,
        })
        .collect()
}

/// Who pushes sideways in a swing stems against the seat: nothing else is there. The stem acts where the person sits, or else
/// in the middle of the seat.
fn reacted(seating: &Seating, situation: &Situation) -> Vec<Push> {
    let mut pushes = situation.pushes.clone();
    let aside: DVec3 = pushes.iter().map(|push| DVec3 { z: 0.0, ..push.force }).sum();
    if aside.length() <= 0.0 {
        return pushes;
    }
    let seated: Vec<Push> = pushes.iter().filter(|push| push.force.z < 0.0).copied().collect();
    let total: f64 = seated.iter().map(|push| push.force.z).sum();
    if seated.is_empty() {
        let middle = f64::midpoint(seating.ends[0], seating.ends[1]);
        let pad = seating.seat_pad(middle, seating.loaded, [super::seating::PAD; 2]);
        pushes.extend(pad.iter().map(|touch| Push {
            part: touch.part,
            at: touch.at,
            force: -aside * touch.share,
        }));
    } else {
        pushes.extend(seated.iter().map(|push| Push { force: -aside * (push.force.z / total), ..*push }));
    }
    pushes
}

/// People as one mass, where the line of all that they do passes through the height that they sit at.
fn sitter(pushes: &[Push]) -> Option<Mass> {
    let weight: f64 = pushes.iter().map(|push| -push.force.z).sum();
    if weight <= 0.0 {
        return None;
    }
    let moment: DVec3 = pushes.iter().map(|push| push.at.cross(push.force)).sum();
    let height = pushes.iter().map(|push| push.at.z * -push.force.z).sum::<f64>() / weight;
    let at = DVec3::new(moment.y / weight, -moment.x / weight, height) * MM;
    Some(Mass { mass: weight / STANDARD_GRAVITY, at })
}
