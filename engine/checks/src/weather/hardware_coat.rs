//! # What it checks
//! That eyes, chains and links in the rain are of a metal that lasts.
//! # Why
//! Zinc-plated chain rusts where links bear on each other, unseen, and rust there is lost strength: a tenth of the wire's
//! diameter is a fifth of its strength.
//! # Method and source
//! Hot-dip galvanized or stainless outdoors, zinc-plated only on a covered porch (from memory). The catalogue does not tell the
//! coat of hardware, so that in the rain and in salt air, where stainless is wanted (project choice), this is not judged but
//! said.
//! # Example
//! A swing in the garden on chain of unknown coat.
//! # Remedy
//! Buy hot-dip galvanized or 316 stainless, all of one kind.

use crate::{Case, Check, Conditions, Exposure, Look, Verdict, Way};
use slatwork_base::Severity;
use slatwork_catalog::Status;

const FAULT: &str = "hardware-coat-unknown";
pub(super) const CHECK: Check = Check {
    fault: FAULT,
    about: "hanging hardware is of a metal that lasts",
    rates: false,
    look: Look::Judges(look),
};

fn look(case: &Case) -> Vec<Verdict> {
    let Some(chain) = case.model.hanging.iter().flat_map(|hanging| &hanging.suspensions).next() else {
        return Vec::new();
    };
    let Conditions { exposure, salt, .. } = case.conditions;
    let must_be = |place, metal| {
        let chain = &chain.name;
        Verdict::not_judged(
            FAULT,
            format!("{place} the hardware of the {chain} must be {metal}: look at its label"),
        )
    };
    let verdict = match (salt, exposure) {
        (true, _) => must_be("in salt air", "of 316 stainless"),
        (false, Exposure::Exposed) => must_be("in the rain", "hot-dip galvanized or stainless"),
        (false, Exposure::Covered) => Verdict::yes_or_no(FAULT, true, Severity::Failure)
            .told("under a roof and away from salt any coat of hardware lasts"),
    };
    let verdict =
        verdict.about([case.model.part(chain.part)]).after("coats of chain outdoors", Status::FromMemory);
    let verdict = if salt { verdict.after("chain in salt air", Status::ProjectChoice) } else { verdict };
    vec![verdict.remedy("buy hot-dip galvanized or 316 stainless hardware, all of one kind", [Way::Hardware])]
}
