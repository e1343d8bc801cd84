//! Checks on a finished piece: one file each, named by the fault it finds.
//!
//! This room must not know scripts, documents or money. A check reads the [`Model`], the catalogue and the [`Conditions`] the
//! piece lives in, and answers with verdicts: how each thing stands, by how much, on what grounds and what would help. It never
//! passes in silence what it cannot judge.
//!
//! | file or folder | what |
//! |---|---|
//! | `applies.rs` | why a check has nothing to look at |
//! | `headings.rs` | [`Headings`]: what each check says of itself, as its file says it |
//! | `verdict.rs` | [`Verdict`]: what a check finds of one thing |
//! | `conditions.rs` | [`Conditions`]: climate, exposure, glue |
//! | `cautions.rs` | [`Caution`]: what must be accepted before certain figures are told |
//! | `gaps.rs` | gaps between neighbours of a run |
//! | `held.rs` | which parts joints hold together |
//! | `beside.rs` | how far wood reaches beside what goes through it |
//! | `rating.rs` | [`Rating`]: how heavy people may be |
//! | `body/` | whether people sit well: heights, depth, width, angles, shares of a population |
//! | `weather/` | whether it fits wet and dry, lasts outdoors, and traps or hurts nobody |
//! | `hanging/` | whether what hangs holds, hangs well and has its room |
//! | `making/` | whether joints can be made and found in reality: fasteners, holes, tools |
//! | `framing/` | the piece as a frame, under the load cases of its use |
//! | `wood/` | whether boards carry what people do to them |
//! | `fixing/` | whether joints do |
//! | `balance/` | whether the whole stays on its feet |
//! | `statics/` | inner room of pure solvers: knows `base` and `solid`, no furniture |

mod applies;
mod balance;
mod beside;
mod body;
mod cautions;
mod conditions;
mod fixing;
pub mod framing;
mod gaps;
mod hanging;
mod headings;
mod held;
mod making;
mod rating;
pub mod statics;
mod verdict;
mod weather;
mod wood;

pub use cautions::{CAUTIONS, Caution, OF_WHAT_HANGS, WHY_WITHHELD};
pub use conditions::{AIR_FORMAT, CLIMATES, Climate, Conditions, Exposure, GlueClass, Preservative};
pub use hanging::{Handed, HookPull, Seated, SeatedChain, SeatedPosture, handed_over, seatings};
pub use headings::{Headings, headings};
pub use rating::{NotRated, Rating, rate};
pub use verdict::{Limit, Measure, Remedy, Standing, Verdict, Way, Working};

use body::Sitting;
use core::cell::OnceCell;
use framing::{Analysis, Kept, Level, Unanalysed, analyse};
use hanging::Hung;
use slatwork_base::formula::Unit;
use slatwork_base::{Diagnostic, Severity, worst_of_each_line};
use slatwork_catalog::{Catalogue, Status};
use slatwork_model::Model;
use std::collections::BTreeSet;
use std::rc::Rc;

/// What a check reads: the piece with its site and people, the catalogue, what it lives in.
#[derive(Debug)]
pub struct Case<'a> {
    /// The piece; with it the site, the people and the use level.
    pub model: &'a Model,
    /// Species, fasteners, tools.
    pub catalogue: &'a Catalogue,
    /// What it lives in.
    pub conditions: Conditions,
    /// Cautions that somebody has accepted.
    pub accepted: BTreeSet<Caution>,
    /// Loads of people as a share of those of the use level.
    loads: f64,
    /// Whether the use level alone says how heavy people are, and nobody who is named.
    by_level_alone: bool,
    /// Whether the frame is solved on several threads.
    on_threads: bool,
    /// How people sit, worked out when first asked for.
    sittings: OnceCell<Vec<Option<Sitting>>>,
    /// What of it does not depend on loads.
    kept: Rc<Kept>,
    /// The piece under load, worked out when first asked for.
    analysis: OnceCell<Result<Analysis<'a>, Unanalysed>>,
    /// What becomes of its fasteners, worked out when first asked for.
    fasteners: OnceCell<fixing::Looked>,
    /// How it hangs, worked out when first asked for.
    hung: OnceCell<Option<Result<Hung, String>>>,
    /// What it is rated for, worked out when first asked for.
    rating: OnceCell<Result<Rating, NotRated>>,
}

impl<'a> Case<'a> {
    /// A piece in the usual conditions, in the air of its site.
    pub fn new(model: &'a Model, catalogue: &'a Catalogue) -> Self {
        Case {
            model,
            catalogue,
            conditions: Conditions::default().at(&model.site),
            accepted: BTreeSet::new(),
            loads: 1.0,
            by_level_alone: false,
            on_threads: false,
            sittings: OnceCell::new(),
            kept: Rc::default(),
            analysis: OnceCell::new(),
            fasteners: OnceCell::new(),
            hung: OnceCell::new(),
            rating: OnceCell::new(),
        }
    }

    /// The same in other conditions; what its site says of the air goes before them.
    #[must_use]
    pub fn under(self, conditions: Conditions) -> Self {
        Case {
            conditions: conditions.at(&self.model.site),
            kept: Rc::default(),
            analysis: OnceCell::new(),
            fasteners: OnceCell::new(),
            hung: OnceCell::new(),
            rating: OnceCell::new(),
            ..self
        }
    }

    /// The same with heavier or lighter people, all loads of the use level times a share.
    #[must_use]
    pub fn with_loads(&self, loads: f64) -> Case<'a> {
        Case {
            accepted: self.accepted.clone(),
            loads,
            by_level_alone: self.by_level_alone,
            on_threads: self.on_threads,
            sittings: self.sittings.clone(),
            kept: Rc::clone(&self.kept),
            ..Case::new(self.model, self.catalogue).under(self.conditions)
        }
    }

    /// The same, its frame solved on a thread for each stiffness of its joints: sooner where nothing else is to be done, and
    /// the same figures.
    #[must_use]
    pub fn on_threads(self) -> Self {
        Case { on_threads: true, ..self }
    }

    /// The same with people as heavy as the use level says, whoever is named.
    fn by_level_alone(&self) -> Case<'a> {
        Case { by_level_alone: true, ..self.with_loads(self.loads) }
    }

    /// Mass of the heaviest person named, kg; nothing where nobody counts.
    fn heaviest_named(&self) -> f64 {
        let named = self.model.people.named.iter().filter(|_| !self.by_level_alone);
        named.map(|person| person.mass).fold(0.0, f64::max)
    }

    /// Loads of the use level.
    fn usual_level(&self) -> Level {
        Level::of(self.model.people.use_level)
    }

    /// Loads that people bring.
    fn level(&self) -> Level {
        self.usual_level().times(self.loads)
    }

    /// The piece under every load case, or why that cannot be told.
    fn analysis(&self) -> Result<&Analysis<'a>, &str> {
        self.analysed().as_ref().map_err(Unanalysed::why)
    }

    fn analysed(&self) -> &Result<Analysis<'a>, Unanalysed> {
        self.analysis.get_or_init(|| analyse(self))
    }

    /// What becomes of the fasteners of all joints, or why that cannot be told.
    fn fasteners(&self) -> Result<&fixing::Looked, &str> {
        let analysis = self.analysis()?;
        Ok(self.fasteners.get_or_init(|| fixing::looked(self, analysis)))
    }

    /// The same where somebody has accepted cautions.
    #[must_use]
    pub fn accepting(self, accepted: impl IntoIterator<Item = Caution>) -> Self {
        Case { accepted: accepted.into_iter().collect(), ..self }
    }

    /// How it hangs; nothing where it stands. Where that is not known, why.
    fn hung(&self) -> Option<&Result<Hung, String>> {
        self.hung.get_or_init(|| Hung::of(self)).as_ref()
    }

    /// What it is rated for, or why it is not.
    fn rating(&self) -> &Result<Rating, NotRated> {
        self.rating.get_or_init(|| rating::worked_out(self))
    }

    /// How people sit at each place, from left to right; nothing where no seat is felt.
    fn sittings(&self) -> &[Option<Sitting>] {
        self.sittings.get_or_init(|| Sitting::all(self.model))
    }
}

/// How a check answers.
pub enum Look {
    /// With findings: what is wrong, without a figure to compare; and what its rules rest on.
    Finds(fn(&Case) -> Vec<Diagnostic>, &'static [(&'static str, Status)]),
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
    /// Every verdict, never none: where a check only tells what is wrong and finds nothing, that all of it holds; where there is
    /// nothing to look at, that it does not apply.
    pub fn verdicts(&self, case: &Case) -> Vec<Verdict> {
        match self.look {
            Look::Judges(judge) => {
                let verdicts = judge(case);
                if verdicts.is_empty() { vec![applies::nothing(case, self.fault)] } else { verdicts }
            }
            Look::Finds(find, sources) => {
                let found = worst_of_each_line(find(case));
                let holds = || Verdict::yes_or_no(self.fault, true, Severity::Failure).told(self.about);
                let told = found.iter().map(|finding| Verdict::of_finding(finding, case.model));
                let verdicts = if found.is_empty() { vec![holds()] } else { told.collect() };
                let rest = |verdict| {
                    sources.iter().fold(verdict, |own: Verdict, (text, status)| own.after(*text, *status))
                };
                verdicts.into_iter().map(rest).collect()
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
pub const MAKING: &str = "making";

/// Every check, subject by subject in the order that users see.
pub const SUBJECTS: [Subject; 7] = [
    Subject { name: MAKING, checks: &making::ALL },
    Subject { name: "wood", checks: &wood::ALL },
    Subject { name: "fixing", checks: &fixing::ALL },
    Subject { name: "balance", checks: &balance::ALL },
    Subject { name: "hanging", checks: &hanging::ALL },
    Subject { name: "body", checks: &body::ALL },
    Subject { name: "fit and weather", checks: &weather::ALL },
];

/// Every verdict of every check, in the order of [`SUBJECTS`].
pub fn judge(case: &Case) -> Vec<Verdict> {
    SUBJECTS.iter().flat_map(|subject| subject.checks).flat_map(|check| check.verdicts(case)).collect()
}

/// Checks but those on making.
fn others() -> impl Iterator<Item = &'static Check> {
    let subjects = SUBJECTS.iter().filter(|subject| subject.name != MAKING);
    subjects.flat_map(|subject| subject.checks.iter().copied())
}

/// What fails of all checks but those on making, which [`making`] tells.
pub fn failures(case: &Case) -> Vec<Diagnostic> {
    let verdicts: Vec<Verdict> = others().flat_map(|check| check.verdicts(case)).collect();
    failures_among(&verdicts, case.model)
}

/// The same of verdicts that are known already.
pub fn failures_among(verdicts: &[Verdict], model: &Model) -> Vec<Diagnostic> {
    let of_others = |verdict: &&Verdict| others().any(|check| check.fault == verdict.check);
    let failed = verdicts.iter().filter(|verdict| verdict.fails()).filter(of_others);
    worst_of_each_line(failed.filter_map(|verdict| verdict.finding(model)))
}

/// All findings on making; of those that one script line brings about and that say the same of like parts, the worst, with
/// their number.
pub fn making(case: &Case) -> Vec<Diagnostic> {
    let finds = |check: &&Check| -> Vec<Diagnostic> {
        match check.look {
            Look::Finds(find, _) => find(case),
            Look::Judges(judge) => {
                judge(case).iter().filter_map(|verdict| verdict.finding(case.model)).collect()
            }
        }
    };
    worst_of_each_line(making::ALL.iter().flat_map(finds))
}
