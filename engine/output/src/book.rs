//! A book for the bench, before any format: chapters of headings, words, lists, tables, drawings, notices, formulas and a view
//! in three dimensions. What [`crate::html`] and other formats of books put into their own marks.
//!
//! Every text is data. One sign means something in it: what stands between two back-ticks is a name, set apart by each format.

use crate::scene::Scene;
use crate::sheet::Sheet;
use crate::table::Table;
use slatwork_base::Diagnostic;
use slatwork_solid::DVec3;

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

/// How a drawing stands on the page.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DrawingPlace {
    /// In the column, all of its paper.
    Column,
    /// In the column, without the white round its frame: that much of every border is left out, whole mm.
    Framed(u8),
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

/// A formula as a tree of signs, numbers and fractions.
#[derive(Clone, Debug, PartialEq)]
pub enum Expression {
    /// A named number.
    Name(&'static str),
    /// A number with its unit.
    Number(String),
    /// One over another.
    Over(Box<Expression>, Box<Expression>),
    /// The distance of one from another, whichever is greater.
    Apart(Box<Expression>, Box<Expression>),
    /// Several, each with the sign that stands before it; the first has none.
    Chain(Vec<(Sign, Expression)>),
}

/// What stands between two expressions.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sign {
    /// Nothing: the first of a chain.
    None,
    /// Both are the same.
    Equals,
    /// The first is not more.
    AtMost,
    /// The first is more.
    MoreThan,
}

impl Sign {
    /// As it is written.
    pub fn text(self) -> &'static str {
        match self {
            Sign::None => "",
            Sign::Equals => "=",
            Sign::AtMost => "≤",
            Sign::MoreThan => ">",
        }
    }
}

/// A number that stands in a formula.
#[derive(Clone, Debug, PartialEq)]
pub struct NamedNumber {
    /// Its sign in the formula.
    pub name: &'static str,
    /// What it is.
    pub meaning: String,
    /// What it comes to, with its unit.
    pub value: String,
}

/// A formula and the numbers that were put in.
#[derive(Clone, Debug, PartialEq)]
pub struct Formula {
    /// What is reckoned.
    pub expression: Expression,
    /// What its names mean.
    pub numbers: Vec<NamedNumber>,
}

impl Expression {
    /// As a line of text: `U = d / c = 570 N / 705 N = 0.81 ≤ 1`.
    pub fn text(&self) -> String {
        match self {
            Expression::Name(name) => (*name).to_string(),
            Expression::Number(number) => number.clone(),
            Expression::Over(top, bottom) => format!("{} / {}", top.text(), bottom.text()),
            Expression::Apart(one, other) => format!("|{} - {}|", one.text(), other.text()),
            Expression::Chain(links) => {
                let link = |(sign, own): &(Sign, Expression)| match sign {
                    Sign::None => own.text(),
                    sign => format!("{} {}", sign.text(), own.text()),
                };
                links.iter().map(link).collect::<Vec<_>>().join(" ")
            }
        }
    }
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
