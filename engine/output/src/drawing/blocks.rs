//! The blocks of rows under the views of a part's sheet, and how they share the foot of the sheet.

use crate::drawing::title::Room;
use crate::lettering;
use crate::sheet::{Anchor, LineClass, Sheet};
use slatwork_base::words_to_wrap;
use slatwork_solid::DVec2;

/// A heading and rows of cells under it.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Block {
    pub(crate) heading: String,
    /// What the cells are, over them; nothing where the rows speak for themselves.
    pub(crate) head: Vec<String>,
    /// Cells of each row.
    pub(crate) rows: Vec<Vec<String>>,
    /// Whether it may go on in the next stack.
    pub(crate) splits: bool,
}

/// Blocks under each other.
pub(crate) type Stack = Vec<Block>;

/// Height of a row, of a heading and of the capitals in them, mm; and the white under a block.
pub(crate) const ROW: f64 = 4.1;
const SMALL: f64 = 1.9;
const UNDER: f64 = 2.0;
const CELL_GAP: f64 = 3.0;
/// Between stacks, and what the notes get at least, mm.
const STACK_GAP: f64 = 7.0;
const LEAST_NOTES: f64 = 45.0;
/// So high blocks may stand anyhow, mm: a lower foot makes no view larger.
const LOW: f64 = 56.0;
/// From the frame to the first stack, mm.
const INSET: f64 = 4.0;
/// A heading may make narrow rows so wide, mm.
const HEADING: f64 = 40.0;

impl Block {
    /// A block of plain lines.
    pub(crate) fn of_lines(heading: &str, lines: impl Iterator<Item = String>) -> Block {
        let rows = lines.map(|line| vec![line]).collect();
        Block { heading: heading.to_string(), head: Vec::new(), rows, splits: false }
    }

    /// Rows of one cell broken into lines of at most `width` mm; further lines start a little to the right.
    fn wrapped(self, width: f64) -> Block {
        let texts = self.rows.iter().filter_map(|row| row.first());
        let rows = texts.flat_map(|text| lines(text, width)).map(|line| vec![line]).collect();
        Block { rows, ..self }
    }

    /// The heading in lines no wider than the rows, if these are not narrow.
    fn heading_lines(&self) -> Vec<String> {
        let lines = lines(&self.heading, self.widths().iter().sum::<f64>().max(HEADING) - CELL_GAP);
        lines.iter().map(|line| line.trim_start().to_string()).collect()
    }

    /// Its height without rows, mm.
    fn frame(&self) -> f64 {
        ROW * (self.heading_lines().len() + usize::from(!self.head.is_empty())) as f64 + UNDER
    }

    fn height(&self) -> f64 {
        self.frame() + ROW * self.rows.len() as f64
    }

    /// Width of all it writes, the gap after the last cell counted, mm.
    fn width(&self) -> f64 {
        let heading =
            self.heading_lines().iter().map(|line| lettering::width(line, SMALL)).fold(0.0, f64::max);
        self.widths().iter().sum::<f64>().max(heading + CELL_GAP)
    }

    fn widths(&self) -> Vec<f64> {
        let rows = || core::iter::once(&self.head).chain(&self.rows);
        let columns = rows().map(Vec::len).max().unwrap_or(0);
        let width = |i: usize| {
            let cells = rows().filter_map(|row| row.get(i));
            cells.map(|cell| lettering::width(cell, SMALL)).fold(0.0, f64::max) + CELL_GAP
        };
        (0..columns).map(width).collect()
    }

    /// What of it stands in what is left of a stack, and what goes on in the next one. Only what an empty stack does not hold is
    /// split, evenly over the stacks it needs, each under the same heading.
    fn split(self, left: f64, whole: f64) -> (Option<Block>, Option<Block>) {
        if self.height() <= left {
            return (Some(self), None);
        }
        if left < whole {
            return (None, Some(self));
        }
        let fitting = ((whole - self.frame()) / ROW).floor().max(1.0) as usize;
        let stacks = self.rows.len().div_ceil(fitting);
        if !self.splits || stacks < 2 {
            return (Some(self), None);
        }
        let mut first = self;
        let rows = first.rows.split_off(first.rows.len().div_ceil(stacks));
        let rest = Block { rows, ..first.clone() };
        (Some(first), Some(rest))
    }

    fn draw(&self, sheet: &mut Sheet, at: DVec2) {
        let mut y = at.y - SMALL - 0.5;
        let heading = self.heading_lines();
        for line in &heading {
            sheet.heading(DVec2::new(at.x, y), SMALL, Anchor::Left, line.clone());
            y -= ROW;
        }
        let rule = at.y - ROW * (heading.len() - 1) as f64 - SMALL - 1.6;
        let end = at.x + self.width() - CELL_GAP;
        sheet.line(LineClass::Dimension, DVec2::new(at.x, rule), DVec2::new(end, rule));
        let widths = self.widths();
        for row in core::iter::once(&self.head).filter(|head| !head.is_empty()).chain(&self.rows) {
            let mut x = at.x;
            for (cell, width) in row.iter().zip(&widths) {
                sheet.text(LineClass::Mark, DVec2::new(x, y - 0.3), SMALL, Anchor::Left, cell.clone());
                x += width;
            }
            y -= ROW;
        }
    }
}

/// A text in lines of at most `width` mm, broken at blanks.
pub(crate) fn lines(text: &str, width: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in words_to_wrap(text) {
        match lines.last_mut() {
            Some(line) if lettering::width(&format!("{line} {word}"), SMALL) <= width => {
                line.push(' ');
                line.push_str(word);
            }
            Some(_) => lines.push(format!("   {word}")),
            None => lines.push(word.to_string()),
        }
    }
    lines
}

/// What is written under the views.
pub(crate) struct Foot {
    /// The first block.
    pub(crate) making: Block,
    /// Tables in their order.
    pub(crate) tables: Vec<Block>,
    /// Lines that are wrapped to what the others leave.
    pub(crate) notes: Block,
}

impl Foot {
    /// The lowest stacks from left to right that find room in `width` mm; none where they need more than `most` mm of height.
    pub(crate) fn stacks(&self, width: f64, most: f64) -> Option<Vec<Stack>> {
        let whole = self.tables.iter().filter(|block| !block.splits).map(Block::height);
        let least = whole.fold(self.making.height().max(LOW), f64::max);
        let most = most.min(least + stack_height(&self.pile(width)));
        let mut heights =
            (0..).map(|rows| least + ROW * f64::from(rows)).take_while(|height| *height <= most);
        heights.find_map(|height| self.within(width - 2.0 * INSET, height))
    }

    /// All blocks under each other.
    pub(crate) fn pile(&self, width: f64) -> Stack {
        let notes =
            Some(self.notes.clone().wrapped(width - 2.0 * INSET)).filter(|notes| !notes.rows.is_empty());
        let blocks = core::iter::once(self.making.clone()).chain(self.tables.iter().cloned());
        blocks.chain(notes).collect()
    }

    /// Stacks no higher and together no wider than this. The notes stand right of the others; where too little room is left, or
    /// their lines would stand too high, under the first block.
    fn within(&self, width: f64, height: f64) -> Option<Vec<Stack>> {
        let mut stacks = vec![vec![self.making.clone()]];
        stacks.extend(flow(&self.tables, height));
        let wide = stacks.iter().map(|stack| stack_width(stack) + STACK_GAP).sum::<f64>();
        if self.notes.rows.is_empty() {
            return (wide - STACK_GAP <= width).then_some(stacks);
        }
        let left = width - wide;
        let right = self.notes.clone().wrapped(left.max(LEAST_NOTES));
        if left >= LEAST_NOTES && right.height() <= height {
            stacks.push(vec![right]);
            return Some(stacks);
        }
        let first = stack_width(&stacks[0]);
        let under = self.notes.clone().wrapped(first.max(LEAST_NOTES));
        let fits = wide - STACK_GAP - first + first.max(under.width()) <= width
            && stack_height(&stacks[0]) + under.height() <= height;
        stacks[0].push(under);
        fits.then_some(stacks)
    }
}

/// Fills stacks of at most `height` mm with blocks one after another.
pub(crate) fn flow(blocks: &[Block], height: f64) -> Vec<Stack> {
    let mut stacks: Vec<Stack> = Vec::new();
    let mut stack = Stack::new();
    for block in blocks {
        let mut rest = Some(block.clone());
        while let Some(block) = rest {
            let (now, later) = block.split(height - stack_height(&stack), height);
            stack.extend(now);
            if later.is_some() {
                stacks.push(core::mem::take(&mut stack));
            }
            rest = later;
        }
    }
    stacks.extend(Some(stack).filter(|stack| !stack.is_empty()));
    stacks
}

fn stack_width(stack: &[Block]) -> f64 {
    stack.iter().map(Block::width).fold(0.0, f64::max)
}

fn stack_height(stack: &[Block]) -> f64 {
    stack.iter().map(Block::height).sum()
}

/// Width of stacks side by side, with what draws them off the frame, mm.
pub(crate) fn stacks_width(stacks: &[Stack]) -> f64 {
    INSET + stacks.iter().map(|stack| stack_width(stack) + STACK_GAP).sum::<f64>()
}

/// Height of the highest stack, mm.
pub(crate) fn foot_height(stacks: &[Stack]) -> f64 {
    stacks.iter().map(|stack| stack_height(stack)).fold(0.0, f64::max)
}

/// Draws the stacks side by side, level at their heads, the highest one on the floor of the room.
pub(crate) fn draw_stacks(sheet: &mut Sheet, stacks: &[Stack], room: Room) {
    let mut x = room.low.x + INSET;
    let head = room.low.y + foot_height(stacks);
    for stack in stacks {
        let mut top = head;
        for block in stack {
            block.draw(sheet, DVec2::new(x, top));
            top -= block.height();
        }
        x += stack_width(stack) + STACK_GAP;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn table(rows: usize, splits: bool) -> Block {
        let row = |number: usize| vec![number.to_string(), String::from("12 3/4\"")];
        Block {
            heading: String::from("Holes"),
            head: vec![String::from("no."), String::from("from end")],
            rows: (1..=rows).map(row).collect(),
            splits,
        }
    }

    fn counts(stacks: &[Stack]) -> Vec<Vec<usize>> {
        stacks.iter().map(|stack| stack.iter().map(|block| block.rows.len()).collect()).collect()
    }

    /// Height of a table of so many rows, mm.
    fn high(rows: usize) -> f64 {
        table(rows, true).height()
    }

    #[test]
    fn a_table_is_split_evenly_and_only_where_no_stack_holds_it() {
        assert_eq!(counts(&flow(&[table(3, true), table(8, true)], high(10))), [vec![3], vec![8]]);
        assert_eq!(counts(&flow(&[table(23, true)], high(10))), [vec![8], vec![8], vec![7]]);
        assert_eq!(counts(&flow(&[table(12, false)], high(10))), [vec![12]]);
        assert_eq!(counts(&flow(&[table(3, true), table(4, true)], 2.0 * high(5))), [vec![3, 4]]);
        let numbers: Vec<String> = flow(&[table(23, true)], high(10))
            .concat()
            .into_iter()
            .flat_map(|block| block.rows)
            .flatten()
            .collect();
        assert_eq!(numbers, table(23, true).rows.concat(), "none is lost, and all keep their order");
    }

    fn foot(holes: usize, notes: usize) -> Foot {
        let note = |_| String::from("clearance for screws that hold the seat slats down");
        Foot {
            making: table(6, false),
            tables: vec![table(holes, true)],
            notes: Block::of_lines("Notes", (0..notes).map(note)),
        }
    }

    #[test]
    fn stacks_find_room_or_say_that_there_is_none() {
        let width = 250.0;
        for (holes, notes) in [(5, 0), (23, 1), (40, 4), (70, 12)] {
            let stacks = foot(holes, notes).stacks(width, 120.0).unwrap();
            let wide = stacks.iter().map(|stack| stack_width(stack) + STACK_GAP).sum::<f64>() - STACK_GAP;
            assert!(wide <= width - 2.0 * INSET, "{holes} holes are {wide} mm wide");
            assert!(foot_height(&stacks) <= 120.0);
            let lower = foot(holes, notes).stacks(width, foot_height(&stacks) - ROW);
            assert_eq!(lower, None, "{holes} holes could stand lower");
        }
        assert_eq!(foot(400, 0).stacks(width, 120.0), None);
    }
}
