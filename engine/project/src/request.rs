//! What is asked for.

use crate::Kind;
use slatwork_base::{Length, Tape};

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

    /// The steel rule that holes are marked with: a hole off by half a sixteenth misses its mate, by half a
    /// thirty-second it is as good as bored by hand (trade practice: 1 mm by hand, 0.3 mm in a jig).
    pub fn rule(self) -> Tape {
        match self {
            Units::Inch | Units::Both => Tape::Inch32,
            Units::Mm => Tape::Mm,
        }
    }

    /// A length as the hole list gives it: `9 1/32"`, `229 mm`.
    pub fn rule_text(self, length: Length) -> String {
        let own = self.rule().text(length);
        if self == Units::Both { format!("{own} ({})", Tape::Mm.text(length)) } else { own }
    }

    /// A length as papers give it: `42 7/16"`, `1078 mm`, `42 7/16" (1078 mm)`.
    pub fn text(self, length: Length) -> String {
        let own = self.tape().text(length);
        if self == Units::Both { format!("{own} ({})", Tape::Mm.text(length)) } else { own }
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
#[derive(Clone, Debug, PartialEq, Eq, Default)]
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
    /// Catalogue files laid over all others, such as what the tape says of the boards.
    pub measured: Vec<String>,
    /// Measures of the papers.
    pub units: Units,
    /// The papers; empty for all.
    pub only: Vec<Kind>,
}

impl Request {
    /// A design at its usual size, with all papers.
    pub fn new(design: impl Into<String>) -> Self {
        Request { design: design.into(), ..Request::default() }
    }

    /// Sets a parameter.
    #[must_use]
    pub fn set(mut self, name: impl Into<String>, value: impl Into<String>) -> Self {
        self.settings.push((name.into(), value.into()));
        self
    }
}
