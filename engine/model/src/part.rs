//! One finished board.

use crate::{Feature, GroupId, PartId, SetId};
use slatwork_base::{Length, Origin};
use slatwork_solid::{DAffine3, Placed, Shape, Solid};
use std::sync::Arc;

/// What a part is cut from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Blank {
    /// One piece of the stock section.
    Solid,
    /// Glued up from strips of stock, each cut from its own board.
    GluedUp {
        /// Strips in order: across the width from the low edge, or through the thickness from the low face.
        strips: Vec<Strip>,
        /// Which way they are glued.
        how: GlueUp,
    },
}

/// Which way strips are glued.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum GlueUp {
    /// Edge to edge: a wide board of narrow ones.
    EdgeToEdge,
    /// Face to face: a thick board of thin ones (laminated).
    FaceToFace,
}

impl GlueUp {
    /// The words of the bench.
    pub fn words(self) -> &'static str {
        match self {
            GlueUp::EdgeToEdge => "edge to edge",
            GlueUp::FaceToFace => "face to face",
        }
    }
}

/// One strip of a glued-up blank.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Strip {
    /// Name ("arm strip 1").
    pub name: String,
    /// Stock section.
    pub section: String,
    /// Width as ripped, before gluing.
    pub width: Length,
    /// Length as cut, before the blank is cut to shape.
    pub length: Length,
}

/// A part fitted at the bench: cut long or wide, offered up, then trimmed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fit {
    /// How much is left on.
    pub allowance: Length,
    /// What is trimmed: "rear edge", "right end".
    pub trim: String,
}

impl Fit {
    /// Whether an edge is trimmed, so that the part is left wider and not longer.
    pub fn is_across(&self) -> bool {
        self.trim.contains("edge")
    }
}

/// Edges rounded over, as data.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Softened {
    /// Which edges, in words.
    pub edges: String,
    /// Radius.
    pub radius: Length,
    /// Total length.
    pub length: Length,
}

impl Softened {
    /// Which edges, in words, once the board lies on its other face.
    pub(crate) fn seen(&self, flipped: bool) -> String {
        let other = |word| match word {
            "upper" => "lower",
            "lower" => "upper",
            same => same,
        };
        if !flipped {
            return self.edges.clone();
        }
        self.edges.split(' ').map(other).collect::<Vec<_>>().join(" ")
    }
}

/// Which defects of the wood a part may have.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Default)]
pub enum Defects {
    /// None.
    #[default]
    None,
    /// Those that show on one side only, which is turned to the back.
    Back,
    /// Any.
    Any,
}

/// Which defects, by the words that scripts use.
pub const DEFECT_WORDS: [(&str, Defects); 3] =
    [("none", Defects::None), ("back", Defects::Back), ("any", Defects::Any)];

/// One finished board. Board axes: x along the grain, y across the width, z through the thickness, origin at a corner.
#[derive(Clone, Debug)]
pub struct Part {
    /// Index in [`crate::Model::parts`].
    pub id: PartId,
    /// The script's own name, unique in the piece.
    pub name: String,
    /// The group it belongs to.
    pub group: GroupId,
    /// Catalogue name of the stock section.
    pub section: String,
    /// Catalogue id of the species.
    pub species: String,
    /// What it is cut from.
    pub blank: Blank,
    /// Whether it may be ripped from a wider section of the same thickness and species, where that is cheaper.
    pub from_wider: bool,
    /// Whether it is cut from a rectangle of its own, and never traced in a nest with others.
    pub alone: bool,
    /// Which defects of a board in hand it may have.
    pub defects: Defects,
    /// Finished length: the box that holds the finished part, along the grain. For a sprung part, its straight length.
    pub length: Length,
    /// Finished width.
    pub width: Length,
    /// Finished thickness.
    pub thickness: Length,
    /// Length to cut first; more than `length` for parts with a curved or fitted end.
    pub rough_length: Length,
    /// Width to rip first.
    pub rough_width: Length,
    /// Whether it is fitted at the bench, and how.
    pub fit: Option<Fit>,
    /// What is done to it, in shop order.
    pub features: Vec<Feature>,
    /// Rounded edges.
    pub softened: Vec<Softened>,
    /// The part as data for the solid.
    pub shape: Shape,
    /// The solid.
    pub solid: Arc<Solid>,
    /// Board frame to world.
    pub pose: DAffine3,
    /// Parts that are the same solid.
    pub set: SetId,
    /// The script line that made it.
    pub origin: Origin,
}

impl Part {
    /// The solid where it stands.
    pub fn placed(&self) -> Placed<'_> {
        Placed { solid: &self.solid, pose: self.pose }
    }
}
