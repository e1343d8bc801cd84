//! Screwed into edge: through a board's face into the long edge of another.

use super::fix;
use super::screwed_into_end;
use super::spread::Count;
use super::{Fixed, JointKind, Meets, Seam, Shop};
use slatwork_base::Diagnostic;
use slatwork_catalog::FastenerKind;

pub(super) const KIND: JointKind = JointKind {
    name: "screwed into edge",
    about: "Screws go through the face of the first board into the edge of the second, along the middle of its thickness.",
    verb: "screw",
    cut: None,
    fasten: Some(fasten),
    meets: Meets::Face,
};

fn fasten(seam: &Seam, shop: &mut Shop) -> Result<Fixed, Diagnostic> {
    screwed_into_end::refuse_end_grain(seam)?;
    fix::screws(seam, shop, FastenerKind::WoodScrew, Count::ByLength)
}
