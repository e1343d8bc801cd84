//! # What it checks
//! That no board splits along its grain from shear, at notches and ends too.
//! # Why
//! Wood is weak along the grain: a short, deep board, or a notched end, splits before it bends.
//! # Method and source
//! 3 V / 2 A of what is left of the section, both directions together (NDS-2018 3.4.2, read), in the frame of the whole piece
//! under every load case and three stiffnesses of its joints.
//! # Example
//! An arm that carries a person close beside its support.
//! # Remedy
//! Take a larger section, or notch it less.

use super::founded;
use crate::framing::shear;
use crate::{Case, Check, Limit, Look, Measure, Unit, Verdict, Way};
use slatwork_base::Severity;

pub(super) const CHECK: Check = Check {
    fault: "wood-shears",
    about: "no board splits along its grain",
    rates: true,
    look: Look::Judges(look),
};

fn look(case: &Case) -> Vec<Verdict> {
    let analysis = match case.analysis() {
        Ok(analysis) => analysis,
        Err(why) => return vec![Verdict::not_judged(CHECK.fault, why)],
    };
    let parts = case.model.parts.iter().map(|part| part.id);
    let Some((part, strain)) = shear(analysis, parts, |_| true) else { return Vec::new() };
    let part = case.model.part(part);
    let allowed = strain.stress / strain.share.max(f64::MIN_POSITIVE);
    let measure = Measure::new("shear stress", strain.stress, Limit::AtMost(allowed), Unit::Stress);
    let told = format!("`{}` is sheared to {:.0} % of what it may carry", part.name, strain.share * 100.0);
    let timber = analysis.models[0].framing.timbers.of(part.id);
    let working = strain.shear(timber, analysis.situations[strain.situation].about.duration());
    let verdict = Verdict::measured(CHECK.fault, measure, Severity::Failure).about([part]).told(told);
    vec![
        Verdict { working, ..founded(verdict, case, analysis, &strain) }
            .remedy("Take a larger section, or notch it less.", [Way::Section, Way::Wood]),
    ]
}
