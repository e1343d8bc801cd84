//! Whether boards carry what people do to them: each kind of board by its own check, all by the frame of the whole piece.
//!
//! `roles.rs` tells which board is what from joints and seat, never from names.

mod arm_breaks;
mod back_breaks;
mod bearer_breaks;
mod foot_crushed;
mod hung_end_splits;
mod leg_breaks;
mod notch_splits;
mod rail_breaks;
mod roles;
mod slat_breaks;
mod slat_sags;
mod wood_shears;

use crate::framing::{About, Analysis, STIFFNESSES, Strain, bending};
use crate::{Case, Check, Limit, Measure, Unit, Verdict, Way};
use roles::Role;
use slatwork_base::{Severity, both_tapes_whole};
use slatwork_catalog::Status;

pub(crate) const ALL: [&Check; 11] = [
    &slat_breaks::CHECK,
    &slat_sags::CHECK,
    &bearer_breaks::CHECK,
    &rail_breaks::CHECK,
    &leg_breaks::CHECK,
    &back_breaks::CHECK,
    &arm_breaks::CHECK,
    &wood_shears::CHECK,
    &notch_splits::CHECK,
    &hung_end_splits::CHECK,
    &foot_crushed::CHECK,
];

/// Bending of the worst board of a role, over the load cases that count.
fn worst_bending(
    case: &Case,
    fault: &'static str,
    role: Role,
    counts: fn(About) -> bool,
    remedy: (&str, &[Way]),
) -> Vec<Verdict> {
    let analysis = match standing(case, fault) {
        Ok(analysis) => analysis,
        Err(unjudged) => return unjudged,
    };
    let picked = |situation: usize| counts(analysis.situations[situation].about);
    let Some((part, strain)) = bending(analysis, roles::parts(analysis, role), picked) else {
        return Vec::new();
    };
    let part = case.model.part(part);
    // All stresses together have no strength of their own: what they use of it is a share.
    let (used, buckles) = strain.used();
    let measure = Measure::new("share of capacity", used, Limit::AtMost(1.0), Unit::Plain);
    let percent = format!("to {:.0} % of what it may carry", used * 100.0);
    let how = match (buckles, used.is_finite()) {
        (true, _) => format!("buckles: it is pressed {percent}"),
        (false, true) => format!("is bent {percent}"),
        (false, false) => String::from("has hardly any section left"),
    };
    let told = format!("`{}` {how}, {} from its end", part.name, both_tapes_whole(strain.x));
    let timber = analysis.models[0].framing.timbers.of(part.id);
    let working = strain.bending(timber, analysis.situations[strain.situation].about.duration());
    let verdict = Verdict::measured(fault, measure, Severity::Failure).about([part]).told(told);
    vec![Verdict { working, ..founded(verdict, case, analysis, &strain) }.remedy(remedy.0, remedy.1)]
}

/// The piece under every load case, for a check that looks at each; else that it cannot be judged, and why.
fn standing<'c, 'a>(case: &'c Case<'a>, fault: &'static str) -> Result<&'c Analysis<'a>, Vec<Verdict>> {
    let unknown = |why: &str| vec![Verdict::not_judged(fault, why)];
    let analysis = case.analysis().map_err(unknown)?;
    analysis.falls().map_or(Ok(analysis), |why| Err(unknown(&why)))
}

/// A share from which on it says no more how much: there a member buckles, or is near to it.
const FAR: f64 = 100.0;

/// Adds what every verdict on wood rests on.
fn founded(verdict: Verdict, case: &Case, analysis: &Analysis, strain: &Strain) -> Verdict {
    let timber = analysis.models[0].framing.timbers.of(verdict.parts[0]);
    let percent = |share: f64| {
        if share < FAR { format!("{:.0}", share * 100.0) } else { String::from("far more than 100") }
    };
    let [least, most] = strain.spread.map(percent);
    let verdict = verdict
        .governed_by(analysis.situations[strain.situation].name.clone())
        .assuming(timber.told.clone())
        .assuming(format!(
            "joints at half and at twice their reckoned stiffness as well: {least} to {most} %"
        ))
        .after("NDS-2018 chapters 3 and 4", Status::Read)
        .under_loads(case, [&analysis.situations[strain.situation]]);
    debug_assert_eq!(STIFFNESSES.len(), analysis.models.len());
    verdict.resting_on(timber.source.clone())
}
