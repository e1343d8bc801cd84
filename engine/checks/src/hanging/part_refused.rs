//! # What it checks
//! That nothing in the load path is known to open or break: open S-hooks, jack chain, bent-wire eyes, springs without a stop.
//! # Why
//! A 5/16 in open hook is rated at 7 % of the chain beside it. A spring that breaks drops the seat unless a chain beside it catches it.
//! # Method and source
//! What the catalogue refuses, with its reason (trade articles, read). A spring: whether a stop chain is there cannot be told.
//! # Example
//! An S-hook between chain and hook.
//! # Remedy
//! Quick links with a screwed gate, forged eyes with a shoulder; a stop chain beside each spring.

use super::line::{Link, links};
use crate::{Case, Check, Look, Verdict, Way};
use slatwork_base::Severity;
use slatwork_catalog::HardwareKind;

const FAULT: &str = "hanging-part-refused";
pub(super) const CHECK: Check = Check {
    fault: FAULT,
    about: "nothing in the load path is known to open or break",
    rates: true,
    look: Look::Judges(look),
};

fn look(case: &Case) -> Vec<Verdict> {
    let links = links(case);
    let Some(first) = links.first() else { return Vec::new() };
    let refused = links.iter().find_map(|link| Some((link, link.item.refused.as_ref()?)));
    let spring = links.iter().find(|link| link.item.kind == HardwareKind::Spring);
    let (link, verdict) = match (refused, spring) {
        (Some((link, why)), _) => (
            link,
            Verdict::yes_or_no(FAULT, false, Severity::Failure)
                .told(format!("the {} hangs by {}: {why}", link.suspension.name, link.item.name)),
        ),
        (None, Some(link)) => (
            link,
            Verdict::not_judged(
                FAULT,
                format!(
                    "the {} hangs by {}: a stop chain must catch the seat when a coil breaks",
                    link.suspension.name, link.item.name
                ),
            ),
        ),
        (None, None) => (
            first,
            Verdict::yes_or_no(FAULT, true, Severity::Failure)
                .told("no open hook, open link, bent-wire eye or spring is in the load path"),
        ),
    };
    vec![rested(verdict, link, case)]
}

fn rested(mut verdict: Verdict, link: &Link<'_>, case: &Case) -> Verdict {
    verdict.sources.push(link.item.source.clone());
    verdict
        .about([case.model.part(link.suspension.part)])
        .remedy("take quick links with a screwed gate and forged eyes with a shoulder", [Way::Hardware])
}
