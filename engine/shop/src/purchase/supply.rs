//! What the yard sells and the rack holds for a lot.

use super::cheapest::Board;
use super::lot::Lot;
use crate::stock::{Saw, Stick};
use slatwork_base::Length;
use slatwork_catalog::{Catalogue, Offcut, Section, StockLength, Tools};

/// What a lot may be cut from.
pub(super) struct Supply<'a> {
    /// Place of the section in the lot, and a length on sale.
    pub(super) bought: Vec<(usize, StockLength)>,
    /// Place of the section in the lot, and what lies on the rack.
    pub(super) rack: Vec<(usize, &'a Offcut)>,
    /// Whether every length has a price.
    pub(super) priced: bool,
    /// Common measure of the faces of all that is on sale, in square nanometres: without prices, boards count by it.
    measure: i128,
}

impl<'a> Supply<'a> {
    pub(super) fn of(catalogue: &'a Catalogue, lot: &Lot) -> Self {
        let sections = lot.sections.iter().enumerate();
        let sold = sections.flat_map(|(at, section)| {
            catalogue.stock(section, lot.species, None).into_iter().map(move |stock| (at, stock))
        });
        let bought: Vec<(usize, StockLength)> = sold.collect();
        let place = |offcut: &Offcut| lot.sections.iter().position(|section| section.name == offcut.section);
        let own = catalogue.rack().iter().filter(|offcut| offcut.species == lot.species.id);
        Supply {
            priced: bought.iter().all(|(_, stock)| stock.price_cents.is_some()),
            measure: common_measure(lot, &bought),
            rack: own.filter_map(|offcut| Some((place(offcut)?, offcut))).collect(),
            bought,
        }
    }

    /// Bought lengths, then offcuts. An offcut's length is usable as it is, so the trims are put on top of it.
    pub(super) fn boards(&self, lot: &Lot, saw: Saw) -> Vec<Board> {
        let width = |section: usize| lot.sections[section].width;
        let bought = self.bought.iter().map(|(section, stock)| {
            let cost = if self.priced {
                stock.price_cents.unwrap_or(0)
            } else {
                i64::try_from(face(stock.length, width(*section)) / self.measure).unwrap_or(i64::MAX)
            };
            let available = stock.available.map(|count| count as usize);
            let stick = Stick { length: stock.length, cost, available, in_hand: false };
            Board { stick, width: width(*section) }
        });
        let rack = self.rack.iter().map(|(section, offcut)| {
            let length = offcut.length + saw.trim_low + saw.trim_high;
            let stick = Stick { length, cost: 0, available: Some(offcut.count as usize), in_hand: true };
            Board { stick, width: width(*section) }
        });
        bought.chain(rack).collect()
    }

    /// Length of a section whose face comes to so many measures.
    pub(super) fn length_of(&self, measures: i64, section: &Section) -> Length {
        let face = i128::from(measures) * self.measure;
        let width = i128::from(section.width.as_nm().max(1));
        Length::nm(i64::try_from(face / width).unwrap_or(i64::MAX))
    }

    /// The longest board for a piece of one section of the lot, as it comes, and what of it can be used.
    pub(super) fn longest(&self, is_from: impl Fn(usize) -> bool, saw: Saw) -> Option<(Length, Length)> {
        let bought = self.bought.iter().filter(|own| is_from(own.0));
        let bought = bought.map(|(_, stock)| (saw.usable(stock.length), stock.length));
        let rack = self.rack.iter().filter(|own| is_from(own.0));
        let rack = rack.map(|(_, offcut)| (offcut.length, offcut.length));
        bought.chain(rack).max().map(|(usable, length)| (length, usable))
    }
}

fn face(length: Length, width: Length) -> i128 {
    i128::from(length.as_nm()) * i128::from(width.as_nm())
}

/// The greatest face of which the faces of all boards on sale are multiples; a square nanometre where nothing is on sale.
fn common_measure(lot: &Lot, bought: &[(usize, StockLength)]) -> i128 {
    fn common(a: i128, b: i128) -> i128 {
        if b == 0 { a } else { common(b, a % b) }
    }
    let faces = bought.iter().map(|(section, stock)| face(stock.length, lot.sections[*section].width));
    faces.fold(0, common).max(1)
}

/// The crosscut saw and the ends that are squared off.
pub(super) fn saw(tools: &Tools) -> Saw {
    Saw { kerf: tools.crosscut_kerf, trim_low: tools.end_trim, trim_high: tools.end_trim }
}
