//! # What it checks
//! That joints hold all parts together in one piece.
//! # Why
//! A part that only touches its neighbours falls off when the piece is lifted.
//! # Method and source
//! Parts and joints as a graph: every part is reached from every other (no source: plain counting).
//! # Example
//! A filler slat that lies on its bearers and is joined to neither.
//! # Remedy
//! Join it: `job.join("slat to bearer", filler, support)`.

use crate::{Case, Check, Look};
use slatwork_base::{Diagnostic, Place, Severity};
use slatwork_model::Part;

pub(super) const CHECK: Check = Check {
    fault: "part-not-held",
    about: "joints hold all parts together in one piece",
    rates: false,
    look: Look::Finds(look),
};

/// Names listed before the rest is only counted.
const LISTED: usize = 6;

fn look(case: &Case) -> Vec<Diagnostic> {
    let count = case.model.parts.len();
    if count < 2 {
        return Vec::new();
    }
    let mut root: Vec<usize> = (0..count).collect();
    for joint in &case.model.joints {
        for pair in joint.parts.windows(2) {
            let (a, b) = (top(&root, pair[0].0), top(&root, pair[1].0));
            root[a.max(b)] = a.min(b);
        }
    }
    let tops: Vec<usize> = (0..count).map(|part| top(&root, part)).collect();
    let largest =
        (0..count).max_by_key(|part| (tops.iter().filter(|top| *top == part).count(), count - part));
    let loose: Vec<&Part> = case.model.parts.iter().filter(|part| Some(tops[part.id.0]) != largest).collect();
    let Some(first) = loose.first() else { return Vec::new() };
    let mut names: Vec<String> = loose.iter().take(LISTED).map(|part| format!("`{}`", part.name)).collect();
    if loose.len() > LISTED {
        names.push(format!("{} more", loose.len() - LISTED));
    }
    // A sketch without any joint is not called broken.
    let severity = if case.model.joints.is_empty() { Severity::Note } else { Severity::Failure };
    let message = format!("no joint holds {} to the rest of the piece", names.join(", "));
    vec![
        Diagnostic::new(severity, CHECK.fault, message)
            .at_origin(first.origin)
            .with_trace(Place::Part(first.name.clone()), "the first of them")
            .help(
                "join what holds it: `job.join(kind, part, other)`; `slatwork list joints` names the kinds",
            ),
    ]
}

fn top(root: &[usize], mut part: usize) -> usize {
    while root[part] != part {
        part = root[part];
    }
    part
}
