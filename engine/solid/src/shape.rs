//! A board as data: a prism with cuts, notches and holes. Everything is in the board's own frame: x along the grain
//! from 0, y across the width from 0, z through the thickness from 0, origin at a corner, right-handed.

use crate::{DVec3, Profile};

/// What made a surface. Opaque to this room: it is only carried through, so that a face, an edge or a curve can be
/// traced to the feature that made it. Values below [`Tag::FIRST_FREE`] are the six sides of the blank.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Tag(pub u32);

impl Tag {
    /// The end at x = 0.
    pub const LOW_END: Tag = Tag(0);
    /// The end at x = length.
    pub const HIGH_END: Tag = Tag(1);
    /// The edge at y = 0.
    pub const LOW_EDGE: Tag = Tag(2);
    /// The edge at y = width.
    pub const HIGH_EDGE: Tag = Tag(3);
    /// The face at z = 0.
    pub const LOW_FACE: Tag = Tag(4);
    /// The face at z = thickness.
    pub const HIGH_FACE: Tag = Tag(5);
    /// The first value free for features.
    pub const FIRST_FREE: u32 = 16;
}

/// The direction a profile is drawn out in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Across {
    /// The profile lies on the wide face, in (x, y), and is drawn out along z: the usual board.
    Thickness,
    /// The profile lies on the edge, in (x, z), and is drawn out along y: sprung or hollowed boards.
    Width,
}

/// The points with `normal . p <= offset`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HalfSpace {
    /// Unit normal, pointing out of the kept side.
    pub normal: DVec3,
    /// Distance of the plane from the origin along the normal, mm.
    pub offset: f64,
    /// What made the plane.
    pub tag: Tag,
}

/// A convex region taken away: the points inside all its half-spaces. Normals point out of the region removed.
#[derive(Clone, Debug, PartialEq)]
pub struct Notch {
    /// The region removed is the intersection of these.
    pub planes: Vec<HalfSpace>,
}

/// One stretch of a stepped hole.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HoleStep {
    /// Radius, mm.
    pub radius: f64,
    /// Depth at which this stretch ends, measured from the hole's start along its direction, mm. Steps are listed from
    /// the start inward, with falling radius; infinity goes through.
    pub depth: f64,
}

/// A round hole, bored from a start point; at any angle to the faces.
#[derive(Clone, Debug, PartialEq)]
pub struct Hole {
    /// A point on the axis on or outside the entry face, mm.
    pub start: DVec3,
    /// Unit direction into the wood.
    pub direction: DVec3,
    /// Stretches from the start inward.
    pub steps: Vec<HoleStep>,
    /// What made the hole.
    pub tag: Tag,
}

/// A board as data. Order of shop work does not matter to the solid: profile, then cuts, notches and holes.
#[derive(Clone, Debug, PartialEq)]
pub struct Shape {
    /// The outline.
    pub profile: Profile,
    /// Which way the outline is drawn out.
    pub across: Across,
    /// The outline is drawn out from `low` ...
    pub low: f64,
    /// ... to `high`, mm.
    pub high: f64,
    /// Planes that cut wood away for good (mitres, bevels).
    pub cuts: Vec<HalfSpace>,
    /// Regions taken out.
    pub notches: Vec<Notch>,
    /// Holes.
    pub holes: Vec<Hole>,
}

impl Shape {
    /// A plain board.
    pub fn board(length: f64, width: f64, thickness: f64) -> Self {
        Shape {
            profile: Profile::rectangle(length, width),
            across: Across::Thickness,
            low: 0.0,
            high: thickness,
            cuts: Vec::new(),
            notches: Vec::new(),
            holes: Vec::new(),
        }
    }
}
