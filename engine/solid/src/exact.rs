//! [`ExactSolid`]: the surface of a board by planes and true cylinders, with straight, round and elliptic edges.
//!
//! The kernel reckons with facets. Here the facets of one arc or hole become one cylinder again: faces over the same
//! cylinder that touch are joined, what is left of their borders are runs of edges between two surfaces, and each run is
//! the one curve in which these meet. Corners move from the facets to where the true surfaces meet. A cylinder whose border
//! is no such curve (where two holes meet, or a hole an arc edge), or whose corners cannot be found, stays in facets.

use slatwork_base::maths;

use crate::brep::{RawFace, edges_of};
use crate::exact_links::Links;
use crate::tolerance::WELD;
use crate::{DMat3, DVec3};

/// A surface of an [`ExactSolid`].
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Surface {
    /// A plane.
    Plane {
        /// Unit normal, out of the wood.
        normal: DVec3,
        /// Distance from the origin along the normal, mm.
        offset: f64,
    },
    /// A cylinder.
    Cylinder {
        /// A point of the axis, mm.
        origin: DVec3,
        /// Unit direction of the axis.
        axis: DVec3,
        /// Radius, mm.
        radius: f64,
        /// Whether the wood lies round the cylinder, as round a hole, and not in it.
        hollow: bool,
    },
}

/// What an edge lies on, from its first corner to its second.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum EdgeCurve {
    /// A straight line.
    Line,
    /// A circle or ellipse, `centre + cos t * major + sin t * minor` with rising t.
    Round {
        /// Centre, mm.
        centre: DVec3,
        /// Half of the long axis, mm.
        major: DVec3,
        /// Half of the short axis, at right angles to `major`; as long for a circle.
        minor: DVec3,
    },
}

/// An edge between two faces.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ExactEdge {
    /// Index of the corner where it starts.
    pub from: u32,
    /// Index of the corner where it ends; the first one for a closed curve.
    pub to: u32,
    /// What it lies on.
    pub curve: EdgeCurve,
}

/// A face.
#[derive(Clone, Debug, PartialEq)]
pub struct ExactFace {
    /// What it lies on.
    pub surface: Surface,
    /// Its borders, the face on the left seen from outside the wood: indices of edges, and whether each is run through
    /// forward. Of a plane the outer one first.
    pub loops: Vec<Vec<(u32, bool)>>,
}

/// A board by its true surfaces.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ExactSolid {
    /// Corners, mm.
    pub corners: Vec<DVec3>,
    /// Edges, each used once forward and once backward.
    pub edges: Vec<ExactEdge>,
    /// Faces.
    pub faces: Vec<ExactFace>,
    /// How many arcs and stretches of holes had to stay in facets.
    pub faceted: usize,
}

/// A face before it is joined with others over its cylinder.
#[derive(Clone, Debug)]
pub(crate) struct Facet {
    pub(crate) face: RawFace,
    /// Index of the cylinder that it stands for.
    pub(crate) cylinder: Option<usize>,
    /// Whether it stands for two arcs and cannot be split: it stays flat.
    pub(crate) is_flat: bool,
}

impl Facet {
    /// The middle of the corners of its outer ring.
    pub(crate) fn middle(&self, corners: &[DVec3]) -> DVec3 {
        let ring = self.face.rings.first().map_or(&[][..], Vec::as_slice);
        ring.iter().map(|corner| corners[*corner as usize]).sum::<DVec3>() / ring.len().max(1) as f64
    }
}

/// Every cylinder once.
#[derive(Default)]
pub(crate) struct Cylinders {
    pub(crate) list: Vec<Surface>,
}

impl Cylinders {
    pub(crate) fn number(&mut self, surface: Surface) -> usize {
        let known = self.list.iter().position(|one| *one == surface);
        known.unwrap_or_else(|| {
            self.list.push(surface);
            self.list.len() - 1
        })
    }
}

/// Splits the planar faces that lie on both sides of a line in their plane: facets of two arcs that lie in one plane.
pub(crate) fn split_facets(
    facets: &mut Vec<Facet>,
    corners: &mut Vec<DVec3>,
    (at, along, normal): (DVec3, DVec3, DVec3),
) {
    let across = along.cross(normal);
    for index in 0..facets.len() {
        let face = &facets[index].face;
        let in_plane = (face.normal - normal).abs().max_element() < 1e-6
            && (face.normal.dot(at) - face.offset).abs() < WELD;
        if facets[index].cylinder.is_some() || !in_plane {
            continue;
        }
        let side = |point: DVec3| (point - at).dot(across);
        let crossed: Vec<(u32, u32)> = edges_of(&face.rings[0])
            .filter(|(a, b)| {
                let [here, there] = [*a, *b].map(|corner| side(corners[corner as usize]));
                here.abs() > WELD && there.abs() > WELD && (here > 0.0) != (there > 0.0)
            })
            .collect();
        for (a, b) in crossed {
            let [from, to] = [a, b].map(|corner| corners[corner as usize]);
            corners.push(from.lerp(to, side(from) / (side(from) - side(to))));
            insert(facets, (a, b), corners.len() as u32 - 1);
        }
        let ring = facets[index].face.rings[0].clone();
        // Rims of holes go with the side they lie on; one over the line leaves the whole face flat.
        let inner = facets[index].face.rings.split_off(1);
        let is_after = |corner: &u32| side(corners[*corner as usize]) > 0.0;
        let over = inner.iter().any(|ring| ring.iter().any(is_after) && !ring.iter().all(is_after));
        let on_line = |place: &usize| side(corners[ring[*place] as usize]).abs() <= WELD;
        let ends: Vec<usize> = (0..ring.len()).filter(on_line).collect();
        let [first, last] = ends.as_slice() else {
            facets[index].face.rings.extend(inner);
            continue;
        };
        if over {
            facets[index].face.rings.extend(inner);
            facets[index].is_flat = true;
            continue;
        }
        let one = ring[*first..=*last].to_vec();
        let other: Vec<u32> = ring[*last..].iter().chain(&ring[..=*first]).copied().collect();
        if one.len() < 3 || other.len() < 3 {
            facets[index].face.rings.extend(inner);
            continue;
        }
        let one_is_after = one.iter().map(|corner| side(corners[*corner as usize])).sum::<f64>() > 0.0;
        let goes_with_one = |ring: &Vec<u32>| ring.iter().all(is_after) == one_is_after;
        let (with_one, with_other): (Vec<_>, Vec<_>) = inner.into_iter().partition(goes_with_one);
        let mut rest = facets[index].clone();
        rest.face.rings = core::iter::once(other).chain(with_other).collect();
        facets[index].face.rings = core::iter::once(one).chain(with_one).collect();
        facets.push(rest);
    }
}

/// Puts a corner into the edge between two others, in both faces beside it.
fn insert(facets: &mut [Facet], (a, b): (u32, u32), corner: u32) {
    for ring in facets.iter_mut().flat_map(|facet| &mut facet.face.rings) {
        let count = ring.len();
        let found = (0..count).find(|at| {
            let pair = (ring[*at], ring[(at + 1) % count]);
            pair == (a, b) || pair == (b, a)
        });
        if let Some(at) = found {
            ring.insert(at + 1, corner);
        }
    }
}

/// A corner lies on the true surfaces when it is off them by less, mm.
const ON_SURFACE: f64 = 1e-8;
/// A corner that had to move farther than so many mm is another corner: facets lie off by 0.05, and a plane that meets
/// them at a shallow angle moves it some times as far.
const FARTHEST_MOVE: f64 = 1.5;
/// Directions nearer to parallel or to square than this (as a sine, a cosine) are so.
const STRAIGHT: f64 = 1e-7;

/// Puts facets together; `None` when they do not close.
pub(crate) fn exact(corners: &[DVec3], facets: &[Facet], cylinders: &[Surface]) -> Option<ExactSolid> {
    let rings: Vec<&[Vec<u32>]> = facets.iter().map(|facet| facet.face.rings.as_slice()).collect();
    let links = Links::new(&rings, corners.len())?;
    let mut flat = vec![false; cylinders.len()];
    loop {
        match (Joiner { corners, facets, cylinders, flat: &flat, links: &links }).join() {
            Ok(solid) => {
                let flat_faces = facets.iter().filter(|facet| facet.is_flat).count();
                let faceted = flat.iter().filter(|is_flat| **is_flat).count() + flat_faces;
                return Some(ExactSolid { faceted, ..solid });
            }
            // One cylinder fewer each time, so this comes to an end.
            Err(Some(cylinder)) => flat[cylinder] = true,
            Err(None) => return None,
        }
    }
}

/// Which cylinder has to stay in facets; none when that would not help.
type Fault = Option<usize>;

struct Joiner<'a> {
    corners: &'a [DVec3],
    facets: &'a [Facet],
    cylinders: &'a [Surface],
    flat: &'a [bool],
    links: &'a Links,
}

impl Joiner<'_> {
    fn join(&self) -> Result<ExactSolid, Fault> {
        let patch = self.links.patches(|face| self.cylinder(face));
        let borders: Vec<bool> = (0..self.links.count()).map(|half| self.is_border(half, &patch)).collect();
        let kept = self.kept(&patch, &borders);
        let mut solid = ExactSolid::default();
        let mut edge_of: Vec<Option<(u32, bool)>> = vec![None; self.links.count()];
        let mut place: Vec<Option<u32>> = vec![None; self.corners.len()];
        let count = patch.iter().copied().max().map_or(0, |most| most + 1);
        let mut loops: Vec<Vec<Vec<(u32, bool)>>> = vec![Vec::new(); count];
        let mut done = vec![false; self.links.count()];
        // Rings of planes in their order: the outer one comes first.
        for first in 0..self.links.count() {
            if !borders[first] || done[first] {
                continue;
            }
            let ring = self.links.border_ring(first, &borders);
            ring.iter().for_each(|half| done[*half] = true);
            let mut edges = Vec::new();
            for run in runs(&ring, |half| kept[self.links.origin(half)]) {
                let known = edge_of[run[0]];
                let edge = match known {
                    Some(edge) => edge,
                    None => {
                        let index = solid.edges.len() as u32;
                        let edge = self.edge(&run, &patch, &mut place, &mut solid.corners)?;
                        solid.edges.push(edge);
                        run.iter().for_each(|half| edge_of[self.links.twin(*half)] = Some((index, false)));
                        (index, true)
                    }
                };
                edges.push(edge);
            }
            loops[patch[self.links.face(first)]].push(edges);
        }
        let mut named = vec![false; count];
        for (face, own) in patch.iter().enumerate() {
            if !std::mem::replace(&mut named[*own], true) {
                let loops = std::mem::take(&mut loops[*own]);
                solid.faces.push(ExactFace { surface: self.surface(face), loops });
            }
        }
        Ok(solid)
    }

    fn cylinder(&self, face: usize) -> Option<usize> {
        self.facets[face].cylinder.filter(|index| !self.flat[*index])
    }

    fn surface(&self, face: usize) -> Surface {
        let raw = &self.facets[face].face;
        let plane = Surface::Plane { normal: raw.normal, offset: raw.offset };
        self.cylinder(face).map_or(plane, |index| self.cylinders[index])
    }

    fn is_border(&self, half: usize, patch: &[usize]) -> bool {
        patch[self.links.face(half)] != patch[self.links.face(self.links.twin(half))]
    }

    /// The corners that end an edge: all but those where one edge between the same two faces runs on.
    fn kept(&self, patch: &[usize], borders: &[bool]) -> Vec<bool> {
        let mut kept = vec![false; self.corners.len()];
        let mut leaving: Vec<Vec<usize>> = vec![Vec::new(); self.corners.len()];
        for half in (0..borders.len()).filter(|half| borders[*half]) {
            leaving[self.links.origin(half)].push(half);
        }
        for (corner, halves) in leaving.iter().enumerate() {
            let sides = |half: usize| {
                let pair = [half, self.links.twin(half)].map(|half| patch[self.links.face(half)]);
                (pair[0].min(pair[1]), pair[0].max(pair[1]))
            };
            kept[corner] = match halves.as_slice() {
                [] => false,
                [one, other] => sides(*one) != sides(*other) || self.bends(*one, *other),
                _ => true,
            };
        }
        kept
    }

    /// Whether two edges that leave a corner are straight ones that do not run on.
    fn bends(&self, one: usize, other: usize) -> bool {
        let faces = [one, self.links.twin(one)].map(|half| self.links.face(half));
        if faces.iter().any(|face| self.cylinder(*face).is_some()) {
            return false;
        }
        let way = |half: usize| {
            let [from, to] = [half, self.links.twin(half)].map(|half| self.corners[self.links.origin(half)]);
            (to - from).normalize_or_zero()
        };
        way(one).cross(way(other)).length() > 1e-6
    }

    fn edge(
        &self,
        run: &[usize],
        patch: &[usize],
        place: &mut [Option<u32>],
        corners: &mut Vec<DVec3>,
    ) -> Result<ExactEdge, Fault> {
        let last = run[run.len() - 1];
        let ends = [self.links.origin(run[0]), self.links.origin(self.links.twin(last))];
        let mut numbers = [0; 2];
        for (number, end) in numbers.iter_mut().zip(ends) {
            *number = match place[end] {
                Some(known) => known,
                None => {
                    corners.push(self.corner(end, patch)?);
                    *place[end].insert(corners.len() as u32 - 1)
                }
            };
        }
        let faces = [run[0], self.links.twin(run[0])].map(|half| self.links.face(half));
        let surfaces = faces.map(|face| self.surface(face));
        let blamed = faces
            .iter()
            .filter_map(|face| self.cylinder(*face))
            .min_by(|a, b| radius(&self.cylinders[*a]).total_cmp(&radius(&self.cylinders[*b])));
        let points: Vec<DVec3> = run
            .iter()
            .map(|half| self.corners[self.links.origin(*half)])
            .chain([self.corners[ends[1]]])
            .collect();
        let curve = curve_between(surfaces, &points).ok_or(blamed)?;
        if ends[0] == ends[1] {
            // A whole turn starts where its parameter does.
            let EdgeCurve::Round { centre, major, .. } = curve else { return Err(blamed) };
            if run.len() > 1 && self.is_alone(ends[0], patch) {
                corners[numbers[0] as usize] = centre + major;
            }
        }
        Ok(ExactEdge { from: numbers[0], to: numbers[1], curve })
    }

    /// Whether only two faces meet at a corner, so that it may lie anywhere on their edge.
    fn is_alone(&self, corner: usize, patch: &[usize]) -> bool {
        let mut own: Vec<usize> = self.links.faces_round(corner).iter().map(|face| patch[*face]).collect();
        own.sort_unstable();
        own.dedup();
        own.len() == 2
    }

    /// Where the surfaces round a corner meet, near to where their facets do.
    fn corner(&self, corner: usize, patch: &[usize]) -> Result<DVec3, Fault> {
        let mut faces: Vec<usize> = self.links.faces_round(corner);
        faces.sort_by_key(|face| patch[*face]);
        faces.dedup_by_key(|face| patch[*face]);
        let start = self.corners[corner];
        let round = faces.iter().filter_map(|face| self.cylinder(*face));
        let blamed = round.min_by(|a, b| radius(&self.cylinders[*a]).total_cmp(&radius(&self.cylinders[*b])));
        if blamed.is_none() {
            return Ok(start);
        }
        let surfaces: Vec<Surface> = faces.iter().map(|face| self.surface(*face)).collect();
        common_point(&surfaces, start).ok_or(blamed)
    }
}

fn radius(surface: &Surface) -> f64 {
    match surface {
        Surface::Plane { .. } => f64::INFINITY,
        Surface::Cylinder { radius, .. } => *radius,
    }
}

/// A ring cut up before every corner that is kept; a ring without one is a single run.
fn runs(ring: &[usize], is_kept: impl Fn(usize) -> bool) -> Vec<Vec<usize>> {
    let Some(first) = ring.iter().position(|half| is_kept(*half)) else { return vec![ring.to_vec()] };
    let mut runs: Vec<Vec<usize>> = Vec::new();
    for half in ring[first..].iter().chain(&ring[..first]) {
        match runs.last_mut() {
            Some(run) if !is_kept(*half) => run.push(*half),
            _ => runs.push(vec![*half]),
        }
    }
    runs
}

/// How far a point lies off a surface, and the direction in which that grows.
fn off(surface: &Surface, point: DVec3) -> (f64, DVec3) {
    match surface {
        Surface::Plane { normal, offset } => (normal.dot(point) - offset, *normal),
        Surface::Cylinder { origin, axis, radius, .. } => {
            let arm = point - *origin;
            let out = arm - *axis * arm.dot(*axis);
            (out.length() - radius, out.normalize_or_zero())
        }
    }
}

/// The point on all surfaces that is nearest to one near them all: Gauss-Newton, damped for surfaces that touch.
fn common_point(surfaces: &[Surface], start: DVec3) -> Option<DVec3> {
    let mut point = start;
    for _ in 0..40 {
        let mut square = DMat3::IDENTITY * 1e-10;
        let mut slope = DVec3::ZERO;
        let mut most = 0.0_f64;
        for surface in surfaces {
            let (height, way) = off(surface, point);
            square += DMat3::from_cols(way * way.x, way * way.y, way * way.z);
            slope += way * height;
            most = most.max(height.abs());
        }
        if most < ON_SURFACE / 100.0 {
            break;
        }
        point -= square.inverse() * slope;
    }
    let on_all = surfaces.iter().all(|surface| off(surface, point).0.abs() < ON_SURFACE);
    (on_all && point.distance(start) < FARTHEST_MOVE).then_some(point)
}

/// The curve of two surfaces along a run of corners; `None` where it is no line, circle or ellipse.
fn curve_between([one, other]: [Surface; 2], points: &[DVec3]) -> Option<EdgeCurve> {
    match (one, other) {
        (Surface::Plane { .. }, Surface::Plane { .. }) => Some(EdgeCurve::Line),
        (Surface::Plane { normal, offset }, Surface::Cylinder { origin, axis, radius, .. })
        | (Surface::Cylinder { origin, axis, radius, .. }, Surface::Plane { normal, offset }) => {
            let lean = normal.dot(axis);
            if lean.abs() < STRAIGHT {
                return Some(EdgeCurve::Line);
            }
            let centre = origin + axis * ((offset - normal.dot(origin)) / lean);
            let level = normal - axis * lean;
            if level.length() < STRAIGHT {
                let major = axis.any_orthonormal_vector() * radius;
                return Some(turned(centre, major, axis.cross(major), points));
            }
            let minor = axis.cross(normal).normalize() * radius;
            let major = (axis - normal * lean).normalize() * (radius / lean.abs());
            Some(turned(centre, major, minor, points))
        }
        (Surface::Cylinder { axis, .. }, Surface::Cylinder { axis: other, .. }) => {
            let way = (points[points.len() - 1] - points[0]).normalize_or_zero();
            let parallel = axis.cross(other).length() < STRAIGHT && axis.cross(way).length() < 1e-6;
            parallel.then_some(EdgeCurve::Line)
        }
    }
}

/// The circle or ellipse, its parameter rising along the points.
fn turned(centre: DVec3, major: DVec3, minor: DVec3, points: &[DVec3]) -> EdgeCurve {
    let angle = |point: DVec3| {
        let arm = point - centre;
        maths::atan2(arm.dot(minor) / minor.length_squared(), arm.dot(major) / major.length_squared())
    };
    let turn = 2.0 * maths::PI;
    let swept: f64 = points
        .windows(2)
        .map(|pair| {
            let step = angle(pair[1]) - angle(pair[0]);
            step - (step / turn).round() * turn
        })
        .sum();
    EdgeCurve::Round { centre, major, minor: if swept < 0.0 { -minor } else { minor } }
}

/// The quadrilaterals of a tube's polygon, as facets of its cylinder.
pub(crate) fn tube_facets(from: &[u32], to: &[u32], corners: &[DVec3], cylinder: usize) -> Vec<Facet> {
    let count = from.len();
    let facet = |at: usize| {
        let next = (at + 1) % count;
        let ring = vec![from[next], from[at], to[at], to[next]];
        facet_of(ring, corners, cylinder)
    };
    (0..count).map(facet).collect()
}

/// A flat ring as a facet of a cylinder.
pub(crate) fn facet_of(ring: Vec<u32>, corners: &[DVec3], cylinder: usize) -> Facet {
    let area: DVec3 = edges_of(&ring).map(|(a, b)| corners[a as usize].cross(corners[b as usize])).sum();
    let normal = area.normalize_or_zero();
    let offset = ring.first().map_or(0.0, |corner| normal.dot(corners[*corner as usize]));
    let face = RawFace { normal, offset, tag: crate::Tag::default(), rings: vec![ring] };
    Facet { face, cylinder: Some(cylinder), is_flat: false }
}
