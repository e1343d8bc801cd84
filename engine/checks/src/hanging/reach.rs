//! The room that a seat takes while it swings.

use super::hung::{Hung, State};
use super::motion::AMPLITUDE;
use super::weigh::MM;
use crate::Case;
use crate::statics::swing::Posture;
use slatwork_base::maths;
use slatwork_solid::DVec3;

/// How far a seat comes, m, over every seating with nobody or all in it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Reach {
    /// From the line of the hooks to the front.
    pub(super) front: f64,
    /// From the line of the hooks to the rear.
    pub(super) rear: f64,
    /// Height of the lowest of it, fixed axes.
    pub(super) lowest: f64,
}

/// By the boxes round its boards.
pub(super) fn reach(case: &Case, hung: &Hung) -> Option<Reach> {
    let corners: Vec<DVec3> = case
        .model
        .parts
        .iter()
        .flat_map(|part| part.placed().bounds().corners().map(|corner| corner * MM))
        .collect();
    let looked_at = hung.hanging().filter(|(state, _)| is_empty_or_full(hung, state));
    let each =
        looked_at.flat_map(|(_, posture)| corners.iter().map(move |corner| swept(hung, posture, *corner)));
    each.reduce(|one, other| Reach {
        front: one.front.max(other.front),
        rear: one.rear.max(other.rear),
        lowest: one.lowest.min(other.lowest),
    })
}

fn is_empty_or_full(hung: &Hung, state: &State) -> bool {
    [0, hung.sitters.count()].contains(&state.seating.taken.len())
}

/// How far one corner comes. Under rings it turns about the hooks; on parallel chains it moves as every point does, along an
/// arc as long as they are.
fn swept(hung: &Hung, posture: &Posture, corner: DVec3) -> Reach {
    let hook = hung.chains.iter().map(|chain| chain.hook).sum::<DVec3>() / hung.chains.len() as f64;
    let at = posture.origin + posture.turn * corner - hook;
    let amplitude = AMPLITUDE.as_rad();
    if hung.rings.is_some() {
        let (radius, angle) = (maths::hypot(at.y, at.z), maths::atan2(at.y, -at.z));
        let out = |angle: f64| radius * maths::sin(angle.min(maths::PI / 2.0));
        Reach {
            front: out(amplitude - angle),
            rear: out(amplitude + angle),
            lowest: hook.z
                - if angle.abs() <= amplitude {
                    radius
                } else {
                    radius * maths::cos(angle.abs() - amplitude)
                },
        }
    } else {
        let length = hung.chains.iter().map(|chain| chain.length).fold(0.0, f64::max);
        let travel = length * maths::sin(amplitude);
        Reach { front: travel - at.y, rear: travel + at.y, lowest: hook.z + at.z }
    }
}
