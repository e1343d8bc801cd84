//! The fallback: a board by mesh booleans, when a hole meets an edge, a notch or another hole, or when the faces of the
//! pieces do not close. Slower and with holes as polygons, but it always closes.
//!
//! Every triangle carries the number of a [`Mark`] through the booleans, so that faces and tags are read back from the
//! result rather than guessed from the triangles.

use std::ops::{Add, Mul};

use boolmesh::prelude::{Manifold, OpType, compute_boolean};

use crate::body::Body;
use crate::bore::{circle, equal_area};
use crate::brep::{Brep, RawFace, edges_of};
use crate::convex::convex_parts;
use crate::flat::Frame;
use crate::outline::Outline;
use crate::piece::{Cut, NO_FACET, Origin, Piece, block};
use crate::rings::{Border, nest, trace};
use crate::skin::face_triangles;
use crate::tolerance::WELD;
use crate::{Bounds, DVec3, HalfSpace, Hole, Mesh, Shape, Tag, Tolerance};

/// Room by which cutting bodies stand out of the board, mm, so that no side of theirs falls in with one of its faces.
const STAND_OUT: f64 = 7.3;

/// What a triangle of the result lies on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Mark {
    /// A planar face.
    Plane { normal: DVec3, offset: f64, tag: Tag },
    /// The wall of a hole.
    Wall { tag: Tag },
}

impl Mark {
    pub(crate) fn tag(&self) -> Tag {
        match *self {
            Mark::Plane { tag, .. } | Mark::Wall { tag } => tag,
        }
    }
}

/// The number of a mark as the booleans carry it: they mix the values of a triangle's corners, which are all the same.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Number(f64);

impl Add for Number {
    type Output = Number;
    fn add(self, other: Number) -> Number {
        Number(self.0 + other.0)
    }
}

impl Mul<f64> for Number {
    type Output = Number;
    fn mul(self, factor: f64) -> Number {
        Number(self.0 * factor)
    }
}

/// A board as marked triangles.
#[derive(Clone, Debug)]
pub(crate) struct Carved {
    pub(crate) mesh: Mesh,
    /// Per triangle, an index into `marks`.
    pub(crate) numbers: Vec<u32>,
    pub(crate) marks: Vec<Mark>,
}

/// Carves the board. `None` when the booleans fail.
pub(crate) fn carve(shape: &Shape, body: &Body, tolerance: &Tolerance) -> Option<Carved> {
    let mut carver = Carver { marks: Vec::new(), bounds: bounds_of(body) };
    // The booleans take no mesh whose parts hang together by an edge only; built up step by step they never see one.
    let whole = Brep::new(body).and_then(|brep| carver.board_of(&brep));
    let mut board = whole.or_else(|| carver.board_step_by_step(shape, tolerance))?;
    for hole in &shape.holes {
        for tool in carver.hole(hole, body, tolerance.hole_sides)? {
            board = compute_boolean(&board, &tool, OpType::Subtract).ok()?;
        }
    }
    carver.finish(&board)
}

/// Volume that two closed meshes share, mm^3.
pub(crate) fn shared_volume(a: &Mesh, b: &Mesh) -> Option<f64> {
    let manifold = |mesh: &Mesh| {
        let corners: Vec<usize> = mesh.triangles.iter().flatten().map(|&corner| corner as usize).collect();
        Manifold::new(&flat_positions(&mesh.positions), &corners).ok()
    };
    match compute_boolean(&manifold(a)?, &manifold(b)?, OpType::Intersect) {
        Ok(shared) => Some(volume_of(&shared)),
        // An empty result comes back as an error.
        Err(_) => Some(0.0),
    }
}

fn volume_of(manifold: &Manifold<f64>) -> f64 {
    let at = |edge: usize| manifold.ps[manifold.hs[edge].tail];
    let triangles =
        (0..manifold.hs.len() / 3).map(|index| [at(3 * index), at(3 * index + 1), at(3 * index + 2)]);
    triangles.map(|[a, b, c]| a.dot(b.cross(c))).sum::<f64>() / 6.0
}

fn flat_positions(points: &[DVec3]) -> Vec<f64> {
    points.iter().flat_map(|point| point.to_array()).collect()
}

fn bounds_of(body: &Body) -> Bounds {
    body.pieces.iter().fold(Bounds::EMPTY, |bounds, piece| bounds.union(&piece.bounds()))
}

struct Carver {
    marks: Vec<Mark>,
    bounds: Bounds,
}

type Marked = Manifold<Number>;

/// Triangles on their way into a manifold.
#[derive(Default)]
struct Soup {
    positions: Vec<DVec3>,
    corners: Vec<usize>,
    numbers: Vec<Number>,
}

impl Soup {
    fn add(&mut self, triangle: [u32; 3], mark: usize) {
        self.corners.extend(triangle.map(|corner| corner as usize));
        self.numbers.extend([Number(mark as f64); 3]);
    }

    fn manifold(&self) -> Option<Marked> {
        Manifold::new_with_values(&flat_positions(&self.positions), &self.corners, &self.numbers).ok()
    }
}

impl Carver {
    fn mark(&mut self, mark: Mark) -> usize {
        self.marks.push(mark);
        self.marks.len() - 1
    }

    fn board_of(&mut self, brep: &Brep) -> Option<Marked> {
        let mut soup = Soup { positions: brep.vertices.clone(), ..Soup::default() };
        for face in &brep.faces {
            let mark = self.mark(Mark::Plane { normal: face.normal, offset: face.offset, tag: face.tag });
            face_triangles(face, &brep.vertices)?.into_iter().for_each(|triangle| soup.add(triangle, mark));
        }
        soup.manifold()
    }

    /// The outline drawn out, then everything taken off it as bodies of its own.
    fn board_step_by_step(&mut self, shape: &Shape, tolerance: &Tolerance) -> Option<Marked> {
        let blank = Shape { cuts: Vec::new(), notches: Vec::new(), holes: Vec::new(), ..shape.clone() };
        let outline = Outline::new(&blank.profile, tolerance.chord).ok()?;
        convex_parts(&outline)?;
        let body = Body::new(&blank, tolerance).ok()?;
        self.bounds = bounds_of(&body);
        let mut board = self.board_of(&Brep::new(&body)?)?;
        for cut in &shape.cuts {
            let away = HalfSpace { normal: -cut.normal, offset: -cut.offset, tag: cut.tag };
            board = self.take(board, &[away])?;
        }
        for notch in &shape.notches {
            board = self.take(board, &notch.planes)?;
        }
        Some(board)
    }

    fn take(&mut self, board: Marked, planes: &[HalfSpace]) -> Option<Marked> {
        match self.region(planes) {
            Some(region) => compute_boolean(&board, &self.tool_of(&region)?, OpType::Subtract).ok(),
            None => Some(board),
        }
    }

    /// The part of the board's surroundings inside all planes.
    fn region(&self, planes: &[HalfSpace]) -> Option<Piece> {
        let reach = DVec3::splat(STAND_OUT);
        let around = Bounds { min: self.bounds.min - reach, max: self.bounds.max + reach };
        let origin = Origin { plane: 0, flipped: false, facet: NO_FACET };
        let mut region = block(&around, Tag::default());
        for plane in planes {
            match region.clip(plane, origin) {
                Cut::Whole => {}
                Cut::Part(part) => region = part,
                Cut::Nothing => return None,
            }
        }
        Some(region)
    }

    /// A convex body to be taken off: what it leaves on the board looks the other way.
    fn tool_of(&mut self, piece: &Piece) -> Option<Marked> {
        let mut soup = Soup { positions: piece.vertices().to_vec(), ..Soup::default() };
        for (half, side) in piece.faces() {
            let mark = self.mark(Mark::Plane { normal: -half.normal, offset: -half.offset, tag: half.tag });
            side[1..].windows(2).for_each(|pair| soup.add([side[0], pair[0], pair[1]], mark));
        }
        soup.manifold()
    }

    /// One bar per stretch; a deeper stretch runs through the wider ones before it.
    fn hole(&mut self, hole: &Hole, body: &Body, sides: usize) -> Option<Vec<Marked>> {
        let direction = hole.direction.try_normalize()?;
        let past = self.bounds.size().length() + (hole.start - self.bounds.centre()).length() + STAND_OUT;
        let widest = hole.steps.iter().map(|step| step.radius).fold(0.0, f64::max);
        // A hole that starts on the wood starts before it, so that a slanted rim is cut clean; one that starts inside
        // wood starts there.
        let inside = body.pieces.iter().any(|piece| {
            piece.planes().iter().all(|plane| plane.normal.dot(hole.start) - plane.offset < -WELD)
        });
        let before = if inside { 0.0 } else { widest * 2.0 + STAND_OUT };
        let steps = hole.steps.iter().filter(|step| step.radius > 0.0 && step.depth > 0.0);
        steps
            .map(|step| self.bar(hole, direction, step.radius, (-before, step.depth.min(past)), sides))
            .collect()
    }

    fn bar(
        &mut self,
        hole: &Hole,
        direction: DVec3,
        radius: f64,
        span: (f64, f64),
        sides: usize,
    ) -> Option<Marked> {
        let across = direction.any_orthonormal_vector();
        let up = direction.cross(across);
        let radius = radius * equal_area(sides);
        let mut soup = Soup::default();
        for at in [span.0, span.1] {
            let middle = hole.start + direction * at;
            soup.positions.extend(circle(sides).iter().map(|c| middle + (across * c.x + up * c.y) * radius));
        }
        let end = |at: f64, normal: DVec3| Mark::Plane {
            normal,
            offset: normal.dot(hole.start + direction * at),
            tag: hole.tag,
        };
        let (low, high) = (self.mark(end(span.0, direction)), self.mark(end(span.1, -direction)));
        let wall = self.mark(Mark::Wall { tag: hole.tag });
        let count = sides as u32;
        for at in 1..count - 1 {
            soup.add([0, at + 1, at], low);
            soup.add([count, count + at, count + at + 1], high);
        }
        for at in 0..count {
            let next = (at + 1) % count;
            soup.add([at, next, next + count], wall);
            soup.add([at, next + count, at + count], wall);
        }
        soup.manifold()
    }

    fn finish(self, board: &Marked) -> Option<Carved> {
        let count = board.hs.len() / 3;
        let mut carved =
            Carved { mesh: Mesh::default(), numbers: Vec::with_capacity(count), marks: self.marks };
        carved.mesh.positions = board.ps.iter().map(|point| DVec3::new(point.x, point.y, point.z)).collect();
        for index in 0..count {
            let number = board.vals.get(3 * index)?.0.round() as usize;
            let mark = carved.marks.get(number)?;
            carved.mesh.tags.push(mark.tag());
            carved.numbers.push(number as u32);
            carved.mesh.triangles.push([0, 1, 2].map(|side| board.hs[3 * index + side].tail as u32));
        }
        (count > 0 && carved.mesh.is_closed()).then_some(carved)
    }
}

impl Carved {
    /// The planar faces: triangles of one mark, their inner edges dropped.
    pub(crate) fn faces(&self) -> Vec<RawFace> {
        let mut order: Vec<(u32, u32)> =
            self.numbers.iter().enumerate().map(|(at, &number)| (number, at as u32)).collect();
        order.sort_unstable();
        let mut faces = Vec::new();
        for group in order.chunk_by(|a, b| a.0 == b.0) {
            if let Mark::Plane { normal, offset, tag } = self.marks[group[0].0 as usize] {
                let triangles: Vec<[u32; 3]> =
                    group.iter().map(|entry| self.mesh.triangles[entry.1 as usize]).collect();
                let frame = Frame::new(normal, offset);
                let flat = |corner: u32| frame.flat(self.mesh.positions[corner as usize]);
                let rings = trace(&rim_of(&triangles, tag), &flat).unwrap_or_default();
                let rings = rings.into_iter().filter(|ring| ring.1.len() >= 3).collect();
                faces.extend(nest(rings, &flat).into_iter().map(|nest| RawFace {
                    normal,
                    offset,
                    tag,
                    rings: nest.rings,
                }));
            }
        }
        faces
    }

    /// The triangles of hole walls, with their tags.
    pub(crate) fn wall_triangles(&self) -> impl Iterator<Item = ([u32; 3], Tag)> {
        self.numbers.iter().zip(&self.mesh.triangles).filter_map(|(&number, &triangle)| {
            match self.marks[number as usize] {
                Mark::Wall { tag } => Some((triangle, tag)),
                Mark::Plane { .. } => None,
            }
        })
    }
}

/// The directed edges of triangles that are not met by their reverse.
fn rim_of(triangles: &[[u32; 3]], tag: Tag) -> Vec<Border> {
    let mut edges: Vec<(u32, u32, bool)> = Vec::with_capacity(triangles.len() * 3);
    for (from, to) in triangles.iter().flat_map(|triangle| edges_of(triangle)) {
        edges.push((from.min(to), from.max(to), from < to));
    }
    edges.sort_unstable();
    let alone =
        edges.chunk_by(|a, b| (a.0, a.1) == (b.0, b.1)).filter(|run| run.len() == 1).map(|run| run[0]);
    alone
        .map(|(low, high, forward)| if forward { (low, high) } else { (high, low) })
        .map(|(from, to)| Border { from, to, tag: Some(tag) })
        .collect()
}

/// Each piece as a closed mesh of its own: the last resort, closed and with the right volume, but with inner walls.
pub(crate) fn loose_pieces(pieces: &[Piece]) -> Mesh {
    let mut mesh = Mesh::default();
    for piece in pieces {
        let base = mesh.positions.len() as u32;
        mesh.positions.extend_from_slice(piece.vertices());
        for (half, side) in piece.faces() {
            for pair in side[1..].windows(2) {
                mesh.triangles.push([side[0], pair[0], pair[1]].map(|corner| corner + base));
                mesh.tags.push(half.tag);
            }
        }
    }
    mesh
}
