//! Angled brace: the bevelled end of a brace is screwed to the member it props.

use super::fix;
use super::spread::Count;
use super::{Fixed, JointKind, Meets, Seam, Shop};
use slatwork_base::Diagnostic;
use slatwork_catalog::FastenerKind;

pub(super) const KIND: JointKind = JointKind {
    name: "angled brace",
    about: "The bevelled end of a brace lies on the member that it props; screws go through the brace, their heads sunk into its \
            slope, square into the member. Through the member into an end that is cut nearly square.",
    verb: "screw",
    cut: None,
    fasten: Some(fasten),
    meets: Meets::Bevel,
};

fn fasten(seam: &Seam, shop: &mut Shop) -> Result<Fixed, Diagnostic> {
    fix::screws(seam, shop, FastenerKind::WoodScrew, Count::Fixed(1))
}
