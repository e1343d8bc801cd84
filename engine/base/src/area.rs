//! Areas: what two lengths multiply to.

use crate::Length;
use core::fmt;
use core::iter::Sum;
use core::ops::{Add, Div, Mul, Sub};

/// An area in square millimetres. Areas are reported (glue, finish, board feet), never sawn to, so a float serves.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Default)]
pub struct Area {
    square_mm: f64,
}

impl Area {
    /// From square millimetres.
    pub fn square_mm(square_mm: f64) -> Self {
        Area { square_mm }
    }

    /// In square millimetres.
    pub fn as_square_mm(self) -> f64 {
        self.square_mm
    }

    /// In square metres.
    pub fn as_square_m(self) -> f64 {
        self.square_mm / 1e6
    }
}

impl Mul for Length {
    type Output = Area;
    fn mul(self, other: Length) -> Area {
        Area { square_mm: self.as_mm() * other.as_mm() }
    }
}

impl Add for Area {
    type Output = Area;
    fn add(self, other: Area) -> Area {
        Area { square_mm: self.square_mm + other.square_mm }
    }
}

impl Sub for Area {
    type Output = Area;
    fn sub(self, other: Area) -> Area {
        Area { square_mm: self.square_mm - other.square_mm }
    }
}

impl Sum for Area {
    fn sum<I: Iterator<Item = Area>>(areas: I) -> Area {
        areas.fold(Area::default(), Add::add)
    }
}

impl Mul<f64> for Area {
    type Output = Area;
    fn mul(self, factor: f64) -> Area {
        Area { square_mm: self.square_mm * factor }
    }
}

impl Div<f64> for Area {
    type Output = Area;
    fn div(self, divisor: f64) -> Area {
        Area { square_mm: self.square_mm / divisor }
    }
}

/// Square metres with three decimals.
impl fmt::Display for Area {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:.3} m²", self.as_square_m())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_board_face_has_the_area_of_its_sides() {
        let face = Length::mm(1500.0) * Length::mm(140.0);
        assert_eq!(face, Area::square_mm(210_000.0));
        assert_eq!(face.to_string(), "0.210 m²");
        assert_eq!([face, face].into_iter().sum::<Area>(), face * 2.0);
        assert_eq!(face - face / 2.0, face / 2.0);
    }
}
