//! # What it checks
//! How far the arms give when they are pushed sideways: how stiff the whole frame is against racking.
//! # Why
//! A frame that racks works its joints loose, and feels unsafe long before it is.
//! # Method and source
//! The frame of the whole piece, joints at half their reckoned stiffness too; 100 lb sideways on an arm (BIFMA X5.4-2012 section 9,
//! read second-hand), a person beside it; the arm moves at most 15 mm (project choice). Play of bolt holes is not in it.
//! # Example
//! Legs held by two screws each into the end of a rail.
//! # Remedy
//! Spread the fasteners of legs and arm posts farther apart, or brace them.

use crate::framing::{About, Analysis, Ground, Solved};
use crate::{Case, Check, Limit, Look, Measure, Unit, Verdict, Way};
use slatwork_base::{Severity, both_tapes};
use slatwork_catalog::Status;
use slatwork_model::PartId;
use slatwork_solid::DVec3;

/// Most that an arm may move, mm (project choice).
const MOST: f64 = 15.0;

pub(super) const CHECK: Check =
    Check { fault: "frame-sways", about: "the frame does not rack", rates: true, look: Look::Judges(look) };

/// An arm that moves under a load case.
struct Sway {
    arm: PartId,
    situation: usize,
    moved: f64,
}

fn look(case: &Case) -> Vec<Verdict> {
    let analysis = match case.analysis() {
        Ok(analysis) => analysis,
        Err(why) => return vec![Verdict::not_judged(CHECK.fault, why)],
    };
    if let Ground::Eyes(_) = analysis.models[0].framing.ground {
        return vec![Verdict::not_judged(
            CHECK.fault,
            "a piece that hangs swings aside as a whole, and how much of that is racking is not told apart",
        )];
    }
    let all = analysis.models.iter().flat_map(|model| sways(analysis, model));
    let Some(worst) = all.reduce(|a, b| if b.moved > a.moved { b } else { a }) else { return Vec::new() };
    let arm = case.model.part(worst.arm);
    let measure = Measure::new("movement", worst.moved, Limit::AtMost(MOST), Unit::Length);
    let verdict = Verdict::measured(CHECK.fault, measure, Severity::Failure)
        .about([arm])
        .told(format!("`{}` moves {} when it is pushed sideways", arm.name, both_tapes(worst.moved)))
        .governed_by(analysis.situations[worst.situation].name.clone())
        .assuming("joints at half and at twice their reckoned stiffness as well; no play in bolt holes")
        .after("BIFMA X5.4-2012 section 9, at second hand", Status::Read)
        .after(both_tapes(MOST), Status::ProjectChoice)
        .remedy(
            "Spread the fasteners of legs and arm posts farther apart, or brace them.",
            [Way::Place, Way::Fasteners, Way::Section],
        );
    vec![verdict]
}

/// What each arm does when it is pushed sideways itself.
fn sways(analysis: &Analysis, model: &Solved) -> Vec<Sway> {
    let cases = analysis.situations.iter().enumerate().filter(|(_, one)| one.about == About::Arm);
    cases
        .filter_map(|(situation, one)| {
            let push = one.pushes.iter().find(|push| push.force.x != 0.0)?;
            let chain = model.framing.chain(push.part)?;
            let x = analysis.model.part(push.part).pose.inverse().transform_point3(push.at).x;
            let moved = &model.solution(situation)?.displacements[chain.nearest(x).node];
            Some(Sway { arm: push.part, situation, moved: DVec3::from_slice(&moved[..3]).length() * 1e3 })
        })
        .collect()
}
