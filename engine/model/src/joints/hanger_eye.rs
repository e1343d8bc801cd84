//! Hanger eye: a forged eye bolt through the wood, with washer and nut. Set by `job.eye(..)`.

use super::{Fixed, JointKind, Seam, Shop};
use slatwork_base::Diagnostic;

/// Its name.
pub(crate) const NAME: &str = "hanger eye";

pub(super) const KIND: JointKind = JointKind {
    name: NAME,
    about: "A forged shoulder eye bolt right through one board or more, nut and washer on the far side. Set it with `job.eye(..)`.",
    verb: "bolt",
    cut: None,
    fasten,
    joins: false,
};

fn fasten(_seam: &Seam, _shop: &mut Shop) -> Result<Fixed, Diagnostic> {
    Ok(Fixed::default())
}
