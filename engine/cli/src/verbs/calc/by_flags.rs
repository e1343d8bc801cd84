//! What to do about a question that was asked by flags, in the words of the flags.

use slatwork_base::Diagnostic;

/// What keys say besides their flag: the unit that a flag takes with its value.
const UNITS: [&str; 4] = ["_deg", "_n", "_kg", "_percent"];

/// A trouble whose remedy names flags in place of keys, where there is a flag for them: `--splay` for `splay_deg`.
pub(super) fn by_flags(trouble: Diagnostic, has: &dyn Fn(&str) -> bool) -> Diagnostic {
    let help = trouble.help.iter().map(|text| worded(text, has)).collect();
    Diagnostic { help, ..trouble }
}

/// Pieces between backticks are keys or values; the odd ones of a text cut at them.
fn worded(text: &str, has: &dyn Fn(&str) -> bool) -> String {
    let piece = |(at, piece): (usize, &str)| match flag(piece).filter(|flag| at % 2 == 1 && has(flag)) {
        Some(flag) => format!("--{flag}"),
        None => piece.to_string(),
    };
    text.split('`').enumerate().map(piece).collect::<Vec<_>>().join("`")
}

fn flag(key: &str) -> Option<String> {
    let plain = UNITS.iter().find_map(|unit| key.strip_suffix(unit)).unwrap_or(key);
    let is_key = !key.is_empty() && key.chars().all(|own| own.is_ascii_lowercase() || own == '_');
    is_key.then(|| plain.replace('_', "-"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keys_with_a_flag_become_it() {
        let has = |flag: &str| ["splay", "eye-height", "length"].contains(&flag);
        let told = |text: &str| worded(text, &has);
        assert_eq!(told("give `rise` with `splay_deg`"), "give `rise` with `--splay`");
        assert_eq!(told("`eye_height` is `2 in`"), "`--eye-height` is `2 in`");
        assert_eq!(told("the length of `Oak length`, length"), "the length of `Oak length`, length");
        assert_eq!(told(""), "");
    }
}
