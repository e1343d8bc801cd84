//! # What it checks
//! That eyes, chains and links in the rain are of a metal that lasts.
//! # Why
//! Zinc-plated chain rusts where links bear on each other, unseen, and rust there is lost strength: a tenth of the wire's
//! diameter is a fifth of its strength.
//! # Method and source
//! Hot-dip galvanized or stainless outdoors, zinc-plated only on a covered porch (from memory). The catalogue does not tell the
//! coat of hardware, so that in the rain this is not judged but said.
//! # Example
//! A swing in the garden on chain of unknown coat.
//! # Remedy
//! Buy hot-dip galvanized or 316 stainless, all of one kind.

use crate::{Case, Check, Exposure, Look, Verdict, Way};
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
    let verdict = match case.conditions.exposure {
        Exposure::Covered => {
            Verdict::yes_or_no(FAULT, true, Severity::Failure).told("under a roof any coat of hardware lasts")
        }
        Exposure::Exposed => Verdict::not_judged(
            FAULT,
            format!(
                "in the rain the hardware of the {} must be hot-dip galvanized or stainless: look at its label",
                chain.name
            ),
        ),
    };
    let verdict =
        verdict.about([case.model.part(chain.part)]).after("coats of chain outdoors", Status::FromMemory);
    vec![verdict.remedy("buy hot-dip galvanized or 316 stainless hardware, all of one kind", [Way::Hardware])]
}
