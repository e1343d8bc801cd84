//! A piece in its place, read off once for all drawings that show it.

use crate::drawing::picture::Picture;
use crate::drawing::sight::Sight;
use crate::drawing::view::{Camera, View};
use crate::drawing::wire::{Body, Wire};
use crate::sheet::Scale;
use slatwork_solid::{DVec2, DVec3};
use std::sync::OnceLock;

/// The corners that a piece is looked at from, that of [`View::Isometric`] first, and what is said of the others.
pub(crate) const CORNERS: [(DVec3, &str); 8] = [
    (DVec3::new(1.0, -1.0, 1.0), ""),
    (DVec3::new(-1.0, -1.0, 1.0), "seen from the left"),
    (DVec3::new(1.0, 1.0, 1.0), "seen from behind, from the right"),
    (DVec3::new(-1.0, 1.0, 1.0), "seen from behind, from the left"),
    (DVec3::new(1.0, -1.0, -1.0), "seen from below, from the right"),
    (DVec3::new(-1.0, -1.0, -1.0), "seen from below, from the left"),
    (DVec3::new(1.0, 1.0, -1.0), "seen from below and behind, from the right"),
    (DVec3::new(-1.0, 1.0, -1.0), "seen from below and behind, from the left"),
];

/// Bodies in their places with what drawings read off them.
pub struct Placed<'a> {
    bodies: Vec<Body<'a>>,
    /// Each body by itself.
    wires: Vec<Wire>,
    /// From each of the corners, worked out when it is looked from there.
    sights: [OnceLock<Sight>; CORNERS.len()],
}

impl<'a> Placed<'a> {
    /// Reads the bodies.
    pub fn new(bodies: Vec<Body<'a>>) -> Self {
        let wires = bodies.iter().enumerate().map(|(number, body)| Wire::of_one(body, number)).collect();
        Placed { bodies, wires, sights: Default::default() }
    }

    /// The bodies, in the order in which they are numbered.
    pub fn bodies(&self) -> &[Body<'a>] {
        &self.bodies
    }

    /// The lowest and the highest coordinates of all corners, mm in the world; nothing where there is none.
    pub fn bounds(&self) -> Option<[DVec3; 2]> {
        let points = || self.wires.iter().flat_map(Wire::points);
        points().next()?;
        Some([points().fold(DVec3::INFINITY, DVec3::min), points().fold(DVec3::NEG_INFINITY, DVec3::max)])
    }

    /// The lower left and the upper right corner of what is seen in [`View::Isometric`], mm on the view; nothing where nothing is.
    pub fn isometric_box(&self) -> Option<[DVec2; 2]> {
        self.sight(0).whole_box()
    }

    /// The piece in [`View::Isometric`], hidden lines removed; `scale` as for [`Picture::of`].
    pub fn isometric(&self, scale: Scale) -> Picture {
        Picture::of_sight(self.sight(0), &self.wires, scale)
    }

    pub(crate) fn wires(&self) -> &[Wire] {
        &self.wires
    }

    /// All of it as one.
    pub(crate) fn whole(&self) -> Wire {
        let mut whole = Wire::default();
        self.wires.iter().for_each(|own| whole.add_moved(own, DVec3::ZERO));
        whole
    }

    /// The view from one of [`CORNERS`].
    pub(crate) fn sight(&self, corner: usize) -> &Sight {
        self.sights[corner].get_or_init(|| {
            let camera = match corner {
                0 => View::Isometric.camera(),
                _ => Camera::from_corner(CORNERS[corner].0),
            };
            Sight::of(&self.wires, camera)
        })
    }
}
