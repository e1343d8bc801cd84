//! The inner room of board layout: lengths in, layouts out. It knows no parts, species or money beyond a cost per stick.
//!
//! Everything is in whole nanometres, so a stick exactly as long as needed is never refused.
//!
//! | file | what |
//! |---|---|
//! | `first_fit.rs` | which pieces come from which stick: first fit, longest first |
//! | `bound.rs` | what no plan can beat: length, number of sticks, cost |
//! | `abreast.rs` | narrow pieces ripped side by side out of one length |
//! | `cutting/` | the cheapest plan with a proof: column generation, bounds, enumeration |
//! | `nesting/` | curved parts nested on a board: polygons in, placements out |
//! | `cutting/ripping/` | the same for narrow parts from wide boards: sections, strips, the price decides |

mod abreast;
mod bound;
mod counts;
pub mod cutting;
mod first_fit;
pub mod nesting;

pub use abreast::{Bundle, Kerfs, Lane, Piece, abreast};
pub use bound::{Bound, Demand, bound};
pub use first_fit::{Filled, Opened, Saw, Stick, first_fit};

/// The greatest measure of which both are multiples; of nothing and another that other.
pub(crate) fn common_measure(a: i128, b: i128) -> i128 {
    if b == 0 { a.abs() } else { common_measure(b, a % b) }
}
