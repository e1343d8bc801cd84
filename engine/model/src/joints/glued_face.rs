//! Glued face: glue alone, long grain to long grain.

use super::{Fixed, JointKind, Meets, Seam, Shop};
use slatwork_base::{Diagnostic, Severity};

pub(super) const KIND: JointKind = JointKind {
    name: "glued face",
    about: "Glue alone on faces or edges of long grain. Refused on end grain, which glue does not hold.",
    verb: "glue",
    cut: None,
    fasten: Some(fasten),
    meets: Meets::Face,
};

fn fasten(seam: &Seam, _shop: &mut Shop) -> Result<Fixed, Diagnostic> {
    on_long_grain(seam)?;
    Ok(Fixed { glue: true, ..Fixed::default() })
}

/// Refuses glue on end grain.
pub(super) fn on_long_grain(seam: &Seam) -> Result<(), Diagnostic> {
    if !seam.patch.on_end.contains(&true) {
        return Ok(());
    }
    Err(Diagnostic::new(
        Severity::Failure,
        "glue-on-end-grain",
        format!("{} is glued on end grain, which glue does not hold", seam.words()),
    )
    .at_origin(seam.origin)
    .help("use dowels, a mortise and tenon, or screws from side grain"))
}
