//! What of a piece does not depend on its loads: worked out once, also where people of other mass are tried on it.

use super::Tongue;
use super::build::{Framing, frame_of};
use super::looks::{Looks, looks};
use crate::Case;
use core::cell::OnceCell;
use slatwork_model::{Model, PartId};

/// Filled in when first asked for.
#[derive(Debug, Default)]
pub(crate) struct Kept {
    frame: OnceCell<Result<Framing, String>>,
    /// Of each part.
    looks: OnceCell<Vec<OnceCell<Option<Vec<Looks>>>>>,
    tongues: OnceCell<Vec<(PartId, Tongue)>>,
}

impl Kept {
    /// The frame of the piece at its joints' reckoned stiffness, without loads.
    pub(super) fn frame(&self, case: &Case) -> &Result<Framing, String> {
        self.frame.get_or_init(|| frame_of(case, 1.0))
    }

    /// For each bar of a part, its sections.
    pub(super) fn looks(&self, model: &Model, framing: &Framing, part: PartId) -> Option<&[Looks]> {
        let all = self.looks.get_or_init(|| model.parts.iter().map(|_| OnceCell::new()).collect());
        all[part.0].get_or_init(|| looks(model, framing, part)).as_deref()
    }

    /// Ends that are cut down, part by part.
    pub(crate) fn tongues(&self, model: &Model) -> &[(PartId, Tongue)] {
        let of = |part| Tongue::all(part).into_iter().map(|tongue| (part.id, tongue));
        self.tongues.get_or_init(|| model.parts.iter().flat_map(of).collect())
    }
}
