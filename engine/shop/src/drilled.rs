//! Holes that need no marks: drilled on through the hole of another part, the two held together in place.

use crate::shapes::PlaceRow;
use indexmap::IndexMap;
use slatwork_base::Length;
use slatwork_model::joints::Bore;
use slatwork_model::{Model, Part, PartId, SetId, When};
use slatwork_solid::{DVec3, Hole};

/// Pilots of one size and depth in the parts of a set, drilled through the holes of the parts of another.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DrilledRow {
    /// The set that is drilled.
    pub set: SetId,
    /// Its mark.
    pub mark: String,
    /// Its parts that are drilled there, as the script names them.
    pub parts: Vec<String>,
    /// Mark of the set whose holes guide the drill.
    pub through_mark: String,
    /// Names of the parts of that set that are meant.
    pub through: Vec<String>,
    /// Numbers of the holes that guide it, as the hole list counts them, in rising order.
    pub holes: Vec<usize>,
    /// Holes in all parts of the set together.
    pub count: usize,
    /// Diameter.
    pub diameter: Length,
    /// How deep, from the face where the two parts meet; the deepest of those that read alike.
    pub depth: Length,
    /// What for.
    pub purpose: String,
}

/// Pilots begin so far off the wood, mm.
pub const LEAD_IN: f64 = 1.0;

/// Depths are told apart by this, 1/16 in: nobody sets a depth stop finer (project choice).
const DEPTH_STEP: Length = Length::nm(1_587_500);

/// The nearest count of steps.
fn in_steps(depth: Length) -> i64 {
    (depth.as_nm() + DEPTH_STEP.as_nm() / 2) / DEPTH_STEP.as_nm()
}

/// A pilot runs in the middle of its guide within this, mm: far less than two holes can be apart.
const SAME_AXIS: f64 = 0.01;

/// Every pilot that is drilled through another part, by set, guide, size and depth.
pub(crate) fn drilled(model: &Model, places: &[PlaceRow]) -> Vec<DrilledRow> {
    let mut rows = merged(by_guide(model, places));
    for row in &mut rows {
        row.parts.sort_by_key(|name| model.part_named(name).map(|part| part.id));
        row.parts.dedup();
    }
    rows.sort_by_key(|row| row.set);
    rows
}

/// A row for each part that guides pilots of one size and depth into parts of one set.
fn by_guide(model: &Model, places: &[PlaceRow]) -> Vec<DrilledRow> {
    let mut rows: IndexMap<(SetId, PartId, Length, i64, &str), DrilledRow> = IndexMap::new();
    let bores = model.joints.iter().flat_map(|joint| &joint.fastenings).flat_map(|one| &one.bores);
    for bore in bores.filter(|bore| !bore.in_solid) {
        let (Some(step), When::Through { part }) = (bore.hole.steps.first(), &bore.when) else { continue };
        let Some(guide) = model.part_named(part) else { continue };
        let own = &model.sets[model.part(bore.part).set.0];
        let diameter = Length::mm(2.0 * step.radius);
        let depth = Length::mm(step.depth - LEAD_IN);
        let alike = in_steps(depth);
        let row = rows.entry((own.id, guide.id, diameter, alike, &bore.what)).or_insert_with(|| DrilledRow {
            set: own.id,
            mark: own.mark.clone(),
            parts: Vec::new(),
            through_mark: model.sets[guide.set.0].mark.clone(),
            through: vec![guide.name.clone()],
            holes: Vec::new(),
            count: 0,
            diameter,
            depth,
            purpose: bore.what.clone(),
        });
        row.count += 1;
        row.parts.push(model.part(bore.part).name.clone());
        row.depth = row.depth.max(depth);
        row.holes.extend(guiding(model, places, guide, bore));
        row.holes.sort_unstable();
    }
    rows.into_values().collect()
}

/// Rows that differ only in the part of a set that guides are one.
fn merged(rows: Vec<DrilledRow>) -> Vec<DrilledRow> {
    let mut all: Vec<DrilledRow> = Vec::new();
    for row in rows {
        let same = |other: &&mut DrilledRow| {
            let key = |row: &DrilledRow| (row.set, row.diameter, in_steps(row.depth));
            key(other) == key(&row)
                && (&other.through_mark, &other.holes, &other.purpose)
                    == (&row.through_mark, &row.holes, &row.purpose)
        };
        match all.iter_mut().find(same) {
            Some(first) => {
                first.count += row.count;
                first.depth = first.depth.max(row.depth);
                first.through.extend(row.through);
                first.parts.extend(row.parts);
            }
            None => all.push(row),
        }
    }
    all
}

/// Number of the hole of the guide, as its set counts them, in whose middle a pilot runs.
fn guiding(model: &Model, places: &[PlaceRow], guide: &Part, bore: &Bore) -> Option<usize> {
    let drawn = model.part(*model.sets[guide.set.0].parts.first()?);
    let place = places.iter().find(|place| place.part == guide.id)?.pose().inverse();
    let pose = model.part(bore.part).pose;
    let start = place.transform_point3(pose.transform_point3(bore.hole.start));
    drawn.shape.holes.iter().position(|hole| on_axis(start, hole)).map(|index| index + 1)
}

/// Whether a point lies on the axis of a hole.
pub(crate) fn on_axis(point: DVec3, hole: &Hole) -> bool {
    (point - hole.start).cross(hole.direction).length() < SAME_AXIS
}
