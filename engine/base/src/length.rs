//! Exact lengths in whole nanometres.

use core::fmt;
use core::iter::Sum;
use core::ops::{Add, AddAssign, Neg, Sub, SubAssign};

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
        Self::rounded(mm * NM_PER_MM)
    }

    /// From inches, rounded to the nearest nanometre. NaN gives zero; the range saturates.
    pub fn inch(inches: f64) -> Self {
        Self::rounded(inches * NM_PER_INCH as f64)
    }

    fn rounded(nanometres: f64) -> Self {
        #[expect(clippy::cast_possible_truncation, reason = "float to int casts saturate")]
        Length { nanometres: nanometres.round() as i64 }
    }

    /// From whole sixty-fourths of an inch, exact; the range saturates.
    pub const fn sixty_fourths(count: i64) -> Self {
        Length { nanometres: count.saturating_mul(NM_PER_INCH / 64) }
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
        Length { nanometres: self.nanometres.saturating_abs() }
    }

    /// In millimetres with a fixed number of decimals (at most six), rounded half away from zero: `18.3` for one.
    pub fn mm_text(self, decimals: u32) -> String {
        let decimals = decimals.min(6);
        let step = 10i128.pow(6 - decimals);
        let nanometres = i128::from(self.nanometres);
        let steps = (nanometres.abs() + step / 2) / step;
        let per_mm = 10i128.pow(decimals);
        let sign = if nanometres < 0 && steps > 0 { "-" } else { "" };
        if decimals == 0 {
            return format!("{sign}{steps}");
        }
        format!("{sign}{}.{:0width$}", steps / per_mm, steps % per_mm, width = decimals as usize)
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
        let tape =
            if self.nanometres % (NM_PER_INCH / 64) == 0 { crate::Tape::Inch64 } else { crate::Tape::Exact };
        f.write_str(&tape.text(*self))
    }
}
