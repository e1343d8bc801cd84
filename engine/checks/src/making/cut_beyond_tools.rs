//! # What it checks
//! That the shop's saws can make every rip, crosscut, mitre and bevel.
//! # Why
//! A plan that asks for a 50-degree bevel stops at a saw that tilts to 45.
//! # Method and source
//! Angles and sizes of the cuts against the limits of the shop's tools (the user's own, else those of a small shop). A square end
//! may be sawn from two faces (common practice, no source).
//! # Example
//! A rail end mitred by 48 degrees at a saw that turns to 45.
//! # Remedy
//! Another angle, another tool (enter it in your own catalogue), or the cut with a hand saw.

use super::TOOLS;
use crate::{Case, Check, Look};
use slatwork_base::{Angle, Diagnostic, Length, Place, Severity, both_tapes};
use slatwork_catalog::Tools;
use slatwork_model::{Blank, Feature, FeatureKind, Part};
use slatwork_solid::Across;

pub(super) const CHECK: Check = Check {
    fault: "cut-beyond-tools",
    about: "the shop's saws can make every cut",
    rates: false,
    look: Look::Finds(look, &TOOLS),
};

/// Scales are read no finer.
const SCALE: Angle = Angle::deg(0.05);

fn look(case: &Case) -> Vec<Diagnostic> {
    let tools = case.catalogue.tools();
    case.model.parts.iter().flat_map(|part| faults(part, tools)).collect()
}

fn faults(part: &Part, tools: &Tools) -> Vec<Diagnostic> {
    let mut found: Vec<Diagnostic> =
        part.features.iter().filter_map(|feature| angle(part, feature, tools)).collect();
    let board = |what, have, limit, tool| too_large(part, None, (what, have), (tool, limit));
    found.extend(board("width at the crosscut", part.rough_width, tools.crosscut_width, "the crosscut saw"));
    if !(square_ends(part) && tools.crosscut_from_two_faces(part.thickness)) {
        found.extend(board(
            "thickness at the crosscut",
            part.thickness,
            tools.crosscut_thickness,
            "the crosscut saw",
        ));
    }
    let is_rip = |feature: &&Feature| matches!(feature.kind, FeatureKind::Rip { .. });
    if let (Blank::Solid, Some(rip)) = (&part.blank, part.features.iter().find(is_rip)) {
        let size = ("thickness at the rip", part.thickness);
        found.extend(too_large(part, Some(rip), size, ("the table saw", tools.rip_depth)));
    }
    let is_outline = |feature: &&Feature| matches!(feature.kind, FeatureKind::Outline { .. });
    if let Some(outline) = part.features.iter().find(is_outline) {
        // A board hollowed in its thickness stands on edge at the band saw.
        let (through, beside) = match part.shape.across {
            Across::Thickness => (part.thickness, part.rough_width),
            Across::Width => (part.rough_width, part.thickness),
        };
        let depth = ("depth at the outline", through);
        found.extend(too_large(part, Some(outline), depth, ("the band saw", tools.band_saw_depth)));
        let width = ("width at the outline", beside);
        found.extend(too_large(part, Some(outline), width, ("the band saw's throat", tools.band_saw_throat)));
    }
    found
}

fn square_ends(part: &Part) -> bool {
    part.features.iter().all(|feature| match &feature.kind {
        FeatureKind::EndCut { setting, .. } => {
            [setting.mitre, setting.bevel].iter().all(|angle| angle.abs() <= SCALE)
        }
        _ => true,
    })
}

/// A size that a tool does not take.
fn too_large(
    part: &Part,
    feature: Option<&Feature>,
    (what, have): (&str, Length),
    (tool, limit): (&str, Length),
) -> Option<Diagnostic> {
    let told = |length: Length| both_tapes(length.as_mm());
    (have > limit).then(|| {
        fault(part, feature, format!("its {what} is {}, and {tool} takes {}", told(have), told(limit)))
    })
}

fn angle(part: &Part, feature: &Feature, tools: &Tools) -> Option<Diagnostic> {
    let over = |what: &str, have: Angle, limit: Angle| {
        (have.abs() > limit + SCALE).then(|| {
            fault(part, Some(feature), format!("its {what} is {}, and the saw turns to {limit}", have.abs()))
        })
    };
    match &feature.kind {
        FeatureKind::EndCut { setting, .. } => over("mitre", setting.mitre, tools.mitre_limit)
            .or_else(|| over("bevel", setting.bevel, tools.bevel_limit)),
        FeatureKind::BevelRip { angle, .. } => over("edge bevel", *angle, tools.rip_bevel_limit),
        _ => None,
    }
}

fn fault(part: &Part, feature: Option<&Feature>, what: String) -> Diagnostic {
    Diagnostic::new(
        Severity::Failure,
        CHECK.fault,
        format!("`{}` cannot be sawn as asked: {what}", part.name),
    )
    .at_origin(feature.map_or(part.origin, |feature| feature.origin))
    .with_trace(Place::Part(part.name.clone()), "the part it is about")
    .help("change the angle or size, enter your own tools in a catalogue, or plan the cut by hand")
}
