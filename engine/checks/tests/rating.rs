//! How heavy people may be: by hand, and by trying every step.

#[path = "common/stool.rs"]
mod made;

use made::{stool, stool_on};
use slatwork_base::{Diagnostic, Severity};
use slatwork_catalog::Catalogue;
use slatwork_checks::{Case, SUBJECTS, Verdict, judge, rate};
use slatwork_model::{Model, UseLevel};

/// kg.
const STEP: f64 = 5.0;

/// A stool of 2x4 on legs of 10 in, which bear it when its seat is pushed.
fn low_stool(level: UseLevel) -> Model {
    stool_on(10.0, "2x4", level, |_, _| ())
}

/// Whether nothing that grows with load fails for people of a mass, of all checks.
fn holds(model: &Model, share: f64) -> bool {
    let case = Case::new(model, Catalogue::shared()).with_loads(share);
    let rates = |verdict: &Verdict| {
        SUBJECTS.iter().flat_map(|own| own.checks).any(|check| check.rates && check.fault == verdict.check)
    };
    judge(&case).iter().filter(|verdict| rates(verdict)).all(|verdict| !verdict.fails())
}

/// Every step from the lightest person up.
#[test]
fn the_rating_is_the_last_step_before_the_first_that_fails() {
    for (level, mass) in [(UseLevel::Domestic, 115.0), (UseLevel::Contract, 125.0)] {
        let model = low_stool(level);
        let rating = rate(&Case::new(&model, Catalogue::shared())).expect("it is rated");
        let first = (1..).find(|step| !holds(&model, f64::from(*step) * STEP / mass)).expect("one fails");
        assert_eq!(rating.per_place, f64::from(first - 1) * STEP, "{level:?}");
        assert_eq!((rating.places, rating.total()), (1, rating.per_place));
        assert!(rating.governs.is_some_and(|own| own.fails()) && !rating.estimates.is_empty());
    }
}

/// What breaks under the loads of its use is not rated for less: who is lighter stands and drops on it as well.
#[test]
fn what_fails_under_its_use_is_not_rated() {
    let model = stool("1x4", UseLevel::Domestic);
    let not = rate(&Case::new(&model, Catalogue::shared())).expect_err("it fails");
    assert_eq!(not.fails, Some("slat-breaks"));
    assert!(not.to_string().starts_with("slat-breaks fails: `slat "), "{not}");
}

/// What was found when the piece was finished voids a rating as the checks on making do; a warning does not.
#[test]
fn what_is_made_wrong_is_not_rated() {
    let found = |severity| {
        let mut model = low_stool(UseLevel::Domestic);
        model.findings.push(Diagnostic::new(severity, "parts-overlap", "two parts are in one place"));
        rate(&Case::new(&model, Catalogue::shared()))
    };
    assert_eq!(found(Severity::Failure).expect_err("it cannot be made").fails, Some("parts-overlap"));
    assert!(found(Severity::Warning).is_ok());
}

/// What a slat's screws pull grows with the person but for its own weight, some 6 N of 960.
#[test]
fn a_rating_grows_as_the_ratio_falls() {
    let model = low_stool(UseLevel::Domestic);
    let case = Case::new(&model, Catalogue::shared());
    let governs = rate(&case).expect("it is rated").governs.expect("something fails").check;
    let now =
        judge(&case).iter().filter(|own| own.check == governs).filter_map(Verdict::ratio).fold(0.0, f64::max);
    let by_hand = 115.0 / now;
    let rating = rate(&case).expect("it is rated").per_place;
    assert!(rating <= by_hand + 1.0 && rating > by_hand - STEP - 1.0, "{rating} and {by_hand} kg");
}
