//! The hole list: every hole of every set, where to mark it and how to bore it.

use crate::drilled::{DrilledRow, drilled, on_axis};
use crate::shapes::PlaceRow;
use crate::words::{Along, BoardSide, when_words};
use slatwork_base::{Angle, Length, maths};
use slatwork_model::{FeatureKind, Model, Part, PartSet, SetId};
use slatwork_solid::{DAffine3, DVec3, Hole, Placed, along};

/// One stretch of a hole, from the outside in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct BoreStep {
    /// Diameter.
    pub diameter: Length,
    /// Where it begins, along the axis from the mark on the box; zero but for holes begun inside a notch.
    pub from: Length,
    /// Where it ends, along the axis from the mark; `None` when it goes through.
    pub to: Option<Length>,
}

/// One hole of a set.
#[derive(Clone, Debug, PartialEq)]
pub struct HoleRow {
    /// The set.
    pub set: SetId,
    /// Its mark.
    pub mark: String,
    /// Number of the hole in the part, from 1.
    pub number: usize,
    /// How many such holes the piece has: one in each part of the set.
    pub quantity: usize,
    /// What for.
    pub purpose: String,
    /// When, in words.
    pub when: String,
    /// The side of the finished box it is marked on and bored from.
    pub side: BoardSide,
    /// Where to mark it: from the datum end, from the datum edge, from the back face; `None` in the direction that the
    /// side closes.
    pub at: [Option<Length>; 3],
    /// How far the drill leans, seen along each of the two directions of the side: positive when the hole runs toward
    /// the far end, far edge or marked face as it goes in. `None` in the direction that the side closes.
    pub lean: [Option<Angle>; 3],
    /// Lean from square to the side, all told.
    pub lean_total: Angle,
    /// Diameter of a countersink at the mouth.
    pub countersink: Option<Length>,
    /// Names of the parts of the set that are countersunk on the other side of the hole: parts that are turned over to stand for
    /// their mate.
    pub turned: Vec<String>,
    /// Stretches from the outside in, each narrower than the one before.
    pub bores: Vec<BoreStep>,
}

/// Every hole.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct HoleList {
    /// By set, then in the order the holes are listed in the part.
    pub rows: Vec<HoleRow>,
    /// Holes drilled on through other parts, which need no marks.
    pub drilled: Vec<DrilledRow>,
}

impl HoleList {
    /// The holes of a set.
    pub(crate) fn of(&self, set: SetId) -> Vec<HoleRow> {
        self.rows.iter().filter(|row| row.set == set).cloned().collect()
    }
}

/// The hole list of a finished model, whose parts stand at these places.
pub fn hole_list(model: &Model, places: &[PlaceRow]) -> HoleList {
    let sets = model.sets.iter().filter_map(|set| Some((set, model.part(*set.parts.first()?))));
    let rows = sets.flat_map(|(set, part)| {
        let mut own = holes_of(set, part);
        own.iter_mut().for_each(|row| row.turned = turned(model, places, set, part, row));
        own
    });
    HoleList { rows: rows.collect(), drilled: drilled(model, places) }
}

/// The holes of the first part of a set, which stands for all.
fn holes_of(set: &PartSet, part: &Part) -> Vec<HoleRow> {
    let rows = part.shape.holes.iter().enumerate();
    rows.filter_map(|(index, hole)| hole_row(set, part, index + 1, hole)).collect()
}

/// Parts of the set whose countersink lies on the other side of the hole than in the part that is drawn.
fn turned(model: &Model, places: &[PlaceRow], set: &PartSet, drawn: &Part, row: &HoleRow) -> Vec<String> {
    let (Some(hole), Some(_)) = (drawn.shape.holes.get(row.number - 1), row.countersink) else {
        return Vec::new();
    };
    let others = places.iter().filter(|place| place.part != drawn.id && set.parts.contains(&place.part));
    let other_way = |place: &&PlaceRow| {
        let part = model.part(place.part);
        let turn = place.pose().inverse() * part.pose;
        part.shape.holes.iter().any(|own| {
            on_axis(turn.transform_point3(own.start), hole)
                && turn.transform_vector3(own.direction).dot(hole.direction) < 0.0
        })
    };
    others.filter(other_way).map(|place| place.name.clone()).collect()
}

fn hole_row(set: &PartSet, part: &Part, number: usize, hole: &Hole) -> Option<HoleRow> {
    let size = box_size(part);
    let (side, depth) = entry(hole, size)?;
    let mark = hole.start + hole.direction * depth;
    let (purpose, when, countersink) = purpose_of(part, hole);
    let on_side = |along: Along| along != side.along;
    let into = if side.high { -1.0 } else { 1.0 } * hole.direction[side.along.index()];
    let lean = |along: Along| Angle::rad(maths::atan2(hole.direction[along.index()], into));
    Some(HoleRow {
        set: set.id,
        mark: set.mark.clone(),
        number,
        quantity: set.parts.len(),
        purpose,
        when,
        side,
        at: Along::ALL.map(|along| on_side(along).then(|| Length::mm(mark[along.index()]))),
        lean: Along::ALL.map(|along| on_side(along).then(|| lean(along))),
        lean_total: Angle::rad(maths::acos(into)),
        countersink,
        turned: Vec::new(),
        bores: bores(hole, depth, leaves(hole, size).min(last_wood(part, hole))),
    })
}

/// Length, width and thickness of the finished box, mm.
pub(crate) fn box_size(part: &Part) -> DVec3 {
    DVec3::new(part.length.as_mm(), part.width.as_mm(), part.thickness.as_mm())
}

/// What a hole is for and when it is made: from the feature that asked for it.
fn purpose_of(part: &Part, hole: &Hole) -> (String, String, Option<Length>) {
    let asked = part.features.iter().find_map(|feature| match &feature.kind {
        FeatureKind::Hole { hole: own, what, countersink, .. } if own == hole => {
            Some((what.clone(), when_words(&feature.when), *countersink))
        }
        _ => None,
    });
    asked.unwrap_or_else(|| (String::from("hole"), when_words(&slatwork_model::When::AtBench), None))
}

/// The side of the box through which the axis comes in, and where, as a depth from the hole's start.
fn entry(hole: &Hole, size: DVec3) -> Option<(BoardSide, f64)> {
    crossings(hole, size, false).max_by(|a, b| a.1.total_cmp(&b.1))
}

/// Depth from the hole's start at which the axis leaves the box.
fn leaves(hole: &Hole, size: DVec3) -> f64 {
    crossings(hole, size, true).map(|(_, depth)| depth).fold(f64::INFINITY, f64::min)
}

/// Depth from the hole's start where the last of the wood on its axis ends: a hole that goes as deep goes through, though a notch
/// or a bevel took away what the box would have beyond.
fn last_wood(part: &Part, hole: &Hole) -> f64 {
    let solid = Placed { solid: &part.solid, pose: DAffine3::IDENTITY };
    let wood = along(&solid, hole.start, hole.start + hole.direction * FARTHEST);
    wood.last().map_or(f64::INFINITY, |(_, end)| *end)
}

/// Longer than any board, mm.
const FARTHEST: f64 = 20_000.0;

/// A direction component below this is along the side, which then neither lets the axis in nor out: a tilt of a
/// micrometre in a metre.
const ALONG_SIDE: f64 = 1e-6;

fn crossings(hole: &Hole, size: DVec3, out: bool) -> impl Iterator<Item = (BoardSide, f64)> {
    Along::ALL.into_iter().filter_map(move |along| {
        let axis = along.index();
        let slope = hole.direction[axis];
        let high = (slope > 0.0) == out;
        let at = if high { size[axis] } else { 0.0 };
        (slope.abs() > ALONG_SIDE).then(|| (BoardSide { along, high }, (at - hole.start[axis]) / slope))
    })
}

/// Stretches measured from the mark. What starts in the air outside the box starts at the mark.
fn bores(hole: &Hole, mark: f64, leaves: f64) -> Vec<BoreStep> {
    let mut from = (-mark).max(0.0);
    let mut steps = Vec::with_capacity(hole.steps.len());
    for step in &hole.steps {
        let through = step.depth >= leaves;
        let to = (!through).then_some(step.depth - mark);
        if to.is_none_or(|to| to > from) {
            steps.push(BoreStep {
                diameter: Length::mm(2.0 * step.radius),
                from: Length::mm(from),
                to: to.map(Length::mm),
            });
            from = to.unwrap_or(from);
        }
        if through {
            break;
        }
    }
    steps
}
