//! Load cases of a piece that is moved: lifted by an end, let drop. Nobody sits on it then.

use super::analysis::mass;
use super::build::Framing;
use super::loads::{About, Push, Situation, pushes};
use super::seating::{PAD, Seating};
use super::{Ground, Point};
use crate::Case;
use crate::statics::swing::STANDARD_GRAVITY;
use slatwork_solid::DVec3;

/// Share of the lift that would take an end off the ground: its feet keep touching, so that the frame is never on the verge of
/// turning over (numerical choice).
const LIFTED: f64 = 0.95;

/// Where hands take an arm, as shares of its length.
const HANDS: [f64; 2] = [0.1, 0.9];

/// Every load case of moving a piece that stands; none for one that hangs.
pub(super) fn moved(case: &Case, seating: &Seating, framing: &Framing) -> Vec<Situation> {
    let Ground::Feet(feet) = &framing.ground else { return Vec::new() };
    let name = format!("let drop: {} times its own weight", About::Dropped.weight());
    let dropped = Situation::new(name, About::Dropped, Vec::new());
    let heavy = centre_of_weight(case, framing);
    let lifted = ["left", "right"].into_iter().filter_map(|end| lifted(seating, feet, heavy, end));
    lifted.chain([dropped]).collect()
}

/// Weight, N, and where it acts, of what the frame carries.
pub(super) fn centre_of_weight(case: &Case, framing: &Framing) -> (f64, DVec3) {
    let held = case.model.parts.iter().filter(|part| framing.chain(part.id).is_some());
    let own = held.map(|part| {
        let centre = part.pose.transform_point3(part.solid.centroid());
        (mass(case, framing, part.id) * STANDARD_GRAVITY, centre)
    });
    let (weight, moment) = own.fold((0.0, DVec3::ZERO), |all, one| (all.0 + one.0, all.1 + one.1 * one.0));
    (weight, moment / weight)
}

/// Somebody takes an end, by its arm where there is one, and lifts it almost off the ground about the feet of the other end.
fn lifted(seating: &Seating, feet: &[Point], (weight, centre): (f64, DVec3), end: &str) -> Option<Situation> {
    let far = turns_about(feet, centre.y, if end == "left" { 1.0 } else { -1.0 })?;
    let hands = hands(seating, centre.y, end);
    let taken: f64 = hands.iter().map(|hand| hand.force.z * hand.at.x).sum();
    let force = LIFTED * weight * (centre.x - far) / (taken - far);
    let up = |hand: &Push| Push { force: hand.force * force, ..*hand };
    let name = format!("lifted by its {end} end");
    let pushes: Vec<Push> = hands.iter().map(up).collect();
    (force > 0.0 && !pushes.is_empty()).then_some(Situation::new(name, About::Lifted, pushes))
}

/// Where, on a line across the piece, it turns about its outermost feet to the right (1) or left (-1): two of them, before and
/// behind the line, make an axis.
fn turns_about(feet: &[Point], y: f64, way: f64) -> Option<f64> {
    let before = feet.iter().filter(|foot| foot.at.y <= y);
    let crossing = before.flat_map(|a| feet.iter().filter(|b| b.at.y > y).map(|b| (a.at, b.at)));
    crossing.map(|(a, b)| a.lerp(b, (y - a.y) / (b.y - a.y)).x).max_by(|a, b| (a * way).total_cmp(&(b * way)))
}

/// Where an end is taken, with a force of 1 N upward in all: both ends of its arm so that it comes up level, else its seat.
fn hands(seating: &Seating, centre: f64, end: &str) -> Vec<Push> {
    let Some(arm) = seating.arms().iter().copied().find(|arm| seating.side_of(*arm) == end) else {
        let inside = if end == "left" { seating.ends[0] + PAD / 2.0 } else { seating.ends[1] - PAD / 2.0 };
        return pushes(&seating.seat_pad(inside, centre, [PAD; 2]), DVec3::Z);
    };
    let [front, rear] = HANDS.map(|share| seating.along_arm(arm, share));
    let share = ((rear.y - centre) / (rear.y - front.y)).clamp(0.0, 1.0);
    [(front, share), (rear, 1.0 - share)]
        .map(|(at, share)| Push { part: arm, at, force: DVec3::Z * share })
        .into()
}
