//! # What it checks
//! That edges people touch are rounded.
//! # Why
//! Sharp edges press, splinter, and lose their finish first.
//! # Method and source
//! Seat, back and arms are rounded or chamfered (EN 581-1:2017 5.1, read, no radius given): at least 2 mm (project choice, as EN
//! 1335-2 from memory), 6 mm at the front of the seat (project choice; 12 to 25 is better).
//! # Example
//! Slats with long edges rounded by 3 mm.
//! # Remedy
//! Round them over: `soften`.

use super::{mm, touched, worst};
use crate::{Case, Check, Limit, Look, Measure, Unit, Verdict, Way};
use slatwork_base::Severity;
use slatwork_catalog::Status;
use slatwork_model::Part;

const FAULT: &str = "edge-left-sharp";
pub(super) const CHECK: Check = Check {
    fault: FAULT,
    about: "edges that people touch are rounded",
    rates: false,
    look: Look::Judges(look),
};

/// Least radii, mm: of what is touched, and of the front of the seat.
const TOUCHED: f64 = 2.0;
const FRONT: f64 = 6.0;

fn look(case: &Case) -> Vec<Verdict> {
    let all = worst(touched(case).map(|part| judged(part, TOUCHED, "is touched")));
    let on = case.model.seat.iter().flat_map(|seat| &seat.on).map(|id| case.model.part(*id));
    let foremost = on.min_by(|a, b| front(a).total_cmp(&front(b)));
    let foremost = foremost.map(|part| judged(part, FRONT, "is the front of the seat"));
    all.into_iter().chain(foremost).collect()
}

fn front(part: &Part) -> f64 {
    part.placed().bounds().min.y
}

fn judged(part: &Part, least: f64, what: &str) -> Verdict {
    let radius = part.softened.iter().map(|edge| edge.radius.as_mm()).fold(0.0, f64::max);
    let told = if radius > 0.0 {
        format!("`{}` {what} and its edges are rounded by {}", part.name, mm(radius))
    } else {
        format!("`{}` {what} and its edges are left sharp", part.name)
    };
    let measure = Measure::new("radius of edges", radius, Limit::AtLeast(least), Unit::Length);
    Verdict::measured(FAULT, measure, Severity::Warning)
        .about([part])
        .told(told)
        .after("EN 581-1:2017 5.1", Status::Read)
        .after("radii", Status::ProjectChoice)
        .remedy("round its edges over more", [Way::Edges])
}
