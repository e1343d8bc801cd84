//! Screws, bolts, nails, nuts and washers, and the drills that go with them.

use crate::Source;
use indexmap::IndexMap;
use slatwork_base::Length;

/// What kind of fastener.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum FastenerKind {
    /// Flat-head wood screw with a cut thread.
    WoodScrew,
    /// Coated exterior screw.
    DeckScrew,
    /// Hex lag screw.
    LagScrew,
    /// Round-head bolt with a square neck.
    CarriageBolt,
    /// Hex bolt.
    HexBolt,
    /// Hex nut.
    HexNut,
    /// Narrow flat washer.
    Washer,
    /// Wide flat washer, for wood.
    WideWasher,
    /// Fender washer.
    FenderWasher,
    /// Common nail.
    Nail,
    /// Finish nail or brad.
    FinishNail,
    /// Threaded insert for knock-down joints.
    ThreadedInsert,
    /// Cross dowel that takes a bolt across the grain.
    BarrelNut,
    /// Wooden dowel.
    Dowel,
    /// Wooden plug over a sunk head.
    Plug,
}

/// Every kind with its word in data files and scripts, in the order lists show them.
pub const FASTENER_KINDS: [(FastenerKind, &str); 15] = [
    (FastenerKind::WoodScrew, "wood screw"),
    (FastenerKind::DeckScrew, "deck screw"),
    (FastenerKind::LagScrew, "lag screw"),
    (FastenerKind::CarriageBolt, "carriage bolt"),
    (FastenerKind::HexBolt, "hex bolt"),
    (FastenerKind::HexNut, "hex nut"),
    (FastenerKind::Washer, "washer"),
    (FastenerKind::WideWasher, "wide washer"),
    (FastenerKind::FenderWasher, "fender washer"),
    (FastenerKind::Nail, "nail"),
    (FastenerKind::FinishNail, "finish nail"),
    (FastenerKind::ThreadedInsert, "threaded insert"),
    (FastenerKind::BarrelNut, "barrel nut"),
    (FastenerKind::Dowel, "dowel"),
    (FastenerKind::Plug, "plug"),
];

impl FastenerKind {
    /// The word for it.
    pub fn word(self) -> &'static str {
        FASTENER_KINDS.iter().find(|(kind, _)| *kind == self).map_or("", |(_, word)| word)
    }
}

/// One fastener in one gauge or diameter, with the lengths it comes in.
#[derive(Clone, Debug, PartialEq)]
pub struct Fastener {
    /// Stable name: `wood_screw_8`.
    pub id: String,
    /// Kind.
    pub kind: FastenerKind,
    /// Gauge or nominal diameter as bought: `#8`, `3/8`.
    pub size: String,
    /// Shank, thread or nominal outside diameter.
    pub diameter: Length,
    /// Other measures by name: `root_diameter`, `head_diameter`, `head_height`, `across_flats`, `inner_diameter`..
    pub dims: IndexMap<String, Length>,
    /// Threads in one inch.
    pub threads_per_inch: Option<f64>,
    /// Lengths it comes in, ascending; empty for nuts and washers.
    pub lengths: Vec<Length>,
    /// What to know.
    pub note: String,
    /// Where the figures come from.
    pub source: Source,
}

impl Fastener {
    /// Diameter under the thread for strength: the design figure, else the measured average.
    pub fn root_diameter(&self) -> Option<Length> {
        self.dim("root_diameter").or_else(|| self.dim("root_diameter_average"))
    }

    /// Diameter of the head, across flats for hex heads.
    pub fn head_diameter(&self) -> Option<Length> {
        self.dim("head_diameter").or_else(|| self.dim("across_flats"))
    }

    /// Diameter of the head that strength is worked out with: that of the standard's tables where they have one. A flat head with a
    /// sharp edge is larger, and more than may be counted on.
    pub fn design_head_diameter(&self) -> Option<Length> {
        self.dim("head_diameter_design").or_else(|| self.head_diameter())
    }

    /// Height of the head.
    pub fn head_height(&self) -> Option<Length> {
        self.dim("head_height")
    }

    /// Any measure by its name.
    pub fn dim(&self, name: &str) -> Option<Length> {
        self.dims.get(name).copied()
    }
}

/// Drills for one fastener.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DrillSizes {
    /// The fastener's kind.
    pub kind: FastenerKind,
    /// The fastener's size.
    pub size: String,
    /// Through the outer piece.
    pub clearance: Length,
    /// Pilot in softwood.
    pub pilot_softwood: Length,
    /// Pilot in hardwood.
    pub pilot_hardwood: Length,
    /// Pilot in softwood near an edge or end.
    pub edge_pilot_softwood: Option<Length>,
    /// Pilot in hardwood near an edge or end.
    pub edge_pilot_hardwood: Option<Length>,
    /// Counterbore that takes the head and a plug.
    pub counterbore: Option<Length>,
    /// Where the figures come from.
    pub source: Source,
}

/// Sizes compared without blanks and with `#8`, `no. 8` and `8` the same; inch marks and letter case dropped.
pub(crate) fn size_key(size: &str) -> String {
    let lower = size.to_lowercase();
    let bare: String =
        lower.chars().filter(|c| !c.is_whitespace() && !matches!(c, '#' | '"' | '″')).collect();
    let bare = bare.strip_prefix("no.").or_else(|| bare.strip_prefix("no")).unwrap_or(&bare);
    bare.strip_suffix("in").unwrap_or(bare).to_string()
}
