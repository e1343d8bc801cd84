//! [`Tolerance`] and the fixed tolerances of the kernel, each with its reason.

/// How finely curves become facets.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tolerance {
    /// Greatest distance of a facet from the arc it stands for, mm.
    pub chord: f64,
    /// Sides of the polygon that stands for a round hole. The polygon has the area of the circle.
    pub hole_sides: usize,
}

impl Default for Tolerance {
    /// 0.05 mm, a tenth of the finest pencil line; 24 sides keep a hole of 10 mm within 0.03 mm of round.
    fn default() -> Self {
        Tolerance { chord: 0.05, hole_sides: 24 }
    }
}

impl Tolerance {
    /// Fewest sides that still make a hole.
    pub(crate) const LEAST_SIDES: usize = 6;
    /// Finest chord, mm: below it the count of facets explodes without any change that a tool could show.
    pub(crate) const LEAST_CHORD: f64 = 1e-4;

    /// The same, with values that cannot stall or break the kernel.
    pub(crate) fn tamed(self) -> Self {
        let chord = if self.chord.is_finite() { self.chord.max(Self::LEAST_CHORD) } else { 0.05 };
        Tolerance { chord, hole_sides: self.hole_sides.clamp(Self::LEAST_SIDES, 360) }
    }
}

/// A vertex this near to a cutting plane counts as on it, mm: a thousand times the rounding noise of a 10 m board
/// turned in space, a thousandth of [`WELD`].
pub(crate) const CLIP_SNAP: f64 = 1e-7;
/// Vertices this near are one; a vertex this near to an edge splits it, mm. Far below any mark on wood, far above
/// what [`CLIP_SNAP`] can move a point along a plane that is met at a shallow angle.
pub(crate) const WELD: f64 = 1e-4;
/// Normals that differ by less than this are of one plane (a tenth of a micrometre over 10 m) ...
pub(crate) const SAME_NORMAL: f64 = 1e-8;
/// ... when their offsets differ by less than this, mm.
pub(crate) const SAME_OFFSET: f64 = 1e-5;
/// Room that a hole must leave to every edge and other hole to be kept as a true cylinder, mm.
pub(crate) const HOLE_MARGIN: f64 = 1e-3;
/// Two boards pressed together by less than this only touch, mm: rounding of placements, far below shop accuracy.
pub(crate) const TOUCH: f64 = 0.01;
/// The same where a curved face takes part, mm: facets lie up to one chord (0.05) off, on both sides.
pub(crate) const TOUCH_CURVED: f64 = 0.1;
/// Overlap below this is not reported, mm^3: a cube of a tenth of a millimetre.
pub(crate) const LEAST_OVERLAP: f64 = 1e-3;
/// Faces whose normals are opposed within this 1 - cos may be in contact (half a thousandth of a radian).
pub(crate) const OPPOSED: f64 = 1e-7;
/// Contact patches smaller than this are lines or points, mm^2.
pub(crate) const LEAST_PATCH: f64 = 1e-3;
/// Greatest coordinate of a board, mm: a kilometre. Beyond it a double has fewer than three digits left below [`CLIP_SNAP`].
pub(crate) const FARTHEST: f64 = 1e6;
