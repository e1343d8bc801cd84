//! # What it checks
//! That no fastener runs into another one, or into a hole that is bored for something else (a bolt, an eye, a chain).
//! # Why
//! A bit that meets a screw breaks; a screw that meets a hole holds nothing.
//! # Method and source
//! Distance between the axes as segments, less both radii: at least 3 mm of wood between (project choice).
//! # Example
//! A slat screw 50 mm deep over a hanger bolt that crosses 45 mm below the top edge.
//! # Remedy
//! Places of one's own with `at`, a shorter screw, or the bolt elsewhere.

use super::{finding, words};
use crate::{Case, Check, Look};
use slatwork_base::{Diagnostic, Severity, both_tapes};
use slatwork_catalog::Status;
use slatwork_model::Part;
use slatwork_model::joints::rules;
use slatwork_solid::{DVec3, along, segment_distance};

pub(super) const CHECK: Check = Check {
    fault: "screw-meets-screw",
    about: "no fastener runs into another or into a hole",
    rates: false,
    look: Look::Finds(look, &[("wood between fasteners and holes", Status::ProjectChoice)]),
};

/// A straight thing in the wood.
struct Rod {
    from: DVec3,
    to: DVec3,
    radius: f64,
    /// Place of its joint, for fasteners.
    joint: Option<usize>,
    name: String,
}

fn look(case: &Case) -> Vec<Diagnostic> {
    let rods = rods(case);
    let mut findings = Vec::new();
    for (index, a) in rods.iter().enumerate() {
        let Some(joint) = a.joint.map(|at| &case.model.joints[at]) else { continue };
        for b in rods.iter().skip(index + 1).filter(|b| near(a, b)) {
            let between = segment_distance(a.from, a.to, b.from, b.to) - a.radius - b.radius;
            if between >= rules::LEAST_WOOD - 0.01 {
                continue;
            }
            let code = if b.joint.is_some() { "screw-meets-screw" } else { "screw-meets-hole" };
            let part = case.model.part(joint.parts[joint.parts.len() - 1]);
            let message = if between < 0.0 {
                format!("the {} runs into {}", a.name, b.name)
            } else {
                format!("the {} leaves {} of wood to {}", a.name, both_tapes(between), b.name)
            };
            findings.push(
                finding(Severity::Failure, code, message, joint, part)
                    .help("give places of your own with `at`, take a shorter one, or move the other"),
            );
        }
    }
    findings
}

fn near(a: &Rod, b: &Rod) -> bool {
    let clear = a.radius + b.radius + rules::LEAST_WOOD;
    let (low, high) = (a.from.min(a.to) - clear, a.from.max(a.to) + clear);
    low.cmple(b.from.max(b.to)).all() && high.cmpge(b.from.min(b.to)).all()
}

/// Fasteners first, then the holes that are no fastener's own. Eyes are there as their holes.
fn rods(case: &Case) -> Vec<Rod> {
    let joints = case.model.joints.iter().enumerate().filter(|(_, joint)| joint.patch.is_some());
    let fastened = joints.flat_map(|(index, joint)| {
        joint.fastenings.iter().map(move |one| Rod {
            from: one.head,
            to: one.tip,
            radius: one.diameter.as_mm() / 2.0,
            joint: Some(index),
            name: words(case, joint, one),
        })
    });
    fastened.chain(case.model.parts.iter().flat_map(|part| other_holes(case, part))).collect()
}

/// Holes of a part that no joint's fastener asked for.
fn other_holes<'a>(case: &'a Case, part: &'a Part) -> impl Iterator<Item = Rod> + 'a {
    let own = move |hole: &slatwork_solid::Hole| super::is_fasteners(case, part, hole);
    part.shape.holes.iter().filter(move |hole| !own(hole)).flat_map(move |hole| {
        let start = part.pose.transform_point3(hole.start);
        let direction = part.pose.transform_vector3(hole.direction);
        let radius = hole.steps.iter().map(|step| step.radius).fold(0.0, f64::max);
        let deep = hole.steps.iter().map(|step| step.depth).fold(0.0, f64::max).min(LONGEST);
        let what = super::hole_near_outline::purpose(part, hole);
        along(&part.placed(), start, start + direction * deep).into_iter().map(move |(from, to)| Rod {
            from: start + direction * from,
            to: start + direction * to,
            radius,
            joint: None,
            name: format!("the hole ({what}) in `{}`", part.name),
        })
    })
}

/// Holes are followed this far, mm: more than any part is wide.
const LONGEST: f64 = 2_000.0;
