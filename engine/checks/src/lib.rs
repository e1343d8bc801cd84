//! Checks on a finished piece: one file each, named by the fault it finds.
//!
//! This room must not know scripts, documents or money. A check reads the [`Model`], the catalogue and the [`Conditions`] the
//! piece lives in, and answers with verdicts: how each thing stands, by how much, on what grounds and what would help. It never
//! passes in silence what it cannot judge.
//!
//! | file or folder | what |
//! |---|---|
//! | `verdict.rs` | [`Verdict`]: what a check finds of one thing |
//! | `conditions.rs` | [`Conditions`]: climate, exposure, glue |
//! | `gaps.rs` | gaps between neighbours of a run |
//! | `body/` | whether people sit well: heights, depth, width, angles, shares of a population |
//! | `weather/` | whether it fits wet and dry, lasts outdoors, and traps or hurts nobody |
//! | `making/` | whether joints can be made and found in reality: fasteners, holes, tools |
//! | `statics/` | inner room of pure solvers: knows `base` and `solid`, no furniture |

mod body;
mod conditions;
mod gaps;
mod making;
pub mod statics;
mod verdict;
mod weather;

pub use conditions::{CLIMATES, Climate, Conditions, Exposure, GlueClass, Preservative};
pub use verdict::{Limit, Measure, Remedy, Standing, Unit, Verdict, Way};

use body::Sitting;
use core::cell::OnceCell;
use slatwork_base::{Diagnostic, Severity, worst_of_each_line};
use slatwork_catalog::Catalogue;
use slatwork_model::Model;

/// What a check reads: the piece with its site and people, the catalogue, what it lives in.
#[derive(Debug)]
pub struct Case<'a> {
    /// The piece; with it the site, the people and the use level.
    pub model: &'a Model,
    /// Species, fasteners, tools.
    pub catalogue: &'a Catalogue,
    /// What it lives in.
    pub conditions: Conditions,
    /// How people sit, worked out when first asked for.
    sittings: OnceCell<Vec<Sitting>>,
}

impl<'a> Case<'a> {
    /// A piece in the usual conditions.
    pub fn new(model: &'a Model, catalogue: &'a Catalogue) -> Self {
        Case { model, catalogue, conditions: Conditions::default(), sittings: OnceCell::new() }
    }

    /// The same in other conditions.
    #[must_use]
    pub fn under(self, conditions: Conditions) -> Self {
        Case { conditions, ..self }
    }

    /// How people sit at each place.
    fn sittings(&self) -> &[Sitting] {
        self.sittings.get_or_init(|| Sitting::all(self.model))
    }
}

/// How a check answers.
pub enum Look {
    /// With findings: what is wrong, without a figure to compare.
    Finds(fn(&Case) -> Vec<Diagnostic>),
    /// With a verdict on each thing it looks at, or on the worst of like things.
    Judges(fn(&Case) -> Vec<Verdict>),
}

/// A check.
pub struct Check {
    /// The fault it finds, in words: the code of its findings.
    pub fault: &'static str,
    /// What it looks at, in a sentence.
    pub about: &'static str,
    /// Whether it grows with load, so that it takes part in the rating.
    pub rates: bool,
    /// Looks.
    pub look: Look,
}

impl Check {
    /// Every verdict: where a check only tells what is wrong and finds nothing, that all of it holds.
    pub fn verdicts(&self, case: &Case) -> Vec<Verdict> {
        match self.look {
            Look::Judges(judge) => judge(case),
            Look::Finds(find) => {
                let found = worst_of_each_line(find(case));
                let told = |finding| Verdict::of_finding(finding, case.model);
                if found.is_empty() {
                    vec![Verdict::yes_or_no(self.fault, true, Severity::Failure).told(self.about)]
                } else {
                    found.iter().map(told).collect()
                }
            }
        }
    }
}

/// Checks of one subject.
pub struct Subject {
    /// Its name.
    pub name: &'static str,
    /// Its checks, in the order that verdicts are listed.
    pub checks: &'static [&'static Check],
}

/// The subject of [`making`].
const MAKING: &str = "making";

/// Every check, subject by subject in the order that users see.
pub const SUBJECTS: [Subject; 3] = [
    Subject { name: MAKING, checks: &making::ALL },
    Subject { name: "body", checks: &body::ALL },
    Subject { name: "fit and weather", checks: &weather::ALL },
];

/// Every verdict of every check, in the order of [`SUBJECTS`].
pub fn judge(case: &Case) -> Vec<Verdict> {
    SUBJECTS.iter().flat_map(|subject| subject.checks).flat_map(|check| check.verdicts(case)).collect()
}

/// What fails of all checks but those on making, which [`making`] tells: a failed check may not be hidden.
pub fn failures(case: &Case) -> Vec<Diagnostic> {
    let others = SUBJECTS.iter().filter(|subject| subject.name != MAKING).flat_map(|subject| subject.checks);
    let failed = others.flat_map(|check| check.verdicts(case)).filter(Verdict::fails);
    worst_of_each_line(failed.filter_map(|verdict| verdict.finding(case.model)))
}

/// All findings on making; of those that one script line brings about and that say the same of like parts, the worst, with
/// their number.
pub fn making(case: &Case) -> Vec<Diagnostic> {
    let finds = |check: &&Check| match check.look {
        Look::Finds(find) => find(case),
        Look::Judges(_) => Vec::new(),
    };
    worst_of_each_line(making::ALL.iter().flat_map(finds))
}
