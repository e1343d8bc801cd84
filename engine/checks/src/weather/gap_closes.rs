//! # What it checks
//! That gaps between slats still let water through at the wettest, and between slats of a back that they do not close.
//! # Why
//! A seat that holds water rots, and dirt that lodges in a closed gap keeps it wet.
//! # Method and source
//! Gap as built less half of what both neighbours swell (as in `tight-run-swells`): at least 3 mm in a seat (project choice, after
//! gaps of 1/8 in for dry boards, read), half a millimetre in a back, which sheds water by standing. A run laid tight is not
//! judged here.
//! # Example
//! A gap of 1/4 in between white oak slats of 90 mm is 4.0 mm at 19 %.
//! # Remedy
//! A wider gap, narrower slats, or a wood that moves less.

use super::movement::{Moves, with_moves};
use super::{runs, worst};
use crate::gaps::{Gap, TIGHT, neighbours};
use crate::{Case, Check, Limit, Look, Measure, Unit, Verdict, Way, Working};
use slatwork_base::formula::{Equation, Expression, NamedNumber};
use slatwork_base::{Severity, both_tapes};
use slatwork_catalog::Status;

const FAULT: &str = "gap-closes-when-wet";
pub(super) const CHECK: Check = Check {
    fault: FAULT,
    about: "gaps between slats stay open at their wettest",
    rates: false,
    look: Look::Judges(look),
};

/// Least gaps at the wettest, mm: of a seat, which drains through them, and of a back.
const DRAINS: f64 = 3.0;
const OPEN: f64 = TIGHT;

fn look(case: &Case) -> Vec<Verdict> {
    with_moves(case, FAULT, |moves| {
        let judged = |what, parts| {
            let least = if what == "seat" { DRAINS } else { OPEN };
            let gaps = neighbours(case.model, parts).into_iter().filter(|gap| gap.least > TIGHT);
            worst(gaps.map(|gap| left(case, moves, gap, least)))
        };
        runs(case).filter_map(|(what, parts)| judged(what, parts)).collect()
    })
}

fn left(case: &Case, moves: &Moves, gap: Gap, least: f64) -> Verdict {
    let closes = match moves.closes(case, gap) {
        Ok(closes) => closes,
        Err(why) => return Verdict::not_judged(FAULT, why),
    };
    let (a, b) = (case.model.part(gap.a), case.model.part(gap.b));
    let left = gap.least - closes;
    let measure = Measure::new("gap at the wettest", left, Limit::AtLeast(least), Unit::Length);
    let told = format!(
        "the gap of {} between `{}` and `{}` closes to {}",
        both_tapes(gap.least),
        a.name,
        b.name,
        both_tapes(left.max(0.0))
    );
    let steps = moves.closing(case, gap, closes);
    let built = NamedNumber::new("g", "gap as built, measured on the piece", gap.least, Unit::Length);
    let figure = NamedNumber::new("gw", "gap at the wettest", left, Unit::Length);
    let figure = Equation::of(figure, built - steps.last().map_or(0.0.into(), Expression::from));
    Verdict::measured(FAULT, measure, Severity::Warning)
        .worked(Working::new(figure).by(steps))
        .about([a, b])
        .told(told)
        .governed_by(moves.wettest())
        .assuming("flat-sawn boards, held at their middle")
        .after("swelling, Wood Handbook FPL-GTR-282 Eq 4-9", Status::Read)
        .after("least gap; moistures of the climate", Status::ProjectChoice)
        .remedy(
            "set the slats farther apart, or use narrower ones or a wood that moves less",
            [Way::Gap, Way::Section, Way::Wood],
        )
}
