//! # What it checks
//! That no closed opening lets a child's body through and holds its head; children are assumed unless the user says otherwise.
//! # Why
//! A child slips through feet first and hangs by the head.
//! # Method and source
//! Openings from 89 to 229 mm (3.5 to 9 in; child-care guidance CFOC 6.2.1.9 citing CPSC 325, read), of those closed all round
//! under the arms, and those between seat and back and between slats. A flag on furniture, not a failure (project choice): the guidance is for play
//! equipment.
//! # Example
//! An arm 200 mm above the seat between a front post and the back.
//! # Remedy
//! A slat or panel under the arm, arms over 229 mm clear, or state that only adults use it.

use super::{only_adults, runs, worst};
use crate::gaps::{TIGHT, neighbours, widest};
use crate::{Case, Check, Limit, Look, Measure, Unit, Verdict, Way};
use slatwork_base::{Severity, both_tapes};
use slatwork_catalog::Status;
use slatwork_model::Part;
use slatwork_solid::{DVec3, along};

const FAULT: &str = "head-trap";
pub(super) const CHECK: Check =
    Check { fault: FAULT, about: "no opening holds a child's head", rates: false, look: Look::Judges(look) };

/// Openings between these hold a head, mm (3.5 and 9 in).
const IN: f64 = 88.9;
const OUT: f64 = 228.6;
/// Planes under an arm's width, in parts of it: posts stand under some of it.
const PLANES: [f64; 5] = [0.1, 0.3, 0.5, 0.7, 0.9];
/// Lines begin so far under an arm, mm.
const UNDER: f64 = 1.0;
/// Lines downward stand so far before and behind the middle of an arm, mm: not all of them fall through the gap between two slats.
const BESIDE: [f64; 3] = [-15.0, 0.0, 15.0];
/// Openings are followed so far, mm.
const REACH: f64 = 1_200.0;

fn look(case: &Case) -> Vec<Verdict> {
    if !case.model.people.children {
        return only_adults(FAULT);
    }
    let arms = case.model.seat.iter().flat_map(|seat| &seat.arms).map(|arm| case.model.part(*arm));
    let under_arms = worst(arms.filter_map(|arm| under(case, arm)));
    let elsewhere = worst(between_slats(case).chain(under_back(case)));
    let found: Vec<Verdict> = under_arms.into_iter().chain(elsewhere).collect();
    if found.is_empty() { vec![closed()] } else { found }
}

fn closed() -> Verdict {
    Verdict::yes_or_no(FAULT, true, Severity::Warning)
        .told("no opening under arms, under the back or between slats")
        .after("where openings are looked for", Status::ProjectChoice)
}

/// Gaps between neighbours of seat and back, which are closed at their ends by what carries the slats.
fn between_slats<'a>(case: &'a Case) -> impl Iterator<Item = Verdict> + 'a {
    let gaps = runs(case).flat_map(|(_, parts)| neighbours(case.model, parts));
    gaps.map(|gap| {
        let (a, b) = (case.model.part(gap.a), case.model.part(gap.b));
        let most = widest(case.model, gap);
        let told = format!("between `{}` and `{}` an opening is {} wide", a.name, b.name, both_tapes(most));
        judged(gap.least, most).told(told).about([a, b])
    })
}

/// Openings between the seat and the back, where one is left.
fn under_back<'a>(case: &'a Case) -> impl Iterator<Item = Verdict> + 'a {
    let back =
        || case.model.seat.iter().flat_map(|seat| seat.back.first()).map(|slat| case.model.part(*slat));
    let open = case.sittings().iter().flatten().filter_map(|sitting| sitting.under_back);
    open.filter(|size| *size > TIGHT).map(move |size| {
        let told = format!("between the seat and the lowest of the back {} are open", both_tapes(size));
        judged(size, size).told(told).about(back())
    })
}

/// The opening under an arm, if it is closed all round in a plane anywhere under its width.
fn under(case: &Case, arm: &Part) -> Option<Verdict> {
    let bounds = arm.placed().bounds();
    let at = |share: f64| {
        let x = bounds.min.x + share * (bounds.max.x - bounds.min.x);
        opening(case, arm, DVec3::new(x, bounds.centre().y, bounds.min.z - UNDER))
    };
    let size = PLANES.into_iter().filter_map(at).reduce(f64::min)?;
    let told = format!("under `{}` an opening of {} is closed all round", arm.name, both_tapes(size));
    Some(judged(size, size).told(told).about([arm]))
}

/// The lesser extent of an opening under a point, if it is closed below, before and behind.
fn opening(case: &Case, arm: &Part, start: DVec3) -> Option<f64> {
    let beside = BESIDE.map(|off| start + DVec3::Y * off);
    let down = beside.iter().filter_map(|from| met(case, arm, *from, DVec3::NEG_Z)).reduce(f64::min)?;
    let middle = start - DVec3::Z * down / 2.0;
    let long = met(case, arm, middle, DVec3::Y)? + met(case, arm, middle, DVec3::NEG_Y)?;
    Some(down.min(long))
}

/// How far a line goes until it meets another part.
fn met(case: &Case, arm: &Part, from: DVec3, direction: DVec3) -> Option<f64> {
    let to = from + direction * REACH;
    let others = case.model.parts.iter().filter(|part| part.id != arm.id);
    let met = others.filter_map(|part| Some(along(&part.placed(), from, to).first()?.0));
    met.reduce(f64::min)
}

/// An opening by where it is narrowest and widest.
fn judged(least: f64, most: f64) -> Verdict {
    let measure = if least > f64::midpoint(IN, OUT) {
        Measure::new("opening", least, Limit::AtLeast(OUT), Unit::Length)
    } else {
        Measure::new("opening", most, Limit::AtMost(IN), Unit::Length)
    };
    Verdict::measured(FAULT, measure, Severity::Warning)
        .measured_as("e", "least or greatest width of the opening, measured on the piece")
        .governed_by("children")
        .after("child-care guidance CFOC 6.2.1.9, citing CPSC 325", Status::Read)
        .after("openings of furniture as a flag", Status::ProjectChoice)
        .remedy(
            "close the opening, make it 9\" (229 mm) clear, or state that only adults use it",
            [Way::Shape],
        )
}
