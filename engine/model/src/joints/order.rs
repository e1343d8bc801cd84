//! A joint as a script asks for it.

use crate::BoardId;
use slatwork_base::Length;
use slatwork_solid::DVec3;

/// A joint as a script asks for it; whatever is left out is chosen by rule.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct JointOrder {
    /// Kind, by name.
    pub kind: String,
    /// The kind of joint from a script that asks for this one.
    pub within: Option<String>,
    /// Catalogue id of the fastener.
    pub fastener: Option<String>,
    /// How many fasteners.
    pub count: Option<usize>,
    /// Their length.
    pub length: Option<Length>,
    /// Their places from the middle of the patch: along the grain of the first part, and across.
    pub at: Vec<(Length, Length)>,
    /// Where a single fastener enters the wood, world mm, and the unit direction it goes.
    pub axis: Option<(DVec3, DVec3)>,
    /// Further boards that its bolts go through, behind the first or beyond the second.
    pub also: Vec<BoardId>,
    /// How far fasteners stay off the ends of the contact, along the grain of the first part.
    pub inset: Option<Length>,
    /// How deep heads are sunk below the surface.
    pub sink: Option<Length>,
    /// Heads are sunk and closed with wooden plugs.
    pub plug: bool,
    /// Glued, or left dry; by the kind when not said.
    pub glue: Option<bool>,
    /// The second part is the one that is fastened, through into the first.
    pub from_second: bool,
    /// Length of a tenon, out of its shoulder.
    pub tenon: Option<Length>,
    /// Thickness of a tenon.
    pub tenon_thickness: Option<Length>,
}
