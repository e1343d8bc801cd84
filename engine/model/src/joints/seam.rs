//! Where two parts meet: the contact patch of a joint, found from the solids.

use super::Meets;
use super::data::JointPatch;
use crate::bench::{SEATED, TOUCHING};
use crate::{JointOrder, Part};
use slatwork_base::{Diagnostic, Origin, Place, Severity, both_tapes};
use slatwork_solid::{DVec2, DVec3, Patch};

/// Two parts that are joined, and where they meet.
pub(crate) struct Seam<'a> {
    /// The part that is fastened.
    pub(crate) first: &'a Part,
    /// The part that holds it.
    pub(crate) second: &'a Part,
    pub(crate) patch: JointPatch,
    /// Area of all faces that touch, mm2: what is spread with glue.
    pub(crate) touching: f64,
    /// Corners of the patch along and across from its middle, counter-clockwise.
    pub(crate) flat: Vec<DVec2>,
    /// What the script asked for.
    pub(crate) order: &'a JointOrder,
    pub(crate) origin: Origin,
}

/// Facets of one curve turn by less than this and count as one face (cosine of 6 degrees).
const ONE_FACE: f64 = 0.994_5;

/// Grain that leaves a face by more than this is end grain (cosine of 45 degrees).
const END_GRAIN: f64 = core::f64::consts::FRAC_1_SQRT_2;

/// A seat's footprint that is so much larger than the faces that meet tells that the part is seated, not laid flat.
const SEATED_RATIO: f64 = 3.0;

impl<'a> Seam<'a> {
    /// Finds where two parts meet, or says how far apart they are.
    pub(crate) fn find(
        first: &'a Part,
        second: &'a Part,
        meets: Meets,
        order: &'a JointOrder,
        origin: Origin,
    ) -> Result<Self, Diagnostic> {
        let patches = slatwork_solid::contacts(&first.placed(), &second.placed(), TOUCHING);
        let touching: f64 = patches.iter().map(|patch| patch.area).sum();
        let grain = first.pose.matrix3.x_axis;
        let met = match meets {
            Meets::Face | Meets::Bevel => meeting(patches.iter()),
            Meets::Shoulder => {
                meeting(patches.iter().filter(|patch| patch.normal.dot(grain).abs() > END_GRAIN))
            }
        };
        let area = met.as_ref().map_or(0.0, |met| met.area);
        // Seating is only looked for where little of the faces meets: it costs more.
        let small = smallest_face(first).min(smallest_face(second)) * 0.2;
        let seated = if area < small { seating(first, second) } else { None };
        let met = match (met, seated) {
            (Some(met), Some(seat)) if seat.area > SEATED_RATIO * met.area => seat,
            (Some(met), _) => met,
            (None, Some(seat)) => seat,
            (None, None) => return Err(apart(first, second, order, origin)),
        };
        Ok(Seam { touching, ..met.seam(first, second, order, origin) })
    }

    /// A point of the patch in the world.
    pub(crate) fn world(&self, flat: DVec2) -> DVec3 {
        self.patch.centre + self.patch.along * flat.x + self.patch.across * flat.y
    }

    /// Where an axis through a point of the world goes through the patch's plane.
    pub(crate) fn flat(&self, point: DVec3, direction: DVec3) -> DVec2 {
        let off = self.patch.centre - point;
        let steep = direction.dot(self.patch.normal);
        let way = if steep == 0.0 { 0.0 } else { off.dot(self.patch.normal) / steep };
        self.flat_direction(point + direction * way - self.patch.centre)
    }

    /// A world direction in the patch.
    pub(crate) fn flat_direction(&self, direction: DVec3) -> DVec2 {
        DVec2::new(direction.dot(self.patch.along), direction.dot(self.patch.across))
    }

    /// The same seam with the parts' roles changed.
    pub(crate) fn turned(self) -> Self {
        let normal = -self.patch.normal;
        let met = Met { corners: self.patch.corners, area: self.patch.area, normal, gap: self.patch.gap };
        Seam { touching: self.touching, ..met.seam(self.second, self.first, self.order, self.origin) }
    }

    /// The words for it: "`seat slat 2` on `seat support`".
    pub(crate) fn words(&self) -> String {
        format!("`{}` to `{}`", self.first.name, self.second.name)
    }
}

fn smallest_face(part: &Part) -> f64 {
    let (length, width, thickness) = (part.length.as_mm(), part.width.as_mm(), part.thickness.as_mm());
    (width * thickness).min(length * thickness)
}

/// The contact before it has axes.
struct Met {
    corners: Vec<DVec3>,
    area: f64,
    normal: DVec3,
    gap: f64,
}

/// The largest of the faces that meet, with all that lie in its plane or next to it on the same curve.
fn meeting<'p>(patches: impl Iterator<Item = &'p Patch> + Clone) -> Option<Met> {
    let largest =
        patches.clone().max_by(|a, b| a.area.total_cmp(&b.area)).filter(|patch| patch.area > 1.0)?;
    let one_face = patches.filter(|patch| patch.normal.dot(largest.normal) > ONE_FACE).filter(|patch| {
        let step = largest.normal.dot(patch.centroid - largest.centroid).abs();
        step < SEATED
    });
    let mut corners = Vec::new();
    let mut area = 0.0;
    for patch in one_face {
        area += patch.area;
        corners.extend(patch.polygon.first().into_iter().flatten().copied());
    }
    Some(Met { corners, area, normal: largest.normal, gap: 0.0 })
}

/// A part that sits on a curve: the footprint seen along its face.
fn seating(first: &Part, second: &Part) -> Option<Met> {
    for (rest, bearer, sign) in [(first, second, 1.0), (second, first, -1.0)] {
        let normal = rest.pose.matrix3.z_axis;
        for direction in [-normal, normal] {
            let seat = slatwork_solid::gap_along(&rest.placed(), &bearer.placed(), direction);
            let Some(seat) = seat.filter(|seat| {
                seat.least.abs() <= TOUCHING + crate::bench::SEATED_NOISE && seat.greatest <= SEATED
            }) else {
                continue;
            };
            return Some(Met {
                corners: seat.footprint,
                area: seat.area,
                normal: direction * sign,
                gap: seat.greatest.max(0.0),
            });
        }
    }
    None
}

fn apart(first: &Part, second: &Part, order: &JointOrder, origin: Origin) -> Diagnostic {
    let gap = slatwork_solid::clearance(&first.placed(), &second.placed());
    let gap = if gap > TOUCHING {
        format!("{} lie between them", both_tapes(gap))
    } else {
        String::from("they meet at a line or corner only")
    };
    Diagnostic::new(
        Severity::Failure,
        "joint-does-not-touch",
        format!("`{}` and `{}` are joined ({}) and do not touch: {gap}", first.name, second.name, order.kind),
    )
    .at_origin(origin)
    .with_trace(Place::Part(first.name.clone()), "the part that is fastened")
    .help("look at the relations that place the two, or at a cut that takes the contact away")
}

impl Met {
    fn seam<'a>(self, first: &'a Part, second: &'a Part, order: &'a JointOrder, origin: Origin) -> Seam<'a> {
        let normal = self.normal;
        let grains = [first.pose.matrix3.x_axis, second.pose.matrix3.x_axis];
        let on_end = grains.map(|grain| grain.dot(normal).abs() > END_GRAIN);
        let in_plane = |direction: DVec3| (direction - normal * direction.dot(normal)).try_normalize();
        let grain = if on_end[0] { grains[1] } else { grains[0] };
        let along = in_plane(grain)
            .or_else(|| in_plane(first.pose.matrix3.y_axis))
            .unwrap_or_else(|| normal.any_orthonormal_vector());
        let across = normal.cross(along);
        let base = self.corners.first().copied().unwrap_or(DVec3::ZERO);
        let flat = |corner: &DVec3| DVec2::new((*corner - base).dot(along), (*corner - base).dot(across));
        let hull = hull(self.corners.iter().map(flat).collect());
        let middle = centroid(&hull);
        let lift = |point: &DVec2| base + along * point.x + across * point.y;
        let mut centre = lift(&middle);
        // On a curve the corners of the hull lie at several heights; the interface is taken at the first one's plane.
        centre -= normal * normal.dot(centre - base);
        let flat: Vec<DVec2> = hull.iter().map(|point| *point - middle).collect();
        let extent = |axis: fn(&DVec2) -> f64| {
            let values = flat.iter().map(axis);
            values.clone().fold(f64::NEG_INFINITY, f64::max) - values.fold(f64::INFINITY, f64::min)
        };
        let patch = JointPatch {
            corners: hull.iter().map(lift).collect(),
            area: self.area,
            centre,
            normal,
            along,
            across,
            extent: (extent(|point| point.x), extent(|point| point.y)),
            gap: self.gap,
            on_end,
        };
        Seam { first, second, touching: self.area, patch, flat, order, origin }
    }
}

/// Points nearer than this are one corner, mm.
const ONE_CORNER: f64 = 1e-4;

/// Convex hull, counter-clockwise.
fn hull(mut points: Vec<DVec2>) -> Vec<DVec2> {
    points.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    points.dedup_by(|a, b| a.distance(*b) < ONE_CORNER);
    if points.len() < 3 {
        return points;
    }
    let half = |points: &mut dyn Iterator<Item = DVec2>| {
        let mut chain: Vec<DVec2> = Vec::new();
        for point in points {
            while let [.., a, b] = chain.as_slice() {
                if (*b - *a).perp_dot(point - *b) > ONE_CORNER * ONE_CORNER {
                    break;
                }
                chain.pop();
            }
            chain.push(point);
        }
        chain.pop();
        chain
    };
    let mut lower = half(&mut points.iter().copied());
    lower.extend(half(&mut points.iter().rev().copied()));
    lower
}

/// Middle of a convex ring; of its corners when it has no area.
pub(crate) fn centroid(ring: &[DVec2]) -> DVec2 {
    let base = ring.first().copied().unwrap_or(DVec2::ZERO);
    let (mut area, mut moment) = (0.0, DVec2::ZERO);
    for at in 1..ring.len().saturating_sub(1) {
        let (a, b) = (ring[at] - base, ring[at + 1] - base);
        let part = a.perp_dot(b) / 2.0;
        area += part;
        moment += (a + b) * (part / 3.0);
    }
    if area.abs() > 1e-9 {
        base + moment / area
    } else {
        ring.iter().copied().sum::<DVec2>() / (ring.len().max(1) as f64)
    }
}
