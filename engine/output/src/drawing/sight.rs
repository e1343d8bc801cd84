//! A piece seen from one corner, worked out once for many pictures that show some of it.

use crate::drawing::merge::Projected;
use crate::drawing::view::Camera;
use crate::drawing::visible::{Grid, HiddenBy};
use crate::drawing::wire::{Wire, WireEdge, shows};
use slatwork_solid::DVec2;
use std::sync::{Arc, OnceLock};

/// All bodies in their places, seen from one corner.
pub(crate) struct Sight {
    pub(crate) camera: Camera,
    /// What can hide something.
    pub(crate) grid: Arc<Grid>,
    /// For each body the lower left and the upper right corner of what is seen of it, mm on the view; none for one without triangles.
    pub(crate) boxes: Vec<Option<[DVec2; 2]>>,
    hidden: Vec<OnceLock<Vec<Vec<HiddenBy>>>>,
    curves: Vec<OnceLock<Vec<Option<Projected>>>>,
}

impl Sight {
    /// `wires` holds each body by itself, in its place.
    pub(crate) fn of(wires: &[Wire], camera: Camera) -> Self {
        let mut whole = Wire::default();
        wires.iter().for_each(|own| whole.triangles.extend_from_slice(&own.triangles));
        Sight {
            camera,
            grid: Arc::new(Grid::of(&whole, camera)),
            boxes: wires.iter().map(|own| box_of(own, camera)).collect(),
            hidden: wires.iter().map(|_| OnceLock::new()).collect(),
            curves: wires.iter().map(|_| OnceLock::new()).collect(),
        }
    }

    /// The lower left and the upper right corner of all that is seen, mm on the view; nothing where nothing is.
    pub(crate) fn whole_box(&self) -> Option<[DVec2; 2]> {
        together(self.boxes.iter().flatten().copied())
    }

    /// What all bodies hide of each edge of one; nothing of edges that do not show anyway.
    pub(crate) fn hidden(&self, body: usize, wire: &Wire) -> &[Vec<HiddenBy>] {
        self.hidden[body].get_or_init(|| {
            let of_edge = |own: &WireEdge| match shows(&own.edge, self.camera.toward) {
                true => self.grid.hides(own.edge.a, own.edge.b),
                false => Vec::new(),
            };
            wire.edges.iter().map(of_edge).collect()
        })
    }

    /// The curves of a body on the view.
    pub(crate) fn curves(&self, body: usize, wire: &Wire) -> &[Option<Projected>] {
        self.curves[body]
            .get_or_init(|| wire.curves.iter().map(|curve| Projected::of(curve, self.camera)).collect())
    }
}

/// The lower left and the upper right corner of some boxes together; nothing where there are none.
pub(crate) fn together(boxes: impl Iterator<Item = [DVec2; 2]>) -> Option<[DVec2; 2]> {
    boxes.reduce(|one, other| [one[0].min(other[0]), one[1].max(other[1])])
}

fn box_of(wire: &Wire, camera: Camera) -> Option<[DVec2; 2]> {
    let flat = || wire.points().map(|point| camera.flat(point));
    let (low, high) =
        (flat().fold(DVec2::INFINITY, DVec2::min), flat().fold(DVec2::NEG_INFINITY, DVec2::max));
    (!wire.triangles.is_empty()).then_some([low, high])
}
