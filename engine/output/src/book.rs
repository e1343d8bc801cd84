//! A book for the bench, before any format: chapters of headings, words, lists, tables, drawings, notices, formulas and a view
//! in three dimensions. What [`crate::html`] and other formats of books put into their own marks.
//!
//! Every text is data. One sign means something in it: what stands between two back-ticks is a name, set apart by each format.

use crate::drawing::Area;
use crate::scene::Scene;
use crate::sheet::Sheet;
use crate::table::Table;
use slatwork_base::Diagnostic;
use slatwork_base::formula::{NamedNumber, Written};
use slatwork_solid::{DVec2, DVec3};

/// A size of page, upright.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Page {
    /// ISO 216 A4.
    A4,
    /// ANSI A, 8 1/2 x 11 in.
    Letter,
}

/// A book.
#[derive(Clone, Debug, PartialEq)]
pub struct Book {
    /// What it is of.
    pub title: String,
    /// What it is for, in a line under the title.
    pub subtitle: String,
    /// What it is printed on.
    pub page: Page,
    /// Whether the chapters are listed before the first, and set as large as a book; else it is a leaflet.
    pub is_long: bool,
    /// The chapters in order; the first is the cover.
    pub chapters: Vec<Chapter>,
}

/// A chapter.
#[derive(Clone, Debug, PartialEq)]
pub struct Chapter {
    /// Its name in links: lower-case letters.
    pub key: &'static str,
    /// Its heading.
    pub title: String,
    /// Whether it begins on a page of its own; the first does anyway.
    pub begins_page: bool,
    /// What stands in it.
    pub blocks: Vec<Block>,
}

/// What a list is of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ListKind {
    /// Things side by side.
    Plain,
    /// Things one after the other.
    Numbered,
    /// Things to tick off.
    ToTick,
}

/// Anything in a chapter.
#[derive(Clone, Debug, PartialEq)]
pub enum Block {
    /// A heading inside the chapter.
    Heading(String),
    /// Words.
    Paragraph(String),
    /// A list.
    List(ListKind, Vec<String>),
    /// Terms, and what each means.
    Terms(Vec<(String, String)>),
    /// Rows under headings; the first column names the row.
    Table(Table),
    /// A drawing.
    Drawing(Drawing),
    /// Something to be seen before all else.
    Notice(Notice),
    /// A formula with its numbers.
    Formula(Formula),
    /// The piece to turn round.
    Model(Box<ModelView>),
    /// Lines to write on, each with what goes there.
    ToFill(Vec<String>),
    /// Blocks that belong on one page.
    Together(Vec<Block>),
}

/// A drawing with its caption. What can be seen stands in the sheet's description.
#[derive(Clone, Debug, PartialEq)]
pub struct Drawing {
    /// What is drawn.
    pub sheet: Sheet,
    /// What stands under it.
    pub caption: String,
    /// How it stands on the page.
    pub place: DrawingPlace,
}

/// White round what is drawn on a cropped sheet, mm.
const ROUND_CROPPED: f64 = 2.0;

impl Drawing {
    /// The part of its sheet that is shown.
    pub(crate) fn window(&self) -> Area {
        let whole = Area { low: DVec2::ZERO, high: DVec2::new(self.sheet.width, self.sheet.height) };
        match self.place {
            DrawingPlace::Column | DrawingPlace::WholePage => whole,
            DrawingPlace::Framed(border) => whole.grown(-f64::from(border)),
            DrawingPlace::Cropped => {
                let drawn = self.sheet.plain_items();
                let all = drawn.iter().filter_map(|item| Area::round(&item.figure));
                let shown = all.reduce(|own, other| own.with(&other)).map(|own| own.grown(ROUND_CROPPED));
                let within = |own: Area| Area { low: own.low.max(whole.low), high: own.high.min(whole.high) };
                shown.map(within).filter(Area::has_room).unwrap_or(whole)
            }
        }
    }
}

/// How a drawing stands on the page.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DrawingPlace {
    /// In the column, all of its paper.
    Column,
    /// In the column, without the white round its frame: that much of every border is left out, whole mm.
    Framed(u8),
    /// In the column, as much of its paper as is drawn on.
    Cropped,
    /// On a page of its own that lies on its long side.
    WholePage,
}

/// How much a notice weighs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Weight {
    /// Good to know.
    Note,
    /// A danger to whoever makes or uses it.
    Caution,
    /// Something that may not be as it should.
    Warning,
    /// Something that is not as it should be.
    Failure,
}

impl Weight {
    /// The word that stands before it: colour alone says nothing.
    pub fn word(self) -> &'static str {
        match self {
            Weight::Note => "Note",
            Weight::Caution => "Caution",
            Weight::Warning => "Warning",
            Weight::Failure => "Fails",
        }
    }
}

/// Something to be seen before all else.
#[derive(Clone, Debug, PartialEq)]
pub struct Notice {
    /// How much it weighs.
    pub weight: Weight,
    /// What it is about; may be empty.
    pub title: String,
    /// What it says, a paragraph each.
    pub texts: Vec<String>,
}

/// A formula and what its signs mean.
#[derive(Clone, Debug, PartialEq)]
pub struct Formula {
    /// The same formula in signs, with its numbers put in, and whatever else stands under it, a line each.
    pub lines: Vec<Written>,
    /// What its signs stand for.
    pub numbers: Vec<NamedNumber>,
}

/// A stretch of a text.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Stretch<'a> {
    /// As it stands.
    Words(&'a str),
    /// What stands between two back-ticks.
    Name(&'a str),
}

/// Takes a text apart at its names. One back-tick by itself is a sign like any other, and so are two with nothing between.
pub(crate) fn stretches(text: &str) -> Vec<Stretch<'_>> {
    let pieces: Vec<&str> = text.split('`').collect();
    if pieces.len().is_multiple_of(2) {
        return vec![Stretch::Words(text)];
    }
    let turns = pieces.into_iter().enumerate();
    let stretches = turns.map(|(index, piece)| match piece {
        piece if index.is_multiple_of(2) => Stretch::Words(piece),
        "" => Stretch::Words("``"),
        piece => Stretch::Name(piece),
    });
    stretches.filter(|own| *own != Stretch::Words("")).collect()
}

/// Text without what no book can hold: control characters, and noncharacters.
pub(crate) fn plain(text: &str) -> String {
    let held = |c: char| {
        if c.is_whitespace() {
            return Some(if c == '\u{a0}' { c } else { ' ' });
        }
        let is_none =
            c.is_control() || (c as u32 & 0xfffe) == 0xfffe || ('\u{fdd0}'..='\u{fdef}').contains(&c);
        (!is_none).then_some(c)
    };
    text.chars().filter_map(held).collect()
}

/// A line of more signs and numbers may be wider than its page at the usual size; a formula is not broken.
pub(crate) const LONG_FORMULA: usize = 12;

/// A piece to be turned round, as it grows from step to step.
#[derive(Clone, Debug, PartialEq)]
pub struct ModelView {
    /// Its parts in their places.
    pub scene: Scene,
    /// For each mesh of the scene the lines that are seen on it, in its own frame.
    pub lines: Vec<Vec<[DVec3; 2]>>,
    /// What is done in each step.
    pub steps: Vec<String>,
    /// For each part the step after which it stands, counted from 1.
    pub from_step: Vec<usize>,
    /// The same where nothing can be turned.
    pub still: Drawing,
}

impl ModelView {
    /// Why it cannot be written.
    pub(crate) fn fault(&self) -> Option<Diagnostic> {
        self.scene.fault()
    }
}
