//! Distances of fasteners: what layout aims at, what is noted, what fails.

use slatwork_base::{Length, maths};

/// Diameter from which the rules for large fasteners apply, mm: 1/4 in (NDS 12.5.1).
pub const LARGE: f64 = 6.35;

/// Least wood beside, beyond and between fasteners, mm (project choice, design rule on fastener distances).
pub const LEAST_WOOD: f64 = 3.0;

/// Bores begin this far off the wood, mm, so that rounding leaves no skin.
pub(crate) const LEAD_IN: f64 = 1.0;

/// A bolt hole is bored this much over the bolt where the table has no drill: 1/32 in (NDS 12.1.3.2: 1/32 to 1/16 in; from
/// memory).
pub(crate) const BOLT_PLAY: Length = Length::sixty_fourths(2);

/// Thread that shows beyond a nut, mm: two or three turns (common practice, no source).
pub(crate) const BEYOND_NUT: f64 = 3.0;

/// Mortises and dowel holes are this much deeper than what goes in, mm: room for glue (common practice, no source).
pub(crate) const GLUE_ROOM: f64 = 1.5;

/// Bits come in steps of this, mm: a sixteenth of an inch (common practice, no source; large metric bits come in whole
/// millimetres, which is finer).
const BIT_STEP: f64 = 25.4 / 16.0;

/// The next size of bit up, mm.
pub(crate) fn next_bit(diameter: f64) -> f64 {
    // A diameter that is a size already must not be pushed to the next one by rounding noise.
    ((diameter / BIT_STEP) - 1e-9).ceil() * BIT_STEP
}

/// Distances as multiples of the diameter.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Distances {
    /// To an edge.
    pub edge: f64,
    /// To an end, along the grain.
    pub end: f64,
    /// Between two in one line of grain.
    pub in_row: f64,
    /// Between two side by side across the grain.
    pub abreast: f64,
    /// Between two lines of grain, staggered.
    pub staggered: f64,
}

/// Below these a fastener fails: 1.5 D to an edge, 4 D to an end, 3 D in a row, all prebored (project choice after the
/// least values of NDS 12.5.1 for larger fasteners).
pub const LEAST: Distances = Distances { edge: 1.5, end: 4.0, in_row: 3.0, abreast: 3.0, staggered: 1.5 };

/// Under these a screw or nail is noted, prebored (NDS Commentary Tables C12.1.5.7 and C12.1.6.6, advisory; end distance of
/// an end that is not pulled).
pub const SMALL_ADVISED: Distances =
    Distances { edge: 2.5, end: 5.0, in_row: 10.0, abreast: 5.0, staggered: 2.5 };

/// Under these a bolt or lag screw is noted: the distances of full strength for loads across the grain (NDS Tables 12.5.1A
/// to D: end 4 D, edge 1.5 D unloaded, spacing 4 D in a row; abreast 2.5 D for thin pieces).
pub const LARGE_ADVISED: Distances =
    Distances { edge: 1.5, end: 4.0, in_row: 4.0, abreast: 2.5, staggered: 2.5 };

/// Least end distance of a bolt or lag screw whose load pushes across the grain or away from the end, in diameters (NDS Table
/// 12.5.1A: half of the full value).
pub const LARGE_LEAST_END: f64 = 2.0;

/// End distance that the layout tries for first, in diameters: lateral load toward the end, softwood (trade practice; NDS
/// Table 12.5.1A has the same 7 D for bolts).
pub const AIMED_END: f64 = 7.0;

/// Edge distance that the layout tries for first with large fasteners, in diameters: a loaded edge (NDS Table 12.5.1C).
pub const LARGE_AIMED_EDGE: f64 = 4.0;

/// The advised distances for a diameter in mm.
pub fn advised(diameter: f64) -> Distances {
    if diameter < LARGE - 1e-6 { SMALL_ADVISED } else { LARGE_ADVISED }
}

/// The least distances for a diameter in mm.
pub fn least(diameter: f64) -> Distances {
    if diameter < LARGE - 1e-6 { LEAST } else { Distances { end: LARGE_LEAST_END, ..LEAST } }
}

/// How bad a distance is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub enum Nearness {
    /// As advised or more.
    #[default]
    Fine,
    /// Less than advised.
    Close,
    /// Too little.
    Fails,
}

/// Rounding of computed distances never decides, mm.
const NOISE: f64 = 0.01;

fn judge(have: f64, least: f64, advised: f64) -> Nearness {
    if have < least - NOISE {
        Nearness::Fails
    } else if have < advised - NOISE {
        Nearness::Close
    } else {
        Nearness::Fine
    }
}

/// Judges the distance of an axis to an edge, mm.
pub fn edge(diameter: f64, distance: f64) -> Nearness {
    let wood = diameter / 2.0 + LEAST_WOOD;
    judge(distance, (least(diameter).edge * diameter).max(wood), advised(diameter).edge * diameter)
}

/// Judges the distance of an axis to an end, mm.
pub fn end(diameter: f64, distance: f64) -> Nearness {
    judge(distance, least(diameter).end * diameter, advised(diameter).end * diameter)
}

/// Judges the distance of two like fasteners in one part: so far apart along its grain, so far across it, mm.
pub fn spacing(diameter: f64, along: f64, across: f64) -> Nearness {
    let (fails, advised) = (least(diameter), advised(diameter));
    if maths::hypot(along, across) < fails.in_row * diameter - NOISE {
        return Nearness::Fails;
    }
    // Off the line of grain by the staggered distance they do not split one another.
    let parted = across >= advised.staggered * diameter - NOISE;
    let beside = along < diameter && across < advised.abreast * diameter - NOISE;
    let in_line = !parted && along < advised.in_row * diameter - NOISE;
    if in_line || beside { Nearness::Close } else { Nearness::Fine }
}

/// Judges the distance of two like fasteners in end grain, mm: it does not split in a line of grain, so only the least counts.
pub fn spacing_on_end(diameter: f64, distance: f64) -> Nearness {
    let least = least(diameter).in_row * diameter;
    judge(distance, least, least)
}
