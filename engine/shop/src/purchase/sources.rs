//! What sets of parts are cut from, and how far the rip saw goes: read off the boards as they are laid out.

use super::{BoardLayout, LayoutCut, Purchase};
use slatwork_base::Length;

/// Pieces of a set that come from boards of one section.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Source {
    /// Name of the section.
    pub section: String,
    /// Width of its boards.
    pub board_width: Length,
    /// Whether they are ripped, being narrower than the board.
    pub is_ripped: bool,
    /// How many pieces, of all that the purchase is for.
    pub pieces: usize,
    /// Strips that they are cut from; one strip may hold several of them, and others as wide.
    pub strips: usize,
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
        for board in &self.layouts {
            for lane in board.cuts.iter().flat_map(|cut| &cut.lanes) {
                let is_own = |name: &str| names.is_none_or(|names| names.contains(&name));
                let own = lane.pieces.iter().filter(|piece| piece.mark == mark && is_own(&piece.name));
                match own.count() {
                    0 => {}
                    pieces => add(&mut sources, board, lane.width, pieces),
                }
            }
        }
        sources.sort_by(|a, b| (a.board_width, &a.section).cmp(&(b.board_width, &b.section)));
        sources
    }

    /// How far the rip saw goes through all boards: along each length that is ripped, once for each cut beside a strip.
    pub fn ripped(&self) -> Length {
        let cuts = self.layouts.iter().flat_map(|board| board.cuts.iter().map(move |cut| (board, cut)));
        cuts.flat_map(|(board, cut)| std::iter::repeat_n(cut.end - cut.start, cut.rips(board.width))).sum()
    }
}

fn add(sources: &mut Vec<Source>, board: &BoardLayout, width: Length, pieces: usize) {
    match sources.iter_mut().find(|own| own.section == board.section) {
        Some(own) => {
            own.pieces += pieces;
            own.strips += 1;
        }
        None => sources.push(Source {
            section: board.section.clone(),
            board_width: board.width,
            is_ripped: width < board.width,
            pieces,
            strips: 1,
        }),
    }
}
