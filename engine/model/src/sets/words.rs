//! Marks and names of sets.

use std::cmp::Ordering;

/// "A" to "Z", then "AA", "AB" ...
pub(super) fn mark(place: usize) -> String {
    let letter = char::from(b'A' + (place % 26) as u8);
    if place < 26 { letter.to_string() } else { format!("{}{letter}", mark(place / 26 - 1)) }
}

/// The words that all names share, in the order of the first; the first name when they share none.
pub(super) fn common_name(names: &[&str]) -> String {
    let Some((first, others)) = names.split_first() else { return String::new() };
    let common = common_words(first, others);
    if common.is_empty() { (*first).to_string() } else { common.join(" ") }
}

fn common_words<'a>(first: &'a str, others: &[&str]) -> Vec<&'a str> {
    let shared = |word: &&str| others.iter().all(|other| other.split_whitespace().any(|w| w == *word));
    first.split_whitespace().filter(shared).collect()
}

/// The name of one of a mirrored pair: the hand and the words that all names of both share; `side` is how its place
/// from left to right compares with its mate's. Pairs that lie one behind the other keep their own names.
pub(super) fn hand_name(own: &[&str], mate: &[&str], side: Ordering) -> String {
    let hand = match side {
        Ordering::Less => "left",
        Ordering::Greater => "right",
        Ordering::Equal => return common_name(own),
    };
    let all: Vec<&str> = own.iter().chain(mate).copied().collect();
    let words: Vec<&str> =
        common_words(all[0], &all[1..]).into_iter().filter(|word| !is_hand(word)).collect();
    if words.is_empty() { common_name(own) } else { format!("{hand} {}", words.join(" ")) }
}

/// Whether a word names a hand.
pub(super) fn is_hand(word: &str) -> bool {
    matches!(word, "left" | "right")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn marks_run_on_past_z() {
        assert_eq!([0, 25, 26, 51, 52, 701, 702].map(mark), ["A", "Z", "AA", "AZ", "BA", "ZZ", "AAA"]);
    }

    #[test]
    fn names_keep_what_is_common() {
        assert_eq!(common_name(&["seat slat 2", "seat slat 3"]), "seat slat");
        assert_eq!(common_name(&["seat slat 7"]), "seat slat 7");
        assert_eq!(common_name(&["crest", "filler"]), "crest");
        assert_eq!(common_name(&["front rail", "rear rail"]), "rail");
        assert_eq!(hand_name(&["right arm"], &["left arm"], Ordering::Greater), "right arm");
        assert_eq!(hand_name(&["arm post", "arm post 3"], &["arm post 2"], Ordering::Less), "left arm post");
        assert_eq!(hand_name(&["front rail"], &["rear rail"], Ordering::Equal), "front rail");
        assert_eq!(hand_name(&["left"], &["right"], Ordering::Less), "left");
    }
}
