//! What a drawing reads off placed solids: edges, triangles and the true curves behind the facets.

use slatwork_base::maths;
use slatwork_solid::{Across, DAffine3, DMat3, DVec2, DVec3, Edge, EdgeKind, Shape, Solid, Tag, Wall};
use std::collections::{BTreeMap, BTreeSet};

/// A solid in its place.
#[derive(Clone, Copy)]
pub struct Body<'a> {
    /// The part's name.
    pub name: &'a str,
    /// Its solid, in the board's frame.
    pub solid: &'a Solid,
    /// From the board's frame to the world's: a turn (or mirror) and a shift.
    pub pose: DAffine3,
}

/// A curve in space: `centre + cos(t) * u + sin(t) * v`; a circle, or the ellipse in which a slanting hole meets a
/// face.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Curve {
    pub(crate) centre: DVec3,
    pub(crate) u: DVec3,
    pub(crate) v: DVec3,
    /// How far the ends of its facets may lie off it, mm.
    pub(crate) slack: f64,
}

/// An edge of a body: straight, or a facet of a curve.
#[derive(Clone, Copy, Debug)]
pub(crate) struct WireEdge {
    pub(crate) edge: Edge,
    /// The curve that it stands for, by its number, and the parameters of its two ends.
    pub(crate) curve: Option<(usize, f64, f64)>,
    /// The number of the body.
    pub(crate) body: usize,
}

/// All edges, curves and triangles of placed bodies, in the world.
#[derive(Clone, Debug, Default)]
pub(crate) struct Wire {
    pub(crate) edges: Vec<WireEdge>,
    pub(crate) curves: Vec<Curve>,
    /// Corners counter-clockwise seen from outside, and the number of the body.
    pub(crate) triangles: Vec<([DVec3; 3], usize)>,
    /// Walls of holes.
    pub(crate) bores: Vec<Wall>,
    /// Ends of the edges between facets of a cope round a curve: no corners for the builder, who marks it from the other part.
    pub(crate) joints: Vec<DVec3>,
}

/// How far the ends of a facet may lie off its arc, mm: twice the usual chord, where a saw cut ends it.
const OFF_ARC: f64 = 0.1;
/// How far the corners of the polygon that stands for a hole may lie off its rim, as a share of the radius: it has the
/// area of the circle, so they lie outside by 0.6 % with 24 sides and by 5 % with 8.
const OFF_RIM_SHARE: f64 = 0.06;

/// So many regions that a notch is made of, one beside the other, go round a curve of another part.
const MANY_REGIONS: usize = 4;

/// What made the walls of copes that go round curves.
fn facets_of_copes(solid: &Solid) -> BTreeSet<Tag> {
    let notches = &solid.shape().notches;
    let walls =
        || notches.iter().enumerate().flat_map(|(n, notch)| notch.planes.iter().map(move |p| (p.tag, n)));
    let regions: BTreeMap<Tag, usize> = walls().collect();
    let mut groups: Vec<usize> = (0..notches.len()).collect();
    for edge in solid.edges() {
        // Two regions meet where an edge runs between their walls.
        let [Some(one), Some(other)] = edge.tags.map(|tag| regions.get(&tag)) else { continue };
        let (kept, gone) = (groups[*one], groups[*other]);
        groups.iter_mut().filter(|group| **group == gone).for_each(|group| *group = kept);
    }
    let size = |region: usize| groups.iter().filter(|group| **group == groups[region]).count();
    walls().filter(|(_, region)| size(*region) >= MANY_REGIONS).map(|(tag, _)| tag).collect()
}

impl Wire {
    pub(crate) fn of(bodies: &[Body<'_>]) -> Self {
        let mut wire = Wire::default();
        for (number, body) in bodies.iter().enumerate() {
            wire.add(body, number);
        }
        wire
    }

    fn add(&mut self, body: &Body<'_>, number: usize) {
        let first = self.curves.len();
        let curves = curves_of(body.solid);
        let mut by_tag: BTreeMap<Tag, Vec<usize>> = BTreeMap::new();
        for (index, (_, tag)) in curves.iter().enumerate() {
            by_tag.entry(*tag).or_default().push(index);
        }
        self.curves.extend(curves.iter().map(|(curve, _)| curve.placed(&body.pose)));
        let fits: Vec<Fitting> = self.curves[first..].iter().map(Fitting::of).collect();
        let facets = facets_of_copes(body.solid);
        self.edges.reserve(body.solid.edges().len());
        for edge in body.solid.edges() {
            let edge = placed(edge, &body.pose);
            // The other part tells the line of a cope round its curve; the facets in it are ours.
            if edge.tags.iter().all(|tag| facets.contains(tag)) {
                self.joints.extend([edge.a, edge.b]);
                continue;
            }
            // Neighbouring arcs of one feature may be almost the same circle: the nearest one is meant.
            let [one, other] = edge.tags;
            let tags = [Some(one), (other != one).then_some(other)].into_iter().flatten();
            let curve = tags
                .flat_map(|tag| by_tag.get(&tag).into_iter().flatten())
                .filter_map(|index| fits[*index].parameters(&edge).map(|fit| (first + index, fit)))
                .min_by(|a, b| a.1.off.total_cmp(&b.1.off).then(a.0.cmp(&b.0)))
                .map(|(index, fit)| (index, fit.from, fit.to));
            self.edges.push(WireEdge { edge, curve, body: number });
        }
        self.bores.extend(body.solid.walls().iter().map(|wall| Wall {
            start: body.pose.transform_point3(wall.start),
            end: body.pose.transform_point3(wall.end),
            direction: body.pose.transform_vector3(wall.direction),
            end_normals: wall.end_normals.map(|normal| body.pose.transform_vector3(normal)),
            ..*wall
        }));
        let mirrored = body.pose.matrix3.determinant() < 0.0;
        let mesh = body.solid.mesh();
        self.triangles.reserve(mesh.triangles.len());
        for triangle in &mesh.triangles {
            let mut corners = triangle.map(|i| body.pose.transform_point3(mesh.positions[i as usize]));
            if mirrored {
                corners.swap(1, 2);
            }
            self.triangles.push((corners, number));
        }
    }

    /// One body alone, with the number that it is to have among others.
    pub(crate) fn of_one(body: &Body<'_>, number: usize) -> Self {
        let mut wire = Wire::default();
        wire.add(body, number);
        wire
    }

    /// Adds what was read off before, moved by `shift`.
    pub(crate) fn add_moved(&mut self, other: &Wire, shift: DVec3) {
        let first = self.curves.len();
        self.curves.extend(other.curves.iter().map(|c| Curve { centre: c.centre + shift, ..*c }));
        self.edges.extend(other.edges.iter().map(|own| WireEdge {
            edge: Edge { a: own.edge.a + shift, b: own.edge.b + shift, ..own.edge },
            curve: own.curve.map(|(index, from, to)| (first + index, from, to)),
            body: own.body,
        }));
        let moved = |([a, b, c], body): &([DVec3; 3], usize)| ([*a + shift, *b + shift, *c + shift], *body);
        self.triangles.extend(other.triangles.iter().map(moved));
        self.joints.extend(other.joints.iter().map(|point| *point + shift));
    }

    /// Every corner of every body.
    pub(crate) fn points(&self) -> impl Iterator<Item = DVec3> + '_ {
        self.triangles.iter().flat_map(|(corners, _)| *corners)
    }
}

fn placed(edge: &Edge, pose: &DAffine3) -> Edge {
    Edge {
        a: pose.transform_point3(edge.a),
        b: pose.transform_point3(edge.b),
        normals: edge.normals.map(|n| pose.transform_vector3(n)),
        tags: edge.tags,
        kind: edge.kind,
    }
}

impl Curve {
    fn placed(&self, pose: &DAffine3) -> Curve {
        Curve {
            centre: pose.transform_point3(self.centre),
            u: pose.transform_vector3(self.u),
            v: pose.transform_vector3(self.v),
            slack: self.slack,
        }
    }
}

/// A curve made ready for the question what lies on it.
struct Fitting {
    centre: DVec3,
    /// From the world to shares of its two axes, and mm off its plane.
    inverse: DMat3,
    /// The shorter axis, mm.
    least: f64,
    slack: f64,
}

impl Fitting {
    fn of(curve: &Curve) -> Fitting {
        let normal = curve.u.cross(curve.v).normalize();
        Fitting {
            centre: curve.centre,
            inverse: DMat3::from_cols(curve.u, curve.v, normal).inverse(),
            least: curve.u.length().min(curve.v.length()),
            slack: curve.slack,
        }
    }

    /// The parameter of a point that lies close to the curve and how far off it is, or nothing for one that does not.
    fn parameter(&self, point: DVec3) -> Option<(f64, f64)> {
        let local = self.inverse * (point - self.centre);
        let out = (maths::hypot(local.x, local.y) - 1.0).abs() * self.least;
        let off = out.max(local.z.abs());
        (off < self.slack).then(|| (maths::atan2(local.y, local.x), off))
    }

    /// Where a facet lies on the curve, its end within half a turn of its start.
    fn parameters(&self, edge: &Edge) -> Option<Fit> {
        let ((from, off_from), (to, off_to)) = (self.parameter(edge.a)?, self.parameter(edge.b)?);
        let turn = 2.0 * maths::PI;
        let to = to + ((from - to) / turn).round() * turn;
        // A wall of a board runs along a curve's axis, from one curve to the other: it is no facet of either.
        ((to - from).abs() > 1e-9).then_some(Fit { from, to, off: off_from.max(off_to) })
    }
}

/// A facet on a curve.
struct Fit {
    from: f64,
    to: f64,
    /// How far its ends lie off the curve, mm.
    off: f64,
}

/// The arcs of the outline on both faces and the rims of the holes, each with the tag that its facets carry.
fn curves_of(solid: &Solid) -> Vec<(Curve, Tag)> {
    let mut curves = arcs_of(solid.shape());
    curves.extend(solid.walls().iter().flat_map(|wall| [rim(wall, 0), rim(wall, 1)]).flatten());
    curves
}

fn arcs_of(shape: &Shape) -> Vec<(Curve, Tag)> {
    let mut arcs = Vec::new();
    let vertices = &shape.profile.vertices;
    for (index, vertex) in vertices.iter().enumerate() {
        let next = vertices[(index + 1) % vertices.len()].point;
        if vertex.bulge == 0.0 {
            continue;
        }
        let (centre, radius) = circle_of(vertex.point, next, vertex.bulge);
        for level in [shape.low, shape.high] {
            let at = |p: DVec2| match shape.across {
                Across::Thickness => DVec3::new(p.x, p.y, level),
                Across::Width => DVec3::new(p.x, level, p.y),
            };
            let origin = at(centre);
            let u = at(centre + DVec2::new(radius, 0.0)) - origin;
            let v = at(centre + DVec2::new(0.0, radius)) - origin;
            arcs.push((Curve { centre: origin, u, v, slack: OFF_ARC }, vertex.tag));
        }
    }
    arcs
}

/// Cubic curves that stand for an arc of an ellipse, one after the other, each for at most `piece` of a turn (radians): two handles
/// and the end of each.
pub(crate) fn cubics_of(
    [centre, major, minor]: [DVec2; 3],
    (start, sweep): (f64, f64),
    piece: f64,
) -> impl Iterator<Item = [DVec2; 3]> {
    let pieces = (sweep.abs() / piece).ceil().max(1.0);
    let step = sweep / pieces;
    // The usual handles of a cubic that stands for an arc: 4/3 tan(t / 4) of the tangent at either end.
    let handle = 4.0 / 3.0 * maths::tan(step / 4.0);
    let at = move |t: f64| centre + major * maths::cos(t) + minor * maths::sin(t);
    let along = move |t: f64| minor * maths::cos(t) - major * maths::sin(t);
    (0..pieces as u32).map(move |piece| {
        let (from, to) = (start + step * f64::from(piece), start + step * f64::from(piece + 1));
        [at(from) + along(from) * handle, at(to) - along(to) * handle, at(to)]
    })
}

/// Centre and radius of the arc between two corners.
pub(crate) fn circle_of(from: DVec2, to: DVec2, bulge: f64) -> (DVec2, f64) {
    let chord = to - from;
    // The centre lies on the chord's middle normal; bulge b: sagitta b c / 2, radius c (1 + b^2) / (4 b).
    let apothem = (1.0 - bulge * bulge) / (4.0 * bulge);
    let centre = (from + to) / 2.0 + DVec2::new(-chord.y, chord.x) * apothem;
    (centre, centre.distance(from))
}

/// The circle or ellipse in which the stretch of a hole ends.
fn rim(wall: &Wall, end: usize) -> Option<(Curve, Tag)> {
    let axis = wall.direction;
    let across = axis.any_orthonormal_vector();
    let other = axis.cross(across);
    let normal = wall.end_normals[end];
    let lean = normal.dot(axis);
    // A plane along the axis never ends the stretch.
    if lean.abs() < 1e-6 {
        return None;
    }
    let on_plane = |direction: DVec3| (direction - axis * (normal.dot(direction) / lean)) * wall.radius;
    let centre = if end == 0 { wall.start } else { wall.end };
    let slack = OFF_RIM_SHARE * wall.radius;
    Some((Curve { centre, u: on_plane(across), v: on_plane(other), slack }, wall.tag))
}

/// Whether an edge can be seen as a line from a direction, when nothing is in the way.
pub(crate) fn shows(edge: &Edge, toward: DVec3) -> bool {
    let faces = edge.normals.map(|n| n.dot(toward) > EDGE_ON);
    match edge.kind {
        EdgeKind::Smooth => faces[0] != faces[1],
        EdgeKind::Sharp | EdgeKind::HoleRim => faces[0] || faces[1],
    }
}

/// A face whose normal leans to the viewer by less than this is seen edge on: noise of a pose turned in space, a
/// thousandth of the least angle on a protractor.
pub(crate) const EDGE_ON: f64 = 1e-6;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bulges_give_their_circles() {
        let (centre, radius) = circle_of(DVec2::new(0.0, 0.0), DVec2::new(0.0, 20.0), 1.0);
        assert!((centre - DVec2::new(0.0, 10.0)).length() < 1e-12 && (radius - 10.0).abs() < 1e-12);
        // A quarter turn to the left from (10, 0) to (0, 10): bulge tan(22.5 degrees).
        let (centre, radius) =
            circle_of(DVec2::new(10.0, 0.0), DVec2::new(0.0, 10.0), maths::tan(maths::PI / 8.0));
        assert!(centre.length() < 1e-12 && (radius - 10.0).abs() < 1e-12);
    }
}
