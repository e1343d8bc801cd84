//! # What it checks
//! What becomes of a full seat when one chain, eye or link gives way, and when one hook does.
//! # Why
//! Hangers wear and break; the others must then hold, if only once.
//! # Method and source
//! The seat is let go anew without the chain; what remains of that side bears all of it, and a sudden load counts double; with a hook
//! gone the other bears all, doubled (derived). Held against breaking: working load times the maker's factor, 4 for proof coil chain and
//! 5 for eye bolts (read); an eye as pulled across. An end may drop by at most 450 mm (project choice).
//! # Example
//! Two hooks under a ceiling: when one goes that end of the seat drops to the floor.
//! # Remedy
//! Heavier hardware, four hooks instead of two, safety loops, a lower seat.

use super::hung::{Hung, Rested, State};
use super::line::{Link, links};
use super::{force, hung_part, peopled, told_metres, with_hung};
use crate::statics::swing::Posture;
use crate::verdict::worst;
use crate::{Case, Check, Limit, Look, Measure, Unit, Verdict, Way};
use slatwork_base::{Angle, Severity};
use slatwork_catalog::Status;
use slatwork_solid::DVec3;

const FAULT: &str = "hanger-lost";
pub(super) const CHECK: Check = Check {
    fault: FAULT,
    about: "the others hold when one chain or hook gives way",
    rates: true,
    look: Look::Judges(look),
};

/// A load that comes at once counts so often.
const SUDDEN: f64 = 2.0;
/// How far an end may drop, mm (project choice).
const DROP: f64 = 450.0;
/// Fewer hooks than this hold nothing when one goes.
const REDUNDANT: usize = 3;

fn look(case: &Case) -> Vec<Verdict> {
    with_hung(case, FAULT, |hung| {
        let Some((state, posture)) = hung.full().next() else {
            return vec![Verdict::not_judged(FAULT, "a full seat does not hang").about(hung_part(case))];
        };
        let links = links(case);
        let chain = without_chain(case, hung, &links, (state, posture));
        let hook = without_hook(case, hung, &links, (state, posture));
        let both = chain.into_iter().chain(hook);
        both.map(|verdict| {
            peopled(hung, verdict)
                .governed_by(state.name.clone())
                .after("a sudden load counts double; the rest of a side bears all of it", Status::Derived)
                .after("breaking over working load as makers state it", Status::Read)
                .remedy(
                    "take heavier hardware, hang it by four hooks, or add safety loops",
                    [Way::Hardware, Way::Place],
                )
        })
        .collect()
    })
}

/// Pull, and what it breaks at, of the piece of a chain's line that is nearest to breaking.
fn nearest<'a>(links: &'a [Link<'_>], chain: usize, newtons: f64) -> Option<(&'a Link<'a>, f64, f64)> {
    let own = links.iter().filter(|link| link.chain == chain);
    let breaking = own.filter_map(|link| Some((link, newtons, breaking(link)?)));
    breaking.min_by(|one, other| one.2.total_cmp(&other.2))
}

/// N; by the working load itself where no maker's factor is known.
fn breaking(link: &Link<'_>) -> Option<f64> {
    let angle = if link.is_eye() { Angle::deg(90.0) } else { Angle::ZERO };
    let rating = link.rated_at(angle).or_else(|| link.rated())?;
    Some(rating.working_load_n * link.item.breaking_factor.unwrap_or(1.0))
}

type Full<'a> = (&'a State, &'a Posture);

/// The chain whose loss is worst: what remains of its side bears all of that, the others what they bore, doubled.
fn without_chain(
    case: &Case,
    hung: &Hung,
    links: &[Link<'_>],
    (state, posture): Full<'_>,
) -> Option<Verdict> {
    let count = hung.chains.len();
    let pairs = (0..count)
        .flat_map(|lost| (0..count).filter(move |left| *left != lost).map(move |left| (lost, left)));
    let losses = pairs.filter_map(|(lost, left)| {
        let side: DVec3 =
            fellows(hung, lost).map(|chain| posture.chains[chain].up * posture.chains[chain].tension).sum();
        let is_fellow = hung.chains[left].hook_id == hung.chains[lost].hook_id;
        let newtons = SUDDEN * if is_fellow { side.length() } else { posture.chains[left].tension };
        Some((lost, nearest(links, left, newtons)?))
    });
    let (lost, (link, newtons, breaks)) =
        losses.max_by(|one, other| (one.1.1 / one.1.2).total_cmp(&(other.1.1 / other.1.2)))?;
    let told = format!(
        "without the {} chain {}; {} of the {} then bears up to {}, and breaks at {}",
        hung.chains[lost].id,
        becomes(&hung.without(state, lost)),
        link.item.name,
        link.suspension.name,
        force(newtons),
        force(breaks)
    );
    let measure = Measure::new("pull after the loss", newtons, Limit::AtMost(breaks), Unit::Force);
    Some(
        Verdict::measured(FAULT, measure, Severity::Failure)
            .told(told)
            .about([case.model.part(link.suspension.part)]),
    )
}

fn becomes(after: &Rested) -> String {
    match after {
        Rested::Hangs(posture) => {
            let tilt = posture.tilt.as_deg();
            let end = if tilt < 0.0 { "front" } else { "rear" };
            format!("the seat is still held, its {end} down by {:.0} degrees", tilt.abs())
        }
        Rested::TurnsOver(_) => {
            String::from("the seat stays on its other chains, but turns over and throws people off")
        }
        Rested::NotFound(_) => String::from("nobody can tell how the seat comes to rest"),
    }
}

/// The chains of the hook of a chain.
fn fellows(hung: &Hung, chain: usize) -> impl Iterator<Item = usize> {
    let hook = &hung.chains[chain].hook_id;
    (0..hung.chains.len()).filter(move |own| hung.chains[*own].hook_id == *hook)
}

/// With so few hooks that nothing is left on one side: the end of the seat drops, and the other hook's chains bear all.
fn without_hook(case: &Case, hung: &Hung, links: &[Link<'_>], (state, posture): Full<'_>) -> Option<Verdict> {
    if posture.hooks.len() >= REDUNDANT {
        return None;
    }
    let weight = state.body.mass.mass * crate::statics::swing::STANDARD_GRAVITY;
    let pull = |chain: usize| {
        let side: f64 =
            fellows(hung, chain).map(|own| posture.chains[own].up.z * posture.chains[own].tension).sum();
        SUDDEN * posture.chains[chain].tension * weight / side
    };
    let all = (0..hung.chains.len()).filter_map(|chain| nearest(links, chain, pull(chain)));
    let (link, newtons, breaks) = all.max_by(|one, other| (one.1 / one.2).total_cmp(&(other.1 / other.2)))?;
    let strength = Measure::new("pull after the loss", newtons, Limit::AtMost(breaks), Unit::Force);
    let drop = hung.floor.and_then(|floor| {
        let edges = hung.sitters.edges.iter().map(|edge| (posture.origin + posture.turn * *edge).z - floor);
        edges.reduce(f64::max)
    });
    let falls = drop.map_or_else(
        || String::from("how far is not known without the height of the hooks over the floor"),
        |drop| format!("by up to {}", told_metres(drop)),
    );
    let held = format!(
        "there is nothing else on that side: when a hook gives way that end drops, {falls}; {} of the {} bears up to {} and breaks at {}",
        link.item.name,
        link.suspension.name,
        force(newtons),
        force(breaks)
    );
    let told = |verdict: Verdict| verdict.told(held.clone()).about([case.model.part(link.suspension.part)]);
    let strength = told(Verdict::measured(FAULT, strength, Severity::Failure));
    let drops = drop.map(|drop| {
        let measure = Measure::new("drop of an end", drop * 1e3, Limit::AtMost(DROP), Unit::Length);
        told(Verdict::measured(FAULT, measure, Severity::Warning))
            .after("how far an end may drop", Status::ProjectChoice)
    });
    worst(std::iter::once(strength).chain(drops))
}
