//! The cheapest boards for a lot: pieces and boards as a problem of the inner room, its answer as boards with the pieces that are
//! cut from each.

use crate::stock::cutting::{self, ripping};
use crate::stock::{Saw, Stick};
use indexmap::IndexMap;
use slatwork_base::Length;
use std::collections::{BTreeMap, BTreeSet, VecDeque};

/// Elementary steps for one lot, some tenths of a second: what is not proven by then is stated with its gap.
const STEPS: u64 = 100_000_000;

/// For a batch as many times over, up to a limit: some seconds.
const MOST_TIMES: usize = 5;

/// Steps for the boards of so many equal pieces.
pub(super) fn steps(pieces: usize) -> u64 {
    STEPS * pieces.clamp(1, MOST_TIMES) as u64
}

/// The same for tidying: fewer ways to cut, longer remainders.
const STEPS_TO_TIDY: u64 = 2_000_000;

/// So many combinations of ways to cut up boards in hand are gone through.
const MOST_COMBINATIONS: usize = 32;

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
    /// Whether no plan is cheaper than this one.
    pub(super) is_proven: bool,
}

impl Cheapest {
    /// The boards of another plan under the bound of this one.
    fn cut_as(self, other: Cheapest, asked: &Asked) -> Self {
        let is_proven = other.lacking.is_empty() && asked.cost(&other) <= self.bound;
        Cheapest { boards: in_order(other.boards, asked), lacking: other.lacking, is_proven, ..self }
    }

    /// The same under the bound of a problem that takes no more.
    pub(super) fn under(self, bound: i64, asked: &Asked) -> Self {
        let is_proven = self.lacking.is_empty() && asked.cost(&self) <= bound;
        Cheapest { bound, is_proven, ..self }
    }

    /// No plan.
    pub(super) fn nothing() -> Self {
        Cheapest { boards: Vec::new(), lacking: Vec::new(), bound: 0, is_proven: false }
    }
}

/// A piece wanted.
#[derive(Clone, Copy, Debug)]
pub(super) struct Piece {
    /// Along the grain.
    pub(super) length: Length,
    /// As ripped.
    pub(super) width: Length,
    /// Width of the section that it asks for.
    pub(super) section: Length,
    /// Whether a wider section will do as well.
    pub(super) from_wider: bool,
    /// The most flaws that its board may have.
    pub(super) flaws: u8,
}

/// One of several ways to cut up a board in hand: only one of them is done.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Choice {
    pub(super) board: (usize, usize),
    pub(super) way: usize,
}

/// A board that may be cut.
#[derive(Clone, Copy, Debug)]
pub(super) struct Board {
    pub(super) stick: Stick,
    pub(super) width: Length,
    pub(super) flaws: u8,
    pub(super) choice: Option<Choice>,
    /// Length of the board that it is a stretch of, trims included.
    pub(super) whole: Length,
}

/// What is asked of the boards of one species and thickness.
#[derive(Clone, Copy, Debug)]
pub(super) struct Asked<'a> {
    pub(super) pieces: &'a [Piece],
    pub(super) boards: &'a [Board],
    pub(super) saw: Saw,
    pub(super) rip_kerf: Length,
    /// No strip is ripped narrower.
    pub(super) narrowest_rip: Length,
    /// Shorter remainders are of no use.
    pub(super) usable: Length,
    /// Effort, see [`steps`].
    pub(super) steps: u64,
}

/// What pieces have in common that are the same to the saw: length, width, the narrowest board, whether a wider will do, flaws.
type Size = (i64, i64, i64, bool, u8);

fn size(piece: &Piece) -> Size {
    (piece.length.as_nm(), piece.width.as_nm(), piece.section.as_nm(), piece.from_wider, piece.flaws)
}

/// Pieces of one size that wait to be dealt out to boards, in the order given.
struct Waiting(IndexMap<Size, VecDeque<usize>>);

impl Waiting {
    fn of(pieces: &[Piece]) -> Waiting {
        let mut waiting: IndexMap<Size, VecDeque<usize>> = IndexMap::new();
        for (index, piece) in pieces.iter().enumerate() {
            waiting.entry(size(piece)).or_default().push_back(index);
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
        if self.pieces.is_empty() || self.boards.is_empty() {
            let lacking = (0..self.pieces.len()).collect();
            return Ok(Cheapest { lacking, ..Cheapest::nothing() });
        }
        // Clear stretches alone are boards like any others.
        if self.boards.iter().all(|board| board.choice.is_none_or(|choice| choice.way == 0)) {
            return self.solve_any();
        }
        // Were the boards without defects, nothing could be dearer.
        let clear = self.without_defects();
        let ideal = Asked { boards: &clear, ..*self }.solve_any();
        let bound = ideal.map_or(0, |ideal| ideal.bound);
        let found = self.by_choice()?;
        let is_proven = found.lacking.is_empty() && self.cost(&found) <= bound;
        Ok(Cheapest { bound, is_proven, ..found })
    }

    /// The same with every board in hand whole and clear.
    fn without_defects(&self) -> Vec<Board> {
        let mut seen = BTreeSet::new();
        let is_first = |board: &&Board| board.choice.is_none_or(|choice| seen.insert(choice.board));
        let boards = self.boards.iter().filter(is_first).map(|board| Board {
            stick: Stick {
                length: if board.choice.is_some() { board.whole } else { board.stick.length },
                ..board.stick
            },
            flaws: 0,
            choice: None,
            ..*board
        });
        boards.collect()
    }

    /// The cheapest plan over all ways to cut up boards in hand, one for each board; the first of them for the others where there are
    /// too many to go through.
    fn by_choice(&self) -> Result<Cheapest, String> {
        let mut ways: BTreeMap<(usize, usize), usize> = BTreeMap::new();
        for choice in self.boards.iter().filter_map(|board| board.choice) {
            let most = ways.entry(choice.board).or_default();
            *most = (*most).max(choice.way + 1);
        }
        let mut combinations: Vec<Vec<Choice>> = vec![Vec::new()];
        for (&board, &count) in &ways {
            let tried = if combinations.len() * count <= MOST_COMBINATIONS { count } else { 1 };
            let with = |own: &Vec<Choice>, way| [&own[..], &[Choice { board, way }]].concat();
            combinations =
                combinations.iter().flat_map(|own| (0..tried).map(move |way| with(own, way))).collect();
        }
        let pieces: Vec<usize> = (0..self.pieces.len()).collect();
        let mut best: Result<Cheapest, String> =
            Err(String::from("no way to cut up the boards in hand does"));
        for combination in combinations {
            let is_done = |board: &Board| board.choice.is_none_or(|choice| combination.contains(&choice));
            let from: Vec<usize> = (0..self.boards.len()).filter(|&at| is_done(&self.boards[at])).collect();
            let rank = |plan: &Cheapest| (plan.lacking.len(), self.cost(plan));
            match (self.part(&pieces, &from), &best) {
                (Ok(plan), Ok(before)) if rank(&plan) >= rank(before) => {}
                (Ok(plan), _) => best = Ok(plan),
                (Err(why), Err(_)) => best = Err(why),
                (Err(_), Ok(_)) => {}
            }
        }
        best
    }

    /// The cheapest plan from all boards together.
    fn solve_any(&self) -> Result<Cheapest, String> {
        if self.lie_in_a_row() {
            return self.in_a_row();
        }
        let found = self.ripped()?;
        if self.are_of_one_section() {
            return Ok(found);
        }
        // Nothing from a wider section is a plan as well, easier to find and less work.
        let rank = |plan: &Cheapest| (plan.lacking.len(), self.cost(plan));
        Ok(match self.apart() {
            Ok(apart) if rank(&apart) <= rank(&found) => found.cut_as(apart, self),
            _ => found,
        })
    }

    /// Whether the pieces only lie one behind the other.
    pub(super) fn lie_in_a_row(&self) -> bool {
        let is_clear = self.boards.iter().all(|board| board.flaws == 0);
        is_clear && self.are_of_one_section() && !self.lie_abreast()
    }

    fn are_of_one_section(&self) -> bool {
        self.pieces.iter().all(|piece| self.boards.iter().all(|board| board.width == piece.section))
    }

    /// Whether some two pieces have room beside each other on a board.
    fn lie_abreast(&self) -> bool {
        let mut widths: Vec<Length> = self.pieces.iter().map(|piece| piece.width).collect();
        widths.sort_unstable();
        let Some(least) = widths.get(..2) else { return false };
        let abreast = least[0] + self.rip_kerf + least[1];
        self.boards.iter().any(|board| abreast <= board.width)
    }

    /// Cost of a plan's boards.
    pub(super) fn cost(&self, plan: &Cheapest) -> i64 {
        plan.boards.iter().map(|board| self.boards[board.stick].stick.cost).sum()
    }

    /// A plan for some of the pieces from some of the boards.
    fn part(&self, pieces: &[usize], from: &[usize]) -> Result<Cheapest, String> {
        let own: Vec<Piece> = pieces.iter().map(|&at| self.pieces[at]).collect();
        let boards: Vec<Board> = from.iter().map(|&at| self.boards[at]).collect();
        if boards.is_empty() {
            return Ok(Cheapest { lacking: pieces.to_vec(), ..Cheapest::nothing() });
        }
        let mut plan = Asked { pieces: &own, boards: &boards, ..*self }.solve_any()?;
        for board in &mut plan.boards {
            board.stick = from[board.stick];
            let strips = board.sections.iter_mut().flat_map(|section| &mut section.strips);
            strips.flat_map(|strip| &mut strip.pieces).for_each(|piece| *piece = pieces[*piece]);
        }
        plan.lacking.iter_mut().for_each(|piece| *piece = pieces[*piece]);
        Ok(plan)
    }

    /// The cheapest plan in which every piece comes from its own section.
    fn apart(&self) -> Result<Cheapest, String> {
        let mut widths: Vec<Length> = self.pieces.iter().map(|piece| piece.section).collect();
        widths.sort_unstable();
        widths.dedup();
        let mut all = Cheapest::nothing();
        for width in widths {
            let own: Vec<usize> =
                (0..self.pieces.len()).filter(|&at| self.pieces[at].section == width).collect();
            let from: Vec<usize> =
                (0..self.boards.len()).filter(|&at| self.boards[at].width == width).collect();
            let plan = self.part(&own, &from)?;
            all.boards.extend(plan.boards);
            all.lacking.extend(plan.lacking);
        }
        Ok(all)
    }

    /// Pieces of which no two lie abreast: along the board they are all that counts.
    fn in_a_row(&self) -> Result<Cheapest, String> {
        let mut demands: IndexMap<i64, usize> = IndexMap::new();
        self.pieces.iter().for_each(|piece| *demands.entry(piece.length.as_nm()).or_default() += 1);
        let problem = cutting::Problem {
            stocks: self.boards.iter().map(stock).collect(),
            parts: demands.iter().map(|(&length, &demand)| cutting::Part { length, demand }).collect(),
            kerf: self.saw.kerf.as_nm(),
            trim: self.trim(),
        };
        let limits = cutting::Limits { steps: self.steps, ..cutting::Limits::default() };
        let answer = cutting::solve(&problem, limits).map_err(|fault| fault.to_string())?;
        let tidied = cutting::tidy(&problem, &answer, self.usable.as_nm(), STEPS_TO_TIDY);
        let answer = tidied.map_err(|fault| fault.to_string())?.answer;
        let mut waiting = Waiting::of(self.pieces);
        let mut boards = Vec::new();
        for layout in &answer.layouts {
            for _ in 0..layout.times {
                let lengths = layout.cuts.iter().flat_map(|cut| std::iter::repeat_n(cut.length, cut.count));
                let pieces: Vec<usize> = lengths.filter_map(|length| waiting.next_long(length)).collect();
                boards.push(Sawn { stick: layout.stock, sections: self.one_after_another(pieces) });
            }
        }
        let is_proven = answer.is_optimal();
        Ok(Cheapest {
            boards: in_order(boards, self),
            lacking: waiting.rest(),
            bound: answer.bound,
            is_proven,
        })
    }

    /// Some of which are ripped.
    fn ripped(&self) -> Result<Cheapest, String> {
        let mut waiting = Waiting::of(self.pieces);
        let part =
            |(&(length, width, section, wider, flaws), queue): (&Size, &VecDeque<usize>)| ripping::Part {
                length,
                width,
                demand: queue.len(),
                narrowest_board: section,
                widest_board: (!wider).then_some(section),
                flaws,
            };
        let board = |Board { stick, width, flaws, .. }: &Board| ripping::Board {
            length: stick.length.as_nm(),
            width: width.as_nm(),
            cost: stick.cost,
            available: stick.available,
            flaws: *flaws,
        };
        let problem = ripping::Problem {
            boards: self.boards.iter().map(board).collect(),
            parts: waiting.0.iter().map(part).collect(),
            rip_kerf: self.rip_kerf.as_nm(),
            crosscut_kerf: self.saw.kerf.as_nm(),
            trim: self.trim(),
            edge_allowance: 0,
            narrowest_strip: self.narrowest_rip.as_nm(),
        };
        let limits = ripping::Limits { steps: self.steps, ..ripping::LIMITS };
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
        Ok(Cheapest {
            boards: in_order(boards, self),
            lacking: waiting.rest(),
            bound: answer.bound,
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

    /// The pieces of one board: those of one width that is less than the board's are ripped from one length.
    fn one_after_another(&self, pieces: Vec<usize>) -> Vec<Section> {
        let takes_all = |piece: &Piece| piece.section - piece.width < self.rip_kerf;
        let (whole, narrow): (Vec<usize>, Vec<usize>) =
            pieces.into_iter().partition(|&at| takes_all(&self.pieces[at]));
        let mut sections: Vec<Section> = whole.into_iter().map(|piece| self.whole(piece)).collect();
        let mut strips: IndexMap<Length, Vec<usize>> = IndexMap::new();
        narrow.into_iter().for_each(|at| strips.entry(self.pieces[at].width).or_default().push(at));
        for (width, pieces) in strips {
            let cut = |&at: &usize| self.pieces[at].length + self.saw.kerf;
            let length = pieces.iter().map(cut).sum::<Length>() - self.saw.kerf;
            sections.push(Section { length, strips: vec![Strip { width, pieces }] });
        }
        sections
    }

    /// A piece that takes the whole width.
    fn whole(&self, piece: usize) -> Section {
        let Piece { length, width, .. } = self.pieces[piece];
        Section { length, strips: vec![Strip { width, pieces: vec![piece] }] }
    }

    pub(super) fn trim(&self) -> [i64; 2] {
        [self.saw.trim_low.as_nm(), self.saw.trim_high.as_nm()]
    }
}

pub(super) fn stock(board: &Board) -> cutting::Stock {
    let stick = &board.stick;
    cutting::Stock { length: stick.length.as_nm(), cost: stick.cost, available: stick.available }
}

/// What is in hand first, then the longest; from each board the longest piece first.
fn in_order(mut boards: Vec<Sawn>, asked: &Asked) -> Vec<Sawn> {
    boards.retain(|board| !board.sections.is_empty());
    for board in &mut boards {
        board.sections.sort_by_key(|section| std::cmp::Reverse((section.length, section.strips.len())));
    }
    boards.sort_by_key(|board| {
        let stick = &asked.boards[board.stick].stick;
        (!stick.in_hand, std::cmp::Reverse(stick.length), board.stick)
    });
    boards
}
