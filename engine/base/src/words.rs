//! Words as sentences want them.

/// With its first letter large.
pub fn sentence(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or(String::new(), |first| first.to_uppercase().chain(letters).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_the_first_letter_grows() {
        assert_eq!(
            ["", "a", "lay the `Rail` up", "èté", "ﬁt"].map(sentence),
            ["", "A", "Lay the `Rail` up", "Èté", "FIt"]
        );
    }
}
