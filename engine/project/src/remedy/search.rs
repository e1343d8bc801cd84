//! Changes of one parameter each, ring by ring: all those of one declared step first, then those of two.

use super::{Candidate, Change, Cost, Trial};
use crate::STACK_BYTES;
use core::cmp::Ordering;
use rayon::prelude::*;

/// Most variants that one search makes and judges: some seconds (project choice).
pub const MOST_TRIES: usize = 240;

/// A change after which nothing fails; none smaller of its parameter does.
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
    // Scripts want a deep stack; where no threads are to be had, this one does it all.
    let pool = rayon::ThreadPoolBuilder::new().stack_size(STACK_BYTES).build().ok();
    let mut found = Remedies::none(now, &candidates);
    let mut best: Option<Tried> = None;
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
        let trials: Vec<Option<Trial>> = match &pool {
            Some(pool) => pool.install(|| changes.par_iter().map(&attempt).collect()),
            None => changes.iter().map(&attempt).collect(),
        };
        let built = changes.into_iter().zip(trials).filter_map(|(change, trial)| Some((change, trial?)));
        let (mending, others): (Vec<Tried>, Vec<Tried>) = built.partition(|(_, trial)| trial.mends(now));
        for candidate in &open {
            let own = mending.iter().filter(|(change, _)| change.parameter == candidate.parameter);
            found.offered.extend(cheapest(own, &now.cost));
        }
        open.retain(|own| !found.offered.iter().any(|done| done.change.parameter == own.parameter));
        best = others.into_iter().filter(|(_, trial)| trial.helps(now)).fold(best, better);
    }
    found.finish(best)
}

/// A change, and what came of it.
type Tried = (Change, Trial);

/// The change that mends most, the earlier one of those alike.
fn better(best: Option<Tried>, other: Tried) -> Option<Tried> {
    match best {
        Some(best) if !other.1.is_less_bad(&best.1) => Some(best),
        _ => Some(other),
    }
}

/// Of changes as near, the least in material.
fn cheapest<'t>(mending: impl Iterator<Item = &'t Tried>, now: &Cost) -> Option<Remedy> {
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

    fn finish(mut self, best: Option<Tried>) -> Remedies {
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::remedy::Missed;
    use slatwork_script::Value;

    /// A piece that fails so many things by so much, of so many board feet at a unit each.
    fn trial(failing: usize, ratio: f64, board_feet: i32) -> Trial {
        let cents = Some(i64::from(board_feet) * 100);
        let cost = Cost { board_feet: f64::from(board_feet), cents, currency: String::from("units") };
        Trial {
            failing: vec![Missed { check: "slat-breaks", ratio: Some(ratio) }; failing],
            concerned: [].into(),
            unjudged: [].into(),
            cost,
        }
    }

    /// A count that is 10 now and may be from 1 to 20.
    fn counted(parameter: &str) -> Candidate {
        let ring = |steps: i64| [10 - steps, 10 + steps].into_iter().filter(|own| (1..=20).contains(own));
        let rings = (1..=10).map(|steps| ring(steps).map(Value::Count).collect()).collect();
        Candidate { parameter: parameter.to_string(), now: Value::Count(10), rings }
    }

    fn count(change: &Change) -> i64 {
        if let Value::Count(count) = change.then { count } else { 0 }
    }

    /// What came of a search as "parameter=value".
    fn offered(found: &Remedies) -> Vec<String> {
        found.offered.iter().map(|own| format!("{}={}", own.change.parameter, own.change.then)).collect()
    }

    #[test]
    fn the_smallest_change_is_found_though_larger_ones_fail_again() {
        let passes = |change: &Change| trial(usize::from(![13, 18, 2].contains(&count(change))), 1.2, 10);
        let found = search(&trial(1, 1.5, 10), vec![counted("a")], 100, |change| Some(passes(change)));
        assert_eq!((offered(&found), found.tried, found.stopped_at), (vec![String::from("a=13")], 6, None));
        assert_eq!(found.nearest, None, "one is enough");
    }

    #[test]
    fn of_changes_as_near_the_least_in_material_is_taken_and_comes_first() {
        let attempt = |change: &Change| {
            let far = if change.parameter == "a" { 3 } else { 5 };
            let feet = if count(change) < 10 { 8 } else { 9 } + i32::from(change.parameter == "a");
            Some(trial(usize::from(change.steps < far), 1.2, feet))
        };
        let found = search(&trial(1, 1.5, 10), vec![counted("a"), counted("b")], 100, attempt);
        assert_eq!(offered(&found), ["b=5", "a=7"]);
        assert_eq!((found.offered[0].board_feet, found.offered[0].cents), (-2.0, Some(-200)));
    }

    #[test]
    fn a_search_stops_at_its_count_and_tells_the_nearest() {
        let attempt =
            |change: &Change| (count(change) > 10).then(|| trial(2, 1.5 - 0.1 * change.steps as f64, 10));
        let found = search(&trial(2, 1.5, 10), vec![counted("a")], 7, attempt);
        assert_eq!((found.tried, found.stopped_at, found.offered.len()), (6, Some(3), 0));
        let nearest = found.nearest.expect("it helps");
        assert_eq!((count(&nearest.change), nearest.failing), (13, 2));
        assert!((nearest.worst.expect("a figure") - 1.2).abs() < 1e-12);
    }

    #[test]
    fn what_escapes_a_check_or_fails_another_is_no_remedy() {
        let escapes = |_: &Change| Some(Trial { unjudged: [("sways", 1)].into(), ..trial(0, 0.0, 10) });
        let found = search(&trial(2, 1.5, 10), vec![counted("a")], 100, escapes);
        assert_eq!((found.offered.len(), found.nearest), (0, None));
        let another = |_: &Change| {
            Some(Trial { failing: vec![Missed { check: "sways", ratio: Some(1.1) }], ..trial(0, 0.0, 10) })
        };
        let found = search(&trial(2, 1.5, 10), vec![counted("a")], 100, another);
        assert_eq!((found.offered.len(), found.nearest, found.tried), (0, None, 19));
    }
}
