//! The printed sheets of a template: its part of the drawing, rulers, seams and words.

use super::paper::{Printing, TRUE_SCALE};
use super::tiling::{LEFT_BAND, LOWER_BAND, Tile, Tiling, drawn_margins, page_size, stretch, tile};
use super::{Stroke, Template, Window, cover, is_geometry, moved, text_of, text_window};
use crate::pdf::{self, Page};
use crate::sheet::{Anchor, Figure, LineClass, Paper, Sheet, Text};
use slatwork_solid::DVec2;

/// Lines of a grid that runs through all sheets, mm apart.
const GRID: f64 = 100.0;
/// Half an arm of a registration cross, mm.
const CROSS_ARM: f64 = 4.0;
/// Height of the words of a sheet, mm.
const WORDS: f64 = 2.2;

/// The printed pages of a template.
#[derive(Clone, Debug, PartialEq)]
pub struct Printed {
    /// What it is of, how its sheets lie, and the tables that go with it.
    pub first: Vec<Page>,
    /// Its drawing, row by row.
    pub drawn: Vec<Page>,
}

/// Every page of a template. `revision` is told on each. `printing` has passed its check.
pub fn pages(template: &Template, printing: &Printing, revision: &str) -> Printed {
    let tiling = tile(template, printing);
    let first = cover::pages(template, &tiling, printing, revision);
    let stretch = stretch(printing, tiling.is_turned);
    let drawn = (0..tiling.tiles.len()).map(|index| {
        let sheet = sheet(template, &tiling, index, printing, revision);
        Page { sheet, stretch }
    });
    Printed { drawn: drawn.collect(), first }
}

fn sheet(template: &Template, tiling: &Tiling, index: usize, printing: &Printing, revision: &str) -> Sheet {
    let tile = &tiling.tiles[index];
    let [width, height] = page_size(tile, printing, tiling.is_turned);
    let margins = drawn_margins(printing, tiling.is_turned);
    let title = format!("{} {}, sheet {}", template.mark, short(&template.name), tile.name());
    let mut sheet = Sheet::new(title, Paper { name: "", width, height });
    let origin = DVec2::new(margins[0] + LEFT_BAND, margins[1] + LOWER_BAND);
    let shift = origin - tile.window.low;
    drawing(&mut sheet, template, tiling, index, shift);
    grid(&mut sheet, tile.window, shift);
    seams(&mut sheet, tiling, index, shift);
    let corner = DVec2::new(margins[0], margins[1]);
    rulers(&mut sheet, corner, DVec2::new(width, height) - corner);
    let room = width - 2.0 * margins[0];
    let words = words(template, tiling, index, printing, revision);
    for (line, text) in fitted(&words, room).into_iter().take(WORD_LINES).enumerate() {
        let at = corner + DVec2::new(0.0, LOWER_BAND - 13.0 - 3.4 * line as f64);
        let bold = line == 0;
        let text = Text { at, height: WORDS, anchor: Anchor::Left, bold, text };
        sheet.draw(LineClass::Frame, Figure::Text(text));
    }
    sheet
}

/// So many lines of words have room below a drawing.
const WORD_LINES: usize = 4;

/// The part of the template within the tile.
fn drawing(sheet: &mut Sheet, template: &Template, tiling: &Tiling, index: usize, shift: DVec2) {
    let window = tiling.tiles[index].window;
    for item in &template.items {
        if let Some(text) = text_of(item) {
            if let Some(by) = place_of(text, tiling, index) {
                sheet.draw(item.class, moved(&item.figure, shift + by));
            }
        } else if is_geometry(item.class) {
            let strokes = Stroke::of(&item.figure).into_iter().flat_map(|stroke| stroke.within(window));
            strokes.for_each(|stroke| sheet.draw(item.class, stroke.moved(shift).figure()));
        }
    }
}

/// How lettering is moved to stand on a sheet: not at all where it fits; where it fits on no sheet, into the one that shows its
/// middle. Nothing when it stands on others.
fn place_of(text: &Text, tiling: &Tiling, index: usize) -> Option<DVec2> {
    let (room, own) = (text_window(text), tiling.tiles[index].window);
    if own.holds(room) {
        return Some(DVec2::ZERO);
    }
    if tiling.tiles.iter().any(|tile| tile.window.holds(room)) {
        return None;
    }
    let middle = (room.low + room.high) / 2.0;
    let off = |tile: &Tile| {
        let window = tile.window;
        (window.low - middle).max(middle - window.high).max(DVec2::ZERO).length()
    };
    let nearest =
        (0..tiling.tiles.len()).min_by(|a, b| off(&tiling.tiles[*a]).total_cmp(&off(&tiling.tiles[*b])));
    (nearest == Some(index))
        .then(|| (own.low - room.low).max(DVec2::ZERO) + (own.high - room.high).min(DVec2::ZERO))
}

fn grid(sheet: &mut Sheet, window: Window, shift: DVec2) {
    for axis in [0, 1] {
        let first = (window.low[axis] / GRID).ceil() as i32;
        let last = (window.high[axis] / GRID).floor() as i32;
        for line in first..=last {
            let (mut from, mut to) = (window.low, window.high);
            from[axis] = f64::from(line) * GRID;
            to[axis] = from[axis];
            sheet.line(LineClass::Construction, from + shift, to + shift);
        }
    }
}

/// The border, hatch where the next sheet is glued on, and the crosses.
fn seams(sheet: &mut Sheet, tiling: &Tiling, index: usize, shift: DVec2) {
    let tile = &tiling.tiles[index];
    let window = tile.window;
    sheet.rectangle(LineClass::Dimension, window.low + shift, window.high + shift);
    // The sheet to the right lies on this one, and the sheet above.
    for side in [1, 3] {
        let Some(other) = tile.neighbours[side] else { continue };
        let strip = tiling.tiles[other].window;
        let (low, high) = (strip.low.max(window.low) + shift, strip.high.min(window.high) + shift);
        let boundary = vec![low, DVec2::new(high.x, low.y), high, DVec2::new(low.x, high.y)];
        sheet.draw(LineClass::Construction, Figure::Hatch { boundary, spacing: 3.0 });
        let (from, to) =
            if side == 1 { (low, DVec2::new(low.x, high.y)) } else { (low, DVec2::new(high.x, low.y)) };
        sheet.line(LineClass::Centre, from, to);
    }
    for cross in tiling.crosses.iter().filter(|cross| cross.tiles.contains(&index)) {
        let at = cross.at + shift;
        for way in [DVec2::X, DVec2::Y] {
            sheet.line(LineClass::Edge, at - way * CROSS_ARM, at + way * CROSS_ARM);
        }
        sheet.draw(LineClass::Edge, Figure::Circle { centre: at, radius: CROSS_ARM / 2.0 });
        let height = 1.8;
        let width = pdf::width(&cross.label, height, false);
        let room = (window.high + shift).x - width - 1.0;
        let left = (at.x + 2.5).min(room);
        let text_at = DVec2::new(left, at.y + 2.5);
        sheet.text(LineClass::Dimension, text_at, height, Anchor::Left, cross.label.clone());
    }
}

/// A rule with millimetres on one side and inches on the other, along the lower and the left edge.
fn rulers(sheet: &mut Sheet, low: DVec2, high: DVec2) {
    for axis in [0, 1] {
        let mut start = low;
        start[axis] += if axis == 0 { LEFT_BAND } else { LOWER_BAND };
        start[1 - axis] += if axis == 0 { LOWER_BAND - 5.0 } else { 5.0 };
        let mut way = DVec2::ZERO;
        way[axis] = 1.0;
        let across = way.perp() * if axis == 0 { 1.0 } else { -1.0 };
        let room = high[axis] - start[axis];
        ruler(sheet, start, (way, across), room);
    }
}

/// The length of a ruler where there is room, mm.
const RULER: f64 = 150.0;

fn ruler(sheet: &mut Sheet, start: DVec2, (way, across): (DVec2, DVec2), room: f64) {
    let length = RULER.min((room / 50.0).floor() * 50.0);
    sheet.line(LineClass::Edge, start, start + way * length);
    for mm in (0..=(length / 5.0) as u32).map(|i| i * 5) {
        let tick = if mm % 50 == 0 {
            4.0
        } else if mm % 10 == 0 {
            2.5
        } else {
            1.5
        };
        let at = start + way * f64::from(mm);
        sheet.line(LineClass::Edge, at, at + across * tick);
    }
    let quarters = (length / 6.35).floor() as u32;
    for quarter in 0..=quarters {
        let tick = if quarter % 4 == 0 { 4.0 } else { 1.5 };
        let at = start + way * (f64::from(quarter) * 6.35);
        sheet.line(LineClass::Edge, at, at - across * tick);
    }
    let level = way.x == 1.0;
    let mut figure = |at: DVec2, text: String, outward: f64| {
        let offset = if level {
            DVec2::new(1.0, if outward > 0.0 { 2.4 } else { -4.0 })
        } else {
            DVec2::new(outward, 0.8)
        };
        let anchor = if level || outward > 0.0 { Anchor::Left } else { Anchor::Right };
        sheet.text(LineClass::Dimension, at + offset, 1.5, anchor, text);
    };
    for mm in (1..=(length / 50.0) as u32).map(|i| i * 50) {
        let unit = if f64::from(mm) == length { " mm" } else { "" };
        let at = start + way * f64::from(mm)
            - if level { way * if unit.is_empty() { 4.2 } else { 7.0 } } else { way * 3.0 };
        figure(at, format!("{mm}{unit}"), 1.2);
    }
    for inch in [1, 2, 3, 4, 5].into_iter().filter(|inch| inch * 4 <= quarters) {
        let at = start + way * (f64::from(inch) * 25.4) - if level { way * 3.2 } else { way * 3.0 };
        figure(at, format!("{inch}\""), -1.2);
    }
}

/// What a sheet says, the most needed first.
fn words(
    template: &Template,
    tiling: &Tiling,
    index: usize,
    printing: &Printing,
    revision: &str,
) -> Vec<String> {
    let tile = &tiling.tiles[index];
    let (count, rows, columns) = (tiling.tiles.len(), tiling.rows, tiling.columns);
    let mut words = vec![format!(
        "{} {}: sheet {}, {} of {count} (row {} of {rows}, column {} of {columns}). {}",
        template.mark,
        short(&template.name),
        tile.name(),
        index + 1,
        tile.row + 1,
        tile.column + 1,
        gluing(tiling, tile),
    )];
    words.push(format!(
        "Print at 100 %, \"actual size\". Measure the rulers before you cut.{} Revision {revision}.",
        scale_words(printing)
    ));
    words.push(template.words.join(" "));
    words
}

/// What is said of a print scale.
pub(crate) fn scale_words(printing: &Printing) -> String {
    if printing.stretch == [TRUE_SCALE; 2] {
        return String::new();
    }
    let [across, up] = printing.factors();
    format!(" Drawn {across} x {up} for this printer alone: its rulers come out true only there.")
}

fn gluing(tiling: &Tiling, tile: &Tile) -> String {
    let name = |side: usize| tile.neighbours[side].map(|other| tiling.tiles[other].name());
    let on = |edge: &str, other: String| {
        format!("Trim at the {edge} border and glue on {other}, crosses on crosses.")
    };
    let told = [("left", name(0)), ("lower", name(2))];
    let told: Vec<String> = told.into_iter().filter_map(|(edge, other)| Some(on(edge, other?))).collect();
    told.join(" ")
}

/// Sentences run together and broken into lines of a width.
pub(crate) fn fitted(sentences: &[String], room: f64) -> Vec<String> {
    let mut lines = Vec::new();
    for sentence in sentences.iter().filter(|own| !own.is_empty()) {
        lines.extend(wrapped(sentence, WORDS, room));
    }
    lines
}

/// Words broken into lines of a width; a word that is longer is cut off.
pub(crate) fn wrapped(text: &str, height: f64, room: f64) -> Vec<String> {
    let width = |text: &str| pdf::width(text, height, true);
    let blank = width(" ");
    let mut lines: Vec<String> = vec![String::new()];
    let mut filled = 0.0;
    for word in text.split_whitespace() {
        let word = cut_off(word, room, &width);
        let own = width(&word);
        let last = lines.len() - 1;
        if lines[last].is_empty() {
            lines[last] = word;
            filled = own;
        } else if filled + blank + own <= room {
            lines[last].push(' ');
            lines[last].push_str(&word);
            filled += blank + own;
        } else {
            lines.push(word);
            filled = own;
        }
    }
    lines
}

/// As much of a word as has room.
fn cut_off(word: &str, room: f64, width: &dyn Fn(&str) -> f64) -> String {
    let mut left = room;
    let fits = |c: &char| {
        left -= width(c.encode_utf8(&mut [0; 4]));
        left >= -1e-9
    };
    word.chars().take_while(fits).collect()
}

/// A name as long as a line of a sheet has room for.
fn short(name: &str) -> String {
    if name.chars().count() <= LONGEST_NAME {
        return name.to_string();
    }
    name.chars().take(LONGEST_NAME).chain("...".chars()).collect()
}

/// Longer names are cut off on the sheets, characters; the first page has all of it.
const LONGEST_NAME: usize = 60;
