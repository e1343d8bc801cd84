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
//! | `sets.rs` | each set: drawing, making, holes |
//! | `assembly.rs` | the steps, and the piece to turn round |
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
mod cover;
mod cutting;
mod finish;
mod glossary;
mod hanging;
mod owner;
mod sets;
mod shopping;
mod stock;
mod stops;
mod unverified;

use super::{Files, Paper};
use crate::Judged;
use slatwork_base::Outcome;
use slatwork_output::book::{Block, Book, Chapter, ListKind, Notice, Weight};
use slatwork_output::{Cell, Column, Kind, Table, html};

pub(super) fn write(paper: &Paper<'_>) -> Outcome<Files> {
    // Without a judgement there is nothing to say of checks; the pipeline makes one whenever a book is wanted.
    let Some(judged) = paper.judged else { return Outcome::fine(Files::new()) };
    html::write(&book(paper, judged)).then(|book| {
        html::write(&owner::sheet(paper, judged))
            .map(|owner| vec![(String::from("book.html"), book), (String::from("owner.html"), owner)])
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

fn chapter(key: &'static str, title: impl Into<String>, blocks: Vec<Block>) -> Chapter {
    Chapter { key, title: title.into(), blocks }
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

/// A table of words alone.
fn table_of_words(
    paper: &Paper<'_>,
    name: &'static str,
    title: impl Into<String>,
    columns: &[(&'static str, &str)],
    rows: impl IntoIterator<Item = Vec<String>>,
) -> Table {
    let columns = columns.iter().map(|(key, title)| Column::new(key, *title, Kind::Text)).collect();
    let mut table = Table::new(name, title, paper.units.tape(), columns);
    table.rows = rows.into_iter().map(|row| row.into_iter().map(Cell::Text).collect()).collect();
    table
}
