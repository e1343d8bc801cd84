//! Single fastener: one peg or bolt where the script says, whichever way it runs.

use super::{Fixed, JointKind, Meets, Seam, Shop, fix};
use slatwork_base::Diagnostic;

pub(super) const KIND: JointKind = JointKind {
    name: "single fastener",
    about: "One peg (a dowel driven across) or one bolt where the script says, whichever way it runs through the two boards: \
            `fastener` names it, `spot` gives the side it enters square to. Joints written as scripts set theirs by it.",
    verb: "fasten",
    cut: None,
    fasten: Some(fasten),
    meets: Meets::Face,
};

fn fasten(seam: &Seam, shop: &mut Shop) -> Result<Fixed, Diagnostic> {
    fix::one(seam, shop)
}
