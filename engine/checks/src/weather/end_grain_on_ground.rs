//! # What it checks
//! That wood whose end grain stands on the ground bears it.
//! # Why
//! End grain drinks many times faster than side grain: feet rot first.
//! # Method and source
//! Parts that reach the floor with their grain within 45 degrees of upright; of what hangs only a frame that it hangs in. On soil, grass or gravel only treated wood (AWPA
//! UC4A, read on pages of treaters); elsewhere feet of wood that is not resistant want pads of 1/4" to 1/2" (6 to 12 mm) (project choice).
//! # Example
//! Fir legs on a deck.
//! # Remedy
//! Pads of plastic or stainless under the feet, sealed ends, treated or more durable wood.

use crate::held::together;
use crate::{Case, Check, Look, Preservative, Verdict, Way};
use core::f64::consts::FRAC_1_SQRT_2;
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
const UPRIGHT: f64 = FRAC_1_SQRT_2;
/// Words for grounds that keep wood wet.
const WET: [&str; 13] = [
    "soil", "topsoil", "earth", "dirt", "mud", "grass", "grassy", "lawn", "turf", "gravel", "sand", "sandy",
    "beach",
];

fn look(case: &Case) -> Vec<Verdict> {
    let standing = standing(case);
    if standing.is_empty() {
        let hangs = Verdict::yes_or_no(FAULT, true, Severity::Warning).told("it hangs and has no feet");
        return vec![hangs.after("what joints hold to what hangs", Status::Derived)];
    }
    let low = |part: &Part| part.placed().bounds().min.z;
    let floor = standing.iter().map(|part| low(part)).fold(f64::INFINITY, f64::min);
    let feet = standing.into_iter().filter(|part| {
        low(part) < floor + ON_FLOOR && part.pose.transform_vector3(DVec3::X).z.abs() > UPRIGHT
    });
    let worst = feet.min_by_key(|foot| decay(case, foot));
    worst.map(|foot| judged(case, foot)).into_iter().collect()
}

/// Parts that stand: all but those that joints hold to what hangs.
fn standing<'a>(case: &'a Case) -> Vec<&'a Part> {
    let held = together(case.model);
    let chains = case.model.hanging.iter().flat_map(|hanging| &hanging.suspensions);
    let hung: Vec<usize> = chains.map(|chain| held[chain.part.0]).collect();
    case.model.parts.iter().filter(|part| !hung.contains(&held[part.id.0])).collect()
}

pub(super) fn decay(case: &Case, part: &Part) -> Option<Decay> {
    case.catalogue.species(&part.species).ok().map(|species| species.decay)
}

fn judged(case: &Case, foot: &Part) -> Verdict {
    let decay = decay(case, foot);
    let said = case.model.site.ground.as_deref().map(str::to_lowercase);
    let ground = said.as_deref().unwrap_or("a hard floor");
    let treated = case.conditions.preservative == Preservative::Copper;
    let (holds, severity) = if keeps_wet(ground) {
        (treated, Severity::Failure)
    } else {
        (treated || decay == Some(Decay::Resistant), Severity::Warning)
    };
    let told =
        format!("`{}` stands on {ground} with its end grain; its wood is {}", foot.name, resistance(decay));
    let verdict = Verdict::yes_or_no(FAULT, holds, severity)
        .about([foot])
        .told(told)
        .after("AWPA use categories, as pages of treaters tell them", Status::Read)
        .after("feet of durable wood on a hard floor", Status::ProjectChoice)
        .remedy(
            "set the feet on pads of 1/4\" to 1/2\" (6 to 12 mm) and seal their ends; take treated or more durable wood",
            [Way::Wood, Way::Treatment],
        );
    if said.is_some() { verdict } else { verdict.assuming("a hard floor: the site does not tell the ground") }
}

/// Whether one of its words is of what keeps wood wet.
fn keeps_wet(ground: &str) -> bool {
    ground.split(|letter: char| !letter.is_alphanumeric()).any(|word| WET.contains(&word))
}

pub(super) fn resistance(decay: Option<Decay>) -> &'static str {
    match decay {
        Some(Decay::Resistant) => "resistant to decay",
        Some(Decay::Moderate) => "moderately resistant to decay",
        Some(Decay::Slight) => "not resistant to decay",
        None => "of unknown resistance to decay",
    }
}

#[cfg(test)]
mod tests {
    use super::keeps_wet;

    #[test]
    fn grounds_are_told_by_whole_words() {
        assert!(keeps_wet("sand, firm") && keeps_wet("a lawn") && keeps_wet("sandy beach"));
        assert!(!keeps_wet("sandstone terrace") && !keeps_wet("a hard floor"));
    }
}
