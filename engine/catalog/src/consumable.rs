//! What is used up on a piece by area: finish, sealer of end grain, glue, abrasive.

use crate::{Pack, Source};
use slatwork_base::Diagnostic;

/// What kind of thing is used up; the shop uses one of each.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum ConsumableKind {
    /// On all surfaces.
    Finish,
    /// On end grain, before the finish.
    Sealer,
    /// On one of two faces that meet.
    Glue,
    /// Paper that surfaces are sanded with.
    Abrasive,
}

/// Every kind with its word in data files and scripts, in the order lists show them.
pub const CONSUMABLE_KINDS: [(ConsumableKind, &str); 4] = [
    (ConsumableKind::Finish, "finish"),
    (ConsumableKind::Sealer, "sealer"),
    (ConsumableKind::Glue, "glue"),
    (ConsumableKind::Abrasive, "abrasive"),
];

impl ConsumableKind {
    /// The word for it.
    pub fn word(self) -> &'static str {
        CONSUMABLE_KINDS.iter().find(|(kind, _)| *kind == self).map_or("", |(_, word)| word)
    }
}

/// What a consumable is measured in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ConsumableUnit {
    /// Liquids.
    Litre,
    /// Paper.
    Sheet,
}

impl ConsumableUnit {
    /// What covers by this unit must be sold by it.
    ///
    /// # Errors
    /// `wrong-value`, where its packs are in another.
    pub fn sold_by(self, packs: ConsumableUnit) -> Result<(), Diagnostic> {
        let (covers, comes) = match (self, packs) {
            (ConsumableUnit::Litre, ConsumableUnit::Sheet) => ("litre", "sheets"),
            (ConsumableUnit::Sheet, ConsumableUnit::Litre) => ("sheet", "litres"),
            _ => return Ok(()),
        };
        let message = format!("what covers so much by the {covers} cannot come in {comes}");
        let help = "give what it covers and the packs it comes in by the same measure";
        Err(Diagnostic::error("wrong-value", message).help(help))
    }
}

/// Litres in a US fluid ounce, exact: 231/128 cubic inches.
pub const LITRES_PER_FLUID_OUNCE: f64 = 0.029_573_529_562_5;

/// The finish, sealer, glue or abrasive of the shop.
#[derive(Clone, Debug, PartialEq)]
pub struct Consumable {
    /// Kind.
    pub kind: ConsumableKind,
    /// What to ask for at the counter.
    pub name: String,
    /// How often the area is gone over: coats, grits.
    pub coats: u32,
    /// What it is measured in.
    pub unit: ConsumableUnit,
    /// Square metres that one litre or sheet covers once.
    pub covers_m2: f64,
    /// Hours to wait after each coat; after gluing, before the joint is loaded.
    pub dry_hours: f64,
    /// Cans, bottles or packets it comes in.
    pub packs: Vec<Pack>,
    /// Where the figures come from.
    pub source: Source,
}

impl Consumable {
    /// Litres or sheets for an area, all coats together.
    pub fn amount(&self, square_metres: f64) -> f64 {
        square_metres * f64::from(self.coats) / self.covers_m2
    }
}
