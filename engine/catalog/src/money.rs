//! Shares and cents in whole numbers, and the one rule by which they are rounded.

use core::fmt;

/// No price of this shop is higher, in cents; more is a slip of the keyboard. A thousand of them still fit.
pub const MOST_CENTS: i64 = 1_000_000_000_000;

/// What money is rounded by, in words: the rule of [`rounded`].
pub const ROUNDING_RULE: &str = "each line is rounded once, half a cent up; sums are of the rounded lines";

/// Millionths in the whole.
const WHOLE: i64 = 1_000_000;

/// A part of a whole, from nothing to all of it, in whole millionths.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Share(i64);

impl Share {
    /// The share of that number, to the nearest millionth; `None` below 0 and above 1.
    pub fn new(number: f64) -> Option<Share> {
        (0.0..=1.0).contains(&number).then(|| Share((number * WHOLE as f64).round() as i64))
    }

    /// As a number from 0 to 1.
    pub fn as_number(self) -> f64 {
        self.0 as f64 / WHOLE as f64
    }

    /// That share of so many cents, rounded by [`rounded`].
    pub fn of(self, cents: i64) -> i64 {
        rounded(i128::from(cents) * i128::from(self.0), i128::from(WHOLE))
    }

    /// What is to be asked so that `cents` remain once this share of it is given away; `None` where it takes all.
    pub fn before(self, cents: i64) -> Option<i64> {
        let kept = i128::from(WHOLE - self.0);
        (kept > 0).then(|| rounded(i128::from(cents) * i128::from(WHOLE), kept))
    }

    /// Both shares together; `None` where that is more than all.
    pub fn and(self, other: Share) -> Option<Share> {
        Some(Share(self.0 + other.0)).filter(|both| both.0 <= WHOLE)
    }
}

/// In percent: `7 %`, `2.5 %`.
impl fmt::Display for Share {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} %", self.0 as f64 / (WHOLE as f64 / 100.0))
    }
}

/// A quotient of whole numbers to the nearest, halves up. The divisor is positive.
pub fn rounded(number: i128, divisor: i128) -> i64 {
    let nearest = (number + divisor / 2).div_euclid(divisor);
    i64::try_from(nearest).unwrap_or(if nearest < 0 { i64::MIN } else { i64::MAX })
}

/// Cents for so much of something at so many cents for one of it, rounded half up.
pub fn cents_for(amount: f64, cents_each: i64) -> i64 {
    (amount * cents_each as f64 + 0.5).floor() as i64
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shares_round_half_a_cent_up() {
        let seven = Share::new(0.07).expect("a share");
        // 7 % of 1.50 is 10.5 cents, of 1.49 is 10.43.
        assert_eq!((seven.of(150), seven.of(149)), (11, 10));
        assert_eq!(seven.to_string(), "7 %");
        assert_eq!(Share::new(0.025).expect("a share").to_string(), "2.5 %");
    }

    #[test]
    fn what_is_asked_leaves_what_is_wanted() {
        let quarter = Share::new(0.25).expect("a share");
        assert_eq!(quarter.before(300), Some(400));
        assert_eq!(Share::new(1.0).and_then(|all| all.before(300)), None);
        assert_eq!(quarter.and(Share::new(0.75).expect("a share")), Share::new(1.0));
        assert_eq!(quarter.and(Share::new(0.76).expect("a share")), None);
    }

    #[test]
    fn no_share_is_below_nothing_or_above_all() {
        assert_eq!((Share::new(-0.01), Share::new(1.01), Share::new(f64::NAN)), (None, None, None));
    }
}
