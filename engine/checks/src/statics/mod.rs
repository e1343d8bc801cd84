//! Solvers for questions of statics and of wood, pure mathematics over plain figures.
//!
//! This inner room imports only `slatwork_base` and `slatwork_solid`: it must not know furniture, catalogues or files.
//! Unless a name says otherwise, lengths are in mm, forces in N, stresses in MPa, moments in N mm, specific gravity on
//! oven-dry mass and volume. Bad input comes back as diagnostics, never as a panic or as a number that looks fine.
//!
//! Each equation has its source beside it, with how it was come by: "read" in the document or in a transcription of it,
//! "from memory", or "project choice". NDS is ANSI/AWC NDS-2018, the Wood Handbook is FPL-GTR-282.

pub mod beam;
pub mod dowel;
pub mod given;
pub mod group;
pub mod moisture;
pub mod units;
pub mod weight;
pub mod withdrawal;
pub mod wood;
