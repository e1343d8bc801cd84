//! [`contacts`]: where two boards lie face to face.

use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::float::single::SingleFloatOverlay;

use crate::flat::{Frame, signed_area};
use crate::pair::moved_bounds;
use crate::tolerance::{LEAST_PATCH, OPPOSED};
use crate::{Bounds, DAffine3, DVec2, DVec3, Face, Placed, Tag};

/// Where two solids lie face to face.
#[derive(Clone, Debug, PartialEq)]
pub struct Patch {
    /// The outline, counter-clockwise seen from outside the first solid, then the outlines of what is left out of it;
    /// in the world, in the plane of the first solid's face, mm.
    pub polygon: Vec<Vec<DVec3>>,
    /// Area, mm^2.
    pub area: f64,
    /// Unit normal, out of the first solid.
    pub normal: DVec3,
    /// Middle of the patch.
    pub centroid: DVec3,
    /// What made the two faces: of the first and of the second solid.
    pub tags: (Tag, Tag),
}

/// Where two solids lie face to face with no more than `gap` mm between, or pressed in by no more than that (0.05 mm is
/// usual). Holes are left out of the patches. Patches under a thousandth of a mm^2 are dropped: lines and points of
/// contact show as a [`clearance`](crate::clearance) of 0 without a patch.
pub fn contacts(a: &Placed, b: &Placed, gap: f64) -> Vec<Patch> {
    let motion = a.from(b);
    if !moved_bounds(&b.solid.bounds(), &motion).overlaps(&a.solid.bounds(), gap) {
        return Vec::new();
    }
    let mut patches = Vec::new();
    let theirs: Vec<(DVec3, f64, &Face)> =
        b.solid.faces().iter().map(|face| moved_plane(face, &motion)).collect();
    for face in a.solid.faces() {
        for &(normal, offset, other) in &theirs {
            if 1.0 + face.normal.dot(normal) < OPPOSED {
                Meeting { face, other, motion: &motion, plane: (normal, offset), gap }
                    .patches(&a.pose, &mut patches);
            }
        }
    }
    patches
}

fn moved_plane<'a>(face: &'a Face, motion: &DAffine3) -> (DVec3, f64, &'a Face) {
    let normal = motion.transform_vector3(face.normal);
    (normal, face.offset + normal.dot(motion.translation), face)
}

/// Two faces that look at each other.
struct Meeting<'a> {
    face: &'a Face,
    other: &'a Face,
    motion: &'a DAffine3,
    plane: (DVec3, f64),
    gap: f64,
}

type Ring = Vec<DVec2>;

impl Meeting<'_> {
    fn patches(&self, pose: &DAffine3, patches: &mut Vec<Patch>) {
        let ours = Bounds::around(self.face.loops[0].points.iter().copied());
        let moved = self.other.loops[0].points.iter().map(|&point| self.motion.transform_point3(point));
        let theirs = Bounds::around(moved);
        if !theirs.overlaps(&ours, self.gap) || self.distance(&ours, &theirs).abs() > self.gap {
            return;
        }
        let frame = Frame::new(self.face.normal, self.face.offset);
        let ours: Vec<Ring> = flat_rings(self.face, &frame, &DAffine3::IDENTITY);
        let theirs: Vec<Ring> = flat_rings(self.other, &frame, self.motion);
        for rings in intersection(&ours, &theirs) {
            patches.extend(self.patch(&frame, &rings, pose));
        }
    }

    /// Gap between the planes in the middle of where the boxes meet.
    fn distance(&self, ours: &Bounds, theirs: &Bounds) -> f64 {
        let common = Bounds { min: ours.min.max(theirs.min), max: ours.max.min(theirs.max) };
        let middle = common.centre();
        let height = self.face.offset - self.face.normal.dot(middle);
        let here = middle + self.face.normal * height;
        self.plane.0.dot(here) - self.plane.1
    }

    fn patch(&self, frame: &Frame, rings: &[Ring], pose: &DAffine3) -> Option<Patch> {
        let mut area = 0.0;
        let mut first = DVec2::ZERO;
        for ring in rings {
            let (part, moment) = area_and_moment(ring);
            area += part;
            first += moment;
        }
        let true_area = area * frame.stretch();
        if true_area < LEAST_PATCH {
            return None;
        }
        let world = |flat: DVec2| pose.transform_point3(frame.lift(flat));
        Some(Patch {
            polygon: rings.iter().map(|ring| ring.iter().map(|&corner| world(corner)).collect()).collect(),
            area: true_area,
            normal: pose.transform_vector3(self.face.normal),
            centroid: world(first / area),
            tags: (self.face.tag, self.other.tag),
        })
    }
}

fn flat_rings(face: &Face, frame: &Frame, motion: &DAffine3) -> Vec<Ring> {
    let flat = |points: &Vec<DVec3>| {
        points.iter().map(|&point| frame.flat(motion.transform_point3(point))).collect()
    };
    face.loops.iter().map(|ring| flat(&ring.points)).collect()
}

/// Area and its first moment.
fn area_and_moment(ring: &[DVec2]) -> (f64, DVec2) {
    let Some(&base) = ring.first() else { return (0.0, DVec2::ZERO) };
    let mut moment = DVec2::ZERO;
    for pair in ring.windows(2) {
        let (a, b) = (pair[0] - base, pair[1] - base);
        moment += (a + b) * (a.perp_dot(b) / 6.0);
    }
    let area = signed_area(ring);
    (area, moment + base * area)
}

/// What two regions have in common, each part as an outer ring and its inner ones.
pub(crate) fn intersection(ours: &[Ring], theirs: &[Ring]) -> Vec<Vec<Ring>> {
    if let ([one], [other]) = (ours, theirs)
        && is_convex(one)
        && is_convex_clockwise(other)
    {
        return convex_intersection(one, other).into_iter().map(|ring| vec![ring]).collect();
    }
    let plain = |rings: &[Ring]| -> Vec<Vec<[f64; 2]>> {
        rings.iter().map(|ring| ring.iter().map(|point| point.to_array()).collect()).collect()
    };
    // Even-odd, since the second face is seen from behind; 64 bits, since 32 lose a hundredth of a mm^2 on a large face.
    let common = plain(ours).overlay_as::<i64>(&plain(theirs), OverlayRule::Intersect, FillRule::EvenOdd);
    let ring = |ring: Vec<[f64; 2]>| ring.into_iter().map(DVec2::from_array).collect();
    common.into_iter().map(|shape| shape.into_iter().map(ring).collect()).collect()
}

fn is_convex(ring: &[DVec2]) -> bool {
    let corner = |index: usize| ring[index % ring.len()];
    (0..ring.len()).all(|at| (corner(at + 1) - corner(at)).perp_dot(corner(at + 2) - corner(at + 1)) >= 0.0)
}

fn is_convex_clockwise(ring: &[DVec2]) -> bool {
    let corner = |index: usize| ring[index % ring.len()];
    (0..ring.len()).all(|at| (corner(at + 1) - corner(at)).perp_dot(corner(at + 2) - corner(at + 1)) <= 0.0)
}

/// A convex ring clipped by the sides of another that runs clockwise.
pub(crate) fn convex_intersection(ring: &[DVec2], clip: &[DVec2]) -> Option<Ring> {
    let mut left = ring.to_vec();
    for at in 0..clip.len() {
        let (from, to) = (clip[at], clip[(at + 1) % clip.len()]);
        let along = (to - from).normalize_or_zero();
        // Clockwise: the inside is on the right.
        left = clip_ring(&left, |point| along.perp_dot(point - from));
        if left.len() < 3 {
            return None;
        }
    }
    Some(left)
}

/// The part of a convex ring where `height`, linear in the plane, is not positive.
pub fn clip_ring(ring: &[DVec2], height: impl Fn(DVec2) -> f64) -> Vec<DVec2> {
    let mut left = Vec::with_capacity(ring.len() + 2);
    for at in 0..ring.len() {
        let (here, next) = (ring[at], ring[(at + 1) % ring.len()]);
        let (low, high) = (height(here), height(next));
        if low <= 0.0 {
            left.push(here);
        }
        if (low < 0.0 && high > 0.0) || (low > 0.0 && high < 0.0) {
            left.push(here + (next - here) * (low / (low - high)));
        }
    }
    left
}
