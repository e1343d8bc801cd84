//! The letters that come with the program: what they hold, and how wide words come out in them.

use slatwork_base::Diagnostic;
use ttf_parser::{Face, GlyphId};

/// Of every text but headings and names.
pub(super) const REGULAR: &[u8] = include_bytes!("../../fonts/Inter-Regular.ttf");
/// Of headings and names.
pub(super) const BOLD: &[u8] = include_bytes!("../../fonts/Inter-SemiBold.ttf");

/// What stands for a letter that there is none of.
pub(super) const MISSING: char = '□';
/// Letters of a word after which it may be broken, where it is longer than any that people write.
const LONGEST_WORD: usize = 30;
/// Where a line may end that shows nothing.
const BREAK: char = '\u{200b}';
/// Width of a figure in type sizes: all are set equally wide, a little wider than most of them are by themselves.
const FIGURE: f64 = 0.66;

/// The faces, read.
pub(super) struct Letters {
    regular: Face<'static>,
    bold: Face<'static>,
    /// Of every usual letter whether both faces have it: drawings are long texts of little else.
    usual: [bool; 128],
}

impl Letters {
    /// Reads them; they are part of the program, so that a fault is one of the program.
    pub(super) fn read() -> Result<Letters, Diagnostic> {
        let face = |bytes| {
            Face::parse(bytes, 0).map_err(|error| {
                Diagnostic::error("book-not-set", format!("the letters cannot be read: {error}"))
            })
        };
        let mut letters = Letters { regular: face(REGULAR)?, bold: face(BOLD)?, usual: [false; 128] };
        letters.usual =
            core::array::from_fn(|code| u8::try_from(code).is_ok_and(|code| letters.looked_up(code.into())));
        Ok(letters)
    }

    /// Whether both faces have it.
    fn holds(&self, letter: char) -> bool {
        self.usual.get(letter as usize).copied().unwrap_or_else(|| self.looked_up(letter))
    }

    fn looked_up(&self, letter: char) -> bool {
        self.regular.glyph_index(letter).is_some() && self.bold.glyph_index(letter).is_some()
    }

    /// The text without what shows nothing and with [`MISSING`] for each letter that there is none of; and whether any was missing.
    pub(super) fn held(&self, text: &str) -> (String, bool) {
        let mut is_short = false;
        let held = text.chars().filter(|letter| !is_unseen(*letter)).map(|letter| {
            let holds = self.holds(letter) || letter == '\n';
            is_short |= !holds;
            if holds { letter } else { MISSING }
        });
        (held.collect(), is_short)
    }

    /// Height of a line in type sizes: that of a capital.
    pub(super) fn height(&self) -> f64 {
        let high =
            |face: &Face<'_>| f64::from(face.capital_height().unwrap_or(0)) / f64::from(face.units_per_em());
        high(&self.regular).max(high(&self.bold))
    }

    /// Width of a line in type sizes, or a little more.
    pub(super) fn width(&self, text: &str, is_bold: bool) -> f64 {
        let face = if is_bold { &self.bold } else { &self.regular };
        let size = f64::from(face.units_per_em());
        let letter = |letter: char| match letter {
            BREAK => 0.0,
            '0'..='9' => FIGURE,
            _ => {
                let glyph = face.glyph_index(letter).unwrap_or(GlyphId(0));
                f64::from(face.glyph_hor_advance(glyph).unwrap_or(face.units_per_em())) / size
            }
        };
        text.chars().map(letter).sum()
    }
}

/// Signs that steer other text: joiners, turners of direction, breaks and variants. Words are set one after the other here.
fn is_unseen(letter: char) -> bool {
    matches!(letter,
        '\u{ad}' | '\u{34f}' | '\u{61c}' | '\u{180b}'..='\u{180e}' | '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}'
        | '\u{2060}'..='\u{206f}' | '\u{fe00}'..='\u{fe0f}' | '\u{feff}' | '\u{fff9}'..='\u{fffb}' | '\u{e0000}'..='\u{e0fff}')
}

/// The text with places in its overlong words where a line may end.
pub(super) fn breakable(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut run = 0;
    for letter in text.chars() {
        run = if letter.is_whitespace() { 0 } else { run + 1 };
        if run > LONGEST_WORD {
            out.push(BREAK);
            run = 1;
        }
        out.push(letter);
    }
    out
}

/// Its words as a line may end after each.
pub(super) fn unbroken(text: &str) -> impl Iterator<Item = &str> {
    text.split([' ', BREAK])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_the_letters_lack_is_shown_as_a_box() {
        let letters = Letters::read().unwrap();
        let held = |text| letters.held(text);
        assert_eq!(
            held("3 ½\" × Ø6, µ ≤ ″ → ✓ Ďž Привет"),
            ("3 ½\" × Ø6, µ ≤ ″ → ✓ Ďž Привет".into(), false)
        );
        assert_eq!(held("a \u{1f600} b"), ("a □ b".into(), true));
        assert_eq!(held("\u{5d0}\u{202e}\u{6f22}"), ("□□".into(), true));
        assert_eq!(held("x\u{200d}y\u{fe0f}"), ("xy".into(), false));
        assert!(letters.holds(MISSING));
    }

    #[test]
    fn overlong_words_may_be_broken_and_others_not() {
        assert_eq!(breakable("an ordinary-sentence of words"), "an ordinary-sentence of words");
        let long = breakable(&"w".repeat(100));
        assert_eq!(long.chars().filter(|letter| *letter == BREAK).count(), 3);
        assert!(unbroken(&long).all(|word| word.chars().count() <= LONGEST_WORD));
    }

    #[test]
    fn wide_words_are_wider_and_bold_ones_too() {
        let letters = Letters::read().unwrap();
        assert!(letters.width("WWW", false) > letters.width("iii", false));
        assert!(letters.width("rail", true) > letters.width("rail", false));
        assert_eq!(letters.width("", false), 0.0);
    }
}
