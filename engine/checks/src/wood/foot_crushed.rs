//! # What it checks
//! That no foot is crushed by what stands on it.
//! # Why
//! A foot cut to a point, or a board that stands on a corner, splits or sinks until it carries on more.
//! # Method and source
//! What the ground pushes up at each foot in the frame of the whole piece, spread evenly over the faces that stand on it; along the
//! grain Fc, across it Fc across, between them Eq 3.10-1 (NDS-2018 3.10, read). The ground itself is outside the plan.
//! # Example
//! A heavy bench on four pegs of 8 mm.
//! # Remedy
//! Let the feet stand on more of their section.

use crate::framing::{Analysis, Ground, Timber, is_worse, sole_area};
use crate::statics::beam::{bearing_at_angle, bearing_equation};
use crate::{Case, Check, Limit, Look, Measure, Unit, Verdict, Way, Working};
use slatwork_base::formula::{Equation, NamedNumber};
use slatwork_base::maths::acos;
use slatwork_base::{Angle, Severity};
use slatwork_catalog::Status;
use slatwork_model::{Part, PartId};

const FAULT: &str = "foot-crushed";
pub(super) const CHECK: Check =
    Check { fault: FAULT, about: "feet bear what stands on them", rates: true, look: Look::Judges(look) };

/// Less is an edge, mm2: what a saw's roughness leaves (project choice).
const EDGE: f64 = 1.0;

/// A foot with the most that the ground pushes up, N.
struct Foot {
    part: PartId,
    push: f64,
    situation: usize,
    /// What it stands on, mm2.
    area: f64,
    /// What its wood may take, MPa.
    allowed: f64,
}

impl Foot {
    fn share(&self) -> f64 {
        self.push / (self.area * self.allowed)
    }
}

fn look(case: &Case) -> Vec<Verdict> {
    let analysis = match case.analysis() {
        Ok(analysis) => analysis,
        Err(why) => return vec![Verdict::not_judged(FAULT, why)],
    };
    let Ground::Feet(points) = &analysis.models[0].framing.ground else { return Vec::new() };
    let feet = (0..points.len()).map(|at| foot(case, analysis, at, points[at].part));
    let (soled, on_edge): (Vec<Foot>, Vec<Foot>) = feet.partition(|foot| foot.area > EDGE);
    let worst = soled.into_iter().reduce(|a, b| if is_worse(b.share(), a.share()) { b } else { a });
    let told = on_edge.first().map(|foot| {
        let part = case.model.part(foot.part);
        let why =
            format!("`{}` touches the ground along an edge only: it sinks in until it bears", part.name);
        Verdict::not_judged(FAULT, why).about([part])
    });
    worst.map(|foot| judged(case, analysis, &foot)).into_iter().chain(told).collect()
}

fn foot(case: &Case, analysis: &Analysis, at: usize, part: PartId) -> Foot {
    let pushes = (0..analysis.situations.len()).flat_map(|situation| {
        let solved = analysis.models.iter().filter_map(move |model| model.solution(situation));
        solved.map(move |solution| (situation, solution.reactions.at(at)[2]))
    });
    let most = pushes.reduce(|a, b| if is_worse(b.1, a.1) { b } else { a });
    let (situation, push) = most.unwrap_or_default();
    Foot { part, push, situation, area: sole_area(case.model, part), allowed: allowed(case, analysis, part) }
}

/// MPa, the ground pushing up.
fn allowed(case: &Case, analysis: &Analysis, part: PartId) -> f64 {
    let timber = analysis.models[0].framing.timbers.of(part);
    let across = timber.edge.across.value();
    bearing_at_angle(timber.edge.compression.value(), across, lean(case.model.part(part)))
        .value
        .unwrap_or(across)
}

/// From the grain of a part to what the ground pushes.
fn lean(part: &Part) -> Angle {
    Angle::rad(acos(part.pose.matrix3.x_axis.z.abs().min(1.0)))
}

fn working(timber: &Timber, part: &Part, foot: &Foot, stress: f64) -> Working {
    let push = NamedNumber::new("R", "what the ground pushes up, from the frame", foot.push, Unit::Force);
    let area =
        NamedNumber::new("A", "faces that stand on the ground, measured on the piece", foot.area, Unit::Area);
    let figure = Equation::of(NamedNumber::new("p", "pressure", stress, Unit::Stress), push / area);
    let (along, across) = (timber.compression(), timber.across());
    let limit = bearing_equation(&along, &across, (lean(part), foot.allowed));
    Working::new(figure).by([along, across]).held_to(limit)
}

fn judged(case: &Case, analysis: &Analysis, foot: &Foot) -> Verdict {
    let part = case.model.part(foot.part);
    let timber = analysis.models[0].framing.timbers.of(foot.part);
    let stress = foot.push / foot.area;
    let measure = Measure::new("pressure", stress, Limit::AtMost(foot.allowed), Unit::Stress);
    let told = format!("`{}` stands on {:.0} mm2 and carries {:.0} N", part.name, foot.area, foot.push);
    let verdict = Verdict::measured(FAULT, measure, Severity::Failure)
        .about([part])
        .told(told)
        .worked(working(timber, part, foot, stress))
        .governed_by(analysis.situations[foot.situation].name.clone())
        .assuming("a level, hard ground; joints at half and at twice their reckoned stiffness as well")
        .assuming(timber.told.clone())
        .after("NDS-2018 3.10", Status::Read)
        .under_loads(case, [&analysis.situations[foot.situation]])
        .remedy("Let the feet stand on more of their section.", [Way::Section, Way::Wood]);
    verdict.resting_on(timber.source.clone())
}
