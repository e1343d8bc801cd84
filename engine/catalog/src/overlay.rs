//! What is laid over a catalogue: the user's own entries, as plain data.

use crate::{
    BodySize, Consumable, Delivery, DesignValues, DrillSizes, Fastener, Hardware, ItemPrice, Labour, Offcut,
    Rate, Section, Source, Species, StockItem, Term, ToolSetting,
};
use slatwork_base::{Length, Place};
use std::collections::BTreeMap;

/// What the tape says of the boards of one section: replaces the dressed size, and everything follows.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Measured {
    /// Name of the section.
    pub section: String,
    /// Measured thickness; `None` keeps the dressed one.
    pub thickness: Option<Length>,
    /// Measured width; `None` keeps the dressed one.
    pub width: Option<Length>,
    /// Where the figures come from.
    pub source: Source,
}

/// One entry to lay over a catalogue. An entry of the same name replaces the one below it.
#[derive(Clone, Debug, PartialEq)]
pub enum Item {
    /// A lumber section.
    Section(Section),
    /// What the tape says.
    Measured(Measured),
    /// A species.
    Species(Box<Species>),
    /// Design values of a grade.
    Design(DesignValues),
    /// A fastener.
    Fastener(Fastener),
    /// Drills for a fastener.
    Drill(DrillSizes),
    /// Hanging hardware.
    Hardware(Hardware),
    /// A body size of a population.
    Body(BodySize),
    /// Lengths and prices at the yard.
    Stock(StockItem),
    /// A price by species.
    Rate(Rate),
    /// A piece on the rack.
    Offcut(Offcut),
    /// A figure of the tools.
    Tool(ToolSetting),
    /// What a fastener or a piece of hardware costs.
    Price(ItemPrice),
    /// A step of what delivery costs.
    Delivery(Delivery),
    /// Finish, sealer, glue or abrasive.
    Consumable(Consumable),
    /// How long an operation takes.
    Labour(Labour),
    /// A figure of the terms.
    Term(Term),
    /// Whether the yard has nothing but what is listed.
    OnlyListed(bool),
    /// What prices are in.
    Currency(String),
}

/// An entry with the place that made it.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Placed {
    pub(crate) item: Item,
    pub(crate) place: Option<Place>,
    /// The places of its single figures, where they are known.
    pub(crate) figures: BTreeMap<String, Place>,
}

/// Entries to lay over a catalogue, each with the place that made it.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Overlay {
    items: Vec<Placed>,
}

impl Overlay {
    /// Adds an entry.
    pub fn add(&mut self, item: Item) {
        self.items.push(Placed { item, place: None, figures: BTreeMap::new() });
    }

    /// Adds an entry with the place to name when something is wrong with it.
    pub fn add_at(&mut self, item: Item, place: Place) {
        self.add_read(item, place, BTreeMap::new());
    }

    /// Adds an entry that was read from a file.
    pub(crate) fn add_read(&mut self, item: Item, place: Place, figures: BTreeMap<String, Place>) {
        self.items.push(Placed { item, place: Some(place), figures });
    }

    /// Whether there is nothing in it.
    pub fn is_empty(&self) -> bool {
        self.items.is_empty()
    }

    /// The entries in two passes: sections and species first, so that the others may refer to them wherever they stand.
    pub(crate) fn into_passes(self) -> (Vec<Placed>, Vec<Placed>) {
        self.items.into_iter().partition(|entry| matches!(entry.item, Item::Section(_) | Item::Species(_)))
    }
}
