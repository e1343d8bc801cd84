//! Where a figure comes from and how far to trust it.

use std::collections::BTreeMap;

/// How a figure was come by, from the firmest to the softest.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Status {
    /// Taken off the piece in hand by the user.
    Measured,
    /// Read in the source named.
    Read,
    /// Worked out from figures that were read.
    Derived,
    /// The user's own figure, taken as it stands.
    Stated,
    /// Recalled, not looked up: never passes a check alone.
    FromMemory,
    /// What shops do, without a source.
    CommonPractice,
    /// Settled by this project.
    ProjectChoice,
    /// Only there so that the examples have numbers.
    Demo,
}

/// Every status with the word that stands for it in data files and documents.
pub const STATUS_WORDS: [(Status, &str); 8] = [
    (Status::Measured, "measured"),
    (Status::Read, "read"),
    (Status::Derived, "derived"),
    (Status::Stated, "stated"),
    (Status::FromMemory, "from memory"),
    (Status::CommonPractice, "common practice"),
    (Status::ProjectChoice, "project choice"),
    (Status::Demo, "demo"),
];

impl Status {
    /// The word for it in data files and documents.
    pub fn word(self) -> &'static str {
        STATUS_WORDS.iter().find(|(status, _)| *status == self).map_or("", |(_, word)| word)
    }

    /// The status that a word stands for.
    pub fn from_word(word: &str) -> Option<Status> {
        STATUS_WORDS.iter().find(|(_, known)| *known == word).map(|(status, _)| *status)
    }

    /// Whether a check may pass on such a figure without saying so (design rule 8).
    pub fn is_firm(self) -> bool {
        self <= Status::Stated
    }
}

/// The source of an entry's figures, with the exceptions named.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Source {
    /// Standard, handbook or page; the user's file for own entries.
    pub text: String,
    /// How the figures were come by.
    pub status: Status,
    /// Figures of the entry that stand otherwise, by their key in the data.
    pub exceptions: BTreeMap<String, Status>,
}

impl Source {
    /// A source without exceptions.
    pub fn new(text: impl Into<String>, status: Status) -> Self {
        Source { text: text.into(), status, exceptions: BTreeMap::new() }
    }

    /// How one figure was come by, by its key in the data.
    pub fn status_of(&self, figure: &str) -> Status {
        self.exceptions.get(figure).copied().unwrap_or(self.status)
    }
}
