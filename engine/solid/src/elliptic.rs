//! Elliptic integrals, from square roots alone: complete ones by the arithmetic-geometric mean, incomplete ones by
//! Carlson's duplication.
//!
//! Source: B. C. Carlson's symmetric forms and their duplication theorem, as in the NIST Digital Library of Mathematical
//! Functions, chapter 19 (formulas from memory; checked against an independent library in `tests/data/curves.csv`).

use slatwork_base::maths;

/// Duplication stops when the arguments agree to this part: the series after it is then exact to rounding.
const AGREE: f64 = 1e-3;

/// Steps after which the mean or the duplication has long settled.
const MOST_STEPS: u32 = 40;

/// Complete integrals of the first and second kind, K and E, for modulus `k` in 0..1.
pub(crate) fn complete(k: f64) -> (f64, f64) {
    let (mut a, mut b, mut c) = (1.0, (1.0 - k * k).sqrt(), k);
    let (mut sum, mut weight) = (c * c / 2.0, 0.5);
    for _ in 0..MOST_STEPS {
        if c.abs() <= f64::EPSILON {
            break;
        }
        (a, b, c) = ((a + b) / 2.0, (a * b).sqrt(), (a - b) / 2.0);
        weight *= 2.0;
        sum += weight * c * c;
    }
    let first = maths::PI / (2.0 * a);
    (first, first * (1.0 - sum))
}

/// Incomplete integrals of the first and second kind, F and E, for an amplitude within a quarter turn and modulus `k`.
pub(crate) fn incomplete(amplitude: f64, k: f64) -> (f64, f64) {
    let (sine, cosine) = maths::sin_cos(amplitude);
    let (x, y) = (cosine * cosine, 1.0 - k * k * sine * sine);
    let first = sine * symmetric_first(x, y, 1.0);
    let part = k * k * sine * sine * sine / 3.0 * symmetric_second(x, y, 1.0);
    (first, first - part)
}

/// Carlson's R_F.
fn symmetric_first(x: f64, y: f64, z: f64) -> f64 {
    let (mut x, mut y, mut z) = (x, y, z);
    for _ in 0..MOST_STEPS {
        let mean = (x + y + z) / 3.0;
        if ((x - mean).abs().max((y - mean).abs()).max((z - mean).abs())) <= AGREE * mean {
            break;
        }
        let shift = (x * y).sqrt() + (y * z).sqrt() + (z * x).sqrt();
        (x, y, z) = ((x + shift) / 4.0, (y + shift) / 4.0, (z + shift) / 4.0);
    }
    let mean = (x + y + z) / 3.0;
    let (u, v, w) = (1.0 - x / mean, 1.0 - y / mean, 1.0 - z / mean);
    let (second, third) = (u * v + v * w + w * u, u * v * w);
    let series = 1.0 - second / 10.0 + third / 14.0 + second * second / 24.0 - 3.0 * second * third / 44.0;
    series / mean.sqrt()
}

/// Carlson's R_D.
fn symmetric_second(x: f64, y: f64, z: f64) -> f64 {
    let (mut x, mut y, mut z) = (x, y, z);
    let (mut sum, mut power) = (0.0, 1.0);
    for _ in 0..MOST_STEPS {
        let mean = (x + y + 3.0 * z) / 5.0;
        if ((x - mean).abs().max((y - mean).abs()).max((z - mean).abs())) <= AGREE * mean {
            break;
        }
        let shift = (x * y).sqrt() + (y * z).sqrt() + (z * x).sqrt();
        sum += power / (z.sqrt() * (z + shift));
        power /= 4.0;
        (x, y, z) = ((x + shift) / 4.0, (y + shift) / 4.0, (z + shift) / 4.0);
    }
    let mean = (x + y + 3.0 * z) / 5.0;
    let (u, v, w) = (1.0 - x / mean, 1.0 - y / mean, 1.0 - z / mean);
    let (uv, ww) = (u * v, w * w);
    let (second, third) = (uv - 6.0 * ww, (3.0 * uv - 8.0 * ww) * w);
    let (fourth, fifth) = (3.0 * (uv - ww) * ww, uv * ww * w);
    let series = 1.0 - 3.0 * second / 14.0 + third / 6.0 + 9.0 * second * second / 88.0
        - 3.0 * fourth / 22.0
        - 9.0 * second * third / 52.0
        + 3.0 * fifth / 26.0;
    3.0 * sum + power * series / (mean * mean.sqrt())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_whole_quarter_turn_is_the_complete_integral() {
        for k in [0.0, 0.1, 0.3, 0.5, 0.8, 0.95] {
            let (whole, part) = (complete(k), incomplete(maths::PI / 2.0, k));
            assert!(
                (whole.0 - part.0).abs() < 1e-14 && (whole.1 - part.1).abs() < 1e-14,
                "{k} {whole:?} {part:?}"
            );
        }
    }

    #[test]
    fn complementary_integrals_keep_legendres_relation() {
        for k in [0.1_f64, 0.4, 0.6, 0.9] {
            let ((first, second), (other_first, other_second)) =
                (complete(k), complete((1.0 - k * k).sqrt()));
            let relation = second * other_first + other_second * first - first * other_first;
            assert!((relation - maths::PI / 2.0).abs() < 1e-14, "{k} {relation}");
        }
    }

    #[test]
    fn without_modulus_both_integrals_are_the_angle() {
        for angle in [-1.5, -0.2, 0.0, 0.9] {
            let (first, second) = incomplete(angle, 0.0);
            assert!((first - angle).abs() < 1e-15 * 10.0 && (second - angle).abs() < 1e-15 * 10.0);
        }
    }
}
