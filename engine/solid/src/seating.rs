//! [`gap_along`]: how one board sits before another.

use crate::contact::intersection;
use crate::flat::signed_area;
use crate::line::along;
use crate::tolerance::WELD;
use crate::{DVec2, DVec3, Face, Placed};

/// Faces steeper than this to the direction are sides, not seats (cosine of 45 degrees).
const STEEP: f64 = core::f64::consts::FRAC_1_SQRT_2;
/// Common footprints smaller than this do not count, mm^2.
const LEAST_FOOTPRINT: f64 = 0.01;
/// How far above the least distance still counts as touching, mm.
const TOUCHING: f64 = 0.01;

/// How one solid sits before another, seen along a direction.
#[derive(Clone, Debug, PartialEq)]
pub struct Seating {
    /// Least clear distance over the common footprint, mm; negative where one presses into the other.
    pub least: f64,
    /// Greatest clear distance over the common footprint, mm.
    pub greatest: f64,
    /// Area of the common footprint seen along the direction, mm^2.
    pub area: f64,
    /// Corners of the common footprint, on the first solid and in the world.
    pub footprint: Vec<DVec3>,
    /// Corners of the footprint, on the first solid and in the world, where the distance is within a hundredth of a mm
    /// of the least: the ends of the lines along which the two touch.
    pub touching: Vec<DVec3>,
}

/// How `b` sits before `a`: the clear distance from a's surface to b's, going along `direction`, over all that both cover
/// seen that way. `None` when they cover nothing in common.
///
/// Exact for the facets of both: each pair of faces that look at each other is laid over one another, and the distance,
/// which is linear there, is read at the corners. Faces steeper than 45 degrees to the direction are left out (rounded
/// or bevelled sides are no seats), and so are pairs with other wood of the two boards between (judged in the middle of
/// what they have in common), and pairs where b lies behind a. Bores are left out of the footprint.
pub fn gap_along(a: &Placed, b: &Placed, direction: DVec3) -> Option<Seating> {
    let view = View::new(a, b, direction.try_normalize()?);
    let lower = view.faces(a, 1.0);
    let upper = view.faces(b, -1.0);
    let mut found = Vec::new();
    let mut area = 0.0;
    for below in &lower {
        for above in &upper {
            area += view.lay(below, above, &mut found);
        }
    }
    summary(&found, area)
}

/// A corner of the common footprint: where, and how far apart.
type Corner = (DVec3, f64);

fn summary(found: &[Corner], area: f64) -> Option<Seating> {
    let least = found.iter().map(|corner| corner.1).reduce(f64::min)?;
    let greatest = found.iter().map(|corner| corner.1).fold(least, f64::max);
    let mut touching: Vec<DVec3> = Vec::new();
    for &(point, _) in found.iter().filter(|corner| corner.1 <= least + TOUCHING) {
        if touching.iter().all(|have| (*have - point).length_squared() > WELD * WELD) {
            touching.push(point);
        }
    }
    let footprint = found.iter().map(|corner| corner.0).collect();
    Some(Seating { least, greatest, area, footprint, touching })
}

/// A face seen along the direction.
struct Seen {
    rings: Vec<Vec<DVec2>>,
    /// Height of its plane: `height + slope . p`.
    height: f64,
    slope: DVec2,
    low: DVec2,
    high: DVec2,
}

impl Seen {
    fn height_at(&self, flat: DVec2) -> f64 {
        self.height + self.slope.dot(flat)
    }
}

struct View<'a> {
    placed: [&'a Placed<'a>; 2],
    across: DVec3,
    up: DVec3,
    direction: DVec3,
    /// Least height span over which wood of the pair counts as between: how far the two may press into each other.
    thickness: f64,
}

impl<'a> View<'a> {
    fn new(a: &'a Placed<'a>, b: &'a Placed<'a>, direction: DVec3) -> Self {
        let across = direction.any_orthonormal_vector();
        let span = |placed: &Placed| {
            let size = placed.solid.bounds().size();
            size.min_element()
        };
        let thickness = span(a).min(span(b)) / 2.0;
        View { placed: [a, b], across, up: direction.cross(across), direction, thickness }
    }

    fn flat(&self, point: DVec3) -> DVec2 {
        DVec2::new(point.dot(self.across), point.dot(self.up))
    }

    fn lift(&self, flat: DVec2, height: f64) -> DVec3 {
        self.across * flat.x + self.up * flat.y + self.direction * height
    }

    /// The faces that look along the direction (`side` 1) or against it (-1).
    fn faces(&self, placed: &Placed, side: f64) -> Vec<Seen> {
        placed.solid.faces().iter().filter_map(|face| self.see(placed, face, side)).collect()
    }

    fn see(&self, placed: &Placed, face: &Face, side: f64) -> Option<Seen> {
        let normal = placed.pose.transform_vector3(face.normal);
        let lean = normal.dot(self.direction);
        if lean * side < STEEP {
            return None;
        }
        let offset = face.offset + normal.dot(placed.pose.translation);
        let flat = |points: &Vec<DVec3>| -> Vec<DVec2> {
            points.iter().map(|&point| self.flat(placed.pose.transform_point3(point))).collect()
        };
        let rings: Vec<Vec<DVec2>> = face.loops.iter().map(|ring| flat(&ring.points)).collect();
        let low = rings[0].iter().copied().fold(DVec2::INFINITY, DVec2::min);
        let high = rings[0].iter().copied().fold(DVec2::NEG_INFINITY, DVec2::max);
        let slope = -DVec2::new(normal.dot(self.across), normal.dot(self.up)) / lean;
        Some(Seen { rings, height: offset / lean, slope, low, high })
    }

    /// Lays one face over another; the corners of what they have in common go to `found`, its area is returned.
    fn lay(&self, below: &Seen, above: &Seen, found: &mut Vec<Corner>) -> f64 {
        if below.low.cmpgt(above.high).any() || above.low.cmpgt(below.high).any() {
            return 0.0;
        }
        let mut total = 0.0;
        for rings in intersection(&below.rings, &above.rings) {
            let area: f64 = rings.iter().map(|ring| signed_area(ring)).sum();
            if area < LEAST_FOOTPRINT || self.is_parted(&rings[0], below, above) {
                continue;
            }
            total += area;
            for &flat in rings.iter().flatten() {
                let height = below.height_at(flat);
                found.push((self.lift(flat, height), above.height_at(flat) - height));
            }
        }
        total
    }

    /// Whether other wood of the two boards lies between, or b behind a.
    fn is_parted(&self, ring: &[DVec2], below: &Seen, above: &Seen) -> bool {
        let middle = ring.iter().copied().sum::<DVec2>() / ring.len() as f64;
        let (low, high) = (below.height_at(middle), above.height_at(middle));
        if high < low {
            return low - high > self.thickness;
        }
        let (from, to) = (self.lift(middle, low), self.lift(middle, high));
        self.placed
            .iter()
            .any(|placed| along(placed, from, to).iter().any(|stretch| stretch.1 - stretch.0 > TOUCHING))
    }
}
