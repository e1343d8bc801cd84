//! What a joint is once it is worked out: where its parts meet, its fasteners, glue and extras, as plain data.

use crate::{PartId, When};
use slatwork_base::{Angle, Area, Length, Origin};
use slatwork_catalog::FastenerKind;
use slatwork_solid::{DVec3, Hole};

/// Two boards and what holds them together.
#[derive(Clone, Debug)]
pub struct Joint {
    /// Kind, by the name of its entry in the table of joint kinds, or of the script that made it.
    pub kind: String,
    /// The kind of joint from a script that this one is a piece of.
    pub within: Option<String>,
    /// The parts: the one that is fastened, then the one that holds. A hanger eye goes through one or more, the one under
    /// the eye first; a chain hangs on one.
    pub parts: Vec<PartId>,
    /// Where they meet; `None` for eyes and chains.
    pub patch: Option<JointPatch>,
    /// Its fasteners, in the order of the layout.
    pub fastenings: Vec<Fastening>,
    /// Area spread with glue.
    pub glue: Option<Area>,
    /// What else it takes: washers, nuts, plugs, links.
    pub extras: Vec<Extra>,
    /// Where it was said.
    pub origin: Origin,
}

/// Where two parts meet.
#[derive(Clone, Debug)]
pub struct JointPatch {
    /// Corners of the convex hull of the contact, in order, world mm.
    pub corners: Vec<DVec3>,
    /// Area of the faces that meet, mm2; of the footprint when seated.
    pub area: f64,
    /// Middle, world mm.
    pub centre: DVec3,
    /// Unit normal, out of the first part into the second.
    pub normal: DVec3,
    /// Unit direction in the patch, along the grain of the first part where that lies in it, else of the second.
    pub along: DVec3,
    /// Unit direction in the patch square to `along`.
    pub across: DVec3,
    /// Extent along and across, mm.
    pub extent: (f64, f64),
    /// Greatest gap under a seated part, mm; zero when face to face.
    pub gap: f64,
    /// Whether the patch lies on end grain: of the first part, of the second.
    pub on_end: [bool; 2],
}

/// Metal of a fastener or its coating.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Metal {
    /// Stainless steel, 304 or better.
    Stainless,
    /// Hot-dip galvanized steel.
    Galvanized,
    /// Steel with a coating rated for outdoors.
    Coated,
    /// Wood.
    Wood,
}

impl Metal {
    /// The word at the counter.
    pub fn word(self) -> &'static str {
        match self {
            Metal::Stainless => "stainless",
            Metal::Galvanized => "hot-dip galvanized",
            Metal::Coated => "exterior coated",
            Metal::Wood => "hardwood",
        }
    }
}

/// How a fastener's head sits.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum HeadSeat {
    /// On the wood, or on a washer.
    Proud,
    /// Flush in a countersink of that diameter.
    Countersunk {
        /// Diameter at the surface.
        diameter: Length,
    },
    /// Below the surface in a counterbore.
    Counterbored {
        /// Diameter.
        diameter: Length,
        /// Depth.
        depth: Length,
        /// Closed with a wooden plug.
        plugged: bool,
    },
}

/// What drives a fastener home.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Drive {
    /// A driver bit, straight behind the head.
    Driver,
    /// A wrench or socket on the head; with a nut, one on either end.
    Wrench,
    /// A hammer.
    Hammer,
    /// A mallet, once the joint stands (pegs).
    Mallet,
    /// Nothing: pushed in by hand (dowels).
    Hand,
}

/// One fastener where it sits.
#[derive(Clone, Debug)]
pub struct Fastening {
    /// Catalogue id.
    pub item: String,
    /// Kind.
    pub kind: FastenerKind,
    /// Nominal diameter.
    pub diameter: Length,
    /// Length as bought.
    pub length: Length,
    /// Diameter of the head, of the nut's corners for a bolt; zero for dowels.
    pub head_diameter: Length,
    /// Metal or coating.
    pub metal: Metal,
    /// Middle of the head where it bears, world mm; for a dowel its outer end.
    pub head: DVec3,
    /// Unit direction from the head to the tip.
    pub direction: DVec3,
    /// The tip, world mm.
    pub tip: DVec3,
    /// Wood it passes, from the head to the tip.
    pub layers: Vec<Layer>,
    /// Where its thread begins and ends, mm from the head.
    pub thread: (f64, f64),
    /// How the head sits.
    pub seat: HeadSeat,
    /// What drives it.
    pub drive: Drive,
    /// The holes it needs.
    pub bores: Vec<Bore>,
}

impl Fastening {
    /// Length in the last layer, mm: the penetration into the part that holds, tip included.
    pub fn penetration(&self) -> f64 {
        self.layers.last().map_or(0.0, |layer| layer.to.min(self.length.as_mm()) - layer.from)
    }

    /// Length of thread in a layer, mm.
    pub fn thread_in(&self, layer: &Layer) -> f64 {
        (self.thread.1.min(layer.to) - self.thread.0.max(layer.from)).max(0.0)
    }

    /// Whether it goes right through the wood and is held by a nut beyond it.
    pub fn takes_nut(&self) -> bool {
        let beyond = self.layers.last().is_some_and(|last| self.length.as_mm() > last.to);
        beyond && self.drive == Drive::Wrench && self.kind != FastenerKind::LagScrew
    }

    /// How deep its head is sunk below the surface, mm.
    pub fn sunk(&self) -> f64 {
        match self.seat {
            HeadSeat::Counterbored { depth, .. } => depth.as_mm(),
            HeadSeat::Proud | HeadSeat::Countersunk { .. } => 0.0,
        }
    }
}

/// One layer of wood that a fastener passes.
#[derive(Clone, Debug)]
pub struct Layer {
    /// The part.
    pub part: PartId,
    /// Where it begins, mm from the head along the axis; negative in a counterbore's shadow.
    pub from: f64,
    /// Where the wood ends, mm from the head along the axis; beyond the tip in the last layer.
    pub to: f64,
    /// Angle of the axis to the grain: 90 degrees in side grain, 0 in end grain.
    pub grain: Angle,
    /// Least distance of the axis to an end of the part, along its grain, mm; infinite when the axis runs with the grain.
    pub end: f64,
    /// Least distance of the axis to an edge of the part, mm.
    pub edge: f64,
}

/// A hole that a fastener needs in a part.
#[derive(Clone, Debug)]
pub struct Bore {
    /// The part.
    pub part: PartId,
    /// The hole, in board axes.
    pub hole: Hole,
    /// What for ("clearance for #8 screw", "pilot for #8 screw", "pilot near an end for #8 screw").
    pub what: String,
    /// When it is bored.
    pub when: When,
    /// Diameter of the countersink at its mouth, 82 degrees.
    pub countersink: Option<Length>,
    /// Whether it is part of the part's solid: pilots drilled through another part's hole are not.
    pub in_solid: bool,
}

/// Something a joint takes beside its fasteners.
#[derive(Clone, Debug, PartialEq)]
pub struct Extra {
    /// Catalogue id.
    pub item: String,
    /// How many.
    pub count: usize,
    /// Length of each, for plugs and rods.
    pub length: Option<Length>,
    /// Metal or coating.
    pub metal: Metal,
}
