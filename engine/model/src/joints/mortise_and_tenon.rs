//! Mortise and tenon: the end of one board, thinned, sits in a pocket of the other.

use super::{Fixed, JointKind, Meets, Seam, Shop};
use crate::Bench;
use slatwork_base::Diagnostic;

pub(super) const KIND: JointKind = JointKind {
    name: "mortise and tenon",
    about: "The first board's end grows a tenon, a third of the thinner board thick, that sits glued in a mortise of the second. \
            Place the first board with its shoulder against the second; `tenon` gives the tenon's length.",
    verb: "glue",
    cut: Some(Bench::mortise_and_tenon),
    fasten: Some(fasten),
    meets: Meets::Shoulder,
};

fn fasten(_seam: &Seam, _shop: &mut Shop) -> Result<Fixed, Diagnostic> {
    Ok(Fixed { glue: true, ..Fixed::default() })
}
