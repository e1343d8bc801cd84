//! # What it checks
//! That no board is held across its width by another whose grain runs that way, farther than it can move.
//! # Why
//! A board wants to change its width with the seasons and the other does not: it splits, or tears at its glue and screws.
//! # Method and source
//! Where grains cross by more than 45 degrees: glued widths of at most 75 mm (project choice); between the outermost fasteners at
//! most 5 in across the grain, unless holes are slotted (NDS-2018 12.5.1.3, read in a transcription). What that width changes
//! from the bench to the wettest or the driest is told beside it (Wood Handbook Eq 4-9, read).
//! # Example
//! Two screws 100 mm apart across flat-sawn white oak, which moves 2.6 mm there from 12 to 19 %.
//! # Remedy
//! Fasteners nearer together, slotted holes, narrower boards, or no glue.

use super::movement::{Moves, with_moves};
use super::worst;
use crate::{Case, Check, Limit, Look, Measure, Unit, Verdict, Way};
use core::f64::consts::FRAC_1_SQRT_2;
use slatwork_base::{Severity, both_tapes};
use slatwork_catalog::Status;
use slatwork_model::{Joint, Part};
use slatwork_solid::DVec3;

const FAULT: &str = "held-across-grain";
pub(super) const CHECK: Check = Check {
    fault: FAULT,
    about: "boards held across their grain can move",
    rates: false,
    look: Look::Judges(look),
};

/// Glued across the grain over more than this, mm, a joint tears.
const GLUED: f64 = 75.0;
/// Outermost fasteners farther apart across the grain than this, mm, split the board between them (5 in).
const APART: f64 = 127.0;
/// Grains that run nearer to each other than this (cosine of 45 degrees) move together.
const CROSSES: f64 = FRAC_1_SQRT_2;

fn look(case: &Case) -> Vec<Verdict> {
    let crossed = || case.model.joints.iter().filter_map(|joint| Some((joint, crossing(case, joint)?)));
    let glued = crossed().filter_map(|(joint, parts)| glued(joint, parts));
    with_moves(case, FAULT, |moves| {
        let both = |[a, b]: [_; 2]| [[a, b], [b, a]];
        let held =
            crossed().flat_map(|(joint, parts)| both(parts).map(|parts| held(case, moves, joint, parts)));
        worst(glued).into_iter().chain(worst(held.flatten())).collect()
    })
}

/// The two parts of a joint whose grains cross.
fn crossing<'a>(case: &'a Case, joint: &Joint) -> Option<[&'a Part; 2]> {
    let [first, second, ..] = joint.parts[..] else { return None };
    let parts = [case.model.part(first), case.model.part(second)];
    let [a, b] = parts.map(|part| part.pose.transform_vector3(DVec3::X));
    (a.dot(b).abs() < CROSSES).then_some(parts)
}

fn glued(joint: &Joint, parts: [&Part; 2]) -> Option<Verdict> {
    let patch = joint.patch.as_ref().filter(|_| joint.glue.is_some())?;
    let wide = patch.extent.0.max(patch.extent.1);
    let [a, b] = parts;
    let measure = Measure::new("glued across the grain", wide, Limit::AtMost(GLUED), Unit::Length);
    Some(
        Verdict::measured(FAULT, measure, Severity::Warning)
            .measured_as("l", "greater side of the glued face, measured on the piece")
            .about(parts)
            .at(joint.origin)
            .told(format!("`{}` is glued across the grain of `{}` over {}", a.name, b.name, both_tapes(wide)))
            .after("glue across the grain outdoors", Status::ProjectChoice)
            .remedy("leave out the glue, or join it over less width", [Way::Treatment, Way::Section]),
    )
}

/// How far a joint's fasteners spread across the width of a part, and what that width changes; `None` where the other's grain
/// does not run that way: edges up, a rail and the bearer that ends on it move together.
fn held(case: &Case, moves: &Moves, joint: &Joint, [part, other]: [&Part; 2]) -> Option<Verdict> {
    let across = part.pose.transform_vector3(DVec3::Y);
    if other.pose.transform_vector3(DVec3::X).dot(across).abs() < CROSSES {
        return None;
    }
    let places = joint.fastenings.iter().filter(|one| one.direction.dot(across).abs() < CROSSES);
    let places: Vec<f64> = places.map(|one| one.head.dot(across)).collect();
    let low = places.iter().copied().fold(f64::INFINITY, f64::min);
    let spread = places.iter().copied().fold(f64::NEG_INFINITY, f64::max) - low;
    if !(spread.is_finite() && spread > 1.0) {
        return None;
    }
    let most =
        || Ok::<f64, String>(moves.swells(case, part, spread)?.max(moves.shrinks(case, part, spread)?));
    let change = match most() {
        Ok(change) => change,
        Err(why) => return Some(Verdict::not_judged(FAULT, why)),
    };
    let measure =
        Measure::new("fasteners apart across the grain", spread, Limit::AtMost(APART), Unit::Length);
    let told = format!(
        "`{}` is held over {} of its width, which changes by {}",
        part.name,
        both_tapes(spread),
        both_tapes(change)
    );
    Some(
        Verdict::measured(FAULT, measure, Severity::Warning)
            .measured_as("b", "between the outermost fasteners across the grain, measured on the piece")
            .about([part])
            .at(joint.origin)
            .told(told)
            .governed_by("from the bench to the wettest or the driest")
            .assuming("flat-sawn boards")
            .after("swelling, Wood Handbook FPL-GTR-282 Eq 4-9", Status::Read)
            .after("outer rows across the grain, NDS-2018 12.5.1.3, in a transcription", Status::Read)
            .after("moistures of the climate", Status::ProjectChoice)
            .remedy(
                "set the fasteners nearer together, or slot the holes of all but one",
                [Way::Place, Way::Section, Way::Wood],
            ),
    )
}
