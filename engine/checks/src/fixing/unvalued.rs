//! Fasteners that carry load and have no value: they are told, never passed.

use super::By;
use super::capacity::Held;
use super::forces::Pull;
use crate::framing::{Analysis, Tie, is_worse};
use crate::{Case, Verdict};
use slatwork_base::Origin;
use slatwork_catalog::FastenerKind;

/// Load that counts as carrying, N: what rounding leaves of none is far less, and the lightest slat weighs more.
const CARRIES: f64 = 1.0;

/// Fasteners of one tie that have no value one way.
#[derive(Clone, Debug)]
pub(crate) struct Unvalued {
    tie: usize,
    /// Which of the joint's fasteners.
    fastening: usize,
    by: By,
    why: String,
    /// The most that one of them carries, N.
    load: f64,
}

/// Takes in a fastener of a tie that carries load and has no value for it. Glued dowels are told with the glue.
pub(super) fn look(
    case: &Case,
    found: &mut Vec<Unvalued>,
    (index, tie, at): (usize, &Tie, usize),
    held: &Result<Held, String>,
    pull: &Pull,
) {
    let ways = match held {
        Ok(held) => [None, held.no_pull.as_ref().map(|why| (By::Pull, why, pull.axial))],
        Err(why) => [Some((By::Shear, why, pull.shear())), Some((By::Pull, why, pull.axial))],
    };
    let joint = &case.model.joints[tie.joint];
    let fastening = tie.fasteners[at];
    let in_glue = joint.glue.is_some() && joint.fastenings[fastening].kind == FastenerKind::Dowel;
    let carries = ways.into_iter().flatten().filter(|(_, _, load)| *load > CARRIES && !in_glue);
    for (by, why, load) in carries {
        match found.iter_mut().find(|own| own.tie == index && own.by == by) {
            Some(own) if is_worse(load, own.load) => (own.load, own.fastening) = (load, fastening),
            Some(_) => {}
            None => found.push(Unvalued { tie: index, fastening, by, why: why.clone(), load }),
        }
    }
}

/// A verdict for each script line and reason: the joint of it that carries most.
pub(super) fn told(
    case: &Case,
    analysis: &Analysis,
    unvalued: &[Unvalued],
    fault: &'static str,
    by: By,
) -> Vec<Verdict> {
    let mut lines: Vec<(Origin, &Unvalued, usize)> = Vec::new();
    for own in unvalued.iter().filter(|own| own.by == by) {
        let origin = case.model.joints[analysis.ties()[own.tie].joint].origin;
        match lines.iter_mut().find(|line| line.0 == origin && line.1.why == own.why) {
            Some(line) => *line = (origin, if own.load > line.1.load { own } else { line.1 }, line.2 + 1),
            None => lines.push((origin, own, 1)),
        }
    }
    lines.iter().map(|(_, own, count)| verdict(case, analysis, own, *count, fault)).collect()
}

fn verdict(case: &Case, analysis: &Analysis, own: &Unvalued, count: usize, fault: &'static str) -> Verdict {
    let tie = &analysis.ties()[own.tie];
    let joint = &case.model.joints[tie.joint];
    let parts = tie.parts.map(|part| case.model.part(part));
    let item = case.catalogue.item_words(&joint.fastenings[own.fastening].item);
    let axis = if own.by == By::Shear { "across" } else { "along" };
    let like = if count > 1 { format!("; {count} joints are held like this") } else { String::new() };
    let why = format!(
        "a {item} between `{}` and `{}` carries {:.0} N {axis} its axis, and how much it may is not known: {}{like}",
        parts[0].name, parts[1].name, own.load, own.why
    );
    Verdict::not_judged(fault, why).about(parts).at(joint.origin)
}
