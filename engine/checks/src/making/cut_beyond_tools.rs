//! # What it checks
//! That the shop's saws can make every rip, crosscut, mitre and bevel.
//! # Why
//! A plan that asks for a 50-degree bevel stops at a saw that tilts to 45.
//! # Method and source
//! Angles and sizes of the cuts against the limits of the shop's tools (the user's own, else those of a small shop).
//! # Example
//! A rail end mitred by 48 degrees at a saw that turns to 45.
//! # Remedy
//! Another angle, another tool (enter it in your own catalogue), or the cut with a hand saw.

use super::TOOLS;
use crate::{Case, Check, Look};
use slatwork_base::{Angle, Diagnostic, Length, Place, Severity};
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
    let too = |what: &str, have: Length, limit: Length, tool: &str| {
        (have > limit).then(|| fault(part, None, format!("{what} is {have}, and {tool} takes {limit}")))
    };
    let square = part.rough_width;
    found.extend(too("its width at the crosscut", square, tools.crosscut_width, "the crosscut saw"));
    found.extend(too(
        "its thickness at the crosscut",
        part.thickness,
        tools.crosscut_thickness,
        "the crosscut saw",
    ));
    let ripped = matches!(part.blank, Blank::Solid)
        && part.features.iter().any(|feature| matches!(feature.kind, FeatureKind::Rip { .. }));
    if ripped {
        found.extend(too("its thickness at the rip", part.thickness, tools.rip_depth, "the table saw"));
    }
    let sawn = part.features.iter().any(|feature| matches!(feature.kind, FeatureKind::Outline { .. }));
    if sawn {
        // A board hollowed in its thickness stands on edge at the band saw.
        let (through, beside) = match part.shape.across {
            Across::Thickness => (part.thickness, part.rough_width),
            Across::Width => (part.rough_width, part.thickness),
        };
        found.extend(too("its depth at the outline", through, tools.band_saw_depth, "the band saw"));
        found.extend(too("its width at the outline", beside, tools.band_saw_throat, "the band saw's throat"));
    }
    found
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
