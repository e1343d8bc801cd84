//! Pictures of boards with everything that is cut from them: all at one scale along, at one scale across.

use crate::drawing::title::{label, plain_sheet, units};
use crate::lettering;
use crate::sheet::{Anchor, Corner, Figure, LineClass, Paper, Sheet};
use slatwork_base::Tape;
use slatwork_solid::DVec2;

/// Boards of a purchase, as sheets show them.
pub struct BoardPictures<'a> {
    /// The piece they are for.
    pub piece: &'a str,
    /// Boards in the order they are cut.
    pub boards: &'a [BoardPicture],
    /// The tape on which lengths are read.
    pub tape: Tape,
    /// Paper of every sheet.
    pub paper: Paper,
}

/// One board, or several that are cut alike. Lengths in mm: along from the datum end, across from the datum edge.
#[derive(Clone, Debug, PartialEq)]
pub struct BoardPicture {
    /// What is said over it: which boards, section, wood, length.
    pub head: String,
    /// Length as it comes.
    pub length: f64,
    /// Width as it comes.
    pub width: f64,
    /// Squared off the datum end, the saw's cut included.
    pub trim: f64,
    /// What is cut, in order.
    pub sections: Vec<BoardSection>,
    /// Clear length left behind the last cut, from and to; equal where none is left.
    pub left: (f64, f64),
    /// Stretches with a defect, from and to: crossed out.
    pub defects: Vec<(f64, f64)>,
    /// What becomes of it: `R1: 16 5/8"`; empty when it is waste. Under the board where it is too short for the words.
    pub left_words: String,
}

/// A length crosscut from a board.
#[derive(Clone, Debug, PartialEq)]
pub struct BoardSection {
    /// Where it begins and ends.
    pub span: (f64, f64),
    /// What is ripped from it, or the one piece as wide as the board.
    pub strips: Vec<BoardStrip>,
    /// What is traced on it and sawn out: corners of each outline, and its mark.
    pub nested: Vec<(Vec<(f64, f64)>, String)>,
    /// How it is ripped, or that parts are traced on it; empty when it is one piece.
    pub words: String,
}

/// A strip of a section.
#[derive(Clone, Debug, PartialEq)]
pub struct BoardStrip {
    /// From and to across the board.
    pub across: (f64, f64),
    /// Pieces along it: from, to, and the mark.
    pub pieces: Vec<(f64, f64, String)>,
}

/// Width of the longest board on paper, mm.
const LONGEST: f64 = 170.0;
/// Height of the widest board on paper, mm.
const WIDEST: f64 = 15.0;
/// The flattest that a board is drawn, mm.
const FLATTEST: f64 = 6.0;
/// A saw's cut on paper, mm: wider than a line, so that it is seen as one.
const LEAST_KERF: f64 = 0.3;
/// Heights of capitals, mm.
const HEAD: f64 = 2.4;
const MARK: f64 = 2.2;
const STOP: f64 = 1.8;
/// From one row of stops to the next, mm.
const ROW: f64 = 3.6;
/// White beside lettering, mm.
const BESIDE: f64 = 1.2;
/// From one board to the next, mm.
const BETWEEN: f64 = 6.0;
/// Between the hatch lines of what is kept, and of what is waste, mm.
const KEPT: f64 = 3.2;
const WASTE: f64 = 1.1;

/// Draws the sheets, as many as it takes.
pub fn board_sheets(what: &BoardPictures<'_>) -> Vec<Sheet> {
    let longest = what.boards.iter().map(|board| board.length).fold(1.0, f64::max);
    let widest = what.boards.iter().map(|board| board.width).fold(1.0, f64::max);
    let scale = DVec2::new(LONGEST / longest, WIDEST / widest);
    let blocks: Vec<Block<'_>> = what.boards.iter().map(|board| Block::of(board, scale, what.tape)).collect();
    let room = plain_sheet(what.paper, "", &[]).1;
    let free = room.high.y - room.low.y - 2.0 * BETWEEN - FOOT;
    let mut pages: Vec<Vec<&Block<'_>>> = Vec::new();
    let mut used = f64::INFINITY;
    for block in &blocks {
        if used + block.height() > free {
            pages.push(Vec::new());
            used = 0.0;
        }
        used += block.height() + BETWEEN;
        pages.last_mut().into_iter().for_each(|page| page.push(block));
    }
    let count = pages.len();
    pages.iter().enumerate().map(|(index, page)| page_sheet(what, page, (index + 1, count))).collect()
}

/// Room for the sentence at the foot of each sheet, mm.
const FOOT: f64 = 6.0;

fn page_sheet(what: &BoardPictures<'_>, blocks: &[&Block<'_>], (number, of): (usize, usize)) -> Sheet {
    let title = format!("{}: how the boards are cut", what.piece);
    let cells = [
        ("how the boards are cut", what.piece.to_string()),
        ("lengths in", units(what.tape).to_string()),
        ("sheet", format!("{number} of {of}")),
    ];
    let (mut sheet, room) = plain_sheet(what.paper, &title, &cells);
    let heads: Vec<&str> = blocks.iter().map(|block| block.board.head.as_str()).collect();
    sheet.description = format!("{}. The purchase list tells the same in words.", heads.join(". "));
    let left = (room.low.x + room.high.x - LONGEST) / 2.0;
    let mut top = room.high.y - BETWEEN;
    for block in blocks {
        block.draw(&mut sheet, DVec2::new(left, top));
        top -= block.height() + BETWEEN;
    }
    let words = "The datum end is at the left. A number stands at the near side of its cut: set the stop there, and saw beyond \
                 it. Widths are drawn larger than lengths.";
    sheet.text(LineClass::Frame, DVec2::new(left, room.low.y + 2.4), STOP, Anchor::Left, words);
    sheet
}

/// A board on paper.
struct Block<'a> {
    board: &'a BoardPicture,
    scale: DVec2,
    /// Height of the board itself, mm.
    tall: f64,
    /// Where each cut's stop stands: x in mm from the board's left, row, words.
    stops: Vec<(f64, usize, String)>,
}

impl<'a> Block<'a> {
    fn of(board: &'a BoardPicture, scale: DVec2, tape: Tape) -> Self {
        let tall = (board.width * scale.y).max(FLATTEST);
        let mut stops: Vec<(f64, usize, String)> = Vec::new();
        // Ends of the lettering on each row.
        let mut ends: Vec<f64> = Vec::new();
        for at in stops_of(board) {
            let (x, words) = (at * scale.x, label(tape, at));
            let half = lettering::width(&words, STOP) / 2.0;
            let row = ends.iter().position(|end| *end + BESIDE <= x - half).unwrap_or(ends.len());
            if row == ends.len() {
                ends.push(0.0);
            }
            ends[row] = x + half;
            stops.push((x, row, words));
        }
        Block { board, scale: DVec2::new(scale.x, tall / board.width.max(1e-9)), tall, stops }
    }

    fn rows(&self) -> usize {
        self.stops.iter().map(|stop| stop.1 + 1).max().unwrap_or(0)
    }

    fn ripped(&self) -> impl Iterator<Item = &BoardSection> {
        self.board.sections.iter().filter(|section| !section.words.is_empty())
    }

    /// Whether the words on what is kept fit on it.
    fn is_labelled(&self) -> bool {
        let (from, to) = self.board.left;
        lettering::width(&self.board.left_words, STOP) + 1.2 < (to - from) * self.scale.x
    }

    /// What is said under the board: how it is ripped, and what is kept where that does not say it itself.
    fn words(&self) -> Vec<String> {
        let kept = &self.board.left_words;
        let kept =
            (!kept.is_empty() && !self.is_labelled()).then(|| format!("kept of its far end as {kept}"));
        self.ripped().map(|section| section.words.clone()).chain(kept).collect()
    }

    /// With its heading, stops and words, mm.
    fn height(&self) -> f64 {
        let words = self.words().len() as f64;
        HEAD + 1.8 + self.tall + 1.4 + ROW * self.rows() as f64 + words * ROW
    }

    fn draw(&self, sheet: &mut Sheet, top_left: DVec2) {
        let board = self.board;
        sheet.heading(top_left - DVec2::Y * HEAD, HEAD, Anchor::Left, &board.head);
        let low = top_left - DVec2::Y * (HEAD + 1.8 + self.tall);
        let at = |along: f64, across: f64| low + DVec2::new(along, across) * self.scale;
        hatch(sheet, at(0.0, 0.0), at(board.trim, board.width), WASTE);
        for section in &board.sections {
            self.draw_section(sheet, section, &at);
        }
        for &(from, to) in &board.defects {
            sheet.line(LineClass::Mark, at(from, 0.0), at(to, board.width));
            sheet.line(LineClass::Mark, at(from, board.width), at(to, 0.0));
        }
        self.draw_left(sheet, &at);
        sheet.rectangle(LineClass::Outline, at(0.0, 0.0), at(board.length, board.width));
        self.draw_stops(sheet, low);
    }

    fn draw_section(&self, sheet: &mut Sheet, section: &BoardSection, at: &dyn Fn(f64, f64) -> DVec2) {
        let (start, end) = section.span;
        let mut free_from = 0.0;
        for strip in &section.strips {
            let (low, high) = strip.across;
            free_from = high;
            let mut used = start;
            for (from, to, mark) in &strip.pieces {
                let (corner, opposite) = (at(*from, low), at(*to, high));
                sheet.rectangle(LineClass::Edge, corner, opposite);
                write_mark(sheet, corner, opposite, mark);
                cut(sheet, at(*to, low), at(*to, high));
                used = *to;
            }
            if used < end {
                hatch(sheet, at(used, low), at(end, high), WASTE);
            }
        }
        for (outline, mark) in &section.nested {
            draw_outline(sheet, outline, mark, at);
        }
        if free_from < self.board.width && section.nested.is_empty() {
            hatch(sheet, at(start, free_from), at(end, self.board.width), WASTE);
            sheet.line(LineClass::Edge, at(start, free_from), at(end, free_from));
        }
        cut(sheet, at(end, 0.0), at(end, self.board.width));
    }

    fn draw_left(&self, sheet: &mut Sheet, at: &dyn Fn(f64, f64) -> DVec2) {
        let (from, to) = self.board.left;
        if from >= to {
            return;
        }
        let (low, high) = (at(from, 0.0), at(to, self.board.width));
        let is_kept = !self.board.left_words.is_empty();
        hatch(sheet, low, high, if is_kept { KEPT } else { WASTE });
        let (words, middle) = (&self.board.left_words, (low + high) / 2.0);
        let half = DVec2::new(lettering::width(words, STOP) / 2.0 + 0.6, STOP);
        if is_kept && self.is_labelled() {
            let corner = |x: f64, y: f64| middle + half * DVec2::new(x, y);
            let boundary = vec![corner(-1.0, -1.0), corner(1.0, -1.0), corner(1.0, 1.0), corner(-1.0, 1.0)];
            sheet.draw(LineClass::Mark, Figure::Blank { boundary });
            sheet.text(LineClass::Mark, middle - DVec2::Y * STOP / 2.0, STOP, Anchor::Middle, words);
        }
    }

    fn draw_stops(&self, sheet: &mut Sheet, low: DVec2) {
        for (x, row, words) in &self.stops {
            let foot = low + DVec2::new(*x, -1.4 - ROW * *row as f64);
            sheet.line(LineClass::Dimension, low + DVec2::new(*x, 0.0), foot);
            sheet.text(LineClass::Dimension, foot - DVec2::Y * (STOP + 0.5), STOP, Anchor::Middle, words);
        }
        let under = low - DVec2::Y * (1.4 + ROW * self.rows() as f64);
        for (line, words) in self.words().iter().enumerate() {
            let at = under - DVec2::Y * (ROW * line as f64 + STOP + 0.8);
            sheet.text(LineClass::Mark, at, STOP, Anchor::Left, words);
        }
    }
}

/// Where stops are set along a board: the ends of its sections. Strips are cut once they are off the board, by their words.
fn stops_of(board: &BoardPicture) -> Vec<f64> {
    board.sections.iter().map(|section| section.span.1).collect()
}

/// An outline with its mark in the middle of the wood that it encloses.
fn draw_outline(sheet: &mut Sheet, outline: &[(f64, f64)], mark: &str, at: &dyn Fn(f64, f64) -> DVec2) {
    let points: Vec<DVec2> = outline.iter().map(|&(along, across)| at(along, across)).collect();
    let (mut twice_area, mut moment) = (0.0, DVec2::ZERO);
    for (a, b) in points.iter().zip(points.iter().cycle().skip(1)) {
        let cross = a.perp_dot(*b);
        twice_area += cross;
        moment += (*a + *b) * cross;
    }
    let corners = points.iter().map(|&point| Corner { point, bulge: 0.0 }).collect();
    sheet.draw(LineClass::Edge, Figure::Polyline { corners, closed: true });
    if twice_area > 0.0 {
        let middle = moment / (3.0 * twice_area);
        sheet.text(LineClass::Edge, middle - DVec2::Y * MARK / 2.0, MARK, Anchor::Middle, mark);
    }
}

/// The mark in the middle of its piece, smaller where that is narrow; over the board's edge it would be another's.
fn write_mark(sheet: &mut Sheet, low: DVec2, high: DVec2, mark: &str) {
    let room = high - low - DVec2::splat(0.8);
    let share = (room.x / lettering::width(mark, MARK)).min(room.y / MARK).min(1.0);
    let (height, middle) = (MARK * share.max(0.4), (low + high) / 2.0);
    sheet.text(LineClass::Edge, middle - DVec2::Y * height / 2.0, height, Anchor::Middle, mark);
}

/// A saw's cut, beyond the place of its stop.
fn cut(sheet: &mut Sheet, low: DVec2, high: DVec2) {
    sheet.rectangle(LineClass::Cut, low, high + DVec2::X * LEAST_KERF);
}

fn hatch(sheet: &mut Sheet, low: DVec2, high: DVec2, spacing: f64) {
    if high.x > low.x && high.y > low.y {
        let boundary = vec![low, DVec2::new(high.x, low.y), high, DVec2::new(low.x, high.y)];
        sheet.draw(LineClass::Construction, Figure::Hatch { boundary, spacing });
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn board(pieces: &[(f64, f64)]) -> BoardPicture {
        let section = |&(from, to): &(f64, f64)| BoardSection {
            span: (from, to),
            strips: vec![BoardStrip { across: (0.0, 89.0), pieces: vec![(from, to, String::from("A"))] }],
            nested: Vec::new(),
            words: String::new(),
        };
        BoardPicture {
            head: String::from("Board 1"),
            length: 2438.4,
            width: 89.0,
            trim: 12.7,
            sections: pieces.iter().map(section).collect(),
            left: (2000.0, 2425.7),
            defects: Vec::new(),
            left_words: String::from("keep"),
        }
    }

    /// Stops close to each other stand on rows of their own, and none overlaps another on its row.
    #[test]
    fn stops_do_not_overlap() {
        let board = board(&[(12.7, 40.0), (43.0, 70.0), (73.0, 100.0), (103.0, 900.0)]);
        let block = Block::of(&board, DVec2::new(170.0 / 2438.4, 0.15), Tape::Inch16);
        for (index, (x, row, words)) in block.stops.iter().enumerate() {
            for (other_x, other_row, other) in &block.stops[..index] {
                let needed = (lettering::width(words, STOP) + lettering::width(other, STOP)) / 2.0;
                assert!(row != other_row || (x - other_x).abs() >= needed, "{words} on {other}");
            }
        }
        assert_eq!(block.rows(), 3);
    }

    /// What is kept says so on itself where there is room, and under the board where there is none.
    #[test]
    fn every_kept_remainder_has_its_label() {
        let told = |left: (f64, f64)| {
            let own =
                BoardPicture { left, left_words: String::from("R12: 12 3/4\""), ..board(&[(12.7, 900.0)]) };
            let what =
                BoardPictures { piece: "Bench", boards: &[own], tape: Tape::Inch16, paper: Paper::LETTER };
            let sheet = board_sheets(&what).remove(0);
            let texts = sheet.items.iter().filter_map(|item| match &item.figure {
                Figure::Text(text) => Some(text.text.clone()),
                _ => None,
            });
            texts.filter(|text| text.contains("R12")).collect::<Vec<_>>()
        };
        assert_eq!(told((2000.0, 2425.7)), ["R12: 12 3/4\""]);
        assert_eq!(told((2300.0, 2425.7)), ["kept of its far end as R12: 12 3/4\""]);
    }

    /// The band of what is no projection has no cell without words.
    #[test]
    fn the_band_ends_with_its_last_cell() {
        let boards = [board(&[(12.7, 900.0)])];
        let what =
            BoardPictures { piece: "Bench", boards: &boards, tape: Tape::Inch16, paper: Paper::LETTER };
        let sheet = board_sheets(&what).remove(0);
        let upright = sheet.items.iter().filter_map(|item| match &item.figure {
            Figure::Line { from, to } if from.x == to.x && (to.y - from.y - 12.0).abs() < 1e-9 => {
                Some(from.x)
            }
            _ => None,
        });
        // Three cells: two lines between them.
        assert_eq!(upright.count(), 2);
    }

    /// Boards go on as many sheets as they need, and none is lost.
    #[test]
    fn many_boards_take_several_sheets() {
        let boards = vec![board(&[(12.7, 900.0)]); 23];
        let what =
            BoardPictures { piece: "Bench", boards: &boards, tape: Tape::Inch16, paper: Paper::LETTER };
        let sheets = board_sheets(&what);
        let heads = |sheet: &Sheet| sheet.description.matches("Board 1").count();
        assert_eq!(sheets.iter().map(heads).sum::<usize>(), 23);
        assert!(sheets.len() > 1);
        assert!(board_sheets(&BoardPictures { boards: &[], ..what }).is_empty());
    }
}
