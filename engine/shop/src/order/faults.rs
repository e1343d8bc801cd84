//! What cannot be put together, as findings with place, number and remedy.

use super::search::{Fault, Hindrance};
use super::{AssemblyStep, Does, PartMove};
use slatwork_base::{Diagnostic, Place, Severity, both_tapes_whole, worst_of_each_line};
use slatwork_catalog::Catalogue;
use slatwork_model::Model;
use slatwork_model::joints::Fastening;

/// The findings: of those that one script line brings about, the first with their number.
pub(crate) fn findings(
    model: &Model,
    catalogue: &Catalogue,
    steps: &[AssemblyStep],
    faults: &[Fault],
) -> Vec<Diagnostic> {
    worst_of_each_line(faults.iter().map(|fault| finding(model, catalogue, steps, fault)))
}

/// The step in which a part comes to stay.
fn step_of(steps: &[AssemblyStep], part: usize) -> Option<usize> {
    let stays = |own: &PartMove| own.part.0 == part && matches!(own.does, Does::Laid | Does::ComesIn);
    steps.iter().find(|step| step.parts.iter().any(stays)).map(|step| step.number)
}

fn finding(model: &Model, catalogue: &Catalogue, steps: &[AssemblyStep], fault: &Fault) -> Diagnostic {
    match fault {
        Fault::NoWay { parts, by } => no_way(model, parts, *by),
        Fault::NoReach { joint, fastening, tight, rooms } => {
            let (joint, by) = (&model.joints[*joint], name(model, tight.by));
            let one = &joint.fastenings[*fastening];
            let words = fastener_words(catalogue, one);
            let held: Vec<String> = joint.parts.iter().map(|part| name(model, part.0)).collect();
            let least = rooms.iter().copied().fold(f64::INFINITY, f64::min);
            let needed = if (least - tight.needed).abs() < 0.5 {
                format!("{} are needed", both_tapes_whole(tight.needed))
            } else {
                let (needed, least) = (both_tapes_whole(tight.needed), both_tapes_whole(least));
                format!("{needed} are needed, {least} with the least tool")
            };
            let (code, what, where_free) = if tight.swung {
                ("wrench-cannot-reach", "cannot be tightened", "to swing a wrench on it")
            } else if one.takes_nut() {
                ("bolt-cannot-be-put-in", "cannot be put in and tightened", "on its axis")
            } else {
                ("driver-cannot-reach", "cannot be driven", "on its axis")
            };
            let message = format!(
                "the {words} of {} {what}: {} are free {where_free}, {needed}; {by} stands in the way",
                held.join(" and "),
                both_tapes_whole(tight.free)
            );
            Diagnostic::new(Severity::Failure, code, message)
                .at_origin(joint.origin)
                .with_trace(Place::Part(model.parts[tight.by].name.clone()), "what stands in the way")
                .help(
                    "drive it from the other part, move it with `at`, or let the part in its way come later",
                )
        }
        Fault::Rule { rule, first, then, at, why } => {
            let at_step = step_of(steps, *then).map_or(String::new(), |step| format!(" in step {step}"));
            let (first, later) = (name(model, *first), name(model, *then));
            let why = match why {
                Hindrance::Way { by, .. } => {
                    format!("once {first} stands, {later} has no way in past {}", name(model, *by))
                }
                Hindrance::Reach { by, .. } => {
                    format!(
                        "once {first} stands, {} is in the way of the fasteners of {later}",
                        name(model, *by)
                    )
                }
                Hindrance::Other => format!("{first} cannot stand before {later}"),
            };
            let message = format!("{first} cannot stand before {later} is added to `{at}`{at_step}: {why}");
            let found = Diagnostic::new(Severity::Failure, "order-cannot-be", message);
            let origin = model.order.get(*rule).map_or(slatwork_base::Origin::NOWHERE, |rule| rule.origin);
            found
                .at_origin(origin)
                .help("drop the rule, turn it round, or let it name the parts that can wait")
        }
        Fault::WornOut => Diagnostic::warning(
            "order-not-planned",
            format!("the order of assembly of {} parts is not planned to its end", model.parts.len()),
        )
        .help("put the parts into groups, so that each is planned by itself"),
    }
}

fn no_way(model: &Model, parts: &[usize], by: usize) -> Diagnostic {
    let first = parts.first().copied().unwrap_or(0);
    let what = match parts.len() {
        1 => name(model, first),
        count => format!("{} with {} more", name(model, first), count - 1),
    };
    let message =
        format!("{what} cannot be brought in along any straight line: {} stands in the way", name(model, by));
    Diagnostic::new(Severity::Failure, "no-way-in", message)
        .at_origin(model.parts[first].origin)
        .with_trace(Place::Part(model.parts[first].name.clone()), "what has no way in")
        .help("open the notch or housing to one side, or divide a part that closes round it")
}

pub(crate) fn name(model: &Model, part: usize) -> String {
    format!("`{}`", model.parts[part].name)
}

/// "#8 wood screw 2 1/2"", "3/8 eye bolt".
pub(crate) fn fastener_words(catalogue: &Catalogue, one: &Fastening) -> String {
    format!("{} {}", catalogue.item_words(&one.item), one.length)
}
