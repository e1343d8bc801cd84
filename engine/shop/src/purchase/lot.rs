//! What is bought as one: a section in a species, or all sections of one thickness that parts may be ripped from.

use super::cheapest::Piece;
use crate::demand::{StockPiece, Wanted};
use slatwork_catalog::{Catalogue, Offcut, Section, Species};
use slatwork_model::Defects;

/// Pieces that may come from the same boards, and the sections of those.
pub(super) struct Lot<'a> {
    pub(super) species: &'a Species,
    /// Those that parts ask for, as they come in the piece; then wider ones, narrowest first. All of one thickness. Where two are of
    /// one width, every part that asks for such a width may come from either.
    pub(super) sections: Vec<&'a Section>,
    /// Places of those that parts ask for.
    pub(super) wanted: std::ops::Range<usize>,
    /// The pieces, each with the place of the section that it asks for.
    pub(super) pieces: Vec<LotPiece<'a>>,
}

/// A piece of a lot.
#[derive(Clone, Copy)]
pub(super) struct LotPiece<'a> {
    /// Place of the section that it asks for.
    pub(super) section: usize,
    pub(super) piece: &'a StockPiece,
}

impl<'a> Lot<'a> {
    fn new(wanted: &[&'a Wanted<'a>], wider: Vec<&'a Section>) -> Option<Self> {
        let species = wanted.first()?.species;
        let own = wanted.iter().map(|group| group.section);
        let pieces = wanted.iter().enumerate();
        let pieces = pieces
            .flat_map(|(section, group)| group.pieces.iter().map(move |piece| LotPiece { section, piece }));
        Some(Lot {
            species,
            sections: own.chain(wider).collect(),
            wanted: 0..wanted.len(),
            pieces: pieces.collect(),
        })
    }

    /// The section, where there is only one.
    pub(super) fn only_section(&self) -> Option<&'a Section> {
        if let [section] = self.sections[..] { Some(section) } else { None }
    }

    /// A piece as the inner room sees it.
    pub(super) fn piece(&self, own: &LotPiece) -> Piece {
        Piece {
            length: own.piece.length,
            width: own.piece.width,
            section: self.sections[own.section].width,
            from_wider: own.piece.from_wider,
            flaws: tolerated(own.piece.defects),
        }
    }

    /// Whether a piece may come from a section.
    pub(super) fn may_come_from(&self, own: &LotPiece, section: usize) -> bool {
        let (asked, other) = (self.sections[own.section].width, self.sections[section].width);
        section == own.section || own.piece.from_wider && other >= asked
    }
}

/// The most flaws that a board may have for such a part.
pub(super) fn tolerated(defects: Defects) -> u8 {
    match defects {
        Defects::None => 0,
        Defects::Back => 1,
        Defects::Any => 2,
    }
}

/// All that is wanted, in lots, in the order in which the piece first asks for a section of each.
pub(super) fn lots<'a>(catalogue: &'a Catalogue, wanted: &'a [Wanted<'a>]) -> Vec<Lot<'a>> {
    let mut lots = Vec::new();
    let mut taken = vec![false; wanted.len()];
    for first in 0..wanted.len() {
        if taken[first] {
            continue;
        }
        let together = together(wanted, first, &taken);
        together.iter().for_each(|&at| taken[at] = true);
        let groups: Vec<&Wanted> = together.iter().map(|&at| &wanted[at]).collect();
        // What another lot asks for or may be cut from is not counted twice.
        let wider = wider(catalogue, &groups);
        let is_free = |section: &&Section| {
            let others = wanted.iter().filter(|other| other.species.id == wanted[first].species.id);
            let in_lots = lots.iter().filter(|lot: &&Lot| lot.species.id == wanted[first].species.id);
            others
                .map(|other| other.section)
                .chain(in_lots.flat_map(|lot| lot.sections.iter().copied()))
                .all(|other| other.name != section.name)
        };
        lots.extend(Lot::new(&groups, wider.into_iter().filter(is_free).collect()));
    }
    lots
}

/// Places of what has to be bought with one: of its wood and thickness, as wide as or wider than the narrowest of which a part
/// may come from a wider section. Two of one width are together only where all their parts may come from wider ones, so that either's
/// boards will do.
fn together(wanted: &[Wanted], first: usize, taken: &[bool]) -> Vec<usize> {
    let own = &wanted[first];
    let is_like = |other: &Wanted| {
        other.species.id == own.species.id
            && other.section.thickness == own.section.thickness
            && other.section.class == own.section.class
    };
    let like = || (0..wanted.len()).filter(|&at| !taken[at] && is_like(&wanted[at]));
    let narrowest = like().filter(|&at| wanted[at].pieces.iter().any(|piece| piece.from_wider));
    let Some(least) = narrowest.map(|at| wanted[at].section.width).min() else { return vec![first] };
    if own.section.width < least {
        return vec![first];
    }
    let mut together = vec![first];
    let from_any = |at: usize| wanted[at].pieces.iter().all(|piece| piece.from_wider);
    for at in like().filter(|&at| wanted[at].section.width >= least) {
        let is_told_apart = |&other: &usize| {
            wanted[other].section.width != wanted[at].section.width || from_any(other) && from_any(at)
        };
        if at != first && together.iter().all(is_told_apart) {
            together.push(at);
        }
    }
    together
}

/// Sections that parts of these may be ripped from besides: wider ones of the same kind, narrowest first.
fn wider<'a>(catalogue: &'a Catalogue, groups: &[&Wanted]) -> Vec<&'a Section> {
    let from = groups.iter().filter(|group| group.pieces.iter().any(|piece| piece.from_wider));
    let Some(least) = from.map(|group| group.section).min_by_key(|section| section.width) else {
        return Vec::new();
    };
    let is_other = |section: &&Section| {
        section.width > least.width
            && section.thickness == least.thickness
            && section.class == least.class
            && groups.iter().all(|group| group.section.width != section.width)
    };
    let mut wider: Vec<&Section> = catalogue.sections().filter(is_other).collect();
    wider.sort_by_key(|section| section.width);
    wider
}

/// Wider boards on sale that parts of a lot are not ripped from, since they were measured to another thickness: what they are sold
/// as is as thick as what the parts ask for.
pub(super) fn of_other_thickness<'a>(
    catalogue: &'a Catalogue,
    lot: &Lot<'a>,
) -> Vec<(&'a Section, &'a Section)> {
    let asks = |at: &usize| lot.pieces.iter().any(|own| own.section == *at && own.piece.from_wider);
    let mut left_out = Vec::new();
    for own in lot.wanted.clone().filter(asks).map(|at| lot.sections[at]) {
        let is_other = |section: &&Section| {
            section.class == own.class
                && section.nominal.is_some()
                && section.sold_size().0 == own.sold_size().0
                && section.thickness != own.thickness
                && section.width > own.width
                && (section.measured || own.measured)
        };
        let is_had = |section: &&Section| {
            let on_rack = |own: &Offcut| own.section == section.name && own.species == lot.species.id;
            !catalogue.stock(section, lot.species, None).is_empty() || catalogue.rack().iter().any(on_rack)
        };
        left_out.extend(catalogue.sections().filter(is_other).filter(is_had).map(|section| (own, section)));
    }
    left_out
}
