//! Holes that need no marks: drilled on through the hole of another part, the two held together in place.

use indexmap::IndexMap;
use slatwork_base::Length;
use slatwork_model::{Model, SetId, When};

/// Pilots of one size in the parts of a set, drilled through the parts of another.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DrilledRow {
    /// The set that is drilled.
    pub set: SetId,
    /// Its mark.
    pub mark: String,
    /// Its name.
    pub name: String,
    /// Names of the sets whose holes guide the drill.
    pub through: Vec<String>,
    /// Holes in all parts of the set together.
    pub count: usize,
    /// Diameter.
    pub diameter: Length,
    /// Deepest of them, from the face where the two parts meet; others are as deep as their screw reaches.
    pub depth: Length,
    /// What for.
    pub purpose: String,
}

/// Bores begin so far off the wood, mm.
const LEAD_IN: f64 = 1.0;

/// Every pilot that is drilled through another part, by set and size.
pub(crate) fn drilled(model: &Model) -> Vec<DrilledRow> {
    let mut rows: IndexMap<(SetId, Length, &str), DrilledRow> = IndexMap::new();
    let bores = model.joints.iter().flat_map(|joint| &joint.fastenings).flat_map(|one| &one.bores);
    for bore in bores.filter(|bore| !bore.in_solid) {
        let (Some(step), When::Through { part }) = (bore.hole.steps.first(), &bore.when) else { continue };
        let set = model.part(bore.part).set;
        let diameter = Length::mm(2.0 * step.radius);
        let row = rows.entry((set, diameter, bore.what.as_str())).or_insert_with(|| DrilledRow {
            set,
            mark: model.sets[set.0].mark.clone(),
            name: model.sets[set.0].name.clone(),
            through: Vec::new(),
            count: 0,
            diameter,
            depth: Length::ZERO,
            purpose: bore.what.clone(),
        });
        row.count += 1;
        row.depth = row.depth.max(Length::mm(step.depth - LEAD_IN));
        let guide = model.part_named(part).map_or(part.clone(), |guide| model.sets[guide.set.0].name.clone());
        if !row.through.contains(&guide) {
            row.through.push(guide);
        }
    }
    let mut rows: Vec<DrilledRow> = rows.into_values().collect();
    rows.sort_by_key(|row| row.set);
    rows
}
