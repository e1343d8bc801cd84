//! Dowelled: glued dowels, half in either board.

use super::fix;
use super::spread::Count;
use super::{Fixed, JointKind, Meets, Seam, Shop};
use slatwork_base::Diagnostic;

pub(super) const KIND: JointKind = JointKind {
    name: "dowelled",
    about: "Two glued dowels, a third of the thinner board thick, half in either board; the second board is marked from the first \
            with dowel centres.",
    verb: "glue and dowel",
    cut: None,
    fasten: Some(fasten),
    meets: Meets::Face,
};

fn fasten(seam: &Seam, shop: &mut Shop) -> Result<Fixed, Diagnostic> {
    fix::dowels(seam, shop, Count::Fixed(2))
}
