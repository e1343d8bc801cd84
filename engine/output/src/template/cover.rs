//! The first sheets of a template: what it is of, how its sheets lie, and the tables that go with it.

use super::paper::{PrintPaper, Printing};
use super::sheets::{scale_words, wrapped};
use super::tiling::{Tiling, drawn_margins, drawn_sides, stretch};
use super::{Block, Stroke, Template, Window, is_geometry};
use crate::pdf::{self, Page};
use crate::sheet::{Anchor, Figure, LineClass, Paper, Sheet, Text};
use slatwork_solid::DVec2;

/// Heights of lettering, mm.
const TITLE: f64 = 4.5;
const HEADING: f64 = 2.8;
const WORDS: f64 = 2.3;
/// From one line to the next, as a multiple of the height of its lettering.
const LEADING: f64 = 1.75;
/// Highest map, mm.
const MAP_HEIGHT: f64 = 80.0;
/// Between columns of a table, mm.
const GAP: f64 = 3.5;
/// The last column of a table is never narrower than this, mm.
const LEAST_LAST: f64 = 35.0;
/// The page of a roll is as long as this, mm.
const ROLL_PAGE: f64 = 290.0;

/// The first sheets of a template.
pub(crate) fn pages(template: &Template, tiling: &Tiling, printing: &Printing, revision: &str) -> Vec<Page> {
    let title = format!("{} {}", template.mark, template.name);
    let mut flow = Flow::new(printing, format!("Template of {title}"));
    flow.line(TITLE, true, &format!("Template of {title}"));
    let sheets = match tiling.tiles.len() {
        1 => String::from("Drawn on 1 sheet"),
        count => format!("Drawn on {count} sheets, {} wide and {} high", tiling.columns, tiling.rows),
    };
    flow.words(&format!("{sheets}: {}. Revision {revision}.", printing.paper.name()));
    flow.words(
        "Print calibration.pdf first, at 100 % (\"actual size\") with the same settings, and measure it. Then print the sheets \
         that follow, and measure their rulers before you cut.",
    );
    flow.words(scale_words(printing).trim());
    if tiling.tiles.len() > 1 {
        flow.words(
            "Begin with the lowest row, at the left. Trim each next sheet at its left and lower border and glue it on the \
             hatched strip of its neighbour, so that crosses of one name lie on one another.",
        );
    }
    flow.map(template, tiling);
    for block in &template.blocks {
        flow.block(block);
    }
    flow.done(printing)
}

/// Pages that are filled from the top.
pub(crate) struct Flow {
    title: String,
    size: DVec2,
    margins: DVec2,
    pages: Vec<Sheet>,
    /// Where the next line begins, from below.
    level: f64,
}

impl Flow {
    pub(crate) fn new(printing: &Printing, title: String) -> Self {
        let [width, mut height] = drawn_sides(printing, false);
        if matches!(printing.paper, PrintPaper::Roll { .. }) {
            height = ROLL_PAGE;
        }
        let [across, up] = drawn_margins(printing, false);
        let (size, margins) = (DVec2::new(width, height), DVec2::new(across, up));
        let mut flow = Flow { title, size, margins, pages: Vec::new(), level: 0.0 };
        flow.page();
        flow
    }

    pub(crate) fn done(self, printing: &Printing) -> Vec<Page> {
        let stretch = stretch(printing, false);
        self.pages.into_iter().map(|sheet| Page { sheet, stretch }).collect()
    }

    pub(crate) fn page(&mut self) {
        let paper = Paper { name: "", width: self.size.x, height: self.size.y };
        self.pages.push(Sheet::new(self.title.clone(), paper));
        self.level = self.size.y - self.margins.y;
    }

    pub(crate) fn room(&self) -> f64 {
        self.size.x - 2.0 * self.margins.x
    }

    /// Takes a strip of the page, or of the next; the sheet, and the strip's lower left corner.
    pub(crate) fn strip(&mut self, height: f64) -> (&mut Sheet, DVec2) {
        if self.level - height < self.margins.y && self.level < self.size.y - self.margins.y {
            self.page();
        }
        self.level -= height;
        let at = DVec2::new(self.margins.x, self.level);
        let last = self.pages.len() - 1;
        (&mut self.pages[last], at)
    }

    pub(crate) fn line(&mut self, height: f64, bold: bool, text: &str) {
        for line in wrapped(text, height, self.room()) {
            let (sheet, at) = self.strip(height * LEADING);
            let text = Text { at, height, anchor: Anchor::Left, bold, text: line };
            sheet.draw(LineClass::Frame, Figure::Text(text));
        }
    }

    pub(crate) fn words(&mut self, text: &str) {
        if !text.is_empty() {
            self.line(WORDS, false, text);
        }
    }

    pub(crate) fn block(&mut self, block: &Block) {
        match block {
            Block::Heading(text) => {
                // A heading is not left at the foot of a page.
                if self.level - self.margins.y < 20.0 {
                    self.page();
                }
                self.strip(2.0);
                self.line(HEADING, true, text);
            }
            Block::Words(text) => self.words(text),
            Block::Table { head, rows } => self.table(head, rows),
        }
    }

    fn table(&mut self, head: &[String], rows: &[Vec<String>]) {
        let widths = self.column_widths(head, rows);
        self.row(&widths, head, true);
        for row in rows {
            self.row(&widths, row, false);
        }
    }

    /// As wide as what stands in them; the last takes what is left.
    fn column_widths(&self, head: &[String], rows: &[Vec<String>]) -> Vec<f64> {
        let wide = |text: &String| pdf::width(text, WORDS, true);
        let natural = |i: usize| {
            rows.iter().filter_map(|row| row.get(i)).chain(head.get(i)).map(wide).fold(0.0, f64::max)
        };
        let mut widths: Vec<f64> = (0..head.len()).map(natural).collect();
        let gaps = GAP * head.len().saturating_sub(1) as f64;
        if let Some((last, others)) = widths.split_last_mut() {
            let mut taken: f64 = others.iter().sum();
            let most = (self.room() - gaps - LEAST_LAST.min(*last)).max(0.0);
            if taken > most {
                others.iter_mut().for_each(|own| *own *= most / taken);
                taken = most;
            }
            *last = last.min(self.room() - gaps - taken);
        }
        widths
    }

    fn row(&mut self, widths: &[f64], cells: &[String], bold: bool) {
        let cells: Vec<Vec<String>> = cells
            .iter()
            .zip(widths)
            .map(|(cell, width)| wrapped(cell, WORDS, width.max(WORDS) + 1e-6))
            .collect();
        let lines = cells.iter().map(Vec::len).max().unwrap_or(0);
        let step = WORDS * LEADING;
        let (sheet, at) = self.strip(step * lines as f64);
        let mut left = at.x;
        for (cell, width) in cells.into_iter().zip(widths) {
            for (line, text) in cell.into_iter().enumerate() {
                let level = at.y + step * (lines - 1 - line) as f64;
                let text =
                    Text { at: DVec2::new(left, level), height: WORDS, anchor: Anchor::Left, bold, text };
                sheet.draw(LineClass::Frame, Figure::Text(text));
            }
            left += width + GAP;
        }
        if bold {
            let end = DVec2::new(left - GAP, at.y - 0.8);
            sheet.line(LineClass::Dimension, DVec2::new(at.x, at.y - 0.8), end);
        }
    }

    /// How the sheets lie, small.
    fn map(&mut self, template: &Template, tiling: &Tiling) {
        let windows = tiling.tiles.iter().map(|tile| tile.window);
        let Some(all) = windows.chain([template.bounds()]).reduce(Window::joined) else { return };
        let size = all.size();
        let scale = (self.room() / size.x).min(MAP_HEIGHT / size.y).min(1.0);
        let (sheet, corner) = self.strip(size.y * scale + 5.0);
        let place = |point: DVec2| corner + (point - all.low) * scale + DVec2::new(0.0, 2.0);
        for item in template.items.iter().filter(|item| is_geometry(item.class)) {
            let class = if item.class == LineClass::Cut { LineClass::Edge } else { LineClass::Dimension };
            for stroke in Stroke::of(&item.figure) {
                sheet.draw(class, scaled(stroke, place, scale));
            }
        }
        for tile in &tiling.tiles {
            let (low, high) = (place(tile.window.low), place(tile.window.high));
            sheet.rectangle(LineClass::Centre, low, high);
            let name = Text {
                at: DVec2::new((low.x + high.x) / 2.0, low.y + 1.5),
                height: 2.5,
                anchor: Anchor::Middle,
                bold: true,
                text: tile.name(),
            };
            sheet.draw(LineClass::Dimension, Figure::Text(name));
        }
    }
}

fn scaled(stroke: Stroke, place: impl Fn(DVec2) -> DVec2, scale: f64) -> Figure {
    match stroke {
        Stroke::Line { from, to } => Figure::Line { from: place(from), to: place(to) },
        Stroke::Arc { centre, radius, start, sweep } => {
            Stroke::Arc { centre: place(centre), radius: radius * scale, start, sweep }.figure()
        }
    }
}
