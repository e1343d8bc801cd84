//! Ends that are cut down to a part of their section: notched ends, half laps, tenons.

use super::sections::Sections;
use super::slice::Slice;
use slatwork_model::Part;
use slatwork_solid::Solid;
use std::cell::OnceCell;

/// An end that is cut down, in board axes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tongue {
    /// Where the whole section begins, along the grain, mm.
    pub x: f64,
    /// Whether it is the end at which the board begins.
    pub first: bool,
    /// Whether wood is missing from the width (y), else from the thickness (z).
    pub of_width: bool,
    /// Depth of the whole board behind it that way, mm.
    pub whole: f64,
    /// Depth that is left, mm.
    pub left: f64,
    /// Breadth of what is left, square to the depth, mm.
    pub breadth: f64,
    /// Whether wood is missing on the side of the lesser coordinate, of the greater.
    pub missing: [bool; 2],
}

/// Sections are compared so far to either side of a shoulder, mm: beyond rounding of the cut.
const BESIDE: f64 = 1.0;
/// Less that is missing is a chamfer or the slope of a tapered board, mm (project choice).
const SHALLOW: f64 = 3.0;
/// Shorter tongues are the tips of ends cut at a slope, mm (project choice: none that bears anything is so short).
const SHORTEST: f64 = 10.0;
/// A shoulder out of square ends within this share of the board's depth behind where it begins (tangent of 14 degrees).
const SLOPE: f64 = 0.25;
/// Shoulders are looked for over this share of a part's length from each end: farther in they belong to the other.
const HALF: f64 = 0.5;

impl Tongue {
    /// Both ways at both ends of a part.
    pub fn all(part: &Part, sections: &Sections) -> Vec<Tongue> {
        // One convex piece has no inner corner.
        if part.solid.pieces().len() < 2 {
            return Vec::new();
        }
        let shoulders = shoulders(&part.solid);
        let back = || shoulders.iter().rev();
        let find = |first, of_width| {
            if first {
                find((part, sections), shoulders.iter(), first, of_width)
            } else {
                find((part, sections), back(), first, of_width)
            }
        };
        [(true, true), (true, false), (false, true), (false, false)]
            .into_iter()
            .filter_map(|(first, of_width)| find(first, of_width))
            .collect()
    }
}

/// A place along a solid where its section may change at once.
struct Shoulder {
    x: f64,
    /// The sections before and behind it, worked out when first asked for.
    sides: OnceCell<[Option<Slice>; 2]>,
}

impl Shoulder {
    /// The sections to either side, the outer first.
    fn sides(&self, sections: &Sections, first: bool) -> Option<[Slice; 2]> {
        let sides = || [-BESIDE, BESIDE].map(|off| sections.at(self.x + off));
        let [before, behind] = *self.sides.get_or_init(sides);
        if first { Some([before?, behind?]) } else { Some([behind?, before?]) }
    }
}

/// Places along a solid where its section may change at once.
fn shoulders(solid: &Solid) -> Vec<Shoulder> {
    let mut places: Vec<f64> =
        solid.pieces().iter().flat_map(|piece| piece.vertices()).map(|corner| corner.x).collect();
    places.sort_by(f64::total_cmp);
    places.dedup_by(|next, last| *next - *last < BESIDE);
    places.into_iter().map(|x| Shoulder { x, sides: OnceCell::new() }).collect()
}

/// The outermost shoulder from an end on, if nothing outside it is as deep as what lies behind it.
fn find<'s>(
    (part, sections): (&Part, &Sections),
    shoulders: impl Iterator<Item = &'s Shoulder>,
    first: bool,
    of_width: bool,
) -> Option<Tongue> {
    let bounds = part.solid.bounds();
    let inward = if first { 1.0 } else { -1.0 };
    let end = if first { bounds.min.x } else { bounds.max.x };
    let axis = usize::from(!of_width);
    let reach = (bounds.max.x - bounds.min.x) * HALF;
    let depth = |slice: &Slice| slice.size()[axis];
    let mut outside = 0.0_f64;
    let inside = |shoulder: &Shoulder| (shoulder.x - end).abs();
    let near = shoulders.skip_while(|own| inside(own) < SHORTEST).take_while(|own| inside(own) < reach);
    for shoulder in near {
        let x = shoulder.x;
        let [outer, inner] = shoulder.sides(sections, first)?;
        outside = outside.max(depth(&outer));
        let missing = [outer.low[axis] - inner.low[axis], inner.high[axis] - outer.high[axis]];
        if missing.iter().all(|lost| *lost < SHALLOW) {
            continue;
        }
        let behind = sections.at(x + inward * depth(&inner) * SLOPE).unwrap_or(inner);
        let whole = depth(&behind).max(depth(&inner));
        if outside > whole - SHALLOW {
            return None;
        }
        return Some(Tongue {
            x,
            first,
            of_width,
            whole,
            left: depth(&outer),
            breadth: outer.area / depth(&outer),
            missing: missing.map(|lost| lost >= SHALLOW),
        });
    }
    None
}
