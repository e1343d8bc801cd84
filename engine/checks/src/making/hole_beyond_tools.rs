//! # What it checks
//! That the shop's bits reach through every hole.
//! # Why
//! A hole deeper than the longest bit has to be met from both sides, and seldom does.
//! # Method and source
//! Length of each hole in the wood, counterbore included, against the reach of the shop's long bits.
//! # Example
//! A bolt hole through a 2x8 on edge, 184 mm, with bits that reach 152 mm.
//! # Remedy
//! A longer bit (enter it in your own catalogue), or a deeper counterbore.

use super::TOOLS;
use crate::{Case, Check, Look};
use slatwork_base::{Diagnostic, Place, Severity, both_tapes};
use slatwork_model::{FeatureKind, Part};
use slatwork_solid::along;

pub(super) const CHECK: Check = Check {
    fault: "hole-beyond-tools",
    about: "the shop's bits reach through every hole",
    rates: false,
    look: Look::Finds(look, &TOOLS),
};

fn look(case: &Case) -> Vec<Diagnostic> {
    let reach = case.catalogue.tools().drill_reach.as_mm();
    case.model.parts.iter().flat_map(|part| too_deep(part, reach)).collect()
}

fn too_deep(part: &Part, reach: f64) -> impl Iterator<Item = Diagnostic> + '_ {
    part.features.iter().filter_map(move |feature| {
        let FeatureKind::Hole { hole, what, .. } = &feature.kind else { return None };
        let (start, direction) =
            (part.pose.transform_point3(hole.start), part.pose.transform_vector3(hole.direction));
        let deep = hole.steps.iter().map(|step| step.depth).fold(0.0, f64::max).min(2_000.0);
        let layers = along(&part.placed(), start, start + direction * deep);
        let depth = layers.last()?.1 - layers.first()?.0;
        (depth > reach + 0.01).then(|| {
            Diagnostic::new(
                Severity::Failure,
                CHECK.fault,
                format!(
                    "the hole ({what}) in `{}` is {} deep, and the bits reach {}",
                    part.name,
                    both_tapes(depth),
                    both_tapes(reach)
                ),
            )
            .at_origin(feature.origin)
            .with_trace(Place::Part(part.name.clone()), "the part it is about")
            .help("enter a longer bit in your own catalogue (`drill_reach`), or change the joint")
        })
    })
}
