//! "Did you mean": the nearest known word.

/// The candidate nearest to `word`, if near enough to be a slip of the finger: at most one edit more than a
/// quarter of its length (insertion, deletion, change, or swap of neighbours). The first of equals wins.
pub fn did_you_mean<'a>(word: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let limit = 1 + word.chars().count() / 4;
    candidates
        .into_iter()
        .map(|candidate| (edits(word, candidate), candidate))
        .filter(|(edits, _)| *edits <= limit)
        .min_by_key(|(edits, _)| *edits)
        .map(|(_, candidate)| candidate)
}

/// Damerau-Levenshtein distance (neighbouring swaps count one), ignoring case.
fn edits(a: &str, b: &str) -> usize {
    let a: Vec<char> = a.to_lowercase().chars().collect();
    let b: Vec<char> = b.to_lowercase().chars().collect();
    let mut rows = vec![vec![0usize; b.len() + 1]; a.len() + 1];
    for (i, row) in rows.iter_mut().enumerate() {
        row[0] = i;
    }
    for j in 0..=b.len() {
        rows[0][j] = j;
    }
    for i in 1..=a.len() {
        for j in 1..=b.len() {
            let change = usize::from(a[i - 1] != b[j - 1]);
            let mut best = (rows[i - 1][j] + 1).min(rows[i][j - 1] + 1).min(rows[i - 1][j - 1] + change);
            if i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1] {
                best = best.min(rows[i - 2][j - 2] + 1);
            }
            rows[i][j] = best;
        }
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
    }
}
