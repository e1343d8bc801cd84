//! Angles: degrees as a builder sets them, slope as a carpenter's square gives them.

use crate::maths;
use core::fmt;
use core::ops::{Add, Div, Mul, Neg, Sub};

/// An angle. Held in degrees, so that 45 and 22.5 are exact.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Default)]
pub struct Angle {
    degrees: f64,
}

impl Angle {
    /// No turn.
    pub const ZERO: Angle = Angle { degrees: 0.0 };

    /// From degrees.
    pub fn deg(degrees: f64) -> Self {
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

    /// Rounded to the step a saw's scale can be set to, in degrees (half a degree is a fair saw).
    pub fn rounded_to(self, step_degrees: f64) -> Self {
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
}
