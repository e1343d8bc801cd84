//! Knock-down: bolts into threaded inserts or barrel nuts, so that a piece travels flat.

use super::fix;
use super::spread::Count;
use super::{Fixed, JointKind, Meets, Seam, Shop};
use slatwork_base::Diagnostic;

pub(super) const KIND: JointKind = JointKind {
    name: "knock-down",
    about: "Bolts through the first board into threaded inserts in the second, or into barrel nuts where the bolt would sit in \
            end grain. The piece comes apart again and travels flat.",
    verb: "bolt",
    cut: None,
    fasten: Some(fasten),
    meets: Meets::Face,
};

fn fasten(seam: &Seam, shop: &mut Shop) -> Result<Fixed, Diagnostic> {
    fix::knock_down(seam, shop, Count::Fixed(2))
}
