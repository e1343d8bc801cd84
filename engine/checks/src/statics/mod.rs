//! Pure solvers of structural mechanics: numbers in, numbers out. They know `base` and `solid`, and nothing of furniture.

pub mod frame;
