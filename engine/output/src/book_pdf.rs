//! A [`Book`] as a tagged PDF that holds to PDF/UA-1 (ISO 14289-1), by its typesetter's own validation.
//!
//! The typesetter is given one template, `typst/book.typ`, the book as data, and its drawings. All that a book says is data and
//! never markup. The letters come with the program, so that pages are the same on every machine; what they do not hold is shown
//! as a box, and the first page then says so. Nothing can be turned round on paper: the drawing stands where the piece could be.
//!
//! | file | what |
//! |---|---|
//! | `sources.rs` | a book as data and drawings |
//! | `drawn.rs` | drawings as parts of pages |
//! | `letters.rs` | the letters: what they hold, how wide words are |
//! | `columns.rs` | how wide the columns of a table are |
//! | `typeset.rs` | the typesetter, shut in |

mod columns;
mod drawn;
mod letters;
mod sources;
mod typeset;

use crate::book::Book;
use drawn::Drawn;
use letters::Letters;
use sha2::{Digest, Sha256};
use slatwork_base::Outcome;
use sources::{Drawings, Sources};
use std::fmt::Write;
use typeset::{DATA, Files};
use typst::utils::hash128;
use typst_layout::PagedDocument;

const TEMPLATE: &str = include_str!("../typst/book.typ");

/// A book whose pages are set.
pub struct Pages {
    document: PagedDocument,
    ident: String,
}

/// Sets the pages of a book. The faults are those of its drawings, its tables and its model; `book-not-set` is one of the program.
/// Until [`forget`] what it takes to set the same again is kept.
pub fn set(book: &Book) -> Outcome<Pages> {
    taken_apart(book, Drawings::Frames(Vec::new())).then(|Sources { data, drawings }| {
        let data = data.to_string().into_bytes();
        let drawings = match drawings {
            Drawings::Frames(drawings) => drawings,
            Drawings::Files(_) => Vec::new(),
        };
        let ident = ident(&data, &drawings);
        match Files::of(TEMPLATE, data, drawings) {
            Ok(files) => files.set().map(|document| Pages { document, ident }),
            Err(fault) => Outcome::failed(fault),
        }
    })
}

impl Pages {
    /// Writes them.
    pub fn written(&self) -> Outcome<Vec<u8>> {
        typeset::written(&self.document, self.ident.clone())
    }
}

/// Lets go of whatever is kept of books that were set.
pub fn forget() {
    typeset::forget();
}

/// Sets a book, writes it and keeps nothing of it.
pub fn write(book: &Book) -> Outcome<Vec<u8>> {
    let pages = set(book);
    forget();
    pages.then(|pages| pages.written())
}

/// What the template reads where it is set by another program, by paths that begin with `/`: `/data.json` and the drawings.
pub fn files(book: &Book) -> Outcome<Vec<(String, Vec<u8>)>> {
    taken_apart(book, Drawings::Files(Vec::new())).map(|own| {
        let data = (String::from(DATA), own.data.to_string().into_bytes());
        let drawings = match own.drawings {
            Drawings::Files(texts) => texts,
            Drawings::Frames(_) => Vec::new(),
        };
        let drawings = drawings.into_iter().enumerate();
        let drawings = drawings.map(|(index, text)| (sources::path(index), text.into_bytes()));
        std::iter::once(data).chain(drawings).collect()
    })
}

fn taken_apart(book: &Book, drawings: Drawings) -> Outcome<Sources> {
    match Letters::read() {
        Ok(letters) => sources::of(book, &letters, drawings),
        Err(fault) => Outcome::failed(fault),
    }
}

/// A digest of all that the template reads.
fn ident(data: &[u8], drawings: &[Drawn]) -> String {
    let digest = drawings.iter().flat_map(|own| [&own.lines, &own.words]);
    let digest = digest.fold(Sha256::new_with_prefix(data), |digest, frame| {
        digest.chain_update(hash128(frame).to_le_bytes())
    });
    digest.finalize().iter().fold(String::new(), |mut text, byte| {
        // Writing into a `String` cannot fail.
        _ = write!(text, "{byte:02x}");
        text
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::book::{Block, Chapter, Drawing, DrawingPlace, Formula, ListKind, Notice, Page, Weight};
    use crate::{Column, Kind, LineClass, Paper, Sheet, Table};
    use slatwork_base::Tape;
    use slatwork_base::formula::{NamedNumber, Unit, Written};
    use slatwork_solid::DVec2;

    fn book(page: Page, is_long: bool, blocks: Vec<Block>) -> Book {
        let chapter =
            |key, blocks| Chapter { key, title: format!("Chapter `{key}`"), begins_page: true, blocks };
        Book {
            title: String::from("Bench"),
            subtitle: String::from("a book"),
            page,
            is_long,
            chapters: vec![chapter("cover", blocks), chapter("rest", Vec::new())],
        }
    }

    fn drawing(place: DrawingPlace, caption: &str) -> Block {
        let mut sheet = Sheet::new("rail", Paper::A4);
        sheet.line(LineClass::Outline, DVec2::new(20.0, 20.0), DVec2::new(200.0, 90.0));
        Block::Drawing(Drawing { sheet, caption: caption.to_string(), place })
    }

    fn table(columns: usize, rows: usize, cell: &str) -> Block {
        let head = |_| Column::new("what", "what it is", Kind::Text);
        let mut table = Table::new("some", "some table", Tape::Exact, (0..columns).map(head).collect());
        table.rows = vec![vec![cell.into(); columns]; rows];
        Block::Table(table)
    }

    fn formula() -> Block {
        let sign = Written::sign;
        let text = |own: &str| Written::Text(own.to_string());
        let over = |a, b| Written::Fraction(Box::new(a), Box::new(b));
        let apart =
            [Written::Operator("|"), sign("x"), Written::Operator("-"), sign("Fb'"), Written::Operator("|")];
        let chain = vec![
            sign("U"),
            over(Written::Row(apart.to_vec()), sign("h*")),
            over(text("570 N"), text("705 mm⁴")),
            Written::Raised(Box::new(sign("σ")), Box::new(text("2"))),
            Written::Row(vec![Written::Operator("min"), Written::Root(Box::new(text("∞")))]),
        ];
        let short = Written::chain("=", chain.clone());
        let long = Written::chain("≤", chain.iter().cycle().take(60).cloned());
        let told = NamedNumber::new("Fb'", "found", 570.0, Unit::Force);
        Block::Formula(Formula { lines: vec![short, long], numbers: vec![told; 9] })
    }

    fn notice(weight: Weight, title: &str, text: &str) -> Block {
        let texts = if text.is_empty() { Vec::new() } else { vec![text.to_string()] };
        Block::Notice(Notice { weight, title: title.to_string(), texts })
    }

    fn every_kind() -> Vec<Block> {
        let texts = |own: [&str; 2]| own.map(String::from).to_vec();
        let together = vec![
            Block::Heading(String::from("1. Lay it")),
            drawing(DrawingPlace::Column, ""),
            Block::List(ListKind::ToTick, texts(["lay `front rail`", "look"])),
        ];
        vec![
            notice(Weight::Failure, "it tips", "far"),
            notice(Weight::Caution, "", "mind"),
            notice(Weight::Note, "good", ""),
            Block::Paragraph(String::from("words and `names`")),
            Block::List(ListKind::Plain, texts(["one", ""])),
            Block::List(ListKind::Numbered, texts(["one", "two"])),
            Block::Terms(vec![(String::from("kerf"), String::from("the width of a cut"))]),
            table(3, 200, "a cell"),
            table(9, 4, "words that take a little more room than a page that stands upright has"),
            table(40, 2, "narrow"),
            table(2, 0, ""),
            drawing(DrawingPlace::Framed(8), "a rail"),
            drawing(DrawingPlace::Cropped, "a rail"),
            drawing(DrawingPlace::WholePage, "a rail"),
            drawing(DrawingPlace::WholePage, ""),
            formula(),
            Block::ToFill(texts(["Maker", "Date"])),
            Block::Together(together),
            Block::Together(vec![table(
                9,
                4,
                "words that take a little more room than a page that stands upright has",
            )]),
            Block::Together(vec![Block::Paragraph(String::from("long")), table(3, 200, "a cell")]),
            Block::Together(vec![Block::Together(vec![drawing(DrawingPlace::WholePage, "a rail")])]),
        ]
    }

    #[test]
    fn every_kind_of_block_holds_to_the_standard_on_both_pages() {
        for page in [Page::A4, Page::Letter] {
            for is_long in [true, false] {
                let written = write(&book(page, is_long, every_kind()));
                assert!(written.diagnostics.is_empty(), "{:?}", written.diagnostics);
                let bytes = written.value.expect("it can be written");
                assert!(
                    bytes.starts_with(b"%PDF-1.7")
                        && bytes == write(&book(page, is_long, every_kind())).value.unwrap()
                );
            }
        }
    }

    /// What belongs together but is taller than a page, words that no line holds, letters that there are none of, markup.
    #[test]
    fn whatever_the_words_are_there_are_pages() {
        let long = "w".repeat(10_000);
        for words in [
            long.as_str(),
            "\u{5d0}\u{202e}\u{1f600}",
            "#panic() $x$ \u{0}",
            "e\u{301}\u{323} \u{fb01}",
            "\u{200d}",
            "`",
            "` `",
            "",
        ] {
            let blocks = vec![
                Block::Heading(words.to_string()),
                notice(Weight::Warning, words, words),
                table(4, 3, words),
                drawing(DrawingPlace::Column, words),
                Block::Terms(vec![(words.to_string(), words.to_string())]),
                Block::Together(vec![Block::Paragraph(words.to_string()); 3]),
                Block::ToFill(vec![words.to_string()]),
            ];
            let own = Book {
                title: words.to_string(),
                subtitle: words.to_string(),
                ..book(Page::A4, true, blocks)
            };
            let written = write(&own);
            assert!(written.value.is_some(), "{:?}", written.diagnostics);
        }
    }

    #[test]
    fn what_cannot_be_drawn_is_told() {
        let mut sheet = Sheet::new("rail", Paper::A4);
        sheet.line(LineClass::Outline, DVec2::new(f64::NAN, 0.0), DVec2::ONE);
        let own = Drawing { sheet, caption: String::new(), place: DrawingPlace::Column };
        let written = write(&book(Page::A4, true, vec![Block::Drawing(own)]));
        assert_eq!(written.diagnostics[0].code, "drawing-not-finite");
    }
}
