//! Whether a piece that hangs holds, hangs well and has its room.
//!
//! It is hung as it is drawn, each seating comes to rest by itself, and the pulls of swinging and of dropping into the seat follow
//! (`statics/swing`). What it hangs from overhead is outside the plan: it is never passed.
//!
//! | file | what |
//! |---|---|
//! | `weigh.rs` | what the piece itself weighs, and where |
//! | `sitters.rs` | every seating: how many, where, in what lean |
//! | `hung.rs` | [`Hung`]: how it rests with each, and what its chains then bear |
//! | `motion.rs` | what swinging adds |
//! | `line.rs` | the hardware of each chain's line and its ratings |
//! | `reach.rs` | the room that it takes while it swings |
//! | `seatings.rs` | [`Seated`]: how it hangs with each seating, in figures |
//! | `overhead.rs` | what is handed to what it hangs from |

mod chain_slack;
mod chains_splay;
mod eye_overloaded;
mod eye_tears_out;
mod hanger_lost;
mod hangs_high;
mod hangs_low;
mod hung;
mod line;
mod links_tilt_seat;
mod motion;
mod overhead;
mod part_overloaded;
mod part_refused;
mod part_unrated;
mod reach;
mod seatings;
mod sitters;
mod strikes;
mod support_unconfirmed;
mod tilts;
mod turns_over;
mod weigh;

use crate::{Case, Check, Verdict};
pub(crate) use hung::Hung;
pub use overhead::{Handed, HookPull, handed_over};
pub use seatings::{Seated, SeatedChain, SeatedPosture, seatings};
use slatwork_base::both_tapes_whole;
use slatwork_catalog::Status;
use slatwork_model::Part;

pub(crate) const ALL: [&Check; 15] = [
    &turns_over::CHECK,
    &tilts::CHECK,
    &chain_slack::CHECK,
    &chains_splay::CHECK,
    &part_refused::CHECK,
    &part_unrated::CHECK,
    &eye_overloaded::CHECK,
    &eye_tears_out::CHECK,
    &part_overloaded::CHECK,
    &hanger_lost::CHECK,
    &links_tilt_seat::CHECK,
    &strikes::CHECK,
    &hangs_low::CHECK,
    &hangs_high::CHECK,
    &support_unconfirmed::CHECK,
];

/// Judges a piece that hangs; nothing is said of one that does not, and where it is not known how it hangs, why.
fn with_hung(case: &Case, fault: &'static str, judge: impl FnOnce(&Hung) -> Vec<Verdict>) -> Vec<Verdict> {
    match case.hung() {
        None => Vec::new(),
        Some(Err(why)) => vec![Verdict::not_judged(fault, why.clone()).about(hung_part(case))],
        Some(Ok(hung)) => judge(hung),
    }
}

/// The first part that an eye goes through stands for the whole.
fn hung_part<'a>(case: &Case<'a>) -> Option<&'a Part> {
    let suspension = case.model.hanging.as_ref()?.suspensions.first()?;
    Some(case.model.part(suspension.part))
}

/// What people are taken for, said of every verdict that rests on them.
pub(crate) fn peopled(hung: &Hung, verdict: Verdict) -> Verdict {
    verdict
        .assuming(format!("{:.0} kg at each of {} places", hung.sitters.each, hung.sitters.count()))
        .assuming("people's weight 9 13/16\" (250 mm) over the seat, 4 5/16\" (110 mm) to the rear or front of it when they lean")
        .after("mass of a person by use level, after BIFMA X5.1, X5.4 and X5.11", Status::ProjectChoice)
        .after("seat load point of ISO 7174-1", Status::Read)
        .after("posture by equilibrium of the seat under its chains", Status::Derived)
}

/// What is added for swinging and for sitting down hard.
fn in_motion(verdict: Verdict) -> Verdict {
    verdict
        .assuming("swung 30 degrees from rest, or one person dropping into it")
        .after("force of a pendulum; a load that comes suddenly counts double", Status::Derived)
        .after("30 degrees, and one who drops beside the others at rest", Status::ProjectChoice)
}

/// How chains at hooks of their own share the seat, where that is not determined.
fn shared(hung: &Hung, verdict: Verdict) -> Verdict {
    if !hung.full().any(|(_, posture)| hung::each_has_its_hook(posture)) {
        return verdict;
    }
    verdict
        .assuming("any two chains across from each other bear all, for a link more or less in one decides who bears")
        .after("four chains at four hooks are statically indeterminate", Status::Derived)
}

/// A length in metres as both tapes read it.
fn told_metres(metres: f64) -> String {
    both_tapes_whole(metres * 1e3)
}

/// Newtons with what they weigh: "1240 N (126 kg)".
fn force(newtons: f64) -> String {
    format!("{newtons:.0} N ({:.0} kg)", newtons / crate::statics::swing::STANDARD_GRAVITY)
}
