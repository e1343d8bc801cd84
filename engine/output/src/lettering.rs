//! How wide lettering comes out, and fractions that are set small.
//!
//! The face is left to the reader's machine (a plain sans-serif), so widths are those of a wide one: nothing that
//! was laid out by them overlaps under a narrower face.

/// Height of a capital as a share of the type size, for common plain sans-serif faces (measured 0.716 to 0.729).
pub(crate) const CAPITAL: f64 = 0.72;

/// Size of a fraction's figures beside that of the whole number.
pub(crate) const FRACTION: f64 = 0.68;

/// A stretch of a line of lettering.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Run<'a> {
    /// As it stands.
    Plain(&'a str),
    /// A fraction: figures above and below the stroke.
    Fraction(&'a str, &'a str),
}

/// Takes a line apart at its fractions. The blank between a whole number and its fraction is dropped: the small
/// figures set it off.
pub(crate) fn runs(text: &str) -> Vec<Run<'_>> {
    let mut runs = Vec::new();
    let mut done = 0;
    for (slash, _) in text.match_indices('/') {
        let (before, after) = (&text[done.min(slash)..slash], &text[slash + 1..]);
        let top = before.len() - before.trim_end_matches(|c: char| c.is_ascii_digit()).len();
        let bottom = after.len() - after.trim_start_matches(|c: char| c.is_ascii_digit()).len();
        let lone = |c: char| !(c.is_alphanumeric() || c == '/' || c == '.' || c == ':');
        let start = slash - top;
        let end = slash + 1 + bottom;
        let fits = slash >= done
            && (1..=3).contains(&top)
            && (1..=3).contains(&bottom)
            && text[..start].chars().next_back().is_none_or(lone)
            && text[end..].chars().next().is_none_or(lone);
        if fits {
            let gap = &text[done..start];
            push_plain(&mut runs, gap.strip_suffix(' ').filter(|t| ends_in_digit(t)).unwrap_or(gap));
            runs.push(Run::Fraction(&text[start..slash], &text[slash + 1..end]));
            done = end;
        }
    }
    push_plain(&mut runs, &text[done..]);
    runs
}

fn ends_in_digit(text: &str) -> bool {
    text.ends_with(|c: char| c.is_ascii_digit())
}

fn push_plain<'a>(runs: &mut Vec<Run<'a>>, text: &'a str) {
    if !text.is_empty() {
        runs.push(Run::Plain(text));
    }
}

/// Width of a line of lettering whose capitals are `height` mm high, mm.
pub fn width(text: &str, height: f64) -> f64 {
    let ems: f64 = runs(text)
        .iter()
        .map(|run| match run {
            Run::Plain(text) => ems(text),
            Run::Fraction(top, bottom) => FRACTION * (ems(top) + ems(bottom) + 0.36),
        })
        .sum();
    ems * height / CAPITAL
}

/// A text that is no wider than `room`: its end is left out where it would be.
pub fn shortened(text: &str, height: f64, room: f64) -> String {
    if width(text, height) <= room {
        return text.to_string();
    }
    let mut kept = String::new();
    for c in text.chars() {
        kept.push(c);
        if width(&kept, height) + height * 1.4 > room {
            kept.pop();
            break;
        }
    }
    format!("{}…", kept.trim_end())
}

fn ems(text: &str) -> f64 {
    text.chars().map(em).sum()
}

/// Width of a character in type sizes, rounded up from a wide plain sans-serif face.
fn em(c: char) -> f64 {
    match c {
        'i' | 'j' | 'l' | '\'' | '|' => 0.29,
        ' ' | '.' | ',' | ':' | ';' | '!' | 'I' => 0.34,
        'f' | 't' | 'r' | '(' | ')' | '-' | '/' | '[' | ']' | '·' => 0.40,
        '"' | '″' | '°' | '⁄' => 0.48,
        'm' | 'w' | 'M' | 'W' | '@' | '%' => 0.98,
        'A'..='Z' | '×' | '+' | '=' | '±' | 'Ø' => 0.76,
        _ if c.is_ascii() => 0.64,
        _ => 1.0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fractions_are_found_and_other_slashes_left() {
        assert_eq!(runs("3 1/2\""), [Run::Plain("3"), Run::Fraction("1", "2"), Run::Plain("\"")]);
        assert_eq!(runs("7/16\" hole"), [Run::Fraction("7", "16"), Run::Plain("\" hole")]);
        assert_eq!(runs("left/right"), [Run::Plain("left/right")]);
        assert_eq!(runs("1/2/3"), [Run::Plain("1/2/3")]);
        assert_eq!(runs("A1/2"), [Run::Plain("A1/2")]);
        assert_eq!(
            runs("1 1/2\" x 3/4\""),
            [
                Run::Plain("1"),
                Run::Fraction("1", "2"),
                Run::Plain("\" x "),
                Run::Fraction("3", "4"),
                Run::Plain("\"")
            ]
        );
        assert_eq!(runs(""), []);
    }

    #[test]
    fn wider_texts_are_wider() {
        assert!(width("42 7/16\"", 2.5) > width("42\"", 2.5));
        assert!(width("WWW", 2.5) > width("iii", 2.5));
        assert_eq!(width("", 2.5), 0.0);
    }
}
