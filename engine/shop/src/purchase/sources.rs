//! What sets of parts are cut from, and how far the rip saw goes: read off the boards as they are laid out. What is nested is traced on its
//! length of the board and sawn out, not ripped.

use super::{BoardLayout, LayoutCut, LayoutPiece, Purchase};
use slatwork_base::Length;

/// Pieces of a set that come from boards of one section, in strips or in nests.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Source {
    /// Name of the section.
    pub section: String,
    /// Width of its boards.
    pub board_width: Length,
    /// Whether they are ripped, being narrower than the board.
    pub is_ripped: bool,
    /// Whether they are traced in nests.
    pub is_nested: bool,
    /// How many pieces, of all that the purchase is for.
    pub pieces: usize,
    /// Strips that they are cut from; one strip may hold several of them, and others as wide. None of what is nested.
    pub strips: usize,
}

impl Source {
    /// `1x8`, or `nests on 2x6`.
    pub fn words(&self) -> String {
        if self.is_nested { format!("nests on {}", self.section) } else { self.section.clone() }
    }
}

impl LayoutCut {
    /// How often the rip saw goes along it: beside each strip that does not end at the board's far edge.
    pub fn rips(&self, board_width: Length) -> usize {
        self.lanes.iter().filter(|lane| lane.from_edge + lane.width < board_width).count()
    }
}

impl Purchase {
    /// What the pieces of a set are cut from, the narrowest boards first: all of its pieces, or those of some names.
    pub fn sources(&self, mark: &str, names: Option<&[&str]>) -> Vec<Source> {
        let mut sources: Vec<Source> = Vec::new();
        let is_own = |piece: &&LayoutPiece| {
            piece.mark == mark && names.is_none_or(|names| names.contains(&piece.name.as_str()))
        };
        for (board, cut) in self.layouts.iter().flat_map(BoardLayout::with_cuts) {
            for lane in &cut.lanes {
                add(&mut sources, board, Some(lane.width), lane.pieces.iter().filter(is_own).count());
            }
            let nested = cut.nest.iter().flat_map(|nest| &nest.pieces).map(|own| &own.piece);
            add(&mut sources, board, None, nested.filter(is_own).count());
        }
        let key = |own: &Source| (own.board_width, own.section.clone(), own.is_nested);
        sources.sort_by_key(key);
        sources
    }

    /// How far the rip saw goes through all boards: along each length that is ripped, once for each cut beside a strip.
    pub fn ripped(&self) -> Length {
        let cuts = self.layouts.iter().flat_map(BoardLayout::with_cuts);
        cuts.flat_map(|(board, cut)| std::iter::repeat_n(cut.end - cut.start, cut.rips(board.width))).sum()
    }
}

impl BoardLayout {
    fn with_cuts(&self) -> impl Iterator<Item = (&BoardLayout, &LayoutCut)> {
        self.cuts.iter().map(move |cut| (self, cut))
    }
}

/// Adds pieces of one strip, or, without a width, of one nest.
fn add(sources: &mut Vec<Source>, board: &BoardLayout, strip: Option<Length>, pieces: usize) {
    if pieces == 0 {
        return;
    }
    let (is_nested, strips) = (strip.is_none(), usize::from(strip.is_some()));
    match sources.iter_mut().find(|own| own.section == board.section && own.is_nested == is_nested) {
        Some(own) => {
            own.pieces += pieces;
            own.strips += strips;
        }
        None => sources.push(Source {
            section: board.section.clone(),
            board_width: board.width,
            is_ripped: strip.is_some_and(|width| width < board.width),
            is_nested,
            pieces,
            strips,
        }),
    }
}
