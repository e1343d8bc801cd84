//! Chain with links and ring: from an eye on the piece to the point overhead. Hung by `job.chain(..)`.

use super::{JointKind, Meets};

/// Its name.
pub(crate) const NAME: &str = "chain with links";

pub(super) const KIND: JointKind = JointKind {
    name: NAME,
    about: "Chain from an eye on the piece, with the links and ring that join it, to the point overhead. Hang it with `job.chain(..)`.",
    verb: "hang",
    cut: None,
    fasten: None,
    meets: Meets::Face,
};
