//! Load cases of a piece whose seat is pushed level while its feet catch: how its legs bear what racks them.

use super::Ground;
use super::build::Framing;
use super::loads::{About, CORNER_INSIDE, Push, Situation, pushes, sat_on};
use super::moving::centre_of_weight;
use super::seating::{PAD, Seating};
use super::steady::lessen;
use crate::Case;
use slatwork_solid::DVec3;

/// Feet within this of the farthest catch with it, mm (project choice: legs of one side, however they are splayed).
const CATCH: f64 = 50.0;

/// The seat pushed to either side at its ends, and forward at its rear edge, a person on it; the feet it is pushed toward catch and
/// share the push (EN 1728, from memory: stops at the feet of one side). No harder than it stands. A piece that hangs gives way.
pub(super) fn pushed(case: &Case, seating: &Seating, framing: &Framing) -> Vec<Situation> {
    let Ground::Feet(feet) = &framing.ground else { return Vec::new() };
    let level = case.level();
    let [aside, forward] = level.legs;
    let [left, right] = seating.ends;
    let middle = f64::midpoint(left, right);
    let (weight, centre) = centre_of_weight(case, framing);
    let cases = [
        ("to the right", DVec3::X, aside, left + CORNER_INSIDE, seating.loaded),
        ("to the left", DVec3::NEG_X, aside, right - CORNER_INSIDE, seating.loaded),
        ("forward", DVec3::NEG_Y, forward, middle, seating.rear - CORNER_INSIDE),
    ];
    let of = |(word, way, force, x, y): (&str, DVec3, f64, f64, f64)| {
        let reach = |at: DVec3| at.dot(way);
        let last = feet.iter().map(|foot| foot.at).max_by(|a, b| reach(*a).total_cmp(&reach(*b)))?;
        let moment = |at: DVec3, force: DVec3| reach(at - last) * force.z - (at.z - last.z) * reach(force);
        let mut found = sat_on(seating, nearest_place(seating, x), level.beside_push);
        found.extend(pushes(&seating.seat_pad(x, y, [PAD; 2]), way * force));
        let mut situation =
            Situation::new(format!("the seat pushed {word}, its feet catching"), About::Pushed, found);
        let own = moment(centre, DVec3::Z * -weight);
        lessen(&mut situation, |push| push.force.z == 0.0, own, |push| moment(push.at, push.force));
        let whole: DVec3 = situation.pushes.iter().map(|push| push.force).sum();
        let catching: Vec<_> = feet.iter().filter(|foot| reach(last - foot.at) < CATCH).collect();
        let share = way * (-reach(whole) / catching.len() as f64);
        situation.pushes.extend(catching.iter().map(|foot| Push {
            part: foot.part,
            at: foot.at,
            force: share,
        }));
        Some(situation)
    };
    cases.into_iter().filter_map(of).collect()
}

fn nearest_place(seating: &Seating, x: f64) -> f64 {
    let off = |place: &f64| (place - x).abs();
    seating.places.iter().copied().min_by(|a, b| off(a).total_cmp(&off(b))).unwrap_or(x)
}
