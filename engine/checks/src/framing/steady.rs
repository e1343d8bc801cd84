//! Who uses a piece that stands does not tip it in the load cases of strength: how far it is from tipping is judged by the checks of
//! that.

use super::build::Framing;
use super::loads::{About, Push, Situation, beside, sat_on};
use super::moving::centre_of_weight;
use super::seating::Seating;
use super::{Ground, Point};
use crate::Case;
use slatwork_solid::DVec3;

/// Share of the push that would tip the piece: its front feet keep touching, so that the frame is never on the verge of turning
/// over (numerical choice).
const HELD: f64 = 0.95;

/// Keeps a piece that stands from tipping about its rear feet: the push on the back is lessened (EN 581-2 by a copy: it is a greatest
/// value, read; that it is lessened until the piece no longer tips, EN 1728, from memory), as is who sits on its top; who leans on an arm sits beside it with the rest of the weight (project choice, as where it hangs).
pub(super) fn steadied(case: &Case, seating: &Seating, framing: &Framing, situations: &mut [Situation]) {
    let Ground::Feet(feet) = &framing.ground else { return };
    let Some(rear) = rearmost(feet) else { return };
    let (weight, centre) = centre_of_weight(case, framing);
    let own = about(rear, centre, DVec3::Z * -weight);
    for situation in situations {
        let moment = |push: &Push| about(rear, push.at, push.force);
        let pushes = || situation.pushes.iter();
        match situation.about {
            About::Leaning => lessen(situation, backward, own, moment),
            About::OnBack => lessen(situation, |_| true, own, moment),
            About::Arm => {
                let holds = own + pushes().map(moment).sum::<f64>();
                let level = case.level();
                let arm = situation.pushes.first().map(|push| push.part);
                if let Some(arm) = arm.filter(|_| holds < (1.0 - HELD) * own) {
                    let rest = (level.seat - level.arm).max(0.0);
                    situation.pushes.extend(sat_on(seating, beside(seating, arm), rest));
                    situation.name += ", sitting beside it";
                }
            }
            _ => {}
        }
    }
}

/// Lessens those pushes that tip a piece until it does not. Moments in N mm: what holds it down is positive.
pub(super) fn lessen(
    situation: &mut Situation,
    may_tip: impl Fn(&Push) -> bool,
    own: f64,
    moment: impl Fn(&Push) -> f64,
) {
    let tips: f64 = situation.pushes.iter().filter(|push| may_tip(push)).map(|push| -moment(push)).sum();
    let holds = own + situation.pushes.iter().filter(|push| !may_tip(push)).map(&moment).sum::<f64>();
    if tips > HELD * holds {
        let share = (HELD * holds / tips).max(0.0);
        situation.pushes.iter_mut().filter(|push| may_tip(push)).for_each(|push| push.force *= share);
        situation.name += ", as far as it does not tip";
        situation.lessened = true;
    }
}

/// Whether a force pushes the back.
fn backward(push: &Push) -> bool {
    push.force.y > 0.0
}

/// The foot farthest to the rear.
fn rearmost(feet: &[Point]) -> Option<DVec3> {
    feet.iter().map(|foot| foot.at).max_by(|a, b| a.y.total_cmp(&b.y))
}

/// Moment of a force about a line to the right through a foot, N mm: it holds the piece down where positive, tips it where negative.
fn about(foot: DVec3, at: DVec3, force: DVec3) -> f64 {
    (at.y - foot.y) * force.z - (at.z - foot.z) * force.y
}
