//! Curved parts in nests: rows that are crosscut from a board as one length, traced and sawn apart.
//!
//! A nest is one more piece to the inner room, as wide as the board. First all parts are cut to rectangles. Where pieces only lie one behind
//! the other, the rows themselves are then lengths that may be cut (`together.rs`). Otherwise each part is given the length that it counts for
//! at least, in whatever row it lies: what cannot be cheaper even so is not beaten by nests, and where the boards of that plan hold the rows
//! of their parts, or a few ways to group the parts do, the cheapest of these is taken.

use super::cheapest::{Asked, Cheapest, Piece};
use super::lot::{Lot, LotPiece};
use super::outline::nest_outline;
use super::together;
use crate::stock::nesting::{
    Bundle, Faces, NestBoard, NestPart, NestProblem, Polygon, RowTable, Taken, Turn,
};
use slatwork_base::{Length, Tape};
use slatwork_catalog::Tools;
use slatwork_model::{Model, PartId};
use std::collections::{BTreeMap, BTreeSet, VecDeque};

/// What is cut from a board as one.
#[derive(Clone, Debug)]
pub(super) enum Item {
    /// The rectangle of a piece, by its place.
    Piece(usize),
    /// Pieces in a row.
    Nest(Vec<Nested>),
}

/// A piece in its place.
#[derive(Clone, Copy, Debug)]
pub(super) struct Nested {
    pub(super) piece: usize,
    pub(super) turn: Turn,
    /// Low corner of its outline's box: from the beginning of the nest, and from the board's datum edge.
    pub(super) at: (Length, Length),
    /// Length and width of that box.
    pub(super) size: (Length, Length),
}

/// The cheapest plan over rectangles and nests.
pub(super) struct Plan {
    /// Its pieces are places among the items.
    pub(super) cheapest: Cheapest,
    pub(super) items: Vec<Item>,
    /// What each piece counts for at least.
    pub(super) lengths: Vec<Length>,
    /// Whether any nests were looked at.
    pub(super) nests: bool,
}

/// What nesting needs to know beside the pieces.
#[derive(Clone, Copy)]
pub(super) struct Shop<'a> {
    pub(super) model: &'a Model,
    pub(super) tools: &'a Tools,
    pub(super) tape: Tape,
}

impl Plan {
    /// No plan.
    pub(super) fn nothing(pieces: &[Piece]) -> Self {
        let lengths = pieces.iter().map(|piece| piece.length).collect();
        Plan { cheapest: Cheapest::nothing(), items: Vec::new(), lengths, nests: false }
    }

    /// Takes the plan with these rows where it is better.
    fn take(&mut self, groups: &[Group], rows: &Rows, (asked, shop, bound): (&Asked, Shop, i64)) {
        let (items, as_pieces) = items(groups, rows, asked, shop);
        let Ok(found) = Asked { pieces: &as_pieces, ..*asked }.solve() else { return };
        let found = found.under(bound, asked);
        let rank = |plan: &Cheapest| (plan.lacking.len(), asked.cost(plan));
        if rank(&found) < rank(&self.cheapest) {
            (self.cheapest, self.items) = (found, items);
        }
    }

    /// Pieces that no board is left for.
    pub(super) fn lacking(&self) -> Vec<usize> {
        let pieces = |&item: &usize| match &self.items[item] {
            Item::Piece(at) => vec![*at],
            Item::Nest(nest) => nest.iter().map(|own| own.piece).collect(),
        };
        self.cheapest.lacking.iter().flat_map(pieces).collect()
    }
}

impl Shop<'_> {
    /// Least distance between two nested parts.
    pub(super) fn clearance(&self) -> Length {
        self.tools.band_saw_kerf + self.tools.nest_margin
    }

    /// What is cut for a row: room at its ends, then up to the next mark of the tape.
    pub(super) fn length_for(&self, row: Length) -> Length {
        let least = row + self.tools.nest_margin + self.tools.nest_margin;
        let mark = self.tape.mark_below(least);
        if mark < least { mark + self.tape.step() } else { mark }
    }
}

/// The cheapest plan.
///
/// # Errors
/// Why there is none, in words.
pub(super) fn plan(lot: &Lot, pieces: &[&LotPiece], asked: &Asked, shop: Shop) -> Result<Plan, String> {
    let groups = groups(lot, pieces, asked, shop);
    let lengths = lengths(asked, &groups);
    let plain = asked.solve()?;
    let mut best = Plan {
        items: (0..pieces.len()).map(Item::Piece).collect(),
        nests: !groups.is_empty(),
        cheapest: plain,
        lengths,
    };
    if best.lengths.iter().zip(asked.pieces).all(|(least, piece)| *least == piece.length) {
        return Ok(best);
    }
    let least: Vec<Piece> =
        best.lengths.iter().zip(asked.pieces).map(|(&length, piece)| Piece { length, ..*piece }).collect();
    if let Some(found) = together::plan(&groups, asked, shop) {
        best.cheapest = best.cheapest.under(found.bound, asked);
        if found.cost < asked.cost(&best.cheapest) || !best.cheapest.lacking.is_empty() {
            best.take(&groups, &found.rows, (asked, shop, found.bound));
        }
        return Ok(best);
    }
    let Ok(ideal) = Asked { pieces: &least, ..*asked }.solve() else {
        // Nothing can be told of nests, so none is used.
        let lengths = asked.pieces.iter().map(|piece| piece.length).collect();
        return Ok(Plan { lengths, nests: false, ..best });
    };
    best.cheapest = best.cheapest.under(ideal.bound, asked);
    for rows in ways(&groups, &ideal, asked) {
        if best.cheapest.is_proven {
            break;
        }
        best.take(&groups, &rows, (asked, shop, ideal.bound));
    }
    Ok(best)
}

/// Pieces of one section that may lie in one row.
pub(super) struct Group {
    section: Length,
    /// What the longest board of it gives.
    longest: Length,
    /// Places of the pieces of each outline that wait, with what turns the outline into the piece's own.
    pub(super) kinds: Vec<Vec<(usize, Turn)>>,
    /// Length and width of each outline.
    sizes: Vec<(Length, Length)>,
    pub(super) table: RowTable,
}

/// An outline while they are gathered.
struct Kind {
    polygon: Polygon,
    faces: Faces,
    like: (i64, u8),
    pieces: Vec<(usize, Turn)>,
}

/// Curved parts by section. Those of one outline lie alike, whichever way each is drawn.
fn groups(lot: &Lot, pieces: &[&LotPiece], asked: &Asked, shop: Shop) -> Vec<Group> {
    let mut outlines: BTreeMap<PartId, Option<(Polygon, Faces)>> = BTreeMap::new();
    let mut by_section: BTreeMap<usize, Vec<Kind>> = BTreeMap::new();
    for (at, own) in pieces.iter().enumerate() {
        let part = own.piece.part;
        let outline = outlines.entry(part).or_insert_with(|| nest_outline(shop.model.part(part)));
        let Some((polygon, faces)) = outline else { continue };
        let kinds = by_section.entry(own.section).or_default();
        let like = (own.piece.length.as_nm(), asked.pieces[at].flaws);
        let turn = |kind: &Kind| {
            let is_like = kind.faces == *faces && kind.like == like;
            faces.turns().iter().copied().find(|&turn| is_like && polygon.turned(turn) == kind.polygon)
        };
        match kinds.iter_mut().find_map(|kind| turn(kind).map(|turn| (kind, turn))) {
            Some((kind, turn)) => kind.pieces.push((at, turn)),
            None => {
                let pieces = vec![(at, Turn::AsDrawn)];
                kinds.push(Kind { polygon: polygon.clone(), faces: *faces, like, pieces });
            }
        }
    }
    by_section
        .into_iter()
        .filter_map(|(section, kinds)| group(lot.sections[section].width, kinds, asked, shop))
        .collect()
}

/// `None` where there are not two of them, or more than are looked at, or no board holds them.
fn group(section: Length, kinds: Vec<Kind>, asked: &Asked, shop: Shop) -> Option<Group> {
    if kinds.iter().map(|kind| kind.pieces.len()).sum::<usize>() < 2 {
        return None;
    }
    let room = shop.tools.nest_margin + shop.tools.nest_margin;
    let own = asked.boards.iter().filter(|board| board.width == section);
    let longest = own.map(|board| asked.saw.usable(board.stick.length)).max()?;
    let part =
        |kind: &Kind| NestPart { polygon: kind.polygon.clone(), faces: kind.faces, count: kind.pieces.len() };
    let problem = NestProblem {
        parts: kinds.iter().map(part).collect(),
        width: section,
        clearance: shop.clearance(),
        boards: vec![NestBoard { length: longest - room, cost: 0, available: None, zones: Vec::new() }],
    };
    let alone = kinds.iter().map(|kind| Length::nm(kind.like.0) + asked.saw.kerf).collect();
    let taken = Taken { alone, round_rows: room + asked.saw.kerf };
    let table = RowTable::new(&problem, taken).ok()??;
    let size = |kind: &Kind| (Length::nm(kind.polygon.length()), Length::nm(kind.polygon.width()));
    let sizes = kinds.iter().map(size).collect();
    let kinds = kinds.into_iter().map(|kind| kind.pieces).collect();
    Some(Group { section, longest, sizes, kinds, table })
}

/// What each piece counts for at least: its length, or its share of the rows that it may lie in.
fn lengths(asked: &Asked, groups: &[Group]) -> Vec<Length> {
    let mut lengths: Vec<Length> = asked.pieces.iter().map(|piece| piece.length).collect();
    for group in groups {
        for (share, pieces) in group.table.shares().into_iter().zip(&group.kinds) {
            let length = (share - asked.saw.kerf).max(Length::nm(1));
            pieces.iter().for_each(|&(at, _)| lengths[at] = lengths[at].min(length));
        }
    }
    lengths
}

/// By group: the rows, one after another.
pub(super) type Rows = Vec<Vec<Bundle>>;

/// Ways to group the parts into rows: as the boards of the ideal plan hold them; then the rows that save most, for each length of
/// board those that it holds.
fn ways(groups: &[Group], ideal: &Cheapest, asked: &Asked) -> Vec<Rows> {
    let mut ways: Vec<Rows> = vec![groups.iter().map(|group| group.on_boards(ideal)).collect()];
    let worth: Vec<Vec<Bundle>> = groups
        .iter()
        .map(|group| group.table.rows().unwrap_or_default().into_iter().map(|own| own.0).collect())
        .collect();
    let lengths: BTreeSet<Length> =
        asked.boards.iter().map(|board| asked.saw.usable(board.stick.length)).collect();
    for &most in lengths.iter().rev() {
        let rows = groups.iter().zip(&worth).map(|(group, worth)| group.laid_out(worth, most)).collect();
        if !ways.contains(&rows) {
            ways.push(rows);
        }
    }
    ways
}

impl Group {
    /// The parts that are on one board of a plan, board by board.
    fn on_boards(&self, plan: &Cheapest) -> Vec<Bundle> {
        let rows = plan.boards.iter().map(|board| {
            let strips = board.sections.iter().flat_map(|section| &section.strips);
            let held: BTreeSet<usize> = strips.flat_map(|strip| strip.pieces.iter().copied()).collect();
            let count = |kind: &Vec<(usize, Turn)>| kind.iter().filter(|own| held.contains(&own.0)).count();
            self.kinds.iter().map(count).collect::<Vec<usize>>()
        });
        let mut known = BTreeMap::new();
        let row = |counts: Vec<usize>| {
            known.entry(counts).or_insert_with_key(|counts| self.table.row(counts)).clone()
        };
        rows.filter(|counts| counts.iter().sum::<usize>() > 1).filter_map(row).collect()
    }

    /// What is cut for a row, where a board gives that and it saves something.
    pub(super) fn length_of(&self, row: &Bundle, shop: Shop) -> Option<Length> {
        let length = shop.length_for(row.length);
        // What the tape's next mark adds may be all that is saved.
        let rounded = length - row.length - shop.tools.nest_margin - shop.tools.nest_margin;
        (length <= self.longest && self.table.saved(row) > rounded).then_some(length)
    }

    /// All parts in rows up to a length, each as often as there are parts left for it.
    fn laid_out(&self, worth: &[Bundle], most: Length) -> Vec<Bundle> {
        let mut left: Vec<usize> = self.kinds.iter().map(Vec::len).collect();
        let mut rows = Vec::new();
        for row in worth.iter().filter(|row| row.length <= most) {
            while row.counts.iter().zip(&left).all(|(own, left)| own <= left) {
                left.iter_mut().zip(&row.counts).for_each(|(left, own)| *left -= own);
                rows.push(row.clone());
            }
        }
        rows
    }
}

/// Everything that is cut when the parts are grouped so, and the same as pieces of the inner room.
fn items(groups: &[Group], rows: &Rows, asked: &Asked, shop: Shop) -> (Vec<Item>, Vec<Piece>) {
    let mut is_nested = vec![false; asked.pieces.len()];
    let (mut items, mut pieces) = (Vec::new(), Vec::new());
    for (group, rows) in groups.iter().zip(rows) {
        let mut waiting: Vec<VecDeque<(usize, Turn)>> =
            group.kinds.iter().map(|kind| kind.iter().copied().collect()).collect();
        for row in rows {
            // The last rows may be for more parts than are left.
            let left = waiting.iter().zip(&row.counts).map(|(queue, &count)| count.min(queue.len()));
            let left: Vec<usize> = left.collect();
            let row = if left == row.counts { Some(row.clone()) } else { group.table.row(&left) };
            let Some(row) = row.filter(|_| left.iter().sum::<usize>() > 1) else { continue };
            let Some(length) = group.length_of(&row, shop) else { continue };
            let nested: Vec<Nested> = row
                .placements
                .iter()
                .filter_map(|placed| {
                    let (piece, own) = waiting[placed.part].pop_front()?;
                    let at = (Length::nm(placed.at.x) + shop.tools.nest_margin, Length::nm(placed.at.y));
                    let size = group.sizes[placed.part];
                    Some(Nested { piece, turn: own.then(placed.turn), at, size })
                })
                .collect();
            nested.iter().for_each(|own| is_nested[own.piece] = true);
            let flaws = nested.iter().map(|own| asked.pieces[own.piece].flaws).min().unwrap_or(0);
            let section = group.section;
            pieces.push(Piece { length, width: section, section, from_wider: false, flaws });
            items.push(Item::Nest(nested));
        }
    }
    for at in (0..asked.pieces.len()).filter(|&at| !is_nested[at]) {
        items.push(Item::Piece(at));
        pieces.push(asked.pieces[at]);
    }
    (items, pieces)
}
