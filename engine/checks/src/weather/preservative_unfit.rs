//! # What it checks
//! That treated wood may be touched, and keeps its preservative in the rain.
//! # Why
//! Creosote, pentachlorophenol and CCA harm bare skin; borate washes out.
//! # Method and source
//! Not for chairs and outdoor furniture in frequent contact with bare skin (EPA consumer sheet as a USFS paper gives it, read; CCA
//! from memory). Borate only under cover (from memory).
//! # Example
//! Old railway sleepers as a seat.
//! # Remedy
//! Untreated durable wood, or copper-treated wood.

use super::touched;
use crate::{Case, Check, Exposure, Look, Preservative, Verdict, Way};
use slatwork_base::Severity;
use slatwork_catalog::Status;

const FAULT: &str = "preservative-unfit";
pub(super) const CHECK: Check = Check {
    fault: FAULT,
    about: "treated wood may be touched and stays treated",
    rates: false,
    look: Look::Judges(look),
};

fn look(case: &Case) -> Vec<Verdict> {
    let exposed = case.conditions.exposure == Exposure::Exposed;
    let (holds, told) = match case.conditions.preservative {
        Preservative::None => (true, "the wood is not treated"),
        Preservative::Copper => (true, "copper-treated wood may be touched"),
        Preservative::Borate if !exposed => (true, "borate stays in wood that is kept dry"),
        Preservative::Borate => (false, "rain washes borate out of the wood"),
        Preservative::Harmful => (false, "wood so treated is not for what bare skin touches"),
    };
    let verdict = Verdict::yes_or_no(FAULT, holds, Severity::Failure)
        .about(touched(case).take(1))
        .told(told)
        .after("consumer sheet on treated wood, EPA, in USFS T&D 0677-2809", Status::Read)
        .after("borate, CCA", Status::FromMemory);
    vec![verdict.remedy("take untreated durable wood, or copper-treated wood", [Way::Wood])]
}
