//! The furniture model: boards with their features, groups, relations, runs, copes, trims, contacts, sets.
//!
//! A [`Bench`] is the work in hand: a script lays boards on it, places them by how they meet, cuts them to each other.
//! [`Bench::finish`] validates it once and gives a [`Model`]: plain read-only data that checks, shop and documents read.
//!
//! This room must not know checks, plans, Rhai or file formats.
//!
//! | file | what |
//! |---|---|
//! | `part.rs` | [`Part`]: one finished board, with [`Blank`], features, solid and pose |
//! | `feature.rs` | [`Feature`]: what is done to a board, in shop order, and when |
//! | `finished.rs` | [`Model`]: everything a finished piece is |
//! | `inputs.rs` | site, people: what the piece must suit |
//! | `sets.rs` | parts that are the same solid, and mirror pairs |
//! | `joints/` | kinds of joint: where parts meet, fasteners, holes, what to buy |
//! | `bench/` | the work in hand: boards, groups, relations and the operations run, cope, trim, continue, align |

pub mod bench;
mod feature;
mod finished;
mod inputs;
pub mod joints;
mod part;
mod sets;

pub use bench::{Bench, BoardId, GroupHandle};
pub use feature::{BoardEdge, BoardEnd, Feature, FeatureKind, NotchPurpose, Setting, When};
pub use finished::{
    Contact, ContactKind, Group, GroupId, Hanging, HardwareUse, Model, OrderRule, PartId, Seat, Step,
    Suspension,
};
pub use inputs::{Overhead, People, Person, Runs, Site, UseLevel};
pub use joints::{Joint, JointOrder};
pub use part::{Blank, DEFECT_WORDS, Defects, Fit, GlueUp, Part, Softened, Strip};
pub use sets::{Hand, PartSet, SetId, find_sets, turn_between};
