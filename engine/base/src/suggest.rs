//! "Did you mean": the nearest known word.

/// The candidate nearest to `word`, if near enough to be a slip of the finger: at most one edit more than a
/// quarter of its length (insertion, deletion, change, or swap of neighbours), and not every letter. The first of
/// equals wins. A word longer than any name is answered with nothing.
pub fn did_you_mean<'a>(word: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let length = word.chars().count();
    if length > LONGEST_WORD {
        return None;
    }
    let limit = 1 + length / 4;
    candidates
        .into_iter()
        .filter(|candidate| candidate.chars().count().abs_diff(length) <= limit)
        .map(|candidate| (edits(word, candidate), candidate))
        .filter(|(edits, _)| *edits <= limit && *edits < length)
        .min_by_key(|(edits, _)| *edits)
        .map(|(_, candidate)| candidate)
}

/// Beyond this a word is no slip of a name, and the table of edits would only cost memory.
const LONGEST_WORD: usize = 100;

/// Damerau-Levenshtein distance (neighbouring swaps count one), ignoring case.
fn edits(a: &str, b: &str) -> usize {
    let a: Vec<char> = a.to_lowercase().chars().collect();
    let b: Vec<char> = b.to_lowercase().chars().collect();
    let mut rows: Vec<Vec<usize>> = vec![(0..=b.len()).collect()];
    for i in 1..=a.len() {
        let above = &rows[i - 1];
        let mut row = vec![i];
        for j in 1..=b.len() {
            let change = usize::from(a[i - 1] != b[j - 1]);
            let mut best = (above[j] + 1).min(row[j - 1] + 1).min(above[j - 1] + change);
            if i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1] {
                best = best.min(rows[i - 2][j - 2] + 1);
            }
            row.push(best);
        }
        rows.push(row);
    }
    rows[a.len()][b.len()]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn finds_slips_and_not_strangers() {
        assert_eq!(did_you_mean("lenght", ["width", "length"]), Some("length"));
        assert_eq!(did_you_mean("widht", ["width", "length"]), Some("width"));
        assert_eq!(did_you_mean("kerf", ["width", "length"]), None);
        assert_eq!(did_you_mean("Width", ["width", "length"]), Some("width"));
        assert_eq!(did_you_mean("x", ["y"]), None, "another letter is no slip");
        assert_eq!(did_you_mean("", ["y"]), None);
        assert_eq!(did_you_mean("widthh", ["widths", "width"]), Some("widths"), "the first of equals wins");
    }

    #[test]
    fn a_monstrous_word_costs_nothing() {
        let word = "w".repeat(1_000_000);
        assert_eq!(did_you_mean(&word, [word.as_str()]), None);
    }
}
