//! Bolted lap: two boards face to face, held by carriage or hex bolts with washers.

use super::fix;
use super::spread::Count;
use super::{Fixed, JointKind, Meets, Seam, Shop};
use slatwork_base::Diagnostic;

pub(super) const KIND: JointKind = JointKind {
    name: "bolted lap",
    about: "Two bolts right through both boards, on a diagonal; the nut and a wide washer on the second board.",
    verb: "bolt",
    cut: None,
    fasten: Some(fasten),
    meets: Meets::Face,
};

fn fasten(seam: &Seam, shop: &mut Shop) -> Result<Fixed, Diagnostic> {
    fix::bolts(seam, shop, Count::Fixed(2))
}
