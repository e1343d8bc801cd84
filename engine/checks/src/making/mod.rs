//! Findings on making: what a script asks for that cannot be made, or would not hold once made.

mod clamp_cannot_close;
mod cut_beyond_tools;
mod end_grain_carries_load;
mod fastener_meets;
mod hole_beyond_tools;
mod hole_near_outline;
mod mortise_near_end;
mod part_not_held;
mod plug_leaves_too_little;
mod screw_breaks_out;
mod screw_falls_short;
mod too_near;

use crate::{Case, Check};
use slatwork_base::{Diagnostic, Place, Severity};
use slatwork_catalog::Status;
use slatwork_model::joints::Fastening;
use slatwork_model::{Joint, Part};

pub(crate) const ALL: [&Check; 12] = [
    &part_not_held::CHECK,
    &screw_breaks_out::CHECK,
    &screw_falls_short::CHECK,
    &too_near::CHECK,
    &fastener_meets::CHECK,
    &hole_near_outline::CHECK,
    &mortise_near_end::CHECK,
    &plug_leaves_too_little::CHECK,
    &end_grain_carries_load::CHECK,
    &cut_beyond_tools::CHECK,
    &hole_beyond_tools::CHECK,
    &clamp_cannot_close::CHECK,
];

/// What limits of tools rest on.
const TOOLS: [(&str, Status); 1] =
    [("tools of a small shop, or one's own of the catalogue", Status::ProjectChoice)];

/// Each fastener of each joint.
fn fastenings<'a>(case: &'a Case) -> impl Iterator<Item = (&'a Joint, &'a Fastening)> {
    case.model.joints.iter().flat_map(|joint| joint.fastenings.iter().map(move |one| (joint, one)))
}

/// "#8 wood screw x 2" of `seat slat 2` to `seat support`".
fn words(case: &Case, joint: &Joint, fastening: &Fastening) -> String {
    let names: Vec<String> =
        joint.parts.iter().map(|part| format!("`{}`", case.model.part(*part).name)).collect();
    format!("{} x {} of {}", case.catalogue.item_words(&fastening.item), fastening.length, names.join(" to "))
}

/// Whether a hole of a part is one that a joint's fastener asked for.
fn is_fasteners(case: &Case, part: &Part, hole: &slatwork_solid::Hole) -> bool {
    let bores = case.model.joints.iter().flat_map(|joint| &joint.fastenings).flat_map(|one| &one.bores);
    bores.filter(|bore| bore.part == part.id).any(|bore| {
        bore.hole.start.distance(hole.start) < 1e-6 && bore.hole.direction.distance(hole.direction) < 1e-9
    })
}

/// A finding at the line that asked for the joint, with the part it is about.
fn finding(
    severity: Severity,
    code: &'static str,
    message: String,
    joint: &Joint,
    part: &Part,
) -> Diagnostic {
    Diagnostic::new(severity, code, message)
        .at_origin(joint.origin)
        .with_trace(Place::Part(part.name.clone()), "the part it is about")
}
