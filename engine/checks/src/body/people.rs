//! Shares of people: whom a size suits, of a population or of the very people named.

use crate::{Case, Limit, Measure, Unit, Verdict, Way};
use slatwork_base::{Severity, maths};
use slatwork_catalog::{BodyMeasure, BodySize, SEXES, Sex, Source, Status};
use slatwork_model::Person;

/// Populations by the word that people give: whose data are asked first, and which sexes count, each as much.
const POPULATIONS: [(&str, &[&str], &[Sex]); 6] = [
    ("mix", &["us_army"], &[Sex::Men, Sex::Women]),
    ("men", &["us_army"], &[Sex::Men]),
    ("women", &["us_army"], &[Sex::Women]),
    ("us_civ", &["us_civilian", "us_army"], &[Sex::Men, Sex::Women]),
    ("gb", &["british"], &[Sex::Men, Sex::Women]),
    ("hk", &["hong_kong"], &[Sex::Men, Sex::Women]),
];

/// Under this share of those who can bear it a size is a failure, not a warning: half of all (project choice).
const SUITS_HARDLY_ANYBODY: f64 = 0.50;

/// Where ratios of body sizes to stature come from.
const RATIOS_OF: &str = "us_army";

/// Shares from which a size is comfortable: of those in comfort and of those who can bear it (project choice).
const COMFORTABLE: (f64, f64) = (0.60, 0.90);
/// Share of those who can bear it from which a size is tolerable (project choice).
const TOLERABLE: f64 = 0.75;

/// People with their size of one kind: one group for each sex, or for each person named. A person has no spread.
pub(super) struct Crowd {
    groups: Vec<(f64, f64)>,
    who: String,
    named: bool,
    sources: Vec<Source>,
}

impl Crowd {
    /// The people of a case.
    ///
    /// # Errors
    /// Why nothing is known of them.
    pub(super) fn of(case: &Case, measure: BodyMeasure) -> Result<Crowd, String> {
        let people = &case.model.people;
        if people.named.is_empty() { population(case, measure) } else { named(case, measure) }
    }

    /// Share of those whose size lies between the two.
    pub(super) fn share(&self, (low, high): (f64, f64)) -> f64 {
        (self.below(high) - self.below(low)).max(0.0)
    }

    fn below(&self, size: f64) -> f64 {
        let shares = self.groups.iter().map(|(mean, deviation)| {
            if *deviation > 0.0 { normal((size - mean) / deviation) } else { f64::from(*mean <= size) }
        });
        shares.sum::<f64>() / self.groups.len() as f64
    }

    /// Mean and deviation of each group.
    pub(super) fn groups(&self) -> &[(f64, f64)] {
        &self.groups
    }

    pub(super) fn who(&self) -> &str {
        &self.who
    }

    pub(super) fn sources(&self) -> &[Source] {
        &self.sources
    }

    /// How bad it is when too few can bear a size: a failure for those named, and where it suits hardly anybody.
    pub(super) fn severity(&self, share: f64) -> Severity {
        if self.named || share < SUITS_HARDLY_ANYBODY { Severity::Failure } else { Severity::Warning }
    }

    /// The share that has to bear a size: everybody of those named.
    pub(super) fn needed(&self) -> f64 {
        if self.named { 1.0 } else { TOLERABLE }
    }
}

/// Share of a normal distribution below so many deviations over its mean.
pub(super) fn normal(deviations: f64) -> f64 {
    f64::midpoint(1.0, maths::erf(deviations / core::f64::consts::SQRT_2))
}

fn population(case: &Case, measure: BodyMeasure) -> Result<Crowd, String> {
    let word = case.model.people.population.as_str();
    let (_, data, sexes) = POPULATIONS
        .into_iter()
        .find(|(name, ..)| *name == word)
        .ok_or_else(|| format!("there is no population `{word}`: there are {}", known()))?;
    let found = |sex: &Sex| data.iter().find_map(|name| case.catalogue.body_size(name, *sex, measure));
    let sizes: Vec<&BodySize> = sexes.iter().filter_map(found).collect();
    if sizes.len() < sexes.len() {
        return Err(format!("no {} of the population `{word}` is known", measure.word()));
    }
    let who = match sexes {
        [one] => one.word(),
        _ => "men and women, half and half",
    };
    Ok(Crowd {
        groups: sizes.iter().map(|size| (size.mean, size.deviation)).collect(),
        who: who.to_string(),
        named: false,
        sources: sizes.iter().map(|size| size.source.clone()).collect(),
    })
}

fn known() -> String {
    let names: Vec<&str> = POPULATIONS.iter().map(|(name, ..)| *name).collect();
    names.join(", ")
}

fn named(case: &Case, measure: BodyMeasure) -> Result<Crowd, String> {
    let size = |person: &Person| {
        let ratio = stature_ratio(case, person.woman, measure)?;
        Some((ratio * person.stature.as_mm(), 0.0))
    };
    let people = &case.model.people.named;
    let groups: Option<Vec<_>> = people.iter().map(size).collect();
    let names: Vec<&str> = people.iter().map(|person| person.label.as_str()).collect();
    Ok(Crowd {
        groups: groups.ok_or_else(|| format!("no {} to stature is known", measure.word()))?,
        who: names.join(", "),
        named: true,
        sources: vec![Source::new("mean ratios of body sizes to stature, ANSUR II", Status::Derived)],
    })
}

/// Mean size over mean stature; of both sexes alike where it is not said.
fn stature_ratio(case: &Case, woman: Option<bool>, measure: BodyMeasure) -> Option<f64> {
    let of = |sex| {
        let mean = |measure| Some(case.catalogue.body_size(RATIOS_OF, sex, measure)?.mean);
        Some(mean(measure)? / mean(BodyMeasure::Stature)?)
    };
    let own = |sex: Sex| woman.is_none_or(|woman| woman == (sex == Sex::Women));
    let ratios: Option<Vec<f64>> =
        SEXES.iter().filter(|(sex, _)| own(*sex)).map(|(sex, _)| of(*sex)).collect();
    let ratios = ratios?;
    Some(ratios.iter().sum::<f64>() / ratios.len() as f64)
}

/// A size of the seat and the body sizes that it suits.
pub(super) struct Suited {
    /// The fault that the check is named by.
    pub(super) fault: &'static str,
    /// What it is: "the seat is 425 mm high".
    pub(super) told: String,
    /// Which size of the body.
    pub(super) measure: BodyMeasure,
    /// Body sizes that are comfortable.
    pub(super) comfortable: (f64, f64),
    /// Body sizes that can bear it.
    pub(super) tolerable: (f64, f64),
    /// What it is for those smaller, and for those larger: "too high", "too low".
    pub(super) tails: (&'static str, &'static str),
}

impl Suited {
    /// How it suits the people of the case.
    pub(super) fn judged(self, case: &Case) -> Verdict {
        match Crowd::of(case, self.measure) {
            Ok(crowd) => self.graded(&crowd),
            Err(why) => Verdict::not_judged(self.fault, format!("{}, but {why}", self.told)),
        }
    }

    fn graded(self, crowd: &Crowd) -> Verdict {
        let (comfortable, tolerable) = (crowd.share(self.comfortable), crowd.share(self.tolerable));
        let grade = if comfortable >= COMFORTABLE.0 && tolerable >= COMFORTABLE.1 {
            "comfortable"
        } else if tolerable >= crowd.needed() {
            "tolerable"
        } else {
            "poor"
        };
        let tails = [
            (crowd.below(self.tolerable.0), self.tails.0),
            (1.0 - crowd.below(self.tolerable.1), self.tails.1),
        ];
        let mut told = format!(
            "{}, {grade}: comfortable for {}, bearable for {} of {}",
            self.told,
            percent(comfortable),
            percent(tolerable),
            crowd.who()
        );
        for (share, word) in
            tails.into_iter().filter(|(share, word)| *share > WORTH_TELLING && !word.is_empty())
        {
            told += &format!("; {word} for {}", percent(share));
        }
        let measure = Measure::new(
            format!("people who can bear it, by {}", self.measure.word()),
            tolerable * 100.0,
            Limit::AtLeast(crowd.needed() * 100.0),
            Unit::Percent,
        );
        let mut verdict = Verdict::measured(self.fault, measure, crowd.severity(tolerable))
            .told(told)
            .governed_by(crowd.who().to_string())
            .after("grades by share of people", Status::ProjectChoice);
        verdict.sources.extend(crowd.sources().iter().cloned());
        verdict
    }
}

/// A share that is worth a word.
const WORTH_TELLING: f64 = 0.02;

pub(super) fn percent(share: f64) -> String {
    format!("{:.0} %", share * 100.0)
}

/// An angle that has no population: within its comfortable range, within its tolerable range, or not.
pub(super) fn angle(
    fault: &'static str,
    quantity: &str,
    found: f64,
    comfortable: (f64, f64),
    tolerable: (f64, f64),
) -> Verdict {
    let within = |(low, high): (f64, f64)| (low..=high).contains(&found);
    let grade = if within(comfortable) {
        "comfortable"
    } else if within(tolerable) {
        "tolerable"
    } else {
        "poor"
    };
    let limit = Limit::Within(tolerable.0, tolerable.1);
    let told = format!(
        "the {quantity} is {found:.1} degrees, {grade}: comfortable from {} to {}, bearable from {} to {}",
        comfortable.0, comfortable.1, tolerable.0, tolerable.1
    );
    Verdict::measured(fault, Measure::new(quantity, found, limit, Unit::Angle), Severity::Warning).told(told)
}

/// What helps against a size that does not suit.
pub(super) fn shape(verdict: Verdict, text: &str) -> Verdict {
    verdict.remedy(text, [Way::Shape])
}
