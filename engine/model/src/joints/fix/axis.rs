//! An axis through the two parts of a joint.

use crate::Part;
use crate::joints::seam::Seam;
use slatwork_solid::{DVec2, DVec3, along};

/// Layers are looked for this far to either side of the seam, mm: more than any part is wide.
pub(super) const REACH: f64 = 600.0;

/// A layer ends at the seam when it ends within this of it, mm: contact, and the gap under a seated part.
pub(super) const AT_SEAM: f64 = 2.0;

/// The two layers along an axis: mm from the seam, negative in the first part.
#[derive(Clone, Copy, Debug)]
pub(super) struct Axis {
    pub(super) point: DVec3,
    pub(super) direction: DVec3,
    /// Where the axis enters the first part.
    pub(super) outer: f64,
    /// Where it enters and leaves the second.
    pub(super) inner: (f64, f64),
}

impl Axis {
    pub(super) fn at(seam: &Seam, flat: DVec2) -> Option<Self> {
        let point = seam.world(flat);
        let direction = seam.patch.normal;
        let span = |part: &Part| along(&part.placed(), point - direction * REACH, point + direction * REACH);
        let near = |value: f64| (value - REACH).abs() <= AT_SEAM + seam.patch.gap;
        let outer = span(seam.first).into_iter().find(|layer| near(layer.1))?;
        let inner = span(seam.second).into_iter().find(|layer| near(layer.0))?;
        Some(Axis { point, direction, outer: outer.0 - REACH, inner: (inner.0 - REACH, inner.1 - REACH) })
    }

    /// Thickness of the first part and the gap behind it.
    pub(super) fn thickness(&self) -> f64 {
        self.inner.0.max(0.0) - self.outer
    }

    pub(super) fn holding(&self) -> f64 {
        self.inner.1 - self.inner.0
    }

    pub(super) fn world(&self, at: f64) -> DVec3 {
        self.point + self.direction * at
    }
}
