//! Parts that are the same solid, and mirror pairs: found by comparing solids, never names.
//!
//! Two parts are alike when one can be turned into the other by a turn that brings a board's box back onto itself: none,
//! or half a turn about its length, width or thickness; for a square section also a quarter turn about its length.
//! Each corner of each face of one must then lie on a face of the other that looks the same way, and the other way
//! round; and the holes must match. So it does not matter in which order or which way round a board was made.

mod compare;
mod outline;
mod words;

use crate::{Part, PartId};
use compare::Subject;
use slatwork_solid::DAffine3;

/// Index of a set in [`crate::Model::sets`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct SetId(pub usize);

/// Which hand the parts of a set have.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Hand {
    /// The mirror image is the same part turned round: no hands.
    Neutral,
    /// Has a hand and no mate in the piece.
    Single,
    /// One of a mirrored pair; the other set is named.
    PairWith(SetId),
}

/// Parts that are the same solid.
#[derive(Clone, Debug)]
pub struct PartSet {
    /// Index.
    pub id: SetId,
    /// Mark on drawings and parts: "A", "B", ... "AA".
    pub mark: String,
    /// Name: the common words of its parts' names; of a mirrored pair led by the hand ("left arm").
    pub name: String,
    /// Members in the order they were made.
    pub parts: Vec<PartId>,
    /// Hand.
    pub hand: Hand,
}

/// A set being gathered: indices into the slice of parts, and the set that mirrors it.
struct Gathered {
    members: Vec<usize>,
    mate: Option<usize>,
}

/// Finds the sets and writes each part's own into it.
///
/// Sets stand in the order in which their first part was made, the mate of a mirrored pair behind its fellow, the left
/// hand first. Parts of one set have the same solid, species, section, blank, rounded edges, fit, and the same features
/// made at the same time.
pub fn find_sets(parts: &mut [Part]) -> Vec<PartSet> {
    let subjects: Vec<Subject> = parts.iter().map(Subject::of).collect();
    let gathered = gather(&subjects);
    let order = laid_out(parts, &gathered);
    let sets = named(parts, &subjects, &gathered, &order);
    for set in &sets {
        for member in &gathered[order[set.id.0]].members {
            parts[*member].set = set.id;
        }
    }
    sets
}

/// How to turn `part` so that it is the same solid as `model` in board axes: maps the model's board axes to the part's.
/// `None` when they are not alike.
pub fn turn_between(model: &Part, part: &Part) -> Option<DAffine3> {
    Subject::of(model).turn_to(&Subject::of(part))
}

fn gather(subjects: &[Subject]) -> Vec<Gathered> {
    let mut sets: Vec<Gathered> = Vec::new();
    for (index, subject) in subjects.iter().enumerate() {
        if let Some(set) = sets.iter_mut().find(|set| subjects[set.members[0]].turn_to(subject).is_some()) {
            set.members.push(index);
            continue;
        }
        let mate =
            sets.iter().position(|set| set.mate.is_none() && subjects[set.members[0]].mirrors(subject));
        if let Some(mate) = mate {
            sets[mate].mate = Some(sets.len());
        }
        sets.push(Gathered { members: vec![index], mate });
    }
    sets
}

/// Order of the sets: as made, each mate behind its fellow, the left one first.
fn laid_out(parts: &[Part], gathered: &[Gathered]) -> Vec<usize> {
    let mut order = Vec::with_capacity(gathered.len());
    for (index, set) in gathered.iter().enumerate() {
        match set.mate {
            None => order.push(index),
            Some(mate) if mate > index => {
                let swap = place_across(parts, &gathered[mate]) < place_across(parts, set);
                order.extend(if swap { [mate, index] } else { [index, mate] });
            }
            Some(_) => {}
        }
    }
    order
}

/// Mean place of a set's parts from left to right in the piece, mm, rounded to a tenth so that noise decides nothing.
fn place_across(parts: &[Part], set: &Gathered) -> f64 {
    let middle = |index: &usize| parts[*index].pose.transform_point3(parts[*index].solid.bounds().centre()).x;
    let mean = set.members.iter().map(middle).sum::<f64>() / set.members.len() as f64;
    (mean * 10.0).round() / 10.0
}

fn named(parts: &[Part], subjects: &[Subject], gathered: &[Gathered], order: &[usize]) -> Vec<PartSet> {
    let place_of =
        |gathered_index: usize| order.iter().position(|&index| index == gathered_index).unwrap_or_default();
    let mut sets = Vec::with_capacity(order.len());
    for (place, &index) in order.iter().enumerate() {
        let set = &gathered[index];
        let hand = match set.mate {
            Some(mate) => Hand::PairWith(SetId(place_of(mate))),
            None if subjects[set.members[0]].is_neutral() => Hand::Neutral,
            None => Hand::Single,
        };
        sets.push(PartSet {
            id: SetId(place),
            mark: words::mark(place),
            name: name_of(parts, gathered, index),
            parts: set.members.iter().map(|&member| parts[member].id).collect(),
            hand,
        });
    }
    sets
}

fn name_of(parts: &[Part], gathered: &[Gathered], index: usize) -> String {
    let names = |set: &Gathered| -> Vec<&str> {
        set.members.iter().map(|&member| parts[member].name.as_str()).collect()
    };
    let own = &gathered[index];
    let Some(mate) = own.mate.map(|mate| &gathered[mate]) else { return words::common_name(&names(own)) };
    let (here, there) = (place_across(parts, own), place_across(parts, mate));
    words::hand_name(&names(own), &names(mate), here.total_cmp(&there))
}

#[cfg(test)]
mod tests;
