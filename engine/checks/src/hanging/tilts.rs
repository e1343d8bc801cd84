//! # What it checks
//! How far the seat falls to the rear, and to a side, as it hangs with people in it; and how level it hangs empty.
//! # Why
//! A seat drawn level hangs otherwise: its weight comes to rest under the hooks, and people lean. Tilted forward they slide off.
//! # Method and source
//! Fall as drawn and tilt at equilibrium, for every seating: from 2 to 15 degrees bearable (project choice, as for body checks), to a side
//! at most 5 (project choice). Five degrees beyond that people slide off, which fails. Level when empty is told, not judged. Who
//! leans forward has the feet on the floor: counted down to level.
//! # Example
//! Chains hung from a hook far behind the seat.
//! # Remedy
//! Eyes nearer to under the load, or a link more or less at one end.

use super::hung::Hung;
use super::hung::State;
use super::sitters::Lean;
use super::{hung_part, peopled, with_hung};
use crate::body::SWING_FALL;
use crate::statics::swing::Posture;
use crate::verdict::worst;
use crate::{Case, Check, Limit, Look, Measure, Unit, Verdict, Way, Working};
use slatwork_base::Severity;
use slatwork_base::formula::{Equation, NamedNumber};
use slatwork_catalog::Status;

const FAULT: &str = "swing-tilts";
pub(super) const CHECK: Check = Check {
    fault: FAULT,
    about: "the seat hangs as it should with people in it",
    rates: false,
    look: Look::Judges(look),
};

/// So far beyond what is bearable people slide off, degrees (project choice): then it is a failure.
const SLIDES_OFF: f64 = 5.0;
/// To a side, degrees (project choice).
const ASIDE: f64 = 5.0;

fn look(case: &Case) -> Vec<Verdict> {
    with_hung(case, FAULT, |hung| {
        let seated = || hung.hanging().filter(|(state, _)| !state.seating.taken.is_empty());
        let fall = worst(seated().map(|(state, posture)| falls(hung, state, posture)));
        let aside = worst(seated().map(|(state, posture)| leans(state, posture)));
        let both = fall.map(|fall| fall.told(told(hung))).into_iter().chain(aside);
        both.map(|verdict| {
            peopled(hung, verdict)
                .after("falls and tilts of a swing", Status::ProjectChoice)
                .about(hung_part(case))
                .remedy("set eyes or hooks so that the load hangs between them, or change the rear chains by a link", [Way::Place])
        })
        .collect()
    })
}

/// The steepest and the flattest fall that counts.
fn fall_of(hung: &Hung, posture: &Posture) -> (f64, f64) {
    let tilt = posture.tilt.as_deg();
    (hung.sitters.falls.0 + tilt, hung.sitters.falls.1 + tilt)
}

fn falls(hung: &Hung, state: &State, posture: &Posture) -> Verdict {
    let (least, most) = fall_of(hung, posture);
    let (low, high) = SWING_FALL[1];
    let low = if state.seating.lean == Lean::Forward { 0.0 } else { low };
    let far = if high - most < least - low { most } else { least };
    let measure = Measure::new("fall of the seat", far, Limit::Within(low, high), Unit::Angle);
    let beyond = (low - far).max(far - high);
    let severity = if beyond > SLIDES_OFF { Severity::Failure } else { Severity::Warning };
    let tilt = posture.tilt.as_deg();
    let angle = |symbol, meaning, value| NamedNumber::new(symbol, meaning, value, Unit::Angle);
    let drawn = angle("φ0", "fall of the seat as drawn, measured on the piece", far - tilt);
    let figure = angle("φ", "fall of the seat as it hangs", far);
    let figure = Equation::of(figure, drawn + angle("τ", "tilt to the rear, from the posture", tilt));
    Verdict::measured(FAULT, measure, severity).worked(Working::new(figure)).governed_by(state.name.clone())
}

/// Empty, and over all seatings.
fn told(hung: &Hung) -> String {
    let empty = hung.empty().map_or(f64::NAN, |posture| posture.tilt.as_deg());
    let with = |lean: Lean| {
        let of = hung
            .hanging()
            .filter(move |(state, _)| !state.seating.taken.is_empty() && state.seating.lean == lean);
        let falls = of.map(|(_, posture)| fall_of(hung, posture));
        falls.fold((f64::INFINITY, f64::NEG_INFINITY), |all, own| (all.0.min(own.0), all.1.max(own.1)))
    };
    let (upright, back, forward) = (with(Lean::Upright), with(Lean::Back), with(Lean::Forward));
    format!(
        "empty the rear hangs {:.1} degrees {} as drawn; the seat falls {:.1} to {:.1} degrees with people upright, up to {:.1} \
         when they lean back, down to {:.1} when forward",
        empty.abs(),
        if empty < 0.0 { "higher than" } else { "lower than" },
        upright.0,
        upright.1,
        back.1,
        forward.0
    )
}

fn leans(state: &State, posture: &Posture) -> Verdict {
    let roll = posture.roll.as_deg().abs();
    let measure = Measure::new("tilt to a side", roll, Limit::AtMost(ASIDE), Unit::Angle);
    Verdict::measured(FAULT, measure, Severity::Warning)
        .measured_as("ρ", "tilt to a side, from the posture")
        .told(format!("the seat tilts to a side by up to {roll:.1} degrees"))
        .governed_by(state.name.clone())
}
