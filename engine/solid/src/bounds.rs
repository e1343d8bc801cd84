//! [`Bounds`]: boxes along the axes.

use crate::DVec3;

/// A box along the axes, corners included.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bounds {
    /// Least coordinates, mm.
    pub min: DVec3,
    /// Greatest coordinates, mm.
    pub max: DVec3,
}

impl Bounds {
    /// A box around nothing: the neutral element of [`Bounds::union`].
    pub const EMPTY: Bounds = Bounds { min: DVec3::INFINITY, max: DVec3::NEG_INFINITY };

    /// The least box around points.
    pub fn around(points: impl IntoIterator<Item = DVec3>) -> Self {
        let grow = |bounds: Bounds, point| Bounds { min: bounds.min.min(point), max: bounds.max.max(point) };
        points.into_iter().fold(Bounds::EMPTY, grow)
    }

    /// The least box around both.
    pub fn union(&self, other: &Bounds) -> Bounds {
        Bounds { min: self.min.min(other.min), max: self.max.max(other.max) }
    }

    /// Lengths of the three sides, mm.
    pub fn size(&self) -> DVec3 {
        self.max - self.min
    }

    /// The middle of the box.
    pub fn centre(&self) -> DVec3 {
        (self.min + self.max) * 0.5
    }

    /// Whether the point lies in the box, its border included.
    pub fn contains(&self, point: DVec3) -> bool {
        self.min.cmple(point).all() && point.cmple(self.max).all()
    }

    /// Whether the boxes come within `margin` mm of each other; a negative margin asks for that much overlap.
    pub fn overlaps(&self, other: &Bounds, margin: f64) -> bool {
        let reach = DVec3::splat(margin);
        (self.min - reach).cmple(other.max).all() && other.min.cmple(self.max + reach).all()
    }

    /// Least distance between two boxes, 0 when they meet.
    pub fn distance(&self, other: &Bounds) -> f64 {
        (other.min - self.max).max(self.min - other.max).max(DVec3::ZERO).length()
    }

    /// The eight corners.
    pub fn corners(&self) -> [DVec3; 8] {
        std::array::from_fn(|index| {
            let pick = |bit: usize, low: f64, high: f64| if index & bit == 0 { low } else { high };
            DVec3::new(
                pick(1, self.min.x, self.max.x),
                pick(2, self.min.y, self.max.y),
                pick(4, self.min.z, self.max.z),
            )
        })
    }
}
