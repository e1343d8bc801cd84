//! # What it checks
//! What becomes of a full seat when one chain, eye or link gives way, and when one hook does.
//! # Why
//! Hangers wear and break; the others must then hold, if only once.
//! # Method and source
//! The seat is let go anew without the chain. What remains of its hook bears all of that; at four hooks the other three balance
//! weight and moments, and where one of them would have to push, the two across from each other bear at least half each; with one of
//! two hooks gone the other bears all. A sudden load counts double (derived). Held against breaking: working load times the maker's
//! factor, 4 for proof coil chain and 5 for eye bolts (read); an eye as pulled across. An end may drop by at most 450 mm (project
//! choice).
//! # Example
//! Two hooks under a ceiling: when one goes that end of the seat drops to the floor.
//! # Remedy
//! Heavier hardware, four hooks instead of two, safety loops, a lower seat.

use super::hung::{Hung, Rested, State, each_has_its_hook, on_any_two};
use super::line::{Link, links};
use super::{force, hung_part, peopled, told_metres, with_hung};
use crate::statics::swing::Posture;
use crate::verdict::worst;
use crate::{Case, Check, Limit, Look, Measure, Unit, Verdict, Way, Working};
use slatwork_base::formula::{Equation, NamedNumber};
use slatwork_base::{Angle, Severity};
use slatwork_catalog::Status;
use slatwork_solid::{DMat3, DVec3};

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
                .after("a sudden load counts double; what is left balances the seat", Status::Derived)
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

/// The same in words.
fn breaks_words(link: &Link<'_>, breaks: f64) -> String {
    match link.item.breaking_factor {
        Some(_) => format!("breaks at {}", force(breaks)),
        None => format!("has a working load of {}, no breaking load being stated", force(breaks)),
    }
}

/// What it breaks at.
fn breaks_at(link: &Link<'_>, breaks: f64) -> Equation {
    let Some(factor) = link.item.breaking_factor else {
        let meaning = "working load, of the catalogue, for no breaking load is stated";
        return Equation::measured(NamedNumber::new("R", meaning, breaks, Unit::Force));
    };
    let rated = NamedNumber::new("R", "working load, of the catalogue", breaks / factor, Unit::Force);
    let factor = NamedNumber::new("kb", "breaking over working load, of the catalogue", factor, Unit::Plain);
    let left = NamedNumber::new("B", "what it breaks at", breaks, Unit::Force);
    Equation::of(left, factor * rated)
}

type Full<'a> = (&'a State, &'a Posture);

/// The chain whose loss is worst, each of the others bearing a sudden load.
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
        let newtons = SUDDEN * bears(hung, posture, lost, left);
        Some((lost, nearest(links, left, newtons)?))
    });
    let (lost, (link, newtons, breaks)) =
        losses.max_by(|one, other| (one.1.1 / one.1.2).total_cmp(&(other.1.1 / other.1.2)))?;
    let told = format!(
        "without the {} chain {}; {} of the {} then bears up to {}, and {}",
        hung.chains[lost].id,
        becomes(&hung.without(state, lost)),
        link.item.name,
        link.suspension.name,
        force(newtons),
        breaks_words(link, breaks)
    );
    let measure = Measure::new("pull after the loss", newtons, Limit::AtMost(breaks), Unit::Force);
    let meaning = "what the chain bears once the other is gone, from the posture";
    let bears = NamedNumber::new("S", meaning, newtons / SUDDEN, Unit::Force);
    let figure = NamedNumber::new("F", "pull after the loss, which comes suddenly", newtons, Unit::Force);
    let figure = Equation::of(figure, SUDDEN * bears);
    let limit = breaks_at(link, breaks);
    Some(
        Verdict::measured(FAULT, measure, Severity::Failure)
            .worked(Working::new(figure).held_to(limit))
            .told(told)
            .about([case.model.part(link.suspension.part)]),
    )
}

/// What a chain bears once another is gone, N.
fn bears(hung: &Hung, posture: &Posture, lost: usize, left: usize) -> f64 {
    let is_fellow = hung.chains[left].hook_id == hung.chains[lost].hook_id;
    if is_fellow {
        let pull = |chain: usize| posture.chains[chain].up * posture.chains[chain].tension;
        return fellows(hung, lost).map(pull).sum::<DVec3>().length();
    }
    if !each_has_its_hook(posture) {
        return posture.chains[left].tension;
    }
    let rest = on_the_rest(hung, posture, lost);
    rest.into_iter().find(|(chain, _)| *chain == left).map_or(0.0, |(_, newtons)| newtons)
}

/// What each of the others bears when one of chains at hooks of their own is gone and the seat has not yet moved, N.
fn on_the_rest(hung: &Hung, posture: &Posture, lost: usize) -> Vec<(usize, f64)> {
    let rest: Vec<usize> = (0..hung.chains.len()).filter(|chain| *chain != lost).collect();
    let tensions: Vec<f64> = posture.chains.iter().map(|chain| chain.tension).collect();
    let halves = on_any_two(posture, &tensions);
    let arm = |chain: usize| posture.origin + posture.turn * hung.chains[chain].eye - posture.centre;
    let weight: f64 = posture.chains.iter().map(|chain| chain.up.z * chain.tension).sum();
    let balanced = <[usize; 3]>::try_from(rest.clone()).ok().and_then(|own| {
        let pulls = three(own.map(arm), own.map(|chain| posture.chains[chain].up), weight)?;
        Some((own, pulls))
    });
    match balanced {
        Some((own, pulls)) if pulls.iter().all(|pull| *pull >= 0.0) => own.into_iter().zip(pulls).collect(),
        Some((own, pulls)) => {
            let pair = own.into_iter().zip(pulls).filter(|(_, pull)| *pull >= 0.0);
            pair.map(|(chain, pull)| (chain, pull.max(halves[chain]))).collect()
        }
        None => rest.into_iter().map(|chain| (chain, halves[chain])).collect(),
    }
}

/// Pulls of three chains that balance a weight and its moments about both level axes through its centre, one that would have to push
/// less than nothing; none where they stand in one line. Arms from the centre, m; directions up, of length 1.
fn three(arms: [DVec3; 3], up: [DVec3; 3], weight: f64) -> Option<[f64; 3]> {
    let column = |at: usize| {
        let moment = arms[at].cross(up[at]);
        DVec3::new(up[at].z, moment.x, moment.y)
    };
    let all = DMat3::from_cols(column(0), column(1), column(2));
    (all.determinant().abs() > IN_LINE).then(|| (all.inverse() * DVec3::new(weight, 0.0, 0.0)).to_array())
}

/// Twice the area between three eyes below which they stand in one line, m2 (project choice: 10 mm beside a line of 1 m).
const IN_LINE: f64 = 0.01;

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
    let side = |chain: usize| -> f64 {
        fellows(hung, chain).map(|own| posture.chains[own].up.z * posture.chains[own].tension).sum()
    };
    let pull = |chain: usize| SUDDEN * posture.chains[chain].tension * weight / side(chain);
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
        "there is nothing else on that side: when a hook gives way that end drops, {falls}; {} of the {} bears up to {} and {}",
        link.item.name,
        link.suspension.name,
        force(newtons),
        breaks_words(link, breaks)
    );
    let told = |verdict: Verdict| verdict.told(held.clone()).about([case.model.part(link.suspension.part)]);
    let force = |symbol, meaning, value| NamedNumber::new(symbol, meaning, value, Unit::Force);
    let at_rest =
        force("T", "pull of the chain at rest, from the posture", posture.chains[link.chain].tension);
    let weight = force("W", "weight of the full seat", weight);
    let side =
        force("Ws", "what of it the chains of that hook bear at rest, from the posture", side(link.chain));
    let figure = force("F", "pull after the loss, which comes suddenly", newtons);
    let figure = Equation::of(figure, SUDDEN * at_rest * weight / side);
    let working = Working::new(figure).held_to(breaks_at(link, breaks));
    let strength = told(Verdict::measured(FAULT, strength, Severity::Failure).worked(working));
    let drops = drop.map(|drop| {
        let measure = Measure::new("drop of an end", drop * 1e3, Limit::AtMost(DROP), Unit::Length);
        let meaning = "highest front edge over the floor, from the posture";
        told(Verdict::measured(FAULT, measure, Severity::Warning).measured_as("h", meaning))
            .after("how far an end may drop", Status::ProjectChoice)
    });
    worst(std::iter::once(strength).chain(drops))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Four upright chains at the corners of 1.6 m by 0.46 m bear 3046 N, 0.607 of it in front.
    const WEIGHT: f64 = 3046.0;
    const FRONT: f64 = 0.607;

    fn pulls(left: [(f64, f64); 3]) -> [f64; 3] {
        // The weight lies so far behind the front eyes.
        let centre = 0.46 * (1.0 - FRONT);
        let arm = |(x, y): (f64, f64)| DVec3::new(x * 0.8, y * 0.46 - centre, -0.25);
        three(left.map(arm), [DVec3::Z; 3], WEIGHT).expect("they stand apart")
    }

    /// By hand, rear right gone: the right half, 1523 N, on the front right; all of the rear, 1197 N, on the rear left; the rest of
    /// the front on the front left.
    #[test]
    fn with_a_rear_chain_gone_the_others_balance_the_seat() {
        let [front_left, front_right, rear_left] = pulls([(-1.0, 0.0), (1.0, 0.0), (-1.0, 1.0)]);
        assert!((front_right - WEIGHT / 2.0).abs() < 1e-6, "{front_right}");
        assert!((rear_left - WEIGHT * (1.0 - FRONT)).abs() < 1e-6, "{rear_left}");
        assert!((front_left - WEIGHT * (FRONT - 0.5)).abs() < 1e-6, "{front_left}");
    }

    /// By hand, front right gone: the front left bears all of the front, and the rear left would have to push.
    #[test]
    fn with_a_front_chain_gone_the_other_bears_all_of_the_front() {
        let [front_left, rear_left, rear_right] = pulls([(-1.0, 0.0), (-1.0, 1.0), (1.0, 1.0)]);
        assert!((front_left - WEIGHT * FRONT).abs() < 1e-6, "{front_left}");
        assert!((rear_right - WEIGHT / 2.0).abs() < 1e-6, "{rear_right}");
        assert!((rear_left - WEIGHT * (0.5 - FRONT)).abs() < 1e-6 && rear_left < 0.0, "{rear_left}");
    }

    #[test]
    fn three_in_one_line_balance_nothing() {
        let arms = [-1.0, 0.0, 1.0].map(|x| DVec3::new(x, 0.0, 0.0));
        assert_eq!(three(arms, [DVec3::Z; 3], WEIGHT), None);
    }
}
