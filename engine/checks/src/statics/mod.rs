//! Pure solvers: numbers in, numbers out, nothing of furniture.
//!
//! This inner room imports `slatwork-base` and `slatwork-solid` alone. Bad input comes back as diagnostics, never as a panic
//! or as a number that looks fine.
//!
//! Frames and swings (`frame`, `hang`, `swing`) count in SI units: m, kg, N, Pa, s, rad.
//!
//! The solvers for wood and fasteners (`beam`, `dowel`, `group`, `moisture`, `weight`, `withdrawal`, `wood`) count in mm, N, MPa
//! and N mm, and take specific gravity on oven-dry mass and volume. Each equation has its source beside it, with how it was
//! come by: "read" in the document or in a transcription of it, "from memory", or "project choice". NDS is ANSI/AWC NDS-2018,
//! the Wood Handbook is FPL-GTR-282.

pub mod beam;
pub mod dowel;
pub mod frame;
pub mod given;
pub mod group;
pub mod hang;
pub mod moisture;
pub mod swing;
pub mod units;
pub mod weight;
pub mod withdrawal;
pub mod wood;
