//! Mirror images: what has been laid out on one side of a piece is laid out alike on the other.

use super::rules::Nearness;
use super::{Fastening, Fixed, Met};
use crate::PartId;
use slatwork_solid::{Bounds, DVec3};

/// Parts whose bounds are images of each other to this are images, mm: facets of curves may differ by as much.
const SAME_PLACE: f64 = 0.02;

/// The parts of a piece that stand mirrored about its middle from side to side, and the joints laid out so far.
pub(super) struct Images {
    /// The middle, mm.
    middle: f64,
    /// The image of each part; its own is the part itself.
    of: Vec<Option<PartId>>,
    laid: Vec<Laid>,
}

/// A joint that has been laid out.
struct Laid {
    kind: &'static str,
    parts: [PartId; 2],
    layout: Likely,
}

/// Where fasteners are likely to stand well.
#[derive(Clone, Debug)]
pub(crate) struct Likely {
    /// A point on the axis of each and its direction, in the world.
    pub(crate) axes: Vec<(DVec3, DVec3)>,
    /// mm.
    pub(crate) diameter: f64,
    /// How badly they stand on the other side.
    pub(crate) worst: Nearness,
}

impl Images {
    pub(super) fn of(boxes: &[Bounds], middle: f64) -> Images {
        let across = |at: f64| 2.0 * middle - at;
        let of = boxes.iter().map(|own| {
            let low = DVec3::new(across(own.max.x), own.min.y, own.min.z);
            let high = DVec3::new(across(own.min.x), own.max.y, own.max.z);
            let is_image = |other: &Bounds| {
                other.min.abs_diff_eq(low, SAME_PLACE) && other.max.abs_diff_eq(high, SAME_PLACE)
            };
            boxes.iter().position(is_image).map(PartId)
        });
        Images { middle, of: of.collect(), laid: Vec::new() }
    }

    /// The layout of a joint's image, mirrored, where that has been laid out already.
    pub(super) fn likely(&self, met: &Met) -> Option<Likely> {
        let own = [met.seam.first.id, met.seam.second.id];
        let image = [self.of[own[0].0]?, self.of[own[1].0]?];
        if image == own {
            return None;
        }
        let is_image = |laid: &&Laid| laid.parts == image && laid.kind == met.kind.name;
        let mut likely = self.laid.iter().find(is_image)?.layout.clone();
        for (point, direction) in &mut likely.axes {
            point.x = 2.0 * self.middle - point.x;
            direction.x = -direction.x;
        }
        Some(likely)
    }

    /// Keeps what a joint has got.
    pub(super) fn keep(&mut self, met: &Met, fixed: &Fixed) {
        let Some(diameter) = fixed.fastenings.first().map(|one| one.diameter.as_mm()) else { return };
        let axis = |one: &Fastening| (one.head, one.direction);
        self.laid.push(Laid {
            kind: met.kind.name,
            parts: [met.seam.first.id, met.seam.second.id],
            layout: Likely {
                axes: fixed.fastenings.iter().map(axis).collect(),
                diameter,
                worst: fixed.worst,
            },
        });
    }

    /// How many joints have been kept.
    pub(super) fn count(&self) -> usize {
        self.laid.len()
    }

    /// Forgets all but so many joints.
    pub(super) fn forget_after(&mut self, count: usize) {
        self.laid.truncate(count);
    }
}
