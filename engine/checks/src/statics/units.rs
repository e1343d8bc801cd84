//! The customary units of the sources, each converted exactly once.

/// One inch in mm (exact since 1959).
pub const INCH: f64 = 25.4;
/// One foot in mm.
pub const FOOT: f64 = 304.8;
/// One pound-force in N: the avoirdupois pound (0.453 592 37 kg) times standard gravity (9.806 65 m/s2), both exact.
pub const POUND: f64 = 4.448_221_615_260_5;
/// One pound per square inch in MPa.
pub const PSI: f64 = POUND / (INCH * INCH);
/// One pound per inch of length in N/mm.
pub const POUND_PER_INCH: f64 = POUND / INCH;
/// One pound per foot of length in N/mm.
pub const POUND_PER_FOOT: f64 = POUND / FOOT;
/// Standard gravity in m/s2.
pub const GRAVITY: f64 = 9.806_65;
/// One kg/m3 in kg/mm3.
pub const KG_PER_CUBIC_METRE: f64 = 1e-9;

/// Degrees Fahrenheit as degrees Celsius.
pub fn celsius(fahrenheit: f64) -> f64 {
    (fahrenheit - 32.0) / 1.8
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The conversions as the handbooks print them.
    #[test]
    fn units_agree_with_the_printed_ones() {
        assert!((PSI - 0.006_894_757_29).abs() < 1e-11);
        assert!((POUND_PER_INCH - 0.175_126_8).abs() < 1e-7);
        assert_eq!(FOOT, 304.8);
        assert_eq!(celsius(212.0), 100.0);
        assert_eq!(celsius(32.0), 0.0);
    }
}
