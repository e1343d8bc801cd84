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
//! | `body.rs`, `outline.rs`, `convex.rs`, `planes.rs` | a shape as convex pieces: arcs to facets, drawn out, cut, notched |
//! | `piece.rs` | [`Piece`]: a convex polyhedron, and cutting it by planes |
//! | `brep.rs`, `rings.rs`, `weld.rs`, `flat.rs` | the pieces' sides added up to planar faces |
//! | `bore.rs` | holes as true cylinders, and the rule that says when |
//! | `carve.rs` | the fallback by mesh booleans |
//! | `skin.rs`, `triangulate.rs` | faces, walls, edges and mesh in common corners |
//! | `exact.rs`, `exact_links.rs` | [`ExactSolid`]: a board by planes and true cylinders, for other programs |
//! | `surface.rs` | [`Face`], [`Wall`], [`Edge`], [`Mesh`]: what a solid's surface is handed out as |
//! | `measure.rs`, `connect.rs` | volume, centroid, inertia; number of bodies |
//! | `pair.rs` | [`Placed`]: a solid at its place in the world |
//! | `overlap.rs`, `contact.rs`, `clearance.rs`, `gjk.rs`, `seating.rs`, `line.rs` | what two placed solids, or a solid and a line, have to do with each other |
//! | `sweep.rs` | [`Mover`]: wood and tools moved along straight lines |
//! | `segment.rs` | [`Segment`]: one line or arc; [`PlaneMotion`] |
//! | `path.rs` | [`Path`]: an open run of lines and arcs |
//! | `profile_ops.rs` | what a profile measures; moved, rounded, flattened, questioned |
//! | `overlay.rs` | [`clip`], [`difference`], [`intersection`] of outlines, arcs kept exact |
//! | `curve.rs`, `fit.rs`, `elliptic.rs` | circles, bent battens, bows, ogees, fair curves through points; kept as arcs |
//! | `curve_fault.rs` | [`CurveFault`], [`ClipFault`]: why a curve or a cut cannot be made |
//! | `region.rs` | what a convex region has in common with wood |
//! | `bounds.rs`, `fault.rs`, `tolerance.rs` | boxes, what cannot be built, every tolerance with its reason |

mod body;
mod bore;
mod bounds;
mod brep;
mod carve;
mod clearance;
mod connect;
mod contact;
mod convex;
mod curve;
mod curve_fault;
mod elliptic;
mod exact;
mod exact_links;
mod fault;
mod fit;
mod flat;
mod gjk;
mod line;
mod measure;
mod outline;
mod overlap;
mod overlay;
mod pair;
mod path;
mod piece;
mod planes;
mod profile;
mod profile_ops;
mod region;
mod rings;
mod seating;
mod segment;
mod shape;
mod skin;
mod solid;
mod surface;
mod sweep;
mod tolerance;
mod triangulate;
mod weld;

pub use bore::segment_distance;
pub use bounds::Bounds;
pub use clearance::clearance;
pub use contact::{Patch, clip_ring, contacts};
pub use curve::{
    BattenFigures, batten_crown, batten_thrust, circle_over, circle_radius, double_bow, ogee, ordinates,
    thrust_figures,
};
pub use curve_fault::{ClipFault, CurveFault};
pub use exact::{EdgeCurve, ExactEdge, ExactFace, ExactSolid, Surface};
pub use fault::SolidFault;
pub use fit::{EndDirections, through};
pub use glam::{DAffine3, DMat3, DQuat, DVec2, DVec3};
pub use line::{Lines, along};
pub use overlap::overlap;
pub use overlay::{Keep, clip, difference, intersection};
pub use pair::Placed;
pub use path::{Nearest, Path};
pub use piece::Piece;
pub use profile::{Profile, Vertex};
pub use region::{clipped_volume, common_bounds};
pub use seating::{Seating, gap_along};
pub use segment::{Arc, PlaneMotion, SAME_POINT, Segment};
pub use shape::{Across, HalfSpace, Hole, HoleStep, Notch, Shape, Tag};
pub use solid::{Solid, build};
pub use surface::{Edge, EdgeKind, Face, Loop, Mesh, Wall};
pub use sweep::Mover;
pub use tolerance::Tolerance;
