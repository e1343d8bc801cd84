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
use crate::statics::swing::{ChainState, Posture};
use crate::verdict::worst;
use crate::{Case, Check, Limit, Look, Measure, Unit, Verdict, Way, Working};
use slatwork_base::Severity;
use slatwork_base::formula::{Equation, NamedNumber};

const FAULT: &str = "chain-slack";
pub(super) const CHECK: Check =
    Check { fault: FAULT, about: "every chain stays drawn", rates: true, look: Look::Judges(look) };

/// A chain that carries no more than itself rattles, N (project choice).
const DRAWN: f64 = 20.0;

fn look(case: &Case) -> Vec<Verdict> {
    with_hung(case, FAULT, |hung| {
        let at_rest = |(state, posture): (&State, &Posture)| {
            let shares = vec![1.0; posture.chains.len()];
            judged(posture, &shares, &state.name, Severity::Failure)
        };
        let swung = |(state, posture): (&State, &Posture)| {
            let least = hung.swings(state, posture).least;
            let shares: Vec<f64> = least.iter().map(|least| least.min(1.0)).collect();
            judged(posture, &shares, &format!("{}, swung", state.name), Severity::Warning)
        };
        let each = hung.hanging().map(at_rest).chain(hung.hanging().map(swung));
        let remedy = "set the eyes farther apart, so that the load stays between them";
        let told =
            |verdict| in_motion(peopled(hung, verdict)).about(hung_part(case)).remedy(remedy, [Way::Place]);
        worst(each).map(told).into_iter().collect()
    })
}

/// By the least of each chain's pull over that at rest.
fn judged(posture: &Posture, shares: &[f64], state: &str, severity: Severity) -> Verdict {
    let pull = |(chain, share): &(&ChainState, &f64)| chain.tension * *share;
    let chains = posture.chains.iter().zip(shares);
    let weakest = chains.min_by(|one, other| pull(one).total_cmp(&pull(other)));
    let (chain, share) = weakest.unwrap_or((&posture.chains[0], &0.0));
    let least = chain.tension * share;
    let named =
        NamedNumber::new("T", "pull of the chain at rest, from the posture", chain.tension, Unit::Force);
    let swung = "least pull over a swing of 30 degrees, over that at rest";
    let by =
        if *share == 1.0 { named.into() } else { named * NamedNumber::new("ks", swung, *share, Unit::Plain) };
    let figure = Equation::of(NamedNumber::new("S", "least pull of a chain", least, Unit::Force), by);
    let measure = Measure::new("least pull of a chain", least, Limit::AtLeast(DRAWN), Unit::Force);
    let told = if least < DRAWN {
        format!("the {} chain falls slack with {state}", chain.id)
    } else {
        format!("every chain keeps at least {least:.0} N: least the {} chain with {state}", chain.id)
    };
    Verdict::measured(FAULT, measure, severity).worked(Working::new(figure)).told(told).governed_by(state)
}
