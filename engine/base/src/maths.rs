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

/// Error function.
pub fn erf(x: f64) -> f64 {
    libm::erf(x)
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

#[cfg(test)]
mod tests {
    use super::*;

    /// These bits must not change from one machine, or one version of the library, to the next. A pinned bit may be
    /// one off the correctly rounded one; what matters is that every cut list agrees.
    #[test]
    fn the_bits_are_pinned() {
        let values = [
            sin(0.3),
            cos(0.3),
            tan(0.3),
            asin(0.3),
            acos(0.3),
            atan(0.3),
            atan2(0.3, -0.7),
            hypot(0.3, 0.7),
        ];
        let more = [exp(0.3), ln(0.3), powf(0.3, 0.7), cbrt(0.3)];
        let bits: Vec<String> =
            values.iter().chain(&more).map(|value| format!("{:016x}", value.to_bits())).collect();
        insta::assert_snapshot!(bits.join(" "), @"3fd2e9cd95baba33 3fee921dd42f09ba 3fd3cc2a44e29998 3fd380159e14f6ff 3ff441f5ecbeef59 3fd2a73a661eaf06 4005e4c36ca0118a 3fe85ed7614b038c 3ff599058c8c1a96 bff34378fcbda721 3fdb8d809c615f41 3fe56bfea66ef78d");
    }

    #[test]
    fn noise_beyond_one_is_clamped() {
        assert_eq!(asin(1.0 + 1e-15), PI / 2.0);
        assert_eq!(acos(-1.0 - 1e-15), PI);
        assert_eq!(acos(1.0 + 1e-15), 0.0);
    }

    #[test]
    fn the_circle_closes() {
        let (sine, cosine) = sin_cos(0.3);
        assert_eq!((sine, cosine), (sin(0.3), cos(0.3)));
        assert!((sine * sine + cosine * cosine - 1.0).abs() < 1e-15);
        assert_eq!(atan2(0.0, -1.0), PI);
    }
}
