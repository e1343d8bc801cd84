//! Whether joints carry what the frame hands them, fastener by fastener.
//!
//! `forces.rs` shares the load of a joint among its fasteners; `capacity.rs` says what each may carry.

mod capacity;
mod fastener_overworked;
mod fastener_pulled;
mod fastener_sheared;
mod forces;

use crate::framing::{Analysis, Level, Tie, is_worse};
use crate::statics::withdrawal::utilisation;
use crate::{Case, Check, Limit, Measure, Unit, Verdict, Way};
use capacity::{Capacity, capacity};
use forces::{Pull, pulls};
use slatwork_base::Severity;
use slatwork_catalog::Status;

pub(crate) const ALL: [&Check; 3] =
    [&fastener_sheared::CHECK, &fastener_pulled::CHECK, &fastener_overworked::CHECK];

/// A fastener that is looked at, and how hard it is worked.
struct Worked<'a> {
    tie: &'a Tie,
    situation: usize,
    pull: Pull,
    capacity: Capacity,
    /// Load duration factor.
    duration: f64,
}

impl Worked<'_> {
    /// Share of its lateral value.
    fn sheared(&self) -> f64 {
        self.pull.shear() / (self.capacity.lateral * self.duration)
    }

    /// Share of its axial value.
    fn pulled(&self) -> f64 {
        self.pull.axial / (self.capacity.axial * self.duration)
    }

    /// Share of both together.
    fn both(&self) -> f64 {
        let values = (self.capacity.lateral * self.duration, self.capacity.axial * self.duration);
        let loads = (self.pull.shear(), self.pull.axial);
        utilisation(self.capacity.together, loads, values).value.unwrap_or(f64::INFINITY)
    }
}

/// The worst fastener by a share, with that share; `Err` says why there is none.
fn worst<'a>(case: &'a Case, by: fn(&Worked) -> f64) -> Result<Option<(f64, Worked<'a>)>, String> {
    let analysis = case.analysis()?;
    let mut worst: Option<(f64, Worked)> = None;
    for model in &analysis.models {
        for (index, tie) in model.framing.ties.iter().enumerate().filter(|(_, tie)| !tie.glued) {
            for situation in 0..analysis.situations.len() {
                let Some(forces) = model.tie_forces(index, situation) else { continue };
                for worked in worked(case, analysis, tie, situation, &pulls(tie, &forces)) {
                    let share = by(&worked);
                    if worst.as_ref().is_none_or(|(most, _)| is_worse(share, *most)) {
                        worst = Some((share, worked));
                    }
                }
            }
        }
    }
    Ok(worst)
}

/// Fasteners of one tie under one load case. One without any value is worked without end.
fn worked<'a>(
    case: &Case,
    analysis: &Analysis,
    tie: &'a Tie,
    situation: usize,
    pulls: &[Pull],
) -> Vec<Worked<'a>> {
    let duration = analysis.situations[situation].about.duration();
    let of = |(at, pull): (usize, &Pull)| {
        let capacity = capacity(case, analysis, tie, at, pull)?;
        Some(Worked { tie, situation, pull: *pull, capacity, duration })
    };
    pulls.iter().enumerate().filter_map(of).collect()
}

/// A verdict on the worst fastener.
fn judged(
    case: &Case,
    fault: &'static str,
    by: fn(&Worked) -> f64,
    measure: fn(&Worked, f64) -> Measure,
    told: fn(&Worked, &str) -> String,
    ways: &[Way],
) -> Vec<Verdict> {
    let (share, worst) = match worst(case, by) {
        Ok(Some(found)) => found,
        Ok(None) => return Vec::new(),
        Err(why) => return vec![Verdict::not_judged(fault, why)],
    };
    let joint = &case.model.joints[worst.tie.joint];
    let [first, second] = worst.tie.parts.map(|part| case.model.part(part));
    let item = case.catalogue.item_words(&joint.fastenings[worst.tie.fasteners[0]].item);
    let name = format!("a {item} between `{}` and `{}`", first.name, second.name);
    let situation = case.analysis().map(|analysis| analysis.situations[worst.situation].name.clone());
    let level = case.model.people.use_level;
    let verdict = Verdict::measured(fault, measure(&worst, share), Severity::Failure)
        .about([first, second])
        .at(joint.origin)
        .told(told(&worst, &name))
        .governed_by(situation.unwrap_or_default())
        .assuming("joints at half and at twice their reckoned stiffness as well")
        .after("NDS-2018 chapters 11 and 12", Status::Read)
        .after("load levels of EN 581-2 and project loads", Level::status(level))
        .remedy("Set one more fastener, or a thicker or longer one.", ways);
    vec![if worst.capacity.in_end_grain {
        verdict
            .assuming("screws in end grain hold three quarters as much as in side grain; the standard gives them nothing")
            .after("Wood Handbook chapter 8, end grain", Status::FromMemory)
    } else {
        verdict
    }]
}

/// A load in N and what there is to meet it.
fn force(quantity: &str, load: f64, share: f64) -> Measure {
    let capacity = if share > 0.0 { load / share } else { f64::INFINITY };
    Measure::new(quantity, load, Limit::AtMost(capacity), Unit::Force)
}
