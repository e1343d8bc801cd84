//! Numbers as text files want them: few digits, no exponent, no negative zero.

/// A number with at most `places` decimals and no trailing zeros: `12`, `-0.5`, `3.142`. Never `-0`.
pub(crate) fn decimal(value: f64, places: usize) -> String {
    let mut text = format!("{value:.places$}");
    if text.contains('.') {
        text.truncate(text.trim_end_matches('0').trim_end_matches('.').len());
    }
    if text == "-0" { String::from("0") } else { text }
}

/// A number with all its digits, without exponent: what reads back to the same value.
pub(crate) fn exact(value: f64) -> String {
    let text = format!("{value}");
    if text == "-0" { String::from("0") } else { text }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn decimals_are_short() {
        assert_eq!(decimal(12.0, 3), "12");
        assert_eq!(decimal(-0.0001, 3), "0");
        assert_eq!(decimal(-0.5, 3), "-0.5");
        assert_eq!(decimal(100.0, 0), "100");
        assert_eq!(decimal(1.23456, 3), "1.235");
    }

    #[test]
    fn exact_reads_back() {
        assert_eq!(exact(0.1 + 0.2), "0.30000000000000004");
        assert_eq!(exact(-0.0), "0");
        assert_eq!(exact(1e21), "1000000000000000000000");
    }
}
