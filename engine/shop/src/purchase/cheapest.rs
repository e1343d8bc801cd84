//! The cheapest boards for one section in one species: pieces and sticks as a problem of the inner room, its answer as boards
//! with the pieces that are cut from each.

use crate::stock::cutting::{self, ripping};
use crate::stock::{Piece, Saw, Stick};
use indexmap::IndexMap;
use slatwork_base::Length;
use std::collections::VecDeque;

/// Elementary steps for one section, some tenths of a second: what is not proven by then is stated with its gap.
const STEPS: u64 = 100_000_000;

/// The same for tidying: fewer ways to cut, longer remainders.
const STEPS_TO_TIDY: u64 = 2_000_000;

/// A strip: its width, and its pieces in cutting order by their index.
#[derive(Clone, Debug)]
pub(super) struct Strip {
    pub(super) width: Length,
    pub(super) pieces: Vec<usize>,
}

/// A length crosscut from a board, and the strips that it is ripped into; one as wide as its piece when it is not.
#[derive(Clone, Debug)]
pub(super) struct Section {
    pub(super) length: Length,
    pub(super) strips: Vec<Strip>,
}

/// One board.
#[derive(Clone, Debug)]
pub(super) struct Sawn {
    pub(super) stick: usize,
    pub(super) sections: Vec<Section>,
}

/// A plan and what no plan can beat.
#[derive(Clone, Debug)]
pub(super) struct Cheapest {
    /// Boards in a defined order.
    pub(super) boards: Vec<Sawn>,
    /// Pieces that no board is left for.
    pub(super) lacking: Vec<usize>,
    /// No plan costs less.
    pub(super) bound: i64,
    /// How that is known, in words.
    pub(super) proof: String,
    /// Whether no plan is cheaper than this one.
    pub(super) is_proven: bool,
}

/// What is asked of one section in one species.
#[derive(Clone, Copy, Debug)]
pub(super) struct Asked<'a> {
    pub(super) pieces: &'a [Piece],
    pub(super) sticks: &'a [Stick],
    /// Of the section.
    pub(super) width: Length,
    pub(super) saw: Saw,
    pub(super) rip_kerf: Length,
    /// Shorter remainders are of no use.
    pub(super) usable: Length,
}

/// Pieces of one size that wait to be dealt out to boards, in the order given.
struct Waiting(IndexMap<(i64, i64), VecDeque<usize>>);

impl Waiting {
    fn of(pieces: &[Piece]) -> Waiting {
        let mut waiting: IndexMap<(i64, i64), VecDeque<usize>> = IndexMap::new();
        for (index, piece) in pieces.iter().enumerate() {
            waiting.entry((piece.length.as_nm(), piece.width.as_nm())).or_default().push_back(index);
        }
        waiting.sort_by(|a, _, b, _| b.cmp(a));
        Waiting(waiting)
    }

    /// The next of a size, by the place of that size.
    fn next(&mut self, size: usize) -> Option<usize> {
        self.0.get_index_mut(size)?.1.pop_front()
    }

    /// The same by its length alone: the narrower ones are fitted as well, since all take the whole width.
    fn next_long(&mut self, length: i64) -> Option<usize> {
        self.0.iter_mut().filter(|(size, _)| size.0 == length).find_map(|(_, queue)| queue.pop_front())
    }

    fn rest(self) -> Vec<usize> {
        self.0.into_values().flatten().collect()
    }
}

impl Asked<'_> {
    /// The cheapest plan.
    ///
    /// # Errors
    /// Why there is none, in words: costs or lengths beyond what can be counted.
    pub(super) fn solve(&self) -> Result<Cheapest, String> {
        let beside = |piece: &Piece| self.width - piece.width;
        let takes_all = |piece: &Piece| beside(piece) < self.rip_kerf || beside(piece) == Length::ZERO;
        if self.pieces.iter().all(takes_all) { self.in_a_row() } else { self.ripped() }
    }

    /// Pieces that all take the whole width.
    fn in_a_row(&self) -> Result<Cheapest, String> {
        let mut demands: IndexMap<i64, usize> = IndexMap::new();
        self.pieces.iter().for_each(|piece| *demands.entry(piece.length.as_nm()).or_default() += 1);
        let problem = cutting::Problem {
            stocks: self.sticks.iter().map(stock).collect(),
            parts: demands.iter().map(|(&length, &demand)| cutting::Part { length, demand }).collect(),
            kerf: self.saw.kerf.as_nm(),
            trim: self.trim(),
        };
        let limits = cutting::Limits { steps: STEPS, ..cutting::Limits::default() };
        let answer = cutting::solve(&problem, limits).map_err(|fault| fault.to_string())?;
        let tidied = cutting::tidy(&problem, &answer, self.usable.as_nm(), STEPS_TO_TIDY);
        let answer = tidied.map_err(|fault| fault.to_string())?.answer;
        let mut waiting = Waiting::of(self.pieces);
        let mut boards = Vec::new();
        for layout in &answer.layouts {
            for _ in 0..layout.times {
                let lengths = layout.cuts.iter().flat_map(|cut| std::iter::repeat_n(cut.length, cut.count));
                let pieces = lengths.filter_map(|length| waiting.next_long(length));
                boards.push(Sawn {
                    stick: layout.stock,
                    sections: pieces.map(|piece| self.whole(piece)).collect(),
                });
            }
        }
        let is_proven = answer.is_optimal();
        let proof = answer.proof.to_string();
        Ok(Cheapest {
            boards: in_order(boards, self),
            lacking: waiting.rest(),
            bound: answer.bound,
            proof,
            is_proven,
        })
    }

    /// Some of which are ripped.
    fn ripped(&self) -> Result<Cheapest, String> {
        let mut waiting = Waiting::of(self.pieces);
        let part = |(&(length, width), queue): (&(i64, i64), &VecDeque<usize>)| ripping::Part {
            length,
            width,
            demand: queue.len(),
            widest_board: None,
        };
        let board = |stick: &Stick| ripping::Board {
            length: stick.length.as_nm(),
            width: self.width.as_nm(),
            cost: stick.cost,
            available: stick.available,
        };
        let problem = ripping::Problem {
            boards: self.sticks.iter().map(board).collect(),
            parts: waiting.0.iter().map(part).collect(),
            rip_kerf: self.rip_kerf.as_nm(),
            crosscut_kerf: self.saw.kerf.as_nm(),
            trim: self.trim(),
            edge_allowance: 0,
            narrowest_strip: 0,
        };
        let limits = ripping::Limits { steps: STEPS, ..ripping::LIMITS };
        let answer = ripping::solve(&problem, limits).map_err(|fault| fault.to_string())?;
        let mut boards = Vec::new();
        for layout in &answer.layouts {
            for _ in 0..layout.times {
                let sections =
                    layout.sections.iter().flat_map(|section| self.sections(section, &mut waiting));
                boards.push(Sawn { stick: layout.board, sections: sections.collect() });
            }
        }
        let is_proven = answer.is_optimal();
        let proof = answer.proof.to_string();
        Ok(Cheapest {
            boards: in_order(boards, self),
            lacking: waiting.rest(),
            bound: answer.bound,
            proof,
            is_proven,
        })
    }

    /// A section of an answer: as it is ripped, or a length for each piece where it is not.
    fn sections(&self, section: &ripping::Section, waiting: &mut Waiting) -> Vec<Section> {
        let mut strips = Vec::with_capacity(section.strips.len());
        for strip in &section.strips {
            let sizes = strip.cuts.iter().flat_map(|cut| std::iter::repeat_n(cut.part, cut.count));
            let pieces: Vec<usize> = sizes.filter_map(|size| waiting.next(size)).collect();
            if !section.ripped {
                return pieces.into_iter().map(|piece| self.whole(piece)).collect();
            }
            strips.push(Strip { width: Length::nm(strip.width), pieces });
        }
        vec![Section { length: Length::nm(section.length), strips }]
    }

    /// A piece that takes the whole width.
    fn whole(&self, piece: usize) -> Section {
        let Piece { length, width } = self.pieces[piece];
        Section { length, strips: vec![Strip { width, pieces: vec![piece] }] }
    }

    fn trim(&self) -> [i64; 2] {
        [self.saw.trim_low.as_nm(), self.saw.trim_high.as_nm()]
    }
}

fn stock(stick: &Stick) -> cutting::Stock {
    cutting::Stock { length: stick.length.as_nm(), cost: stick.cost, available: stick.available }
}

/// What is in hand first, then the longest; from each board the longest piece first.
fn in_order(mut boards: Vec<Sawn>, asked: &Asked) -> Vec<Sawn> {
    boards.retain(|board| !board.sections.is_empty());
    for board in &mut boards {
        board.sections.sort_by_key(|section| std::cmp::Reverse((section.length, section.strips.len())));
    }
    boards.sort_by_key(|board| {
        let stick = &asked.sticks[board.stick];
        (!stick.in_hand, std::cmp::Reverse(stick.length), board.stick)
    });
    boards
}
