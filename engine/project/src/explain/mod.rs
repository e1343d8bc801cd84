//! Every diagnostic in words: what it means, why the program minds, what to do. One table a room.

mod tables;

use tables::TABLES;

/// One diagnostic explained.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Explanation {
    /// Its name.
    pub code: &'static str,
    /// What is wrong.
    pub meaning: &'static str,
    /// Why it matters, or how it comes about.
    pub why: &'static str,
    /// What to do.
    pub remedy: &'static str,
}

/// Every explanation, room by room.
pub fn all() -> impl Iterator<Item = &'static Explanation> {
    TABLES.iter().flat_map(|table| table.iter())
}

/// The explanation of a code.
pub fn explanation(code: &str) -> Option<&'static Explanation> {
    all().find(|own| own.code == code)
}
