//! Everything the shop works from, in one go.

use crate::bill::{Bill, bill};
use crate::cut_list::{CutList, cut_list};
use crate::demand::{times, wanted};
use crate::holes::{HoleList, hole_list};
use crate::price::{Price, price};
use crate::purchase::{Purchase, purchase, verify};
use crate::shapes::{Shapes, places, shapes};
use crate::stops::{StopPlan, stop_plan};
use crate::words::Reading;
use slatwork_base::{Diagnostic, Outcome, Severity, Tape};
use slatwork_catalog::Catalogue;
use slatwork_model::Model;

/// What a model comes to in the shop.
#[derive(Clone, Debug, PartialEq)]
pub struct ShopPlan {
    /// How the words read lengths.
    pub reading: Reading,
    /// Every set of equal parts: sizes and how one is made.
    pub cut_list: CutList,
    /// What is cut at one setting.
    pub stops: StopPlan,
    /// Every hole.
    pub holes: HoleList,
    /// Planes, notches, outlines and places.
    pub shapes: Shapes,
    /// Lumber, hardware, edges, surface.
    pub bill: Bill,
    /// Boards to buy and how to cut them.
    pub purchase: Purchase,
    /// What one piece costs, and how long it takes.
    pub price: Price,
}

/// Works out cut list, stops, holes, shapes, bill and purchase of a finished model.
///
/// Parts that no board can give (`part-longer-than-stock`, `part-wider-than-stock`, `section-not-stocked`,
/// `part-narrower-than-rip`, `yard-runs-out`) are reported as errors and left out of the purchase; all else is still worked out. Without a value
/// only when a section or species is not in the catalogue.
pub fn plan(model: &Model, catalogue: &Catalogue, reading: impl Into<Reading>) -> Outcome<ShopPlan> {
    plan_for(model, catalogue, reading, 1)
}

/// The same with boards and price for so many equal pieces, made as one batch; all else is of one of them.
pub fn plan_for(
    model: &Model,
    catalogue: &Catalogue,
    reading: impl Into<Reading>,
    pieces: usize,
) -> Outcome<ShopPlan> {
    let mut troubles = Vec::new();
    match plan_all(model, catalogue, reading.into(), pieces.max(1), &mut troubles) {
        Ok(plan) => Outcome::with(plan, troubles),
        Err(fault) => {
            troubles.push(fault);
            Outcome { value: None, diagnostics: troubles }
        }
    }
}

/// The boards for so many equal pieces by themselves, gone over again.
///
/// # Errors
/// A section or species that is not in the catalogue.
pub fn purchase_for(
    model: &Model,
    catalogue: &Catalogue,
    tape: Tape,
    pieces: usize,
    troubles: &mut Vec<Diagnostic>,
) -> Result<Purchase, Diagnostic> {
    let wanted = wanted(model, catalogue, tape)?;
    let purchase = purchase((model, catalogue, tape), &times(wanted, pieces), pieces, troubles);
    if troubles.iter().all(|trouble| trouble.severity < Severity::Error) {
        troubles.extend(verify(&purchase, model, tape).err());
    }
    Ok(purchase)
}

fn plan_all(
    model: &Model,
    catalogue: &Catalogue,
    reading: Reading,
    pieces: usize,
    troubles: &mut Vec<Diagnostic>,
) -> Result<ShopPlan, Diagnostic> {
    let places = places(model);
    let holes = hole_list(model, &places);
    let wanted = wanted(model, catalogue, reading.tape)?;
    let bill = bill(model, catalogue, &wanted);
    let purchase = purchase_for(model, catalogue, reading.tape, pieces, troubles)?;
    let cut_list = cut_list(model, catalogue, (&holes, &purchase), reading)?;
    let shapes = shapes(model, &cut_list, places);
    let mut plan = ShopPlan {
        reading,
        stops: stop_plan(model, &purchase, &pair_words(model, &cut_list), reading.tape),
        holes,
        shapes,
        bill,
        purchase,
        cut_list,
        price: Price::default(),
    };
    plan.price = price(model, catalogue, &plan, pieces);
    Ok(plan)
}

/// What the cut list says of each set's mate, in the order of the model's sets.
fn pair_words(model: &Model, cut_list: &CutList) -> Vec<Option<String>> {
    let words = |set: &slatwork_model::PartSet| {
        let row = cut_list.rows.iter().find(|row| row.set == set.id)?;
        row.pair.as_ref().map(|(_, words)| words.clone())
    };
    model.sets.iter().map(words).collect()
}
