//! Solids of boards: profiles with arcs, prisms, cuts, notches and holes; measures, meshes, contacts.
//!
//! This room must not know parts, species, scripts or formats. Lengths are millimetres as `f64`; every flattening
//! takes its tolerance as an argument.
//!
//! | file | what |
//! |---|---|
//! | `profile.rs` | [`Profile`]: a closed outline of lines and arcs |
//! | `shape.rs` | [`Shape`]: a board as data: prism, cuts, notches, holes |
//! | `solid.rs` | [`Solid`]: a built board: pieces now, faces, edges, mesh and measures when asked for |
//! | `piece.rs` | [`Piece`]: a convex polyhedron, and cutting it by planes |
//! | `surface.rs` | [`Face`], [`Wall`], [`Edge`], [`Mesh`]: what a solid's surface is handed out as |
//! | `pair.rs` | two placed solids: overlap, contact, clearance, seating |
//! | `bounds.rs`, `fault.rs`, `tolerance.rs` | boxes, what cannot be built, every tolerance with its reason |

mod bounds;
mod fault;
mod pair;
mod piece;
mod profile;
mod shape;
mod solid;
mod surface;
mod tolerance;

pub use bounds::Bounds;
pub use fault::SolidFault;
pub use glam::{DAffine3, DMat3, DQuat, DVec2, DVec3};
pub use pair::{Patch, Placed, Seating, along, clearance, contacts, gap_along, overlap};
pub use piece::Piece;
pub use profile::{Profile, Vertex};
pub use shape::{Across, HalfSpace, Hole, HoleStep, Notch, Shape, Tag};
pub use solid::{Solid, build};
pub use surface::{Edge, EdgeKind, Face, Loop, Mesh, Wall};
pub use tolerance::Tolerance;
