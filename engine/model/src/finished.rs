//! Everything a finished piece is: plain read-only data.

use crate::joints::Joint;
use crate::{BoardId, Part, PartSet, People, Site};
use slatwork_base::{Diagnostic, Length, Origin};
use slatwork_solid::{DAffine3, DVec3};

/// Index of a part in [`Model::parts`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct PartId(pub usize);

/// Index of a group in [`Model::groups`]; 0 is the whole piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct GroupId(pub usize);

/// A sub-assembly with its own frame.
#[derive(Clone, Debug)]
pub struct Group {
    /// Name.
    pub name: String,
    /// The group it is part of; `None` for the whole piece.
    pub parent: Option<GroupId>,
    /// Its frame to world.
    pub pose: DAffine3,
}

/// How a contact came to be declared.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ContactKind {
    /// `against`
    Against,
    /// `between`
    Between,
    /// A run laid over a bearer.
    Run,
    /// Let in.
    LetInto,
    /// A joint.
    Joint,
}

/// Two parts that are said to touch.
#[derive(Clone, Debug)]
pub struct Contact {
    /// The part that was placed.
    pub a: PartId,
    /// The part it touches.
    pub b: PartId,
    /// How it was said.
    pub kind: ContactKind,
    /// Where it was said.
    pub origin: Origin,
    /// Area of the faces that meet, mm2; zero when seated along lines.
    pub area: f64,
    /// Greatest gap under a seated part, mm; zero when face to face.
    pub gap: f64,
}

/// Hardware the script asks for by name.
#[derive(Clone, Debug)]
pub struct HardwareUse {
    /// Catalogue id.
    pub item: String,
    /// What for, in words.
    pub purpose: String,
    /// How many pieces.
    pub count: usize,
    /// Length each, for chain and rod.
    pub length: Option<Length>,
    /// Axis in the world where it has one: start and end, mm.
    pub axis: Option<(DVec3, DVec3)>,
    /// Part it goes through, if any.
    pub through: Option<PartId>,
    /// Where it was said.
    pub origin: Origin,
}

/// What is sat on.
#[derive(Clone, Debug, Default)]
pub struct Seat {
    /// Slats that carry people.
    pub on: Vec<PartId>,
    /// Slats they lean on.
    pub back: Vec<PartId>,
    /// Arm tops.
    pub arms: Vec<PartId>,
    /// How many sit.
    pub places: usize,
}

/// One chain from an eye on the piece to the point overhead.
#[derive(Clone, Debug)]
pub struct Suspension {
    /// Name ("left front chain").
    pub name: String,
    /// The part the eye goes through.
    pub part: PartId,
    /// Eye on the piece, world mm.
    pub eye: DVec3,
    /// Hook or ring overhead, world mm.
    pub hook: DVec3,
    /// Catalogue ids of eye, chain, links, hook, from the piece upward.
    pub line: Vec<String>,
}

/// What the piece hangs by.
#[derive(Clone, Debug, Default)]
pub struct Hanging {
    /// The chains.
    pub suspensions: Vec<Suspension>,
}

/// A step the script words.
#[derive(Clone, Debug)]
pub struct Step {
    /// What to do.
    pub text: String,
    /// Where it was said.
    pub origin: Origin,
}

/// What the script says of the order of assembly: these parts stand before those are added.
#[derive(Clone, Debug)]
pub struct OrderRule {
    /// Parts that come first.
    pub first: Vec<PartId>,
    /// Parts that come later.
    pub then: Vec<PartId>,
    /// Where it was said.
    pub origin: Origin,
}

/// A finished piece.
#[derive(Clone, Debug, Default)]
pub struct Model {
    /// Title the family gives.
    pub title: String,
    /// Groups; the first is the whole piece.
    pub groups: Vec<Group>,
    /// Parts in the order the script made them.
    pub parts: Vec<Part>,
    /// Parts that are alike.
    pub sets: Vec<PartSet>,
    /// Declared contacts, each held to.
    pub contacts: Vec<Contact>,
    /// Joints.
    pub joints: Vec<Joint>,
    /// Hardware by name.
    pub hardware: Vec<HardwareUse>,
    /// What is sat on.
    pub seat: Option<Seat>,
    /// What it hangs by.
    pub hanging: Option<Hanging>,
    /// Steps the script words, in order.
    pub steps: Vec<Step>,
    /// What the script says of the order of assembly.
    pub order: Vec<OrderRule>,
    /// The place.
    pub site: Site,
    /// The people.
    pub people: People,
    /// What was noticed while it was made: warnings and notes of the script and of validation.
    pub findings: Vec<Diagnostic>,
}

impl Model {
    /// Whether it hangs, and does not stand.
    pub fn hangs(&self) -> bool {
        self.hanging.as_ref().is_some_and(|hanging| !hanging.suspensions.is_empty())
    }

    /// The part of that index.
    pub fn part(&self, id: PartId) -> &Part {
        &self.parts[id.0]
    }

    /// The part that a board on the bench has become.
    pub fn part_of(&self, board: BoardId) -> &Part {
        &self.parts[board.0]
    }

    /// The part of that name.
    pub fn part_named(&self, name: &str) -> Option<&Part> {
        self.parts.iter().find(|part| part.name == name)
    }
}
