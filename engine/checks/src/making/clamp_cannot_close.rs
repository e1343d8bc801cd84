//! # What it checks
//! That clamps open wide enough for every glued joint that has no fastener to pull it together.
//! # Why
//! A glue joint holds by being pressed while it sets.
//! # Method and source
//! From outside to outside of the two parts along the joint, against the reach of the shop's clamps.
//! # Example
//! A rail of 46 in between two tenons, with clamps that open to 36 in.
//! # Remedy
//! Longer clamps (enter them in your own catalogue), or screws that pull the joint closed.

use super::{TOOLS, finding};
use crate::{Case, Check, Look};
use slatwork_base::{Diagnostic, Severity, both_tapes};
use slatwork_model::Joint;
use slatwork_model::joints::Drive;

pub(super) const CHECK: Check = Check {
    fault: "clamp-cannot-close",
    about: "clamps open wide enough for glued joints",
    rates: false,
    look: Look::Finds(look, &TOOLS),
};

fn look(case: &Case) -> Vec<Diagnostic> {
    let reach = case.catalogue.tools().clamp_reach.as_mm();
    case.model.joints.iter().filter_map(|joint| too_wide(case, joint, reach)).collect()
}

fn too_wide(case: &Case, joint: &Joint, reach: f64) -> Option<Diagnostic> {
    let (patch, [first, second]) = (joint.patch.as_ref()?, &joint.parts[..]) else { return None };
    let pulled = joint.fastenings.iter().any(|one| one.drive != Drive::Hand);
    if joint.glue.is_none() || pulled {
        return None;
    }
    let (first, second) = (case.model.part(*first), case.model.part(*second));
    let (a, b) = (first.placed().extent(patch.normal), second.placed().extent(patch.normal));
    let opening = a.1.max(b.1) - a.0.min(b.0);
    (opening > reach).then(|| {
        let message = format!(
            "to press `{}` to `{}` a clamp opens {}, and the shop's reach {}",
            first.name,
            second.name,
            both_tapes(opening),
            both_tapes(reach)
        );
        finding(Severity::Failure, CHECK.fault, message, joint, first).help(
            "enter longer clamps in your own catalogue (`clamp_reach`), or let screws pull the joint closed",
        )
    })
}
