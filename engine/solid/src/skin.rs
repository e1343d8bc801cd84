//! [`Skin`]: everything on the surface of a board, in common corners: planar faces, hole walls, and what they hand out.

use crate::body::{Body, Lift, SmoothLine};
use crate::bore::{Tube, bore};
use crate::brep::{Brep, RawFace, edges_of};
use crate::carve::{Carved, carve, loose_pieces};
use crate::flat::Frame;
use crate::tolerance::WELD;
use crate::triangulate::triangulate;
use crate::{DVec2, DVec3, Edge, EdgeKind, Face, Loop, Mesh, Shape, Tag, Tolerance};

/// Normals this near (1 - cos) have no crease between them.
const NO_CREASE: f64 = 1e-10;

/// The surface of a board.
#[derive(Debug)]
pub(crate) struct Skin {
    pub(crate) vertices: Vec<DVec3>,
    pub(crate) raw: Vec<RawFace>,
    pub(crate) tubes: Vec<Tube>,
    pub(crate) faces: Vec<Face>,
    pub(crate) edges: Vec<Edge>,
    /// The mesh, when it came first and the faces were read from it.
    pub(crate) carved: Option<Mesh>,
    pub(crate) closed: bool,
}

impl Skin {
    /// By planes and true cylinders; `None` when the hole rule or the closing check asks for the mesh boolean.
    pub(crate) fn analytic(shape: &Shape, body: &Body, sides: usize) -> Option<Self> {
        let mut brep = Brep::new(body)?;
        let tubes = bore(&mut brep, &shape.holes, sides)?;
        let halves = Halves::new(&brep.faces, &tubes, &brep.vertices);
        let faces = brep.faces.iter().map(|face| halves.face(face, &brep.vertices)).collect();
        let creases = Creases { lift: Lift::new(shape.across), smooth: &body.smooth };
        let edges = halves.edges(&brep.vertices, &creases);
        Some(Skin {
            vertices: brep.vertices,
            raw: brep.faces,
            tubes,
            faces,
            edges,
            carved: None,
            closed: true,
        })
    }

    /// By mesh booleans, and should those fail, piece by piece.
    pub(crate) fn carved(shape: &Shape, body: &Body, tolerance: &Tolerance) -> Self {
        let creases = Creases { lift: Lift::new(shape.across), smooth: &body.smooth };
        match carve(shape, body, tolerance) {
            Some(carved) => {
                let raw = carved.faces();
                let mut halves = Halves::new(&raw, &[], &carved.mesh.positions);
                halves.add_wall_triangles(&carved);
                Skin::from_mesh(carved.mesh, raw, &halves, &creases, true)
            }
            None => {
                let mesh = loose_pieces(&body.pieces);
                let raw = triangle_faces(&mesh);
                let halves = Halves::new(&raw, &[], &mesh.positions);
                Skin::from_mesh(mesh, raw, &halves, &creases, false)
            }
        }
    }

    fn from_mesh(mesh: Mesh, raw: Vec<RawFace>, halves: &Halves, creases: &Creases, closed: bool) -> Self {
        let faces = raw.iter().map(|face| halves.face(face, &mesh.positions)).collect();
        let edges = halves.edges(&mesh.positions, creases);
        Skin {
            vertices: Vec::new(),
            raw: Vec::new(),
            tubes: Vec::new(),
            faces,
            edges,
            carved: Some(mesh),
            closed,
        }
    }

    /// The closed mesh; `None` when a face cannot be triangulated.
    pub(crate) fn mesh(&self) -> Option<Mesh> {
        let mut mesh = Mesh { positions: self.vertices.clone(), ..Mesh::default() };
        for face in &self.raw {
            let triangles = face_triangles(face, &self.vertices)?;
            mesh.tags.resize(mesh.tags.len() + triangles.len(), face.tag);
            mesh.triangles.extend(triangles);
        }
        for tube in &self.tubes {
            add_tube(tube, &mut mesh);
        }
        mesh.is_closed().then_some(mesh)
    }
}

/// Triangles of a planar face.
pub(crate) fn face_triangles(face: &RawFace, vertices: &[DVec3]) -> Option<Vec<[u32; 3]>> {
    let frame = Frame::new(face.normal, face.offset);
    let used: Vec<u32> = face.rings.iter().flatten().copied().collect();
    let points: Vec<DVec2> = used.iter().map(|&corner| frame.flat(vertices[corner as usize])).collect();
    if points.len() == used.len() && face.rings.len() == 1 {
        let ring: Vec<u32> = (0..used.len() as u32).collect();
        return distinct(&used)
            .then(|| triangulate(&points, &[ring]))
            .flatten()
            .or_else(|| touching(face, vertices, &frame))
            .map(|triangles| {
                triangles
                    .into_iter()
                    .map(|t| if distinct(&used) { t.map(|c| used[c as usize]) } else { t })
                    .collect()
            });
    }
    touching(face, vertices, &frame)
}

fn distinct(used: &[u32]) -> bool {
    let mut sorted = used.to_vec();
    sorted.sort_unstable();
    sorted.windows(2).all(|pair| pair[0] != pair[1])
}

/// The general case: several rings, or rings that touch.
fn touching(face: &RawFace, vertices: &[DVec3], frame: &Frame) -> Option<Vec<[u32; 3]>> {
    let mut used: Vec<u32> = face.rings.iter().flatten().copied().collect();
    used.sort_unstable();
    used.dedup();
    let points: Vec<DVec2> = used.iter().map(|&corner| frame.flat(vertices[corner as usize])).collect();
    let local = |corner: &u32| used.binary_search(corner).unwrap_or(0) as u32;
    let rings: Vec<Vec<u32>> = face.rings.iter().map(|ring| ring.iter().map(local).collect()).collect();
    let triangles = triangulate(&points, &rings)?;
    Some(triangles.into_iter().map(|triangle| triangle.map(|corner| used[corner as usize])).collect())
}

fn add_tube(tube: &Tube, mesh: &mut Mesh) {
    let count = tube.from.len();
    for at in 0..count {
        let next = (at + 1) % count;
        let [a, b, c, d] = [tube.from[next], tube.from[at], tube.to[at], tube.to[next]];
        mesh.triangles.extend([[a, b, c], [a, c, d]]);
        mesh.tags.extend([tube.wall.tag; 2]);
    }
}

/// A directed edge of a face or a hole wall.
#[derive(Clone, Copy, Debug)]
struct Half {
    low: u32,
    high: u32,
    forward: bool,
    tag: Tag,
    normal: DVec3,
    wall: bool,
}

/// All directed edges, in order, so that the other side of each is found at once.
struct Halves {
    sorted: Vec<Half>,
}

/// What tells a crease from a smooth transition.
pub(crate) struct Creases<'a> {
    pub(crate) lift: Lift,
    pub(crate) smooth: &'a [SmoothLine],
}

fn triangle_faces(mesh: &Mesh) -> Vec<RawFace> {
    let face = |(triangle, &tag): (&[u32; 3], &Tag)| {
        let [a, b, c] = triangle.map(|corner| mesh.positions[corner as usize]);
        let normal = (b - a).cross(c - a).normalize_or_zero();
        RawFace { normal, offset: normal.dot(a), tag, rings: vec![triangle.to_vec()] }
    };
    mesh.triangles.iter().zip(&mesh.tags).map(face).collect()
}

impl Halves {
    /// Hole walls that are given as triangles.
    fn add_wall_triangles(&mut self, carved: &Carved) {
        for (triangle, tag) in carved.wall_triangles() {
            let [a, b, c] = triangle.map(|corner| carved.mesh.positions[corner as usize]);
            let normal = (b - a).cross(c - a).normalize_or_zero();
            edges_of(&triangle).for_each(|(from, to)| self.push(from, to, tag, normal, true));
        }
        self.sort();
    }

    fn sort(&mut self) {
        self.sorted.sort_by_key(|half| (half.low, half.high, half.forward));
    }

    fn new(faces: &[RawFace], tubes: &[Tube], vertices: &[DVec3]) -> Self {
        let mut halves = Halves { sorted: Vec::new() };
        for face in faces {
            for ring in &face.rings {
                edges_of(ring).for_each(|(from, to)| halves.push(from, to, face.tag, face.normal, false));
            }
        }
        for tube in tubes {
            for (from, to) in edges_of(&tube.from) {
                halves.push(to, from, tube.wall.tag, inward(tube, from, to, vertices), true);
            }
            for (from, to) in edges_of(&tube.to) {
                halves.push(from, to, tube.wall.tag, inward(tube, from, to, vertices), true);
            }
        }
        halves.sort();
        halves
    }

    fn push(&mut self, from: u32, to: u32, tag: Tag, normal: DVec3, wall: bool) {
        self.sorted.push(Half {
            low: from.min(to),
            high: from.max(to),
            forward: from < to,
            tag,
            normal,
            wall,
        });
    }

    /// The tag on the other side of a directed edge.
    fn beyond(&self, from: u32, to: u32) -> Option<Tag> {
        let wanted = (from.min(to), from.max(to), from > to);
        let at = self.sorted.partition_point(|half| (half.low, half.high, half.forward) < wanted);
        let found = self.sorted.get(at)?;
        ((found.low, found.high, found.forward) == wanted).then_some(found.tag)
    }

    fn face(&self, raw: &RawFace, vertices: &[DVec3]) -> Face {
        let ring = |ring: &Vec<u32>| Loop {
            points: ring.iter().map(|&corner| vertices[corner as usize]).collect(),
            edge_tags: edges_of(ring).map(|(from, to)| self.beyond(from, to).unwrap_or(raw.tag)).collect(),
        };
        Face {
            normal: raw.normal,
            offset: raw.offset,
            tag: raw.tag,
            loops: raw.rings.iter().map(ring).collect(),
        }
    }

    fn edges(&self, vertices: &[DVec3], creases: &Creases) -> Vec<Edge> {
        let mut edges = Vec::with_capacity(self.sorted.len() / 2);
        for run in self.sorted.chunk_by(|a, b| (a.low, a.high) == (b.low, b.high)) {
            let split = run.partition_point(|half| !half.forward);
            let (a, b) = (vertices[run[0].low as usize], vertices[run[0].high as usize]);
            for (one, other) in run[split..].iter().zip(&run[..split]) {
                let (one, other) = if one.wall { (other, one) } else { (one, other) };
                // Facets of one hole wall have no lines between them.
                if one.wall && other.wall && one.tag == other.tag {
                    continue;
                }
                let normals = [one.normal, other.normal];
                let kind =
                    if one.wall != other.wall { EdgeKind::HoleRim } else { creases.kind(a, b, normals) };
                edges.push(Edge { a, b, normals, tags: [one.tag, other.tag], kind });
            }
        }
        edges
    }
}

fn inward(tube: &Tube, from: u32, to: u32, vertices: &[DVec3]) -> DVec3 {
    let arm = vertices[from as usize].midpoint(vertices[to as usize]) - tube.wall.start;
    let axis = tube.wall.direction;
    -(arm - axis * arm.dot(axis)).normalize_or_zero()
}

impl Creases<'_> {
    fn kind(&self, a: DVec3, b: DVec3, normals: [DVec3; 2]) -> EdgeKind {
        if 1.0 - normals[0].dot(normals[1]) < NO_CREASE || self.is_smooth(a, b, normals) {
            EdgeKind::Smooth
        } else {
            EdgeKind::Sharp
        }
    }

    /// Whether the edge runs along a line where the outline passes smoothly, between the very sides it passes to.
    fn is_smooth(&self, a: DVec3, b: DVec3, normals: [DVec3; 2]) -> bool {
        let at = self.lift.flat(a);
        if (self.lift.flat(b) - at).length_squared() > WELD * WELD {
            return false;
        }
        let same = |one: DVec3, other: DVec3| 1.0 - one.dot(other) < NO_CREASE;
        let first = self.smooth.partition_point(|line| line.point.x < at.x - WELD);
        self.smooth[first..].iter().take_while(|line| line.point.x <= at.x + WELD).any(|line| {
            let [before, after] = line.normals;
            (line.point - at).length_squared() < WELD * WELD
                && ((same(normals[0], before) && same(normals[1], after))
                    || (same(normals[0], after) && same(normals[1], before)))
        })
    }
}
