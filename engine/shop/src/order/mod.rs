//! The order of assembly: planned from groups, joints, solids and the time of each feature.
//!
//! | file | what |
//! |---|---|
//! | `yard.rs` | parts as bodies that are moved, and what stands in their way |
//! | `reach.rs` | tools' room behind fasteners |
//! | `needs.rs` | what has to come before what, and what should |
//! | `search.rs` | taking the piece apart |
//! | `events.rs` | the plan as a row of events |
//! | `steps.rs` | events a person would do in one go, as steps |
//! | `fixing.rs` | what is drilled, cut to marks and driven in a step, and with which tools |
//! | `places.rs` | where a part sits on what it meets |
//! | `drawn.rs` | boards as drawn, and the sides that a tape is hooked on |
//! | `trial.rs` | temporary fits: holding, marking, taking away, trimming |
//! | `strike.rs` | lines struck over parts that stand |
//! | `twice.rs` | equal sub-assemblies told once |
//! | `words.rs` | a builder's words |
//! | `glue.rs` | open time, clamps, cure |
//! | `true_up.rs` | diagonals |
//! | `gauge.rs` | angles held with a bevel gauge |
//! | `open_frame.rs` | what is read across frames that stay open |
//! | `faults.rs` | what cannot be put together, as findings |
//! | `table.rs` | [`Assembly`] as plain tables |

mod drawn;
mod events;
mod faults;
mod fixing;
mod gauge;
pub(crate) mod glue;
mod needs;
mod open_frame;
mod places;
mod reach;
mod search;
mod steps;
mod strike;
mod table;
mod trial;
mod true_up;
mod twice;
mod words;
mod yard;

pub use events::Does;
pub use yard::{MOST_TRIALS, SLIDING};

use crate::words::Reading;
use events::{Event, Teller};
use reach::Way;
use search::{Fault, Search};
use slatwork_base::{Diagnostic, Length};
use slatwork_catalog::Catalogue;
use slatwork_model::joints::Drive;
use slatwork_model::{Model, PartId};
use slatwork_solid::DVec3;
use std::collections::HashMap;
use yard::Yard;

/// How a piece is put together.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Assembly {
    /// The maker's own words, in the order of the script.
    pub said: Vec<String>,
    /// The steps in order: sub-assemblies first.
    pub steps: Vec<AssemblyStep>,
    /// What cannot be put together as asked.
    pub findings: Vec<Diagnostic>,
}

/// One step.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct AssemblyStep {
    /// From 1.
    pub number: usize,
    /// What is worked on: the name of a group, or the whole piece.
    pub on: String,
    /// What it is about, in a line.
    pub title: String,
    /// What to do, a sentence each.
    pub text: Vec<String>,
    /// Parts moved, in order.
    pub parts: Vec<PartMove>,
    /// Joints made, by their index in the model.
    pub joints: Vec<usize>,
    /// Fasteners driven, of a kind and length together.
    pub fasteners: Vec<StepFastener>,
    /// Tools at hand.
    pub tools: Vec<String>,
    /// Clamps that glued joints take.
    pub clamps: usize,
    /// Minutes in clamps before the next step; nothing glued, none.
    pub cure_minutes: usize,
    /// Checks for true.
    pub checks: Vec<String>,
}

/// One part moved.
#[derive(Clone, Debug, PartialEq)]
pub struct PartMove {
    /// The part.
    pub part: PartId,
    /// Its name.
    pub name: String,
    /// What happens to it.
    pub does: Does,
    /// The body it moves in, by the name of the assembly that was built of it; `None` when it moves alone.
    pub body: Option<String>,
    /// Unit direction from its place to where it starts; `None` for what lies there first or has no way.
    pub out: Option<DVec3>,
    /// How far from its place it starts.
    pub start: Length,
    /// Joints made with it, by their index.
    pub joints: Vec<usize>,
    /// Names of the parts that it is marked from while it is held, and cut to once it is taken away.
    pub marked_from: Vec<String>,
}

/// Fasteners of a kind and length.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StepFastener {
    /// Catalogue id.
    pub item: String,
    /// What it is called.
    pub name: String,
    /// Length.
    pub length: Length,
    /// What sets it.
    pub drive: Drive,
    /// Whether a nut holds it beyond the wood.
    pub takes_nut: bool,
    /// How many.
    pub count: usize,
    /// Holes drilled for it in this step: what and which drill, each once. Those made at the bench are in the hole list.
    pub drills: Vec<(String, Length)>,
}

/// Plans the order of assembly.
///
/// Every part comes in along a straight line without passing through what stands there by then, every fastener has room for
/// its tool, and rules of the script are kept. What cannot be done so is a finding (`no-way-in`, `driver-cannot-reach`,
/// `bolt-cannot-be-put-in`, `wrench-cannot-reach`, `order-cannot-be`, `order-not-planned`), and the plan goes on as if it could.
pub fn assembly(model: &Model, catalogue: &Catalogue, reading: impl Into<Reading>) -> Assembly {
    assembly_within(model, catalogue, reading.into(), MOST_TRIALS)
}

/// The same with so many trials of one part past another at most: what is not planned by then is laid in the order of the parts.
pub fn assembly_within(
    model: &Model,
    catalogue: &Catalogue,
    reading: Reading,
    most_trials: usize,
) -> Assembly {
    let said = model.steps.iter().map(|step| step.text.clone()).collect();
    if model.parts.is_empty() {
        return Assembly { said, ..Assembly::default() };
    }
    let yard = Yard::new(model, most_trials);
    let named: HashMap<&str, usize> =
        model.parts.iter().map(|part| (part.name.as_str(), part.id.0)).collect();
    let kinds = needs::kinds(model);
    let ranks = needs::ranks(model, &kinds);
    let needs = needs::needs(model, &named);
    let ways: Vec<Vec<Vec<Way>>> = model
        .joints
        .iter()
        .map(|joint| joint.fastenings.iter().map(|one| reach::ways(model, catalogue, &yard, one)).collect())
        .collect();
    let mut search = Search::new(model, &yard, &ways, &ranks, &needs);
    let all: Vec<usize> = (0..model.parts.len()).collect();
    let build = search.plan(&all);
    let mut teller = Teller::new(model, &search, &named, &kinds);
    let whole = model.groups.first().map_or("piece", |group| group.name.as_str());
    teller.tell(&build, whole);
    let mut events = teller.events;
    let mut troubles = search.faults.clone();
    set_eyes(model, &search, &mut events, &mut troubles);
    let teller = steps::Drafter { model, catalogue, ways: &ways, kinds: &kinds, reading };
    let steps = teller.steps(&events);
    let findings = faults::findings(model, catalogue, &steps, &troubles);
    Assembly { said, steps, findings }
}

/// Whether a joint is an eye through one board.
fn is_hanger(joint: &slatwork_model::joints::Joint) -> bool {
    joint.patch.is_none() && !joint.fastenings.is_empty()
}

/// Eyes are set as late as there is room for it: the swing is tried for balance, hung by ropes through the holes, before they are set.
fn set_eyes(model: &Model, search: &Search, events: &mut Vec<Event>, troubles: &mut Vec<Fault>) {
    let eyes = model.joints.iter().enumerate().filter(|(_, joint)| is_hanger(joint));
    let mut settings: Vec<(usize, String, usize)> = Vec::new();
    for (index, joint) in eyes {
        let mut standing: HashMap<&str, Vec<bool>> = HashMap::new();
        let (mut last, mut free) = (None, None);
        for (at, event) in events.iter().enumerate() {
            let Event::Move(own) = event else { continue };
            if matches!(own.does, Does::Held | Does::TakenAway) {
                continue;
            }
            let stands = standing.entry(&own.on).or_insert_with(|| vec![false; model.parts.len()]);
            own.parts.iter().for_each(|&part| stands[part] = true);
            if !joint.parts.iter().all(|part| stands[part.0]) {
                continue;
            }
            last = Some((at, own.on.clone()));
            let reached = |ways: &Vec<Way>| ways.iter().any(|way| way.is_free(stands));
            if search.ways[index].iter().all(reached) {
                free = last.clone();
            }
        }
        let stands = vec![true; model.parts.len()];
        if free.is_none() {
            for (fastening, ways) in search.ways[index].iter().enumerate() {
                if let Some((tight, rooms)) = reach::tightest(ways, search.yard, &stands) {
                    troubles.push(Fault::NoReach { joint: index, fastening, tight, rooms });
                }
            }
        }
        if let Some((at, on)) = free.or(last) {
            settings.push((at, on, index));
        }
    }
    settings.sort_by_key(|(at, _, index)| (std::cmp::Reverse(*at), *index));
    let mut rest = &settings[..];
    while let Some((at, on, _)) = rest.first() {
        let same = rest.iter().take_while(|(own, ..)| own == at).count();
        let joints: Vec<usize> = rest[..same].iter().map(|(_, _, joint)| *joint).collect();
        let driven = joints.iter().flat_map(|&joint| {
            (0..model.joints[joint].fastenings.len()).map(move |fastening| (joint, fastening, 0))
        });
        let event = Event::Eyes { on: on.clone(), driven: driven.collect(), joints };
        events.insert(at + 1, event);
        rest = &rest[same..];
    }
}
