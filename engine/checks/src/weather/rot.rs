//! # What it checks
//! That wood left in the rain is durable, treated, or told to be finished.
//! # Why
//! Sapwood and woods that are not resistant rot within a few years outdoors.
//! # Method and source
//! Decay resistance of the heartwood (Wood Handbook Table 14-1 as the catalogue has it). Exposed wood that is not resistant nor
//! treated is a warning (project choice); under a roof it holds.
//! # Example
//! A bench of fir on a lawn.
//! # Remedy
//! A durable or treated wood, or a roof and a finish that is kept up.

use super::end_grain_on_ground::{decay, resistance};
use crate::{Case, Check, Exposure, Look, Preservative, Verdict, Way};
use slatwork_base::Severity;
use slatwork_catalog::{Decay, Status};

const FAULT: &str = "wood-not-durable";
pub(super) const CHECK: Check = Check {
    fault: FAULT,
    about: "wood in the rain is durable or treated",
    rates: false,
    look: Look::Judges(look),
};

fn look(case: &Case) -> Vec<Verdict> {
    let Some(worst) = case.model.parts.iter().min_by_key(|part| decay(case, part)) else { return Vec::new() };
    let sheltered = case.conditions.exposure == Exposure::Covered;
    let treated = case.conditions.preservative == Preservative::Copper;
    let holds = sheltered || treated || decay(case, worst) >= Some(Decay::Moderate);
    let place = case.conditions.exposure.words();
    let told = format!("`{}` is {} and stands {place}", worst.name, resistance(decay(case, worst)));
    vec![
        Verdict::yes_or_no(FAULT, holds, Severity::Warning)
            .about([worst])
            .told(told)
            .assuming("heartwood: sapwood of any wood is not durable")
            .after(
                "decay resistance of heartwood, Wood Handbook FPL-GTR-282 as the catalogue has it",
                Status::Read,
            )
            .after("what may stay in the rain", Status::ProjectChoice)
            .remedy("take a durable or treated wood, or keep up a finish", [Way::Wood, Way::Treatment]),
    ]
}
