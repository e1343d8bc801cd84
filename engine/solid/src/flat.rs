//! Planes as sheets of paper: points of a plane in two coordinates.

use crate::{DVec2, DVec3};

/// Two of the three axes, chosen so that a plane seen along the third is widest; orientation kept.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Frame {
    normal: DVec3,
    offset: f64,
    first: usize,
    second: usize,
    dropped: usize,
}

impl Frame {
    pub(crate) fn new(normal: DVec3, offset: f64) -> Self {
        let size = normal.abs();
        let dropped = if size.x > size.y && size.x > size.z {
            0
        } else if size.y > size.z {
            1
        } else {
            2
        };
        let (first, second) = match (dropped, normal[dropped] > 0.0) {
            (0, true) => (1, 2),
            (0, false) => (2, 1),
            (1, true) => (2, 0),
            (1, false) => (0, 2),
            (_, true) => (0, 1),
            (_, false) => (1, 0),
        };
        Frame { normal, offset, first, second, dropped }
    }

    /// The same plane seen from its other side.
    pub(crate) fn turned(&self) -> Self {
        Frame::new(-self.normal, -self.offset)
    }

    /// The two coordinates kept. Counter-clockwise seen against the normal stays so.
    pub(crate) fn flat(&self, point: DVec3) -> DVec2 {
        DVec2::new(point[self.first], point[self.second])
    }

    /// The point of the plane with these coordinates.
    pub(crate) fn lift(&self, flat: DVec2) -> DVec3 {
        let mut point = DVec3::ZERO;
        point[self.first] = flat.x;
        point[self.second] = flat.y;
        point[self.dropped] = (self.offset - self.normal.dot(point)) / self.normal[self.dropped];
        point
    }

    /// True area over flat area.
    pub(crate) fn stretch(&self) -> f64 {
        1.0 / self.normal[self.dropped].abs()
    }
}

/// Area, positive when counter-clockwise.
pub(crate) fn signed_area(ring: &[DVec2]) -> f64 {
    let Some(&base) = ring.first() else { return 0.0 };
    ring.windows(2).map(|pair| (pair[0] - base).perp_dot(pair[1] - base)).sum::<f64>() / 2.0
}

/// Whether a point lies in a ring, however it turns.
pub(crate) fn contains(ring: &[DVec2], point: DVec2) -> bool {
    let mut inside = false;
    for (index, &a) in ring.iter().enumerate() {
        let b = ring[(index + 1) % ring.len()];
        if (a.y > point.y) != (b.y > point.y) {
            let x = a.x + (b.x - a.x) * ((point.y - a.y) / (b.y - a.y));
            inside ^= point.x < x;
        }
    }
    inside
}
