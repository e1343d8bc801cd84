//! A piece under every load case, at its joints' stiffness, at half and at twice of it.

use super::build::Framing;
use super::chains::METRE;
use super::loads::{Level, Push, Situation, situations};
use super::looks::Looks;
use super::moving::moved;
use super::posture::hung;
use super::pushing::pushed;
use super::seating::Seating;
use super::steady::steadied;
use super::stiffnesses::{STIFFNESSES, Shared, Stiffnesses};
use super::{Ground, Kept, Tie};
use crate::Case;
use crate::statics::frame::{
    Along, Answer, Combination, LoadCase, MemberLoad, NodalLoad, Prepared, SectionForces, Solution, Spread,
};
use crate::statics::swing::{Posture, STANDARD_GRAVITY};
use slatwork_base::Diagnostic;
use slatwork_model::{Model, PartId};
use slatwork_solid::DVec3;
use std::rc::Rc;
use std::sync::Arc;
use std::thread::Builder;

/// A piece under every load case.
#[derive(Debug)]
pub struct Analysis<'a> {
    /// The piece.
    pub model: &'a Model,
    /// Where people sit.
    pub seating: Seating<'a>,
    /// Loads of the use level.
    pub level: Level,
    /// The load cases.
    pub situations: Vec<Situation>,
    /// The frame under them, once for each of [`STIFFNESSES`].
    pub models: Vec<Solved>,
    /// What does not depend on loads.
    kept: Rc<Kept>,
}

/// Why a piece cannot be analysed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Unanalysed {
    /// Something is not known, in words.
    Unknown(String),
    /// It turns over under a load case, in words.
    TurnsOver(String),
}

impl Unanalysed {
    /// In words.
    pub fn why(&self) -> &str {
        match self {
            Unanalysed::Unknown(why) | Unanalysed::TurnsOver(why) => why,
        }
    }
}

impl From<String> for Unanalysed {
    fn from(why: String) -> Self {
        Unanalysed::Unknown(why)
    }
}

/// The frame of a piece solved at one stiffness of its joints.
#[derive(Debug)]
pub struct Solved {
    /// The frame, its joints as stiff as reckoned.
    pub framing: Arc<Framing>,
    /// Answers in the order of the situations.
    pub answers: Vec<Answer>,
    /// Its loads, the same at each stiffness.
    loading: Arc<Loading>,
    /// What each bar of a board stays within, one for each load duration factor.
    envelopes: Vec<Envelope>,
}

/// All loads of a frame.
#[derive(Debug)]
struct Loading {
    cases: Vec<LoadCase>,
    /// A combination for each situation.
    combinations: Vec<Combination>,
    /// Loads of each member, with their cases in order.
    loads: Vec<Vec<(usize, Spread)>>,
    /// Of each member, m.
    lengths: Vec<f64>,
    /// Of each situation, what each member bears between its ends, N, never less than its resultant.
    amounts: Vec<Vec<f64>>,
}

impl Loading {
    /// What a member bears in a situation.
    fn of(&self, member: usize, situation: usize) -> impl Iterator<Item = Spread> {
        let loads = &self.loads[member];
        self.combinations[situation].factors.iter().filter(|(_, factor)| *factor != 0.0).flat_map(
            |&(case, factor)| {
                let from = loads.partition_point(|(own, _)| *own < case);
                let own = loads[from..].iter().take_while(move |(own, _)| *own == case);
                own.map(move |(_, spread)| spread.times(factor))
            },
        )
    }
}

/// Amounts that no force and no moment exceeds under any of the situations of one load duration factor.
#[derive(Debug)]
pub(super) struct Envelope {
    /// The load duration factor.
    pub(super) duration: f64,
    /// Of each bar; nothing of those that are no board.
    pub(super) bars: Vec<SectionForces>,
}

/// Forces of a tie: pull apart, along, across in N; turn about normal, along, across in N mm.
pub type TieForces = [f64; 6];

/// Analyses a piece.
///
/// # Errors
/// Why it cannot be.
pub fn analyse<'a>(case: &Case<'a>) -> Result<Analysis<'a>, Unanalysed> {
    let seated = || String::from("no seat is declared: nobody knows what carries people");
    let seating = Seating::of(case.model).ok_or_else(seated)?;
    let level = case.level();
    let frames = case.kept.frame(case).as_ref().map_err(Clone::clone)?;
    let framing = &frames.framing;
    let mut situations = situations(&seating, level);
    steadied(case, &seating, framing, &mut situations);
    situations.extend(pushed(case, &seating, framing));
    situations.extend(moved(case, &seating, framing));
    let loading = Arc::new(loading(case, &seating, &situations, framing)?);
    let loads =
        ready(frames, 0)?.loads(&loading.cases, &loading.combinations).map_err(|found| first(&found))?;
    let answers = at_each_stiffness(case.on_threads, |which| Ok(ready(frames, which)?.under(&loads)))?;
    let solved = |answers| {
        let (framing, loading) = (Arc::clone(framing), Arc::clone(&loading));
        Solved { framing, answers, loading, envelopes: Vec::new() }.enveloped(&situations)
    };
    let models = answers.into_iter().map(solved).collect();
    Ok(Analysis { model: case.model, seating, level, situations, models, kept: Rc::clone(&case.kept) })
}

/// The frame at one of [`STIFFNESSES`], by index.
fn ready(frames: &Stiffnesses, which: usize) -> Result<&Prepared<Shared>, String> {
    frames.at(which).as_ref().map_err(|found| first(found))
}

fn first(found: &[Diagnostic]) -> String {
    found.first().map_or(String::new(), |first| first.message.clone())
}

/// What comes of each of [`STIFFNESSES`], in their order.
fn at_each_stiffness<T: Send>(
    on_threads: bool,
    solve: impl Fn(usize) -> Result<T, String> + Sync,
) -> Result<Vec<T>, String> {
    if !on_threads {
        return (0..STIFFNESSES.len()).map(solve).collect();
    }
    std::thread::scope(|scope| {
        let solve = &solve;
        let start = |which| (which, Builder::new().spawn_scoped(scope, move || solve(which)));
        let others: Vec<_> = (1..STIFFNESSES.len()).map(start).collect();
        let first = solve(0);
        // Where there is no thread to be had, it is done here.
        let others = others.into_iter().map(|(which, thread)| match thread {
            Ok(thread) => thread.join().unwrap_or_else(|panic| std::panic::resume_unwind(panic)),
            Err(_) => solve(which),
        });
        std::iter::once(first).chain(others).collect()
    })
}

/// The load cases, with a combination for each situation.
fn loading(
    case: &Case,
    seating: &Seating,
    situations: &[Situation],
    framing: &Framing,
) -> Result<Loading, Unanalysed> {
    let mut cases = [DVec3::X, DVec3::Y, DVec3::Z].map(|axis| self_weight(case, framing, axis)).to_vec();
    let mut combinations = Vec::new();
    // A seat that hangs under one load finds its posture under another from there.
    let mut before = None;
    for situation in situations {
        let (gravity, load) = case_of(case, seating, situation, framing, &mut before)?;
        let factors = vec![(0, gravity.x), (1, gravity.y), (2, gravity.z), (cases.len(), 1.0)];
        cases.push(LoadCase { name: situation.name.clone(), ..load });
        combinations.push(Combination { name: situation.name.clone(), factors });
    }
    let mut loads = vec![Vec::new(); framing.frame.members.len()];
    for (case, own) in cases.iter().enumerate() {
        own.members.iter().for_each(|load| loads[load.member].push((case, load.spread)));
    }
    let lengths: Vec<f64> = (0..loads.len()).map(|bar| length(framing, bar)).collect();
    let amounts = |combination: &Combination| {
        let mut amounts = vec![0.0; loads.len()];
        for &(case, factor) in &combination.factors {
            for load in &cases[case].members {
                amounts[load.member] += amount(&load.spread, lengths[load.member]) * factor.abs();
            }
        }
        amounts
    };
    let amounts = combinations.iter().map(amounts).collect();
    Ok(Loading { cases, combinations, loads, lengths, amounts })
}

/// Direction of weight, and what people do.
fn case_of(
    case: &Case,
    seating: &Seating,
    situation: &Situation,
    framing: &Framing,
    before: &mut Option<Posture>,
) -> Result<(DVec3, LoadCase), Unanalysed> {
    if let Ground::Feet(_) = framing.ground {
        return Ok((-DVec3::Z * situation.about.weight(), carried(case, framing, &situation.pushes)));
    }
    let (hung, posture) = hung(case, seating, &framing.timbers, situation, before.as_ref())?;
    before.get_or_insert(posture);
    let mut load = carried(case, framing, &hung.pushes);
    let pull =
        |(node, force): (&usize, &DVec3)| NodalLoad { node: *node, force: *force, moment: DVec3::ZERO };
    load.nodal.extend(framing.ground_nodes.iter().zip(&hung.chains).map(pull));
    Ok((hung.gravity, load))
}

/// Mass of a part, kg.
pub(crate) fn mass(case: &Case, framing: &Framing, part: PartId) -> f64 {
    case.model.part(part).solid.volume() / 1e9 * framing.timbers.of(part).density
}

/// Weight of every board along its bars, for gravity along an axis.
fn self_weight(case: &Case, framing: &Framing, axis: DVec3) -> LoadCase {
    let mut load = LoadCase { name: String::from("its own weight"), ..LoadCase::default() };
    for chain in framing.chains.iter().flatten() {
        let volume = |bar: usize| framing.frame.members[bar].section.area * length(framing, bar);
        let whole: f64 = chain.bars.clone().map(volume).sum();
        let weight = mass(case, framing, chain.part) * STANDARD_GRAVITY;
        load.members.extend(chain.bars.clone().map(|member| {
            let share = framing.frame.members[member].section.area / whole;
            MemberLoad { member, spread: Spread::Uniform(axis * (weight * share)) }
        }));
    }
    load
}

/// Amount of a load on a bar, N: never less than its resultant.
fn amount(spread: &Spread, length: f64) -> f64 {
    match *spread {
        Spread::Point { force, .. } => force.length(),
        Spread::Uniform(load) => load.length() * length,
        Spread::Trapezoid { from, to, begins, ends } => begins.length().max(ends.length()) * (to - from),
    }
}

fn length(framing: &Framing, bar: usize) -> f64 {
    let [start, end] = framing.frame.members[bar].ends.map(|node| framing.frame.nodes[node].at);
    start.distance(end)
}

/// Pushes as loads on bars: a force on the middle line, and what it lacks in moment on the nearer node. A part that is left out
/// carries nothing.
fn carried(case: &Case, framing: &Framing, pushes: &[Push]) -> LoadCase {
    let mut load = LoadCase::default();
    for push in pushes {
        let Some(chain) = framing.chain(push.part) else { continue };
        let x = case.model.part(push.part).pose.inverse().transform_point3(push.at).x;
        let (member, share) = chain.bar(x);
        let at = share * length(framing, member);
        load.members.push(MemberLoad { member, spread: Spread::Point { at, force: push.force } });
        let ends = framing.frame.members[member].ends;
        let [start, end] = ends.map(|node| framing.frame.nodes[node].at);
        let beside = push.at / METRE - start.lerp(end, share);
        let node = if share < 0.5 { ends[0] } else { ends[1] };
        load.nodal.push(NodalLoad { node, force: DVec3::ZERO, moment: beside.cross(push.force) });
    }
    load
}

impl Solved {
    /// The solution of a situation, if the piece stands under it.
    pub fn solution(&self, situation: usize) -> Option<&Solution> {
        self.answers[situation].outcome.as_ref().ok()
    }

    /// A bar under a situation.
    pub fn along(&self, bar: usize, situation: usize) -> Option<Along> {
        let solution = self.solution(situation)?;
        Some(Along::under(&self.framing.frame, solution, bar, self.loading.of(bar, situation)))
    }

    /// Length of a bar, m.
    pub(super) fn length(&self, bar: usize) -> f64 {
        self.loading.lengths[bar]
    }

    /// Amounts that no force and no moment in a bar exceeds under a situation: those at its ends, more by what the loads between
    /// them may add.
    pub fn bounds(&self, bar: usize, situation: usize) -> Option<SectionForces> {
        let ends = self.solution(situation)?.end_forces.at(bar);
        let between = self.loading.amounts[situation][bar];
        let larger = |at: usize| {
            let block = |end: usize| DVec3::from_slice(&ends[6 * end + at..6 * end + at + 3]).abs();
            block(0).max(block(1))
        };
        Some(SectionForces {
            force: larger(0) + between,
            moment: larger(3) + between * (self.length(bar) / 4.0),
        })
    }

    /// With its envelopes.
    fn enveloped(mut self, situations: &[Situation]) -> Solved {
        for (situation, own) in situations.iter().enumerate() {
            self.widen(situation, own.about.duration());
        }
        self
    }

    /// Takes the bounds of a situation into its envelope.
    fn widen(&mut self, situation: usize, duration: f64) {
        let at = self.envelopes.iter().position(|own| own.duration == duration).unwrap_or_else(|| {
            let nothing = SectionForces { force: DVec3::ZERO, moment: DVec3::ZERO };
            self.envelopes.push(Envelope { duration, bars: vec![nothing; self.loading.loads.len()] });
            self.envelopes.len() - 1
        });
        let framing = Arc::clone(&self.framing);
        for bar in framing.chains.iter().flatten().flat_map(|chain| chain.bars.clone()) {
            if let Some(bounds) = self.bounds(bar, situation) {
                let own = &mut self.envelopes[at].bars[bar];
                own.force = own.force.max(bounds.force);
                own.moment = own.moment.max(bounds.moment);
            }
        }
    }

    /// What each bar of a board stays within, one for each load duration factor; of other bars they say nothing.
    pub(super) fn envelopes(&self) -> &[Envelope] {
        &self.envelopes
    }

    /// What passes through a tie under a situation.
    pub fn tie_forces(&self, tie: usize, situation: usize) -> Option<TieForces> {
        let bar = self.framing.tie_bars[tie]?;
        let ends = self.solution(situation)?.end_forces.at(bar);
        // What the start feels is against what it does; moments in N m.
        Some(std::array::from_fn(|freedom| -ends[freedom] * if freedom < 3 { 1.0 } else { METRE }))
    }
}

impl Analysis<'_> {
    /// What the piece gives way under as a whole, so that no board and no joint can be judged.
    pub fn falls(&self) -> Option<String> {
        let fallen = self.models.iter().flat_map(|model| &model.answers);
        fallen
            .filter_map(|answer| Some((answer, answer.outcome.as_ref().err()?.first()?)))
            .map(|(answer, why)| format!("under {}: {}", answer.combination, why.message))
            .next()
    }

    /// For each bar of a part, its sections.
    pub(super) fn looks(&self, part: PartId) -> Option<&[Looks]> {
        self.kept.looks(self.model, &self.models[0].framing, part)
    }

    /// Joints as springs.
    pub fn ties(&self) -> &[Tie] {
        &self.models[0].framing.ties
    }
}
