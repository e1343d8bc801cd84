//! Screwed into end: through a board's face into the end grain of another, which only carries load across the screw.

use super::fix;
use super::spread::Count;
use super::{Fixed, JointKind, Meets, Seam, Shop};
use slatwork_base::Diagnostic;
use slatwork_catalog::FastenerKind;

pub(super) const KIND: JointKind = JointKind {
    name: "screwed into end",
    about: "Two screws go through the face of one board into the end grain of the other. Whichever board is named first, the \
            heads sit in side grain. Screws in end grain carry load across their axis only.",
    verb: "screw",
    cut: None,
    fasten: Some(fasten),
    meets: Meets::Face,
};

fn fasten(seam: &Seam, shop: &mut Shop) -> Result<Fixed, Diagnostic> {
    fix::screws(seam, shop, FastenerKind::WoodScrew, Count::Fixed(2))
}
