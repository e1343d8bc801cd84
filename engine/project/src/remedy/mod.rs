//! What one change would mend: for a variant that fails, each parameter that bears on what fails is turned by its declared
//! steps, and the piece made and judged anew, until all of it passes.
//!
//! **Nothing is inferred.** A remedy is offered only after the changed piece passed every check, and only after every
//! smaller change of that parameter was tried and did not: no figure is taken to fall or rise steadily. Changes are tried
//! ring by ring, those of one step first, so where the search stops at its count of tries, whatever it offers still holds.
//!
//! | file | what |
//! |---|---|
//! | `candidate.rs` | [`Candidate`]: parameters that bear on what fails, and their values by steps outward |
//! | `trial.rs` | [`Trial`]: one variant made and judged |
//! | `search.rs` | [`search`]: ring by ring |
//! | `told.rs` | remedies in words and as JSON |

mod candidate;
mod search;
mod told;
mod trial;

pub use candidate::{Candidate, Change, candidates};
pub use search::{MOST_TRIES, Nearest, Remedies, Remedy, search};
pub use trial::{Concerned, Cost, Missed, Trial};

use crate::Workshop;
use slatwork_checks::{Caution, Conditions};
use slatwork_script::Parameters;
use std::collections::BTreeSet;

/// What one change would mend of a variant with these values; nothing where it passes or cannot be built.
pub(crate) fn remedies(
    workshop: &Workshop,
    values: &Parameters,
    conditions: Conditions,
    accepted: &BTreeSet<Caution>,
) -> Option<Remedies> {
    let now = Trial::of(workshop, &[], conditions, accepted).filter(|now| !now.failing.is_empty())?;
    let candidates = candidates(values, workshop.catalogue(), &now.concerned);
    let attempt = |change: &Change| Trial::of(workshop, &[change.setting()], conditions, accepted);
    Some(search(&now, candidates, MOST_TRIES, attempt))
}
