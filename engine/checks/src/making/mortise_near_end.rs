//! # What it checks
//! That a mortise leaves wood between itself and the end of its board.
//! # Why
//! The short grain beyond it splits off when the tenon is driven or the joint racks.
//! # Method and source
//! Wood along the grain from the mortise's wall to the nearer end: at least 1/4 in (6 mm); under 3/4 in (19 mm), about a chisel's
//! width, it is noted (common practice, no source). A mortise that is open at the end is a bridle and has none.
//! # Example
//! A mortise 10 mm from a post's top leaves a wall that is noted.
//! # Remedy
//! Let the board run on beyond the mortise, or make the tenon narrower.

use crate::{Case, Check, Look};
use slatwork_base::{Diagnostic, Place, Severity, both_tapes};
use slatwork_catalog::Status;
use slatwork_model::{Feature, FeatureKind, NotchPurpose, Part};

pub(super) const CHECK: Check = Check {
    fault: "mortise-near-end",
    about: "mortises keep off the ends of their boards",
    rates: false,
    look: Look::Finds(look, &[("wood between a mortise and an end", Status::CommonPractice)]),
};

/// Less wood fails, mm.
const LEAST: f64 = 6.0;
/// Less wood is noted, mm.
const ADVISED: f64 = 19.0;
/// A mortise nearer to an end than this opens into it, mm.
const OPEN: f64 = 0.5;

fn look(case: &Case) -> Vec<Diagnostic> {
    let of = |part: &'_ Part| -> Vec<Diagnostic> {
        part.features.iter().filter_map(|feature| thin(part, feature)).collect()
    };
    case.model.parts.iter().flat_map(of).collect()
}

fn thin(part: &Part, feature: &Feature) -> Option<Diagnostic> {
    let FeatureKind::Notch { purpose: NotchPurpose::Mortise { of }, from_end, along, .. } = &feature.kind
    else {
        return None;
    };
    let beyond = part.length - *from_end - *along;
    let left = from_end.min(&beyond).as_mm();
    (left > OPEN && left < ADVISED - 0.01).then(|| {
        let (severity, limit) =
            if left < LEAST - 0.01 { (Severity::Failure, LEAST) } else { (Severity::Note, ADVISED) };
        let message = format!(
            "the mortise for `{of}` leaves {} of wood to an end of `{}`, where {} are {}",
            both_tapes(left),
            part.name,
            both_tapes(limit),
            if severity == Severity::Note { "advised" } else { "needed" },
        );
        Diagnostic::new(severity, CHECK.fault, message)
            .at_origin(feature.origin)
            .with_trace(Place::Part(part.name.clone()), "the part it is about")
            .help("let the board run on beyond the mortise, or make the tenon's board narrower")
    })
}
