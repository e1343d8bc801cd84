//! The papers, one kind a file, and the table of kinds.

mod bill;
mod boards;
mod book;
pub(crate) mod contents;
mod cut_list;
mod drawings;
mod hanging;
mod head;
mod holes;
mod joints;
mod model;
mod outlines;
mod page;
mod pictures;
mod places;
mod price;
mod purchase;
mod rack;
mod schema;
mod shapes;
mod steps;
mod stops;
mod summary;
mod tables;
mod templates;

pub(crate) use drawings::Sheets;
pub(crate) use head::{findings_json, value_json};
pub use schema::{SCHEMAS, schema, schema_names};

use crate::{Judged, Units};
use slatwork_base::{Diagnostic, Outcome, did_you_mean};
use slatwork_catalog::Catalogue;
use slatwork_checks::Handed;
use slatwork_model::Model;
use slatwork_output::book::Page as BookPage;
use slatwork_output::template::Printing;
use slatwork_script::{Library, Parameters};
use slatwork_shop::{Assembly, ShopPlan};

/// What a paper is made from.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Paper<'a> {
    pub(crate) family: &'a str,
    /// The scripts: what line stands where.
    pub(crate) library: &'a Library,
    pub(crate) values: &'a Parameters,
    pub(crate) model: &'a Model,
    pub(crate) plan: &'a ShopPlan,
    pub(crate) assembly: &'a Assembly,
    pub(crate) catalogue: &'a Catalogue,
    pub(crate) units: Units,
    /// Everything noticed while the piece was made.
    pub(crate) findings: &'a [Diagnostic],
    /// Of what hangs: what it hands to what it hangs from, or why that is not told.
    pub(crate) handed: Option<&'a Result<Handed, String>>,
    /// How templates are printed.
    pub(crate) printing: &'a Printing,
    /// What every check finds, where a paper tells it.
    pub(crate) judged: Option<&'a Judged>,
    /// Drawings that several papers show.
    pub(crate) sheets: &'a Sheets,
    /// What the book is printed on.
    pub(crate) page: BookPage,
}

/// Files by path.
pub(crate) type Files = Vec<(String, Vec<u8>)>;

/// A kind of paper.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Kind {
    /// Everything for the bench in one file, and the sheet for whoever receives the piece.
    Book,
    /// The same as PDF.
    BookPdf,
    /// Every part: sizes, and how it is made.
    CutList,
    /// Lumber, hardware, edges, surface, weight.
    Bill,
    /// Boards to buy, and how each is cut.
    Purchase,
    /// How each board is cut, in pictures.
    Boards,
    /// What it costs, how long it takes, what to ask.
    Price,
    /// What is cut at one setting.
    Stops,
    /// Every hole.
    Holes,
    /// Every cut, notch and outline by exact marks, and where each part stands.
    Shapes,
    /// Every joint: where its parts meet, its fasteners and the wood they pass.
    Joints,
    /// In which order the piece is put together.
    Steps,
    /// The whole piece and every part on paper.
    Drawings,
    /// True outlines of shaped parts.
    Outlines,
    /// Parts at full size, to print and to cut by.
    Templates,
    /// The piece in three dimensions.
    Model,
    /// The variant in figures.
    Summary,
    /// What lies in the folder.
    Contents,
}

/// A row of the table of kinds.
struct Row {
    kind: Kind,
    /// What a user calls it; also its schema's name.
    name: &'static str,
    /// What it is for.
    about: &'static str,
    /// Endings of its files.
    extensions: &'static [&'static str],
    write: fn(&Paper<'_>) -> Outcome<Files>,
}

/// Every kind, in the order users see.
#[rustfmt::skip]
const ROWS: &[Row] = &[
    Row { kind: Kind::Book, name: "book", about: "everything for the bench in one file to read and print, checks and all; owner: two pages for whoever receives it",
          extensions: &["html"], write: book::write },
    Row { kind: Kind::BookPdf, name: "book-pdf", about: "the same as PDF, tagged for readers of screens (PDF/UA-1); only from a program built with `--features book-pdf`",
          extensions: &["pdf"], write: book::write_pdf },
    Row { kind: Kind::CutList, name: "cutlist", about: "every part: how many, its sizes, and how it is made",
          extensions: &["txt", "csv", "json"], write: cut_list::write },
    Row { kind: Kind::Bill, name: "bill", about: "lumber, hardware, rounded edges, surface and weight",
          extensions: &["txt", "csv", "json"], write: bill::write },
    Row { kind: Kind::Purchase, name: "purchase", about: "boards to buy, and how each is cut",
          extensions: &["txt", "csv", "json", "toml"], write: purchase::write },
    Row { kind: Kind::Boards, name: "boards", about: "pictures of how each board is cut, with its stops",
          extensions: &["svg"], write: boards::write },
    Row { kind: Kind::Price, name: "price", about: "what it costs and how long it takes: goods, labour, waiting, cost, ways of selling, batches",
          extensions: &["txt", "csv", "json"], write: price::write },
    Row { kind: Kind::Stops, name: "stops", about: "what is cut at one setting of fence, stop, mitre or blade",
          extensions: &["txt", "csv", "json"], write: stops::write },
    Row { kind: Kind::Holes, name: "holes", about: "every hole: where to mark it and how to bore it",
          extensions: &["txt", "csv", "json"], write: holes::write },
    Row { kind: Kind::Shapes, name: "shapes", about: "planes, notches, notch_walls and outlines by exact marks; places: where each part stands",
          extensions: &["csv", "json"], write: shapes::write },
    Row { kind: Kind::Joints, name: "joints", about: "every joint, for a program: where its parts meet, its fasteners, the wood they pass, their holes",
          extensions: &["json"], write: joints::write },
    Row { kind: Kind::Steps, name: "steps", about: "the order of assembly, step by step: ways in, fasteners, tools, checks for true",
          extensions: &["txt", "csv", "json"], write: steps::write },
    Row { kind: Kind::Drawings, name: "drawings", about: "the whole piece on a sheet, a picture of each step of assembly, and a sheet for each set of parts",
          extensions: &["svg"], write: drawings::write },
    Row { kind: Kind::Outlines, name: "outlines", about: "true outlines of shaped parts, in millimetres",
          extensions: &["dxf"], write: outlines::write },
    Row { kind: Kind::Templates, name: "templates", about: "full-size templates of curved, coped, compound and bored parts, over the sheets of a printer",
          extensions: &["pdf", "svg", "dxf"], write: templates::write },
    Row { kind: Kind::Model, name: "model", about: "the piece in three dimensions: to look at (glb), for other drawing programs (step), each kind of part as triangles (stl)",
          extensions: &["glb", "step", "stl"], write: model::write },
    Row { kind: Kind::Summary, name: "summary", about: "the variant in figures, for a program",
          extensions: &["json"], write: summary::write },
    Row { kind: Kind::Contents, name: "contents", about: "what is in the folder, and what each file is for",
          extensions: &["txt", "json"], write: contents::write },
];

impl Kind {
    /// Every kind, in the order users see.
    pub const ALL: [Kind; ROWS.len()] = {
        let mut all = [Kind::CutList; ROWS.len()];
        let mut index = 0;
        while index < ROWS.len() {
            all[index] = ROWS[index].kind;
            index += 1;
        }
        all
    };

    fn row(self) -> &'static Row {
        &ROWS[self as usize]
    }

    /// What a user calls it.
    pub fn name(self) -> &'static str {
        self.row().name
    }

    /// What it is for.
    pub fn about(self) -> &'static str {
        self.row().about
    }

    /// Endings of its files.
    pub fn extensions(self) -> &'static [&'static str] {
        self.row().extensions
    }

    /// Name of the schema of its JSON document, if it has one.
    pub fn schema_name(self) -> Option<String> {
        self.extensions().contains(&"json").then(|| format!("slatwork/{}/1", self.name()))
    }

    /// Whether this program has it: PDF books are left out unless it is built with the feature `book-pdf`.
    pub fn is_built_in(self) -> bool {
        self != Kind::BookPdf || cfg!(feature = "book-pdf")
    }

    /// Whether it is made where nobody says which papers: all but the PDF book, which takes longer than all others together.
    pub fn is_usual(self) -> bool {
        self != Kind::BookPdf
    }

    /// Itself, where this program has it.
    ///
    /// # Errors
    /// `document-not-built-in`, with what builds it in.
    pub fn built_in(self) -> Result<Kind, Diagnostic> {
        if self.is_built_in() {
            return Ok(self);
        }
        let message = format!("this program was built without the document `{}`", self.name());
        Err(Diagnostic::error("document-not-built-in", message)
            .help("build it with `cargo build --release --features book-pdf`; book.html holds the same and prints as well"))
    }

    /// The kind that a user calls `name`.
    ///
    /// # Errors
    /// `unknown-document`, with the nearest name or all; `document-not-built-in`.
    pub fn named(name: &str) -> Result<Kind, Diagnostic> {
        let found = ROWS.iter().find(|row| row.name == name);
        found.map(|row| row.kind.built_in()).unwrap_or_else(|| {
            let names: Vec<&str> = ROWS.iter().map(|row| row.name).collect();
            let diagnostic = Diagnostic::error("unknown-document", format!("there is no document `{name}`"));
            Err(match did_you_mean(name, names.iter().copied()) {
                Some(near) => diagnostic.help(format!("did you mean `{near}`?")),
                None => diagnostic.help(format!("there are {}", names.join(", "))),
            })
        })
    }

    pub(crate) fn write(self, paper: &Paper<'_>) -> Outcome<Files> {
        (self.row().write)(paper)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_stands_in_the_order_of_the_kinds() {
        for (index, row) in ROWS.iter().enumerate() {
            assert_eq!(row.kind as usize, index, "{}", row.name);
            assert_eq!(Kind::named(row.name), row.kind.built_in());
        }
        assert_eq!(Kind::named("cutlst").unwrap_err().help, ["did you mean `cutlist`?"]);
    }

    #[test]
    fn what_is_not_built_in_says_how_to_get_it() {
        let told = Kind::named("book-pdf").map_err(|trouble| (trouble.code, trouble.help.join(" ")));
        match told {
            Ok(kind) => assert!(cfg!(feature = "book-pdf") && kind == Kind::BookPdf),
            Err((code, help)) => {
                assert!(!cfg!(feature = "book-pdf") && code == "document-not-built-in");
                assert!(help.contains("cargo build --release --features book-pdf"), "{help}");
            }
        }
    }
}
