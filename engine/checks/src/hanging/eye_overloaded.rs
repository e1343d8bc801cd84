//! # What it checks
//! That each eye on the piece bears what its chain pulls, at the angle that it pulls at, by half of its working load.
//! # Why
//! An eye bolt keeps 30 % of its rating at 45 degrees from its shank and 25 % at 90: one across a post is pulled at 90.
//! # Method and source
//! Ratings of the catalogue for the next greater angle, never interpolated (ASME B18.15 through makers' tables, read). Pulls of a full
//! seat swung 30 degrees, and of one who drops into it; of four chains at hooks of their own any two across from each other bear all
//! (derived). By half only: makers exclude uses where failure hurts people (project choice).
//! # Example
//! A 3/8 in eye across a post: 1726 N, of which half, 863 N, against 1100 N.
//! # Remedy
//! A thicker eye bolt, or one whose shank lies in line with its chain.

use super::hung::Pulls;
use super::line::{HALF, Link, between, half_of, links, shank};
use super::{force, in_motion, peopled, shared, with_hung};
use crate::verdict::worst_of;
use crate::{Case, Check, Limit, Look, Measure, Unit, Verdict, Way, Working};
use slatwork_base::{Angle, Severity};
use slatwork_catalog::Status;

const FAULT: &str = "eye-overloaded";
pub(super) const CHECK: Check = Check {
    fault: FAULT,
    about: "each eye bears its chain by half of its rating",
    rates: true,
    look: Look::Judges(look),
};

fn look(case: &Case) -> Vec<Verdict> {
    with_hung(case, FAULT, |hung| {
        let pulls = hung.pulls();
        let links = links(case);
        let eyes = links.iter().filter(|link| link.is_eye() && link.rated().is_some());
        let each = eyes.flat_map(|link| pulls.iter().map(move |pull| (judged(case, link, pull), link, pull)));
        let worst = worst_of(each, |own| &own.0).map(|(verdict, link, pull)| Verdict {
            working: verdict.measure.as_ref().and_then(|_| working(case, link, pull)),
            ..verdict
        });
        worst.map(|verdict| shared(hung, in_motion(peopled(hung, verdict)))).into_iter().collect()
    })
}

/// From the shank of an eye to what pulls it.
fn to_shank(case: &Case, link: &Link<'_>, pulls: &Pulls<'_>) -> Angle {
    let pull = pulls.posture.chains[link.chain].pull;
    shank(case, link.suspension).map_or(Angle::deg(90.0), |shank| between(shank, pull))
}

fn working(case: &Case, link: &Link<'_>, pulls: &Pulls<'_>) -> Option<Working> {
    let rating = link.rated_at(to_shank(case, link, pulls))?;
    let (steps, figure) = pulls.equations(link.chain);
    let limit = half_of(rating.working_load_n, "working load of the eye at that angle, of the catalogue");
    Some(Working::new(figure).by(steps).held_to(limit))
}

fn judged(case: &Case, link: &Link<'_>, pulls: &Pulls<'_>) -> Verdict {
    let newtons = pulls.borne[link.chain];
    let angle = to_shank(case, link, pulls);
    let name = &link.item.name;
    let chain = &link.suspension.name;
    let verdict = match link.rated_at(angle) {
        Some(rating) => {
            let half = HALF * rating.working_load_n;
            let told = format!(
                "the {chain} pulls {name} with {} at {:.0} degrees from its shank; half of what it is rated at there is {}",
                force(newtons),
                angle.as_deg(),
                force(half)
            );
            let measure = Measure::new("pull on the eye", newtons, Limit::AtMost(half), Unit::Force);
            Verdict::measured(FAULT, measure, Severity::Failure)
                .told(told)
                .after(rated_by(link), rating.status)
        }
        None => Verdict::yes_or_no(FAULT, false, Severity::Failure)
            .told(format!(
                "the {chain} pulls {name} at {:.0} degrees from its shank, where it is not rated",
                angle.as_deg()
            ))
            .after(rated_by(link), link.item.source.status),
    };
    verdict
        .about([case.model.part(link.suspension.part)])
        .governed_by(pulls.name.clone())
        .assuming("each eye is turned into the plane of its chain, its shoulder seated")
        .after("half of the working load", Status::ProjectChoice)
        .remedy("take a thicker eye bolt, or one in line with its chain", [Way::Hardware, Way::Place])
}

fn rated_by(link: &Link<'_>) -> String {
    link.item.source.text.clone()
}
