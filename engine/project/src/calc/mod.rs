//! One shop question at a time: what is asked in, its answer out, by the solvers that the checks use.

pub mod beam;
pub mod board_feet;
pub mod fastener;
pub mod figure;
pub mod frame;
mod json;
pub mod moisture;
pub mod swing;
