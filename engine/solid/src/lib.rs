//! Solids of boards: profiles with arcs, prisms, cuts, notches and holes; measures, meshes, contacts.
//!
//! This room must not know parts, species, scripts or formats. Lengths are millimetres as `f64`; every flattening
//! takes its tolerance as an argument.
//!
//! | file | what |
//! |---|---|
//! | `profile.rs` | [`Profile`]: a closed outline of lines and arcs |
//! | `shape.rs` | [`Shape`]: a board as data: prism, cuts, notches, holes |

mod profile;
mod shape;

pub use glam::{DAffine3, DMat3, DQuat, DVec2, DVec3};
pub use profile::{Profile, Vertex};
pub use shape::{Across, HalfSpace, Hole, HoleStep, Notch, Shape, Tag};
