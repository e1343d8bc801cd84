//! A part reduced to what its likeness hangs on: faces and bores about the middle of its box.

use crate::Part;
use slatwork_solid::{DMat3, DVec3, Face, Hole, Solid, Tag};
use std::collections::BTreeSet;

/// Parts are alike when nothing differs by more than this, mm: a hundredth, the finest that a board is ever set to, and
/// a thousand times the rounding noise of placements.
pub(super) const SAME: f64 = 0.01;
/// The same on facets of curves, mm: facets stand off the curve by one chord of 0.05 at most, on either part.
const SAME_CURVED: f64 = 0.1;
/// Faces look the same way when the cosine between their normals is above this (2.6 degrees): corners decide the rest.
const SAME_WAY: f64 = 0.999;
/// The same for facets of curves: a facet of a 5 mm radius turns by 16 degrees at a chord of 0.05 mm.
const SAME_WAY_CURVED: f64 = 0.94;
/// Faces whose cosine is nearer to one than this are parallel (a seventh of a millimetre over 10 m).
const SAME_NORMAL: f64 = 1e-10;
/// A corner this near to the line between its neighbours is none, mm: far under [`SAME`], above welding noise.
const STRAIGHT: f64 = 1e-3;

/// A planar face, rims of holes left out.
#[derive(Clone, Debug)]
pub(super) struct Side {
    normal: DVec3,
    offset: f64,
    /// One of several facets that stand for a curve.
    curved: bool,
    loops: Vec<Vec<DVec3>>,
}

/// A stretch of one hole inside the wood.
#[derive(Clone, Copy, Debug)]
pub(super) struct Bore {
    ends: [DVec3; 2],
    radius: f64,
}

/// Faces and bores about the middle of the box, and measures that tell most parts apart at once.
#[derive(Clone, Debug)]
pub(super) struct Outline {
    pub(super) middle: DVec3,
    pub(super) size: DVec3,
    centroid: DVec3,
    volume: f64,
    area: f64,
    curved_area: f64,
    sides: Vec<Side>,
    bores: Vec<Bore>,
}

impl Outline {
    pub(super) fn of(part: &Part) -> Self {
        let solid = part.solid.as_ref();
        let (bounds, middle) = (solid.bounds(), solid.bounds().centre());
        let sides = sides_of(solid, middle);
        let area_of = |curved: bool| sides.iter().filter(|side| curved || side.curved).map(Side::area).sum();
        Outline {
            middle,
            size: bounds.size(),
            centroid: solid.centroid() - middle,
            volume: solid.volume(),
            area: area_of(true),
            curved_area: area_of(false),
            bores: bores_of(solid, middle),
            sides,
        }
    }

    /// Whether the other could be this one turned, by measures that no turn or mirror changes.
    pub(super) fn may_match(&self, other: &Outline) -> bool {
        let leeway = SAME * self.area + SAME_CURVED * self.curved_area;
        self.bores.len() == other.bores.len()
            && (self.size.x - other.size.x).abs() <= SAME
            && (self.volume - other.volume).abs() <= leeway
            && (self.centroid.length() - other.centroid.length()).abs() <= self.centroid_leeway(leeway)
    }

    /// How far the centroid may move when the surface moves by the leeway: half the box's diagonal at most.
    fn centroid_leeway(&self, leeway: f64) -> f64 {
        SAME + self.size.length() * leeway / self.volume.max(1.0)
    }

    /// Whether this one, turned, is the other: to the last corner and hole, both ways.
    pub(super) fn is_other_turned(&self, other: &Outline, turn: DMat3) -> bool {
        let sizes = (turn.abs() * self.size - other.size).abs().max_element() <= SAME;
        sizes && self.lies_on(other, turn) && other.lies_on(self, turn.transpose())
    }

    fn lies_on(&self, other: &Outline, turn: DMat3) -> bool {
        let side_lies = |side: &Side| {
            side.corners().all(|corner| other.has(turn * corner, turn * side.normal, side.curved))
        };
        let bore_lies = |bore: &Bore| other.bores.iter().any(|candidate| candidate.is(bore, turn));
        self.bores.iter().all(bore_lies) && self.sides.iter().all(side_lies)
    }

    fn has(&self, corner: DVec3, normal: DVec3, curved: bool) -> bool {
        self.sides.iter().any(|side| side.has(corner, normal, curved))
    }

    /// Whether the section is square, so that a quarter turn brings the box back.
    pub(super) fn is_square(&self) -> bool {
        (self.size.y - self.size.z).abs() <= SAME
    }
}

impl Side {
    fn corners(&self) -> impl Iterator<Item = DVec3> {
        self.loops.iter().flatten().copied()
    }

    fn area(&self) -> f64 {
        let twice: DVec3 = self.loops.iter().map(|points| twice_area(points)).sum();
        twice.length() / 2.0
    }

    fn has(&self, corner: DVec3, normal: DVec3, curved: bool) -> bool {
        let both = curved && self.curved;
        let (reach, way) = if both { (SAME_CURVED, SAME_WAY_CURVED) } else { (SAME, SAME_WAY) };
        (self.normal.dot(corner) - self.offset).abs() <= reach
            && self.normal.dot(normal) >= way
            && self.holds(corner, reach)
    }

    /// Whether a point of the plane lies within the face, or within reach of its border.
    fn holds(&self, point: DVec3, reach: f64) -> bool {
        let drop = self.normal.abs().max_position();
        let flat = |p: DVec3| match drop {
            0 => (p.y, p.z),
            1 => (p.z, p.x),
            _ => (p.x, p.y),
        };
        let (px, py) = flat(point);
        let mut inside = false;
        for points in &self.loops {
            for (index, &a) in points.iter().enumerate() {
                let b = points[(index + 1) % points.len()];
                if distance_to(point, a, b) <= reach {
                    return true;
                }
                let ((ax, ay), (bx, by)) = (flat(a), flat(b));
                if (ay > py) != (by > py) && px < ax + (py - ay) / (by - ay) * (bx - ax) {
                    inside = !inside;
                }
            }
        }
        inside
    }
}

impl Bore {
    fn is(&self, other: &Bore, turn: DMat3) -> bool {
        let [start, end] = other.ends.map(|point| turn * point);
        let near = |a: DVec3, b: DVec3| a.distance(b) <= SAME;
        (self.radius - other.radius).abs() <= SAME
            && ((near(self.ends[0], start) && near(self.ends[1], end))
                || (near(self.ends[0], end) && near(self.ends[1], start)))
    }
}

fn sides_of(solid: &Solid, middle: DVec3) -> Vec<Side> {
    let holes: BTreeSet<Tag> = solid.shape().holes.iter().map(|hole| hole.tag).collect();
    let faces: Vec<&Face> = solid.faces().iter().filter(|face| !holes.contains(&face.tag)).collect();
    faces
        .iter()
        .map(|face| Side {
            normal: face.normal,
            offset: face.offset - face.normal.dot(middle),
            curved: is_facet(face, &faces),
            loops: face
                .loops
                .iter()
                .filter(|rim| !rim.edge_tags.iter().all(|tag| holes.contains(tag)))
                .map(|rim| {
                    without_straight_corners(
                        &rim.points.iter().map(|point| *point - middle).collect::<Vec<_>>(),
                    )
                })
                .collect(),
        })
        .collect()
}

/// Whether a face is a facet of a curve: another face of the same tag looks nearly, but not quite, the same way.
fn is_facet(face: &Face, faces: &[&Face]) -> bool {
    let nearly = |other: &&&Face| {
        let cosine = other.normal.dot(face.normal);
        other.tag == face.tag && (SAME_WAY_CURVED..1.0 - SAME_NORMAL).contains(&cosine)
    };
    faces.iter().any(|other| nearly(&other))
}

fn without_straight_corners(points: &[DVec3]) -> Vec<DVec3> {
    let count = points.len();
    let turns = |index: &usize| {
        let (before, after) = (points[(index + count - 1) % count], points[(index + 1) % count]);
        distance_to(points[*index], before, after) > STRAIGHT
    };
    (0..count).filter(turns).map(|index| points[index]).collect()
}

fn distance_to(point: DVec3, a: DVec3, b: DVec3) -> f64 {
    let along = b - a;
    let part = (point - a).dot(along) / along.length_squared().max(f64::MIN_POSITIVE);
    point.distance(a + along * part.clamp(0.0, 1.0))
}

fn twice_area(points: &[DVec3]) -> DVec3 {
    let count = points.len();
    (0..count).map(|index| points[index].cross(points[(index + 1) % count])).sum()
}

fn bores_of(solid: &Solid, middle: DVec3) -> Vec<Bore> {
    solid.shape().holes.iter().flat_map(|hole| bores_of_hole(solid, hole, middle)).collect()
}

/// The stretches of a hole's axis that lie in wood, each with its radius; so that neither the point in the air where a
/// hole was started nor its direction counts.
fn bores_of_hole(solid: &Solid, hole: &Hole, middle: DVec3) -> Vec<Bore> {
    let wood = wood_along(solid, hole);
    let mut bores = Vec::new();
    let mut from = 0.0;
    for step in &hole.steps {
        for &(enter, leave) in &wood {
            let (start, end) = (enter.max(from), leave.min(step.depth));
            if end - start > SAME {
                let at = |depth: f64| hole.start + hole.direction * depth - middle;
                bores.push(Bore { ends: [at(start), at(end)], radius: step.radius });
            }
        }
        from = step.depth;
    }
    bores
}

/// Where the axis runs in wood, as depths from the hole's start, in order; stretches that meet are one.
fn wood_along(solid: &Solid, hole: &Hole) -> Vec<(f64, f64)> {
    let mut stretches: Vec<(f64, f64)> = solid
        .pieces()
        .iter()
        .filter_map(|piece| {
            let mut stretch = (f64::NEG_INFINITY, f64::INFINITY);
            for plane in piece.planes() {
                let slope = plane.normal.dot(hole.direction);
                let room = plane.offset - plane.normal.dot(hole.start);
                if slope.abs() < 1e-12 {
                    if room < 0.0 {
                        return None;
                    }
                } else if slope > 0.0 {
                    stretch.1 = stretch.1.min(room / slope);
                } else {
                    stretch.0 = stretch.0.max(room / slope);
                }
            }
            (stretch.1 > stretch.0).then_some(stretch)
        })
        .collect();
    stretches.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut joined: Vec<(f64, f64)> = Vec::new();
    for stretch in stretches {
        match joined.last_mut() {
            Some(last) if stretch.0 <= last.1 + STRAIGHT => last.1 = last.1.max(stretch.1),
            _ => joined.push(stretch),
        }
    }
    joined
}
