//! Space frames: linear elastic, small displacements, static loads.
//!
//! Bars between nodes carry axial force, shear (with its own deformation), torsion and bending; their ends may be rigid,
//! sprung or released, and sit on rigid arms beside the node. Supports hold, spring or only push; wires only pull.
//! Every answer is checked before it is handed out; a frame that cannot stand is told with what moves and how.
//!
//! SI units throughout: metre, newton, pascal, radian.
//!
//! | file | what |
//! |---|---|
//! | `model.rs` | [`Frame`], [`Combination`]: what is given |
//! | `answer.rs` | [`Answer`], [`Solution`], [`Rows`]: what comes out |
//! | `input.rs` | input that makes no frame, named |
//! | `element.rs`, `shape.rs`, `end_springs.rs` | one bar: stiffness, loads between its ends, sprung and released ends |
//! | `loading.rs`, `sum.rs` | load cases gathered to nodes; forces added up |
//! | `order.rs`, `blocks.rs` | order of nodes that fills in little; the matrix, its factors, its null vectors |
//! | `sides.rs` | figures of several combinations side by side |
//! | `prepared.rs` | [`Prepared`]: a frame made ready for loads; [`solve`] |
//! | `structure.rs` | numbering, assembly, resistance to given displacements |
//! | `solve.rs` | linear frames, and rounds for what only pushes or pulls |
//! | `diagnosis.rs` | why a frame cannot stand |
//! | `trust.rs` | [`Trust`]: checks on every answer |
//! | `along.rs` | [`Along`]: forces and deflection along a bar |

mod along;
mod answer;
mod blocks;
mod diagnosis;
mod element;
mod end_springs;
mod input;
mod loading;
mod model;
mod order;
mod prepared;
mod shape;
mod sides;
mod solve;
mod structure;
mod sum;
mod trust;

pub use along::{Along, SectionForces};
pub use answer::{Answer, Rows, Solution};
pub use model::{
    Combination, Direction, EndSprings, FREEDOMS, Frame, Hold, LoadCase, Member, MemberKind, MemberLoad,
    NodalLoad, Node, Section, Settlement, Spread, Support,
};
pub use prepared::{Altered, Loads, Prepared, solve};
pub use trust::Trust;
