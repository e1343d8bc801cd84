//! What is done to a board, in shop order, and when.

use slatwork_base::{Angle, Length, Origin};
use slatwork_solid::{HalfSpace, Hole, Notch, Path};

/// When a feature is made.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub enum When {
    /// At the bench, before anything is put together.
    #[default]
    AtBench,
    /// With the board in place, after the named parts stand.
    InPlace {
        /// Names of the parts that must be in place.
        after: Vec<String>,
    },
    /// Drilled on through the hole of another part, the two held together in place.
    Through {
        /// The part with the hole.
        part: String,
    },
    /// Marked from the named part held in place, then cut at the bench.
    MarkedFrom {
        /// Names of the parts it is marked from.
        parts: Vec<String>,
    },
}

/// One of the two ends of a board.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum BoardEnd {
    /// At x = 0 in board axes; the datum end.
    Low,
    /// At x = length.
    High,
}

/// One of the two edges of a board.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum BoardEdge {
    /// At y = 0 in board axes; the datum edge.
    Low,
    /// At y = width.
    High,
}

/// Two saw angles of one cut: how the mitre scale is set and how the blade is tilted.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Setting {
    /// Angle of the cut line on the wide face from square across; positive when the far edge (y = width) is the longer.
    pub mitre: Angle,
    /// Tilt of the cut through the thickness from square; positive when the upper face (z = thickness) is the longer.
    pub bevel: Angle,
}

/// Why wood is taken out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NotchPurpose {
    /// Fits round another part.
    Cope {
        /// The part it fits round.
        around: String,
    },
    /// Houses another part.
    Housing {
        /// The part let in.
        of: String,
    },
    /// Half of a halved joint.
    HalfLap {
        /// The other half.
        with: String,
    },
    /// Shoulders of a tenon.
    Tenon {
        /// The part with its mortise.
        into: String,
    },
    /// A mortise.
    Mortise {
        /// The part with its tenon.
        of: String,
    },
    /// A plain notch.
    Plain,
}

impl NotchPurpose {
    /// The names of parts it mentions, to be rewritten for a mirror image.
    pub(crate) fn names(&mut self) -> Option<&mut String> {
        match self {
            NotchPurpose::Cope { around: name }
            | NotchPurpose::Housing { of: name }
            | NotchPurpose::HalfLap { with: name }
            | NotchPurpose::Tenon { into: name }
            | NotchPurpose::Mortise { of: name } => Some(name),
            NotchPurpose::Plain => None,
        }
    }
}

/// What is done.
#[derive(Clone, Debug, PartialEq)]
pub enum FeatureKind {
    /// Ripped from the section's width to a smaller one.
    Rip {
        /// Finished width.
        width: Length,
        /// Width before.
        from: Length,
    },
    /// Planed to a smaller thickness.
    Plane {
        /// Finished thickness.
        thickness: Length,
        /// Thickness before.
        from: Length,
    },
    /// An edge planed or sawn to an angle.
    BevelRip {
        /// Which edge.
        edge: BoardEdge,
        /// Angle from square to the face; positive when the upper face (z = thickness) is the wider.
        angle: Angle,
        /// The cut.
        plane: HalfSpace,
    },
    /// An end cut at an angle: mitre, bevel or both (compound). Square ends are not listed.
    EndCut {
        /// Which end.
        end: BoardEnd,
        /// Saw settings.
        setting: Setting,
        /// The cut.
        plane: HalfSpace,
    },
    /// An outline sawn from a pattern: the whole wide face, or one line of it.
    Outline {
        /// The line as drawn, in board axes (x, y), or (x, z) for a hollowed board.
        line: Path,
        /// What it is, in the script's words ("crest", "scoop").
        what: String,
    },
    /// Bent to a curve when fixed (a slat pulled down to its bearers); sawn straight.
    Spring {
        /// How far the middle goes down from the line of the ends.
        rise: Length,
    },
    /// Wood taken out, with what a builder marks: where it starts from the low end, how long it is along the grain,
    /// where it starts from the low edge, how wide it is, and how deep from the face.
    Notch {
        /// What is taken out: convex regions that make one hollow together (several where the other part is curved or
        /// notched itself).
        regions: Vec<Notch>,
        /// Why.
        purpose: NotchPurpose,
        /// From the low end to the near wall, at its widest.
        from_end: Length,
        /// Extent along the grain.
        along: Length,
        /// From the low edge to the near wall.
        from_edge: Length,
        /// Extent across the width.
        across: Length,
        /// Extent through the thickness.
        depth: Length,
        /// Steepest lean of a wall from square to the face; zero for square walls.
        wall: Angle,
        /// Play left round the other part.
        clearance: Length,
    },
    /// A hole.
    Hole {
        /// The bore.
        hole: Hole,
        /// What for, in the trade's words ("clearance for chain").
        what: String,
        /// Angle of the axis from square to the entry face.
        lean: Angle,
        /// Diameter of a countersink at its mouth, 82 degrees.
        countersink: Option<Length>,
    },
    /// Edges rounded over. Not in the solid; drawn and counted.
    Soften {
        /// Which, in words ("long edges", "all edges").
        edges: String,
        /// Radius.
        radius: Length,
        /// Total length of edge.
        length: Length,
    },
}

/// One step of making a board.
#[derive(Clone, Debug, PartialEq)]
pub struct Feature {
    /// What is done.
    pub kind: FeatureKind,
    /// When.
    pub when: When,
    /// The script line that asked for it.
    pub origin: Origin,
}

impl FeatureKind {
    /// Rank in the order of shop work: rip, plane, bevel, crosscut, outline, notch, hole, soften (trade practice: curves
    /// and holes before edges are rounded; common practice, no source).
    pub fn rank(&self) -> u8 {
        match self {
            FeatureKind::Plane { .. } => 0,
            FeatureKind::Rip { .. } => 1,
            FeatureKind::BevelRip { .. } => 2,
            FeatureKind::EndCut { .. } => 3,
            FeatureKind::Outline { .. } => 4,
            FeatureKind::Notch { .. } => 5,
            FeatureKind::Hole { .. } => 6,
            FeatureKind::Soften { .. } => 7,
            FeatureKind::Spring { .. } => 8,
        }
    }
}
