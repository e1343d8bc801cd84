//! Changes of one parameter each, ring by ring: all those of one declared step first, then those of two.

use super::{Candidate, Change, Cost, Trial};
use core::cmp::Ordering;
use rayon::prelude::*;

/// Most variants that one search makes and judges: some seconds (project choice).
pub const MOST_TRIES: usize = 240;

/// A change after which everything passes; none smaller of its parameter does.
#[derive(Clone, Debug, PartialEq)]
pub struct Remedy {
    /// What to set.
    pub change: Change,
    /// Board feet more than now; less where below nothing.
    pub board_feet: f64,
    /// Cents more to pay for the boards to buy, where every price is known.
    pub cents: Option<i64>,
}

/// A change that helps and is not enough.
#[derive(Clone, Debug, PartialEq)]
pub struct Nearest {
    /// What to set.
    pub change: Change,
    /// How many things fail then.
    pub failing: usize,
    /// The worst ratio then; none where something has no figure.
    pub worst: Option<f64>,
}

/// What a search found.
#[derive(Clone, Debug, PartialEq)]
pub struct Remedies {
    /// Parameters that bear on what fails, in the order of declaration.
    pub turned: Vec<String>,
    /// At most one for each parameter, the least in material first.
    pub offered: Vec<Remedy>,
    /// Where no single change is enough, the one after which fewest things fail, of those alike the one with the lowest
    /// worst ratio, of those the smallest.
    pub nearest: Option<Nearest>,
    /// How many things fail now.
    pub failing: usize,
    /// The worst ratio now; none where something has no figure.
    pub worst: Option<f64>,
    /// What prices are in.
    pub currency: String,
    /// Variants that were tried.
    pub tried: usize,
    /// Where the count of tries ended the search: every change up to so many steps was tried, and none beyond.
    pub stopped_at: Option<usize>,
}

/// Tries changes of the candidates, nearest first, at most so many. A parameter is done with once a change of it mends all;
/// of several as near, the least in material is taken. The answer does not hang on how many threads there are.
pub fn search(
    now: &Trial,
    candidates: Vec<Candidate>,
    most: usize,
    attempt: impl Fn(&Change) -> Option<Trial> + Sync,
) -> Remedies {
    let mut found = Remedies::none(now, &candidates);
    let mut best: Option<(Change, Trial)> = None;
    let mut open = candidates;
    for steps in 1.. {
        let changes: Vec<Change> = open.iter().flat_map(|candidate| candidate.changes(steps)).collect();
        if changes.is_empty() {
            break;
        }
        if found.tried + changes.len() > most {
            found.stopped_at = Some(steps - 1);
            break;
        }
        found.tried += changes.len();
        let trials: Vec<Option<Trial>> = changes.par_iter().map(&attempt).collect();
        let built: Vec<(Change, Trial)> = changes
            .into_iter()
            .zip(trials)
            .filter_map(|(change, trial)| Some((change, trial?)))
            .collect();
        for candidate in &open {
            let mending = |(change, trial): &&(Change, Trial)| {
                change.parameter == candidate.parameter && trial.mends(now)
            };
            found.offered.extend(cheapest(built.iter().filter(mending), &now.cost));
        }
        open.retain(|own| !found.offered.iter().any(|done| done.change.parameter == own.parameter));
        best = built.into_iter().filter(|(_, trial)| trial.helps(now)).fold(best, better);
    }
    found.finish(best)
}

/// The change that mends most, the earlier one of those alike.
fn better(best: Option<(Change, Trial)>, other: (Change, Trial)) -> Option<(Change, Trial)> {
    match best {
        Some(best) if !other.1.is_less_bad(&best.1) => Some(best),
        _ => Some(other),
    }
}

/// Of changes as near, the least in material.
fn cheapest<'t>(mending: impl Iterator<Item = &'t (Change, Trial)>, now: &Cost) -> Option<Remedy> {
    let mut remedies: Vec<Remedy> =
        mending.map(|(change, trial)| Remedy::of(change.clone(), &trial.cost, now)).collect();
    by_material(&mut remedies);
    remedies.into_iter().next()
}

/// By price where all prices are known, else by board feet; then by steps.
fn by_material(remedies: &mut [Remedy]) {
    let priced = remedies.iter().all(|own| own.cents.is_some());
    let material = |one: &Remedy, other: &Remedy| {
        let price = if priced { one.cents.cmp(&other.cents) } else { Ordering::Equal };
        price.then(one.board_feet.total_cmp(&other.board_feet))
    };
    remedies.sort_by(|one, other| material(one, other).then(one.change.steps.cmp(&other.change.steps)));
}

impl Remedy {
    fn of(change: Change, then: &Cost, now: &Cost) -> Remedy {
        let cents = then.cents.zip(now.cents).map(|(then, now)| then - now);
        Remedy { change, board_feet: then.board_feet - now.board_feet, cents }
    }
}

impl Remedies {
    fn none(now: &Trial, candidates: &[Candidate]) -> Remedies {
        let (failing, worst) = now.badness();
        Remedies {
            turned: candidates.iter().map(|own| own.parameter.clone()).collect(),
            offered: Vec::new(),
            nearest: None,
            failing,
            worst: figure(worst),
            currency: now.cost.currency.clone(),
            tried: 0,
            stopped_at: None,
        }
    }

    fn finish(mut self, best: Option<(Change, Trial)>) -> Remedies {
        by_material(&mut self.offered);
        self.nearest = best.filter(|_| self.offered.is_empty()).map(|(change, trial)| {
            let (failing, worst) = trial.badness();
            Nearest { change, failing, worst: figure(worst) }
        });
        self
    }
}

fn figure(worst: f64) -> Option<f64> {
    worst.is_finite().then_some(worst)
}
