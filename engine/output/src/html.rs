//! A [`Book`] as one HTML file that stands by itself: it opens from the disk, prints on A4 or Letter, and asks for nothing.
//!
//! Its content-security policy lets run what is written here and no more: script and style are named by their digests, and
//! nothing is fetched. Whatever a book says is text; [`maud`] escapes it, and what HTML cannot hold is left out. Drawings stand
//! inline, each with ids of its own. Without scripts, or without WebGL, the drawing stands where the piece could be turned.

mod model;

use crate::book::{
    Block, Book, Chapter, Drawing, DrawingPlace, Formula, LONG_FORMULA, ListKind, Notice, Page, Stretch,
    Weight, plain, stretches,
};
use crate::svg;
use crate::table::{Cell, Kind, Table};
use crate::text::{heading, shown};
use base64::Engine;
use base64::prelude::BASE64_STANDARD;
use maud::{DOCTYPE, Markup, PreEscaped, html};
use sha2::{Digest, Sha256};
use slatwork_base::formula::Written;
use slatwork_base::{Diagnostic, Outcome};

const STYLE: &str = include_str!("../web/book.css");
const SCRIPT: &str = include_str!("../web/model.js");

/// The pages of each size, written in when the book is: a browser cannot be asked for one.
fn page_rules(page: Page) -> &'static str {
    match page {
        Page::A4 => "@page{size:A4}@page drawing{size:A4 landscape}",
        Page::Letter => "@page{size:letter}@page drawing{size:letter landscape}",
    }
}

/// Writes a book. The faults are those of its drawings, its tables and its model.
pub fn write(book: &Book) -> Outcome<Vec<u8>> {
    let mut writer = Writer::default();
    let chapters: Vec<Markup> = book.chapters.iter().map(|chapter| writer.chapter(chapter)).collect();
    match writer.fault {
        Some(fault) => Outcome::failed(fault),
        None => Outcome::fine(document(book, &chapters, writer.models > 0).into_string().into_bytes()),
    }
}

fn document(book: &Book, chapters: &[Markup], has_model: bool) -> Markup {
    let style = format!("{}{STYLE}", page_rules(book.page));
    let script = if has_model { format!(" script-src {};", digest(SCRIPT)) } else { String::new() };
    let policy = format!(
        "default-src 'none';{script} style-src {}; base-uri 'none'; form-action 'none'",
        digest(&style)
    );
    html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta http-equiv="Content-Security-Policy" content=(policy);
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="generator" content="slatwork";
                title { (plain(&format!("{}: {}", book.title, book.subtitle))) }
                style { (PreEscaped(style)) }
            }
            body class=[(!book.is_long).then_some("leaflet")] {
                a class="skip" href="#content" { "Skip to the content" }
                header {
                    h1 { (words(&book.title)) }
                    p class="subtitle" { (words(&book.subtitle)) }
                }
                @if book.is_long { (contents(book)) }
                main id="content" { @for chapter in chapters { (chapter) } }
                @if has_model { script { (PreEscaped(SCRIPT)) } }
            }
        }
    }
}

/// `'sha256-...'`, as a policy names what may run.
fn digest(text: &str) -> String {
    format!("'sha256-{}'", BASE64_STANDARD.encode(Sha256::digest(text)))
}

fn contents(book: &Book) -> Markup {
    html! {
        nav class="contents" aria-label="Contents" {
            h2 { "Contents" }
            ol { @for chapter in &book.chapters { li { a href=(format!("#{}", chapter.key)) { (words(&chapter.title)) } } } }
        }
    }
}

/// Words, with what stands between two back-ticks as a name.
fn words(text: &str) -> Markup {
    html! {
        @for stretch in stretches(&plain(text)) {
            @match stretch { Stretch::Words(own) => (own), Stretch::Name(own) => bdi class="name" { (own) } }
        }
    }
}

/// Writes chapters, and counts what must have a name of its own.
#[derive(Default)]
struct Writer {
    drawings: usize,
    models: usize,
    fault: Option<Diagnostic>,
}

impl Writer {
    fn chapter(&mut self, chapter: &Chapter) -> Markup {
        let title = format!("{}-title", chapter.key);
        let blocks = self.blocks(&chapter.blocks);
        html! {
            section id=(chapter.key) class=[chapter.begins_page.then_some("page")] aria-labelledby=(title) {
                h2 id=(title) { (words(&chapter.title)) }
                (blocks)
            }
        }
    }

    fn blocks(&mut self, blocks: &[Block]) -> Markup {
        let written: Vec<Markup> = blocks.iter().map(|block| self.block(block)).collect();
        html! { @for block in written { (block) } }
    }

    fn block(&mut self, block: &Block) -> Markup {
        match block {
            Block::Heading(text) => html! { h3 { (words(text)) } },
            Block::Paragraph(text) => html! { p { (words(text)) } },
            Block::List(kind, items) => list(*kind, items),
            Block::Terms(terms) => html! {
                dl { @for (term, meaning) in terms { dt { (words(term)) } dd { (words(meaning)) } } }
            },
            Block::Table(own) => self.table(own),
            Block::Drawing(drawing) => self.drawing(drawing),
            Block::Notice(own) => notice(own),
            Block::Formula(own) => formula(own),
            Block::Model(view) => {
                self.models += 1;
                self.fault = self.fault.take().or_else(|| view.fault());
                let still = self.drawing(&view.still);
                model::written(view, self.models, &still)
            }
            Block::ToFill(labels) => html! {
                ul class="fill" { @for label in labels { li { (words(label)) ": " span class="line" {} } } }
            },
            Block::Together(blocks) => html! { div class="together" { (self.blocks(blocks)) } },
        }
    }

    fn drawing(&mut self, drawing: &Drawing) -> Markup {
        self.drawings += 1;
        let name = format!("drawing-{}", self.drawings);
        let class = match drawing.place {
            DrawingPlace::Column | DrawingPlace::Framed(_) => "column",
            DrawingPlace::Cropped => "cropped",
            DrawingPlace::WholePage => "whole",
        };
        let written = svg::write_within(&drawing.sheet, &name, drawing.window(), svg::Clear::Rim);
        self.fault = self.fault.take().or_else(|| written.diagnostics.into_iter().next());
        html! {
            figure class=(class) {
                (PreEscaped(written.value.unwrap_or_default()))
                @if !drawing.caption.is_empty() { figcaption { (words(&drawing.caption)) } }
            }
        }
    }

    fn table(&mut self, table: &Table) -> Markup {
        self.fault = self.fault.take().or_else(|| table.fault());
        let short = short_columns(table);
        let class = |index: usize| match table.columns[index].kind {
            Kind::Text | Kind::Flag => short.get(index).copied().unwrap_or(false).then_some("short"),
            _ => Some("number"),
        };
        html! {
            section class="scroll" tabindex="0" aria-label=(plain(&format!("Table: {}", table.title))) {
                table {
                    caption { (words(&table.title)) }
                    thead { tr {
                        @for (index, column) in table.columns.iter().enumerate() {
                            th scope="col" class=[class(index)] { (words(&heading(column))) }
                        }
                    } }
                    tbody { @for row in &table.rows { tr {
                        @for (index, cell) in row.iter().enumerate().take(table.columns.len()) {
                            (table_cell(table, index, cell, class(index)))
                        }
                    } } }
                }
            }
        }
    }
}

/// Readings and marks of up to so many letters stay on one line; longer words wrap. The first that a page has room for.
const SHORT: [usize; 4] = [28, 20, 14, 8];
/// Letters across a printed page.
const ACROSS: usize = 104;
/// Letters that a column of words that wrap takes at least; the first is set wider.
const WRAPPED: [usize; 2] = [18, 12];

/// Which columns of words stand on one line.
fn short_columns(table: &Table) -> Vec<bool> {
    let letters = |index: usize| {
        let kind = table.columns[index].kind;
        let cells = table.rows.iter().filter_map(|row| row.get(index));
        cells.map(|cell| shown(cell, kind, table.tape).chars().count()).max().unwrap_or(0)
    };
    let is_words = |index: usize| matches!(table.columns[index].kind, Kind::Text | Kind::Flag);
    let widths: Vec<usize> = (0..table.columns.len()).map(letters).collect();
    let is_short = |index: usize, limit: usize| is_words(index) && widths[index] <= limit;
    let fits = |limit: &usize| {
        let width = |index: usize| match is_words(index) && !is_short(index, *limit) {
            true => WRAPPED[usize::from(index > 0)],
            false => widths[index],
        };
        (0..widths.len()).map(|index| width(index) + 2).sum::<usize>() <= ACROSS
    };
    let limit = SHORT.into_iter().find(fits).unwrap_or(0);
    (0..widths.len()).map(|index| is_short(index, limit)).collect()
}

fn table_cell(table: &Table, index: usize, cell: &Cell, class: Option<&str>) -> Markup {
    let text = shown(cell, table.columns[index].kind, table.tape);
    let names_row = index == 0 && !text.is_empty();
    let text = words(&text);
    html! {
        @if names_row { th scope="row" class=[class] { (text) } } @else { td class=[class] { (text) } }
    }
}

fn list(kind: ListKind, items: &[String]) -> Markup {
    let class = (kind == ListKind::ToTick).then_some("tick");
    let items = html! { @for item in items { li { (words(item)) } } };
    html! {
        @if kind == ListKind::Numbered { ol { (items) } } @else { ul class=[class] { (items) } }
    }
}

fn notice(own: &Notice) -> Markup {
    let class = match own.weight {
        Weight::Note => "notice note",
        Weight::Caution => "notice caution",
        Weight::Warning => "notice warning",
        Weight::Failure => "notice failure",
    };
    html! {
        div class=(class) {
            p {
                strong { (own.weight.word()) }
                @if !own.title.is_empty() { " " (words(&own.title)) }
            }
            @for text in &own.texts { p { (words(text)) } }
        }
    }
}

/// As MathML, which browsers set and readers of screens read; and what each sign stands for.
fn formula(own: &Formula) -> Markup {
    html! {
        div class="formula" {
            @for line in &own.lines {
                math display="block" class=[(line.size() > LONG_FORMULA).then_some("long")] { (written(line)) }
            }
            @if !own.numbers.is_empty() {
                ul {
                    @for number in &own.numbers {
                        li {
                            (sign(&number.symbol)) " " (words(&number.meaning)) ": "
                            b { (words(&number.figure())) }
                        }
                    }
                }
            }
        }
    }
}

/// The sign of a number among words.
fn sign(symbol: &str) -> Markup {
    match Written::sign(symbol) {
        Written::Sign { letter, index, mark } => html! {
            i { (letter) @if !index.is_empty() { sub { (index) } } (mark) }
        },
        other => html! { (other.text()) },
    }
}

fn written(own: &Written) -> Markup {
    match own {
        Written::Sign { letter, index, mark } => match (index.is_empty(), mark.is_empty()) {
            (true, true) => html! { mi { (letter) } },
            (false, true) => html! { msub { mi { (letter) } mi { (index) } } },
            (true, false) => html! { msup { mi { (letter) } mo { (mark) } } },
            (false, false) => html! { msubsup { mi { (letter) } mi { (index) } mo { (mark) } } },
        },
        Written::Text(text) => html! { mtext { (plain(text)) } },
        Written::Operator(word) if word.chars().all(char::is_alphabetic) => html! { mi { (word) } },
        Written::Operator(sign) => html! { mo { (sign) } },
        Written::Row(parts) => html! { mrow { @for part in parts { (written(part)) } } },
        Written::Fraction(top, bottom) => {
            html! { mfrac { mrow { (written(top)) } mrow { (written(bottom)) } } }
        }
        Written::Raised(base, exponent) => {
            html! { msup { mrow { (written(base)) } mrow { (written(exponent)) } } }
        }
        Written::Root(of) => html! { msqrt { (written(of)) } },
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Sheet;
    use slatwork_base::formula::{NamedNumber, Unit};
    use slatwork_solid::DVec2;

    #[test]
    fn names_stand_between_two_back_ticks_and_markup_is_text() {
        let written = |text| words(text).into_string();
        assert_eq!(written("lay `front rail` down"), "lay <bdi class=\"name\">front rail</bdi> down");
        assert_eq!(written("one ` alone <b>"), "one ` alone &lt;b&gt;");
        assert_eq!(written("a\u{0}b\u{1b}\u{fffe}c\nd"), "abc d");
    }

    #[test]
    fn what_may_run_is_named_by_its_digest() {
        assert_eq!(digest(""), "'sha256-47DEQpj8HBSa+/TImW+5JCeuQeRkm5NMpJWZG3hSuFU='");
        assert!(!SCRIPT.contains("</script") && !SCRIPT.contains("<!--") && !STYLE.contains('<'));
    }

    fn book(blocks: Vec<Block>) -> String {
        let chapters =
            vec![Chapter { key: "cover", title: String::from("Cover"), begins_page: true, blocks }];
        let book = Book {
            title: String::from("Bench"),
            subtitle: String::from("a book"),
            page: Page::A4,
            is_long: true,
            chapters,
        };
        String::from_utf8(write(&book).value.expect("it can be written")).expect("text")
    }

    #[test]
    fn the_same_drawing_twice_has_ids_of_its_own() {
        let sheet = Sheet::new("rail", crate::Paper::A4);
        let drawing =
            |place| Block::Drawing(Drawing { sheet: sheet.clone(), caption: String::from("a rail"), place });
        let text = book(vec![drawing(DrawingPlace::Framed(8)), drawing(DrawingPlace::WholePage)]);
        assert!(text.contains("id=\"drawing-1-title\"") && text.contains("id=\"drawing-2-title\""));
        assert!(text.contains("viewBox=\"8 8 281 194\"") && text.contains("viewBox=\"0 0 297 210\""));
        // Lines from 40, 60 to 90, 130 with 2 mm of white; nothing drawn leaves the whole sheet.
        let mut drawn = sheet.clone();
        drawn.line(crate::LineClass::Outline, DVec2::new(40.0, 60.0), DVec2::new(90.0, 130.0));
        let cropped = |sheet: &Sheet| {
            let (sheet, caption) = (sheet.clone(), String::new());
            book(vec![Block::Drawing(Drawing { sheet, caption, place: DrawingPlace::Cropped })])
        };
        assert!(cropped(&drawn).contains("viewBox=\"38 78 54 74\""), "210 mm high, less 132");
        assert!(cropped(&sheet).contains("viewBox=\"0 0 297 210\""));
        // Nothing to turn, nothing to run.
        assert!(!text.contains("<script") && !text.contains("script-src"));
    }

    #[test]
    fn a_formula_reads_as_a_line_and_stands_as_fractions() {
        let named = |symbol, value, unit| NamedNumber::new(symbol, "load", value, unit);
        let (load, allowed) = (named("V", 570.0, Unit::Force), named("Vr'", 705.0, Unit::Force));
        let share = &load / &allowed;
        let text = book(vec![Block::Formula(Formula {
            lines: vec![share.in_signs(), share.in_numbers()],
            numbers: vec![allowed],
        })]);
        let fractions = [
            "<mfrac><mrow><mi>V</mi></mrow><mrow><msubsup><mi>V</mi><mi>r</mi><mo>′</mo></msubsup></mrow></mfrac>",
            "<mfrac><mrow><mtext>570 N</mtext></mrow><mrow><mtext>705 N</mtext></mrow></mfrac>",
            "<i>V<sub>r</sub>′</i> load: <b>705 N</b>",
        ];
        fractions.iter().for_each(|own| assert!(text.contains(own), "{own} in {text}"));
    }
}
