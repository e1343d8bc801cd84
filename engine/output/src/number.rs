//! Numbers as text files want them: few digits, no exponent, no negative zero.

/// A number with at most `places` decimals and no trailing zeros: `12`, `-0.5`, `3.142`. Never `-0`.
pub(crate) fn decimal(value: f64, places: usize) -> String {
    rounded(value, places).map_or_else(|| by_digits(value, places), |steps| of_steps(steps, places))
}

/// A value in steps of the last place, nothing where that hangs on the digits of the value itself.
fn rounded(value: f64, places: usize) -> Option<i64> {
    let in_steps = value * POWERS.get(places)?;
    let whole = in_steps.round();
    let is_sure = (in_steps - whole).abs() < SURE && whole.abs() < MOST_STEPS;
    is_sure.then_some(whole as i64)
}

/// Ten to the number of places.
const POWERS: [f64; 7] = [1.0, 10.0, 100.0, 1e3, 1e4, 1e5, 1e6];

/// So near to a whole number of steps no rounding of the product decides which it is: that is at most 1e-4 of a step.
const SURE: f64 = 0.499;

/// Beyond this the product may be off by more.
const MOST_STEPS: f64 = 1e12;

fn of_steps(steps: i64, places: usize) -> String {
    let (mut digits, mut decimals) = (steps.unsigned_abs(), places);
    while decimals > 0 && digits % 10 == 0 {
        (digits, decimals) = (digits / 10, decimals - 1);
    }
    let sign = if steps < 0 { "-" } else { "" };
    if decimals == 0 {
        return format!("{sign}{digits}");
    }
    let whole = 10_u64.pow(u32::try_from(decimals).unwrap_or(0));
    format!("{sign}{}.{:0decimals$}", digits / whole, digits % whole)
}

fn by_digits(value: f64, places: usize) -> String {
    let mut text = format!("{value:.places$}");
    if text.contains('.') {
        text.truncate(text.trim_end_matches('0').trim_end_matches('.').len());
    }
    if text == "-0" { String::from("0") } else { text }
}

/// A number with all its digits, without exponent: what reads back to the same value.
pub(crate) fn exact(value: f64) -> String {
    let text = format!("{value}");
    if text == "-0" { String::from("0") } else { text }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn decimals_are_short() {
        assert_eq!(decimal(12.0, 3), "12");
        assert_eq!(decimal(-0.0001, 3), "0");
        assert_eq!(decimal(-0.5, 3), "-0.5");
        assert_eq!(decimal(100.0, 0), "100");
        assert_eq!(decimal(1.23456, 3), "1.235");
    }

    #[test]
    fn steps_and_digits_say_the_same() {
        let values = (0..4000).map(|n| f64::from(n - 2000) * 0.0371 + f64::from(n % 7) * 1e-4);
        let edges = [0.0005, -0.0005, 2.5, 0.125, 1e12, 1e15, 123_456.785, f64::NAN, f64::INFINITY, -0.0];
        for value in values.chain(edges) {
            for places in 0..9 {
                assert_eq!(decimal(value, places), by_digits(value, places), "{value} {places}");
            }
        }
    }

    #[test]
    fn exact_reads_back() {
        assert_eq!(exact(0.1 + 0.2), "0.30000000000000004");
        assert_eq!(exact(-0.0), "0");
        assert_eq!(exact(1e21), "1000000000000000000000");
    }
}
