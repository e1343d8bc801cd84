//! What is asked for.

use crate::{Kind, PrintSettings};
use slatwork_base::{Length, Tape};
use slatwork_checks::{Caution, Conditions};
use slatwork_output::book::Page as BookPage;
use slatwork_shop::Reading;
use std::collections::BTreeSet;

/// In which measures papers speak.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Units {
    /// Inches, to a sixteenth.
    #[default]
    Inch,
    /// Whole millimetres.
    Mm,
    /// Sizes in inches with millimetres beside them; words in inches.
    Both,
}

impl Units {
    /// The tape that words and drawings read.
    pub fn tape(self) -> Tape {
        match self {
            Units::Inch | Units::Both => Tape::Inch16,
            Units::Mm => Tape::Mm,
        }
    }

    /// How the shop's words read lengths.
    pub fn reading(self) -> Reading {
        Reading { tape: self.tape(), with_mm: self == Units::Both }
    }

    /// The steel rule that holes are marked with.
    pub fn rule(self) -> Tape {
        self.reading().rule()
    }

    /// A length as the hole list gives it: `9 1/32"`, `229 mm`.
    pub fn rule_text(self, length: Length) -> String {
        self.reading().rule_text(length)
    }

    /// A length as papers give it: `42 7/16"`, `1078 mm`, `42 7/16" (1078 mm)`.
    pub fn text(self, length: Length) -> String {
        self.reading().text(length)
    }

    /// As [`Units::text`], with what the tape's mark is off: `4 5/8" less 0.024"`.
    pub fn true_text(self, length: Length) -> String {
        self.reading().true_text(length)
    }

    /// A mass: `118 lb (53.6 kg)`, `53.6 kg`.
    pub fn mass_text(self, kg: f64) -> String {
        /// Kilograms in a pound, exact since 1959.
        const POUND: f64 = 0.453_592_37;
        match self {
            Units::Mm => format!("{kg:.1} kg"),
            Units::Inch | Units::Both => format!("{:.0} lb ({kg:.1} kg)", kg / POUND),
        }
    }

    /// A force: `279 lb (1240 N)`, `1240 N`.
    pub fn force_text(self, newtons: f64) -> String {
        match self {
            Units::Mm => format!("{newtons:.0} N"),
            Units::Inch | Units::Both => {
                format!("{:.0} lb ({newtons:.0} N)", newtons / slatwork_checks::statics::units::POUND)
            }
        }
    }

    /// How a mark that is off is told, in a sentence for the head of a paper that does.
    pub fn off_sentence(self) -> &'static str {
        match self {
            Units::Inch | Units::Both => {
                "Where a mark is off the true size by over 0.001\", \"less\" or \"plus\" says by how much."
            }
            Units::Mm => {
                "Where a mark is off the true size by over 0.03 mm, \"less\" or \"plus\" says by how much."
            }
        }
    }

    /// How lengths are given, in a sentence for the head of a paper.
    pub fn sentence(self) -> &'static str {
        match self {
            Units::Inch => "Lengths are read to the nearest 1/16\".",
            Units::Mm => "Lengths are read to the nearest millimetre.",
            Units::Both => "Lengths are read to the nearest 1/16\", millimetres beside them.",
        }
    }
}

/// One design in one variant, and the papers wanted of it.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Request {
    /// A family by its name, or a script by its path (it ends in `.rhai`).
    pub design: String,
    /// A preset of the family, under the settings.
    pub preset: Option<String>,
    /// Parameters set, each a name and a value as on the command line; a later one wins.
    pub settings: Vec<(String, String)>,
    /// File with the site.
    pub site: Option<String>,
    /// File with the people.
    pub people: Option<String>,
    /// The climate, over what the site says of it: an example by its name, or its air ("30..80% 5..30C").
    pub climate: Option<String>,
    /// What else the piece lives in; its air is said by the site or by [`Request::climate`].
    pub conditions: Conditions,
    /// Catalogue files laid over all others, such as what the tape says of the boards.
    pub measured: Vec<String>,
    /// Equal pieces that boards are bought and prices worked out for; none are taken as one.
    pub pieces: usize,
    /// Measures of the papers.
    pub units: Units,
    /// The papers; empty for all.
    pub only: Vec<Kind>,
    /// What the book is printed on; without it A4 where papers are metric, else Letter.
    pub book_page: Option<BookPage>,
    /// Cautions that somebody accepts, so that what they guard is told.
    pub accepted: BTreeSet<Caution>,
    /// How templates are printed.
    pub print: PrintSettings,
}

impl Request {
    /// A design at its usual size, with all papers.
    pub fn new(design: impl Into<String>) -> Self {
        Request { design: design.into(), ..Request::default() }
    }

    /// What the book is printed on.
    pub fn page(&self) -> BookPage {
        let usual = if self.units == Units::Mm { BookPage::A4 } else { BookPage::Letter };
        self.book_page.unwrap_or(usual)
    }

    /// Sets a parameter.
    #[must_use]
    pub fn set(mut self, name: impl Into<String>, value: impl Into<String>) -> Self {
        self.settings.push((name.into(), value.into()));
        self
    }
}
