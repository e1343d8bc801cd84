//! What a check finds of one thing: how it stands, by how much, on what grounds, and what would help.

use crate::Case;
use crate::framing::{About, Situation};
use slatwork_base::formula::{Equation, NamedNumber, Unit};
use slatwork_base::{Diagnostic, Origin, Place, Severity};
use slatwork_catalog::{Source, Status};
use slatwork_model::{Model, Part, PartId};
use std::borrow::Cow;
use std::collections::BTreeSet;

/// How the thing stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Standing {
    /// As it should be.
    Holds,
    /// It is not: a failure, or a warning where a builder may know better.
    Misses(Severity),
    /// It cannot be told, and why.
    NotJudged(String),
    /// There is nothing of the kind in the piece, and what is missing.
    DoesNotApply(String),
}

impl Standing {
    /// The word in lists.
    pub fn word(&self) -> &'static str {
        match self {
            Standing::Holds => "holds",
            Standing::Misses(severity) => severity.word(),
            Standing::NotJudged(_) => "not judged",
            Standing::DoesNotApply(_) => "does not apply",
        }
    }
}

/// What a figure is held to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Limit {
    /// Not more than this: a stress, a deflection.
    AtMost(f64),
    /// Not less than this: a margin, a share of people.
    AtLeast(f64),
    /// Between these two.
    Within(f64, f64),
}

/// A figure and its limit.
#[derive(Clone, Debug, PartialEq)]
pub struct Measure {
    /// What it is, in words ("shear stress").
    pub quantity: String,
    /// What was found.
    pub found: f64,
    /// What it is held to.
    pub limit: Limit,
    /// What both are counted in.
    pub unit: Unit,
}

impl Measure {
    /// A figure held to a limit.
    pub fn new(quantity: impl Into<String>, found: f64, limit: Limit, unit: Unit) -> Self {
        Measure { quantity: quantity.into(), found, limit, unit }
    }

    /// What is asked: the figure itself, the least that is needed, or how far it is from the middle of its range.
    pub fn demand(&self) -> f64 {
        match self.limit {
            Limit::AtMost(_) => self.found,
            Limit::AtLeast(needed) => needed,
            Limit::Within(low, high) => (self.found - f64::midpoint(low, high)).abs(),
        }
    }

    /// What there is to meet it: the limit, the figure itself, or half the range.
    pub fn capacity(&self) -> f64 {
        match self.limit {
            Limit::AtMost(most) => most,
            Limit::AtLeast(_) => self.found,
            Limit::Within(low, high) => (high - low) / 2.0,
        }
    }

    /// Demand over capacity: at most 1 where it holds.
    pub fn ratio(&self) -> f64 {
        let (demand, capacity) = (self.demand(), self.capacity());
        if demand <= 0.0 {
            0.0
        } else if capacity <= 0.0 {
            f64::INFINITY
        } else {
            demand / capacity
        }
    }

    /// Whether it holds. What is no number does not.
    pub fn holds(&self) -> bool {
        self.found.is_finite() && self.ratio() <= 1.0 + ROUNDING
    }
}

/// How a figure and its limit came about: each equation works out from its own numbers, and those of later ones from earlier ones.
#[derive(Clone, Debug, PartialEq)]
pub struct Working {
    /// What is reckoned on the way.
    pub steps: Vec<Equation>,
    /// The figure of the verdict, [`Measure::found`].
    pub figure: Equation,
    /// Its limit, where that is reckoned and no constant.
    pub limit: Option<Equation>,
}

impl Working {
    /// Of a figure by itself.
    pub fn new(figure: Equation) -> Self {
        Working { steps: Vec::new(), figure, limit: None }
    }

    /// Of a figure that is measured, or the outcome of what no formula tells: the meaning says which.
    pub fn measured(symbol: &'static str, meaning: impl Into<Cow<'static, str>>, measure: &Measure) -> Self {
        Working::new(Equation::measured(NamedNumber::new(symbol, meaning, measure.found, measure.unit)))
    }

    /// With what is reckoned on the way.
    #[must_use]
    pub fn by(mut self, steps: impl IntoIterator<Item = Equation>) -> Self {
        self.steps.extend(steps);
        self
    }

    /// With how the limit came about.
    #[must_use]
    pub fn held_to(mut self, limit: Equation) -> Self {
        self.limit = Some(limit);
        self
    }

    /// Without the steps that nothing after them is reckoned from.
    #[must_use]
    pub(crate) fn pruned(mut self) -> Self {
        let mut wanted: BTreeSet<String> = BTreeSet::new();
        let want = |equation: &Equation, wanted: &mut BTreeSet<String>| {
            let numbers = equation.right.iter().flat_map(|right| right.numbers());
            wanted.extend(numbers.map(|number| number.symbol.to_string()));
        };
        core::iter::once(&self.figure).chain(&self.limit).for_each(|own| want(own, &mut wanted));
        let mut kept = Vec::new();
        for step in core::mem::take(&mut self.steps).into_iter().rev() {
            if wanted.contains(&*step.left.symbol) {
                want(&step, &mut wanted);
                kept.push(step);
            }
        }
        kept.reverse();
        Working { steps: kept, ..self }
    }

    /// Every equation in the order in which they are reckoned, the figure and its limit last.
    pub fn equations(&self) -> impl Iterator<Item = &Equation> {
        self.steps.iter().chain([&self.figure]).chain(&self.limit)
    }
}

/// Checks whose limit no duration of load raises: where the wood is pressed across its grain, and balance (NDS-2018 2.3.2, from
/// memory).
const WITHOUT_DURATION: [&str; 4] = ["wood-crushed", "foot-crushed", "gives-way", "feet-slide"];

/// Two sums of the same figures in another order differ by less.
const ROUNDING: f64 = 1e-9;

/// What a check can suggest to change of the parts that govern it. A search for remedies turns the parameters that govern
/// those parts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Way {
    /// A thicker or wider section.
    Section,
    /// One more bearer, or bearers nearer together.
    Bearers,
    /// A shorter span.
    Span,
    /// One more fastener.
    Fasteners,
    /// A thicker or longer fastener.
    Gauge,
    /// Fasteners of another metal.
    Metal,
    /// Another species or grade.
    Wood,
    /// Other hardware.
    Hardware,
    /// Another gap between parts.
    Gap,
    /// Another height, depth, width or angle of the seat.
    Shape,
    /// Edges rounded more.
    Edges,
    /// Another place of eyes, hooks, feet or joints.
    Place,
    /// A glue of another class, a finish, a drain: something the script or the user says.
    Treatment,
}

/// What would help.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Remedy {
    /// For a person.
    pub text: String,
    /// Parts that govern.
    pub parts: Vec<PartId>,
    /// What of them to change, the most promising first.
    pub ways: Vec<Way>,
}

/// What one check finds of one thing.
#[derive(Clone, Debug, PartialEq)]
pub struct Verdict {
    /// The check: the fault it looks for, in words.
    pub check: &'static str,
    /// The parts it is about; empty for the whole piece.
    pub parts: Vec<PartId>,
    /// The script line that brings it about.
    pub origin: Origin,
    /// What was found, in a sentence without its full stop.
    pub told: String,
    /// How it stands.
    pub standing: Standing,
    /// The figure and its limit; `None` where a check has none.
    pub measure: Option<Measure>,
    /// How both came about; `None` where there is no figure.
    pub working: Option<Working>,
    /// The case that governs ("two people at the left", "wettest state").
    pub governing: String,
    /// What was assumed.
    pub assumptions: Vec<String>,
    /// What the figures and rules rest on.
    pub sources: Vec<Source>,
    /// What would help.
    pub remedy: Remedy,
}

impl Verdict {
    /// Holds when the measure does, else misses with that severity.
    pub fn measured(check: &'static str, measure: Measure, severity: Severity) -> Self {
        let standing = if measure.holds() { Standing::Holds } else { Standing::Misses(severity) };
        Verdict { measure: Some(measure), ..Verdict::new(check, standing) }
    }

    /// Holds or misses by itself, without a figure.
    pub fn yes_or_no(check: &'static str, holds: bool, severity: Severity) -> Self {
        Verdict::new(check, if holds { Standing::Holds } else { Standing::Misses(severity) })
    }

    /// Cannot be told.
    pub fn not_judged(check: &'static str, why: impl Into<String>) -> Self {
        let why = why.into();
        Verdict { told: why.clone(), ..Verdict::new(check, Standing::NotJudged(why)) }
    }

    /// Has nothing to look at.
    pub fn does_not_apply(check: &'static str, why: impl Into<String>) -> Self {
        let why = why.into();
        Verdict { told: why.clone(), ..Verdict::new(check, Standing::DoesNotApply(why)) }
    }

    fn new(check: &'static str, standing: Standing) -> Self {
        Verdict {
            check,
            parts: Vec::new(),
            origin: Origin::NOWHERE,
            told: String::new(),
            standing,
            measure: None,
            working: None,
            governing: String::new(),
            assumptions: Vec::new(),
            sources: Vec::new(),
            remedy: Remedy::default(),
        }
    }

    /// Says which parts it is about; the line is that of the first.
    #[must_use]
    pub fn about<'a>(mut self, parts: impl IntoIterator<Item = &'a Part>) -> Self {
        for part in parts {
            if !self.origin.is_known() {
                self.origin = part.origin;
            }
            self.parts.push(part.id);
        }
        self
    }

    /// Says which script line brings it about.
    #[must_use]
    pub fn at(mut self, origin: Origin) -> Self {
        self.origin = origin;
        self
    }

    /// Says what was found.
    #[must_use]
    pub fn told(mut self, told: impl Into<String>) -> Self {
        self.told = told.into();
        self
    }

    /// Says how the figure and its limit came about.
    #[must_use]
    pub fn worked(mut self, working: Working) -> Self {
        self.working = Some(working);
        self
    }

    /// Says that the figure is measured, or the outcome of what no formula tells: the meaning says which.
    #[must_use]
    pub(crate) fn measured_as(mut self, symbol: &'static str, meaning: impl Into<Cow<'static, str>>) -> Self {
        self.working = self.measure.as_ref().map(|measure| Working::measured(symbol, meaning, measure));
        self
    }

    /// Says how the limit came about, of a figure whose working is told.
    #[must_use]
    pub(crate) fn held_to(mut self, limit: Equation) -> Self {
        self.working = self.working.map(|working| working.held_to(limit));
        self
    }

    /// Says which case governs.
    #[must_use]
    pub fn governed_by(mut self, case: impl Into<String>) -> Self {
        self.governing = case.into();
        self
    }

    /// Adds something that was assumed.
    #[must_use]
    pub fn assuming(mut self, assumption: impl Into<String>) -> Self {
        self.assumptions.push(assumption.into());
        self
    }

    /// Adds what it rests on.
    #[must_use]
    pub fn after(mut self, text: impl Into<String>, status: Status) -> Self {
        self.sources.push(Source::new(text, status));
        self
    }

    /// Adds the loads that it rests on; of none in particular those of the use level.
    #[must_use]
    pub(crate) fn under_loads<'s>(
        self,
        case: &Case,
        situations: impl IntoIterator<Item = &'s Situation>,
    ) -> Self {
        let level = case.model.people.use_level;
        let lasts = !WITHOUT_DURATION.contains(&self.check);
        let mut sources = Vec::new();
        for situation in situations {
            let steadied = ("pushes no harder than it stands, EN 1728", Status::FromMemory);
            let own = [Some(situation.about.source(level)), situation.lessened.then_some(steadied)];
            let lasting = if lasts { situation.about.duration_sources() } else { Vec::new() };
            for source in own.into_iter().flatten().chain(lasting) {
                if !sources.contains(&source) {
                    sources.push(source);
                }
            }
        }
        if sources.is_empty() {
            sources.push(About::Sitting.source(level));
        }
        sources.into_iter().fold(self, |verdict, (text, status)| verdict.after(text, status))
    }

    /// Adds an entry of the catalogue that it rests on.
    #[must_use]
    pub fn resting_on(mut self, source: Source) -> Self {
        self.sources.push(source);
        self
    }

    /// Says what would help: which of its parts govern is said by [`Verdict::about`] unless other parts do.
    #[must_use]
    pub fn remedy(mut self, text: impl Into<String>, ways: impl Into<Vec<Way>>) -> Self {
        self.remedy = Remedy { text: text.into(), parts: self.parts.clone(), ways: ways.into() };
        self
    }

    /// Demand over capacity, where there is a figure.
    pub fn ratio(&self) -> Option<f64> {
        self.measure.as_ref().map(Measure::ratio)
    }

    /// Whether it holds.
    pub fn is_fine(&self) -> bool {
        self.standing == Standing::Holds
    }

    /// Whether it is a failure.
    pub fn fails(&self) -> bool {
        matches!(self.standing, Standing::Misses(severity) if severity >= Severity::Failure)
    }

    /// Whether every figure and rule it rests on is firm; what is not is listed as unverified, and what rests on nothing is
    /// not firm.
    pub fn is_firm(&self) -> bool {
        !self.sources.is_empty() && self.sources.iter().all(|source| source.status.is_firm())
    }

    /// What is worse ranks higher: failures, warnings, what cannot be told, what holds, what does not apply; of those alike the
    /// higher ratio.
    fn rank(&self) -> (Option<Severity>, u8, f64) {
        let (missed, rest) = match self.standing {
            Standing::Misses(severity) => (Some(severity), 2),
            Standing::NotJudged(_) => (None, 2),
            Standing::Holds => (None, 1),
            Standing::DoesNotApply(_) => (None, 0),
        };
        (missed, rest, self.ratio().unwrap_or(0.0))
    }

    /// As a finding: what misses with its severity, what cannot be told as a note, nothing for what holds or does not apply.
    pub fn finding(&self, model: &Model) -> Option<Diagnostic> {
        let severity = match &self.standing {
            Standing::Holds | Standing::DoesNotApply(_) => return None,
            Standing::Misses(severity) => *severity,
            Standing::NotJudged(_) => Severity::Note,
        };
        let mut finding = Diagnostic::new(severity, self.check, self.told.clone()).at_origin(self.origin);
        for part in &self.parts {
            let place = Place::Part(model.part(*part).name.clone());
            finding = finding.with_trace(place, "the part it is about");
        }
        Some(if self.remedy.text.is_empty() { finding } else { finding.help(self.remedy.text.clone()) })
    }

    /// A finding on making as a verdict: notes are of things that hold.
    pub(crate) fn of_finding(finding: &Diagnostic, model: &Model) -> Self {
        let holds = finding.severity == Severity::Note;
        let named = finding.trace.iter().filter_map(|(place, _)| match place {
            Place::Part(name) => model.part_named(name),
            _ => None,
        });
        let origin = match finding.place {
            Some(Place::Script(origin)) => origin,
            _ => Origin::NOWHERE,
        };
        Verdict::yes_or_no(finding.code, holds, finding.severity)
            .about(named)
            .at(origin)
            .told(finding.message.clone())
            .remedy(finding.help.join("; "), [])
    }
}

/// Of verdicts on like things the worst, and of those as bad the first.
pub(crate) fn worst(verdicts: impl IntoIterator<Item = Verdict>) -> Option<Verdict> {
    worst_of(verdicts, |own| own)
}

/// The same of what has a verdict beside it.
pub(crate) fn worst_of<T>(all: impl IntoIterator<Item = T>, verdict: impl Fn(&T) -> &Verdict) -> Option<T> {
    let rank = |own: &T| verdict(own).rank();
    all.into_iter().reduce(|one, other| if rank(&other) > rank(&one) { other } else { one })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_worst_is_what_fails_then_what_warns_then_what_cannot_be_told() {
        let at = |found, severity| {
            Verdict::measured("a", Measure::new("gap", found, Limit::AtMost(10.0), Unit::Length), severity)
        };
        let ordered = [
            Verdict::does_not_apply("a", "why"),
            at(9.0, Severity::Failure),
            Verdict::not_judged("a", "why"),
            Verdict::yes_or_no("a", false, Severity::Warning),
            at(11.0, Severity::Warning),
            at(99.0, Severity::Warning),
            Verdict::yes_or_no("a", false, Severity::Failure),
            at(11.0, Severity::Failure),
        ];
        for pair in ordered.windows(2) {
            for both in [[&pair[0], &pair[1]], [&pair[1], &pair[0]]] {
                assert_eq!(worst(both.map(Verdict::clone)).as_ref(), Some(&pair[1]));
            }
        }
    }

    fn ratio(found: f64, limit: Limit) -> f64 {
        Measure::new("figure", found, limit, Unit::Length).ratio()
    }

    #[test]
    fn ratios_follow_from_the_limit() {
        assert!((ratio(30.0, Limit::AtMost(40.0)) - 0.75).abs() < 1e-12);
        assert!((ratio(40.0, Limit::AtLeast(30.0)) - 0.75).abs() < 1e-12);
        assert!((ratio(9.0, Limit::Within(4.0, 12.0)) - 0.25).abs() < 1e-12);
        assert!((ratio(2.0, Limit::Within(4.0, 12.0)) - 1.5).abs() < 1e-12);
        assert!(ratio(-1.0, Limit::AtLeast(3.0)).is_infinite());
    }

    #[test]
    fn what_misses_its_limit_is_a_finding_and_what_is_no_number_never_holds() {
        let at = |found| Measure::new("gap", found, Limit::AtLeast(3.0), Unit::Length);
        assert_eq!(Verdict::measured("a", at(3.0), Severity::Failure).standing, Standing::Holds);
        assert!(Verdict::measured("a", at(2.9), Severity::Failure).fails());
        assert!(Verdict::measured("a", at(f64::NAN), Severity::Failure).fails());
        assert!(!Verdict::measured("a", at(2.9), Severity::Warning).fails());
    }

    #[test]
    fn what_rests_on_memory_is_not_firm() {
        let plain = Verdict::yes_or_no("a", true, Severity::Failure).after("a standard", Status::Read);
        assert!(plain.is_firm());
        assert!(!plain.after("a rule", Status::ProjectChoice).is_firm());
        assert!(!Verdict::yes_or_no("a", true, Severity::Failure).is_firm(), "it rests on nothing");
    }
}
