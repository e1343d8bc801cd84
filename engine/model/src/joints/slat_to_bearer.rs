//! Slat to bearer: a slat is screwed down to what it lies on.

use super::fix;
use super::screwed_into_end;
use super::spread::Count;
use super::{Fixed, JointKind, Meets, Seam, Shop};
use slatwork_base::Diagnostic;
use slatwork_catalog::FastenerKind;

pub(super) const KIND: JointKind = JointKind {
    name: "slat to bearer",
    about: "Two screws where the slat is wider than 65 mm, set a little to either side so that they share no line of grain; one \
            screw in a narrower slat, and where two would split it or its bearer. Flush in countersinks, or under plugs with `plug: true`.",
    verb: "screw",
    cut: None,
    fasten: Some(fasten),
    meets: Meets::Face,
};

fn fasten(seam: &Seam, shop: &mut Shop) -> Result<Fixed, Diagnostic> {
    screwed_into_end::refuse_end_grain(seam)?;
    fix::screws(seam, shop, FastenerKind::WoodScrew, Count::ByWidth)
}
