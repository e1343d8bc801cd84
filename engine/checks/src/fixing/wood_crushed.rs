//! # What it checks
//! That no joint crushes the wood where its boards press on each other.
//! # Why
//! Wood is soft across its grain: a board that stands on little of another sinks in, and the joint grows loose.
//! # Method and source
//! What presses on the joint in the frame of the whole piece, with what its fasteners pull when it is pried, on the part of the
//! contact that lies even about it: the sides less twice the eccentricity, at least a third of each (project choice). Fc across
//! the grain with Cb, along it Fc, between them Eq 3.10-1 (NDS-2018 3.10, read). Under heads and washers: see fastener-pulled.
//! # Example
//! A post of 20 mm side that stands on a soft rail and carries an arm.
//! # Remedy
//! Let the boards meet on a larger face, or take harder wood.

use super::forces::Closing;
use crate::framing::{Analysis, Tie, TieForces, Timbers, is_worse};
use crate::statics::beam::{bearing_at_angle, bearing_equation};
use crate::statics::wood::{bearing_area, factor};
use crate::{Case, Check, Limit, Look, Measure, Unit, Verdict, Way, Working};
use slatwork_base::formula::{Equation, NamedNumber, greatest};
use slatwork_base::maths::acos;
use slatwork_base::{Angle, Severity};
use slatwork_catalog::Status;
use slatwork_model::PartId;
use slatwork_solid::DVec3;

const FAULT: &str = "wood-crushed";
pub(super) const CHECK: Check = Check {
    fault: FAULT,
    about: "joints do not crush the wood where boards press on each other",
    rates: true,
    look: Look::Judges(look),
};

/// Least share of a side of the contact that bears, however far off its middle the load lies: what would turn it farther is
/// held by fasteners (project choice).
const LEAST_SIDE: f64 = 1.0 / 3.0;

/// So far from an end wood beside the contact helps it, mm: 3 in (NDS 3.10.4, read).
const FROM_END: f64 = 76.2;

/// The hardest pressed contact.
struct Pressed {
    tie: usize,
    part: PartId,
    situation: usize,
    forces: TieForces,
    stress: f64,
    allowed: f64,
}

impl Pressed {
    fn share(&self) -> f64 {
        self.stress / self.allowed
    }
}

fn look(case: &Case) -> Vec<Verdict> {
    let analysis = match case.analysis() {
        Ok(analysis) => analysis,
        Err(why) => return vec![Verdict::not_judged(FAULT, why)],
    };
    let ties = (0..analysis.ties().len()).filter_map(|tie| of_tie(case, analysis, tie));
    let worst = ties.reduce(|a, b| if is_worse(b.share(), a.share()) { b } else { a });
    worst.map(|pressed| judged(case, analysis, &pressed)).into_iter().collect()
}

/// The worst of a tie over all load cases and stiffnesses.
fn of_tie(case: &Case, analysis: &Analysis, index: usize) -> Option<Pressed> {
    let tie = &analysis.ties()[index];
    let (fill, closing) = (fill(case, tie), Closing::of(tie));
    let cases = (0..analysis.situations.len())
        .flat_map(|situation| analysis.models.iter().map(move |model| (situation, model)));
    let stressed = cases.filter_map(|(situation, model)| {
        let forces = model.tie_forces(index, situation)?;
        Some((situation, stress(tie, fill, &closing, &forces), forces))
    });
    let (situation, stress, forces) = stressed
        .reduce(|a, b| if is_worse(b.1, a.1) { b } else { a })
        .filter(|(_, stress, _)| *stress > 0.0)?;
    let timbers = &analysis.models[0].framing.timbers;
    let softer = tie.parts.map(|part| (part, allowed(case, timbers, tie, part)));
    let (part, allowed) = if softer[1].1 < softer[0].1 { softer[1] } else { softer[0] };
    Some(Pressed { tie: index, part, situation, forces, stress, allowed })
}

/// Share of the rectangle round a contact that is wood.
fn fill(case: &Case, tie: &Tie) -> f64 {
    let patch = case.model.joints[tie.joint].patch.as_ref();
    patch.map_or(1.0, |patch| (patch.area / (patch.extent.0 * patch.extent.1)).min(1.0))
}

/// Pressure on a contact, MPa.
fn stress(tie: &Tie, fill: f64, closing: &Closing, forces: &TieForces) -> f64 {
    let press = closing.under(forces);
    let side = |axis: usize| {
        let Side { whole, nearest, lift } = Side::of(tie, forces, axis);
        let off = if press > 0.0 { lift / press } else { 0.0 };
        (2.0 * (nearest - off)).max(whole * LEAST_SIDE)
    };
    press / (side(0) * side(1) * fill)
}

/// One side of a contact.
struct Side {
    /// mm.
    whole: f64,
    /// From the elastic centre of the fasteners, about which the moments turn, to the nearer edge, mm.
    nearest: f64,
    /// What would turn the parts open along it, N mm.
    lift: f64,
}

impl Side {
    fn of(tie: &Tie, forces: &TieForces, axis: usize) -> Side {
        let [low, high] = tie.extent[axis];
        let lift = [forces[5], forces[4]][axis].abs();
        Side { whole: high - low, nearest: low.abs().min(high.abs()), lift }
    }
}

fn working(case: &Case, analysis: &Analysis, worst: &Pressed) -> Working {
    let (tie, timbers) = (&analysis.ties()[worst.tie], &analysis.models[0].framing.timbers);
    let meaning = "what presses the parts together, from the frame and the pull of its fasteners";
    let press = NamedNumber::new("N", meaning, Closing::of(tie).under(&worst.forces), Unit::Force);
    let side = |axis: usize, [s, a, e, m]: [&'static str; 4]| {
        let Side { whole, nearest, lift } = Side::of(tie, &worst.forces, axis);
        let length =
            |symbol, meaning: &'static str, value| NamedNumber::new(symbol, meaning, value, Unit::Length);
        let whole = length(a, "side of the contact, measured on the piece", whole);
        let nearest =
            length(e, "from the middle of its fasteners to the nearer edge, measured on the piece", nearest);
        let lift =
            NamedNumber::new(m, "what turns it open along that side, from the frame", lift, Unit::Moment);
        let bears = greatest([2.0 * (nearest - lift / &press), whole / (1.0 / LEAST_SIDE).round()]);
        Equation::reckoned(s, "side that bears", Unit::Length, bears)
    };
    let sides = [side(0, ["s1", "a1", "e1", "M1"]), side(1, ["s2", "a2", "e2", "M2"])];
    let fill = fill(case, tie);
    let area = &sides[0] * &sides[1];
    let full =
        NamedNumber::new("φ", "share of the rectangle round the contact that is wood", fill, Unit::Plain);
    let area = if fill == 1.0 { area } else { area * full };
    let figure = Equation::of(NamedNumber::new("p", "pressure", worst.stress, Unit::Stress), press / area);
    let (along, across) = (timbers.of(worst.part).compression(), timbers.of(worst.part).across());
    let factored = bearing_factor(case, tie, worst.part);
    let raised = (factored != 1.0).then(|| {
        let by = &across * factor("Cb", "Fc⊥", factored);
        Equation::reckoned("Fc⊥b'", "the same by the length that bears", Unit::Stress, by)
    });
    let over = raised.as_ref().unwrap_or(&across);
    let limit = bearing_equation(&along, over, (to_grain(case, tie, worst.part), worst.allowed));
    Working::new(figure).by(sides).by([along, across]).by(raised).held_to(limit)
}

/// What the wood of a part may take on the contact, MPa: without duration of load, as published values across the grain are.
fn allowed(case: &Case, timbers: &Timbers, tie: &Tie, part: PartId) -> f64 {
    let timber = timbers.of(part);
    let across = timber.edge.across.value() * bearing_factor(case, tie, part);
    bearing_at_angle(timber.edge.compression.value(), across, to_grain(case, tie, part))
        .value
        .unwrap_or(across)
}

/// From the grain of a part to what presses on it.
fn to_grain(case: &Case, tie: &Tie, part: PartId) -> Angle {
    let grain = case.model.part(part).pose.matrix3.x_axis;
    Angle::rad(acos(tie.axes[0].dot(grain).abs().min(1.0)))
}

/// Cb by the length of the contact along the grain, away from the ends.
fn bearing_factor(case: &Case, tie: &Tie, part: PartId) -> f64 {
    let part = case.model.part(part);
    let (back, bounds) = (part.pose.inverse(), part.solid.bounds());
    let corner = |at: usize| -> DVec3 {
        tie.at + tie.axes[1] * tie.extent[0][at % 2] + tie.axes[2] * tie.extent[1][at / 2]
    };
    let along = (0..4).map(|at| back.transform_point3(corner(at)).x);
    let (low, high) =
        along.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), x| (low.min(x), high.max(x)));
    let from_end = (low - bounds.min.x).min(bounds.max.x - high);
    if from_end < FROM_END { 1.0 } else { bearing_area((high - low).max(f64::MIN_POSITIVE)) }
}

fn judged(case: &Case, analysis: &Analysis, worst: &Pressed) -> Verdict {
    let tie = &analysis.ties()[worst.tie];
    let other = if tie.parts[0] == worst.part { tie.parts[1] } else { tie.parts[0] };
    let [part, other] = [worst.part, other].map(|part| case.model.part(part));
    let measure = Measure::new("pressure", worst.stress, Limit::AtMost(worst.allowed), Unit::Stress);
    let told = format!(
        "`{}` is pressed by `{}` to {:.0} % of what its wood may take",
        part.name,
        other.name,
        worst.share() * 100.0
    );
    let timber = analysis.models[0].framing.timbers.of(part.id);
    let verdict = Verdict::measured(FAULT, measure, Severity::Failure)
        .about([part, other])
        .at(case.model.joints[tie.joint].origin)
        .told(told)
        .worked(working(case, analysis, worst))
        .governed_by(analysis.situations[worst.situation].name.clone())
        .assuming("joints at half and at twice their reckoned stiffness as well")
        .assuming(timber.told.clone())
        .after("NDS-2018 3.10", Status::Read)
        .after("share of the contact that bears", Status::ProjectChoice)
        .under_loads(case, [&analysis.situations[worst.situation]])
        .remedy("Let the boards meet on a larger face, or take harder wood.", [Way::Section, Way::Wood]);
    verdict.resting_on(timber.source.clone())
}
