//! # What it checks
//! That no glued face is sheared off, and that nothing hangs on glue in end grain.
//! # Why
//! Glue along the grain is as strong as the wood beside it; where grains cross, the wood's fibres roll over each other, and end grain
//! drinks the glue and lets go.
//! # Method and source
//! Load across and turn of the joint in the frame of the whole piece, even over the face and round its middle, in the wood of either
//! part: along its grain Fv', across it 18 % of that (rolling shear of 18 to 28 %, Wood Handbook chapter 5, from memory), both as
//! squares added (project choice). Glue in end grain is given nothing (common practice, no source). Screws beside glue get nothing.
//! # Example
//! A block glued under an arm with its grain across the arm's.
//! # Remedy
//! Glue a larger face, lay the grains along each other, or bolt it.

use crate::framing::{Analysis, Tie, TieForces, is_worse};
use crate::statics::wood::factor;
use crate::{Case, Check, Limit, Look, Measure, Unit, Verdict, Way, Working};
use slatwork_base::Severity;
use slatwork_base::formula::{Equation, Expression, NamedNumber, root};
use slatwork_base::maths::hypot;
use slatwork_catalog::Status;
use slatwork_model::joints::JointPatch;
use slatwork_model::{Joint, PartId};

const FAULT: &str = "glue-line-shears";
pub(super) const CHECK: Check =
    Check { fault: FAULT, about: "glued faces hold", rates: true, look: Look::Judges(look) };

/// Rolling shear as a share of shear along the grain (Wood Handbook chapter 5: 18 to 28 %, from memory).
const ROLLING: f64 = 0.18;
/// Load that counts as carrying, N: what rounding leaves of none is far less, and the lightest slat weighs more.
const CARRIES: f64 = 1.0;
/// Glue on so much more than the end itself has other faces to hold by: a tenon (rounding of areas).
const MORE_THAN_END: f64 = 1.01;

/// What glue there is in a joint.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Line {
    /// On faces along the grain.
    Face,
    /// On end grain alone.
    End,
    /// On a tenon or dowels: not reckoned.
    Hidden,
}

/// The line of a joint; nothing without glue, or where nails or screws into end grain hold it by themselves.
fn line(joint: &Joint, patch: &JointPatch, tie: &Tie) -> Option<Line> {
    let glue = joint.glue?.as_square_mm();
    if !patch.on_end.contains(&true) {
        return Some(Line::Face);
    }
    if !tie.fasteners.is_empty() {
        let dowelled = joint.fastenings.iter().any(|one| one.kind == slatwork_catalog::FastenerKind::Dowel);
        return dowelled.then_some(Line::Hidden);
    }
    Some(if glue > MORE_THAN_END * patch.area { Line::Hidden } else { Line::End })
}

/// The hardest sheared face.
struct Worked {
    tie: usize,
    part: PartId,
    situation: usize,
    share: f64,
    forces: TieForces,
}

fn look(case: &Case) -> Vec<Verdict> {
    let analysis = match case.analysis() {
        Ok(analysis) => analysis,
        Err(why) => return vec![Verdict::not_judged(FAULT, why)],
    };
    let lines: Vec<(usize, &JointPatch, Line)> = analysis
        .ties()
        .iter()
        .enumerate()
        .filter_map(|(index, tie)| {
            let joint = &case.model.joints[tie.joint];
            let patch = joint.patch.as_ref()?;
            Some((index, patch, line(joint, patch, tie)?))
        })
        .collect();
    let of = |wanted: Line| lines.iter().filter(move |own| own.2 == wanted);
    let faces = of(Line::Face).filter_map(|(index, patch, _)| sheared(analysis, *index, patch));
    let worst = faces.reduce(|a, b| if is_worse(b.share, a.share) { b } else { a });
    let ends = of(Line::End).filter_map(|(index, ..)| in_end_grain(case, analysis, *index));
    let hidden = of(Line::Hidden).count();
    let told = of(Line::Hidden).next().map(|(index, ..)| {
        let parts = analysis.ties()[*index].parts.map(|part| case.model.part(part));
        let why =
            format!("{hidden} joints are held by glued tenons or dowels, whose strength is not reckoned");
        Verdict::not_judged(FAULT, why).about(parts)
    });
    worst.map(|worst| judged(case, analysis, &worst)).into_iter().chain(ends).chain(told).collect()
}

/// The worst of a glued face over all load cases and stiffnesses. Where fasteners make several ties of one joint, each gets its
/// share of the face.
fn sheared(analysis: &Analysis, index: usize, patch: &JointPatch) -> Option<Worked> {
    let tie = &analysis.ties()[index];
    let sharing = sharing(analysis, tie);
    let timbers = &analysis.models[0].framing.timbers;
    let strengths = tie.parts.map(|part| timbers.of(part).edge.shear.value());
    let mut worst: Option<Worked> = None;
    for model in &analysis.models {
        for (situation, own) in analysis.situations.iter().enumerate() {
            let Some(forces) = model.tie_forces(index, situation) else { continue };
            let stress = stresses(patch, &forces).map(|stress| stress * sharing);
            for (part, strength) in tie.parts.into_iter().zip(strengths) {
                let grain = analysis.model.part(part).pose.matrix3.x_axis;
                let share = share(&stress, [tie.axes[1].dot(grain), tie.axes[2].dot(grain)], strength);
                let share = share / own.about.duration();
                if worst.as_ref().is_none_or(|worst| is_worse(share, worst.share)) {
                    worst = Some(Worked { tie: index, part, situation, share, forces });
                }
            }
        }
    }
    worst
}

/// How many ties share the face of a joint.
fn sharing(analysis: &Analysis, tie: &Tie) -> f64 {
    analysis.ties().iter().filter(|own| own.joint == tie.joint).count() as f64
}

/// Shear along and across a face, MPa: the load spread evenly, and the turn as of a plate on the rectangle that the face fills,
/// at its corner.
fn stresses(patch: &JointPatch, forces: &TieForces) -> [f64; 2] {
    let (long, wide) = patch.extent;
    let polar = patch.area * (long * long + wide * wide) / 12.0;
    let turn = forces[3].abs() / polar;
    [forces[1].abs() / patch.area + turn * wide / 2.0, forces[2].abs() / patch.area + turn * long / 2.0]
}

/// Share of the strength that is used in wood whose grain runs so along and across the face.
fn share(stress: &[f64; 2], grain: [f64; 2], strength: f64) -> f64 {
    let along = stress[0] * grain[0].abs() + stress[1] * grain[1].abs();
    let across = stress[0] * grain[1].abs() + stress[1] * grain[0].abs();
    hypot(along / strength, across / (ROLLING * strength))
}

fn working(analysis: &Analysis, patch: &JointPatch, worst: &Worked) -> Working {
    let tie = &analysis.ties()[worst.tie];
    let (sharing, forces) = (sharing(analysis, tie), &worst.forces);
    let named = |symbol: &'static str, meaning: &'static str, value: f64, unit: Unit| {
        NamedNumber::new(symbol, meaning, value, unit)
    };
    let area = named("A", "area of the face, measured on the piece", patch.area, Unit::Area);
    let long = named("l", "length of the face, measured on the piece", patch.extent.0, Unit::Length);
    let wide = named("w", "width of the face, measured on the piece", patch.extent.1, Unit::Length);
    let squared = |of: &NamedNumber| Expression::from(of).to_the(2.0);
    let polar = &area * (squared(&long) + squared(&wide)) / 12.0;
    let polar = Equation::reckoned("J", "polar moment of the face", Unit::SecondMoment, polar);
    let turn = named("T", "turn in the face, from the frame", forces[3].abs(), Unit::Moment);
    let count = named("k", "ties that share the face", sharing, Unit::Plain);
    let own = stresses(patch, forces).map(|stress| stress * sharing);
    let sheared = |left, force: NamedNumber, side: &NamedNumber| {
        let even = force / &area + &turn * side / (2.0 * &polar);
        Equation::of(left, if sharing == 1.0 { even } else { &count * even })
    };
    let along = sheared(
        named("τ1", "shear along the face at its corner", own[0], Unit::Stress),
        named("V1", "load along the face, from the frame", forces[1].abs(), Unit::Force),
        &wide,
    );
    let across = sheared(
        named("τ2", "shear across the face at its corner", own[1], Unit::Stress),
        named("V2", "load across the face, from the frame", forces[2].abs(), Unit::Force),
        &long,
    );
    let together = |one: Expression, other: Expression| root(one.to_the(2.0) + other.to_the(2.0));
    let grain = analysis.model.part(worst.part).pose.matrix3.x_axis;
    let [first, second] = [
        ("n1", "grain along the face, as a cosine", tie.axes[1]),
        ("n2", "grain across the face, as a cosine", tie.axes[2]),
    ]
    .map(|(symbol, meaning, axis)| named(symbol, meaning, axis.dot(grain).abs(), Unit::Plain));
    let with =
        Equation::reckoned("τ∥", "shear along the grain", Unit::Stress, &along * &first + &across * &second);
    let over =
        Equation::reckoned("τ⊥", "shear across the grain", Unit::Stress, &along * &second + &across * &first);
    let strength = analysis.models[0].framing.timbers.of(worst.part).shear();
    let rolling = named("kr", "rolling shear as a share of shear along the grain", ROLLING, Unit::Plain);
    let duration = analysis.situations[worst.situation].about.duration();
    let by = together(&with / &strength, &over / (rolling * &strength));
    let by = if duration == 1.0 { by } else { by / factor("CD", "Fv", duration) };
    let share = Equation::of(named("u", "share that is used", worst.share, Unit::Plain), by);
    Working::new(share).by([polar, along, across, strength, with, over])
}

/// Glue on end grain that carries.
fn in_end_grain(case: &Case, analysis: &Analysis, index: usize) -> Option<Verdict> {
    let tie = &analysis.ties()[index];
    let loads = (0..analysis.situations.len()).filter_map(|situation| {
        let forces = analysis.models[0].tie_forces(index, situation)?;
        // What presses the end on its seat needs no glue.
        let carried = hypot(hypot(forces[1], forces[2]), forces[0].max(0.0));
        Some((situation, carried, forces))
    });
    let parts = tie.parts.map(|part| case.model.part(part));
    let holds = format!("glue in end grain alone holds `{}` to `{}`", parts[0].name, parts[1].name);
    let verdict = match loads.reduce(|a, b| if is_worse(b.1, a.1) { b } else { a }) {
        Some((_, load, _)) if load <= CARRIES => return None,
        Some((situation, load, forces)) => {
            let measure = Measure::new("load on the glue", load, Limit::AtMost(0.0), Unit::Force);
            let squared = |symbol, meaning, value| {
                Expression::from(NamedNumber::new(symbol, meaning, value, Unit::Force)).to_the(2.0)
            };
            let all = squared("P", "pull apart, from the frame", forces[0].max(0.0))
                + squared("V1", "load along the face, from the frame", forces[1])
                + squared("V2", "load across the face, from the frame", forces[2]);
            let left = NamedNumber::new("R", "load on the glue", load, Unit::Force);
            Verdict::measured(FAULT, measure, Severity::Failure)
                .worked(Working::new(Equation::of(left, root(all))))
                .told(format!("{holds}, and carries {load:.0} N"))
                .governed_by(analysis.situations[situation].name.clone())
        }
        None => Verdict::yes_or_no(FAULT, false, Severity::Failure)
            .told(format!("{holds}, and without more the piece does not stand")),
    };
    let verdict = verdict
        .about(parts)
        .at(case.model.joints[tie.joint].origin)
        .after("glue in end grain holds nothing", Status::CommonPractice)
        .remedy("Use dowels, a mortise and tenon, or bolts.", [Way::Fasteners, Way::Place]);
    Some(verdict)
}

fn judged(case: &Case, analysis: &Analysis, worst: &Worked) -> Verdict {
    let tie = &analysis.ties()[worst.tie];
    let parts = tie.parts.map(|part| case.model.part(part));
    let measure = Measure::new("share of capacity", worst.share, Limit::AtMost(1.0), Unit::Plain);
    let told = format!(
        "the glue between `{}` and `{}` shears its wood to {:.0} % of what it may carry",
        parts[0].name,
        parts[1].name,
        worst.share * 100.0
    );
    let timber = analysis.models[0].framing.timbers.of(worst.part);
    let patch = case.model.joints[tie.joint].patch.as_ref();
    let working = patch.map(|patch| working(analysis, patch, worst));
    let verdict = Verdict { working, ..Verdict::measured(FAULT, measure, Severity::Failure) }
        .about(parts)
        .at(case.model.joints[tie.joint].origin)
        .told(told)
        .governed_by(analysis.situations[worst.situation].name.clone())
        .assuming(
            "glue as strong as the wood, on clean faces pressed together; pull across the face is not judged",
        )
        .assuming("joints at half and at twice their reckoned stiffness as well")
        .assuming(timber.told.clone())
        .after("NDS-2018 chapter 4, shear along the grain", Status::Read)
        .after("rolling shear, Wood Handbook chapter 5", Status::FromMemory)
        .under_loads(case, [&analysis.situations[worst.situation]])
        .remedy(
            "Glue a larger face, lay the grains along each other, or bolt it.",
            [Way::Section, Way::Fasteners],
        );
    verdict.resting_on(timber.source.clone())
}

#[cfg(test)]
mod tests {
    use super::*;
    use slatwork_solid::DVec3;

    fn patch() -> JointPatch {
        JointPatch {
            corners: Vec::new(),
            area: 60.0 * 40.0,
            centre: DVec3::ZERO,
            normal: DVec3::Z,
            along: DVec3::X,
            across: DVec3::Y,
            extent: (60.0, 40.0),
            gap: 0.0,
            on_end: [false; 2],
        }
    }

    /// 2400 N along a face of 60 by 40 mm are 1 MPa; 26 N m turn its corner by 26 000 x 20 / J and 26 000 x 30 / J,
    /// J = 2400 (60^2 + 40^2) / 12 = 1 040 000 mm4: 0.5 and 0.75 MPa.
    #[test]
    fn a_face_is_sheared_as_by_hand() {
        let [along, across] = stresses(&patch(), &[0.0, 2400.0, 0.0, 26_000.0, 0.0, 0.0]);
        assert!((along - 1.5).abs() < 1e-12 && (across - 0.75).abs() < 1e-12, "{along} {across}");
    }

    /// 1 MPa of 2 MPa along the grain is half; across the grain 1 of 0.36.
    #[test]
    fn across_the_grain_fibres_roll() {
        assert!((share(&[1.0, 0.0], [1.0, 0.0], 2.0) - 0.5).abs() < 1e-12);
        assert!((share(&[1.0, 0.0], [0.0, 1.0], 2.0) - 1.0 / 0.36).abs() < 1e-12);
    }
}
