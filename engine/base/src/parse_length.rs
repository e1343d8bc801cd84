//! Reading lengths as a builder writes them.

use crate::{Length, did_you_mean};
use core::fmt;
use core::str::FromStr;

/// Why a text is not a length, with what would be.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ParseLengthError {
    /// The text as it was given.
    pub text: String,
    /// What is wrong with it.
    pub reason: String,
}

impl fmt::Display for ParseLengthError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "`{}` is not a length: {}; write 3-1/2in, 3 1/2\", 5ft 2-1/2in, 5' 2\", 1520mm, 152cm or 1.52m",
            self.text, self.reason
        )
    }
}

impl core::error::Error for ParseLengthError {}

impl FromStr for Length {
    type Err = ParseLengthError;

    /// Reads `3-1/2in`, `3 1/2"`, `3½"`, `5ft 2-1/2in`, `5ft-2in`, `5' - 2"`, `5' 2 1/2''`, `1520mm`, `1.52m`,
    /// `1,52m`, `2.375in`; a sign may stand first. Printed quotes, primes, dashes and no-break blanks are read as
    /// their plain cousins. A bare number has no unit and is refused, except `0`.
    fn from_str(text: &str) -> Result<Self, ParseLengthError> {
        parse(&plain(text)).map_err(|reason| ParseLengthError { text: text.to_string(), reason })
    }
}

impl Length {
    /// Reads a number of inches without a unit, as `inch("3 1/2")` takes it: `3 1/2`, `3-1/2`, `5/8`, `2.375`.
    pub fn parse_inches(text: &str) -> Result<Self, ParseLengthError> {
        parse_inches(&plain(text)).map_err(|reason| ParseLengthError { text: text.to_string(), reason })
    }
}

const INCH: i64 = Length::sixty_fourths(64).as_nm();

/// Nanometres in one of each unit word.
const UNITS: [(&str, i64); 17] = [
    ("feet", 12 * INCH),
    ("foot", 12 * INCH),
    ("ft", 12 * INCH),
    ("'", 12 * INCH),
    ("inches", INCH),
    ("inch", INCH),
    ("in", INCH),
    ("\"", INCH),
    ("''", INCH),
    ("um", 1_000),
    ("mm", 1_000_000),
    ("cm", 10_000_000),
    ("dm", 100_000_000),
    ("metres", 1_000_000_000),
    ("meters", 1_000_000_000),
    ("metre", 1_000_000_000),
    ("m", 1_000_000_000),
];

/// Fractions that have a character of their own.
const FRACTIONS: [(char, &str); 9] = [
    ('½', "1/2"),
    ('¼', "1/4"),
    ('¾', "3/4"),
    ('⅛', "1/8"),
    ('⅜', "3/8"),
    ('⅝', "5/8"),
    ('⅞', "7/8"),
    ('⅓', "1/3"),
    ('⅔', "2/3"),
];

/// The text with typographic quotes, dashes, blanks and fractions in plain characters, trimmed.
fn plain(text: &str) -> String {
    let mut plain = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '′' | '’' | '‘' => plain.push('\''),
            '″' | '”' | '“' => plain.push('"'),
            '−' | '–' | '‐' | '‑' => plain.push('-'),
            '⁄' => plain.push('/'),
            _ if c.is_whitespace() => plain.push(' '),
            _ => match FRACTIONS.iter().find(|(sign, _)| *sign == c) {
                // Blanks on both sides keep it from growing together with digits beside it.
                Some((_, fraction)) => plain.extend([" ", fraction, " "]),
                None => plain.push(c),
            },
        }
    }
    plain.trim().to_string()
}

fn parse(text: &str) -> Result<Length, String> {
    let (negative, mut rest) = split_sign(text);
    if rest.is_empty() {
        return Err(String::from("it is empty"));
    }
    if rest == "0" {
        return Ok(Length::ZERO);
    }
    let mut sum = Length::ZERO;
    let mut last_unit = i64::MAX;
    loop {
        let (number, after) = read_mixed(rest)?;
        let (unit, after) = read_unit(after.trim_start())?;
        if unit >= last_unit {
            return Err(String::from("units must go from large to small, each once"));
        }
        last_unit = unit;
        let term = number.times(unit, negative)?;
        sum = sum.checked_add(term).ok_or("it is out of range")?;
        rest = after.trim_start();
        if rest.is_empty() {
            return Ok(sum);
        }
        // `5ft-2in` and `5ft, 2in` join feet and inches.
        rest = rest.strip_prefix(['-', ',']).unwrap_or(rest).trim_start();
    }
}

fn parse_inches(text: &str) -> Result<Length, String> {
    let (negative, rest) = split_sign(text);
    let (number, rest) = read_mixed(rest)?;
    let rest = rest.trim();
    if !matches!(rest, "" | "in" | "\"" | "''" | "inch" | "inches") {
        return Err(format!("`{rest}` is left over after the number of inches"));
    }
    number.times(INCH, negative)
}

fn split_sign(text: &str) -> (bool, &str) {
    match text.strip_prefix('-') {
        Some(rest) => (true, rest.trim_start()),
        None => (false, text.strip_prefix('+').unwrap_or(text).trim_start()),
    }
}

fn read_unit(text: &str) -> Result<(i64, &str), String> {
    if text.is_empty() {
        return Err(String::from("the unit is missing"));
    }
    let word = unit_word(text);
    if !word.starts_with(|c: char| c.is_alphabetic() || matches!(c, '\'' | '"')) {
        return Err(format!("a unit is missing before `{word}`"));
    }
    let lower = word.to_lowercase();
    let Some((name, nm)) = UNITS.iter().find(|(name, _)| *name == lower) else {
        let near = did_you_mean(&lower, UNITS.iter().map(|(name, _)| *name));
        let hint = near.map_or(String::new(), |near| format!(", did you mean `{near}`?"));
        return Err(format!("`{word}` is no unit{hint}"));
    };
    let rest = &text[word.len()..];
    // `in.` and `ft.` are how print abbreviates them.
    let rest = if matches!(*name, "in" | "ft") { rest.strip_prefix('.').unwrap_or(rest) } else { rest };
    Ok((*nm, rest))
}

/// The longest run that may be a unit: letters, two single quotes, or one character of any other kind.
fn unit_word(text: &str) -> &str {
    if text.starts_with("''") {
        return &text[..2];
    }
    let letters = text.find(|c: char| !c.is_alphabetic()).unwrap_or(text.len());
    let end = if letters == 0 { text.chars().next().map_or(0, char::len_utf8) } else { letters };
    &text[..end]
}

/// A number as written: whole part and fraction, or decimal digits, kept exact.
struct Mixed {
    numerator: i128,
    denominator: i128,
}

impl Mixed {
    /// The number of nanometres, rounded half away from zero.
    fn times(&self, unit: i64, negative: bool) -> Result<Length, String> {
        let doubled = self.numerator.checked_mul(2 * i128::from(unit)).ok_or("it is out of range")?;
        let rounded =
            doubled.checked_add(self.denominator).ok_or("it is out of range")? / (2 * self.denominator);
        let nm =
            i64::try_from(if negative { -rounded } else { rounded }).map_err(|_| "it is out of range")?;
        Ok(Length::nm(nm))
    }
}

/// Reads `3`, `3.5`, `3,5`, `.5`, `3 1/2`, `3-1/2` or `1/2` from the front.
fn read_mixed(text: &str) -> Result<(Mixed, &str), String> {
    if let Some(decimals) = text.strip_prefix('.') {
        return read_decimals(0, decimals, false);
    }
    let (first, rest) = read_digits(text)?;
    if let Some(after_point) =
        rest.strip_prefix(['.', ',']).filter(|r| r.starts_with(|c: char| c.is_ascii_digit()))
    {
        return read_decimals(first, after_point, rest.starts_with(','));
    }
    if let Some(after) = rest.strip_prefix('/') {
        let (denominator, after) = read_denominator(after)?;
        return Ok((Mixed { numerator: first, denominator }, after));
    }
    // A fraction may follow after blanks or one hyphen; `3 - 1/2` could mean a difference and is refused.
    let gap = rest.strip_prefix('-').unwrap_or_else(|| rest.trim_start_matches(' '));
    let fraction = if gap.len() < rest.len() { read_fraction(gap.trim_start())? } else { None };
    Ok(match fraction {
        Some((part, after)) => {
            let numerator = first * part.denominator + part.numerator;
            (Mixed { numerator, denominator: part.denominator }, after)
        }
        None => (Mixed { numerator: first, denominator: 1 }, rest),
    })
}

fn read_decimals(whole: i128, text: &str, comma: bool) -> Result<(Mixed, &str), String> {
    let (decimals, after) = read_digits(text)?;
    let places = text.len() - after.len();
    if comma && places == 3 {
        return Err(format!(
            "`{whole},{}` may be thousands or decimals, write it without the comma or with a point",
            &text[..places]
        ));
    }
    // At most 18 digits were read, so the power fits with room to spare.
    let denominator = (0..places).fold(1i128, |power, _| power * 10);
    Ok((Mixed { numerator: whole * denominator + decimals, denominator }, after))
}

/// Reads a proper fraction if the text starts with one; anything else belongs to the next term.
fn read_fraction(text: &str) -> Result<Option<(Mixed, &str)>, String> {
    let Ok((numerator, after)) = read_digits(text) else { return Ok(None) };
    let Some(after) = after.strip_prefix('/') else { return Ok(None) };
    let (denominator, after) = read_denominator(after)?;
    if numerator >= denominator {
        return Err(format!("the fraction {numerator}/{denominator} is not less than one"));
    }
    Ok(Some((Mixed { numerator, denominator }, after)))
}

fn read_denominator(text: &str) -> Result<(i128, &str), String> {
    let (denominator, rest) = read_digits(text)?;
    if denominator == 0 { Err(String::from("a fraction over zero")) } else { Ok((denominator, rest)) }
}

fn read_digits(text: &str) -> Result<(i128, &str), String> {
    let end = text.find(|c: char| !c.is_ascii_digit()).unwrap_or(text.len());
    let digits = &text[..end];
    if digits.is_empty() {
        let found = text.chars().next().map_or(String::from("the end"), |c| format!("`{c}`"));
        return Err(format!("a number is missing before {found}"));
    }
    if digits.len() > 18 {
        return Err(String::from("it has too many digits"));
    }
    digits.parse().map(|n| (n, &text[end..])).map_err(|_| String::from("it is out of range"))
}
