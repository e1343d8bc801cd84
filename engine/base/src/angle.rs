//! Angles: degrees as a builder sets them, slope as a carpenter's square gives them.

use crate::maths;
use core::fmt;
use core::ops::{Add, Div, Mul, Neg, Sub};
use core::str::FromStr;

/// An angle. Held in degrees, so that 45 and 22.5 are exact.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Default)]
pub struct Angle {
    degrees: f64,
}

impl Angle {
    /// No turn.
    pub const ZERO: Angle = Angle { degrees: 0.0 };

    /// From degrees.
    pub const fn deg(degrees: f64) -> Self {
        Angle { degrees }
    }

    /// From radians.
    pub fn rad(radians: f64) -> Self {
        Angle { degrees: radians * 180.0 / maths::PI }
    }

    /// From a slope: rise over run, as set on a framing square.
    pub fn from_slope(rise: f64, run: f64) -> Self {
        Self::rad(maths::atan2(rise, run))
    }

    /// In degrees.
    pub fn as_deg(self) -> f64 {
        self.degrees
    }

    /// In radians.
    pub fn as_rad(self) -> f64 {
        self.degrees * maths::PI / 180.0
    }

    /// Rise per unit of run.
    pub fn slope(self) -> f64 {
        maths::tan(self.as_rad())
    }

    /// Sine.
    pub fn sin(self) -> f64 {
        maths::sin(self.as_rad())
    }

    /// Cosine.
    pub fn cos(self) -> f64 {
        maths::cos(self.as_rad())
    }

    /// Tangent.
    pub fn tan(self) -> f64 {
        maths::tan(self.as_rad())
    }

    /// Without its sign.
    pub fn abs(self) -> Self {
        Angle { degrees: self.degrees.abs() }
    }

    /// Rounded to the step a saw's scale can be set to, in degrees (half a degree is a fair saw). A step that is not
    /// greater than zero rounds nothing.
    pub fn rounded_to(self, step_degrees: f64) -> Self {
        if step_degrees.is_nan() || step_degrees <= 0.0 {
            return self;
        }
        Angle { degrees: (self.degrees / step_degrees).round() * step_degrees }
    }
}

impl Add for Angle {
    type Output = Angle;
    fn add(self, other: Angle) -> Angle {
        Angle { degrees: self.degrees + other.degrees }
    }
}

impl Sub for Angle {
    type Output = Angle;
    fn sub(self, other: Angle) -> Angle {
        Angle { degrees: self.degrees - other.degrees }
    }
}

impl Neg for Angle {
    type Output = Angle;
    fn neg(self) -> Angle {
        Angle { degrees: -self.degrees }
    }
}

impl Mul<f64> for Angle {
    type Output = Angle;
    fn mul(self, factor: f64) -> Angle {
        Angle { degrees: self.degrees * factor }
    }
}

impl Div<f64> for Angle {
    type Output = Angle;
    fn div(self, divisor: f64) -> Angle {
        Angle { degrees: self.degrees / divisor }
    }
}

/// Degrees with up to two decimals and the degree sign: `14°`, `7.25°`.
impl fmt::Display for Angle {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let rounded = (self.degrees * 100.0).round() / 100.0;
        write!(f, "{}°", if rounded == 0.0 { 0.0 } else { rounded })
    }
}

/// Why a text is not an angle, with what would be.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ParseAngleError {
    /// The text as it was given.
    pub text: String,
    /// What is wrong with it.
    pub reason: String,
}

impl fmt::Display for ParseAngleError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "`{}` is not an angle: {}; write 14deg, 22.5° or a slope such as 3:12",
            self.text, self.reason
        )
    }
}

impl core::error::Error for ParseAngleError {}

impl FromStr for Angle {
    type Err = ParseAngleError;

    /// Reads `14deg`, `14 degrees`, `22.5°`, or a slope of rise over run, `3:12`. A bare number is refused, except `0`.
    fn from_str(text: &str) -> Result<Self, ParseAngleError> {
        parse(text.trim()).map_err(|reason| ParseAngleError { text: text.to_string(), reason })
    }
}

fn parse(text: &str) -> Result<Angle, String> {
    if text == "0" {
        return Ok(Angle::ZERO);
    }
    if let Some((rise, run)) = text.split_once(':') {
        let (rise, run) = (number(rise)?, number(run)?);
        if run <= 0.0 {
            return Err(String::from("the run of a slope must be greater than zero"));
        }
        return Ok(Angle::from_slope(rise, run));
    }
    let unit = ["degrees", "deg", "°"].into_iter().find_map(|unit| text.strip_suffix(unit));
    match unit {
        Some(digits) => number(digits).map(Angle::deg),
        None => Err(String::from("the unit is missing")),
    }
}

fn number(text: &str) -> Result<f64, String> {
    let text = text.trim();
    match text.parse::<f64>() {
        Ok(number) if number.is_finite() => Ok(number),
        _ => Err(format!("`{text}` is no number")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn degrees_and_slope_agree() {
        assert_eq!(Angle::deg(45.0).slope(), 0.9999999999999999);
        assert!((Angle::from_slope(3.0, 12.0).as_deg() - 14.036_243_467_926_479).abs() < 1e-12);
        assert_eq!(Angle::deg(7.25).to_string(), "7.25°");
        assert_eq!(Angle::deg(-0.001).to_string(), "0°");
        assert_eq!(Angle::deg(13.3).rounded_to(0.5), Angle::deg(13.5));
    }

    #[test]
    fn a_step_of_nothing_rounds_nothing() {
        assert_eq!(Angle::deg(13.3).rounded_to(0.0), Angle::deg(13.3));
        assert_eq!(Angle::deg(13.3).rounded_to(f64::NAN), Angle::deg(13.3));
    }

    #[test]
    fn reads_degrees_and_slopes() {
        for text in ["14deg", "14 degrees", "14°", " 14.0deg "] {
            assert_eq!(text.parse(), Ok(Angle::deg(14.0)), "{text}");
        }
        assert_eq!("3:12".parse(), Ok(Angle::from_slope(3.0, 12.0)));
        assert_eq!("-7.5deg".parse(), Ok(Angle::deg(-7.5)));
        assert_eq!("0".parse(), Ok(Angle::ZERO));
    }

    #[test]
    fn says_why_a_text_is_no_angle() {
        let why = |text: &str| text.parse::<Angle>().map_or_else(|e| e.to_string(), |a| a.to_string());
        let write = "write 14deg, 22.5° or a slope such as 3:12";
        assert_eq!(why("14"), format!("`14` is not an angle: the unit is missing; {write}"));
        assert_eq!(why("tall deg"), format!("`tall deg` is not an angle: `tall` is no number; {write}"));
        assert_eq!(why("nan deg"), format!("`nan deg` is not an angle: `nan` is no number; {write}"));
        assert_eq!(
            why("3:0"),
            format!("`3:0` is not an angle: the run of a slope must be greater than zero; {write}")
        );
    }
}
