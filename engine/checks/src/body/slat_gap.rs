//! # What it checks
//! That the gaps between the slats of seat and back are not felt.
//! # Why
//! Over 12 mm the edges of slats press; under 3 mm water and dirt stay.
//! # Method and source
//! Least clear distance of neighbours, as built: comfortable 5 to 7 mm, tolerable 3 to 12 (drainage practice read; felt gaps
//! project choice). A gap under half a millimetre is a run laid tight, which is judged by how it swells.
//! # Example
//! Slats with a gap of 1/4 in.
//! # Remedy
//! Another gap.

use crate::gaps::{Gap, TIGHT, neighbours};
use crate::verdict::worst;
use crate::{Case, Check, Limit, Look, Measure, Unit, Verdict, Way};
use slatwork_base::{Severity, both_tapes};
use slatwork_catalog::Status;

const FAULT: &str = "slat-gap-felt";
pub(super) const CHECK: Check = Check {
    fault: FAULT,
    about: "gaps between slats are wide enough to drain and too narrow to be felt",
    rates: false,
    look: Look::Judges(look),
};

/// Gaps that nobody minds, mm.
const TOLERABLE: (f64, f64) = (3.0, 12.0);

fn look(case: &Case) -> Vec<Verdict> {
    let Some(seat) = &case.model.seat else { return Vec::new() };
    let gaps = |parts| neighbours(case.model, parts).into_iter().filter(|gap| gap.least > TIGHT);
    [("seat", &seat.on), ("back", &seat.back)]
        .into_iter()
        .filter_map(|(what, parts)| worst(gaps(parts).map(|gap| judged(case, what, gap))))
        .collect()
}

fn judged(case: &Case, what: &str, gap: Gap) -> Verdict {
    let limit = Limit::Within(TOLERABLE.0, TOLERABLE.1);
    let measure = Measure::new(format!("gap between slats of the {what}"), gap.least, limit, Unit::Length);
    let (a, b) = (case.model.part(gap.a), case.model.part(gap.b));
    Verdict::measured(FAULT, measure, Severity::Warning)
        .measured_as("g", "least gap between the two, measured on the piece")
        .about([a, b])
        .told(format!("between `{}` and `{}` the gap is {}", a.name, b.name, both_tapes(gap.least)))
        .governed_by("as built")
        .after("gaps that drain, from pages on decks and benches", Status::Read)
        .after("gaps that are felt", Status::ProjectChoice)
        .remedy("set the slats nearer together or farther apart", [Way::Gap])
}
