//! Every diagnostic in words: what it means, how it comes about, what to do. One table a subject, one row a diagnostic.

mod bench;
mod body;
mod catalogues;
mod curves;
mod frames;
mod hanging;
mod joints;
mod loads;
mod order;
mod papers;
mod scripts;
mod shop;
mod swing;
mod timber;
mod weather;

use slatwork_checks::headings;

/// One diagnostic explained.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Explanation {
    /// Its name.
    pub code: &'static str,
    /// What is wrong.
    pub meaning: &'static str,
    more: More,
}

/// Where the rest is told.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum More {
    /// Why it matters, or how it comes about; and what to do.
    Here { why: &'static str, remedy: &'static str },
    /// At the top of the file of its check, and nowhere else.
    WithItsCheck,
}

impl Explanation {
    /// All that is told of it under titles: of a check what it checks, why, its method and sources, an example and a remedy; of
    /// others why and what to do.
    pub fn told(&self) -> Vec<(&'static str, &'static str)> {
        match self.more {
            More::Here { why, remedy } => vec![("Why", why), ("What to do", remedy)],
            More::WithItsCheck => headings(self.code).map_or(Vec::new(), |own| own.titled().to_vec()),
        }
    }
}

/// A row of a table.
const fn row(
    code: &'static str,
    meaning: &'static str,
    why: &'static str,
    remedy: &'static str,
) -> Explanation {
    Explanation { code, meaning, more: More::Here { why, remedy } }
}

/// A row of a check.
const fn check(code: &'static str, meaning: &'static str) -> Explanation {
    Explanation { code, meaning, more: More::WithItsCheck }
}

/// The tables, in the order in which a design meets them.
const TABLES: [&[Explanation]; 15] = [
    papers::ROWS,
    catalogues::ROWS,
    scripts::ROWS,
    bench::ROWS,
    curves::ROWS,
    joints::ROWS,
    order::ROWS,
    shop::ROWS,
    loads::ROWS,
    hanging::ROWS,
    body::ROWS,
    weather::ROWS,
    timber::ROWS,
    frames::ROWS,
    swing::ROWS,
];

/// Every explanation, subject by subject.
pub fn all() -> impl Iterator<Item = &'static Explanation> {
    TABLES.iter().flat_map(|table| table.iter())
}

/// The explanation of a code.
pub fn explanation(code: &str) -> Option<&'static Explanation> {
    all().find(|own| own.code == code)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_code_is_explained_once_and_in_whole_sentences() {
        let mut codes: Vec<&str> = all().map(|own| own.code).collect();
        let count = codes.len();
        codes.sort_unstable();
        codes.dedup();
        assert_eq!(codes.len(), count, "a code is explained twice");
        for own in all() {
            let told = own.told();
            for text in told.iter().map(|(_, text)| *text).chain([own.meaning]) {
                assert!(text.ends_with('.') && text.len() >= 10, "{}: {text:?}", own.code);
            }
            let count = if headings(own.code).is_some() { 5 } else { 2 };
            assert_eq!(
                told.len(),
                count,
                "{}: the file of a check tells why and what to do, and no other place",
                own.code
            );
        }
    }
}
