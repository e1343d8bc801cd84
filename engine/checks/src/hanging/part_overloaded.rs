//! # What it checks
//! That chain, links and rings of every line bear what they are pulled with by half of their working load.
//! # Why
//! The weakest piece is the rating of the line.
//! # Method and source
//! Ratings of the catalogue for a straight pull. Pulls of a full seat swung 30 degrees, and of one who drops into it; a ring bears all
//! chains of its hook; of four chains at hooks of their own any two across from each other bear all (derived). By half only: makers
//! exclude uses where failure hurts people (project choice).
//! # Example
//! 3/16 in chain, 3559 N, under 2100 N.
//! # Remedy
//! A heavier chain or link.

use super::hung::{Hung, Pulls};
use super::line::{HALF, Link, half_of, links};
use super::{force, in_motion, peopled, shared, with_hung};
use crate::verdict::worst_of;
use crate::{Case, Check, Limit, Look, Measure, Unit, Verdict, Way, Working};
use slatwork_base::Severity;
use slatwork_catalog::{HardwareKind, Rating, Status};
use slatwork_solid::DVec3;

const FAULT: &str = "hanging-part-overloaded";
pub(super) const CHECK: Check = Check {
    fault: FAULT,
    about: "chain, links and rings bear their load by half of their rating",
    rates: true,
    look: Look::Judges(look),
};

fn look(case: &Case) -> Vec<Verdict> {
    with_hung(case, FAULT, |hung| {
        let pulls = hung.pulls();
        let links = links(case);
        let rated = links.iter().filter(|link| !link.is_eye()).filter_map(|link| Some((link, link.rated()?)));
        let each = rated.flat_map(|(link, rating)| {
            pulls.iter().map(move |pull| (judged(case, hung, (link, rating), pull), link, rating, pull))
        });
        let worst = worst_of(each, |own| &own.0).map(|(verdict, link, rating, pull)| {
            let working = verdict.measure.as_ref().map(|measure| working(link, rating, pull, measure));
            Verdict { working, ..verdict }
        });
        worst.map(|verdict| shared(hung, in_motion(peopled(hung, verdict)))).into_iter().collect()
    })
}

fn judged(case: &Case, hung: &Hung, (link, rating): (&Link<'_>, Rating), pulls: &Pulls<'_>) -> Verdict {
    let newtons = if link.item.kind == HardwareKind::Ring {
        on_hook(hung, pulls, link.chain)
    } else {
        pulls.borne[link.chain]
    };
    let half = HALF * rating.working_load_n;
    let measure = Measure::new("pull", newtons, Limit::AtMost(half), Unit::Force);
    let told = format!(
        "{} of the {} is pulled with {}; half of its working load is {}",
        link.item.name,
        link.suspension.name,
        force(newtons),
        force(half)
    );
    Verdict::measured(FAULT, measure, Severity::Failure)
        .told(told)
        .about([case.model.part(link.suspension.part)])
        .governed_by(pulls.name.clone())
        .after(link.item.source.text.clone(), rating.status)
        .after("half of the working load", Status::ProjectChoice)
        .remedy("take a heavier chain or link", [Way::Hardware])
}

fn working(link: &Link<'_>, rating: Rating, pulls: &Pulls<'_>, measure: &Measure) -> Working {
    let working = if link.item.kind == HardwareKind::Ring {
        Working::measured("S", "pull of all chains of the ring together, from the posture", measure)
    } else {
        let (steps, figure) = pulls.equations(link.chain);
        Working::new(figure).by(steps)
    };
    let limit = half_of(rating.working_load_n, "working load of the part, of the catalogue");
    working.held_to(limit)
}

/// All chains of the hook of a chain together, N.
fn on_hook(hung: &Hung, pulls: &Pulls<'_>, chain: usize) -> f64 {
    let hook = &hung.chains[chain].hook_id;
    let own = (0..hung.chains.len()).filter(|index| hung.chains[*index].hook_id == *hook);
    own.map(|index| pulls.posture.chains[index].up * pulls.borne[index]).sum::<DVec3>().length()
}
