//! One variant made and judged: what fails of it, and what it costs in material.

use crate::Workshop;
use slatwork_base::{Diagnostic, Place, Severity};
use slatwork_checks::{Case, Caution, Conditions, Standing, Verdict, judge};
use slatwork_model::{Model, Part};
use slatwork_shop::ShopPlan;
use std::collections::{BTreeMap, BTreeSet};
use std::panic::{AssertUnwindSafe, catch_unwind};

/// One thing that fails.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Missed {
    /// The check.
    pub check: &'static str,
    /// Demand over capacity, where there is a figure.
    pub ratio: Option<f64>,
}

/// A part that something which fails is about.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Concerned {
    /// Its name.
    pub name: String,
    /// The section it is cut from.
    pub section: String,
    /// Id of its wood.
    pub species: String,
}

/// What a piece takes of material.
#[derive(Clone, Debug, PartialEq)]
pub struct Cost {
    /// Board feet of its boards as first cut, by the bill.
    pub board_feet: f64,
    /// Price of the boards to buy in cents, where every price is known.
    pub cents: Option<i64>,
    /// What prices are in.
    pub currency: String,
}

/// One variant, made and judged.
#[derive(Clone, Debug, PartialEq)]
pub struct Trial {
    /// What fails, check by check in the order of verdicts.
    pub failing: Vec<Missed>,
    /// Parts that it is about, by name; all of them where it is about the whole piece.
    pub concerned: BTreeSet<Concerned>,
    /// How many things each check could not judge.
    pub unjudged: BTreeMap<&'static str, usize>,
    /// What it takes of material.
    pub cost: Cost,
}

impl Trial {
    /// Makes a variant, these settings over those of the workshop, and puts it under every check; `None` where it cannot be
    /// built.
    pub fn of(
        workshop: &Workshop,
        settings: &[(String, String)],
        conditions: Conditions,
        accepted: &BTreeSet<Caution>,
    ) -> Option<Trial> {
        let made = workshop.make(settings);
        let piece = made.value?;
        // A fault of the program in a piece nobody asked for must not take the answer on theirs with it.
        let judged = || {
            let case = Case::new(&piece.model, workshop.catalogue());
            judge(&case.under(conditions).accepting(accepted.iter().copied()))
        };
        let verdicts = catch_unwind(AssertUnwindSafe(judged)).ok()?;
        let mut trial = Trial::judged(&piece.model, &verdicts, Cost::of(&piece.plan));
        trial.add_findings(&piece.model, &verdicts, &made.diagnostics);
        Some(trial)
    }

    fn judged(model: &Model, verdicts: &[Verdict], cost: Cost) -> Trial {
        let mut trial =
            Trial { failing: Vec::new(), concerned: BTreeSet::new(), unjudged: BTreeMap::new(), cost };
        for verdict in verdicts {
            if matches!(verdict.standing, Standing::NotJudged(_)) {
                *trial.unjudged.entry(verdict.check).or_default() += 1;
            }
            if verdict.fails() {
                let parts = verdict.parts.iter().chain(&verdict.remedy.parts).map(|id| model.part(*id));
                trial.add(model, verdict.check, verdict.ratio(), parts);
            }
        }
        trial
    }

    /// What making the piece itself tells, where no check does.
    fn add_findings(&mut self, model: &Model, verdicts: &[Verdict], findings: &[Diagnostic]) {
        let untold = |own: &&Diagnostic| !verdicts.iter().any(|verdict| verdict.check == own.code);
        for finding in findings.iter().filter(|own| own.severity >= Severity::Failure).filter(untold) {
            let parts = finding.trace.iter().filter_map(|(place, _)| match place {
                Place::Part(name) => model.part_named(name),
                _ => None,
            });
            self.add(model, finding.code, None, parts);
        }
    }

    fn add<'m>(
        &mut self,
        model: &'m Model,
        check: &'static str,
        ratio: Option<f64>,
        parts: impl Iterator<Item = &'m Part>,
    ) {
        self.failing.push(Missed { check, ratio });
        let mut named = parts.map(Concerned::of).peekable();
        if named.peek().is_some() {
            self.concerned.extend(named);
        } else {
            self.concerned.extend(model.parts.iter().map(Concerned::of));
        }
    }

    /// Whether all of it passes, and nothing escapes a check that the other was judged by.
    pub fn mends(&self, other: &Trial) -> bool {
        self.failing.is_empty() && self.is_judged_as(other)
    }

    /// Whether it is less bad than the other, and fails no check that the other does not.
    pub(super) fn helps(&self, other: &Trial) -> bool {
        let known = |own: &Missed| other.failing.iter().any(|theirs| theirs.check == own.check);
        self.is_less_bad(other) && self.failing.iter().all(known) && self.is_judged_as(other)
    }

    /// Whether fewer things fail than of the other, or as many and less badly.
    pub(super) fn is_less_bad(&self, other: &Trial) -> bool {
        let (own, theirs) = (self.badness(), other.badness());
        own.0.cmp(&theirs.0).then(own.1.total_cmp(&theirs.1)).is_lt()
    }

    /// What cannot be judged is not passed: no check may tell less than it did.
    fn is_judged_as(&self, other: &Trial) -> bool {
        let before = |check: &str| other.unjudged.get(check).copied().unwrap_or(0);
        self.unjudged.iter().all(|(check, count)| *count <= before(check))
    }

    /// How many things fail, and the worst ratio of them; boundless where one has no figure.
    pub(super) fn badness(&self) -> (usize, f64) {
        let worst = self.failing.iter().map(|own| own.ratio.unwrap_or(f64::INFINITY)).fold(0.0, f64::max);
        (self.failing.len(), worst)
    }
}

impl Concerned {
    fn of(part: &Part) -> Concerned {
        Concerned { name: part.name.clone(), section: part.section.clone(), species: part.species.clone() }
    }
}

impl Cost {
    fn of(plan: &ShopPlan) -> Cost {
        Cost {
            board_feet: plan.bill.lumber.iter().map(|line| line.board_feet).sum(),
            cents: plan.purchase.price_cents,
            currency: plan.purchase.currency.clone(),
        }
    }
}
