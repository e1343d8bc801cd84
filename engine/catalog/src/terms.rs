//! The terms a shop works and sells by: hourly rates, taxes, shares and fees.

use crate::money::{MOST_CENTS, Share};
use crate::{Source, Status};
use slatwork_base::{Diagnostic, did_you_mean};
use std::collections::BTreeMap;

/// The terms. Every figure is known by its field name in data files and scripts.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Terms {
    /// Tax on what is bought, delivery included.
    pub purchase_tax: Share,
    /// Tax on the price that is asked.
    pub sales_tax: Share,
    /// Waste of rough stock that is bought by volume.
    pub rough_waste: Share,
    /// Small things that are not counted, as a share of what is bought.
    pub sundries: Share,
    /// What is left of the price for the business itself.
    pub margin: Share,
    /// What whoever takes the cards keeps of the price.
    pub card_fee: Share,
    /// What is laid by of the price for repairs under warranty.
    pub warranty: Share,
    /// What a shop pays that sells on, as a share of the price.
    pub wholesale: Share,
    /// What a shop keeps that sells for the maker, as a share of the price.
    pub consignment: Share,
    /// What time falls to when a batch is twice as large, where an operation has no rate for batches of its own.
    pub learning: Share,
    /// Cents for an hour of work.
    pub labour_per_hour: i64,
    /// Cents for an hour of shop: rent, power, machines, blades.
    pub overhead_per_hour: i64,
    /// Cents of the stall at a fair that fall to one piece.
    pub fair_fee: i64,
    /// Cents that others ask for such a piece; nothing when nobody looked.
    pub comparable_price: i64,
    /// Price over materials, at the least.
    pub multiplier_low: f64,
    /// Price over materials, at the most.
    pub multiplier_high: f64,
    /// Pieces in the batch that the rates for batches hold for.
    pub rate_batch: f64,
    sources: BTreeMap<&'static str, Source>,
}

/// One figure of the terms.
#[derive(Clone, Debug, PartialEq)]
pub struct Term {
    /// Field name: `labour_per_hour`.
    pub name: String,
    /// Its value: a share from 0 to 1, cents, or a factor.
    pub value: f64,
    /// Where it comes from.
    pub source: Source,
}

/// Where a figure is kept, and so what it may be.
#[derive(Clone, Copy)]
enum Field {
    Share(fn(&mut Terms) -> &mut Share),
    Cents(fn(&mut Terms) -> &mut i64),
    /// A number from the first to the second.
    Factor(f64, f64, fn(&mut Terms) -> &mut f64),
}

/// Prices are seldom over a hundred times their materials, and no batch of one shop is larger than a thousand.
const FACTORS: [(f64, f64); 2] = [(1.0, 100.0), (2.0, 1000.0)];

/// Every figure by its name, in the order lists show them.
const FIGURES: [(&str, Field); 17] = [
    ("labour_per_hour", Field::Cents(|terms| &mut terms.labour_per_hour)),
    ("overhead_per_hour", Field::Cents(|terms| &mut terms.overhead_per_hour)),
    ("purchase_tax", Field::Share(|terms| &mut terms.purchase_tax)),
    ("rough_waste", Field::Share(|terms| &mut terms.rough_waste)),
    ("sundries", Field::Share(|terms| &mut terms.sundries)),
    ("margin", Field::Share(|terms| &mut terms.margin)),
    ("card_fee", Field::Share(|terms| &mut terms.card_fee)),
    ("warranty", Field::Share(|terms| &mut terms.warranty)),
    ("fair_fee", Field::Cents(|terms| &mut terms.fair_fee)),
    ("sales_tax", Field::Share(|terms| &mut terms.sales_tax)),
    ("wholesale", Field::Share(|terms| &mut terms.wholesale)),
    ("consignment", Field::Share(|terms| &mut terms.consignment)),
    ("comparable_price", Field::Cents(|terms| &mut terms.comparable_price)),
    ("multiplier_low", Field::Factor(FACTORS[0].0, FACTORS[0].1, |terms| &mut terms.multiplier_low)),
    ("multiplier_high", Field::Factor(FACTORS[0].0, FACTORS[0].1, |terms| &mut terms.multiplier_high)),
    ("learning", Field::Share(|terms| &mut terms.learning)),
    ("rate_batch", Field::Factor(FACTORS[1].0, FACTORS[1].1, |terms| &mut terms.rate_batch)),
];

/// Time cannot fall to less than half when a batch is twice as large: the whole batch would take less than half of it did.
const LEAST_LEARNING: f64 = 0.5;

impl Terms {
    /// The names of all figures.
    pub fn names() -> impl Iterator<Item = &'static str> {
        FIGURES.iter().map(|(name, _)| *name)
    }

    /// Where a figure comes from.
    pub fn source(&self, name: &str) -> Option<&Source> {
        self.sources.get(name)
    }

    /// The names of the figures that stand only so that the examples have numbers.
    pub fn demo(&self) -> impl Iterator<Item = &'static str> {
        Terms::names().filter(|name| self.source(name).is_some_and(|source| source.status == Status::Demo))
    }

    /// Every figure with its value and source, as it would be written in a file.
    pub fn figures(&self) -> Vec<Term> {
        let mut own = self.clone();
        let figure = |(name, field): &(&'static str, Field)| {
            let value = match field {
                Field::Share(field) => field(&mut own).as_number(),
                Field::Cents(field) => *field(&mut own) as f64,
                Field::Factor(_, _, field) => *field(&mut own),
            };
            Some(Term { name: (*name).to_string(), value, source: self.source(name)?.clone() })
        };
        FIGURES.iter().filter_map(figure).collect()
    }

    /// Sets one figure.
    ///
    /// # Errors
    /// `unknown-term`, `impossible-share` or `impossible-price`.
    pub(crate) fn set(&mut self, term: Term) -> Result<(), Diagnostic> {
        let Some((name, field)) = FIGURES.iter().find(|(name, _)| *name == term.name) else {
            return Err(unknown(&term.name));
        };
        match *field {
            Field::Share(field) => *field(self) = share(name, term.value)?,
            Field::Cents(field) => *field(self) = cents(name, term.value)?,
            Field::Factor(least, most, field) => {
                if !(least..=most).contains(&term.value) {
                    let message = format!("`{name}` must be from {least} to {most}, not {}", term.value);
                    return Err(Diagnostic::error("wrong-value", message));
                }
                *field(self) = term.value;
            }
        }
        self.sources.insert(name, term.source);
        Ok(())
    }
}

fn share(name: &str, value: f64) -> Result<Share, Diagnostic> {
    let share = Share::new(value).filter(|_| name != "learning" || value >= LEAST_LEARNING);
    share.ok_or_else(|| {
        let least = if name == "learning" { LEAST_LEARNING } else { 0.0 };
        let message = format!("`{name}` is a share from {least} to 1, and cannot be {value}");
        let in_percent = (2.0..=100.0).contains(&value);
        let fault = Diagnostic::error("impossible-share", message);
        if in_percent { fault.help(format!("for {value} percent write {}", value / 100.0)) } else { fault }
    })
}

fn cents(name: &str, value: f64) -> Result<i64, Diagnostic> {
    let whole = value.fract() == 0.0 && (0.0..=MOST_CENTS as f64).contains(&value);
    if whole {
        return Ok(value as i64);
    }
    let message = format!("`{name}` is in whole cents from 0 to {MOST_CENTS}, and cannot be {value}");
    Err(Diagnostic::error("impossible-price", message))
}

fn unknown(name: &str) -> Diagnostic {
    let fault = Diagnostic::error("unknown-term", format!("the terms have no `{name}`"));
    match did_you_mean(name, Terms::names()) {
        Some(near) => fault.help(format!("did you mean `{near}`?")),
        None => fault.help(format!("they have {}", Terms::names().collect::<Vec<_>>().join(", "))),
    }
}
