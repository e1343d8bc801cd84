//! [`Skin`]: everything on the surface of a board, in common corners: planar faces, hole walls, and what they hand out.

use crate::body::{Body, Lift, SmoothLine};
use crate::bore::{Tube, bore};
use crate::brep::{Brep, RawFace, edges_of};
use crate::carve::{Carved, carve, loose_pieces};
use crate::exact::{Cylinders, ExactSolid, Facet, Surface, exact, facet_of, split_facets, tube_facets};
use crate::flat::Frame;
use crate::tolerance::WELD;
use crate::triangulate::triangulate;
use crate::{DVec2, DVec3, Edge, EdgeKind, Face, Loop, Mesh, Shape, Tag, Tolerance};

/// Normals this near (1 - cos) have no crease between them.
const NO_CREASE: f64 = 1e-10;

/// The surface of a board.
#[derive(Debug)]
pub(crate) struct Skin {
    vertices: Vec<DVec3>,
    raw: Vec<RawFace>,
    pub(crate) tubes: Vec<Tube>,
    pub(crate) faces: Vec<Face>,
    halves: Halves,
    /// The mesh, when it came first and the faces were read from it.
    pub(crate) carved: Option<Mesh>,
    /// The triangles of hole walls in it, with the tags of their holes.
    walls: Vec<([u32; 3], Tag)>,
    pub(crate) closed: bool,
}

impl Skin {
    /// By planes and true cylinders, from the faces of the wood without its holes; `None` when the hole rule or the closing check asks for the mesh boolean.
    pub(crate) fn analytic(mut brep: Brep, shape: &Shape, sides: usize) -> Option<Self> {
        let mut halves = Halves::new(&brep.faces);
        let corners = brep.vertices.len() as u32;
        let tubes = bore(&mut brep, &shape.holes, sides)?;
        halves.rims = Rims {
            first: corners,
            sides: sides as u32,
            tags: tubes.iter().map(|tube| tube.wall.tag).collect(),
        };
        let faces = brep.faces.iter().map(|face| halves.face(face, &brep.vertices)).collect();
        Some(Skin {
            vertices: brep.vertices,
            raw: brep.faces,
            tubes,
            faces,
            halves,
            carved: None,
            walls: Vec::new(),
            closed: true,
        })
    }

    /// By mesh booleans, and should those fail, piece by piece.
    pub(crate) fn carved(shape: &Shape, body: &Body, tolerance: &Tolerance) -> Self {
        match carve(shape, body, tolerance) {
            Some(carved) => {
                let raw = carved.faces();
                let mut halves = Halves::new(&raw);
                halves.add_wall_triangles(&carved);
                let walls = carved.wall_triangles().collect();
                Skin { walls, ..Skin::from_mesh(carved.mesh, raw, halves, true) }
            }
            None => {
                let mesh = loose_pieces(&body.pieces);
                let raw = triangle_faces(&mesh);
                let halves = Halves::new(&raw);
                Skin::from_mesh(mesh, raw, halves, false)
            }
        }
    }

    fn from_mesh(mesh: Mesh, raw: Vec<RawFace>, halves: Halves, closed: bool) -> Self {
        let faces = raw.iter().map(|face| halves.face(face, &mesh.positions)).collect();
        let vertices = mesh.positions.clone();
        Skin {
            vertices,
            raw,
            tubes: Vec::new(),
            faces,
            halves,
            carved: Some(mesh),
            walls: Vec::new(),
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

    /// By planes and true cylinders; `None` when it does not close.
    pub(crate) fn exact(&self, shape: &Shape, body: &Body) -> Option<ExactSolid> {
        if !self.closed {
            return None;
        }
        let mut cylinders = Cylinders::default();
        let plane = |face: &RawFace| Facet { face: face.clone(), cylinder: None, is_flat: false };
        let mut facets: Vec<Facet> = self.raw.iter().map(plane).collect();
        for tube in &self.tubes {
            let own = cylinders.number(bored(tube.wall.start, tube.wall.direction, tube.wall.radius));
            facets.extend(tube_facets(&tube.from, &tube.to, &self.vertices, own));
        }
        for (triangle, tag) in &self.walls {
            let middle = triangle.iter().map(|&corner| self.vertices[corner as usize]).sum::<DVec3>() / 3.0;
            let own = cylinders.number(nearest_bore(shape, *tag, middle)?);
            facets.push(facet_of(triangle.to_vec(), &self.vertices, own));
        }
        let axis = Lift::new(shape.across).axis();
        let mut corners = self.vertices.clone();
        for line in body.smooth.iter().filter(|line| line.is_flat()) {
            let at = Lift::new(shape.across).point(line.point, 0.0);
            split_facets(&mut facets, &mut corners, (at, axis, line.normals[0]));
        }
        for facet in facets.iter_mut().filter(|facet| facet.cylinder.is_none() && !facet.is_flat) {
            let middle = facet.middle(&corners);
            let stands_for =
                body.facet_under(facet.face.normal, facet.face.offset, middle - axis * middle.dot(axis));
            facet.cylinder = stands_for.map(|arc| cylinders.number(arc.cylinder(axis)));
        }
        exact(&corners, &facets, &cylinders.list)
    }

    /// The edges between planar faces, then the rims of holes.
    pub(crate) fn edges(&self, shape: &Shape, body: &Body) -> Vec<Edge> {
        let creases = Creases { lift: Lift::new(shape.across), smooth: &body.smooth };
        let mut edges = self.halves.edges(&self.vertices, &creases);
        let rings = self.raw.iter().flat_map(|face| face.rings.iter().map(move |ring| (face, ring)));
        for (face, ring) in rings {
            if let Some(tube) = self.halves.rims.tube_of(ring[0]) {
                edges_of(ring)
                    .for_each(|(from, to)| edges.push(self.rim_edge(face, &self.tubes[tube], from, to)));
            }
        }
        edges
    }

    fn rim_edge(&self, face: &RawFace, tube: &Tube, from: u32, to: u32) -> Edge {
        let (a, b) = (self.vertices[from as usize], self.vertices[to as usize]);
        let (arm, axis) = (a.midpoint(b) - tube.wall.start, tube.wall.direction);
        let inward = -(arm - axis * arm.dot(axis)).normalize_or_zero();
        Edge {
            a,
            b,
            normals: [face.normal, inward],
            tags: [face.tag, tube.wall.tag],
            kind: EdgeKind::HoleRim,
        }
    }
}

/// The wall of a hole.
fn bored(origin: DVec3, axis: DVec3, radius: f64) -> Surface {
    Surface::Cylinder { origin, axis, radius, hollow: true }
}

/// Of all stretches of the holes with a tag the one whose wall a point lies nearest to.
fn nearest_bore(shape: &Shape, tag: Tag, point: DVec3) -> Option<Surface> {
    let holes = shape.holes.iter().filter(|hole| hole.tag == tag);
    let stretches = holes.flat_map(|hole| hole.steps.iter().map(move |step| (hole, step.radius)));
    let off = |(hole, radius): &(&crate::Hole, f64)| {
        let axis = hole.direction.normalize_or_zero();
        ((point - hole.start).cross(axis).length() - radius).abs()
    };
    let (hole, radius) = stretches.min_by(|a, b| off(a).total_cmp(&off(b)))?;
    Some(bored(hole.start, hole.direction.try_normalize()?, radius))
}

/// Triangles of a planar face.
pub(crate) fn face_triangles(face: &RawFace, vertices: &[DVec3]) -> Option<Vec<[u32; 3]>> {
    let frame = Frame::new(face.normal, face.offset);
    match &face.rings[..] {
        [ring] if distinct(ring) => {
            let points: Vec<DVec2> =
                ring.iter().map(|&corner| frame.flat(vertices[corner as usize])).collect();
            let triangles = triangulate(&points, &[(0..ring.len() as u32).collect()])?;
            Some(triangles.into_iter().map(|triangle| triangle.map(|place| ring[place as usize])).collect())
        }
        _ => rings_triangles(face, vertices, &frame),
    }
}

fn distinct(used: &[u32]) -> bool {
    let mut sorted = used.to_vec();
    sorted.sort_unstable();
    sorted.windows(2).all(|pair| pair[0] != pair[1])
}

/// The general case: several rings, or rings that touch.
fn rings_triangles(face: &RawFace, vertices: &[DVec3], frame: &Frame) -> Option<Vec<[u32; 3]>> {
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

/// A directed straight edge of a face, or of a hole wall that is given as triangles.
#[derive(Clone, Copy, Debug)]
struct Half {
    low: u32,
    high: u32,
    forward: bool,
    tag: Tag,
    normal: DVec3,
    wall: bool,
}

/// Which corners belong to rims of holes: two rings of each tube after the other.
#[derive(Debug, Default)]
struct Rims {
    first: u32,
    sides: u32,
    tags: Vec<Tag>,
}

impl Rims {
    fn tube_of(&self, corner: u32) -> Option<usize> {
        let at = corner.checked_sub(self.first)?.checked_div(2 * self.sides)? as usize;
        (at < self.tags.len()).then_some(at)
    }
}

/// All directed edges, in order, so that the other side of each is found at once.
#[derive(Debug)]
struct Halves {
    sorted: Vec<Half>,
    rims: Rims,
}

/// What tells a crease from a smooth transition.
struct Creases<'a> {
    lift: Lift,
    smooth: &'a [SmoothLine],
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
    fn new(faces: &[RawFace]) -> Self {
        let mut halves = Halves { sorted: Vec::new(), rims: Rims::default() };
        for face in faces {
            for ring in &face.rings {
                edges_of(ring).for_each(|(from, to)| halves.push(from, to, face.tag, face.normal, false));
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

    fn sort(&mut self) {
        self.sorted.sort_by_key(|half| (half.low, half.high, half.forward));
    }

    /// Hole walls that are given as triangles.
    fn add_wall_triangles(&mut self, carved: &Carved) {
        for (triangle, tag) in carved.wall_triangles() {
            let [a, b, c] = triangle.map(|corner| carved.mesh.positions[corner as usize]);
            let normal = (b - a).cross(c - a).normalize_or_zero();
            edges_of(&triangle).for_each(|(from, to)| self.push(from, to, tag, normal, true));
        }
        self.sort();
    }

    /// The tag on the other side of a directed edge.
    fn beyond(&self, from: u32, to: u32) -> Option<Tag> {
        if let Some(tube) = self.rims.tube_of(from) {
            return Some(self.rims.tags[tube]);
        }
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
