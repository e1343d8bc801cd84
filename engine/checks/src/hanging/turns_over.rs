//! # What it checks
//! That the seat hangs upright with every number of people at every place, upright and leaning.
//! # Why
//! A chain cannot push. Where the load leaves the room between front and rear chains, a pair falls slack and the seat throws people.
//! # Method and source
//! The seat is let go level under its chains and sinks to its equilibrium (energy and equilibrium, derived); one beyond a right
//! angle has turned over. Who sits and leans how far: ISO 7174-1 (read) and project choice.
//! # Example
//! Eyes 150 mm apart at the rear of the seat, with people in front of them.
//! # Remedy
//! Eyes farther apart or higher, longer chains.

use super::hung::Rested;
use super::{hung_part, peopled, with_hung};
use crate::{Case, Check, Look, Verdict, Way};
use slatwork_base::Severity;

const FAULT: &str = "swing-turns-over";
pub(super) const CHECK: Check = Check {
    fault: FAULT,
    about: "the seat hangs upright whoever sits in it",
    rates: true,
    look: Look::Judges(look),
};

fn look(case: &Case) -> Vec<Verdict> {
    with_hung(case, FAULT, |hung| {
        let states = || hung.states.iter().chain(&hung.drops);
        let over = states().find_map(|state| match &state.rest {
            Rested::TurnsOver(why) => Some((state, why)),
            Rested::Hangs(_) | Rested::NotFound(_) => None,
        });
        let unknown = states().find_map(|state| match &state.rest {
            Rested::NotFound(why) => Some((state, why)),
            Rested::Hangs(_) | Rested::TurnsOver(_) => None,
        });
        let verdict = match (over, unknown) {
            (Some((state, why)), _) => Verdict::yes_or_no(FAULT, false, Severity::Failure)
                .told(format!("with {} it turns over: {why}", state.name))
                .governed_by(state.name.clone()),
            (None, Some((state, why))) => {
                Verdict::not_judged(FAULT, format!("how it hangs with {} is not known: {why}", state.name))
            }
            (None, None) => Verdict::yes_or_no(FAULT, true, Severity::Failure)
                .told(format!("it hangs upright in each of {} seatings", states().count())),
        };
        vec![
            peopled(hung, verdict)
                .about(hung_part(case))
                .remedy("set the eyes farther apart or higher, or lengthen the chains", [Way::Place]),
        ]
    })
}
