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

use crate::gaps::{TIGHT, neighbours};
use crate::{Case, Check, Limit, Look, Measure, Unit, Verdict, Way};
use slatwork_base::Severity;
use slatwork_catalog::Status;
use slatwork_model::PartId;

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
    [("seat", &seat.on), ("back", &seat.back)]
        .into_iter()
        .filter_map(|(what, parts)| worst(case, what, parts))
        .collect()
}

/// The gap farthest from the middle of what nobody minds.
fn worst(case: &Case, what: &str, parts: &[PartId]) -> Option<Verdict> {
    let limit = Limit::Within(TOLERABLE.0, TOLERABLE.1);
    let measure = |gap| Measure::new(format!("gap between slats of the {what}"), gap, limit, Unit::Length);
    let gaps = neighbours(case.model, parts).into_iter().filter(|gap| gap.least > TIGHT);
    let worst = gaps.max_by(|a, b| measure(a.least).ratio().total_cmp(&measure(b.least).ratio()))?;
    let (a, b) = (case.model.part(worst.a), case.model.part(worst.b));
    let told = format!("between `{}` and `{}` the gap is {:.1} mm", a.name, b.name, worst.least);
    Some(
        Verdict::measured(FAULT, measure(worst.least), Severity::Warning)
            .about([a, b])
            .told(told)
            .governed_by("as built")
            .after("gaps that drain, from pages on decks and benches", Status::Read)
            .after("gaps that are felt", Status::ProjectChoice)
            .remedy("set the slats nearer together or farther apart", [Way::Gap]),
    )
}
