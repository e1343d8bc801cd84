//! What the template is filled with: all words as data, drawings as files of their own.

use super::columns::{BESIDE, Layout, OVER, Texts, is_line, laid_out};
use super::drawn::{Drawn, drawn};
use super::letters::{Letters, breakable};
use crate::book::{
    Block, Book, Chapter, Drawing, DrawingPlace, Formula, LONG_FORMULA, ListKind, Notice, Page, Stretch,
    Weight, plain, stretches,
};
use crate::svg;
use crate::table::{Kind, Table};
use crate::text::{heading, shown};
use serde_json::{Value, json};
use slatwork_base::formula::Written;
use slatwork_base::{Diagnostic, Outcome, sentence};

/// White round the pages, mm: left and right, above, below.
const MARGINS: [f64; 3] = [12.0, 14.0, 16.0];
/// Points in a millimetre.
const POINTS: f64 = 72.0 / 25.4;

/// A row with a cell of more letters might be taller than a page.
const LONG_CELL: usize = 1500;
/// Lines of type on a page, or a little less.
const PAGE: usize = 44;
/// A chapter of more pages begins one in its middle.
const LONG_CHAPTER: usize = 20;
/// Letters on a line, or a little less.
const LINE: usize = 80;

/// A book as the template takes it.
pub(super) struct Sources {
    /// What `/data.json` holds.
    pub(super) data: Value,
    /// The drawings in their order.
    pub(super) drawings: Drawings,
}

/// Drawings for the template.
pub(super) enum Drawings {
    /// As files that it reads.
    Files(Vec<String>),
    /// As parts of pages.
    Frames(Vec<Drawn>),
}

impl Drawings {
    fn len(&self) -> usize {
        match self {
            Drawings::Files(own) => own.len(),
            Drawings::Frames(own) => own.len(),
        }
    }
}

/// The path of a drawing by its place among all of them.
pub(super) fn path(index: usize) -> String {
    format!("/drawings/{}.svg", index + 1)
}

/// Takes a book apart; its drawings join those that are given. The faults are those of its drawings, its tables and its model.
pub(super) fn of(book: &Book, letters: &Letters, drawings: Drawings) -> Outcome<Sources> {
    let [width, height] = size(book.page);
    let mut writer = Writer {
        letters,
        column: (width - 2.0 * MARGINS[0]) * POINTS,
        lying: (height - 2.0 * MARGINS[0]) * POINTS,
        drawings,
        is_short: false,
        fault: None,
    };
    let chapters: Vec<Value> = book.chapters.iter().map(|chapter| writer.chapter(chapter)).collect();
    let (title, subtitle) = (writer.words(&book.title), writer.words(&book.subtitle));
    if let Some(fault) = writer.fault {
        return Outcome::failed(fault);
    }
    let data = json!({
        "name": plain(&format!("{}: {}", book.title, book.subtitle)),
        "title": title,
        "subtitle": subtitle,
        "page": { "width": width, "height": height, "x": MARGINS[0], "top": MARGINS[1], "bottom": MARGINS[2] },
        "beside": BESIDE,
        "over": OVER,
        "long": book.is_long,
        "short_of_letters": writer.is_short,
        "chapters": chapters,
    });
    Outcome::fine(Sources { data, drawings: writer.drawings })
}

/// Width and height, mm.
fn size(page: Page) -> [f64; 2] {
    match page {
        Page::A4 => [210.0, 297.0],
        Page::Letter => [215.9, 279.4],
    }
}

struct Writer<'a> {
    letters: &'a Letters,
    /// Room for a table on an upright page and on one that lies, points.
    column: f64,
    lying: f64,
    drawings: Drawings,
    /// Whether there was a letter that the faces lack.
    is_short: bool,
    fault: Option<Diagnostic>,
}

impl Writer<'_> {
    fn chapter(&mut self, chapter: &Chapter) -> Value {
        let mut blocks = self.blocks(&chapter.blocks);
        if let Some(middle) = middle(&chapter.blocks) {
            blocks[middle]["begins_page"] = json!(true);
        }
        json!({
            "key": chapter.key,
            "title": self.words(&chapter.title),
            "begins_page": chapter.begins_page,
            "blocks": blocks,
        })
    }

    fn blocks(&mut self, blocks: &[Block]) -> Vec<Value> {
        blocks.iter().map(|block| self.block(block)).collect()
    }

    fn block(&mut self, block: &Block) -> Value {
        match block {
            Block::Heading(text) => {
                // The standard knows no heading that says nothing.
                let kind = if self.says_nothing(text) { "paragraph" } else { "heading" };
                json!({ "kind": kind, "text": self.words(text) })
            }
            Block::Paragraph(text) => json!({ "kind": "paragraph", "text": self.words(text) }),
            Block::List(kind, items) => {
                let kind = match kind {
                    ListKind::Plain => "plain list",
                    ListKind::Numbered => "numbered list",
                    ListKind::ToTick => "list to tick",
                };
                json!({ "kind": kind, "items": self.each(items) })
            }
            Block::Terms(terms) => {
                let own: Vec<[Value; 2]> =
                    terms.iter().map(|(term, meaning)| [self.words(term), self.words(meaning)]).collect();
                json!({ "kind": "terms", "terms": own })
            }
            Block::Table(table) => self.table(table),
            Block::Drawing(drawing) => self.drawing(drawing),
            Block::Notice(notice) => self.notice(notice),
            Block::Formula(formula) => self.formula(formula),
            Block::Model(view) => {
                self.fault = self.fault.take().or_else(|| view.fault());
                self.drawing(&view.still)
            }
            Block::ToFill(labels) => json!({ "kind": "to fill", "labels": self.each(labels) }),
            Block::Together(blocks) => {
                let own = self.blocks(blocks);
                json!({
                    "kind": "together",
                    "has_page": own.iter().any(takes_a_page),
                    "may_be_tall": blocks.iter().map(lines).sum::<usize>() > PAGE,
                    "blocks": own,
                })
            }
        }
    }

    /// What there are letters for, with places to break what is overlong.
    fn text(&mut self, text: &str) -> String {
        let (held, is_short) = self.letters.held(&plain(text));
        self.is_short |= is_short;
        breakable(&held)
    }

    /// Whether nothing is left of a text of all that shows.
    fn says_nothing(&self, text: &str) -> bool {
        self.letters.held(&plain(text)).0.replace('`', "").trim().is_empty()
    }

    /// Words and names by turns, beginning with words; words alone where there is no name.
    fn words(&mut self, text: &str) -> Value {
        let mut turns: Vec<String> = Vec::new();
        for stretch in stretches(&plain(text)) {
            let (own, is_name) = match stretch {
                Stretch::Words(own) => (own, false),
                Stretch::Name(own) => (own, true),
            };
            if is_name == turns.len().is_multiple_of(2) {
                turns.push(String::new());
            }
            turns.push(self.text(own));
        }
        match turns.as_slice() {
            [] => json!(""),
            [words] => json!(words),
            turns => json!(turns),
        }
    }

    fn each(&mut self, texts: &[String]) -> Vec<Value> {
        texts.iter().map(|text| self.words(text)).collect()
    }

    fn notice(&mut self, own: &Notice) -> Value {
        let weight = match own.weight {
            Weight::Note => "note",
            Weight::Caution => "caution",
            Weight::Warning => "warning",
            Weight::Failure => "failure",
        };
        json!({
            "kind": "notice",
            "weight": weight,
            "word": own.weight.word(),
            "title": self.words(&own.title),
            "texts": self.each(&own.texts),
            "may_be_tall": of_texts(&own.texts) + of_text(&own.title) > PAGE,
        })
    }

    fn drawing(&mut self, drawing: &Drawing) -> Value {
        let window = drawing.window();
        let index = self.drawings.len();
        let is_short = match &mut self.drawings {
            Drawings::Files(files) => {
                let written = svg::write_within(&drawing.sheet, "drawing", window, svg::Clear::Ground);
                self.fault = self.fault.take().or_else(|| written.diagnostics.into_iter().next());
                let (file, is_short) = self.letters.held(&written.value.unwrap_or_default());
                files.push(file);
                is_short
            }
            Drawings::Frames(frames) => {
                let fault = drawing.sheet.fault();
                let (drawn, is_short) = if fault.is_none() {
                    drawn(&drawing.sheet, window, self.letters)
                } else {
                    Default::default()
                };
                self.fault = self.fault.take().or(fault);
                frames.push(drawn);
                is_short
            }
        };
        self.is_short |= is_short;
        let told = [&drawing.sheet.title, &drawing.sheet.description];
        let told: Vec<String> =
            told.into_iter().map(|own| plain(own)).filter(|own| !own.is_empty()).collect();
        json!({
            "kind": "drawing",
            "path": path(index),
            "index": index,
            "size": window.size().to_array(),
            "framed": matches!(drawing.place, DrawingPlace::Framed(_)),
            "cropped": drawing.place == DrawingPlace::Cropped,
            "whole_page": drawing.place == DrawingPlace::WholePage,
            "told": if told.is_empty() { String::from("A drawing.") } else { told.join(". ") },
            "caption": self.words(&drawing.caption),
        })
    }

    fn formula(&mut self, own: &Formula) -> Value {
        let lines: Vec<Value> = own
            .lines
            .iter()
            .map(|line| {
                json!({
                    "written": self.written(line),
                    "told": plain(&line.text()),
                    "long": line.size() > LONG_FORMULA,
                })
            })
            .collect();
        let numbers: Vec<Value> = own
            .numbers
            .iter()
            .map(|number| {
                let sign = self.written(&Written::sign(&number.symbol));
                json!([
                    sign,
                    plain(&number.symbol),
                    self.words(&number.meaning),
                    self.words(&number.figure())
                ])
            })
            .collect();
        json!({ "kind": "formula", "lines": lines, "numbers": numbers })
    }

    /// What it is, and of what.
    fn written(&mut self, own: &Written) -> Value {
        match own {
            Written::Sign { letter, index, mark } => json!(["sign", letter, index, mark]),
            Written::Text(text) => json!(["text", self.text(text)]),
            Written::Operator(sign) => json!(["operator", sign]),
            Written::Row(parts) => {
                let parts = parts.iter().map(|part| self.written(part));
                json!(core::iter::once(json!("row")).chain(parts).collect::<Vec<_>>())
            }
            Written::Fraction(top, bottom) => json!(["over", self.written(top), self.written(bottom)]),
            Written::Raised(base, exponent) => json!(["raised", self.written(base), self.written(exponent)]),
            Written::Root(of) => json!(["root", self.written(of)]),
        }
    }

    fn table(&mut self, table: &Table) -> Value {
        self.fault = self.fault.take().or_else(|| table.fault());
        let is_number = |kind: Kind| !matches!(kind, Kind::Text | Kind::Flag);
        let is_whole: Vec<bool> = table.columns.iter().map(|column| is_number(column.kind)).collect();
        let heads: Vec<String> = table.columns.iter().map(heading).collect();
        let rows: Vec<Vec<String>> = table
            .rows
            .iter()
            .map(|row| {
                let cells = row.iter().zip(&table.columns);
                cells.map(|(cell, column)| shown(cell, column.kind, table.tape)).collect()
            })
            .collect();
        let (set_heads, set_rows) =
            (self.set(&heads), rows.iter().map(|row| self.set(row)).collect::<Vec<_>>());
        let texts = Texts { heads: &set_heads, rows: &set_rows, is_whole: &is_whole };
        let Layout { size, widths, is_wide } = laid_out(self.letters, &texts, self.column, self.lying);
        let is_one_line = |row: &Vec<String>, bare: &Vec<String>| {
            let cells = row.iter().zip(bare).zip(&widths).enumerate();
            cells.into_iter().all(|(index, ((cell, bare), width))| {
                is_line(self.letters, bare, index == 0 || cell.contains('`'), size, *width)
            })
        };
        let heights: Vec<Option<f64>> = rows
            .iter()
            .zip(&set_rows)
            .map(|(row, bare)| is_one_line(row, bare).then_some(self.letters.height() * size + 2.0 * OVER))
            .collect();
        let is_long = |row: &Vec<String>| row.iter().any(|cell| cell.len() > LONG_CELL);
        let may_break: Vec<bool> = rows.iter().map(is_long).collect();
        let rows: Vec<Vec<Value>> = rows.iter().map(|row| self.each(row)).collect();
        json!({
            "kind": "table",
            "title": self.words(&sentence(&table.title)),
            "size": size,
            "widths": widths,
            "lying": is_wide,
            "heights": heights,
            "may_break": may_break,
            "numbers": is_whole,
            "heads": self.each(&heads),
            "rows": rows,
        })
    }

    /// As they come out, names and words alike.
    fn set(&mut self, texts: &[String]) -> Vec<String> {
        texts.iter().map(|text| self.text(text).replace('`', "")).collect()
    }
}

/// Whether a block, as the template takes it, has a page of its own, which nothing can hold.
fn takes_a_page(own: &Value) -> bool {
    ["lying", "whole_page", "has_page"].iter().any(|key| own[*key] == true)
}

/// Lines of type that a block takes, or more: what cannot be taller than a page need not be measured.
fn lines(block: &Block) -> usize {
    match block {
        Block::Heading(text) | Block::Paragraph(text) => of_text(text),
        Block::List(_, texts) => of_texts(texts),
        Block::Terms(terms) => terms.iter().map(|(term, meaning)| of_text(term) + of_text(meaning)).sum(),
        // A table is always measured.
        Block::Table(_) => PAGE + 1,
        Block::Drawing(own) => {
            if matches!(own.place, DrawingPlace::Column | DrawingPlace::Cropped) {
                24
            } else {
                38
            }
        }
        Block::Model(_) => 24,
        Block::Notice(own) => of_text(&own.title) + of_texts(&own.texts),
        Block::Formula(own) => 3 * own.lines.len() + own.numbers.len(),
        Block::ToFill(labels) => 3 * labels.len(),
        Block::Together(blocks) => blocks.iter().map(lines).sum(),
    }
}

/// The heading at which a long chapter begins a page in its middle: what lies between two pages that must begin is set by one
/// thread, so that its halves are set beside each other.
fn middle(blocks: &[Block]) -> Option<usize> {
    let whole: usize = blocks.iter().map(lines).sum();
    let mut before = 0;
    let headings = blocks.iter().enumerate().filter_map(|(index, block)| {
        let at = before;
        before += lines(block);
        matches!(block, Block::Heading(_)).then_some((at.abs_diff(whole / 2), index))
    });
    headings
        .min()
        .filter(|(off, index)| *index > 0 && whole > LONG_CHAPTER * PAGE && *off < whole / 4)
        .map(|(_, index)| index)
}

fn of_text(text: &str) -> usize {
    2 + text.len() / LINE
}

fn of_texts(texts: &[String]) -> usize {
    texts.iter().map(|text| of_text(text)).sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_a_long_chapter_begins_a_page_in_its_middle() {
        let heading = || Block::Heading(String::from("wood"));
        let words = |count| vec![Block::Paragraph(String::from("words ").repeat(100)); count];
        let chapter = |count| {
            let thirds = [words(count), vec![heading()], words(count), vec![heading()], words(2 * count)];
            thirds.concat()
        };
        assert_eq!(middle(&chapter(2)), None);
        assert_eq!(middle(&chapter(100)), Some(201));
        assert_eq!(middle(&[vec![heading()], words(400)].concat()), None);
    }

    #[test]
    fn words_and_names_come_by_turns() {
        let letters = Letters::read().unwrap();
        let mut writer = Writer {
            letters: &letters,
            column: 500.0,
            lying: 700.0,
            drawings: Drawings::Frames(Vec::new()),
            is_short: false,
            fault: None,
        };
        assert_eq!(writer.words("lay `front rail` down"), json!(["lay ", "front rail", " down"]));
        assert_eq!(writer.words("`front rail`"), json!(["", "front rail"]));
        assert_eq!(writer.words("#eval(\"1\") $x$ [*] one `"), json!("#eval(\"1\") $x$ [*] one `"));
        assert_eq!(writer.words(""), json!(""));
        assert!(!writer.is_short);
        assert_eq!(writer.words("\u{1f600}\u{7}"), json!("□"));
        assert!(writer.is_short);
    }
}
