//! # What it checks
//! That every chain stays drawn straight, at rest with every seating and over a whole swing.
//! # Why
//! A slack chain jerks when it is drawn straight again, and until then the others carry its share.
//! # Method and source
//! Pulls at equilibrium, and their least over a swing of 30 degrees (physical pendulum, derived). Each chain keeps at least
//! 20 N, about what a chain of that length weighs (project choice). Slack at rest fails; while it is swung it is a warning.
//! # Example
//! Front eyes right under the hooks: the rear chains carry nothing.
//! # Remedy
//! Eyes farther apart, with the load between them.

use super::hung::State;
use super::{hung_part, in_motion, peopled, with_hung};
use crate::statics::swing::Posture;
use crate::verdict::worst;
use crate::{Case, Check, Limit, Look, Measure, Unit, Verdict, Way};
use slatwork_base::Severity;

const FAULT: &str = "chain-slack";
pub(super) const CHECK: Check =
    Check { fault: FAULT, about: "every chain stays drawn", rates: true, look: Look::Judges(look) };

/// A chain that carries no more than itself rattles, N (project choice).
const DRAWN: f64 = 20.0;

fn look(case: &Case) -> Vec<Verdict> {
    with_hung(case, FAULT, |hung| {
        let at_rest = |(state, posture): (&State, &Posture)| {
            let pulls = posture.chains.iter().map(|chain| chain.tension).collect();
            judged(posture, pulls, &state.name, Severity::Failure)
        };
        let swung = |(state, posture): (&State, &Posture)| {
            let least = hung.swings(state, posture).least;
            let pulls = posture.chains.iter().zip(least).map(|(chain, least)| chain.tension * least.min(1.0));
            judged(posture, pulls.collect(), &format!("{}, swung", state.name), Severity::Warning)
        };
        let each = hung.hanging().map(at_rest).chain(hung.hanging().map(swung));
        let remedy = "set the eyes farther apart, so that the load stays between them";
        let told =
            |verdict| in_motion(peopled(hung, verdict)).about(hung_part(case)).remedy(remedy, [Way::Place]);
        worst(each).map(told).into_iter().collect()
    })
}

fn judged(posture: &Posture, pulls: Vec<f64>, state: &str, severity: Severity) -> Verdict {
    let chains = posture.chains.iter().zip(pulls);
    let (chain, least) =
        chains.min_by(|one, other| one.1.total_cmp(&other.1)).unwrap_or((&posture.chains[0], 0.0));
    let measure = Measure::new("least pull of a chain", least, Limit::AtLeast(DRAWN), Unit::Force);
    let told = if least < DRAWN {
        format!("the {} chain falls slack with {state}", chain.id)
    } else {
        format!("every chain keeps at least {least:.0} N: least the {} chain with {state}", chain.id)
    };
    Verdict::measured(FAULT, measure, severity).told(told).governed_by(state)
}
