//! Whether joints carry what the frame hands them, fastener by fastener.
//!
//! `forces.rs` shares the load of a joint among its fasteners; `capacity.rs` says what each may carry, by the wood round it
//! (`room.rs`) and the row that it stands in (`rows.rs`). What has no value is told (`unvalued.rs`), and how
//! the figures came about by `working.rs`.

mod capacity;
mod fastener_overworked;
mod fastener_pulled;
mod fastener_sheared;
mod forces;
mod glue_line_shears;
mod room;
mod row_tears_out;
mod rows;
mod unvalued;
mod wood_crushed;
mod working;

use crate::framing::{Analysis, Tie, is_worse};
use crate::statics::withdrawal::utilisation;
use crate::{Case, Check, Limit, Measure, Unit, Verdict, Way};
use capacity::{Capacity, Held};
use forces::{Pull, Reach, Sharing};
use slatwork_base::Severity;
use slatwork_catalog::Status;
use slatwork_model::Joint;
use unvalued::Unvalued;

pub(crate) const ALL: [&Check; 6] = [
    &fastener_sheared::CHECK,
    &fastener_pulled::CHECK,
    &fastener_overworked::CHECK,
    &row_tears_out::CHECK,
    &glue_line_shears::CHECK,
    &wood_crushed::CHECK,
];

/// By what a fastener is judged.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum By {
    /// Load across its axis.
    Shear,
    /// Load along its axis.
    Pull,
    /// Both together.
    Both,
}

/// A fastener that is looked at under a load case.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Worked {
    /// Index of the tie.
    tie: usize,
    /// Which of the tie's fasteners.
    at: usize,
    situation: usize,
    pull: Pull,
    capacity: Capacity,
    /// Load duration factor.
    duration: f64,
}

impl Worked {
    /// Share of what it may carry.
    fn share(&self, by: By) -> f64 {
        let values = (self.capacity.lateral * self.duration, self.capacity.axial * self.duration);
        let loads = (self.pull.shear(), self.pull.axial);
        let part = |load: f64, value: f64| if load > 0.0 { load / value } else { 0.0 };
        match by {
            By::Shear => part(loads.0, values.0),
            By::Pull => part(loads.1, values.1),
            By::Both => utilisation(self.capacity.together, loads, values).value.unwrap_or(f64::INFINITY),
        }
    }

    /// What its share does not exceed: both together are at most one and the other.
    fn share_at_most(&self, by: By) -> f64 {
        match by {
            By::Shear | By::Pull => self.share(by),
            By::Both => self.share(By::Shear) + self.share(By::Pull),
        }
    }
}

/// The hardest worked fastener by each way to judge it, with its share.
type Hardest = [Option<(f64, Worked)>; 3];

/// What becomes of the fasteners of all joints.
#[derive(Debug)]
pub(crate) struct Looked {
    /// The hardest worked ones of each joint, over all load cases and stiffnesses of joints; glued joints have none.
    hardest: Vec<Hardest>,
    /// Those that carry load and have no value.
    unvalued: Vec<Unvalued>,
}

/// Looks at every fastener under every load case.
pub(crate) fn looked(case: &Case, analysis: &Analysis) -> Looked {
    let mut looked =
        Looked { hardest: vec![Hardest::default(); case.model.joints.len()], unvalued: Vec::new() };
    for (index, tie) in analysis.ties().iter().enumerate().filter(|(_, tie)| !tie.glued) {
        let timbers = &analysis.models[0].framing.timbers;
        let held: Vec<Result<Held, String>> =
            (0..tie.fasteners.len()).map(|at| Held::of(case, timbers, tie, at)).collect();
        let sharing = Sharing::of(tie);
        let reach = reach(&sharing, &held);
        for model in &analysis.models {
            for (situation, own) in analysis.situations.iter().enumerate() {
                let Some(forces) = model.tie_forces(index, situation) else { continue };
                let duration = own.about.duration();
                if reach.as_ref().is_some_and(|reach| {
                    is_passed_over(&looked.hardest[tie.joint], reach.under(&forces).map(|own| own / duration))
                }) {
                    continue;
                }
                for (at, (held, pull)) in held.iter().zip(sharing.pulls(&forces)).enumerate() {
                    unvalued::look(case, &mut looked.unvalued, (index, tie, at), held, &pull);
                    let Ok(held) = held else { continue };
                    let least = Worked { tie: index, at, situation, pull, capacity: held.least, duration };
                    look_harder(&mut looked.hardest[tie.joint], tie, held, least);
                }
            }
        }
    }
    looked
}

/// Shares that no fastener of a tie exceeds; nothing where one has no value, for that is told by its greatest load.
fn reach(sharing: &Sharing, held: &[Result<Held, String>]) -> Option<Reach> {
    let values = |held: &Result<Held, String>| {
        let held = held.as_ref().ok().filter(|held| held.no_pull.is_none())?;
        Some([held.least.lateral, held.least.axial])
    };
    let values: Vec<[f64; 2]> = held.iter().map(values).collect::<Option<_>>()?;
    Some(sharing.reach(values.into_iter()))
}

/// Whether no fastener with such shares at the most is worked harder than the hardest so far.
fn is_passed_over(hardest: &Hardest, [shear, pull]: [f64; 2]) -> bool {
    let shares = [shear, pull, shear + pull];
    shares.into_iter().zip(hardest).all(|(share, most)| most.is_some_and(|(most, _)| share <= most))
}

/// Takes a fastener in where it is worked harder. What it carries at the least tells most of them apart.
fn look_harder(hardest: &mut Hardest, tie: &Tie, held: &Held, least: Worked) {
    let known = |by: By| by == By::Shear || held.no_pull.is_none();
    let each = [By::Shear, By::Pull, By::Both].into_iter().zip(hardest);
    for (by, most) in each.filter(|(by, _)| known(*by)) {
        let harder = |share: f64| most.as_ref().is_none_or(|(most, _)| is_worse(share, *most));
        if !harder(least.share_at_most(by)) || !harder(least.share(by)) {
            continue;
        }
        let exact = Worked { capacity: held.capacity(tie, &least.pull), ..least };
        if harder(exact.share(by)) {
            *most = Some((exact.share(by), exact));
        }
    }
}

/// Whether shear or pull alone is too much: that is told by its own check, and need not be told again of both together.
fn fails_alone(hardest: &Hardest) -> bool {
    [By::Shear, By::Pull].iter().any(|by| hardest[*by as usize].is_some_and(|(share, _)| share > 1.0))
}

/// A verdict on the hardest worked fastener of each script line that fails; where none does, on the hardest of all.
fn judged(
    case: &Case,
    fault: &'static str,
    by: By,
    measure: fn(&Worked, f64) -> Measure,
    told: fn(&Worked, &str) -> String,
    ways: &[Way],
) -> Vec<Verdict> {
    let (analysis, looked) = match (case.analysis(), case.fasteners()) {
        (Ok(analysis), Ok(looked)) => (analysis, looked),
        (Err(why), _) | (_, Err(why)) => return vec![Verdict::not_judged(fault, why)],
    };
    let joints = case.model.joints.iter().zip(&looked.hardest);
    let mut lines: Vec<(&Joint, f64, Worked)> = Vec::new();
    for (joint, hardest) in joints {
        if by == By::Both && fails_alone(hardest) {
            continue;
        }
        let Some((share, worked)) = hardest[by as usize] else { continue };
        match lines.iter_mut().find(|own| own.0.origin == joint.origin) {
            Some(own) if is_worse(share, own.1) => *own = (joint, share, worked),
            Some(_) => {}
            None => lines.push((joint, share, worked)),
        }
    }
    if let Some(why) = analysis.falls().filter(|_| lines.is_empty()) {
        return vec![Verdict::not_judged(fault, why)];
    }
    lines.sort_by(|a, b| b.1.total_cmp(&a.1));
    let failing = lines.iter().take_while(|(_, share, _)| *share > 1.0).count();
    let verdict = |(joint, share, worked): &(&Joint, f64, Worked)| {
        let tie = &analysis.ties()[worked.tie];
        let [first, second] = tie.parts.map(|part| case.model.part(part));
        let item = case.catalogue.item_words(&joint.fastenings[tie.fasteners[0]].item);
        let name = format!("a {item} between `{}` and `{}`", first.name, second.name);
        let measure = measure(worked, *share);
        let timbers = &analysis.models[0].framing.timbers;
        let working = working::working(case, timbers, tie, (by, worked), &measure);
        let verdict = Verdict { working, ..Verdict::measured(fault, measure, Severity::Failure) }
            .about([first, second])
            .at(joint.origin)
            .told(told(worked, &name))
            .governed_by(analysis.situations[worked.situation].name.clone());
        founded(verdict, case, analysis, (by, worked)).remedy(help(by, worked), ways)
    };
    let unvalued = unvalued::told(case, analysis, &looked.unvalued, fault, by);
    lines.iter().take(failing.max(1)).map(verdict).chain(unvalued).collect()
}

/// What helps a fastener that is worked too hard; where its distances leave it no value, more of the same would not.
fn help(by: By, worked: &Worked) -> &'static str {
    if by != By::Pull && worked.capacity.geometry <= 0.0 {
        return "Set it farther from the ends and edges of both parts, and farther from its neighbours, or take thinner ones.";
    }
    "Set one more fastener, or a thicker or longer one."
}

/// Adds what every verdict on fasteners rests on.
fn founded(verdict: Verdict, case: &Case, analysis: &Analysis, (by, worked): (By, &Worked)) -> Verdict {
    let mut verdict = verdict
        .assuming("joints at half and at twice their reckoned stiffness as well")
        .after("NDS-2018 chapters 11 and 12", Status::Read);
    let (capacity, beyond) = (&worked.capacity, &worked.capacity.beyond);
    if by != By::Pull && beyond.thick {
        verdict = verdict.after(
            "distances by the way a bolt pushes: along and across the grain by Hankinson's formula, edges in proportion",
            Status::ProjectChoice,
        );
    }
    if by != By::Pull && capacity.group < 1.0 {
        verdict = verdict.after("NDS-2018 11.3.6, members across a row", Status::FromMemory);
    }
    if by != By::Pull && beyond.stainless {
        verdict = verdict
            .assuming("stainless fasteners bend as those of common steel do; the standard has no figure for them, the maker may")
            .after("bending yield strength of stainless steel, taken as of common steel", Status::FromMemory);
    }
    if by != By::Shear && beyond.head_in_wet {
        verdict = verdict.after("NDS-2018 Table 11.3.3, heads pulled through wet wood", Status::FromMemory);
    }
    if by != By::Shear && beyond.in_end_grain {
        verdict = verdict
            .assuming("screws in end grain hold three quarters as much as in side grain; the standard gives them nothing")
            .after("Wood Handbook chapter 8, end grain", Status::FromMemory);
    }
    verdict.under_loads(case, [&analysis.situations[worked.situation]])
}

/// A load in N and what there is to meet it.
fn force(quantity: &str, load: f64, share: f64) -> Measure {
    let capacity = if share > 0.0 { load / share } else { f64::INFINITY };
    Measure::new(quantity, load, Limit::AtMost(capacity), Unit::Force)
}
