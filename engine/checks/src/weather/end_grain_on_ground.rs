//! # What it checks
//! That wood whose end grain stands on the ground bears it.
//! # Why
//! End grain drinks many times faster than side grain: feet rot first.
//! # Method and source
//! Parts that reach the floor with their grain within 45 degrees of upright. On soil, grass or gravel only treated wood (AWPA
//! UC4A, read on pages of treaters); elsewhere feet of wood that is not resistant want pads of 6 to 12 mm (project choice).
//! # Example
//! Fir legs on a deck.
//! # Remedy
//! Pads of plastic or stainless under the feet, sealed ends, treated or more durable wood.

use crate::{Case, Check, Look, Preservative, Verdict, Way};
use slatwork_base::Severity;
use slatwork_catalog::{Decay, Status};
use slatwork_model::Part;
use slatwork_solid::DVec3;

const FAULT: &str = "end-grain-on-ground";
pub(super) const CHECK: Check = Check {
    fault: FAULT,
    about: "feet of end grain last on what they stand on",
    rates: false,
    look: Look::Judges(look),
};

/// Stands on the floor when it reaches so near, mm.
const ON_FLOOR: f64 = 1.0;
/// End grain faces down when so much of the grain does (cosine of 45 degrees).
const UPRIGHT: f64 = 0.707;
/// Words for grounds that keep wood wet.
const WET: [&str; 6] = ["soil", "earth", "grass", "lawn", "gravel", "sand"];

fn look(case: &Case) -> Vec<Verdict> {
    if case.model.hanging.is_some() {
        return vec![Verdict::yes_or_no(FAULT, true, Severity::Warning).told("it hangs and has no feet")];
    }
    let low = |part: &Part| part.placed().bounds().min.z;
    let floor = case.model.parts.iter().map(low).fold(f64::INFINITY, f64::min);
    let feet = case.model.parts.iter().filter(|part| {
        low(part) < floor + ON_FLOOR && part.pose.transform_vector3(DVec3::X).z.abs() > UPRIGHT
    });
    let worst = feet.map(|foot| (decay(case, foot), foot)).min_by_key(|(decay, _)| *decay);
    worst.map(|(decay, foot)| judged(case, decay, foot)).into_iter().collect()
}

fn decay(case: &Case, part: &Part) -> Option<Decay> {
    case.catalogue.species(&part.species).ok().map(|species| species.decay)
}

fn judged(case: &Case, decay: Option<Decay>, foot: &Part) -> Verdict {
    let ground = case.model.site.ground.as_deref().unwrap_or("a hard floor").to_lowercase();
    let treated = case.conditions.preservative == Preservative::Copper;
    let wet = WET.iter().any(|word| ground.contains(word));
    let (holds, severity) = if wet {
        (treated, Severity::Failure)
    } else {
        (treated || decay == Some(Decay::Resistant), Severity::Warning)
    };
    let told =
        format!("`{}` stands on {ground} with its end grain; its wood is {}", foot.name, resistance(decay));
    Verdict::yes_or_no(FAULT, holds, severity)
        .about([foot])
        .told(told)
        .assuming("feet stand on pads, or their ends are sealed")
        .after("AWPA use categories, as pages of treaters tell them", Status::Read)
        .after("feet of durable wood on a hard floor", Status::ProjectChoice)
        .remedy(
            "set the feet on pads of 6 to 12 mm and seal their ends; take treated or more durable wood",
            [Way::Wood, Way::Treatment],
        )
}

pub(super) fn resistance(decay: Option<Decay>) -> &'static str {
    match decay {
        Some(Decay::Resistant) => "resistant to decay",
        Some(Decay::Moderate) => "moderately resistant to decay",
        Some(Decay::Slight) => "not resistant to decay",
        None => "of unknown resistance to decay",
    }
}
