//! # What it checks
//! That everything in the load path has a working load that was read, derived from what was read, or entered by the user.
//! # Why
//! The weakest piece is the rating of the line; of a piece without a rating nobody knows what it bears.
//! # Method and source
//! Ratings of the catalogue. A figure from memory counts as none until what is stamped on the piece is entered (project rule).
//! # Example
//! A welded ring, of which the catalogue knows its size alone.
//! # Remedy
//! Enter what is stamped on the piece in a catalogue of your own: under `[[hardware]]` its id, `like` = the same id, and `ratings =
//! [{ newton = 9000 }]`, with `up_to = "90deg"` for a pull at an angle. Or take rated hardware.

use super::line::{Link, links};
use crate::{Case, Check, Look, Verdict, Way};
use slatwork_base::Severity;
use slatwork_catalog::Status;

const FAULT: &str = "hanging-part-unrated";
pub(super) const CHECK: Check = Check {
    fault: FAULT,
    about: "everything in the load path is rated",
    rates: true,
    look: Look::Judges(look),
};

fn look(case: &Case) -> Vec<Verdict> {
    let links = links(case);
    let Some(first) = links.first() else { return Vec::new() };
    let verdict = match links.iter().find(|link| link.rated().is_none()) {
        Some(link) => unrated(link, case),
        None => Verdict::yes_or_no(FAULT, true, Severity::Failure)
            .told(format!("everything in the load path is rated: {}", named(&links)))
            .about([case.model.part(first.suspension.part)]),
    };
    vec![verdict.after("a rating from memory counts as none", Status::ProjectChoice)]
}

fn unrated(link: &Link<'_>, case: &Case) -> Verdict {
    let item = link.item;
    let why = match item.working_load_n() {
        Some(_) => "its working load is from memory",
        None => "no working load is known of it",
    };
    let mut verdict = Verdict::yes_or_no(FAULT, false, Severity::Failure)
        .told(format!("unrated: {} of the {}: {why}", item.name, link.suspension.name))
        .about([case.model.part(link.suspension.part)])
        .remedy(
            format!(
                "enter what is stamped on it in your catalogue: [[hardware]] id = \"{0}\", like = \"{0}\", ratings = [{{ newton = .. }}]; \
                 or take rated hardware",
                item.id
            ),
            [Way::Hardware],
        );
    verdict.sources.push(item.source.clone());
    verdict
}

/// Each item once.
fn named(links: &[Link<'_>]) -> String {
    let mut names: Vec<&str> = Vec::new();
    for link in links {
        if !names.contains(&link.item.name.as_str()) {
            names.push(&link.item.name);
        }
    }
    names.join("; ")
}
