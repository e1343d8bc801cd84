//! Figures of several combinations side by side: what is done to one is done to all, and to each as it would be alone.

use core::ops::{Add, AddAssign, Mul, Sub};
use slatwork_solid::{DMat3, DVec3};

/// A figure of each side.
pub(super) type Sides<const N: usize> = [f64; N];

/// A vector of each side.
#[derive(Clone, Copy)]
pub(super) struct Vectors<const N: usize> {
    pub(super) x: Sides<N>,
    pub(super) y: Sides<N>,
    pub(super) z: Sides<N>,
}

/// Three figures of each side, as a vector is kept.
pub(super) type Row<const N: usize> = [Sides<N>; 3];

/// Forces and moments at the ends of a member, local axes: start force and moment, end force and moment.
pub(super) type Ends<const N: usize> = [Row<N>; 4];

/// A figure of each side from figures of each side.
#[inline(always)]
pub(super) fn each<const N: usize>(of: impl Fn(usize) -> f64) -> Sides<N> {
    core::array::from_fn(of)
}

/// The larger, side by side; where there is no number, that.
#[inline(always)]
pub(super) fn worse<const N: usize>(a: Sides<N>, b: Sides<N>) -> Sides<N> {
    each(|side| if b[side].is_nan() || b[side] > a[side] { b[side] } else { a[side] })
}

/// The larger, side by side.
#[inline(always)]
pub(super) fn larger<const N: usize>(a: Sides<N>, b: Sides<N>) -> Sides<N> {
    each(|side| if b[side] > a[side] { b[side] } else { a[side] })
}

impl<const N: usize> Vectors<N> {
    pub(super) const ZERO: Self = Vectors { x: [0.0; N], y: [0.0; N], z: [0.0; N] };

    /// Of three figures in a row.
    #[inline(always)]
    pub(super) fn from_row(row: &[Sides<N>]) -> Self {
        Vectors { x: row[0], y: row[1], z: row[2] }
    }

    /// As three figures in a row.
    #[inline(always)]
    pub(super) fn row(self) -> Row<N> {
        [self.x, self.y, self.z]
    }

    /// A vector, so many times in each side.
    #[inline(always)]
    pub(super) fn times(vector: DVec3, factors: &Sides<N>) -> Self {
        let of = |own: f64| each(|side| own * factors[side]);
        Vectors { x: of(vector.x), y: of(vector.y), z: of(vector.z) }
    }

    /// Its cross product with a vector that is the same in all.
    #[inline(always)]
    pub(super) fn cross(&self, other: DVec3) -> Self {
        let of = |a: &Sides<N>, b: f64, c: &Sides<N>, d: f64| each(|side| a[side] * b - c[side] * d);
        Vectors {
            x: of(&self.y, other.z, &self.z, other.y),
            y: of(&self.z, other.x, &self.x, other.z),
            z: of(&self.x, other.y, &self.y, other.x),
        }
    }

    #[inline(always)]
    pub(super) fn dot(&self, other: &Self) -> Sides<N> {
        each(|side| {
            self.x[side] * other.x[side] + self.y[side] * other.y[side] + self.z[side] * other.z[side]
        })
    }

    /// The square of its length.
    #[inline(always)]
    pub(super) fn squared(&self) -> Sides<N> {
        self.dot(self)
    }

    #[inline(always)]
    pub(super) fn length(&self) -> Sides<N> {
        self.squared().map(f64::sqrt)
    }

    /// The vector of one side.
    pub(super) fn of(&self, side: usize) -> DVec3 {
        DVec3::new(self.x[side], self.y[side], self.z[side])
    }
}

impl<const N: usize> Add for Vectors<N> {
    type Output = Self;
    #[inline(always)]
    fn add(self, other: Self) -> Self {
        let of = |a: &Sides<N>, b: &Sides<N>| each(|side| a[side] + b[side]);
        Vectors { x: of(&self.x, &other.x), y: of(&self.y, &other.y), z: of(&self.z, &other.z) }
    }
}

impl<const N: usize> AddAssign for Vectors<N> {
    #[inline(always)]
    fn add_assign(&mut self, other: Self) {
        *self = *self + other;
    }
}

impl<const N: usize> Sub for Vectors<N> {
    type Output = Self;
    #[inline(always)]
    fn sub(self, other: Self) -> Self {
        let of = |a: &Sides<N>, b: &Sides<N>| each(|side| a[side] - b[side]);
        Vectors { x: of(&self.x, &other.x), y: of(&self.y, &other.y), z: of(&self.z, &other.z) }
    }
}

/// Turned: the same turn in each side.
impl<const N: usize> Mul<Vectors<N>> for &DMat3 {
    type Output = Vectors<N>;
    #[inline(always)]
    fn mul(self, own: Vectors<N>) -> Vectors<N> {
        let row = |a: f64, b: f64, c: f64| -> Sides<N> {
            each(|side| a * own.x[side] + b * own.y[side] + c * own.z[side])
        };
        let [x, y, z] = [self.x_axis, self.y_axis, self.z_axis];
        Vectors { x: row(x.x, y.x, z.x), y: row(x.y, y.y, z.y), z: row(x.z, y.z, z.z) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Each side comes to what vectors come to.
    #[test]
    fn each_side_is_as_it_would_be_alone() {
        let [a, b] = [DVec3::new(1.0, -2.0, 3.0), DVec3::new(0.5, 4.0, -1.5)];
        let turn = DMat3::from_rotation_x(0.3) * DMat3::from_rotation_z(1.1);
        let both = Vectors { x: [a.x, b.x], y: [a.y, b.y], z: [a.z, b.z] };
        let arm = DVec3::new(-0.2, 0.7, 2.0);
        for (side, own) in [a, b].into_iter().enumerate() {
            assert_eq!(both.cross(arm).of(side), own.cross(arm));
            assert!(((&turn * both).of(side) - turn * own).length() < 1e-15);
            assert_eq!((both + both - both).of(side), own);
            assert!((both.length()[side] - own.length()).abs() < 1e-15);
            assert_eq!(Vectors::times(own, &[2.0, -3.0]).of(1), own * -3.0);
        }
        let worse = worse([1.0, f64::NAN, 2.0, 4.0], [f64::NAN, 1.0, 3.0, 3.0]);
        assert!(worse[0].is_nan() && worse[1].is_nan(), "what is no number stays");
        assert_eq!((worse[2], worse[3]), (3.0, 4.0));
        assert_eq!(larger([1.0, 2.0], [3.0, f64::NAN]), [3.0, 2.0]);
    }
}
