//! Hanger eye: a forged eye bolt through the wood, with washer and nut. Set by `job.eye(..)`.

use super::{JointKind, Meets};

/// Its name.
pub(crate) const NAME: &str = "hanger eye";

pub(super) const KIND: JointKind = JointKind {
    name: NAME,
    about: "A forged shoulder eye bolt right through one board or more, nut and washer on the far side. Set it with `job.eye(..)`.",
    verb: "bolt",
    cut: None,
    fasten: None,
    meets: Meets::Face,
};
