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

/// A row of a table.
const fn row(
    code: &'static str,
    meaning: &'static str,
    why: &'static str,
    remedy: &'static str,
) -> Explanation {
    Explanation { code, meaning, why, remedy }
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
            for text in [own.meaning, own.why, own.remedy] {
                assert!(text.ends_with('.') && text.len() > 10, "{}: {text:?}", own.code);
            }
        }
    }
}
