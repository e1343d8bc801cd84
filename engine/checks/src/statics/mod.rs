//! Pure solvers: numbers in, numbers out, nothing of furniture.
//!
//! This inner room imports `slatwork-base` and `slatwork-solid` alone. All of it is in SI units: m, kg, N, s.

pub mod hang;
pub mod swing;
