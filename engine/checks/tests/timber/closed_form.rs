//! The yield modes of NDS 12.3.1 in their printed form against the general dowel equations that the solver uses.

use crate::sample::*;
use proptest::prelude::*;
use slatwork_checks::statics::dowel::{self, Joint, Shear};

/// Im, Is, II, IIIm, IIIs, IV of one plane, before Rd (NDS Table 12.3.1A, read).
fn printed(d: f64, (lm, fem): (f64, f64), (ls, fes): (f64, f64), fyb: f64) -> [f64; 6] {
    let (re, rt) = (fem / fes, lm / ls);
    let root = (re + 2.0 * re * re * (1.0 + rt + rt * rt) + rt * rt * re * re * re).sqrt();
    let k1 = (root - re * (1.0 + rt)) / (1.0 + re);
    let k2 = -1.0 + (2.0 * (1.0 + re) + 2.0 * fyb * (1.0 + 2.0 * re) * d * d / (3.0 * fem * lm * lm)).sqrt();
    let k3 = -1.0 + (2.0 * (1.0 + re) / re + 2.0 * fyb * (2.0 + re) * d * d / (3.0 * fem * ls * ls)).sqrt();
    [
        d * lm * fem,
        d * ls * fes,
        k1 * d * ls * fes,
        k2 * d * lm * fem / (1.0 + 2.0 * re),
        k3 * d * ls * fem / (2.0 + re),
        d * d * (2.0 * fem * fyb / (3.0 * (1.0 + re))).sqrt(),
    ]
}

proptest! {
    #[test]
    fn the_general_equations_are_the_printed_modes_where_faces_touch(
        diameter in 2.5..25.0_f64,
        lengths in (5.0..200.0_f64, 3.0..100.0_f64),
        gravities in (0.31..0.73_f64, 0.31..0.73_f64),
        angles in (0.0..=90.0_f64, 0.0..=90.0_f64),
    ) {
        let bolt = value(dowel::Dowel::bolt(diameter));
        let (main, side) = (wood(gravities.0, angles.0), wood(gravities.1, angles.1));
        let single = joint(bolt, member(lengths.0 / 25.4, main), member(lengths.1 / 25.4, side));
        let (fem, fes) = (value(main.bearing(diameter)), value(side.bearing(diameter)));
        let wanted = printed(diameter, (lengths.0, fem), (lengths.1, fes), bolt.bending_yield);
        let found = value(dowel::yield_modes(&single)).modes;
        prop_assert_eq!(found.len(), wanted.len());
        for (mode, wanted) in found.iter().zip(wanted) {
            prop_assert!((mode.yields_at / wanted - 1.0).abs() < 1e-9, "{:?} {wanted}", mode);
            prop_assert!((mode.value * mode.reduction / mode.yields_at - 1.0).abs() < 1e-12);
        }
        let double = value(dowel::yield_modes(&Joint { shear: Shear::Double, ..single })).modes;
        let wanted = [wanted[0], 2.0 * wanted[1], 2.0 * wanted[4], 2.0 * wanted[5]];
        prop_assert_eq!(double.len(), wanted.len());
        for (mode, wanted) in double.iter().zip(wanted) {
            prop_assert!((mode.yields_at / wanted - 1.0).abs() < 1e-9);
        }
    }
}
