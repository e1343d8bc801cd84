//! Exact lengths in whole nanometres, and the parser for everything a builder writes.

use core::fmt;
use core::iter::Sum;
use core::ops::{Add, AddAssign, Neg, Sub, SubAssign};
use core::str::FromStr;

/// A length in whole nanometres: 1/64 in is 396 875 nm and 0.1 mm is 100 000 nm, so that inch and metric sizes
/// are both exact. The range is +-9.2 million km.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Length {
    nanometres: i64,
}

const NM_PER_MM: f64 = 1e6;
/// One inch, exact since 1959.
const NM_PER_INCH: i64 = 25_400_000;

impl Length {
    /// Nothing.
    pub const ZERO: Length = Length { nanometres: 0 };

    /// From whole nanometres.
    pub const fn nm(nanometres: i64) -> Self {
        Length { nanometres }
    }

    /// From millimetres, rounded to the nearest nanometre. NaN gives zero; the range saturates.
    pub fn mm(mm: f64) -> Self {
        #[expect(clippy::cast_possible_truncation, reason = "float to int casts saturate")]
        Length { nanometres: (mm * NM_PER_MM).round() as i64 }
    }

    /// From inches, rounded to the nearest nanometre.
    pub fn inch(inches: f64) -> Self {
        Self::mm(inches * 25.4)
    }

    /// From whole sixty-fourths of an inch, exact.
    pub const fn sixty_fourths(count: i64) -> Self {
        Length { nanometres: count * (NM_PER_INCH / 64) }
    }

    /// In whole nanometres.
    pub const fn as_nm(self) -> i64 {
        self.nanometres
    }

    /// In millimetres.
    pub fn as_mm(self) -> f64 {
        self.nanometres as f64 / NM_PER_MM
    }

    /// In inches.
    pub fn as_inch(self) -> f64 {
        self.nanometres as f64 / NM_PER_INCH as f64
    }

    /// In metres.
    pub fn as_metre(self) -> f64 {
        self.nanometres as f64 / 1e9
    }

    /// Without its sign.
    pub fn abs(self) -> Self {
        Length { nanometres: self.nanometres.abs() }
    }

    /// Whether it is greater than nothing.
    pub fn is_positive(self) -> bool {
        self.nanometres > 0
    }

    /// The sum, or `None` out of range.
    pub fn checked_add(self, other: Length) -> Option<Length> {
        self.nanometres.checked_add(other.nanometres).map(Length::nm)
    }

    /// The difference, or `None` out of range.
    pub fn checked_sub(self, other: Length) -> Option<Length> {
        self.nanometres.checked_sub(other.nanometres).map(Length::nm)
    }

    /// Times a whole number, or `None` out of range. Exact.
    pub fn checked_times(self, factor: i64) -> Option<Length> {
        self.nanometres.checked_mul(factor).map(Length::nm)
    }

    /// Times any number, rounded to the nearest nanometre, or `None` if the result is not a length.
    pub fn checked_scale(self, factor: f64) -> Option<Length> {
        let nm = (self.nanometres as f64 * factor).round();
        #[expect(clippy::cast_possible_truncation, reason = "the range is checked")]
        (nm.abs() < 9.2e18).then_some(Length { nanometres: nm as i64 })
    }

    /// The whole quotient and the remainder of dividing by a positive length.
    pub fn div_rem(self, by: Length) -> Option<(i64, Length)> {
        let quotient = self.nanometres.checked_div_euclid(by.nanometres)?;
        Some((quotient, Length { nanometres: self.nanometres.checked_rem_euclid(by.nanometres)? }))
    }
}

impl Add for Length {
    type Output = Length;
    fn add(self, other: Length) -> Length {
        Length { nanometres: self.nanometres.saturating_add(other.nanometres) }
    }
}

impl Sub for Length {
    type Output = Length;
    fn sub(self, other: Length) -> Length {
        Length { nanometres: self.nanometres.saturating_sub(other.nanometres) }
    }
}

impl Neg for Length {
    type Output = Length;
    fn neg(self) -> Length {
        Length { nanometres: self.nanometres.saturating_neg() }
    }
}

impl AddAssign for Length {
    fn add_assign(&mut self, other: Length) {
        *self = *self + other;
    }
}

impl SubAssign for Length {
    fn sub_assign(&mut self, other: Length) {
        *self = *self - other;
    }
}

impl Sum for Length {
    fn sum<I: Iterator<Item = Length>>(lengths: I) -> Length {
        lengths.fold(Length::ZERO, Add::add)
    }
}

/// Inches as a tape reads them to 1/64 when that is exact, else millimetres: `3 1/2"`, `18.3 mm`.
impl fmt::Display for Length {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let tape = if self.nanometres % (NM_PER_INCH / 64) == 0 { crate::Tape::Inch64 } else { crate::Tape::Exact };
        f.write_str(&tape.text(*self))
    }
}

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

    /// Reads `3-1/2in`, `3 1/2"`, `5ft 2-1/2in`, `5' 2 1/2"`, `1520mm`, `1.52m`, `2.375in`; a sign may stand first.
    /// A bare number has no unit and is refused, except `0`.
    fn from_str(text: &str) -> Result<Self, ParseLengthError> {
        parse(text).map_err(|reason| ParseLengthError { text: text.to_string(), reason })
    }
}

impl Length {
    /// Reads a number of inches without a unit, as `inch("3 1/2")` takes it: `3 1/2`, `3-1/2`, `5/8`, `2.375`.
    pub fn parse_inches(text: &str) -> Result<Self, ParseLengthError> {
        let wrong = |reason| ParseLengthError { text: text.to_string(), reason };
        let (negative, rest) = split_sign(text.trim());
        let (number, rest) = read_mixed(rest).map_err(wrong)?;
        let rest = rest.trim();
        if !matches!(rest, "" | "in" | "\"" | "inch" | "inches") {
            return Err(wrong(format!("`{rest}` is left over after the number")));
        }
        number.times(NM_PER_INCH, negative).map_err(wrong)
    }
}

/// Nanometres in one of each unit word.
const UNITS: [(&str, i64); 15] = [
    ("feet", 12 * NM_PER_INCH),
    ("foot", 12 * NM_PER_INCH),
    ("ft", 12 * NM_PER_INCH),
    ("'", 12 * NM_PER_INCH),
    ("′", 12 * NM_PER_INCH),
    ("inches", NM_PER_INCH),
    ("inch", NM_PER_INCH),
    ("in", NM_PER_INCH),
    ("\"", NM_PER_INCH),
    ("″", NM_PER_INCH),
    ("um", 1_000),
    ("mm", 1_000_000),
    ("cm", 10_000_000),
    ("dm", 100_000_000),
    ("m", 1_000_000_000),
];

fn parse(text: &str) -> Result<Length, String> {
    let (negative, mut rest) = split_sign(text.trim());
    if rest.is_empty() {
        return Err(String::from("it is empty"));
    }
    if rest == "0" {
        return Ok(Length::ZERO);
    }
    let mut sum = Length::ZERO;
    let mut last_unit = i64::MAX;
    while !rest.is_empty() {
        let (number, after) = read_mixed(rest)?;
        let (unit, after) = read_unit(after.trim_start())?;
        if unit >= last_unit {
            return Err(String::from("units must go from large to small, each once"));
        }
        last_unit = unit;
        let term = number.times(unit, negative)?;
        sum = sum.checked_add(term).ok_or("it is out of range")?;
        rest = after.trim_start().trim_start_matches(',').trim_start();
        // `5ft-2in` joins feet and inches by a hyphen.
        rest = rest.strip_prefix('-').unwrap_or(rest).trim_start();
    }
    Ok(sum)
}

fn split_sign(text: &str) -> (bool, &str) {
    match text.strip_prefix('-').or_else(|| text.strip_prefix('−')) {
        Some(rest) => (true, rest.trim_start()),
        None => (false, text.strip_prefix('+').unwrap_or(text).trim_start()),
    }
}

fn read_unit(text: &str) -> Result<(i64, &str), String> {
    if text.is_empty() {
        return Err(String::from("the unit is missing"));
    }
    // Longest word first: `m` must not swallow the start of `mm`, nor `in` that of `inch`.
    let word_end = text.find(|c: char| !c.is_alphabetic()).unwrap_or(text.len());
    let word = if word_end == 0 { &text[..text.chars().next().map_or(0, char::len_utf8)] } else { &text[..word_end] };
    let lower = word.to_lowercase();
    match UNITS.iter().find(|(name, _)| *name == lower) {
        Some((_, nm)) => Ok((*nm, &text[word.len()..])),
        None => Err(format!("`{word}` is no unit")),
    }
}

/// A number as written: whole part and fraction, or decimal digits, kept exact.
struct Mixed {
    numerator: i128,
    denominator: i128,
}

impl Mixed {
    /// The number of nanometres, rounded half away from zero.
    fn times(&self, unit: i64, negative: bool) -> Result<Length, String> {
        let product = self.numerator.checked_mul(i128::from(unit)).ok_or("it is out of range")?;
        let rounded = (2 * product + self.denominator) / (2 * self.denominator);
        let nm = i64::try_from(if negative { -rounded } else { rounded }).map_err(|_| "it is out of range")?;
        Ok(Length::nm(nm))
    }
}

/// Reads `3`, `3.5`, `3 1/2`, `3-1/2` or `1/2` from the front.
fn read_mixed(text: &str) -> Result<(Mixed, &str), String> {
    let (first, rest) = read_digits(text)?;
    if let Some(after_point) = rest.strip_prefix(['.', ',']).filter(|r| r.starts_with(|c: char| c.is_ascii_digit())) {
        let (decimals, after) = read_digits(after_point)?;
        let places = u32::try_from(after_point.len() - after.len()).map_err(|_| "it has too many decimals")?;
        let denominator = 10i128.checked_pow(places).filter(|_| places <= 18).ok_or("it has too many decimals")?;
        return Ok((Mixed { numerator: first * denominator + decimals, denominator }, after));
    }
    if let Some(after) = rest.strip_prefix('/') {
        let (denominator, after) = read_denominator(after)?;
        return Ok((Mixed { numerator: first, denominator }, after));
    }
    // A fraction may follow after a blank or a hyphen; anything else belongs to the next term.
    let gap = rest.trim_start_matches([' ', '-']);
    if gap.len() < rest.len() {
        if let Ok((numerator, after)) = read_digits(gap) {
            if let Some(after) = after.strip_prefix('/') {
                let (denominator, after) = read_denominator(after)?;
                if numerator >= denominator {
                    return Err(format!("the fraction {numerator}/{denominator} is not less than one"));
                }
                return Ok((Mixed { numerator: first * denominator + numerator, denominator }, after));
            }
        }
    }
    Ok((Mixed { numerator: first, denominator: 1 }, rest))
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
