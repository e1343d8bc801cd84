//! # What it checks
//! That a sunk head keeps enough wood under it.
//! # Why
//! The head pulls through what is left under a deep counterbore.
//! # Method and source
//! Wood from the head to the joint: at least 12 mm, 6 mm under a head that is sunk without a plug (common practice, no source).
//! # Example
//! A 3/4 in slat with an 8 mm plug keeps 19 - 8 = 11 mm.
//! # Remedy
//! A thicker outer piece, or heads left visible in countersinks.

use super::{fastenings, finding, words};
use crate::{Case, Check, Look};
use slatwork_base::{Diagnostic, Severity, both_tapes};
use slatwork_catalog::Status;
use slatwork_model::joints::{HeadSeat, choose};

pub(super) const CHECK: Check = Check {
    fault: "plug-leaves-too-little",
    about: "a sunk head keeps enough wood under it",
    rates: false,
    look: Look::Finds(look, &[("wood under a sunk head", Status::CommonPractice)]),
};

/// Under a head that is sunk and left open, mm (common practice, no source).
const UNDER_OPEN_HEAD: f64 = 6.0;

fn look(case: &Case) -> Vec<Diagnostic> {
    fastenings(case)
        .filter_map(|(joint, one)| {
            let HeadSeat::Counterbored { plugged, depth, .. } = one.seat else { return None };
            let first = one.layers.first()?;
            let (left, need) = (first.to, if plugged { choose::UNDER_HEAD } else { UNDER_OPEN_HEAD });
            (left < need - 0.01).then(|| {
                let part = case.model.part(first.part);
                let message = format!(
                    "under the head of the {} {} of wood are left of `{}`, where {} are needed",
                    words(case, joint, one),
                    both_tapes(left),
                    part.name,
                    both_tapes(need)
                );
                finding(Severity::Failure, CHECK.fault, message, joint, part).help(format!(
                    "leave the heads in countersinks, sink them less than {}, or take a thicker `{}`",
                    both_tapes(depth.as_mm()),
                    part.name
                ))
            })
        })
        .collect()
}
