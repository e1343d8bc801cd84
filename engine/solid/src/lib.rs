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
//! | `segment.rs` | [`Segment`]: one line or arc; [`PlaneMotion`] |
//! | `path.rs` | [`Path`]: an open run of lines and arcs |
//! | `profile_ops.rs` | what a profile measures; moved, rounded, flattened, questioned |
//! | `overlay.rs` | [`clip`], [`difference`], [`intersection`] of outlines, arcs kept exact |
//! | `curve.rs`, `fit.rs`, `elliptic.rs` | circles, bent battens, bows, ogees, fair curves through points; kept as arcs |
//! | `curve_fault.rs` | [`CurveFault`], [`ClipFault`]: why a curve or a cut cannot be made |
//! | `bounds.rs`, `fault.rs`, `tolerance.rs` | boxes, what cannot be built, every tolerance with its reason |

mod bounds;
mod curve;
mod curve_fault;
mod elliptic;
mod fault;
mod fit;
mod overlay;
mod pair;
mod path;
mod piece;
mod profile;
mod profile_ops;
mod segment;
mod shape;
mod solid;
mod surface;
mod tolerance;

pub use bounds::Bounds;
pub use curve::{
    BattenFigures, batten_crown, batten_thrust, circle_over, circle_radius, double_bow, ogee, ordinates,
    thrust_figures,
};
pub use curve_fault::{ClipFault, CurveFault};
pub use fault::SolidFault;
pub use fit::{EndDirections, through};
pub use glam::{DAffine3, DMat3, DQuat, DVec2, DVec3};
pub use overlay::{Keep, clip, difference, intersection};
pub use pair::{Patch, Placed, Seating, along, clearance, contacts, gap_along, overlap};
pub use path::{Nearest, Path};
pub use piece::Piece;
pub use profile::{Profile, Vertex};
pub use segment::{Arc, PlaneMotion, SAME_POINT, Segment};
pub use shape::{Across, HalfSpace, Hole, HoleStep, Notch, Shape, Tag};
pub use solid::{Solid, build};
pub use surface::{Edge, EdgeKind, Face, Loop, Mesh, Wall};
pub use tolerance::Tolerance;
