//! Events that a person would do in one go, as steps in words.

use super::events::{Does, Event, Move};
use super::glue;
use super::open_frame::OpenFrame;
use super::reach::Way;
use super::words::{from_where, listed, names, unique_words};
use super::{AssemblyStep, PartMove, StepFastener, gauge, strike, true_up, twice};
use crate::words::{Reading, counted};
use slatwork_base::{Length, sentence};
use slatwork_catalog::Catalogue;
use slatwork_model::joints::{Drive, KINDS};
use slatwork_model::{Feature, FeatureKind, Model, PartId};
use std::collections::HashMap;

pub(crate) struct Drafter<'a> {
    pub(crate) model: &'a Model,
    pub(crate) catalogue: &'a Catalogue,
    pub(crate) ways: &'a [Vec<Vec<Way>>],
    pub(crate) kinds: &'a [usize],
    pub(crate) reading: Reading,
}

/// Moves done in one go.
#[derive(Default)]
struct Draft<'e> {
    moves: Vec<&'e Move>,
}

/// What is told so far.
#[derive(Default)]
struct Told {
    steps: Vec<AssemblyStep>,
    /// What stands, by the name of its assembly.
    standing: HashMap<String, Vec<usize>>,
    /// Assemblies whose diagonals were measured.
    trued: Vec<String>,
    /// Parts that a line was sawn over in place.
    sawn: Vec<usize>,
    /// Parts that were trimmed to fit.
    trimmed: Vec<usize>,
    /// What is read across frames that may stay open, and the index of its step.
    open: Vec<(usize, OpenFrame)>,
}

impl Draft<'_> {
    fn glued(&self, model: &Model) -> usize {
        self.moves.iter().map(|own| glue::glued(model, &own.joints)).sum()
    }
}

impl Drafter<'_> {
    pub(crate) fn steps(&self, events: &[Event]) -> Vec<AssemblyStep> {
        let mut draft = Draft::default();
        let mut told = Told::default();
        for event in events {
            match event {
                Event::Move(own) if self.goes_with(&draft, own) => draft.moves.push(own),
                Event::Move(own) => {
                    self.finish(&mut draft, &mut told);
                    draft.moves.push(own);
                }
                Event::Saw { on, what, parts } => {
                    self.finish(&mut draft, &mut told);
                    told.steps.push(self.sawing(on, what, parts));
                    told.sawn.extend(parts);
                }
                Event::Eyes { on, joints, driven } => {
                    self.finish(&mut draft, &mut told);
                    let at_the_end = std::ptr::eq(event, &events[events.len() - 1]);
                    told.steps.push(self.eyes(on, joints, driven, at_the_end));
                }
            }
        }
        self.finish(&mut draft, &mut told);
        // Where no board closes a frame, its sides are measured as they stand out.
        for (index, open) in told.open {
            let step = &mut told.steps[index];
            step.checks.splice(0..0, (!told.trued.contains(&step.on)).then_some(open.words));
        }
        let mut steps = told.steps;
        steps.extend(self.hanging());
        steps.iter_mut().enumerate().for_each(|(index, step)| step.number = index + 1);
        twice::tell_once(self.model, &mut steps);
        steps
    }

    /// Whether a move belongs to the step in hand: the first part goes with what it takes first, and parts of one kind go
    /// together, as long as the glue stays open.
    fn goes_with(&self, draft: &Draft, own: &Move) -> bool {
        let Some(last) = draft.moves.last() else { return true };
        let first = draft.moves[0];
        if last.on != own.on || own.body.is_some() || last.body.is_some() {
            return false;
        }
        // Held and marked, taken away and cut, brought in: each is a step.
        let stage = |own: &Move| matches!(own.does, Does::Held | Does::TakenAway).then_some(own.does);
        if stage(last) != stage(own) {
            return false;
        }
        if draft.glued(self.model) + glue::glued(self.model, &own.joints) > glue::JOINTS_AT_ONCE {
            return false;
        }
        // What is offered up and trimmed has a step of its own.
        if self.is_fitted(last) != self.is_fitted(own) {
            return false;
        }
        let kind = |own: &Move| own.parts.first().map(|part| self.kinds[*part]);
        // What lies there first, what is put on it, and more of either.
        let on_the_first = first.does == Does::Laid && {
            let mut kinds: Vec<Option<usize>> = draft.moves.iter().map(|own| kind(own)).collect();
            kinds.push(kind(own));
            kinds.sort_unstable();
            kinds.dedup();
            kinds.len() <= 2
        };
        on_the_first || kind(last) == kind(own) || self.is_one_glue_up(draft, own)
    }

    /// Whether joints that clamps close are closed together with those of the step in hand: a frame is glued in one go.
    fn is_one_glue_up(&self, draft: &Draft, own: &Move) -> bool {
        let clamped = |joint: &usize| glue::is_clamped(&self.model.joints[*joint]);
        let before = || draft.moves.iter().flat_map(|own| &own.joints);
        let is_fitted = draft.moves.iter().any(|own| self.is_fitted(own));
        !is_fitted
            && before().next().is_some()
            && !own.joints.is_empty()
            && before().chain(&own.joints).all(clamped)
    }

    fn is_fitted(&self, own: &Move) -> bool {
        own.parts.iter().any(|part| self.model.parts[*part].fit.is_some())
    }

    fn finish(&self, draft: &mut Draft, told: &mut Told) {
        let draft = std::mem::take(draft);
        let Some(first) = draft.moves.first() else { return };
        let stands = told.standing.entry(first.on.clone()).or_default();
        let mut step = self.moving(&draft.moves, stands);
        step.checks.extend(self.trimmed(&draft.moves, &mut told.trimmed));
        if first.body.is_none() {
            let new = [of(&draft.moves, Does::Laid), of(&draft.moves, Does::ComesIn)].concat();
            let is_new = |open: &OpenFrame| {
                let on = |index: usize| told.steps.get(index).is_none_or(|step| step.on == first.on);
                !told.open.iter().any(|(index, other)| on(*index) && open.is_like(other))
            };
            let open = self.open_frame(&new, stands).filter(is_new);
            told.open.extend(open.map(|open| (told.steps.len(), open)));
        }
        for own in draft.moves.iter().filter(|own| matches!(own.does, Does::Laid | Does::ComesIn)) {
            stands.extend(&own.parts);
        }
        let only_laid = stands.len() > 1 && first.body.is_some() && first.does == Does::Laid;
        if !(only_laid || told.trued.contains(&first.on))
            && let Some(words) =
                true_up::diagonals(self.model, first.onto, (stands, &told.sawn), self.reading)
        {
            told.trued.push(first.on.clone());
            // A body that was trued by itself reads the same once it stands.
            let again = told.steps.iter().any(|step| step.checks.contains(&words));
            step.checks.splice(0..0, (!again).then_some(words));
        }
        told.steps.push(step);
    }

    /// What is trimmed in a step: where a part is taken away to be cut, else where it comes in.
    fn trimmed(&self, moves: &[&Move], before: &mut Vec<usize>) -> Vec<String> {
        let parts = [of(moves, Does::TakenAway), of(moves, Does::ComesIn)].concat();
        let new: Vec<usize> = parts.into_iter().filter(|part| !before.contains(part)).collect();
        before.extend(&new);
        new.into_iter().filter_map(|part| self.trimming(part)).collect()
    }

    fn moving(&self, moves: &[&Move], standing: &[usize]) -> AssemblyStep {
        let joints: Vec<usize> = moves.iter().flat_map(|own| own.joints.iter().copied()).collect();
        let driven: Vec<_> = moves.iter().flat_map(|own| own.driven.iter().copied()).collect();
        let fasteners = self.fasteners(&joints);
        let glued = glue::glued(self.model, &joints);
        let mut step = AssemblyStep {
            on: moves[0].on.clone(),
            title: self.trial_title(moves).unwrap_or_else(|| self.title(moves, &joints)),
            text: self.text(moves, standing, &driven, &fasteners),
            parts: moves.iter().flat_map(|own| part_moves(self.model, own)).collect(),
            tools: unique_words([self.cutting_tools(moves), self.tools(&driven, &fasteners)].concat()),
            clamps: joints.iter().map(|joint| glue::clamps(&self.model.joints[*joint])).sum(),
            cure_minutes: if glued > 0 { glue::CLAMP_MINUTES } else { 0 },
            checks: self.checks(&joints),
            fasteners,
            joints,
            ..AssemblyStep::default()
        };
        if step.clamps > 0 {
            step.tools.push(counted(step.clamps, "clamp"));
        }
        step
    }

    fn title(&self, moves: &[&Move], joints: &[usize]) -> String {
        let on = self.shown(&moves[0].on);
        let staying: Vec<&&Move> =
            moves.iter().filter(|own| matches!(own.does, Does::Laid | Does::ComesIn)).collect();
        let coming: Vec<usize> = staying
            .iter()
            .filter(|own| own.does == Does::ComesIn)
            .flat_map(|own| own.parts.iter().copied())
            .collect();
        match staying.as_slice() {
            [only] if only.body.is_some() => {
                let body = only.body.as_deref().unwrap_or_default();
                let doing = if only.does == Does::Laid { "begin with" } else { "set in" };
                format!("{on}: {doing} the {body}")
            }
            [only] if only.does == Does::Laid => format!("{on}: lay {}", names(self.model, &only.parts)),
            _ => {
                let fitted = staying.iter().all(|own| self.is_fitted(own));
                let verb = if fitted { "fit" } else { self.verb(joints) };
                format!("{on}: {verb} {}", self.joined(&coming, joints))
            }
        }
    }

    /// The title of a step of a temporary fit.
    fn trial_title(&self, moves: &[&Move]) -> Option<String> {
        let first = moves.first()?;
        let mut parts = unique(moves.iter().flat_map(|own| &own.parts));
        parts.sort_unstable();
        let what = names(self.model, &parts);
        let it = if parts.len() > 1 { "them" } else { "it" };
        let fitted = moves.iter().all(|own| self.is_fitted(own));
        let words = match first.does {
            Does::Held if fitted => format!("offer up {what}"),
            Does::Held => format!("hold {what} in place and mark {it}"),
            Does::TakenAway if fitted => format!("take {what} away and trim {it}"),
            Does::TakenAway => format!("take {what} away and cut {it}"),
            Does::Laid | Does::ComesIn => return None,
        };
        Some(format!("{}: {words}", self.shown(&first.on)))
    }

    /// An assembly's name in a title: the whole piece by its own.
    fn shown(&self, on: &str) -> String {
        let whole = self.model.groups.first().is_some_and(|group| group.name == on);
        sentence(if whole { &self.model.title } else { on })
    }

    /// "`slat` to `seat support`"; "`rail`, `stile 2` and `stile` together" where not all that come are joined to what stands.
    fn joined(&self, coming: &[usize], joints: &[usize]) -> String {
        let met = |joint: &usize| self.model.joints[*joint].parts.iter().map(|part| part.0);
        let others = joints.iter().flat_map(met).filter(|part| !coming.contains(part));
        let others = unique(&others.collect::<Vec<_>>());
        let is_joined = |part: &usize| {
            let own = joints.iter().filter(|joint| met(joint).any(|own| own == *part));
            own.flat_map(met).any(|other| others.contains(&other))
        };
        if others.is_empty() {
            names(self.model, coming)
        } else if coming.iter().all(is_joined) {
            format!("{} to {}", names(self.model, coming), names(self.model, &others))
        } else {
            format!("{} together", names(self.model, &[coming, &others].concat()))
        }
    }

    fn verb(&self, joints: &[usize]) -> &'static str {
        let first = joints.first().map(|joint| self.model.joints[*joint].kind.as_str());
        KINDS.iter().find(|kind| Some(kind.name) == first).map_or("set", |kind| kind.verb)
    }

    fn text(
        &self,
        moves: &[&Move],
        standing: &[usize],
        driven: &[(usize, usize, usize)],
        fasteners: &[StepFastener],
    ) -> Vec<String> {
        let joints: &[usize] = &moves.iter().flat_map(|own| own.joints.iter().copied()).collect::<Vec<_>>();
        let mut text = Vec::new();
        let laid: Vec<usize> = of(moves, Does::Laid);
        if let Some(first) = moves.iter().find(|own| own.does == Does::Laid) {
            text.push(match &first.body {
                Some(body) => format!("Stand the {body} where it is to be worked on."),
                None => format!("Lay {} on the bench.", names(self.model, &laid)),
            });
        }
        text.extend(self.holding(moves, standing));
        text.extend(self.taking_away(moves));
        text.extend(self.marking(moves));
        // Dowels are out of reach once the boards meet: they stand in the one before the other comes over them.
        let (dowels, others): (Vec<_>, Vec<_>) =
            fasteners.iter().cloned().partition(|own| own.drive == Drive::Hand);
        text.extend(self.transferring(joints));
        text.extend(self.drilling(joints, &dowels));
        if joints.iter().any(|joint| self.model.joints[*joint].glue.is_some()) {
            text.push(format!(
                "Spread glue on both faces of {}; all must be closed within {} minutes, half of that in the sun.",
                counted(glue::glued(self.model, joints), "joint"),
                glue::OPEN_MINUTES
            ));
        }
        text.extend(dowels.iter().map(|own| self.dowelling(own, joints)));
        text.extend(self.coming(moves));
        text.extend(self.places(moves, standing));
        text.extend(self.sprung(&of(moves, Does::ComesIn)));
        text.extend(self.drilling(joints, &others));
        text.extend(others.iter().map(|own| self.driving(own, joints)));
        text.extend(self.fewer(joints));
        text.extend(self.beside(joints));
        text.extend(self.open_heads(joints));
        text.extend(self.odd_ways(driven));
        if glue::glued(self.model, joints) > 0 {
            text.push(format!(
                "Leave it {} minutes before the next step, and {} hours before it is stressed or sat on.",
                glue::CLAMP_MINUTES,
                glue::CURE_HOURS
            ));
        }
        text
    }

    /// What should have been marked from parts that come later, and what is bored along lines.
    fn marking(&self, moves: &[&Move]) -> Vec<String> {
        let mut late: Vec<(&[usize], Vec<usize>)> = Vec::new();
        let stays = |own: &&&Move| matches!(own.does, Does::Laid | Does::ComesIn);
        for own in moves.iter().filter(stays).filter(|own| !own.marked.is_empty()) {
            match late.iter_mut().find(|(from, _)| *from == own.marked) {
                Some((_, parts)) => parts.extend(&own.parts),
                None => late.push((&own.marked, own.parts.clone())),
            }
        }
        late.iter().map(|(from, parts)| self.marked_before(from, parts)).collect()
    }

    /// What is marked from parts that can only come later.
    fn marked_before(&self, from: &[usize], parts: &[usize]) -> String {
        format!(
            "{} can only come later: hold it in its place by itself to mark {} from it, or lay the notch out from the drawing.",
            sentence(&names(self.model, from)),
            names(self.model, parts)
        )
    }

    fn coming(&self, moves: &[&Move]) -> Vec<String> {
        let mut told: Vec<(String, Vec<usize>, Option<String>)> = Vec::new();
        for own in moves.iter().filter(|own| own.does == Does::ComesIn) {
            let from = own.out.map_or(String::from("into its place"), |(out, _)| from_where(out));
            match told.last_mut() {
                Some((last, parts, None)) if *last == from && own.body.is_none() => parts.extend(&own.parts),
                _ => told.push((from, own.parts.clone(), own.body.clone())),
            }
        }
        let mut text: Vec<String> = told
            .into_iter()
            .map(|(from, parts, body)| match body {
                Some(body) => format!("Bring the {body} in as one, {from}."),
                None => format!("Bring in {}, {from}.", names(self.model, &parts)),
            })
            .collect();
        if let Some(own) = moves.iter().find(|own| own.singly.is_some()) {
            let group = own.singly.and_then(|group| self.model.groups.get(group));
            let group = group.map_or("group", |group| group.name.as_str());
            text.push(format!(
                "What is brought in here belongs to the {group} and is put on singly: there is no way or no room for tools \
                 with the {group} as one."
            ));
        }
        text
    }

    fn sprung(&self, parts: &[usize]) -> Option<String> {
        let is_spring = |own: &Feature| matches!(own.kind, FeatureKind::Spring { .. });
        let sprung = parts.iter().filter(|part| self.model.parts[**part].features.iter().any(is_spring));
        let what = match sprung.count() {
            0 => return None,
            1 => "it",
            _ => "each",
        };
        Some(format!("Bend {what} down to its bearers as it is fixed, the middle first."))
    }

    fn checks(&self, joints: &[usize]) -> Vec<String> {
        let mut checks: Vec<String> = Vec::new();
        let mut told: Vec<String> = Vec::new();
        for joint in joints {
            let Some(held) = gauge::gauge(self.model, &self.model.joints[*joint]) else { continue };
            let angle = held.angle.to_string();
            if !told.contains(&angle) {
                let [one, other] = held.between;
                checks.push(format!("Hold {angle} between {one} and {other} with a bevel gauge."));
                told.push(angle);
            }
        }
        checks
    }

    fn sawing(&self, on: &str, what: &str, parts: &[usize]) -> AssemblyStep {
        let over = names(self.model, parts);
        let mut text = strike::struck(self.model, what, parts, self.reading).unwrap_or_else(|| {
            vec![format!("Strike the {what} over {over} in place, from the drawing or the template.")]
        });
        text.push(String::from(
            "Saw outside the line where it can be done in place (number what has to come off, saw it, and put it back), and \
             fair it to the line over all of them together.",
        ));
        AssemblyStep {
            on: on.to_string(),
            title: format!("{}: saw the {what} over {over}", self.shown(on)),
            text,
            tools: ["straightedge", "batten", "jigsaw", "block plane"].map(String::from).to_vec(),
            ..AssemblyStep::default()
        }
    }

    fn eyes(
        &self,
        on: &str,
        joints: &[usize],
        driven: &[(usize, usize, usize)],
        at_the_end: bool,
    ) -> AssemblyStep {
        let parts = unique(
            &joints
                .iter()
                .flat_map(|joint| &self.model.joints[*joint].parts)
                .map(|part| part.0)
                .collect::<Vec<_>>(),
        );
        let fasteners = self.fasteners(joints);
        let hung_by =
            if self.model.joints.iter().filter(|joint| super::is_hanger(joint)).count() > joints.len() {
                "the eyes that are set and the holes of those to come"
            } else {
                "the holes of the eyes"
            };
        let mut text = vec![if at_the_end {
            format!(
                "Hang the piece low by ropes through {hung_by} and see that it hangs level; then set these."
            )
        } else {
            String::from("Set these now: later there is no room for a wrench on their nuts.")
        }];
        text.extend(
            fasteners
                .iter()
                .map(|own| format!("Set {}, the shoulder hard against the wood.", self.fastener_words(own))),
        );
        AssemblyStep {
            on: on.to_string(),
            title: format!("{}: set the eyes in {}", self.shown(on), names(self.model, &parts)),
            text,
            joints: joints.to_vec(),
            tools: self.tools(driven, &fasteners),
            fasteners,
            ..AssemblyStep::default()
        }
    }

    /// Chains last.
    fn hanging(&self) -> Option<AssemblyStep> {
        let hanging = self.model.hanging.as_ref().filter(|own| !own.suspensions.is_empty())?;
        let chains: Vec<String> = hanging.suspensions.iter().map(|own| format!("`{}`", own.name)).collect();
        let joints = self.model.joints.iter().enumerate();
        let joints = joints.filter(|(_, joint)| joint.patch.is_none() && joint.fastenings.is_empty());
        Some(AssemblyStep {
            on: self.model.groups.first().map_or_else(String::new, |group| group.name.clone()),
            title: String::from("Hang it"),
            text: vec![
                String::from(
                    "What it hangs from is no part of this plan: have a qualified person (designer, engineer, experienced \
                     carpenter) confirm the member, its bearings and the fixing before anything is hung.",
                ),
                format!(
                    "Hang it low first by {}, a hand above a pad, nobody on it or under it.",
                    listed(&chains)
                ),
                String::from(
                    "Take up links until it hangs level and falls to the rear as drawn; then raise it to its height and close \
                     every link.",
                ),
                String::from(
                    "Use rated hardware only, nothing open in the line; look at every eye, link and nut again after a week, and \
                     monthly in season.",
                ),
            ],
            joints: joints.map(|(index, _)| index).collect(),
            tools: vec![String::from("wrench for the links"), String::from("level")],
            ..AssemblyStep::default()
        })
    }
}

/// Parts that something happens to, each once.
pub(super) fn of(moves: &[&Move], does: Does) -> Vec<usize> {
    let parts: Vec<usize> =
        moves.iter().filter(|own| own.does == does).flat_map(|own| own.parts.iter().copied()).collect();
    unique(&parts)
}

pub(super) fn unique<'a>(parts: impl IntoIterator<Item = &'a usize>) -> Vec<usize> {
    let mut found: Vec<usize> = Vec::new();
    for &part in parts {
        found.extend((!found.contains(&part)).then_some(part));
    }
    found
}

fn part_moves<'e>(model: &'e Model, own: &'e Move) -> impl Iterator<Item = PartMove> + 'e {
    own.parts.iter().map(|&part| PartMove {
        part: PartId(part),
        name: model.parts[part].name.clone(),
        does: own.does,
        body: own.body.clone(),
        out: own.out.map(|(out, _)| out),
        start: Length::mm(own.out.map_or(0.0, |(_, start)| start)),
        joints: own.joints.clone(),
        marked_from: match own.does {
            Does::Held | Does::TakenAway => {
                own.marked.iter().map(|from| model.parts[*from].name.clone()).collect()
            }
            Does::Laid | Does::ComesIn => Vec::new(),
        },
    })
}
