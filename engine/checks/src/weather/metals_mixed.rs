//! # What it checks
//! That a fastener and its washers, nuts and links are of one metal family.
//! # Why
//! Where two metals touch and are wet, the less noble one is eaten, fastest where it is the smaller.
//! # Method and source
//! A galvanized bolt with a stainless washer, or the other way about, is to be avoided outdoors (sea-water series, from memory);
//! fastener and connector of one family (a treater's answers, read second hand). Under a roof it holds.
//! # Example
//! Hot-dip galvanized bolts with stainless washers.
//! # Remedy
//! All of one metal.

use crate::{Case, Check, Exposure, Look, Verdict, Way};
use slatwork_base::Severity;
use slatwork_catalog::Status;
use slatwork_model::Joint;
use slatwork_model::joints::Metal;

const FAULT: &str = "metals-mixed";
pub(super) const CHECK: Check = Check {
    fault: FAULT,
    about: "metals that touch are of one family",
    rates: false,
    look: Look::Judges(look),
};

fn look(case: &Case) -> Vec<Verdict> {
    if case.model.joints.is_empty() {
        return Vec::new();
    }
    let exposed = case.conditions.exposure == Exposure::Exposed;
    let mixed = case.model.joints.iter().filter(|_| exposed).find_map(|joint| Some((joint, mixture(joint)?)));
    let verdict = match mixed {
        None => Verdict::yes_or_no(FAULT, true, Severity::Warning)
            .told("each joint's fasteners, washers and nuts are of one metal"),
        Some((joint, (one, other))) => Verdict::yes_or_no(FAULT, false, Severity::Warning)
            .about(joint.parts.iter().map(|part| case.model.part(*part)))
            .at(joint.origin)
            .told(format!("{} and {} metal touch in one joint and in the rain", one.word(), other.word())),
    };
    let verdict = verdict
        .after("sea-water series of metals", Status::FromMemory)
        .after("fastener and connector of one family, a treater's answers", Status::Read);
    vec![verdict.remedy("take all of one metal", [Way::Metal])]
}

/// Two metals of different families in one joint.
fn mixture(joint: &Joint) -> Option<(Metal, Metal)> {
    let fastenings = joint.fastenings.iter().map(|one| one.metal);
    let metals =
        fastenings.chain(joint.extras.iter().map(|extra| extra.metal)).filter(|metal| *metal != Metal::Wood);
    let metals: Vec<Metal> = metals.collect();
    let first = *metals.first()?;
    let noble = |metal: Metal| metal == Metal::Stainless;
    metals.into_iter().find(|metal| noble(*metal) != noble(first)).map(|other| (first, other))
}
