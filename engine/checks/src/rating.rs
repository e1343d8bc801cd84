//! How heavy people may be: the load at which the first check that grows with it fails.

use crate::{Case, Check, MAKING, SUBJECTS, Standing, Verdict};
use core::fmt::{self, Display, Formatter};
use slatwork_catalog::Source;

/// Ratings are whole steps of so many kg a place, rounded down (project choice).
const STEP: f64 = 5.0;

/// Nothing is rated for more than so many times the mass of its use level: who is as heavy does not sit on furniture (project
/// choice).
const MOST: f64 = 3.0;

/// What a piece is rated for.
#[derive(Clone, Debug, PartialEq)]
pub struct Rating {
    /// kg a place, a whole number of steps of 5 kg.
    pub per_place: f64,
    /// Places for people.
    pub places: usize,
    /// What fails one step above; `None` where nothing does up to the most that is looked at.
    pub governs: Option<Verdict>,
    /// What could not be judged and takes no part in it, in words.
    pub left_out: Vec<String>,
    /// Estimates that it rests on: figures from memory, common practice, choices of this project. With any of them it is
    /// calculated and untested, and no label may be made of it.
    pub estimates: Vec<Source>,
}

impl Rating {
    /// kg, all places together.
    pub fn total(&self) -> f64 {
        self.per_place * self.places as f64
    }
}

/// Why a piece is not rated.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NotRated {
    /// The check that fails, where one does.
    pub fails: Option<&'static str>,
    /// Why, in words.
    pub why: String,
}

/// "swing-tilts fails: ..".
impl Display for NotRated {
    fn fmt(&self, out: &mut Formatter) -> fmt::Result {
        match self.fails {
            Some(check) => write!(out, "{check} fails: {}", self.why),
            None => out.write_str(&self.why),
        }
    }
}

impl From<&Verdict> for NotRated {
    fn from(verdict: &Verdict) -> NotRated {
        NotRated { fails: verdict.fails().then_some(verdict.check), why: verdict.told.clone() }
    }
}

/// Every check that grows with load.
fn rated() -> impl Iterator<Item = &'static Check> {
    SUBJECTS.iter().flat_map(|subject| subject.checks.iter().copied()).filter(|check| check.rates)
}

/// Subjects of which every failure is one of safety: what is made, stands or hangs wrong carries nobody, however light. Whom a seat
/// fits and what weather does to it takes no part in a rating.
const OF_SAFETY: [&str; 3] = [MAKING, "balance", "hanging"];

/// What fails of the checks of safety that do not grow with load, and of what making the piece found.
fn unsafe_as_it_is(case: &Case) -> Vec<Verdict> {
    let subjects = SUBJECTS.iter().filter(|subject| OF_SAFETY.contains(&subject.name));
    let checks = subjects.flat_map(|subject| subject.checks).filter(|check| !check.rates);
    let found = case.model.findings.iter().map(|finding| Verdict::of_finding(finding, case.model));
    checks.flat_map(|check| check.verdicts(case)).chain(found).filter(Verdict::fails).collect()
}

/// The piece with people of another mass on it.
struct Tried {
    verdicts: Vec<Verdict>,
}

impl Tried {
    /// All loads of the use level in proportion to the mass of a person.
    fn at(case: &Case, mass: f64) -> Tried {
        Tried::of(&case.with_loads(mass / case.usual_level().mass))
    }

    fn of(case: &Case) -> Tried {
        Tried { verdicts: rated().flat_map(|check| check.verdicts(case)).collect() }
    }

    /// The highest of the ratios, never nothing.
    fn highest(&self) -> f64 {
        self.verdicts.iter().filter_map(Verdict::ratio).fold(f64::MIN_POSITIVE, f64::max)
    }

    fn fails(&self) -> bool {
        self.verdicts.iter().any(Verdict::fails)
    }

    /// The worst of what fails.
    fn worst(self) -> Option<Verdict> {
        crate::verdict::worst(self.verdicts.into_iter().filter(Verdict::fails))
    }
}

/// Rates a piece: the most that people may weigh, found by trying masses until the first check fails. Who is named sits nowhere
/// in it.
///
/// # Errors
/// Why there is no rating: something that concerns safety fails under the loads of its use, a hanging part without a rating,
/// strength that cannot be judged.
pub fn rate(case: &Case) -> Result<Rating, NotRated> {
    case.rating().clone()
}

pub(crate) fn worked_out(case: &Case) -> Result<Rating, NotRated> {
    // Masses are tried, so that nobody who is named may count for more.
    let alone = (case.heaviest_named() > case.usual_level().mass).then(|| case.by_level_alone());
    let case = alone.as_ref().unwrap_or(case);
    let usual = Tried::of(case);
    refused(case, &usual.verdicts)?;
    let places = case.model.seat.as_ref().map_or(0, |seat| seat.places.max(1));
    let mass = case.usual_level().mass;
    // Steps of which it is known that it holds, as it does under its usual loads, and that it does not.
    let (mut holds, mut fails) = ((mass / STEP).floor(), (mass * MOST / STEP).floor() + 1.0);
    let mut guess = mass / STEP / usual.highest();
    let mut above = None;
    while fails - holds > 1.0 {
        // Most loads grow in proportion: the first guess is mostly right, or next to it.
        let step = guess.floor().clamp(holds + 1.0, fails - 1.0);
        let tried = Tried::at(case, step * STEP);
        guess = step / tried.highest();
        if tried.fails() {
            (fails, above) = (step, Some(tried));
        } else {
            holds = step;
        }
    }
    let (left_out, estimates) = (left_out(&usual.verdicts), estimates(&usual.verdicts));
    Ok(Rating { per_place: holds * STEP, places, governs: above.and_then(Tried::worst), left_out, estimates })
}

/// Checks that say nothing of how much a piece bears when they cannot judge it.
const MAY_BE_UNKNOWN: [&str; 1] = ["frame-sways"];

fn is_unjudged(verdict: &&Verdict) -> bool {
    matches!(verdict.standing, Standing::NotJudged(_))
}

/// What is not judged without standing in the way.
fn left_out(verdicts: &[Verdict]) -> Vec<String> {
    verdicts
        .iter()
        .filter(is_unjudged)
        .map(|verdict| format!("{}: {}", verdict.check, verdict.told))
        .collect()
}

/// What fails of all that concerns safety, the worst of it; and what cannot be told.
fn refused(case: &Case, verdicts: &[Verdict]) -> Result<(), NotRated> {
    let failing = verdicts.iter().filter(|verdict| verdict.fails()).cloned().chain(unsafe_as_it_is(case));
    if let Some(worst) = crate::verdict::worst(failing) {
        return Err(NotRated::from(&worst));
    }
    let unknown = |verdict: &&Verdict| is_unjudged(verdict) && !MAY_BE_UNKNOWN.contains(&verdict.check);
    verdicts.iter().find(unknown).map_or(Ok(()), |verdict| Err(NotRated::from(verdict)))
}

/// What is not firm of the sources, each once.
fn estimates(verdicts: &[Verdict]) -> Vec<Source> {
    let mut found: Vec<Source> = Vec::new();
    for source in verdicts.iter().flat_map(|verdict| &verdict.sources) {
        if !source.status.is_firm() && !found.contains(source) {
            found.push(source.clone());
        }
    }
    found
}
