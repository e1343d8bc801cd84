//! # What it checks
//! That the glue bears the weather.
//! # Why
//! Glue for indoors lets go when it is wet for days.
//! # Method and source
//! Classes of EN 204 as a page quotes them (read): D3 sheltered, D4 outdoors under a finish at least; ANSI/HPVA Type II and I
//! alike (from memory). Which glue is used the user says.
//! # Example
//! D3 glue in an arm of two strips that stands in the rain.
//! # Remedy
//! A glue of class D4 or Type I, or epoxy or resorcinol.

use crate::{Case, Check, Exposure, GlueClass, Look, Verdict, Way};
use slatwork_base::Severity;
use slatwork_catalog::Status;
use slatwork_model::{Blank, Part};

const FAULT: &str = "glue-too-weak-for-weather";
pub(super) const CHECK: Check =
    Check { fault: FAULT, about: "the glue bears the weather", rates: false, look: Look::Judges(look) };

fn look(case: &Case) -> Vec<Verdict> {
    let jointed = case.model.joints.iter().filter(|joint| joint.glue.is_some());
    let jointed = jointed.filter_map(|joint| Some(case.model.part(*joint.parts.first()?)));
    let strips = case.model.parts.iter().filter(|part| matches!(part.blank, Blank::GluedUp { .. }));
    let Some(first) = jointed.chain(strips).next() else { return Vec::new() };
    let Some(glue) = case.conditions.glue else {
        return vec![
            Verdict::not_judged(FAULT, format!("which glue holds `{}` is not said", first.name))
                .about([first]),
        ];
    };
    vec![judged(case, glue, first)]
}

fn judged(case: &Case, glue: GlueClass, first: &Part) -> Verdict {
    let exposure = case.conditions.exposure;
    let needed = match exposure {
        Exposure::Covered => GlueClass::Sheltered,
        Exposure::Exposed => GlueClass::Exposed,
    };
    let (meant_for, place) = (glue.meant_for(), exposure.words());
    let told = format!("`{}` is glued with a glue for {meant_for} and stands {place}", first.name);
    Verdict::yes_or_no(FAULT, glue >= needed, Severity::Failure)
        .about([first])
        .told(told)
        .after("classes of EN 204, quoted on a page", Status::Read)
        .after("ANSI/HPVA types", Status::FromMemory)
        .remedy("use a glue of class D4 or Type I, or epoxy or resorcinol", [Way::Treatment])
}
