//! One board with its cuts, each at its place from the datum end.

use super::cheapest::{Sawn, Section, Strip};
use super::lot::{Lot, LotPiece};
use super::nests::{Item, Nested, Shop};
use super::supply::Supply;
use crate::stock::nesting::Turn;
use slatwork_base::Length;
use slatwork_model::PartId;

/// Where a board comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BoardSource {
    /// Bought.
    Yard,
    /// An offcut in hand.
    Rack,
}

/// A piece in its place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LayoutPiece {
    /// The part it is for.
    pub part: PartId,
    /// Name of the part, or of the strip of a glued blank.
    pub name: String,
    /// Mark of the part's set.
    pub mark: String,
    /// Where it starts, from the board's datum end.
    pub start: Length,
    /// Where it ends: the stop for this cut.
    pub end: Length,
}

/// A strip of a length crosscut from the board.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LayoutLane {
    /// Its lower edge, from the board's datum edge.
    pub from_edge: Length,
    /// Width it is ripped to.
    pub width: Length,
    /// Pieces along it.
    pub pieces: Vec<LayoutPiece>,
}

/// A piece in a nest: its outline is traced here and sawn out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NestedPiece {
    /// The piece, with the span of its outline along the board.
    pub piece: LayoutPiece,
    /// Lower edge of its outline, from the board's datum edge.
    pub from_edge: Length,
    /// How far its outline reaches across the board.
    pub width: Length,
    /// How it lies.
    pub turn: Turn,
}

impl NestedPiece {
    /// How it lies, in words: which face is up, and which of its ends comes first.
    pub fn turn_words(&self) -> &'static str {
        match self.turn {
            Turn::AsDrawn => "as drawn",
            Turn::HalfTurn => "turned end for end",
            Turn::FlippedOverLength => "flipped, its datum end first",
            Turn::FlippedOverWidth => "flipped, its far end first",
        }
    }
}

/// Pieces that are traced close together on a length of the board and sawn apart.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LayoutNest {
    /// Least distance between two outlines: the saw's cut and the margin.
    pub clearance: Length,
    /// The pieces from the datum end.
    pub pieces: Vec<NestedPiece>,
}

/// A length crosscut from the board.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LayoutCut {
    /// Where it starts, from the board's datum end.
    pub start: Length,
    /// Where it ends: the stop for this cut.
    pub end: Length,
    /// What it is ripped into; one strip as wide as the board when it is not ripped, none where pieces are nested.
    pub lanes: Vec<LayoutLane>,
    /// What is traced on it and sawn out.
    pub nest: Option<LayoutNest>,
    /// Width of the strip left over.
    pub strip_left: Length,
}

impl LayoutCut {
    /// Whether it is ripped, or crosscut once more: neither a single piece that takes the board's width nor a nest.
    pub fn is_ripped(&self) -> bool {
        self.lanes.len() > 1
            || self.strip_left.is_positive()
            || self.lanes.iter().any(|lane| lane.pieces.len() > 1)
    }

    /// Whether two are cut alike: at the same places, for parts that are the same.
    fn is_like(&self, other: &LayoutCut) -> bool {
        let piece = |a: &LayoutPiece, b: &LayoutPiece| (&a.mark, a.start, a.end) == (&b.mark, b.start, b.end);
        let lane = |(a, b): (&LayoutLane, &LayoutLane)| {
            (a.from_edge, a.width, a.pieces.len()) == (b.from_edge, b.width, b.pieces.len())
                && a.pieces.iter().zip(&b.pieces).all(|(a, b)| piece(a, b))
        };
        let nested = |cut: &LayoutCut| -> Vec<NestedPiece> {
            cut.nest.iter().flat_map(|nest| &nest.pieces).cloned().collect()
        };
        let (own, others) = (nested(self), nested(other));
        let nest = |(a, b): (&NestedPiece, &NestedPiece)| {
            piece(&a.piece, &b.piece) && (a.from_edge, a.turn) == (b.from_edge, b.turn)
        };
        (self.start, self.end, self.lanes.len()) == (other.start, other.end, other.lanes.len())
            && self.lanes.iter().zip(&other.lanes).all(lane)
            && own.len() == others.len()
            && own.iter().zip(&others).all(nest)
    }
}

/// Which stretch of which board on the rack.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct RackStretch {
    /// Place of the entry on the rack.
    pub offcut: usize,
    /// Which of those that are alike, where it has defects.
    pub board: usize,
    /// Where it begins on the board.
    pub from: Length,
    /// Length of the whole board.
    pub whole: Length,
}

impl RackStretch {
    /// Whether it is all of the board.
    pub fn is_whole(&self, length: Length) -> bool {
        length == self.whole
    }
}

/// One board and everything cut from it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BoardLayout {
    /// Name of the section.
    pub section: String,
    /// Id of the species.
    pub species: String,
    /// Bought, or from the rack.
    pub from: BoardSource,
    /// What of a board on the rack it is.
    pub stretch: Option<RackStretch>,
    /// Length as it comes; of a board with defects, of this stretch of it.
    pub length: Length,
    /// Width of the section.
    pub width: Length,
    /// Price in cents, of a bought board where it is known; nothing for an offcut in hand.
    pub price_cents: Option<i64>,
    /// Squared off the datum end first, the saw's cut included.
    pub trim_low: Length,
    /// Kept off the far end.
    pub trim_high: Length,
    /// Width of the crosscut.
    pub kerf: Length,
    /// Width of the rip cut.
    pub rip_kerf: Length,
    /// No strip is ripped narrower.
    pub narrowest_rip: Length,
    /// Cuts in order from the datum end.
    pub cuts: Vec<LayoutCut>,
    /// Clear length left behind the last cut.
    pub offcut: Length,
}

impl BoardLayout {
    /// Whether what is left is long enough to be put on the rack.
    pub fn is_kept(&self, usable: Length) -> bool {
        self.offcut >= usable
    }

    /// Whether two boards are cut alike: of one kind, at the same places, for parts that are the same.
    pub(super) fn is_like(&self, other: &BoardLayout) -> bool {
        let stretch = |board: &BoardLayout| board.stretch.map(|own| (own.offcut, own.from, own.whole));
        (&self.section, &self.species, stretch(self), self.length)
            == (&other.section, &other.species, stretch(other), other.length)
            && self.from == other.from
            && self.cuts.len() == other.cuts.len()
            && self.cuts.iter().zip(&other.cuts).all(|(a, b)| a.is_like(b))
    }
}

pub(super) fn layout(
    lot: &Lot,
    supply: &Supply,
    (pieces, items): (&[&LotPiece], &[Item]),
    sawn: &Sawn,
    shop: Shop,
) -> BoardLayout {
    let tools = shop.tools;
    let (from, section, length, price_cents) = match supply.bought.get(sawn.stick) {
        Some((section, stock)) => (BoardSource::Yard, *section, stock.length, stock.price_cents),
        // Sticks are the bought lengths and then the offcuts.
        None => {
            let own = &supply.rack[sawn.stick - supply.bought.len()];
            (BoardSource::Rack, own.section, own.length(), Some(0))
        }
    };
    let stretch = supply.rack.get(sawn.stick.wrapping_sub(supply.bought.len())).map(|own| RackStretch {
        offcut: own.board.0,
        board: own.board.1,
        from: own.from,
        whole: own.offcut.length,
    });
    let section = lot.sections[section];
    let trim = if from == BoardSource::Yard { tools.end_trim } else { Length::ZERO };
    let mut board = BoardLayout {
        section: section.name.clone(),
        species: lot.species.id.clone(),
        from,
        stretch: stretch.filter(|_| from == BoardSource::Rack),
        length,
        width: section.width,
        price_cents,
        trim_low: trim,
        trim_high: trim,
        kerf: tools.crosscut_kerf,
        rip_kerf: tools.rip_kerf,
        narrowest_rip: tools.minimum_rip,
        cuts: Vec::with_capacity(sawn.sections.len()),
        offcut: Length::ZERO,
    };
    let mut start = trim;
    for section in &sawn.sections {
        board.cuts.push(cut(&board, (pieces, items), section, (start, shop)));
        start += section.length + board.kerf;
    }
    board.offcut = (length - trim - start).max(Length::ZERO);
    board
}

fn cut(
    board: &BoardLayout,
    (pieces, items): (&[&LotPiece], &[Item]),
    section: &Section,
    (start, shop): (Length, Shop),
) -> LayoutCut {
    let end = start + section.length;
    if let [Strip { pieces: only, .. }] = &section.strips[..]
        && let [item] = only[..]
        && let Item::Nest(own) = &items[item]
    {
        let nest = Some(nest(pieces, own, start, shop));
        return LayoutCut { start, end, lanes: Vec::new(), nest, strip_left: Length::ZERO };
    }
    let mut from_edge = Length::ZERO;
    let mut lanes = Vec::with_capacity(section.strips.len());
    for strip in &section.strips {
        lanes.push(lane(board, (pieces, items), strip, start, from_edge));
        from_edge += strip.width + board.rip_kerf;
    }
    let strip_left = (board.width - from_edge).max(Length::ZERO);
    LayoutCut { start, end, lanes, nest: None, strip_left }
}

/// A nest where it begins on its board.
fn nest(pieces: &[&LotPiece], nest: &[Nested], start: Length, shop: Shop) -> LayoutNest {
    let place = |own: &Nested| {
        let piece = pieces[own.piece].piece;
        let (from, from_edge, (length, width)) = (start + own.at.0, own.at.1, own.size);
        let piece = LayoutPiece {
            part: piece.part,
            name: piece.name.clone(),
            mark: piece.mark.clone(),
            start: from,
            end: from + length,
        };
        NestedPiece { piece, from_edge, width, turn: own.turn }
    };
    LayoutNest { clearance: shop.clearance(), pieces: nest.iter().map(place).collect() }
}

fn lane(
    board: &BoardLayout,
    (pieces, items): (&[&LotPiece], &[Item]),
    strip: &Strip,
    start: Length,
    from_edge: Length,
) -> LayoutLane {
    let mut at = start;
    let mut placed = Vec::with_capacity(strip.pieces.len());
    let rectangle = |&item: &usize| match items[item] {
        Item::Piece(index) => Some(pieces[index].piece),
        Item::Nest(_) => None,
    };
    for piece in strip.pieces.iter().filter_map(rectangle) {
        placed.push(LayoutPiece {
            part: piece.part,
            name: piece.name.clone(),
            mark: piece.mark.clone(),
            start: at,
            end: at + piece.length,
        });
        at += piece.length + board.kerf;
    }
    LayoutLane { from_edge, width: strip.width, pieces: placed }
}
