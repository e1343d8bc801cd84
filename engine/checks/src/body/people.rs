//! Shares of people: whom a size suits, of a population or of the very people named.

use super::Style;
use crate::{Case, Limit, Measure, Unit, Verdict, Way, Working};
use slatwork_base::formula::{Equation, Expression, Function, NamedNumber, function, sum};
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

/// Where the sizes of people named come from.
const NAMED_OF: &str = "us_army";
/// What a stature tells of a body: legs. Hips, shoulders and elbows follow from it hardly at all.
const BY_STATURE: [BodyMeasure; 2] = [BodyMeasure::PoplitealHeight, BodyMeasure::ButtockPoplitealLength];

/// Shares from which a size is comfortable: of those in comfort and of those who can bear it (project choice).
const COMFORTABLE: (f64, f64) = (0.60, 0.90);
/// Share of those who can bear it from which a size is tolerable (project choice).
const TOLERABLE: f64 = 0.75;

/// People with their size of one kind: one group for each sex, or for each person named. Where the stature of a person tells
/// the size, it has no spread.
pub(super) struct Crowd {
    groups: Vec<(f64, f64)>,
    who: String,
    /// Whether the size of each is told by a stature.
    certain: bool,
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

    /// How bad it is when too few can bear a size: a failure for those whose size is told, and where it suits hardly anybody.
    pub(super) fn severity(&self, share: f64) -> Severity {
        if self.certain || share < SUITS_HARDLY_ANYBODY { Severity::Failure } else { Severity::Warning }
    }

    /// The share that has to bear a size: everybody of those whose size is told.
    pub(super) fn needed(&self) -> f64 {
        if self.certain { 1.0 } else { TOLERABLE }
    }

    /// A share in words, by `percent` or of people counted where the size of each is told.
    fn told(&self, share: f64, percent: fn(f64) -> String) -> String {
        let count = self.groups.len();
        if self.certain { format!("{:.0} of {count}", share * count as f64) } else { percent(share) }
    }
}

/// Mean and variance of groups taken together, each as much: those of each and of their means.
pub(super) fn mixture(groups: &[(f64, f64)]) -> (f64, f64) {
    let count = groups.len() as f64;
    let mean = groups.iter().map(|(mean, _)| mean).sum::<f64>() / count;
    let variance = groups.iter().map(|(own, s)| s * s + (own - mean) * (own - mean)).sum::<f64>() / count;
    (mean, variance)
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
        certain: false,
        sources: sources(&sizes),
    })
}

fn known() -> String {
    let names: Vec<&str> = POPULATIONS.iter().map(|(name, ..)| *name).collect();
    names.join(", ")
}

/// What sizes rest on, each once.
fn sources(sizes: &[&BodySize]) -> Vec<Source> {
    let mut sources: Vec<Source> = sizes.iter().map(|size| size.source.clone()).collect();
    sources.dedup();
    sources
}

/// The people named: by their stature where it tells the size, else like others of their sex.
fn named(case: &Case, measure: BodyMeasure) -> Result<Crowd, String> {
    let certain = BY_STATURE.contains(&measure);
    let people = &case.model.people.named;
    let size = |person: &Person| {
        if certain { by_stature(case, person, measure) } else { by_sex(case, person, measure) }
    };
    let groups: Option<Vec<_>> = people.iter().map(size).collect();
    let names: Vec<&str> = people.iter().map(|person| person.label.as_str()).collect();
    let names = names.join(", ");
    let ratios = Source::new("mean ratios of body sizes to stature, ANSUR II", Status::Derived);
    let sizes: Vec<&BodySize> =
        SEXES.iter().filter_map(|(sex, _)| case.catalogue.body_size(NAMED_OF, *sex, measure)).collect();
    Ok(Crowd {
        groups: groups.ok_or_else(|| format!("no {} of people named is known", measure.word()))?,
        who: if certain { names } else { format!("those of the sex of {names}") },
        certain,
        sources: if certain { vec![ratios] } else { sources(&sizes) },
    })
}

/// The sexes that a person may be of.
fn sexes(person: &Person) -> impl Iterator<Item = Sex> {
    let own = |sex: Sex| person.woman.is_none_or(|woman| woman == (sex == Sex::Women));
    SEXES.into_iter().map(|(sex, _)| sex).filter(move |sex| own(*sex))
}

/// By the mean size over mean stature; of both sexes alike where it is not said.
fn by_stature(case: &Case, person: &Person, measure: BodyMeasure) -> Option<(f64, f64)> {
    let mean = |sex, measure| Some(case.catalogue.body_size(NAMED_OF, sex, measure)?.mean);
    let ratio = |sex| Some((mean(sex, measure)? / mean(sex, BodyMeasure::Stature)?, 0.0));
    let ratios: Option<Vec<_>> = sexes(person).map(ratio).collect();
    let (ratio, _) = mixture(&ratios?);
    Some((ratio * person.stature.as_mm(), 0.0))
}

/// Mean and deviation of a sex; of both together where it is not said.
fn by_sex(case: &Case, person: &Person, measure: BodyMeasure) -> Option<(f64, f64)> {
    let size = |sex| case.catalogue.body_size(NAMED_OF, sex, measure).map(|size| (size.mean, size.deviation));
    let sizes: Option<Vec<_>> = sexes(person).map(size).collect();
    let (mean, variance) = mixture(&sizes?);
    Some((mean, maths::powf(variance, 0.5)))
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
    /// How these came about, under the signs b1 and b2; those without bound have no sign.
    pub(super) bounds: Vec<Equation>,
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
        let (comfortable, tolerable) =
            (as_printed(crowd.share(self.comfortable)), crowd.share(self.tolerable));
        let grade = if comfortable >= COMFORTABLE.0 && as_printed(tolerable) >= COMFORTABLE.1 {
            "comfortable"
        } else if tolerable >= crowd.needed() {
            "tolerable"
        } else {
            "poor"
        };
        let told = format!(
            "{}, {grade}: comfortable for {}, bearable for {}{}{}",
            self.told,
            crowd.told(comfortable, percent),
            crowd.told(tolerable, percent),
            if crowd.certain { format!(" ({})", crowd.who()) } else { format!(" of {}", crowd.who()) },
            self.tails_told(crowd)
        );
        let measure = Measure::new(
            format!("people who can bear it, by {}", self.measure.word()),
            tolerable * 100.0,
            Limit::AtLeast(crowd.needed() * 100.0),
            Unit::Percent,
        );
        let working = self.working(crowd, &measure);
        let mut verdict = Verdict::measured(self.fault, measure, crowd.severity(tolerable))
            .worked(working)
            .told(told)
            .governed_by(crowd.who().to_string())
            .after("grades by share of people", Status::ProjectChoice);
        verdict.sources.extend(crowd.sources().iter().cloned());
        verdict
    }

    /// The share of those who can bear it.
    fn working(&self, crowd: &Crowd, measure: &Measure) -> Working {
        let left = |meaning: String| NamedNumber::new("p", meaning, measure.found, Unit::Percent);
        let bound = |symbol: &str| self.bounds.iter().find(|own| own.left.symbol == symbol);
        let [low, high] = [bound("b1"), bound("b2")];
        if crowd.groups.iter().any(|(_, deviation)| *deviation <= 0.0) {
            let word = self.measure.word();
            let meaning = format!("people named whose {word} lies between these, counted");
            let both = [low, high].into_iter().flatten().cloned();
            return Working::new(Equation::measured(left(meaning))).by(both);
        }
        let count = crowd.groups.len();
        let share = |(at, (mean, deviation)): (usize, &(f64, f64))| {
            let [mean, deviation] =
                [("μ", "mean", mean), ("σ", "standard deviation", deviation)].map(|(symbol, word, value)| {
                    let group = if count > 1 { format!("{}", at + 1) } else { String::new() };
                    let meaning = format!("{word} of {}, group {} of {count}", self.measure.word(), at + 1);
                    NamedNumber::new(format!("{symbol}{group}"), meaning, *value, Unit::Length)
                });
            let below = |bound: &Equation| function(Function::Normal, (bound - &mean) / &deviation);
            match (low.map(below), high.map(below)) {
                (Some(low), Some(high)) => high - low,
                (None, Some(high)) => high,
                (Some(low), None) => Expression::from(1.0) - low,
                (None, None) => 1.0.into(),
            }
        };
        let whole = sum(crowd.groups.iter().enumerate().map(share));
        let whole = if count > 1 { whole / count as f64 } else { whole };
        let by = Expression::Number(100.0, Unit::Percent) * whole;
        let meaning = format!("people who can bear it, by a normal distribution of {}", self.measure.word());
        Working::new(Equation::of(left(meaning), by)).by([low, high].into_iter().flatten().cloned())
    }

    /// "; too high for 4 %".
    fn tails_told(&self, crowd: &Crowd) -> String {
        let tails = [
            (crowd.below(self.tolerable.0), self.tails.0),
            (1.0 - crowd.below(self.tolerable.1), self.tails.1),
        ];
        let worth = tails.into_iter().filter(|(share, word)| *share > WORTH_TELLING && !word.is_empty());
        let about = |share: f64| format!("{:.0} %", share * 100.0);
        worth.map(|(share, word)| format!("; {word} for {}", crowd.told(share, about))).collect()
    }
}

/// A bound of body sizes: a size of the seat over a ratio, less what is worn.
pub(super) fn size_bound(
    symbol: &'static str,
    (size, ratio): (&NamedNumber, f64),
    worn: Option<&NamedNumber>,
    value: f64,
) -> Option<Equation> {
    let which = if symbol == "b1" { "least" } else { "greatest" };
    let left = NamedNumber::new(symbol, format!("{which} body size that can bear it"), value, Unit::Length);
    let by = size / ratio;
    value.is_finite().then(|| Equation::of(left, worn.map_or(by.clone(), |worn| by - worn)))
}

/// A share that is worth a word.
const WORTH_TELLING: f64 = 0.02;

/// A share in whole percent, as it is printed and graded: rounded down, so that it never looks like more than it is.
pub(super) fn as_printed(share: f64) -> f64 {
    (share * 100.0 + ROUNDING).floor() / 100.0
}

/// Sums of shares differ by less, percent.
const ROUNDING: f64 = 1e-6;

/// Whole percent.
pub(super) fn percent(share: f64) -> String {
    format!("{:.0} %", as_printed(share) * 100.0)
}

/// What of an angle is comfortable and tolerable by what a seat is made for, degrees.
#[derive(Clone, Copy)]
pub(super) struct Ranges {
    pub(super) upright: [(f64, f64); 2],
    pub(super) lounge: [(f64, f64); 2],
    pub(super) swing: [(f64, f64); 2],
}

impl Style {
    /// An angle that has no population: within its comfortable range, within its tolerable range, or not.
    pub(super) fn angle(self, fault: &'static str, quantity: &str, found: f64, ranges: Ranges) -> Verdict {
        let (range, page) = match self {
            Style::Upright => (ranges.upright, "angles of benches, quoted on pages"),
            Style::Lounge => (ranges.lounge, "angles of easy chairs, quoted on pages"),
            Style::Swing => {
                return angle(fault, quantity, found, ranges.swing)
                    .after("range of a swing", Status::ProjectChoice);
            }
        };
        angle(fault, quantity, found, range)
            .after(page, Status::Read)
            .after("widened ranges", Status::ProjectChoice)
    }
}

fn angle(fault: &'static str, quantity: &str, found: f64, ranges: [(f64, f64); 2]) -> Verdict {
    let [comfortable, tolerable] = ranges;
    // Nobody feels, saws or reads a hundredth of a degree.
    let found = (found * 100.0).round() / 100.0;
    let grade = |angle: f64| {
        let within = |(low, high): (f64, f64)| (low..=high).contains(&angle);
        match (within(comfortable), within(tolerable)) {
            (true, _) => "comfortable",
            (false, true) => "tolerable",
            (false, false) => "poor",
        }
    };
    // A tenth of a degree is enough, unless it would show the angle on the other side of a bound.
    let short = format!("{found:.1}");
    let is_true = short.parse().is_ok_and(|angle| grade(angle) == grade(found));
    let shown = if is_true { short } else { format!("{found:.2}") };
    let limit = Limit::Within(tolerable.0, tolerable.1);
    let told = format!(
        "the {quantity} is {shown} degrees, {}: comfortable from {} to {}, bearable from {} to {}",
        grade(found),
        comfortable.0,
        comfortable.1,
        tolerable.0,
        tolerable.1
    );
    let meaning = format!("{quantity}, measured on the piece, as it hangs where it does, to a hundredth");
    Verdict::measured(fault, Measure::new(quantity, found, limit, Unit::Angle), Severity::Warning)
        .measured_as("φ", meaning)
        .told(told)
}

/// What helps against a size that does not suit.
pub(super) fn shape(verdict: Verdict, text: &str) -> Verdict {
    verdict.remedy(text, [Way::Shape])
}
