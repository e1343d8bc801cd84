//! # What it checks
//! That edges people touch are rounded.
//! # Why
//! Sharp edges press, splinter, and lose their finish first.
//! # Method and source
//! Seat, back and arms are rounded or chamfered (EN 581-1:2017 5.1, read, no radius given): at least 2 mm (project choice, as EN
//! 1335-2 from memory), 6 mm at the front of the seat (project choice; 12 to 25 is better).
//! The long edges of the face toward who sits count.
//! # Example
//! Slats with long edges rounded by 3 mm.
//! # Remedy
//! Round them over: `soften`.

use super::worst;
use crate::{Case, Check, Limit, Look, Measure, Unit, Verdict, Way};
use core::f64::consts::FRAC_1_SQRT_2;
use slatwork_base::{Severity, both_tapes};
use slatwork_catalog::Status;
use slatwork_model::{Part, PartId};
use slatwork_solid::DVec3;

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
/// A wide face looks toward who sits when so much of it does (cosine of 45 degrees).
const FACES: f64 = FRAC_1_SQRT_2;

fn look(case: &Case) -> Vec<Verdict> {
    let Some(seat) = &case.model.seat else { return Vec::new() };
    let facing = |ids: &'_ [PartId], toward| {
        let parts: Vec<&Part> = ids.iter().map(|id| case.model.part(*id)).collect();
        parts.into_iter().map(move |part| (part, toward))
    };
    let touched = facing(&seat.on, DVec3::Z)
        .chain(facing(&seat.back, DVec3::NEG_Y))
        .chain(facing(&seat.arms, DVec3::Z));
    let all = worst(touched.map(|(part, toward)| judged(part, toward, TOUCHED, "is touched")));
    let on = seat.on.iter().map(|id| case.model.part(*id));
    let foremost = on.min_by(|a, b| front(a).total_cmp(&front(b)));
    let foremost = foremost.map(|part| judged(part, DVec3::Z, FRONT, "is the front of the seat"));
    all.into_iter().chain(foremost).collect()
}

fn front(part: &Part) -> f64 {
    part.placed().bounds().min.y
}

fn judged(part: &Part, toward: DVec3, least: f64, what: &str) -> Verdict {
    let radius = touched_radius(part, toward);
    let told = if radius > 0.0 {
        format!("`{}` {what} and its edges are rounded by {}", part.name, both_tapes(radius))
    } else {
        format!("`{}` {what} and its edges are left sharp", part.name)
    };
    let measure = Measure::new("radius of edges", radius, Limit::AtLeast(least), Unit::Length);
    Verdict::measured(FAULT, measure, Severity::Warning)
        .measured_as("r", "radius of its long edges, as drawn")
        .about([part])
        .told(told)
        .after("EN 581-1:2017 5.1", Status::Read)
        .after("radii", Status::ProjectChoice)
        .remedy("round its edges over more", [Way::Edges])
}

/// The radius of the long edges that look toward who sits: those of one wide face, of both where the board stands on edge.
fn touched_radius(part: &Part, toward: DVec3) -> f64 {
    let facing = part.pose.transform_vector3(DVec3::Z).dot(toward);
    if facing.abs() < FACES {
        long_edges(part, "upper").min(long_edges(part, "lower"))
    } else {
        long_edges(part, if facing > 0.0 { "upper" } else { "lower" })
    }
}

/// The radius of the long edges of a wide face; nothing where they are sharp.
fn long_edges(part: &Part, face: &str) -> f64 {
    let own = format!("{face} long edges");
    let round =
        part.softened.iter().filter(|soft| ["long edges", "all edges", &own].contains(&soft.edges.as_str()));
    round.map(|soft| soft.radius.as_mm()).fold(0.0, f64::max)
}
