//! Pictures of how the piece is put together: a picture of each step, with what stands, what is new and which way it comes,
//! what is driven; and the exploded view.

use super::{Files, Paper, drawings};
use indexmap::IndexMap;
use rayon::prelude::*;
use slatwork_base::Outcome;
use slatwork_model::{Joint, Model, PartId};
use slatwork_output::Sheet;
use slatwork_output::drawing::{
    Arrival, Balloon, CallOut, Exploded, Incoming, NewMark, Placed, StepPicture, StepPictures, exploded,
};
use slatwork_shop::{AssemblyStep, Does, PartMove, Reading};
use slatwork_solid::{Bounds, DVec3};

/// A part is drawn at least so far back along its way, and at most, as shares of the size of all that is drawn.
const BACK: (f64, f64) = (0.08, 0.16);

/// Directions nearer than this (as 1 - cosine) are one: what comes along it is drawn back alike.
const SAME_WAY: f64 = 1e-3;

/// Of more new parts than this only the first and the last have dashed lines to their places.
const MOST_WITH_WAYS: usize = 4;

/// `drawings/step_NN.svg` for each step.
pub(super) fn write(paper: &Paper<'_>) -> Outcome<Files> {
    let sheets = &paper.sheets.steps;
    let digits = sheets.len().to_string().len().max(2);
    let mut outcome = Outcome::fine(Files::new());
    for (index, sheet) in sheets.iter().enumerate() {
        let stem = format!("step_{:0digits$}", index + 1);
        outcome = outcome.then(|files| drawings::sheet_file(files, sheet, &stem));
    }
    outcome
}

/// The exploded view.
pub(super) fn exploded_sheet(paper: &Paper<'_>, piece: &Placed<'_>) -> Sheet {
    let model = paper.model;
    let names: Vec<String> = model.sets.iter().map(|set| set.name.clone()).collect();
    exploded(&Exploded {
        title: &model.title,
        family: paper.family,
        piece,
        arrivals: &arrivals(paper),
        balloons: &drawings::balloons(model),
        names: &names,
        paper: drawings::size(paper.units, true),
    })
}

/// How the piece comes together: in each step what comes the same way, with what stands by then.
fn arrivals(paper: &Paper<'_>) -> Vec<Arrival> {
    let mut standing: IndexMap<&str, Vec<usize>> = IndexMap::new();
    let mut arrivals: Vec<Arrival> = Vec::new();
    for step in &paper.assembly.steps {
        let stands = standing.entry(&step.on).or_default();
        let mut here: Vec<Arrival> = Vec::new();
        let stays = step.parts.iter().filter(|own| matches!(own.does, Does::Laid | Does::ComesIn));
        for own in stays {
            let out = own.out.unwrap_or(DVec3::ZERO);
            let alike = here.iter_mut().find(|one| 1.0 - one.out.dot(out) < SAME_WAY);
            match alike {
                Some(one) => one.bodies.push(own.part.0),
                None => here.push(Arrival {
                    bodies: vec![own.part.0],
                    onto: stands.clone(),
                    out,
                    touches: Vec::new(),
                }),
            }
        }
        for mut arrival in here {
            arrival.onto.clone_from(stands);
            arrival.touches = touches(paper.model, &step.joints, &arrival);
            stands.extend(&arrival.bodies);
            arrivals.push(arrival);
        }
    }
    arrivals
}

/// For each body that comes one joint with what stands.
fn touches(model: &Model, joints: &[usize], arrival: &Arrival) -> Vec<(usize, usize, DVec3)> {
    let joints: Vec<&Joint> = joints.iter().filter_map(|joint| model.joints.get(*joint)).collect();
    let touch = |body: &usize| {
        let mut own = joints.iter().filter(|joint| joint.parts.iter().any(|part| part.0 == *body));
        own.find_map(|joint| {
            let other = joint.parts.iter().find(|part| arrival.onto.contains(&part.0))?;
            Some((*body, other.0, joint.patch.as_ref()?.centre))
        })
    };
    arrival.bodies.iter().filter_map(touch).collect()
}

/// A sheet without a frame for each step, in their order.
pub(super) fn step_sheets(paper: &Paper<'_>, piece: &Placed<'_>) -> Vec<Sheet> {
    let steps = steps(paper);
    let pictures = StepPictures::new(piece, &steps);
    (0..pictures.count()).into_par_iter().map(|index| pictures.sheet(index)).collect()
}

fn steps(paper: &Paper<'_>) -> Vec<StepPicture> {
    let mut standing: IndexMap<&str, Vec<usize>> = IndexMap::new();
    let mut pictures = Vec::new();
    for step in &paper.assembly.steps {
        let stands = standing.entry(&step.on).or_default();
        stands.extend(laid_bodies(step));
        pictures.push(Drawn { paper, step, stands }.picture());
        for own in &step.parts {
            match own.does {
                Does::TakenAway => stands.retain(|part| *part != own.part.0),
                _ if stands.contains(&own.part.0) => {}
                _ => stands.push(own.part.0),
            }
        }
    }
    pictures
}

/// What was put together before and lies there now.
fn laid_bodies(step: &AssemblyStep) -> Vec<usize> {
    let laid = step.parts.iter().filter(|own| own.does == Does::Laid && own.body.is_some());
    laid.map(|own| own.part.0).collect()
}

struct Drawn<'a> {
    paper: &'a Paper<'a>,
    step: &'a AssemblyStep,
    stands: &'a [usize],
}

impl Drawn<'_> {
    fn picture(&self) -> StepPicture {
        let moves: Vec<&PartMove> =
            self.step.parts.iter().filter(|own| !(own.does == Does::Laid && own.body.is_some())).collect();
        let size = self.size(&moves);
        let backs: Vec<DVec3> = moves.iter().map(|own| self.back(own, &moves, size)).collect();
        let singles = moves.iter().filter(|own| own.body.is_none()).count();
        let new = moves.iter().zip(backs).enumerate().map(|(at, (own, back))| {
            let shown = singles <= MOST_WITH_WAYS || at == 0 || at + 1 == moves.len();
            let ways = if shown || own.body.is_some() { self.ways(own, &moves) } else { Vec::new() };
            Incoming { body: own.part.0, back, ways }
        });
        StepPicture {
            number: self.step.number,
            title: self.step.title.replace('`', ""),
            on: self.step.on.clone(),
            stands: self.stands.to_vec(),
            new: new.collect(),
            marks: self.marks(&moves),
            call_outs: self.call_outs(),
        }
    }

    fn model(&self) -> &Model {
        self.paper.model
    }

    /// Diagonal of the box round all that is drawn, mm.
    fn size(&self, moves: &[&PartMove]) -> f64 {
        let parts = self.stands.iter().copied().chain(moves.iter().map(|own| own.part.0));
        let corners = parts.flat_map(|part| {
            let part = &self.model().parts[part];
            part.solid.bounds().corners().map(|corner| part.pose.transform_point3(corner))
        });
        let (low, high) =
            corners.fold((DVec3::INFINITY, DVec3::NEG_INFINITY), |(low, high), p| (low.min(p), high.max(p)));
        Bounds { min: low, max: high }.size().max(DVec3::ZERO).length()
    }

    /// How far a part is drawn back: with all others that come the same way.
    fn back(&self, own: &PartMove, moves: &[&PartMove], size: f64) -> DVec3 {
        let Some(out) = own.out.filter(|_| own.does != Does::Held) else { return DVec3::ZERO };
        let along = moves.iter().filter(|one| one.out.is_some_and(|way| 1.0 - way.dot(out) < SAME_WAY));
        let start = along.map(|one| one.start.as_mm()).fold(0.0, f64::max);
        out * start.clamp(BACK.0 * size, BACK.1 * size)
    }

    /// Where dashed lines end: the middles of the joints made with a part, two at most; without any, its own middle.
    fn ways(&self, own: &PartMove, moves: &[&PartMove]) -> Vec<DVec3> {
        let joints = own.joints.iter().filter_map(|joint| self.model().joints.get(*joint));
        let mut points: Vec<DVec3> =
            joints.filter_map(|joint| joint.patch.as_ref()).map(|patch| patch.centre).collect();
        if let Some(first) = points.first().copied() {
            points.sort_by(|a, b| b.distance(first).total_cmp(&a.distance(first)));
            points.truncate(1);
            points.push(first);
            points.dedup();
            return points;
        }
        let leads = moves.iter().find(|one| one.body == own.body).is_some_and(|one| one.part == own.part);
        let joined = moves.iter().any(|one| one.body == own.body && !one.joints.is_empty());
        match own.body.is_none() || (leads && !joined) {
            true => {
                let part = self.model().part(own.part);
                vec![part.pose.transform_point3(part.solid.centroid())]
            }
            false => Vec::new(),
        }
    }

    /// A balloon for each set of new parts, and for what was put together before one with the numbers of those steps.
    fn marks(&self, moves: &[&PartMove]) -> Vec<NewMark> {
        let mut marked: IndexMap<(String, String, bool), Vec<usize>> = IndexMap::new();
        for own in moves {
            let is_one = own.body.is_some();
            let (mark, name) = match &own.body {
                Some(body) => self.body_words(body),
                None => self.set_words(own.part),
            };
            let key = (mark, name, is_one);
            marked.entry(key).or_default().push(own.part.0);
        }
        let new =
            |((mark, name, is_one), bodies)| NewMark { balloon: Balloon { mark, bodies }, name, is_one };
        marked.into_iter().map(new).collect()
    }

    fn set_words(&self, part: PartId) -> (String, String) {
        let set = self.model().sets.iter().find(|set| set.parts.contains(&part));
        set.map_or_else(Default::default, |set| (set.mark.clone(), set.name.clone()))
    }

    /// "6-9", "back, put together in steps 6 to 9".
    fn body_words(&self, body: &str) -> (String, String) {
        let steps = self.paper.assembly.steps.iter().filter(|step| step.on == body);
        let numbers: Vec<usize> = steps.map(|step| step.number).collect();
        match numbers.as_slice() {
            [] => (body.to_string(), body.to_string()),
            [only] => (only.to_string(), format!("{body}, put together in step {only}")),
            [first, .., last] => {
                (format!("{first}-{last}"), format!("{body}, put together in steps {first} to {last}"))
            }
        }
    }

    fn call_outs(&self) -> Vec<CallOut> {
        let reading = Reading::from(self.paper.units.tape());
        let call_out = |own: &slatwork_shop::StepFastener| {
            let joints = self.step.joints.iter().filter_map(|joint| self.model().joints.get(*joint));
            let set = joints
                .flat_map(|joint| &joint.fastenings)
                .filter(|one| one.item == own.item && one.length == own.length);
            let head = |one: &slatwork_model::joints::Fastening| {
                Some((one.head, one.direction, one.layers.first()?.part.0))
            };
            let counted = self.paper.catalogue.counted_words(&own.item, own.count);
            CallOut {
                words: format!("{counted}, {} long", reading.text(own.length)),
                heads: set.filter_map(head).collect(),
            }
        };
        self.step.fasteners.iter().map(call_out).collect()
    }
}
