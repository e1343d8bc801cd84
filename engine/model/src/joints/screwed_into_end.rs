//! Screwed into end: through a board's face into the end grain of another, which only carries load across the screw.

use super::fix;
use super::spread::Count;
use super::{Fixed, JointKind, Meets, Seam, Shop};
use slatwork_base::{Diagnostic, Severity};
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

/// Refuses end grain to a joint whose name speaks of faces and edges: screws would hold there, but by another rule.
pub(super) fn refuse_end_grain(seam: &Seam) -> Result<(), Diagnostic> {
    let Some(ends) = seam.patch.on_end.iter().position(|on_end| *on_end) else { return Ok(()) };
    let [own, other] = if ends == 0 { [seam.first, seam.second] } else { [seam.second, seam.first] };
    Err(Diagnostic::new(
        Severity::Failure,
        "joint-on-end-grain",
        format!(
            "`{}` meets `{}` with its end, but \"{}\" is for side grain",
            own.name, other.name, seam.order.kind
        ),
    )
    .at_origin(seam.origin)
    .help(format!("join them as \"{}\": it lays out screws in end grain", KIND.name)))
}
