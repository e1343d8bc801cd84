//! The plan as a row of events: bodies laid, held and taken away, brought in; what is sawn in place.

use super::needs::marked_from;
use super::search::{Arrival, Build, Driven, Search};
use super::trial::beyond_trim;
use slatwork_model::{Feature, FeatureKind, Joint, Model, When};
use slatwork_solid::DVec3;
use std::collections::HashMap;

/// What happens to a body.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Does {
    /// Lies there first.
    Laid,
    /// Is held in its place on trial, to be marked.
    Held,
    /// Is taken away again to be cut.
    TakenAway,
    /// Comes in to stay.
    ComesIn,
}

impl Does {
    /// The word for it in tables.
    pub fn word(self) -> &'static str {
        match self {
            Does::Laid => "laid",
            Does::Held => "held",
            Does::TakenAway => "taken away",
            Does::ComesIn => "comes in",
        }
    }
}

/// A body moved.
#[derive(Clone, Debug)]
pub(crate) struct Move {
    /// The assembly it comes to.
    pub(crate) on: String,
    /// Group of that assembly.
    pub(crate) onto: usize,
    pub(crate) parts: Vec<usize>,
    /// The name it moves under, when it is more than a part.
    pub(crate) body: Option<String>,
    pub(crate) does: Does,
    /// Direction from its place to where it starts, unit, and how far, mm.
    pub(crate) out: Option<(DVec3, f64)>,
    pub(crate) joints: Vec<usize>,
    pub(crate) driven: Vec<Driven>,
    pub(crate) singly: Option<usize>,
    /// Held on trial, and taken away: what it is marked from. A part that comes in: what it should have been marked from, but
    /// comes later.
    pub(crate) marked: Vec<usize>,
}

/// One thing that happens.
#[derive(Clone, Debug)]
pub(crate) enum Event {
    Move(Move),
    /// A line sawn over parts that stand: what, and on which.
    Saw {
        on: String,
        what: String,
        parts: Vec<usize>,
    },
    /// Hanger eyes set.
    Eyes {
        on: String,
        joints: Vec<usize>,
        driven: Vec<Driven>,
    },
}

/// What is made in place: a line or a notch, on some parts, once all of others stand.
struct InPlace {
    what: String,
    parts: Vec<usize>,
    after: Vec<usize>,
    done: bool,
}

pub(crate) struct Teller<'a> {
    pub(crate) model: &'a Model,
    pub(crate) search: &'a Search<'a>,
    named: &'a HashMap<&'a str, usize>,
    kinds: &'a [usize],
    pub(crate) events: Vec<Event>,
    in_place: Vec<InPlace>,
    names: HashMap<String, usize>,
}

impl<'a> Teller<'a> {
    pub(crate) fn new(
        model: &'a Model,
        search: &'a Search<'a>,
        named: &'a HashMap<&'a str, usize>,
        kinds: &'a [usize],
    ) -> Self {
        Teller {
            model,
            search,
            named,
            kinds,
            events: Vec::new(),
            in_place: in_place(model, named),
            names: HashMap::new(),
        }
    }

    /// Tells a build: bodies are put together first, those that are marked from outside right before they come in.
    pub(crate) fn tell(&mut self, build: &Build, name: &str) {
        let mut body_names: Vec<Option<String>> = Vec::with_capacity(build.arrivals.len());
        for arrival in &build.arrivals {
            let body = arrival.built.as_ref().map(|inner| self.body_name(inner.group, name));
            if let (Some(inner), Some(body)) = (&arrival.built, &body)
                && self.marked_outside(arrival).is_empty()
            {
                self.tell(inner, body);
            }
            body_names.push(body);
        }
        let mut standing: Vec<usize> = Vec::new();
        for (at, (arrival, body)) in build.arrivals.iter().zip(body_names).enumerate() {
            if let (Some(inner), Some(body)) = (&arrival.built, &body) {
                let outside = self.marked_outside(arrival);
                if !outside.is_empty() {
                    self.tell_trials(&outside, (name, build.group), &standing);
                    self.tell(inner, body);
                }
            } else {
                let row = self.tried_together(&build.arrivals[at..], &standing);
                self.tell_trials(&row, (name, build.group), &standing);
            }
            let mut later = self.marked_later(arrival, &standing);
            later.retain(|from| !arrival.parts.iter().any(|part| self.was_marked(*part, *from)));
            self.events.push(Event::Move(Move {
                on: name.to_string(),
                onto: build.group,
                parts: arrival.parts.clone(),
                body,
                does: if standing.is_empty() { Does::Laid } else { Does::ComesIn },
                out: arrival.out,
                joints: arrival.joints.clone(),
                driven: arrival.driven.clone(),
                singly: arrival.singly,
                marked: later,
            }));
            standing.extend(&arrival.parts);
            self.tell_in_place(name, &standing);
        }
    }

    /// Whether a part has been held in its place before and marked from another.
    fn was_marked(&self, part: usize, from: usize) -> bool {
        self.events.iter().any(|event| {
            matches!(event, Event::Move(own)
                if own.does == Does::Held && own.parts.contains(&part) && own.marked.contains(&from))
        })
    }

    /// A name for an assembly: that of its group, numbered where a group falls into several.
    fn body_name(&mut self, group: usize, outer: &str) -> String {
        let own = self.model.groups.get(group).map_or("sub-assembly", |group| group.name.as_str());
        let count = self.names.entry(own.to_string()).or_insert(0);
        *count += 1;
        if *count == 1 && own != outer { own.to_string() } else { format!("{own} ({})", *count) }
    }

    /// Parts of a body that are marked from parts outside it.
    fn marked_outside(&self, arrival: &Arrival) -> Vec<usize> {
        let outside = |part: &usize| {
            let from = marked_from(&self.model.parts[*part]);
            from.iter().any(|name| self.named.get(name).is_some_and(|other| !arrival.parts.contains(other)))
        };
        arrival.parts.iter().copied().filter(outside).collect()
    }

    /// What a part is marked from.
    fn marks_of(&self, part: usize) -> Vec<usize> {
        let from = marked_from(&self.model.parts[part]);
        from.into_iter().filter_map(|name| self.named.get(name).copied()).collect()
    }

    /// What a part that comes in alone is marked from and does not stand yet.
    fn marked_later(&self, arrival: &Arrival, standing: &[usize]) -> Vec<usize> {
        let [part] = arrival.parts[..] else { return Vec::new() };
        self.marks_of(part).into_iter().filter(|other| !standing.contains(other)).collect()
    }

    /// What a part is marked from of what stands: what its notches go round, and what lies beyond an edge that is trimmed.
    fn marks_standing(&self, part: usize, standing: &[usize]) -> Vec<usize> {
        let mut marks = self.marks_of(part);
        marks.retain(|other| standing.contains(other));
        marks.extend(beyond_trim(self.model, self.kinds, part, standing).map(|own| own.part));
        marks
    }

    /// The parts of one kind that come next and are marked from what stands by now: they are tried one beside another, and
    /// cut in one go.
    fn tried_together(&self, coming: &[Arrival], standing: &[usize]) -> Vec<usize> {
        let is_fitted = |part: usize| self.model.parts[part].fit.is_some();
        let mut row: Vec<usize> = Vec::new();
        for arrival in coming {
            let [part] = arrival.parts[..] else { break };
            let first = *row.first().unwrap_or(&part);
            let is_like = self.kinds[part] == self.kinds[first] && is_fitted(part) == is_fitted(first);
            if !is_like || self.marks_of(part).iter().any(|other| row.contains(other)) {
                break;
            }
            row.push(part);
        }
        row.retain(|&part| {
            self.marks_standing(part, standing).iter().any(|&from| !self.was_marked(part, from))
        });
        row
    }

    /// Held on trial against what they are marked from, and taken away, the last first.
    fn tell_trials(&mut self, parts: &[usize], on: (&str, usize), standing: &[usize]) {
        let mut held: Vec<Move> = Vec::new();
        let mut stands = standing.to_vec();
        for &part in parts {
            let marked = self.marks_standing(part, standing);
            if marked.is_empty() {
                continue;
            }
            let mut way = self.search.trial(part, &stands);
            if way.is_none() && !held.is_empty() {
                self.take_away(std::mem::take(&mut held));
                stands.truncate(standing.len());
                way = self.search.trial(part, standing);
            }
            let Some(way) = way else { continue };
            let own = trial_move(part, on, way, marked);
            self.events.push(Event::Move(own.clone()));
            held.push(own);
            stands.push(part);
        }
        self.take_away(held);
    }

    fn take_away(&mut self, held: Vec<Move>) {
        let away = held.into_iter().rev().map(|own| Move { does: Does::TakenAway, ..own });
        self.events.extend(away.map(Event::Move));
    }

    fn tell_in_place(&mut self, on: &str, standing: &[usize]) {
        for made in &mut self.in_place {
            let stands = |part: &usize| standing.contains(part);
            let is_ready = made.parts.iter().all(stands) && made.after.iter().all(stands);
            if !made.done && is_ready && is_held(self.model, &made.parts, standing) {
                made.done = true;
                let (on, what, parts) = (on.to_string(), made.what.clone(), made.parts.clone());
                self.events.push(Event::Saw { on, what, parts });
            }
        }
    }
}

/// A part held in its place on trial.
fn trial_move(part: usize, (on, onto): (&str, usize), out: (DVec3, f64), marked: Vec<usize>) -> Move {
    Move {
        on: on.to_string(),
        onto,
        parts: vec![part],
        body: None,
        does: Does::Held,
        out: Some(out),
        joints: Vec::new(),
        driven: Vec::new(),
        singly: None,
        marked,
    }
}

/// Whether parts that a line is struck over are held by all of their joints: one that hangs on a single screw turns under the saw.
fn is_held(model: &Model, parts: &[usize], standing: &[usize]) -> bool {
    let meets =
        |joint: &&Joint| joint.patch.is_some() && joint.parts.iter().any(|part| parts.contains(&part.0));
    let is_made = |joint: &Joint| joint.parts.iter().all(|part| standing.contains(&part.0));
    parts.len() < 2 || model.joints.iter().filter(meets).all(is_made)
}

/// Features made in place, those of one script line on several parts together.
fn in_place(model: &Model, named: &HashMap<&str, usize>) -> Vec<InPlace> {
    let mut made: Vec<(slatwork_base::Origin, InPlace)> = Vec::new();
    for part in &model.parts {
        for feature in &part.features {
            let When::InPlace { after } = &feature.when else { continue };
            let Some(what) = sawn(feature) else { continue };
            let after = after.iter().filter_map(|name| named.get(name.as_str()).copied());
            let same = |(origin, own): &&mut (slatwork_base::Origin, InPlace)| {
                origin.is_known() && *origin == feature.origin && own.what == what
            };
            let index = part.id.0;
            match made.iter_mut().find(same) {
                Some((_, own)) => {
                    own.parts.extend((!own.parts.contains(&index)).then_some(index));
                    own.after.extend(after);
                }
                None => made.push((
                    feature.origin,
                    InPlace { what, parts: vec![index], after: after.collect(), done: false },
                )),
            }
        }
    }
    made.into_iter().map(|(_, own)| own).collect()
}

fn sawn(feature: &Feature) -> Option<String> {
    match &feature.kind {
        FeatureKind::Outline { what, .. } => Some(what.clone()),
        FeatureKind::Notch { .. } => Some(String::from("notch")),
        FeatureKind::BevelRip { .. } => Some(String::from("bevel")),
        FeatureKind::EndCut { .. } => Some(String::from("end cut")),
        FeatureKind::Hole { what, .. } => Some(what.clone()),
        _ => None,
    }
}
