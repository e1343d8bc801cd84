//! What of a piece does not depend on its loads: worked out once, also where people of other mass are tried on it.

use super::build::{Framing, frame_of};
use super::looks::{Looks, looks};
use super::stiffnesses::Stiffnesses;
use super::{Sections, Tongue};
use crate::Case;
use core::cell::OnceCell;
use slatwork_model::{Model, PartId};

/// Filled in when first asked for.
#[derive(Debug, Default)]
pub(crate) struct Kept {
    frame: OnceCell<Result<Stiffnesses, String>>,
    /// Of each part.
    sections: OnceCell<Vec<Sections>>,
    /// Of each part.
    looks: OnceCell<Vec<OnceCell<Option<Vec<Looks>>>>>,
    tongues: OnceCell<Vec<(PartId, Tongue)>>,
}

impl Kept {
    /// The frame of the piece, without loads.
    pub(super) fn frame(&self, case: &Case) -> &Result<Stiffnesses, String> {
        self.frame.get_or_init(|| frame_of(case, 1.0).map(Stiffnesses::of))
    }

    /// All sections of a part.
    pub(crate) fn sections(&self, model: &Model, part: PartId) -> &Sections {
        let all = || model.parts.iter().map(|part| Sections::of(&part.solid)).collect();
        &self.sections.get_or_init(all)[part.0]
    }

    /// For each bar of a part, its sections.
    pub(super) fn looks(&self, model: &Model, framing: &Framing, part: PartId) -> Option<&[Looks]> {
        let all = self.looks.get_or_init(|| model.parts.iter().map(|_| OnceCell::new()).collect());
        all[part.0].get_or_init(|| looks(model, framing, part, self.sections(model, part))).as_deref()
    }

    /// Ends that are cut down, part by part.
    pub(crate) fn tongues(&self, model: &Model) -> &[(PartId, Tongue)] {
        let of = |part| {
            Tongue::all(part, self.sections(model, part.id)).into_iter().map(|tongue| (part.id, tongue))
        };
        self.tongues.get_or_init(|| model.parts.iter().flat_map(of).collect())
    }
}
