//! [`Solid`]: a built board.

use std::sync::{Arc, OnceLock};

use crate::body::Body;
use crate::brep::Brep;
use crate::carve::{carve, loose_pieces};
use crate::connect::{bodies, loose, mesh_bodies};
use crate::exact::ExactSolid;
use crate::line::inside;
use crate::measure::Moments;
use crate::skin::Skin;
use crate::{Bounds, DMat3, DVec3, Edge, Face, Hole, Mesh, Piece, Shape, SolidFault, Tolerance, Wall};

/// A built board: its convex pieces, and on demand its faces, edges, mesh and measures.
#[derive(Debug)]
pub struct Solid {
    shape: Shape,
    tolerance: Tolerance,
    body: Body,
    bounds: Bounds,
    /// The faces of the wood without its holes; none when they do not close. Shared by boards that differ in holes only.
    wood: Arc<OnceLock<Option<Brep>>>,
    skin: OnceLock<Skin>,
    walls: OnceLock<Vec<Wall>>,
    edges: OnceLock<Vec<Edge>>,
    mesh: OnceLock<Mesh>,
    moments: OnceLock<Moments>,
    bodies: OnceLock<usize>,
}

/// Builds the solid of a board. Only the convex pieces are made now; all else is made when first asked for.
///
/// # Errors
/// When the outline, a size or what is left of the board does not make a solid.
pub fn build(shape: &Shape, tolerance: &Tolerance) -> Result<Solid, SolidFault> {
    let tolerance = tolerance.tamed();
    let body = Body::new(shape, &tolerance)?;
    let bounds = body.bounds();
    Ok(Solid {
        shape: shape.clone(),
        tolerance,
        body,
        bounds,
        wood: Arc::default(),
        skin: OnceLock::new(),
        walls: OnceLock::new(),
        edges: OnceLock::new(),
        mesh: OnceLock::new(),
        moments: OnceLock::new(),
        bodies: OnceLock::new(),
    })
}

impl Solid {
    /// The same board with other holes: its wood is not worked out again.
    #[must_use]
    pub fn bored(&self, holes: Vec<Hole>) -> Solid {
        Solid {
            shape: Shape { holes, ..self.shape.clone() },
            tolerance: self.tolerance,
            body: self.body.clone(),
            bounds: self.bounds,
            wood: Arc::clone(&self.wood),
            skin: OnceLock::new(),
            walls: OnceLock::new(),
            edges: OnceLock::new(),
            mesh: OnceLock::new(),
            moments: OnceLock::new(),
            bodies: OnceLock::new(),
        }
    }

    /// The data it was built from.
    pub fn shape(&self) -> &Shape {
        &self.shape
    }

    /// The tolerance it was built with.
    pub fn tolerance(&self) -> Tolerance {
        self.tolerance
    }

    /// The convex pieces that make up the wood, holes ignored; in a fixed order.
    pub fn pieces(&self) -> &[Piece] {
        &self.body.pieces
    }

    /// The box around it in the board's frame, mm. Arcs count as arcs, to their very crown.
    pub fn bounds(&self) -> Bounds {
        self.bounds
    }

    /// The planar faces, rims of holes included. Walls of holes are in [`Solid::walls`].
    pub fn faces(&self) -> &[Face] {
        &self.skin().faces
    }

    /// The walls of the holes, as true cylinders. On a board that [used the fallback](Solid::used_fallback) they run as
    /// bored, from where the axis enters wood to where it leaves it.
    pub fn walls(&self) -> &[Wall] {
        self.walls.get_or_init(|| match self.used_fallback() {
            true => self.shape.holes.iter().flat_map(|hole| self.walls_as_bored(hole)).collect(),
            false => self.skin().tubes.iter().map(|tube| tube.wall).collect(),
        })
    }

    /// The straight edges between planar faces, and the rims of holes.
    pub fn edges(&self) -> &[Edge] {
        self.edges.get_or_init(|| self.skin().edges(&self.shape, &self.body))
    }

    /// A closed mesh of triangles.
    pub fn mesh(&self) -> &Mesh {
        self.mesh.get_or_init(|| {
            let skin = self.skin();
            let carved = || carve(&self.shape, &self.body, &self.tolerance).map(|carved| carved.mesh);
            let found = skin.carved.clone().or_else(|| skin.mesh()).or_else(carved);
            found.unwrap_or_else(|| loose_pieces(&self.body.pieces))
        })
    }

    /// Its surface by planes and true cylinders, for other programs; `None` when it does not close.
    pub fn exact(&self) -> Option<ExactSolid> {
        self.skin().exact(&self.shape, &self.body)
    }

    /// Volume of wood, holes taken off, mm^3. Arcs count as arcs and holes as true cylinders, not as their facets.
    pub fn volume(&self) -> f64 {
        self.moments().volume
    }

    /// Middle of the wood, mm.
    pub fn centroid(&self) -> DVec3 {
        self.base() + self.moments().centroid()
    }

    /// Inertia about the centroid for unit density, mm^5: multiply by the density to get the tensor.
    pub fn inertia(&self) -> DMat3 {
        self.moments().inertia()
    }

    /// Number of separate bodies: 2 when a cut splits the board.
    pub fn bodies(&self) -> usize {
        *self.bodies.get_or_init(|| match &self.skin().carved {
            Some(mesh) if self.skin().closed => mesh_bodies(mesh),
            _ => bodies(&self.body),
        })
    }

    /// The convex pieces that do not hang together with the greatest body: none while the board is one piece.
    pub fn loose(&self) -> Vec<&Piece> {
        loose(&self.body)
    }

    /// Whether the board went through the mesh boolean, because a hole meets an edge, a notch or another hole, or because
    /// the faces did not close.
    pub fn used_fallback(&self) -> bool {
        self.skin().carved.is_some()
    }

    /// Whether the surface closes. It does for every board known; should one ever not, its faces and mesh are those of
    /// its single pieces, and this says so.
    ///
    /// # Errors
    /// [`SolidFault::NotClosed`].
    pub fn check_closed(&self) -> Result<(), SolidFault> {
        if self.skin().closed { Ok(()) } else { Err(SolidFault::NotClosed) }
    }

    pub(crate) fn skin(&self) -> &Skin {
        self.skin.get_or_init(|| {
            let wood = self.wood.get_or_init(|| Brep::new(&self.body)).clone();
            let analytic = wood.and_then(|wood| Skin::analytic(wood, &self.shape, self.tolerance.hole_sides));
            analytic.unwrap_or_else(|| Skin::carved(&self.shape, &self.body, &self.tolerance))
        })
    }

    /// Point that moments are taken about: near the wood, so that a board far from the origin loses no digits.
    fn base(&self) -> DVec3 {
        self.bounds.centre()
    }

    fn moments(&self) -> &Moments {
        self.moments.get_or_init(|| {
            let base = self.base();
            let mut sum = self.facet_moments(base);
            sum.add(&Moments::of_segments(self.pieces(), &self.body.facets, base), 1.0);
            sum
        })
    }

    /// With arcs as their facets.
    fn facet_moments(&self, base: DVec3) -> Moments {
        let mut sum = Moments::ZERO;
        match (self.shape.holes.is_empty(), &self.skin_if_bored().and_then(|skin| skin.carved.as_ref())) {
            (false, Some(mesh)) => return Moments::of_mesh(mesh, base),
            _ => self.pieces().iter().for_each(|piece| sum.add(&Moments::of_piece(piece, base), 1.0)),
        }
        let tubes = self.skin_if_bored().map_or(&[][..], |skin| &skin.tubes);
        tubes.iter().for_each(|tube| sum.add(&Moments::of_bar(&tube.bar, base), -1.0));
        sum
    }

    /// The surface, but only where holes make it matter for the measures.
    fn skin_if_bored(&self) -> Option<&Skin> {
        (!self.shape.holes.is_empty()).then(|| self.skin())
    }

    fn walls_as_bored(&self, hole: &Hole) -> Vec<Wall> {
        let Some(direction) = hole.direction.try_normalize() else { return Vec::new() };
        let past = self.bounds.size().length() + (hole.start - self.base()).length();
        let mut from = 0.0;
        let mut walls = Vec::new();
        for step in &hole.steps {
            let to = step.depth.min(past);
            for (low, high) in inside(self.pieces(), hole.start, direction, (from, to)) {
                walls.push(Wall {
                    start: hole.start + direction * low,
                    end: hole.start + direction * high,
                    direction,
                    end_normals: [-direction, direction],
                    radius: step.radius,
                    tag: hole.tag,
                });
            }
            from = to;
        }
        walls
    }
}
