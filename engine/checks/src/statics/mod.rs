//! Pure solvers: numbers in, numbers out, nothing of furniture.
//!
//! This inner room imports `slatwork-base` and `slatwork-solid` alone. Bad input comes back as diagnostics, never as a panic
//! or as a number that looks fine.
//!
//! Frames and swings (`frame`, `hang`, `swing`) count in SI units: m, kg, N, Pa, s, rad.

pub mod frame;
pub mod hang;
pub mod swing;
