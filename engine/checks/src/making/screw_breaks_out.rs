//! # What it checks
//! That the tip of a screw or nail stays inside the part that holds it.
//! # Why
//! A tip that comes through tears clothes and skin, and splits the face it comes out of.
//! # Method and source
//! Wood left beyond the tip along its axis, from the solids: at least 3 mm (project choice).
//! # Example
//! A 2 in screw through a 3/4 in slat into a 1 in rail: 2 - 3/4 = 1-1/4 in in the rail, so the tip stands out by 1/4 in.
//! # Remedy
//! A shorter screw, or one that is not sunk as deep.

use super::{fastenings, finding, words};
use crate::{Case, Check, Look};
use slatwork_base::{Diagnostic, Severity, both_tapes};
use slatwork_catalog::{FastenerKind, Status};
use slatwork_model::joints::{Drive, rules};

pub(super) const CHECK: Check = Check {
    fault: "screw-breaks-out",
    about: "the tip of a screw or nail stays 1/8\" (3 mm) inside the part that holds it",
    rates: false,
    look: Look::Finds(look, &[("wood beyond a screw's tip", Status::ProjectChoice)]),
};

fn look(case: &Case) -> Vec<Diagnostic> {
    let driven = fastenings(case).filter(|(_, one)| {
        matches!(one.drive, Drive::Driver | Drive::Hammer) || one.kind == FastenerKind::LagScrew
    });
    driven
        .filter_map(|(joint, one)| {
            let last = one.layers.last()?;
            let left = last.to - one.length.as_mm();
            (left < rules::LEAST_WOOD - 0.01).then(|| {
                let part = case.model.part(last.part);
                let how = if left < 0.0 {
                    format!("comes {} out of `{}`", both_tapes(-left), part.name)
                } else {
                    format!("leaves {} of wood in `{}`", both_tapes(left), part.name)
                };
                let most = one.length.as_mm() + left - rules::LEAST_WOOD;
                let message = format!("the tip of the {} {how}", words(case, joint, one));
                finding(Severity::Failure, CHECK.fault, message, joint, part).help(format!(
                    "take a screw of at most {}, or a thicker `{}`",
                    both_tapes(most),
                    part.name
                ))
            })
        })
        .collect()
}
