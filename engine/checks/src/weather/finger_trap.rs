//! # What it checks
//! That no gap between slats holds a child's finger; children are assumed unless the user says otherwise.
//! # Why
//! A finger held in a gap breaks when the child falls or the seat moves.
//! # Method and source
//! No gap over 8 and under 25 mm, as built and at the driest (rods of EN 1176-1, from memory; 3/8 to 1 in of child-care
//! guidance, read). A failure where the seat moves, else a warning (project choice). Measured where neighbours are nearest and
//! at both ends of the slats.
//! # Example
//! Slats of a fan that opens to 12 mm at the top.
//! # Remedy
//! Gaps of at most 8 mm, or state that only adults use it.

use super::movement::{Moves, with_moves};
use super::{only_adults, runs, worst};
use crate::gaps::{Gap, neighbours, widest};
use crate::{Case, Check, Limit, Look, Measure, Unit, Verdict, Way, Working};
use slatwork_base::formula::{Equation, Expression, NamedNumber};
use slatwork_base::{Severity, both_tapes};
use slatwork_catalog::Status;

const FAULT: &str = "finger-trap";
pub(super) const CHECK: Check =
    Check { fault: FAULT, about: "no gap holds a child's finger", rates: false, look: Look::Judges(look) };

/// Between these a finger goes in and is held, mm.
const IN: f64 = 8.0;
const OUT: f64 = 25.0;

fn look(case: &Case) -> Vec<Verdict> {
    if !case.model.people.children {
        return only_adults(FAULT);
    }
    with_moves(case, FAULT, |moves| {
        let gaps = |parts| neighbours(case.model, parts).into_iter();
        let judged = |parts| worst(gaps(parts).map(|gap| judged(case, moves, gap)));
        runs(case).filter_map(|(_, parts)| judged(parts)).collect()
    })
}

fn judged(case: &Case, moves: &Moves, gap: Gap) -> Verdict {
    let opens = match moves.opens(case, gap) {
        Ok(opens) => opens,
        Err(why) => return Verdict::not_judged(FAULT, why),
    };
    let (a, b) = (case.model.part(gap.a), case.model.part(gap.b));
    let (least, widest) = (gap.least, widest(case.model, gap));
    let most = widest + opens;
    let moving = case.model.hanging.is_some();
    let severity = if moving { Severity::Failure } else { Severity::Warning };
    let (measure, working) = if least >= OUT {
        let measure = Measure::new("least gap", least, Limit::AtLeast(OUT), Unit::Length);
        let working = Working::measured("g", "least gap, measured on the piece", &measure);
        (measure, working)
    } else {
        let steps = moves.opening(case, gap, opens);
        let built = NamedNumber::new("g", "widest gap as built, measured on the piece", widest, Unit::Length);
        let figure = NamedNumber::new("gd", "widest gap, when dry", most, Unit::Length);
        let figure = Equation::of(figure, built + steps.last().map_or(0.0.into(), Expression::from));
        let measure = Measure::new("widest gap", most, Limit::AtMost(IN), Unit::Length);
        (measure, Working::new(figure).by(steps))
    };
    Verdict::measured(FAULT, measure, severity)
        .worked(working)
        .about([a, b])
        .told(format!(
            "between `{}` and `{}` the gap is {} at its widest, when dry",
            a.name,
            b.name,
            both_tapes(most)
        ))
        .governed_by(if moving { "children on a seat that moves" } else { "children" })
        .after("finger rods of EN 1176-1", Status::FromMemory)
        .after("child-care guidance CFOC 6.2.1.9", Status::Read)
        .remedy("make the gap 5/16\" (8 mm) or less, or state that only adults use it", [Way::Gap])
}
