//! # What it checks
//! What the seat hands to what it hangs from; and whether a joist or beam that the site describes is ruled out. It never passes one.
//! # Why
//! Ceiling joists are mostly sized for 10 to 20 lb/ft2 of attic load (IRC R301.5, read), not for people in motion; a fixing that lets
//! go drops everybody.
//! # Method and source
//! Forces of the chains on each hook at their worst, and the level pull of a pendulum swung 30 degrees (derived). A beam is bent and
//! sheared as a simple span (NDS, published values, duration 1.0) as if it carried nothing else and could not tip: where that is too
//! much already it is ruled out, else a qualified person must say. The site describes it under `[[beam]]`.
//! # Example
//! A 2x8 joist over 12 ft under one side of a seat for three.
//! # Remedy
//! A beam that a qualified person has chosen. Their figures, the loads and places of the hooks, are told with `--accept hanging`.

use super::hung::Hung;
use super::overhead::{Beam, Handed, beam, handed_over};
use super::{force, hung_part, in_motion, peopled, shared, told_metres, with_hung};
use crate::{Case, Check, Limit, Look, Measure, Unit, Verdict, Way};
use slatwork_base::{Severity, both_tapes_whole};
use slatwork_catalog::Status;
use slatwork_model::Overhead;

const FAULT: &str = "support-unconfirmed";
pub(super) const CHECK: Check = Check {
    fault: FAULT,
    about: "what it hangs from is confirmed by a qualified person",
    rates: false,
    look: Look::Judges(look),
};

fn look(case: &Case) -> Vec<Verdict> {
    with_hung(case, FAULT, |hung| {
        let told = match handed_over(case) {
            Ok(handed) => told(&handed),
            Err(withheld) => withheld,
        };
        let own = Verdict::not_judged(FAULT, format!("outside the plan: {told}"));
        let beams = case.model.site.beams.iter().map(|own| judged(case, hung, own));
        let all = std::iter::once(own).chain(beams);
        all.map(|verdict| {
            shared(hung, in_motion(peopled(hung, verdict)))
                .about(hung_part(case))
                .remedy("ask a qualified person to confirm member, bearings and fixing", [Way::Place])
        })
        .collect()
    })
}

/// What each hook bears and where it goes, from the middle and the front of the seat.
fn told(handed: &Handed) -> String {
    let each = handed.hooks.iter().map(|hook| {
        format!(
            "the {}, {} from the middle, {} behind the front of the seat and {} over its eyes, is pulled down with up to {}, {} at rest; \
             to front and rear with {:.0} N, to a side with {:.0} N; it and its fixing must be rated at {:.0} N",
            hook.name,
            both_tapes_whole(hook.aside),
            both_tapes_whole(hook.behind),
            both_tapes_whole(hook.over),
            force(hook.down),
            force(hook.at_rest),
            hook.along,
            hook.across,
            hook.rated
        )
    });
    let each: Vec<String> = each.collect();
    format!("for a qualified person: {}", each.join("; "))
}

fn judged(case: &Case, hung: &Hung, own: &Overhead) -> Verdict {
    let name =
        format!("{} of {} {} over {}", own.section, own.species, own.grade, told_metres(own.span.as_metre()));
    let verdict = match beam(case, hung, own) {
        Err(why) => {
            Verdict::not_judged(FAULT, format!("not ruled out: {name}: {why}; ask a qualified person"))
        }
        Ok(Beam::NotRuledOut { word, share }) => Verdict::not_judged(
            FAULT,
            format!(
                "not ruled out: {name}, by {word} {share:.2} of what it may carry with nothing else on it; ask a qualified person"
            ),
        ),
        Ok(Beam::RuledOut { word, demand, capacity, working }) => {
            let unit = if word.starts_with("shear") { Unit::Force } else { Unit::Stress };
            Verdict::measured(
                FAULT,
                Measure::new(word, demand, Limit::AtMost(capacity), unit),
                Severity::Failure,
            )
            .worked(*working)
            .told(format!(
                "ruled out: {name} is too weak in {word}: {demand:.1}, and it may bear {capacity:.1}"
            ))
        }
    };
    verdict
        .assuming("a simple span that carries nothing else and is held against tipping")
        .after("NDS design values, duration factor 1.0 for people", Status::Read)
}
