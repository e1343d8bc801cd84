//! Drawings of solids: views with hidden lines taken away, and the sheets made of them.
//!
//! | file | what |
//! |---|---|
//! | `view.rs` | [`View`] by name, [`Camera`] |
//! | `wire.rs` | [`Body`]; edges, triangles and true curves read off it |
//! | `visible.rs` | what hides what |
//! | `sight.rs` | what hides what, worked out once for many pictures |
//! | `merge.rs` | lines and arcs that coincide on paper become one |
//! | `picture.rs` | [`Picture`]: one view as lines and arcs |
//! | `layered.rs` | bodies of which some stand out, on a light ground |
//! | `layout.rs` | where dimensions stand round a view |
//! | `balloons.rs` | where part marks stand round a view |
//! | `title.rs` | frame and band of a sheet |
//! | `arrangement.rs` | [`arrangement`]: the whole piece on one sheet |
//! | `shorten.rs` | long boards with bare stretches left out |
//! | `facts.rs` | holes, saw settings, radii and curves read off a shape |
//! | `blocks.rs` | tables and notes under a part's views |
//! | `labels.rs` | the ways in which lettering of a part's sheet may stand |
//! | `taken.rs` | what is on a sheet already, and which of several ways is free |
//! | `part.rs` | [`part_sheet`]: one set of parts, with all that is needed to make it |
//! | `steps.rs` | [`StepPictures`]: the steps of assembly |
//! | `exploded.rs` | [`exploded`]: every part moved out along its way |
//! | `boards.rs` | [`board_sheets`]: boards with what is cut from them |
//! | `outline.rs` | [`part_outline`]: the true outline at full size |

mod arrangement;
mod balloons;
mod blocks;
mod boards;
mod exploded;
mod facts;
mod labels;
mod layered;
mod layout;
mod merge;
mod outline;
mod part;
mod picture;
mod placed;
mod shorten;
mod sight;
mod steps;
mod taken;
mod title;
mod view;
mod visible;
mod wire;

pub use arrangement::{Arrangement, Balloon, Mark, Measure, arrangement, overall};
pub use boards::{BoardPicture, BoardPictures, BoardSection, BoardStrip, board_sheets};
pub use exploded::{Arrival, Exploded, exploded};
pub use facts::HoleMark;
pub(crate) use facts::{ArcFact, arcs_and_curves, holes, rule};
pub use outline::part_outline;
pub(crate) use outline::{Plane, TaggedCorner};
pub use part::{PartSheet, part_sheet};
pub use picture::{HiddenLines, Picture};
pub use placed::Placed;
pub use steps::{CallOut, Incoming, NewMark, STEP_PAPER, StepPicture, StepPictures};
pub(crate) use taken::Area;
pub use view::{Camera, View};
pub use wire::Body;
pub(crate) use wire::{circle_of, cubics_of};
