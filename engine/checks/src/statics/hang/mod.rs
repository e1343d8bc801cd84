//! Hanging a seat at a place: how long the chains, which link, what one link does, what each hook bears.
//!
//! | file | what |
//! |---|---|
//! | `chain.rs` | [`Run`]: from eye to hook; the link to hang at |
//! | `link.rs` | [`one_link`]: what one link more or less does to the posture |
//! | `load.rs` | [`HookLoad`]: a hook's force by its parts |

mod chain;
mod link;
mod load;

pub use chain::{HungAt, Run};
pub use link::{LinkEffect, one_link};
pub use load::{HookLoad, hook_loads};
