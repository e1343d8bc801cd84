//! Hanging hardware: eyes, chains, links, hooks, with what they may carry.

use crate::{Source, Status};
use indexmap::IndexMap;
use slatwork_base::{Angle, Length};

/// What kind of hardware.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum HardwareKind {
    /// Forged eye bolt through the wood, with nut.
    EyeBolt,
    /// Eye with a wood thread.
    ScrewEye,
    /// Chain by the metre.
    Chain,
    /// Quick link with a screwed gate.
    QuickLink,
    /// Link riveted, hammered or lapped shut.
    ClosedLink,
    /// Shackle with a screw pin.
    Shackle,
    /// Link with a sprung gate.
    SpringLink,
    /// Open S-hook.
    SHook,
    /// Welded ring.
    Ring,
    /// Comfort spring.
    Spring,
    /// Rope.
    Rope,
}

/// Every kind with its word in data files and scripts.
pub const HARDWARE_KINDS: [(HardwareKind, &str); 11] = [
    (HardwareKind::EyeBolt, "eye bolt"),
    (HardwareKind::ScrewEye, "screw eye"),
    (HardwareKind::Chain, "chain"),
    (HardwareKind::QuickLink, "quick link"),
    (HardwareKind::ClosedLink, "closed link"),
    (HardwareKind::Shackle, "shackle"),
    (HardwareKind::SpringLink, "spring link"),
    (HardwareKind::SHook, "s-hook"),
    (HardwareKind::Ring, "ring"),
    (HardwareKind::Spring, "spring"),
    (HardwareKind::Rope, "rope"),
];

impl HardwareKind {
    /// The word for it.
    pub fn word(self) -> &'static str {
        HARDWARE_KINDS.iter().find(|(kind, _)| *kind == self).map_or("", |(_, word)| word)
    }
}

/// Working load limit for a pull at one angle from the shank (0 is in line).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rating {
    /// Greatest angle of the pull from the shank that the figure holds for.
    pub up_to: Angle,
    /// Working load limit, N.
    pub working_load_n: f64,
    /// How the figure was come by.
    pub status: Status,
}

/// One piece of hardware.
#[derive(Clone, Debug, PartialEq)]
pub struct Hardware {
    /// Stable name: `eye_bolt_3_8`.
    pub id: String,
    /// Kind.
    pub kind: HardwareKind,
    /// What to ask for at the counter.
    pub name: String,
    /// Trade size: `3/8`, `M10`.
    pub size: String,
    /// Measures by name: `wire_diameter`, `pitch`, `inside_width`, `thread_length`..
    pub dims: IndexMap<String, Length>,
    /// Working load limits, by rising angle; empty when the maker's label must be read.
    pub ratings: Vec<Rating>,
    /// Breaking load over working load, as the makers state it.
    pub breaking_factor: Option<f64>,
    /// Why it may not carry people, if so.
    pub refused: Option<String>,
    /// What to know.
    pub note: String,
    /// Where the figures come from.
    pub source: Source,
}

/// What a chain needs to be laid out and counted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ChainSpec {
    /// Diameter of the wire.
    pub wire: Length,
    /// Inside length of a link: how much each link adds to the chain.
    pub pitch: Length,
    /// Inside width of a link.
    pub inside_width: Length,
    /// Outside width of a link: the room it needs.
    pub outside_width: Length,
}

/// A pull computed from coordinates is off the axis by rounding alone by less than this, and no builder could hang
/// anything truer; without it a chain that hangs straight down would lose two thirds of its eye's rating.
const ROUNDING_NOISE: Angle = Angle::deg(1e-6);

impl Hardware {
    /// Working load limit in line with the shank or chain, N.
    pub fn working_load_n(&self) -> Option<f64> {
        self.rating_at(Angle::ZERO).map(|rating| rating.working_load_n)
    }

    /// The rating for a pull at an angle from the shank: the figure of the next greater tabulated angle, never
    /// interpolated (design rule 10). `None` when there is none: then the pull is not allowed.
    pub fn rating_at(&self, angle: Angle) -> Option<Rating> {
        let angle = angle.abs() - ROUNDING_NOISE;
        self.ratings.iter().copied().find(|rating| angle <= rating.up_to)
    }

    /// Any measure by its name.
    pub fn dim(&self, name: &str) -> Option<Length> {
        self.dims.get(name).copied()
    }

    /// The measures of a chain's links; `None` when this is no chain or its links are not known.
    pub fn chain(&self) -> Option<ChainSpec> {
        if self.kind != HardwareKind::Chain {
            return None;
        }
        let wire = self.dim("wire_diameter")?;
        let inside_width = self.dim("inside_width")?;
        Some(ChainSpec {
            wire,
            pitch: self.dim("pitch")?,
            inside_width,
            outside_width: inside_width + wire + wire,
        })
    }
}
