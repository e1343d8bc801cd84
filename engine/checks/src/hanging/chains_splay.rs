//! # What it checks
//! That chains hang nearly upright as seen from the front.
//! # Why
//! Splayed chains pull arms apart, or press them together, and pull hooks sideways: phi from upright they bear 1/cos phi and push
//! tan phi.
//! # Method and source
//! Geometry; at most 15 degrees (project choice: 1.035 of the load along, 0.27 across).
//! # Example
//! Hooks 6 ft apart over a seat of 4 ft, 3 ft below.
//! # Remedy
//! Hooks as far apart as the eyes; `hook_spacing` of the site says how far they are.

use super::hung::suspensions;
use super::{hung_part, with_hung};
use crate::{Case, Check, Limit, Look, Measure, Unit, Verdict, Way, Working};
use slatwork_base::formula::{Equation, Function, NamedNumber, function};
use slatwork_base::{Severity, maths};
use slatwork_catalog::Status;
use slatwork_model::Suspension;

const FAULT: &str = "chains-splay";
pub(super) const CHECK: Check = Check {
    fault: FAULT,
    about: "chains hang nearly upright as seen from the front",
    rates: false,
    look: Look::Judges(look),
};

/// Degrees (project choice).
const MOST: f64 = 15.0;

fn look(case: &Case) -> Vec<Verdict> {
    with_hung(case, FAULT, |_| {
        let most = suspensions(case).iter().max_by(|one, other| splay(one).total_cmp(&splay(other)));
        let judged = |own: &Suspension| {
            let measure = Measure::new("splay", splay(own), Limit::AtMost(MOST), Unit::Angle);
            let run = own.hook - own.eye;
            let length = |symbol, way, value: f64| {
                let meaning = format!("from the eye to the hook {way}, measured on the piece");
                NamedNumber::new(symbol, meaning, value, Unit::Length)
            };
            let tangent = length("x", "to a side", run.x.abs()) / length("z", "upward", run.z);
            let figure = NamedNumber::new("α", "splay of the chain", measure.found, Unit::Angle);
            let figure = Equation::of(figure, function(Function::ArcTangent, tangent));
            Verdict::measured(FAULT, measure, Severity::Warning)
                .worked(Working::new(figure))
                .told(format!("the {} leans {:.1} degrees to a side", own.name, splay(own)))
                .about(hung_part(case))
                .after("splay of chains", Status::ProjectChoice)
                .remedy("set the hooks as far apart as the eyes", [Way::Place])
        };
        most.map(judged).into_iter().collect()
    })
}

/// From upright, seen from the front, degrees.
fn splay(own: &Suspension) -> f64 {
    let run = own.hook - own.eye;
    maths::atan2(run.x.abs(), run.z).to_degrees()
}
