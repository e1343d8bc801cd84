//! Transcendental functions with the same bits on every machine.
//!
//! The standard library hands these to the platform, whose last bit differs between systems; a design must
//! not depend on where it was computed. All angles are in radians.

/// Circle constant.
pub const PI: f64 = core::f64::consts::PI;

/// Sine of `x` radians.
pub fn sin(x: f64) -> f64 {
    libm::sin(x)
}

/// Cosine of `x` radians.
pub fn cos(x: f64) -> f64 {
    libm::cos(x)
}

/// Sine and cosine of `x` radians.
pub fn sin_cos(x: f64) -> (f64, f64) {
    libm::sincos(x)
}

/// Tangent of `x` radians.
pub fn tan(x: f64) -> f64 {
    libm::tan(x)
}

/// Arc sine in radians; the argument is clamped to -1..1 so that rounding noise never gives NaN.
pub fn asin(x: f64) -> f64 {
    libm::asin(x.clamp(-1.0, 1.0))
}

/// Arc cosine in radians; the argument is clamped to -1..1 so that rounding noise never gives NaN.
pub fn acos(x: f64) -> f64 {
    libm::acos(x.clamp(-1.0, 1.0))
}

/// Arc tangent in radians.
pub fn atan(x: f64) -> f64 {
    libm::atan(x)
}

/// Angle of the point (`x`, `y`) in radians, -PI..=PI.
pub fn atan2(y: f64, x: f64) -> f64 {
    libm::atan2(y, x)
}

/// Length of the vector (`x`, `y`).
pub fn hypot(x: f64, y: f64) -> f64 {
    libm::hypot(x, y)
}

/// Natural exponential.
pub fn exp(x: f64) -> f64 {
    libm::exp(x)
}

/// Natural logarithm.
pub fn ln(x: f64) -> f64 {
    libm::log(x)
}

/// `base` to the power of `exponent`.
pub fn powf(base: f64, exponent: f64) -> f64 {
    libm::pow(base, exponent)
}

/// Cube root.
pub fn cbrt(x: f64) -> f64 {
    libm::cbrt(x)
}
