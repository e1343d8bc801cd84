//! Outlines of lines and arcs as polygons of whole nanometres that contain them.
//!
//! Hollow arcs become chords, which lie in the hollow; full arcs become tangents, broken where they run along or across the
//! board so that the polygon's box is the outline's. Corners then move to whole nanometres, each outward of both its edges.

use super::{NestFault, Point, Polygon};
use slatwork_base::{Length, maths};

/// Arcs that rise less than this over their chord are lines, nm: far below a nanometre, above the noise of a double.
const STRAIGHT: f64 = 0.01;
/// A corner may end this far on the inner side of an edge, nm: noise of a double on a coordinate that is meant to be whole.
const NOISE: f64 = 0.01;
/// Largest angle between two tangents, radians, so that a coarse tolerance leaves a small circle its shape.
const LARGEST_TURN: f64 = maths::PI / 4.0;
/// How far a corner may be moved to be whole and outward, nm. Corners below about two degrees find no such place.
const FARTHEST_SNAP: i64 = 32;

/// A corner of an outline and the edge that leaves it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CurvedCorner {
    /// Along the board, mm.
    pub x: f64,
    /// Across the board, mm.
    pub y: f64,
    /// Tangent of a quarter of the angle that the edge to the next corner turns through: 0 for a line, positive to the left.
    pub bulge: f64,
}

/// A vector of doubles, nm.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Vector {
    x: f64,
    y: f64,
}

impl Vector {
    fn minus(self, other: Vector) -> Vector {
        Vector { x: self.x - other.x, y: self.y - other.y }
    }

    fn length(self) -> f64 {
        maths::hypot(self.x, self.y)
    }

    /// From a centre, in a direction.
    fn polar(self, radius: f64, angle: f64) -> Vector {
        let (sine, cosine) = maths::sin_cos(angle);
        Vector { x: self.x + radius * cosine, y: self.y + radius * sine }
    }
}

/// The polygon that contains an outline, given counter-clockwise, and stands off it by at most `tolerance`, but for the
/// nanometres of snapping. A coordinate that is a whole nanometre stays, and the box grows by less than a nanometre.
pub fn flattened(corners: &[CurvedCorner], tolerance: Length) -> Result<Polygon, NestFault> {
    if !tolerance.is_positive() {
        return Err(NestFault::BadTolerance);
    }
    let number = |corner: &CurvedCorner| [corner.x, corner.y, corner.bulge].iter().all(|v| v.is_finite());
    if let Some(corner) = corners.iter().position(|corner| !number(corner)) {
        return Err(NestFault::NotFinite { corner });
    }
    let most = super::MOST_EXTENT as f64;
    let points: Vec<Vector> =
        corners.iter().map(|corner| Vector { x: corner.x * 1e6, y: corner.y * 1e6 }).collect();
    if points.iter().any(|point| point.x.abs() > most || point.y.abs() > most) {
        return Err(NestFault::TooLarge);
    }
    let mut line = Vec::new();
    for (index, corner) in corners.iter().enumerate() {
        let next = points[(index + 1) % points.len()];
        line.push(points[index]);
        bend(&mut line, points[index], next, corner.bulge, tolerance.as_nm() as f64);
        if line.len() > super::MOST_CORNERS {
            return Err(NestFault::TooManyCorners);
        }
    }
    // Corners nearer than a nanometre are one.
    line.dedup_by(|b, a| b.minus(*a).length() < 1.0);
    while line.len() > 1 && line[line.len() - 1].minus(line[0]).length() < 1.0 {
        line.pop();
    }
    Polygon::new(snapped(&line)?)
}

/// The corners between the ends of an arc.
fn bend(line: &mut Vec<Vector>, from: Vector, to: Vector, bulge: f64, tolerance: f64) {
    let chord = to.minus(from);
    if bulge.abs() * chord.length() / 2.0 < STRAIGHT {
        return;
    }
    // The centre lies beside the middle of the chord, by (1 - b^2) / (4 b) chord lengths to the left.
    let aside = (1.0 - bulge * bulge) / (4.0 * bulge);
    let middle = Vector { x: f64::midpoint(from.x, to.x), y: f64::midpoint(from.y, to.y) };
    let centre = Vector { x: middle.x - chord.y * aside, y: middle.y + chord.x * aside };
    let out = from.minus(centre);
    let (radius, start) = (out.length(), maths::atan2(out.y, out.x));
    let sweep = 4.0 * maths::atan(bulge);
    if bulge < 0.0 {
        let widest = 2.0 * maths::acos((1.0 - tolerance / radius).max(-1.0));
        let count = stretches(sweep, widest);
        let step = sweep / f64::from(count);
        line.extend((1..count).map(|index| centre.polar(radius, start + step * f64::from(index))));
    } else {
        let widest = 2.0 * maths::acos(radius / (radius + tolerance));
        for (low, high) in between_quarters(start, start + sweep) {
            let count = stretches(high - low, widest);
            let step = (high - low) / f64::from(count);
            let reach = radius / maths::cos(step / 2.0);
            line.extend((0..count).map(|index| centre.polar(reach, low + step * (f64::from(index) + 0.5))));
        }
    }
}

fn stretches(sweep: f64, widest: f64) -> u32 {
    let count = (sweep.abs() / widest.min(LARGEST_TURN)).ceil();
    // Beyond the most corners the outline is refused; the count only has to stay a number.
    count.clamp(1.0, super::MOST_CORNERS as f64 + 1.0) as u32
}

/// A range of angles, broken at whole quarter turns.
fn between_quarters(low: f64, high: f64) -> Vec<(f64, f64)> {
    let quarter = maths::PI / 2.0;
    let first = (low / quarter).floor() as i32 + 1;
    let mut breaks = vec![low];
    breaks.extend((first..first + 5).map(|index| quarter * f64::from(index)).filter(|&at| at < high));
    breaks.push(high);
    // A quarter within noise of an end would leave a range of nothing.
    breaks.dedup_by(|b, a| *b - *a < 1e-12);
    breaks.windows(2).map(|pair| (pair[0], pair[1])).collect()
}

/// Each corner at the nearest whole point that is on or outside both its edges.
fn snapped(line: &[Vector]) -> Result<Vec<Point>, NestFault> {
    let count = line.len();
    let snap = |index: usize| {
        let (before, here, after) =
            (line[(index + count - 1) % count], line[index], line[(index + 1) % count]);
        outward(here, [outer_normal(before, here), outer_normal(here, after)])
    };
    (0..count).map(snap).collect()
}

/// Unit normal to the right of an edge; counter-clockwise outlines have their outside there.
fn outer_normal(from: Vector, to: Vector) -> Vector {
    let along = to.minus(from);
    let length = along.length().max(f64::MIN_POSITIVE);
    Vector { x: along.y / length, y: -along.x / length }
}

fn outward(corner: Vector, normals: [Vector; 2]) -> Result<Point, NestFault> {
    let nearest = Point::new(corner.x.round() as i64, corner.y.round() as i64);
    let off = |point: Point| Vector { x: point.x as f64 - corner.x, y: point.y as f64 - corner.y };
    let outside = |point: &Point| {
        let by = off(*point);
        normals.iter().all(|normal| by.x * normal.x + by.y * normal.y >= -NOISE)
    };
    (0..=FARTHEST_SNAP)
        .find_map(|ring| {
            let found = ring_around(nearest, ring).filter(outside);
            found.min_by(|a, b| off(*a).length().total_cmp(&off(*b).length()))
        })
        .ok_or(NestFault::TooSharp { at: nearest })
}

/// The whole points at a distance of `ring` along x or y.
fn ring_around(middle: Point, ring: i64) -> impl Iterator<Item = Point> {
    let row = move |dy: i64| {
        let step = if dy.abs() == ring { 1 } else { (2 * ring).max(1) };
        (-ring..=ring).step_by(usize::try_from(step).unwrap_or(1)).map(move |dx| Point::new(dx, dy))
    };
    (-ring..=ring).flat_map(row).map(move |by| middle.plus(by))
}
