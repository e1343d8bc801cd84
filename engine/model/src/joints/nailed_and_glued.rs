//! Nailed and glued: nails hold the parts until the glue does.

use super::fix;
use super::glued_face;
use super::spread::Count;
use super::{Fixed, JointKind, Meets, Seam, Shop};
use slatwork_base::Diagnostic;
use slatwork_catalog::FastenerKind;

pub(super) const KIND: JointKind = JointKind {
    name: "nailed and glued",
    about: "Glue on the whole contact, and nails that hold it while the glue sets. Not for anything that hangs; refused on end grain.",
    verb: "glue and nail",
    cut: None,
    fasten: Some(fasten),
    meets: Meets::Face,
};

fn fasten(seam: &Seam, shop: &mut Shop) -> Result<Fixed, Diagnostic> {
    glued_face::on_long_grain(seam)?;
    let fixed = fix::screws(seam, shop, FastenerKind::Nail, Count::ByLength)?;
    Ok(Fixed { glue: true, ..fixed })
}
