//! # What it checks
//! That joints hold all parts together in one piece.
//! # Why
//! A part that only touches its neighbours falls off when the piece is lifted.
//! # Method and source
//! Parts and joints as a graph: every part is reached from every other (no source: plain counting). A
//! sketch without any joint is not judged.
//! # Example
//! A filler slat that lies on its bearers and is joined to neither.
//! # Remedy
//! Join it: `job.join("slat to bearer", filler, support)`.

use crate::held::together;
use crate::{Case, Check, Look, Verdict, Way};
use slatwork_base::Severity;
use slatwork_catalog::Status;
use slatwork_model::Part;

const FAULT: &str = "part-not-held";
pub(super) const CHECK: Check = Check {
    fault: FAULT,
    about: "joints hold all parts together in one piece",
    rates: false,
    look: Look::Judges(look),
};

/// Names listed before the rest is only counted.
const LISTED: usize = 6;

fn look(case: &Case) -> Vec<Verdict> {
    let loose = loose(case);
    let verdict = if loose.is_empty() {
        Verdict::yes_or_no(FAULT, true, Severity::Failure).told(CHECK.about)
    } else {
        let told = format!("no joint holds {} to the rest of the piece", names(&loose));
        // A sketch without any joint is not called broken.
        if case.model.joints.is_empty() {
            Verdict::not_judged(FAULT, told)
        } else {
            Verdict::yes_or_no(FAULT, false, Severity::Failure).told(told)
        }
    };
    let help = "join what holds it: `job.join(kind, part, other)`; `slatwork list joints` names the kinds";
    vec![
        verdict
            .about(loose.into_iter().take(1))
            .after("parts and joints counted as a graph", Status::Derived)
            .remedy(help, [Way::Place]),
    ]
}

/// What is not of the largest set of parts held together.
fn loose<'a>(case: &'a Case) -> Vec<&'a Part> {
    let tops = together(case.model);
    let size = |part: &usize| tops.iter().filter(|top| *top == part).count();
    let largest = (0..tops.len()).max_by_key(|part| (size(part), tops.len() - part));
    case.model.parts.iter().filter(|part| Some(tops[part.id.0]) != largest).collect()
}

fn names(parts: &[&Part]) -> String {
    let mut names: Vec<String> = parts.iter().take(LISTED).map(|part| format!("`{}`", part.name)).collect();
    if parts.len() > LISTED {
        names.push(format!("{} more", parts.len() - LISTED));
    }
    names.join(", ")
}
