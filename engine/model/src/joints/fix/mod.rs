//! Setting fasteners: each where the pattern says, through the layers that are there, with the holes it needs.
//!
//! | file | what |
//! |---|---|
//! | `axis.rs` | an axis through both parts |
//! | `layer.rs` | the wood along it, with its distances to edges and ends |
//! | `judge.rs` | how well a fastener stands |
//! | `lay_out.rs` | patterns tried until one stands well |
//! | `bore.rs` | holes |
//! | `one.rs` | one fastener where a script says |
//! | `screws.rs`, `bolts.rs`, `dowels.rs`, `knock_down.rs` | each kind of fastener |

mod axis;
mod bolts;
mod bore;
mod dowels;
mod judge;
mod knock_down;
mod lay_out;
mod layer;
mod one;
mod screws;

pub(crate) use bolts::bolts;
pub(crate) use dowels::dowels;
pub(crate) use knock_down::knock_down;
pub(crate) use layer::layer;
pub(crate) use one::one;
pub(crate) use screws::screws;
