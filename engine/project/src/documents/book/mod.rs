//! The book: everything for the bench in one file, a chapter a file here; and the sheet for whoever receives the piece. Both are
//! made from the plan, the judgement, the sheets and the sentences that the other papers have.
//!
//! | file | chapter |
//! |---|---|
//! | `cover.rs` | picture, sizes, rating, and whatever fails |
//! | `shopping.rs` | boards, hardware, finish to buy |
//! | `stock.rs` | preparing the boards |
//! | `cutting.rs` | the cut list, and the boards one by one |
//! | `stops.rs` | stops and settings |
//! | `sets.rs` | each set: drawing, making, holes; `shapes.rs` its angled cuts, notches and bends |
//! | `assembly.rs` | the steps, and the piece to turn round; `standing.rs` where every part stands |
//! | `finish.rs` | finish and care |
//! | `hanging.rs` | hanging, and what is looked at from time to time |
//! | `checks.rs` | every check with its figures |
//! | `unverified.rs` | figures that nobody has verified |
//! | `cautions.rs` | cautions |
//! | `glossary.rs` | words |
//! | `owner.rs` | the sheet for whoever receives the piece |

mod assembly;
mod cautions;
mod checks;
pub(super) mod cover;
mod cutting;
mod finish;
mod glossary;
mod hanging;
mod owner;
mod sets;
mod shapes;
mod shopping;
mod standing;
mod stock;
mod stops;
mod unverified;

use super::{Files, Paper};
use crate::Judged;
use slatwork_base::Outcome;
use slatwork_output::book::{Block, Book, Chapter, ListKind, Notice, Weight};
use slatwork_output::{Cell, Column, Kind, Table, html};

pub(super) fn write(paper: &Paper<'_>) -> Outcome<Files> {
    both(paper, html::write, "html")
}

/// Nothing where it is not built in; [`super::Kind::built_in`] says so.
pub(super) fn write_pdf(paper: &Paper<'_>) -> Outcome<Files> {
    #[cfg(feature = "book-pdf")]
    return pdfs(paper);
    #[cfg(not(feature = "book-pdf"))]
    {
        _ = paper;
        Outcome::fine(Files::new())
    }
}

/// The same two as PDF: while the one is written, which takes one thread, the other is set.
#[cfg(feature = "book-pdf")]
fn pdfs(paper: &Paper<'_>) -> Outcome<Files> {
    use slatwork_output::book_pdf::{forget, set, write};
    let Some(judged) = paper.judged else { return Outcome::fine(Files::new()) };
    let pages = set(&book(paper, judged));
    pages.then(|pages| {
        let (book, owner) = rayon::join(
            || pages.written(),
            || {
                forget();
                write(&owner::sheet(paper, judged))
            },
        );
        book.then(|book| {
            owner.map(|owner| vec![(String::from("book.pdf"), book), (String::from("owner.pdf"), owner)])
        })
    })
}

/// The book and the sheet for whoever receives the piece.
fn both(paper: &Paper<'_>, write: fn(&Book) -> Outcome<Vec<u8>>, ending: &str) -> Outcome<Files> {
    // Without a judgement there is nothing to say of checks; the pipeline makes one whenever a book is wanted.
    let Some(judged) = paper.judged else { return Outcome::fine(Files::new()) };
    write(&book(paper, judged)).then(|book| {
        write(&owner::sheet(paper, judged))
            .map(|owner| vec![(format!("book.{ending}"), book), (format!("owner.{ending}"), owner)])
    })
}

fn book(paper: &Paper<'_>, judged: &Judged) -> Book {
    let chapters = [
        Some(cover::chapter(paper, judged)),
        Some(shopping::chapter(paper)),
        Some(stock::chapter(paper, judged)),
        Some(cutting::chapter(paper)),
        Some(stops::chapter(paper)),
        Some(sets::chapter(paper)),
        Some(assembly::chapter(paper)),
        Some(finish::chapter(paper)),
        hanging::chapter(paper, judged),
        Some(hanging::inspection(paper)),
        Some(checks::chapter(judged)),
        Some(unverified::chapter(paper, judged)),
        Some(cautions::chapter(paper)),
        Some(glossary::chapter()),
    ];
    Book {
        title: paper.model.title.clone(),
        subtitle: String::from("a book for the bench"),
        page: paper.page,
        is_long: true,
        chapters: chapters.into_iter().flatten().collect(),
    }
}

/// What is said of a chapter that no standard stands behind.
const NO_STANDARD: &str =
    "Where no source is named, this chapter is common practice of the trade, and of no standard.";

fn chapter(key: &'static str, title: impl Into<String>, blocks: Vec<Block>) -> Chapter {
    Chapter { key, title: title.into(), begins_page: true, blocks }
}

fn words(text: impl Into<String>) -> Block {
    Block::Paragraph(text.into())
}

fn heading(text: impl Into<String>) -> Block {
    Block::Heading(text.into())
}

fn paragraphs(texts: impl IntoIterator<Item = String>) -> impl Iterator<Item = Block> {
    texts.into_iter().map(Block::Paragraph)
}

fn list<T: Into<String>>(kind: ListKind, items: impl IntoIterator<Item = T>) -> Block {
    Block::List(kind, items.into_iter().map(Into::into).collect())
}

fn notice(weight: Weight, title: impl Into<String>, texts: Vec<String>) -> Block {
    Block::Notice(Notice { weight, title: title.into(), texts })
}

/// A table of words alone, without columns that hold nothing.
fn table_of_words(
    paper: &Paper<'_>,
    name: &'static str,
    title: impl Into<String>,
    columns: &[(&'static str, &str)],
    rows: impl IntoIterator<Item = Vec<String>>,
) -> Table {
    let rows: Vec<Vec<String>> = rows.into_iter().collect();
    let says = |index: usize| {
        index == 0 || rows.iter().any(|row| row.get(index).is_some_and(|cell| !cell.is_empty()))
    };
    let kept: Vec<usize> = (0..columns.len()).filter(|index| says(*index)).collect();
    let column = |index: &usize| Column::new(columns[*index].0, columns[*index].1, Kind::Text);
    let mut table = Table::new(name, title, paper.units.tape(), kept.iter().map(column).collect());
    let cell = |row: &Vec<String>, index: usize| Cell::Text(row.get(index).cloned().unwrap_or_default());
    table.rows = rows.iter().map(|row| kept.iter().map(|index| cell(row, *index)).collect()).collect();
    table
}
