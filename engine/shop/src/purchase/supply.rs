//! What the yard sells and the rack holds for a lot.

use super::cheapest::{Board, Choice};
use super::lot::{Lot, tolerated};
use crate::stock::{Saw, Stick, common_measure};
use slatwork_base::Length;
use slatwork_catalog::{Catalogue, DefectSide, Offcut, Section, StockLength, Tools};

/// What a lot may be cut from.
pub(super) struct Supply<'a> {
    /// Place of the section in the lot, and a length on sale.
    pub(super) bought: Vec<(usize, StockLength)>,
    /// What lies on the rack, stretch by stretch.
    pub(super) rack: Vec<Stretch<'a>>,
    /// Whether every length has a price.
    pub(super) priced: bool,
    /// Common measure of the faces of all that is on sale, in square nanometres: without prices, boards count by it.
    measure: i128,
}

impl<'a> Supply<'a> {
    /// Wider sections take part where they are priced like the others: else the price could not decide.
    pub(super) fn of(catalogue: &'a Catalogue, lot: &Lot) -> Self {
        let sections = lot.sections.iter().enumerate();
        let sold = sections.flat_map(|(at, section)| {
            catalogue.stock(section, lot.species, None).into_iter().map(move |stock| (at, stock))
        });
        let mut bought: Vec<(usize, StockLength)> = sold.collect();
        let is_priced = |own: &(usize, StockLength)| own.1.price_cents.is_some();
        let own_priced = bought.iter().filter(|own| lot.wanted.contains(&own.0)).all(is_priced);
        let without: Vec<usize> = bought.iter().filter(|own| !is_priced(own)).map(|own| own.0).collect();
        if own_priced {
            bought.retain(|own| !without.contains(&own.0));
        }
        Supply {
            priced: bought.iter().all(|(_, stock)| stock.price_cents.is_some()),
            measure: common_face(lot, &bought),
            rack: stretches(catalogue.rack(), lot, catalogue.tools().crosscut_kerf),
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
            Board { stick, width: width(*section), flaws: 0, choice: None, whole: stock.length }
        });
        let rack = self.rack.iter().map(|own| {
            let length = own.length() + saw.trim_low + saw.trim_high;
            let stick = Stick { length, cost: 0, available: Some(own.count), in_hand: true };
            let whole = own.offcut.length + saw.trim_low + saw.trim_high;
            Board { stick, width: width(own.section), flaws: own.flaws, choice: own.choice, whole }
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
    pub(super) fn longest(
        &self,
        is_from: impl Fn(usize) -> bool,
        flaws: u8,
        saw: Saw,
    ) -> Option<(Length, Length)> {
        let bought = self.bought.iter().filter(|own| is_from(own.0));
        let bought = bought.map(|(_, stock)| (saw.usable(stock.length), stock.length));
        let rack = self.rack.iter().filter(|own| own.flaws <= flaws && is_from(own.section));
        let rack = rack.map(|own| (own.length(), own.length()));
        bought.chain(rack).max().map(|(usable, length)| (length, usable))
    }
}

/// What parts may be cut from of a board in hand: all of it, or what lies between defects.
#[derive(Clone, Copy, Debug)]
pub(super) struct Stretch<'a> {
    /// Place of the section in the lot.
    pub(super) section: usize,
    pub(super) offcut: &'a Offcut,
    /// Place on the rack, and which of those alike it is.
    pub(super) board: (usize, usize),
    pub(super) from: Length,
    pub(super) to: Length,
    pub(super) count: usize,
    /// Of the defects that are left in it.
    flaws: u8,
    choice: Option<Choice>,
}

impl Stretch<'_> {
    pub(super) fn length(&self) -> Length {
        self.to - self.from
    }
}

/// Everything on the rack that the lot may use. A board with defects is a board of its own, with its stretches for each way to cut
/// it up: all defects out, or only those that no part may have.
fn stretches<'a>(rack: &'a [Offcut], lot: &Lot, kerf: Length) -> Vec<Stretch<'a>> {
    let most: u8 = lot.pieces.iter().map(|own| tolerated(own.piece.defects)).max().unwrap_or(0);
    let mut all: Vec<Stretch<'a>> = Vec::new();
    for (place, offcut) in rack.iter().enumerate().filter(|(_, own)| own.species == lot.species.id) {
        let is_this = |section: &Section| section.name == offcut.section;
        let Some(section) = lot.sections.iter().position(|own| is_this(own)) else { continue };
        let blank = Stretch {
            section,
            offcut,
            board: (place, 0),
            from: Length::ZERO,
            to: offcut.length,
            count: offcut.count as usize,
            flaws: 0,
            choice: None,
        };
        if offcut.defects.is_empty() {
            all.push(blank);
            continue;
        }
        for which in 0..blank.count {
            let mut known: Vec<Vec<(Length, Length, u8)>> = Vec::new();
            for left_in in 0..=most {
                let spans = spans(offcut, left_in, kerf);
                if known.contains(&spans) {
                    continue;
                }
                let choice = Some(Choice { board: (place, which), way: known.len() });
                all.extend(spans.iter().map(|&(from, to, flaws)| Stretch {
                    board: (place, which),
                    count: 1,
                    from,
                    to,
                    flaws,
                    choice,
                    ..blank
                }));
                known.push(spans);
            }
        }
    }
    all
}

/// Stretches between the defects that are cut out, which are those with more flaws than may be left in; and the flaws left in each.
/// What is cut out is a saw's cut wide at least.
fn spans(offcut: &Offcut, left_in: u8, kerf: Length) -> Vec<(Length, Length, u8)> {
    let flaws = |side| if side == DefectSide::Back { 1 } else { 2 };
    let mut spans = Vec::new();
    let (mut from, mut worst) = (Length::ZERO, 0);
    for defect in &offcut.defects {
        let own = flaws(defect.side);
        if own <= left_in {
            worst = worst.max(own);
            continue;
        }
        if defect.from > from {
            spans.push((from, defect.from, worst));
        }
        (from, worst) = (from.max(defect.to).max(defect.from + kerf), 0);
    }
    if offcut.length > from {
        spans.push((from, offcut.length, worst));
    }
    spans
}

/// The clear stretches of a board in hand, from and to.
pub fn clear_stretches(offcut: &Offcut, kerf: Length) -> impl Iterator<Item = (Length, Length)> {
    spans(offcut, 0, kerf).into_iter().map(|span| (span.0, span.1))
}

fn face(length: Length, width: Length) -> i128 {
    i128::from(length.as_nm()) * i128::from(width.as_nm())
}

/// The greatest face of which the faces of all boards on sale are multiples; a square nanometre where nothing is on sale.
fn common_face(lot: &Lot, bought: &[(usize, StockLength)]) -> i128 {
    let faces = bought.iter().map(|(section, stock)| face(stock.length, lot.sections[*section].width));
    faces.fold(0, common_measure).max(1)
}

/// The crosscut saw and the ends that are squared off.
pub(super) fn saw(tools: &Tools) -> Saw {
    Saw { kerf: tools.crosscut_kerf, trim_low: tools.end_trim, trim_high: tools.end_trim }
}
