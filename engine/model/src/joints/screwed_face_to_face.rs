//! Screwed face to face: one board lies flat on another.

use super::fix;
use super::screwed_into_end;
use super::spread::Count;
use super::{Fixed, JointKind, Meets, Seam, Shop};
use slatwork_base::Diagnostic;
use slatwork_catalog::FastenerKind;

pub(super) const KIND: JointKind = JointKind {
    name: "screwed face to face",
    about: "One board lies flat on another and is screwed to it through its face: two screws, and one more for each 200 mm.",
    verb: "screw",
    cut: None,
    fasten: Some(fasten),
    meets: Meets::Face,
};

fn fasten(seam: &Seam, shop: &mut Shop) -> Result<Fixed, Diagnostic> {
    screwed_into_end::refuse_end_grain(seam)?;
    fix::screws(seam, shop, FastenerKind::WoodScrew, Count::ByLength)
}
