//! How heavy people may be: the load at which the first check that grows with it fails.

use crate::{Case, Check, SUBJECTS, Standing, Verdict};
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

/// Every check that grows with load.
fn rated() -> impl Iterator<Item = &'static Check> {
    SUBJECTS.iter().flat_map(|subject| subject.checks.iter().copied()).filter(|check| check.rates)
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

/// Rates a piece: the most that people may weigh, found by trying masses until the first check fails.
///
/// # Errors
/// Why there is no rating: a hanging part without a rating, strength that cannot be judged, a fault that no lighter load mends.
pub fn rate(case: &Case) -> Result<Rating, String> {
    let usual = Tried::of(case);
    refused(&usual.verdicts)?;
    let places = case.model.seat.as_ref().map_or(0, |seat| seat.places.max(1));
    let mass = case.usual_level().mass;
    // Steps of which it is known that it holds, and that it does not.
    let (mut holds, mut fails) = (0.0, (mass * MOST / STEP).floor() + 1.0);
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
    let governs = above.and_then(Tried::worst);
    if holds == 0.0 {
        let why = governs.map_or(String::new(), |verdict| verdict.told);
        return Err(format!("it fails without people, too: {why}"));
    }
    let (left_out, estimates) = (left_out(&usual.verdicts), estimates(&usual.verdicts));
    Ok(Rating { per_place: holds * STEP, places, governs, left_out, estimates })
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

/// What no load mends, and what cannot be told.
fn refused(verdicts: &[Verdict]) -> Result<(), String> {
    let unknown = |verdict: &&Verdict| is_unjudged(verdict) && !MAY_BE_UNKNOWN.contains(&verdict.check);
    let without_figure = |verdict: &&Verdict| verdict.fails() && verdict.measure.is_none();
    let mut all = verdicts.iter();
    match all.clone().find(unknown).or_else(|| all.find(without_figure)) {
        Some(verdict) => Err(verdict.told.clone()),
        None => Ok(()),
    }
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
