//! Checks on a finished piece: one file each, named by the fault it finds.
//!
//! This room must not know scripts, documents or money. A check reads the [`Model`] and the catalogue and answers with
//! findings: place, number and remedy. It never passes in silence what it cannot judge.
//!
//! | folder | what |
//! |---|---|
//! | `making/` | whether joints can be made and found in reality: fasteners, holes, tools |
//! | `statics/` | inner room of pure solvers: knows `base` and `solid`, no furniture |

mod making;
pub mod statics;

use slatwork_base::{Diagnostic, worst_of_each_line};
use slatwork_catalog::Catalogue;
use slatwork_model::Model;

/// What a check reads.
#[derive(Clone, Copy, Debug)]
pub struct Case<'a> {
    /// The piece.
    pub model: &'a Model,
    /// Species, fasteners, tools.
    pub catalogue: &'a Catalogue,
}

/// A check.
pub struct Check {
    /// The fault it finds, in words: the code of its findings.
    pub fault: &'static str,
    /// What it looks at, in a sentence.
    pub about: &'static str,
    /// Looks.
    pub look: fn(&Case) -> Vec<Diagnostic>,
}

/// Whether joints and parts can be made, in the order that findings are listed.
pub const MAKING: [&Check; 11] = making::ALL;

/// All findings on making, in the order of [`MAKING`]; of those that one script line brings about and that say the same of
/// like parts, the worst, with their number.
pub fn making(case: &Case) -> Vec<Diagnostic> {
    worst_of_each_line(MAKING.iter().flat_map(|check| (check.look)(case)))
}
