//! From furniture to a frame: boards as chains of bars, joints as springs, feet and eyes as supports, people as loads.
//!
//! Plain data in, plain data out; the frame itself is solved by [`crate::statics::frame`].
//!
//! | file | what |
//! |---|---|
//! | `slice.rs` | [`Slice`]: the section of a board at one place |
//! | `sections.rs` | [`Sections`]: all sections of a board |
//! | `timber.rs` | [`Timber`]: what the wood of a part may carry |
//! | `ties.rs` | [`Tie`]: a joint as springs |
//! | `chains.rs` | [`Chain`]: a board as bars |
//! | `ground.rs` | what holds the piece: feet that only push, or eyes |
//! | `build.rs` | [`Framing`]: all of it put together |
//! | `seating.rs` | [`Seating`]: where people sit, lean and hold on |
//! | `loads.rs` | [`Situation`]: load cases of a use level |
//! | `moving.rs` | load cases of a piece that is lifted, dragged and dropped |
//! | `pushing.rs` | load cases of a piece whose seat is pushed, its feet catching |
//! | `steady.rs` | who leans back or on an arm does not tip the piece |
//! | `stiffnesses.rs` | the frame at each stiffness of its joints, made ready for loads |
//! | `analysis.rs` | [`Analysis`]: the frame under every load case |
//! | `posture.rs` | a hung piece: chain forces and the direction of weight |
//! | `tongue.rs` | [`Tongue`]: ends cut down to a part of their section |
//! | `kept.rs` | what of a piece does not depend on its loads |
//! | `looks.rs` | the sections of a part that its wood is looked at in |
//! | `strain.rs` | [`bending`], [`shear`], [`sag`]: how hard the wood of a part is worked |
//! | `working.rs` | how the stresses of a section, and what it may take of them, came about |

mod analysis;
mod build;
mod chains;
mod ground;
mod kept;
mod loads;
mod looks;
mod moving;
mod posture;
mod pushing;
mod seating;
mod sections;
mod slice;
mod steady;
mod stiffnesses;
mod strain;
mod ties;
mod timber;
mod tongue;
mod working;

pub use analysis::{Analysis, Solved, TieForces, Unanalysed, analyse};
pub use build::{Framing, frame_of};
pub use chains::{Chain, Station};
pub use ground::{Ground, Point};
pub(crate) use ground::{sole_area, soles};
pub(crate) use kept::Kept;
pub use loads::{About, Level, Push, Situation, situations};
pub use seating::{Seating, Touch};
pub use sections::Sections;
pub use slice::{Bored, Slice};
pub use stiffnesses::STIFFNESSES;
pub(crate) use strain::is_worse;
pub use strain::{Cut, Sag, Strain, bending, sag, shear};
pub use ties::Tie;
pub use timber::{Timber, service};
pub(crate) use timber::{figures, grading};
pub use tongue::Tongue;

use crate::Case;
use slatwork_model::PartId;

/// What the wood of every part may carry.
#[derive(Clone, Debug)]
pub struct Timbers(Vec<Timber>);

impl Timbers {
    /// Of every part.
    ///
    /// # Errors
    /// Why there are none, in words.
    pub fn of_all(case: &Case) -> Result<Timbers, String> {
        let of = |part| {
            Timber::of(case, part)
                .ok_or_else(|| format!("nothing is known of the strength of `{}`", part.name))
        };
        case.model.parts.iter().map(of).collect::<Result<_, _>>().map(Timbers)
    }

    /// Of one part.
    pub fn of(&self, part: PartId) -> &Timber {
        &self.0[part.0]
    }
}
