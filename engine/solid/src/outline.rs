//! [`Outline`]: a profile as a polygon, each edge knowing the arc it stands for.

use slatwork_base::maths;

use crate::flat::signed_area;
use crate::tolerance::{CLIP_SNAP, FARTHEST};
use crate::{DVec2, Profile, SolidFault, Tag};

/// Bulges below this are lines: over 10 m such an arc rises 5e-6 mm.
const STRAIGHT: f64 = 1e-9;
/// Most facets of one arc, so that no radius however large can stall the kernel.
const MOST_FACETS: f64 = 720.0;
/// Line and arc join without a crease when their directions differ by less than this, as a sine (a fifth of a degree).
const TANGENT: f64 = 3.5e-3;

/// The part of an arc that one facet leaves out (or takes too much).
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Segment {
    /// Area between facet and arc, mm^2; negative where the arc is hollow.
    pub(crate) area: f64,
    /// Distance of that area's middle from the facet, outward positive, mm.
    pub(crate) middle: f64,
    /// Centre of the arc.
    pub(crate) centre: DVec2,
    /// Radius of the arc, mm.
    pub(crate) radius: f64,
    /// Cosine of half the angle that the facet spans.
    pub(crate) half_cosine: f64,
}

/// One straight edge of the polygon.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Side {
    pub(crate) tag: Tag,
    /// Present when the edge is a facet of an arc.
    pub(crate) segment: Option<Segment>,
}

/// A corner where the outline passes smoothly, and the directions of the edges before and after.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct SmoothCorner {
    pub(crate) point: DVec2,
    pub(crate) before: DVec2,
    pub(crate) after: DVec2,
}

/// A counter-clockwise polygon; `sides[i]` runs from `points[i]` to the next point.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Outline {
    pub(crate) points: Vec<DVec2>,
    pub(crate) sides: Vec<Side>,
    pub(crate) smooth: Vec<SmoothCorner>,
}

impl Outline {
    /// The polygon of a profile whose facets stay within `chord` mm of the arcs.
    pub(crate) fn new(profile: &Profile, chord: f64) -> Result<Self, SolidFault> {
        let mut tracer = Tracer::default();
        let count = profile.vertices.len();
        for (index, vertex) in profile.vertices.iter().enumerate() {
            let next = profile.vertices[(index + 1) % count].point;
            tracer.edge(vertex.point, next, vertex.bulge, vertex.tag, chord);
        }
        let outline = tracer.finish();
        // A nearly full circle may bulge far beyond its ends.
        if outline.points.iter().any(|point| point.abs().max_element() > FARTHEST) {
            return Err(SolidFault::TooLarge);
        }
        let area = outline.area()?;
        outline.check_crossing()?;
        if area > 0.0 { Ok(outline) } else { Err(SolidFault::Clockwise) }
    }

    pub(crate) fn next(&self, index: usize) -> usize {
        if index + 1 == self.points.len() { 0 } else { index + 1 }
    }

    /// Area inside, negative when clockwise; never next to nothing.
    fn area(&self) -> Result<f64, SolidFault> {
        if self.points.len() < 3 {
            return Err(SolidFault::NoOutline);
        }
        let first = self.points[0];
        let reach = self.points.iter().map(|point| (*point - first).length()).fold(0.0, f64::max);
        let area = signed_area(&self.points);
        if area.abs() <= CLIP_SNAP * reach { Err(SolidFault::NoOutline) } else { Ok(area) }
    }

    /// Refuses outlines that cross or touch themselves: sweeps over x, so that only edges side by side are compared.
    fn check_crossing(&self) -> Result<(), SolidFault> {
        let count = self.points.len();
        let ends = |index: usize| (self.points[index], self.points[self.next(index)]);
        let mut order: Vec<(f64, usize)> =
            (0..count).map(|index| (ends(index).0.x.min(ends(index).1.x), index)).collect();
        order.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        for (place, &(_, index)) in order.iter().enumerate() {
            let (a, b) = ends(index);
            let reach = a.x.max(b.x);
            for &(_, other) in order[place + 1..].iter().take_while(|entry| entry.0 <= reach) {
                let (c, d) = ends(other);
                if a.y.max(b.y) < c.y.min(d.y) || c.y.max(d.y) < a.y.min(b.y) {
                    continue;
                }
                let crossing = if self.next(index) == other {
                    folds_back(a, b, d)
                } else if self.next(other) == index {
                    folds_back(c, d, b)
                } else {
                    meeting(a, b, c, d)
                };
                if let Some(at) = crossing {
                    return Err(SolidFault::SelfCrossing { at });
                }
            }
        }
        Ok(())
    }
}

/// Whether the edge b to c runs back over the edge a to b.
fn folds_back(a: DVec2, b: DVec2, c: DVec2) -> Option<DVec2> {
    let (into, out) = (b - a, c - b);
    let flat = into.perp_dot(out).abs() <= CLIP_SNAP * into.length().max(out.length());
    (flat && into.dot(out) < 0.0).then_some(b)
}

/// Where two edges without a common corner meet, touching counted.
fn meeting(a: DVec2, b: DVec2, c: DVec2, d: DVec2) -> Option<DVec2> {
    let side = |p: DVec2, q: DVec2, r: DVec2| {
        let height = (q - p).perp_dot(r - p) / (q - p).length();
        if height.abs() < CLIP_SNAP { 0.0 } else { height }
    };
    let (c_side, d_side, a_side, b_side) = (side(a, b, c), side(a, b, d), side(c, d, a), side(c, d, b));
    if c_side == 0.0 && d_side == 0.0 {
        return shared_stretch(a, b, c, d);
    }
    if c_side * d_side > 0.0 || a_side * b_side > 0.0 {
        return None;
    }
    Some(c + (d - c) * (c_side / (c_side - d_side)))
}

/// A point common to two edges on one line.
fn shared_stretch(a: DVec2, b: DVec2, c: DVec2, d: DVec2) -> Option<DVec2> {
    let along = (b - a).normalize();
    let (low, high) =
        ((c - a).dot(along).min((d - a).dot(along)), (c - a).dot(along).max((d - a).dot(along)));
    let (from, to) = (low.max(0.0), high.min((b - a).length()));
    (from <= to).then(|| a + along * from)
}

/// Follows a profile edge by edge.
#[derive(Default)]
struct Tracer {
    points: Vec<DVec2>,
    sides: Vec<Side>,
    /// Per point: direction in which the true curve leaves it, and whether it lies inside an arc.
    leaving: Vec<DVec2>,
    /// Per point: direction in which the true curve arrives at the end of the edge that leaves it.
    arriving: Vec<DVec2>,
}

impl Tracer {
    fn edge(&mut self, from: DVec2, to: DVec2, bulge: f64, tag: Tag, chord: f64) {
        if (to - from).length() < CLIP_SNAP {
            return;
        }
        if bulge.abs() < STRAIGHT {
            let direction = (to - from).normalize();
            self.push(from, Side { tag, segment: None }, direction, direction);
        } else {
            self.arc(&Arc::new(from, to, bulge), from, tag, chord);
        }
    }

    fn arc(&mut self, arc: &Arc, from: DVec2, tag: Tag, chord: f64) {
        let count = arc.facets(chord);
        let step = arc.angle / count as f64;
        let segment = Some(arc.segment(step));
        let turns: Vec<DVec2> = (0..=count).map(|index| unit(step * index as f64)).collect();
        for index in 0..count {
            let point = if index == 0 { from } else { arc.centre + turns[index].rotate(arc.start) };
            let tangent = |turn: DVec2| turn.rotate(arc.start).perp() * (arc.angle.signum() / arc.radius);
            self.push(point, Side { tag, segment }, tangent(turns[index]), tangent(turns[index + 1]));
        }
    }

    fn push(&mut self, point: DVec2, side: Side, leaving: DVec2, arriving: DVec2) {
        self.points.push(point);
        self.sides.push(side);
        self.leaving.push(leaving);
        self.arriving.push(arriving);
    }

    fn finish(self) -> Outline {
        let count = self.points.len();
        let before = |index: usize| (index + count - 1) % count;
        let direction =
            |index: usize| (self.points[(index + 1) % count] - self.points[index]).normalize_or_zero();
        let smooth = (0..count)
            .filter(|&index| {
                let (into, out) = (self.arriving[before(index)], self.leaving[index]);
                into.perp_dot(out).abs() < TANGENT && into.dot(out) > 0.0
            })
            .map(|index| SmoothCorner {
                point: self.points[index],
                before: direction(before(index)),
                after: direction(index),
            })
            .collect();
        Outline { points: self.points, sides: self.sides, smooth }
    }
}

fn unit(angle: f64) -> DVec2 {
    let (sine, cosine) = maths::sin_cos(angle);
    DVec2::new(cosine, sine)
}

/// A circular arc, from its end points and bulge.
struct Arc {
    centre: DVec2,
    /// From the centre to the first end.
    start: DVec2,
    radius: f64,
    /// Angle turned through, positive to the left.
    angle: f64,
}

impl Arc {
    fn new(from: DVec2, to: DVec2, bulge: f64) -> Self {
        let chord = to - from;
        // The centre lies beside the middle of the chord, by (1 - b^2) / (4 b) chord lengths to the left.
        let centre = from + chord * 0.5 + chord.perp() * ((1.0 - bulge * bulge) / (4.0 * bulge));
        let radius = chord.length() * (1.0 + bulge * bulge) / (4.0 * bulge.abs());
        Arc { centre, start: from - centre, radius, angle: 4.0 * maths::atan(bulge) }
    }

    fn facets(&self, chord: f64) -> usize {
        let widest = 2.0 * maths::acos(1.0 - chord / self.radius);
        // A circle smaller than the chord still gets a shape.
        let widest = widest.min(core::f64::consts::FRAC_PI_4);
        // An angle that is a whole number of facets must not become one facet more by rounding.
        (self.angle.abs() / widest - 1e-9).ceil().clamp(1.0, MOST_FACETS) as usize
    }

    /// What a facet that spans `step` radians leaves out.
    fn segment(&self, step: f64) -> Segment {
        let span = step.abs();
        let (half_sine, half_cosine) = maths::sin_cos(span / 2.0);
        let excess = span_minus_sine(span);
        let outward = step.signum();
        let middle = 4.0 * self.radius * half_sine * half_sine * half_sine / (3.0 * excess)
            - self.radius * half_cosine;
        Segment {
            area: outward * self.radius * self.radius * excess / 2.0,
            middle: outward * middle,
            centre: self.centre,
            radius: self.radius,
            half_cosine,
        }
    }
}

/// x - sin x without the cancellation at small x.
fn span_minus_sine(x: f64) -> f64 {
    if x > 0.5 {
        return x - maths::sin(x);
    }
    // Taylor series; the eighth term is below 1e-19 of the first for x <= 0.5.
    let square = x * x;
    let mut term = x * square / 6.0;
    let mut sum = term;
    for index in 2..9_u8 {
        let order = f64::from(2 * index);
        term *= -square / (order * (order + 1.0));
        sum += term;
    }
    sum
}
