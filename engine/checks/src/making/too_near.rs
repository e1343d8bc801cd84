//! # What it checks
//! Distances of fasteners to edges and ends of the parts they pass, and to their neighbours in one line of grain.
//! # Why
//! Wood splits along the grain from a screw that is too near an end, an edge or the next screw.
//! # Method and source
//! Distances along rays in the wood, at the top and bottom of each layer, so that curves, notches and leaning cuts count. Two
//! severities: fails under 1.5 D to an edge, 4 D to an end (2 D for 1/4 in and thicker), 3 D in a row, or less than 3 mm of
//! wood (project choice after NDS 12.5.1); noted under the advisory values of NDS Commentary Tables C12.1.5.7 and C12.1.6.6,
//! for 1/4 in and thicker under those of NDS Tables 12.5.1A to D.
//! # Example
//! A #8 screw 10 mm from a slat's end: 4 D = 16.7 mm, so it fails.
//! # Remedy
//! Fewer or thinner fasteners, or a larger contact.

use super::{fastenings, finding, words};
use crate::{Case, Check, Look};
use slatwork_base::{Diagnostic, Severity, both_tapes};
use slatwork_catalog::Status;
use slatwork_model::joints::rules::{self, Nearness};
use slatwork_model::joints::{Fastening, Layer};
use slatwork_model::{Joint, PartId};
use slatwork_solid::DVec3;

pub(super) const CHECK: Check = Check {
    fault: "too-near-edge",
    about: "fasteners keep off edges, ends and each other, so that nothing splits",
    rates: false,
    look: Look::Finds(
        look,
        &[
            (
                "advised distances, NDS Commentary C12.1.5.7, C12.1.6.6 and NDS Tables 12.5.1A to D",
                Status::Read,
            ),
            ("least distances after NDS 12.5.1", Status::ProjectChoice),
        ],
    ),
};

fn look(case: &Case) -> Vec<Diagnostic> {
    let mut findings = Vec::new();
    for (joint, one) in fastenings(case) {
        for layer in &one.layers {
            findings.extend(edge(case, joint, one, layer));
            findings.extend(end(case, joint, one, layer));
        }
    }
    findings.extend(case.model.joints.iter().filter_map(|joint| rows(case, joint)));
    findings
}

fn severity(found: Nearness) -> Option<Severity> {
    match found {
        Nearness::Fine => None,
        Nearness::Close => Some(Severity::Note),
        Nearness::Fails => Some(Severity::Failure),
    }
}

/// What a distance is held against: what fails is held against the least, all else against what is advised.
fn asked(severity: Severity, least: f64, advised: f64) -> String {
    let advised = both_tapes(advised);
    match severity {
        Severity::Failure => format!("at least {} are needed and {advised} advised", both_tapes(least)),
        _ => format!("{advised} are advised"),
    }
}

fn edge(case: &Case, joint: &Joint, one: &Fastening, layer: &Layer) -> Option<Diagnostic> {
    let diameter = one.diameter.as_mm();
    let severity = severity(rules::edge(diameter, layer.edge))?;
    let part = case.model.part(layer.part);
    let advised = rules::advised(diameter).edge * diameter;
    let message = format!(
        "the {} stands {} from an edge of `{}`, where {}",
        words(case, joint, one),
        both_tapes(layer.edge),
        part.name,
        asked(severity, rules::least(diameter).edge * diameter, advised)
    );
    let help = "take a thinner fastener or fewer, or let the parts meet on a larger face";
    Some(finding(severity, "too-near-edge", message, joint, part).help(help))
}

fn end(case: &Case, joint: &Joint, one: &Fastening, layer: &Layer) -> Option<Diagnostic> {
    let diameter = one.diameter.as_mm();
    let severity = severity(rules::end(diameter, layer.end))?;
    let part = case.model.part(layer.part);
    let advised = rules::advised(diameter).end * diameter;
    let message = format!(
        "the {} stands {} from an end of `{}`, where {}",
        words(case, joint, one),
        both_tapes(layer.end),
        part.name,
        asked(severity, rules::least(diameter).end * diameter, advised)
    );
    let help = "let the part run farther over the joint, or take a thinner fastener";
    Some(finding(severity, "too-near-end", message, joint, part).help(help))
}

/// Neighbours of one joint that share a line of grain.
fn rows(case: &Case, joint: &Joint) -> Option<Diagnostic> {
    let mut worst: Option<(Nearness, &Fastening, PartId, (f64, f64))> = None;
    for (index, a) in joint.fastenings.iter().enumerate() {
        for b in &joint.fastenings[index + 1..] {
            for layer in &a.layers {
                let grain = case.model.part(layer.part).pose.matrix3.x_axis;
                let ((along, across), found) = apart(a, b, grain);
                if found > worst.map_or(Nearness::Fine, |(worst, ..)| worst) {
                    worst = Some((found, a, layer.part, (along, across)));
                }
            }
        }
    }
    let (found, one, part, (along, across)) = worst?;
    let severity = severity(found)?;
    let part = case.model.part(part);
    let diameter = one.diameter.as_mm();
    let advised = rules::advised(diameter);
    // Side by side across the grain they need more than two that stand off each other along it.
    let across_advised = if along < diameter { advised.abreast } else { advised.staggered };
    let message = format!(
        "two of {} stand {} apart along the grain of `{}` and {} across it, where {} along or {} across are advised",
        words(case, joint, one),
        both_tapes(along),
        part.name,
        both_tapes(across),
        both_tapes(advised.in_row * diameter),
        both_tapes(across_advised * diameter)
    );
    let help =
        "set them to either side of the line (stagger), take fewer, or let the parts meet on a larger face";
    Some(finding(severity, "rows-would-split", message, joint, part).help(help))
}

/// How two parallel axes stand to each other in a part: along its grain and across it, and how bad that is. In end grain all
/// of the distance is across.
fn apart(a: &Fastening, b: &Fastening, grain: DVec3) -> ((f64, f64), Nearness) {
    let diameter = a.diameter.as_mm();
    let step = b.head - a.head;
    let step = step - a.direction * step.dot(a.direction);
    let flat = grain - a.direction * grain.dot(a.direction);
    match flat.try_normalize().filter(|_| flat.length() > core::f64::consts::FRAC_1_SQRT_2) {
        Some(grain) => {
            let along = step.dot(grain);
            let (along, across) = (along.abs(), (step - grain * along).length());
            ((along, across), rules::spacing(diameter, along, across))
        }
        None => ((0.0, step.length()), rules::spacing_on_end(diameter, step.length())),
    }
}
