//! # What it checks
//! That the piece does not tip sideways under a person at its end.
//! # Why
//! On a bench the one who stays when the other rises sits beyond the legs; on a chair people lean over the arm.
//! # Method and source
//! Moments about the feet of that side. Without arms 600 N down 60 mm inside the end of the seat; with arms 250 N on the seat
//! 100 mm off the middle of the place, and 350 N on the arm (from memory); 20 N outward (EN 1022, read second-hand).
//! # Example
//! A bench whose seat reaches 300 mm over its legs.
//! # Remedy
//! Set the legs nearer to the ends.

use super::{INSIDE, OUTWARD, PERSON, Stand, Tipping, after_the_standard, judged};
use crate::{Check, Look};
use slatwork_catalog::Status;
use slatwork_solid::DVec3;

/// With arms: load on the seat, and how far off the middle of the place, N and mm (EN 1022, read second-hand).
const BESIDE: (f64, f64) = (250.0, 100.0);
/// With arms: load on the arm, N (EN 1022, from memory).
const ON_ARM: f64 = 350.0;

pub(super) const CHECK: Check = Check {
    fault: "tips-sideways",
    about: "the piece does not tip sideways",
    rates: true,
    look: Look::Judges(|case| {
        let verdicts = judged(case, "tips-sideways", "sideways", "one person at the end", |stand| {
            let [left, right] = [(-1.0, 0), (1.0, 1)].map(|(way, end)| tipping(stand, way, end));
            Some(if right.margin() < left.margin() { right } else { left })
        });
        after_the_standard(verdicts, Status::FromMemory)
    }),
};

/// To the left (-1) or right (1).
fn tipping(stand: &Stand, way: f64, end: usize) -> Tipping {
    let (seating, direction) = (&stand.seating, DVec3::X * way);
    let place = if end == 0 { seating.places[0] } else { seating.places[seating.places.len() - 1] };
    let arm = seating.arm_middles().into_iter().max_by(|a, b| a.dot(direction).total_cmp(&b.dot(direction)));
    match arm {
        Some(arm) => {
            let beside = (BESIDE.0, DVec3::X * (place + way * BESIDE.1));
            stand.tipping(direction, &[beside, (ON_ARM, arm)], (OUTWARD, arm.z))
        }
        None => {
            let edge = (PERSON, DVec3::X * (seating.ends[end] - way * INSIDE));
            stand.tipping(direction, &[edge], (OUTWARD, seating.height))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::tests::stool;
    use super::*;
    use crate::Case;
    use slatwork_catalog::Catalogue;

    /// A plank of 600 mm on the ground: 600 N act 60 mm inside its end, its weight 300 mm, 20 N at its top.
    #[test]
    fn a_plank_is_held_by_who_sits_on_it() {
        let model = stool();
        let case = Case::new(&model, Catalogue::shared());
        let stand = Stand::of(&case).expect("it can be told").expect("it stands");
        let volume = 600.0 * 38.1 * 285.75 / 1e9;
        let weight =
            volume * Catalogue::shared().species("white oak").expect("known").density_at(12.0) * 9.80665;
        assert!((stand.weight / weight - 1.0).abs() < 1e-9, "{} {weight}", stand.weight);
        let by_hand = (600.0 * 60.0 + weight * 300.0) / (20.0 * stand.height(stand.seating.height));
        assert!((tipping(&stand, 1.0, 1).margin() / by_hand - 1.0).abs() < 1e-9);
        assert!((tipping(&stand, -1.0, 0).margin() / by_hand - 1.0).abs() < 1e-9);
    }

    /// The same with its feet 200 mm inside the end: the person is 140 mm beyond them.
    #[test]
    fn who_sits_beyond_the_feet_tips_it() {
        let model = stool();
        let case = Case::new(&model, Catalogue::shared());
        let mut stand = Stand::of(&case).expect("it can be told").expect("it stands");
        stand.soles.iter_mut().for_each(|sole| sole.x = sole.x.clamp(200.0, 400.0));
        let by_hand = (-600.0 * 140.0 + stand.weight * 100.0) / (20.0 * stand.height(stand.seating.height));
        assert!(by_hand < 0.0 && (tipping(&stand, 1.0, 1).margin() / by_hand - 1.0).abs() < 1e-9);
    }
}
