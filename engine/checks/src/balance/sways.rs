//! # What it checks
//! How far arms and seat give when they are pushed sideways: how stiff the whole frame is against racking.
//! # Why
//! A frame that racks works its joints loose, and feels unsafe long before it is.
//! # Method and source
//! The frame of the whole piece, joints at half their reckoned stiffness too; 100 lb sideways on an arm (BIFMA X5.4-2012 section 9,
//! read second-hand), a person beside it; the arm moves at most 15 mm (project choice). Where it stands, the seat pushed to either
//! side, its feet catching (EN 16139, from memory); it moves at most 10 mm (project choice: about the same lean). What hangs swings
//! aside as a whole: there an arm counts as it moves against the seat. Play of bolt holes is not in it.
//! # Example
//! Legs held by two screws each into the end of a rail.
//! # Remedy
//! Spread the fasteners of legs and arm posts farther apart, or brace them.

use crate::framing::{About, Analysis, Ground, Solved};
use crate::{Case, Check, Limit, Look, Measure, Unit, Verdict, Way, Working};
use slatwork_base::{Severity, both_tapes};
use slatwork_catalog::Status;
use slatwork_model::PartId;
use slatwork_solid::{DMat3, DVec3};

/// Most that an arm and a seat may move, mm (project choices).
const MOST_OF_ARM: f64 = 15.0;
const MOST_OF_SEAT: f64 = 10.0;

/// A metre in mm.
const METRE: f64 = 1e3;

pub(super) const CHECK: Check =
    Check { fault: "frame-sways", about: "the frame does not rack", rates: true, look: Look::Judges(look) };

/// What moves under a load case.
struct Sway {
    part: PartId,
    situation: usize,
    /// mm.
    moved: f64,
    most: f64,
}

fn look(case: &Case) -> Vec<Verdict> {
    let analysis = match case.analysis() {
        Ok(analysis) => analysis,
        Err(why) => return vec![Verdict::not_judged(CHECK.fault, why)],
    };
    let all = analysis.models.iter().flat_map(|model| sways(analysis, model));
    let Some(worst) = all.reduce(|a, b| if b.moved / b.most > a.moved / a.most { b } else { a }) else {
        return Vec::new();
    };
    let (part, situation) = (case.model.part(worst.part), &analysis.situations[worst.situation]);
    let measure = Measure::new("movement", worst.moved, Limit::AtMost(worst.most), Unit::Length);
    let hangs = matches!(analysis.models[0].framing.ground, Ground::Eyes(_));
    let against = if hangs { " against the seat" } else { "" };
    let moved = if hangs { "movement against the seat, from the frame" } else { "movement, from the frame" };
    let working = Working::measured("v", moved, &measure);
    let verdict = Verdict::measured(CHECK.fault, measure, Severity::Failure)
        .worked(working)
        .about([part])
        .told(format!("`{}` moves {}{against} when it is pushed", part.name, both_tapes(worst.moved)))
        .governed_by(situation.name.clone())
        .assuming("joints at half and at twice their reckoned stiffness as well; no play in bolt holes")
        .after(both_tapes(worst.most), Status::ProjectChoice)
        .under_loads(case, [situation])
        .remedy(
            "Spread the fasteners of legs and arm posts farther apart, or brace them.",
            [Way::Place, Way::Fasteners, Way::Section],
        );
    vec![match situation.about {
        About::Arm => verdict.after("BIFMA X5.4-2012 section 9, at second hand", Status::Read),
        _ => verdict,
    }]
}

/// What each arm and the seat do when they are pushed sideways themselves.
fn sways(analysis: &Analysis, model: &Solved) -> Vec<Sway> {
    let most = |about: About| match about {
        About::Arm => Some(MOST_OF_ARM),
        About::Pushed => Some(MOST_OF_SEAT),
        _ => None,
    };
    let cases = analysis.situations.iter().enumerate();
    cases
        .filter_map(|(situation, one)| {
            let most = most(one.about)?;
            let push = one.pushes.iter().find(|push| push.force.x != 0.0)?;
            let [at, moved] = displaced(analysis, model, situation, push.part, push.at)?;
            let with_seat = match model.framing.ground {
                Ground::Eyes(_) => carried_along(analysis, model, situation, at)?,
                Ground::Feet(_) => DVec3::ZERO,
            };
            Some(Sway { part: push.part, situation, moved: (moved - with_seat).length(), most })
        })
        .collect()
}

/// The node of a part nearest to a point, and how it moves, mm.
fn displaced(
    analysis: &Analysis,
    model: &Solved,
    situation: usize,
    part: PartId,
    at: DVec3,
) -> Option<[DVec3; 2]> {
    let x = analysis.model.part(part).pose.inverse().transform_point3(at).x;
    let node = model.framing.chain(part)?.nearest(x).node;
    let moved = DVec3::from_slice(&model.solution(situation)?.displacements.at(node)[..3]) * METRE;
    Some([model.framing.frame.nodes[node].at * METRE, moved])
}

/// How a point would move if it were one with the seat: the turn and shift that fit the middles of the seat's boards best.
fn carried_along(analysis: &Analysis, model: &Solved, situation: usize, at: DVec3) -> Option<DVec3> {
    let ends = |part: &PartId| {
        let bounds = analysis.model.part(*part).solid.bounds();
        let place = |x: f64| analysis.model.part(*part).pose.transform_point3(DVec3 { x, ..bounds.centre() });
        [place(bounds.min.x), place(bounds.max.x)].map(|end| (*part, end))
    };
    let all: Vec<[DVec3; 2]> = analysis
        .seating
        .on()
        .iter()
        .flat_map(ends)
        .filter_map(|(part, end)| displaced(analysis, model, situation, part, end))
        .collect();
    let mean = |which: usize| all.iter().map(|own| own[which]).sum::<DVec3>() / all.len() as f64;
    let [middle, shift] = [mean(0), mean(1)];
    let mut inertia = DMat3::ZERO;
    let mut turned = DVec3::ZERO;
    for [place, moved] in &all {
        let arm = *place - middle;
        let outer = DMat3::from_cols(arm * arm.x, arm * arm.y, arm * arm.z);
        inertia += DMat3::from_diagonal(DVec3::splat(arm.length_squared())) - outer;
        turned += arm.cross(*moved);
    }
    (inertia.determinant() > 0.0).then(|| shift + (inertia.inverse() * turned).cross(at - middle))
}
