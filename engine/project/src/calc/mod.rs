//! One shop question at a time: a JSON file in, its answer out, by the solvers that the checks use.

pub mod frame;
mod json;
pub mod swing;
