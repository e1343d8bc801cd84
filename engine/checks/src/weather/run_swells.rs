//! # What it checks
//! That a run of slats laid tight has room to swell.
//! # Why
//! Wet slats push each other aside with more force than screws hold: they lift, or spread the frame.
//! # Method and source
//! Each slat swells about its fasteners, so that each joint of two closes by half of both (Wood Handbook Eq 4-9, read; shrinkage
//! of the species as flat-sawn). From the moisture at the bench to the wettest of the place; what closes beyond the gap presses.
//! One millimetre a joint is taken up by clearance holes and by what gives (project choice). Gaps under half a millimetre count
//! as tight; wider ones are judged by how they drain.
//! # Example
//! White oak of 90 mm swells by 2.4 mm from 12 to 19 %: laid tight, 2.4 mm press.
//! # Remedy
//! Leave a gap, narrower slats, a wood that moves less, or lay them when they are wet.

use super::movement::{Moves, with_moves};
use super::{runs, worst};
use crate::gaps::{Gap, TIGHT, neighbours};
use crate::{Case, Check, Limit, Look, Measure, Unit, Verdict, Way, Working};
use slatwork_base::formula::{Equation, Expression, NamedNumber};
use slatwork_base::{Severity, both_tapes};
use slatwork_catalog::Status;

const FAULT: &str = "tight-run-swells";
pub(super) const CHECK: Check = Check {
    fault: FAULT,
    about: "slats laid tight have room to swell",
    rates: false,
    look: Look::Judges(look),
};

/// What clearance holes and give of the frame take up in each joint, mm.
const TAKEN_UP: f64 = 1.0;

fn look(case: &Case) -> Vec<Verdict> {
    let tight = |parts| neighbours(case.model, parts).into_iter().filter(|gap| gap.least <= TIGHT);
    with_moves(case, FAULT, |moves| {
        let judged = |parts| worst(tight(parts).map(|gap| pressed(case, moves, gap)));
        runs(case).filter_map(|(_, parts)| judged(parts)).collect()
    })
}

fn pressed(case: &Case, moves: &Moves, gap: Gap) -> Verdict {
    let closes = match moves.closes(case, gap) {
        Ok(closes) => closes,
        Err(why) => return Verdict::not_judged(FAULT, why),
    };
    let (a, b) = (case.model.part(gap.a), case.model.part(gap.b));
    let press = closes - gap.least;
    let measure = Measure::new("swelling that presses", press, Limit::AtMost(TAKEN_UP), Unit::Length);
    let steps = moves.closing(case, gap, closes);
    let built = NamedNumber::new("g", "gap as built, measured on the piece", gap.least, Unit::Length);
    let figure = NamedNumber::new("p", "swelling that presses", press, Unit::Length);
    let figure = Equation::of(figure, steps.last().map_or(0.0.into(), Expression::from) - built);
    Verdict::measured(FAULT, measure, Severity::Failure)
        .worked(Working::new(figure).by(steps))
        .about([a, b])
        .told(format!(
            "`{}` and `{}` are laid tight and swell into each other by {}",
            a.name,
            b.name,
            both_tapes(press)
        ))
        .governed_by(moves.wettest())
        .assuming("flat-sawn boards, held at their middle")
        .after("swelling, Wood Handbook FPL-GTR-282 Eq 4-9", Status::Read)
        .after("play of a joint; moistures of the climate", Status::ProjectChoice)
        .remedy(
            "leave a gap, use narrower slats or a wood that moves less",
            [Way::Gap, Way::Section, Way::Wood],
        )
}
