//! # What it checks
//! That the metal of each fastener suits the woods it goes through, the weather and the air.
//! # Why
//! Tannin stains with iron and eats it; copper in treated wood eats zinc; salt eats both. What is eaten no longer holds.
//! # Method and source
//! Oaks, cedars, redwood, cypress and the like: stainless (FPL note on iron stain, read); galvanized stains where it wears.
//! Copper-treated wood: hot-dip galvanized or stainless (USFS T&D 0677-2809, read), stainless alone near salt. Other woods:
//! galvanized, stainless, or coats rated for outdoors (common practice); near salt stainless (project choice).
//! # Example
//! Coated screws in white oak.
//! # Remedy
//! Stainless.

use super::worst;
use crate::{Case, Check, Exposure, Look, Preservative, Verdict, Way};
use slatwork_base::Severity;
use slatwork_catalog::Status;
use slatwork_model::joints::{Fastening, Metal};
use slatwork_model::{Joint, Part};

const FAULT: &str = "metal-unfit-for-wood";
pub(super) const CHECK: Check = Check {
    fault: FAULT,
    about: "fasteners are of a metal that lasts in their wood",
    rates: false,
    look: Look::Judges(look),
};

fn look(case: &Case) -> Vec<Verdict> {
    let joints = case.model.joints.iter();
    let all = joints.flat_map(|joint| joint.fastenings.iter().map(move |one| judged(case, joint, one)));
    worst(all).into_iter().collect()
}

fn judged(case: &Case, joint: &Joint, one: &Fastening) -> Verdict {
    let parts: Vec<&Part> = one.layers.iter().map(|layer| case.model.part(layer.part)).collect();
    let tannic =
        parts.iter().find(|part| case.catalogue.species(&part.species).is_ok_and(|species| species.tannic));
    let trouble = trouble(case, one.metal, tannic.is_some());
    let item = case.catalogue.item_words(&one.item);
    let subject = tannic.or(parts.first()).map_or("the wood", |part| part.name.as_str());
    let told = match trouble {
        None => format!(
            "fasteners are of a metal that lasts in their wood, as the {} {item} in `{subject}`",
            one.metal.word()
        ),
        Some((_, why)) => format!("the {} {item} in `{subject}`: {why}", one.metal.word()),
    };
    let severity = trouble.map_or(Severity::Failure, |(severity, _)| severity);
    Verdict::yes_or_no(FAULT, trouble.is_none(), severity)
        .about(parts.iter().copied())
        .at(joint.origin)
        .told(told)
        .after("iron stain on wood, a Forest Products Laboratory note", Status::Read)
        .after("treated wood, USFS T&D 0677-2809", Status::Read)
        .after("coats, covered places, salt air", Status::CommonPractice)
        .remedy("use stainless fasteners", [Way::Metal])
}

/// What is wrong with a metal in its wood, and how bad that is.
fn trouble(case: &Case, metal: Metal, tannic: bool) -> Option<(Severity, &'static str)> {
    let conditions = &case.conditions;
    let treated = conditions.preservative == Preservative::Copper;
    match metal {
        Metal::Stainless | Metal::Wood => None,
        Metal::Galvanized | Metal::Coated if conditions.salt && treated => {
            Some((Severity::Failure, "copper in the wood and salt in the air eat it"))
        }
        Metal::Galvanized | Metal::Coated if conditions.salt => {
            Some((Severity::Warning, "salt in the air eats it"))
        }
        Metal::Coated if treated => Some((Severity::Warning, "only coats rated for treated wood last in it")),
        Metal::Galvanized | Metal::Coated if tannic && conditions.exposure == Exposure::Exposed => {
            Some((Severity::Warning, "its tannin stains and eats iron where the coat wears"))
        }
        Metal::Galvanized | Metal::Coated => None,
    }
}
