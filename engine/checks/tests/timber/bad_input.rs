//! What cannot be worked with is told, and gives no number.

use crate::sample::*;
use slatwork_base::{Angle, Outcome};
use slatwork_checks::statics::beam::{self, Section};
use slatwork_checks::statics::dowel::{self, Dowel, Joint, Material, Penetration};
use slatwork_checks::statics::group::{self, Bore, Fastener, Load};
use slatwork_checks::statics::units::INCH;
use slatwork_checks::statics::withdrawal::{self, Grain, Puller, Together};
use slatwork_checks::statics::wood::{self, Nominal, Reference};
use slatwork_checks::statics::{moisture, weight};

/// The codes of an outcome without a value.
#[track_caller]
fn refused<T: core::fmt::Debug>(outcome: Outcome<T>) -> Vec<&'static str> {
    assert!(outcome.value.is_none(), "{:?}", outcome.value);
    outcome.diagnostics.iter().filter(|trouble| trouble.is_error()).map(|trouble| trouble.code).collect()
}

const SILLY: [f64; 6] = [0.0, -1.0, f64::NAN, f64::INFINITY, f64::NEG_INFINITY, 1e300];

#[test]
fn no_silly_size_gives_a_number() {
    let fir = wood(0.5, 0.0);
    for silly in SILLY {
        assert!(!refused(Dowel::bolt(silly)).is_empty());
        assert!(!refused(fir.bearing(silly)).is_empty());
        assert!(!refused(wood(silly, 0.0).bearing(5.0)).is_empty());
        assert!(!refused(Material::Steel { strength: silly }.bearing(5.0)).is_empty());
        assert!(
            !refused(dowel::yield_modes(&joint(bolt(0.5), member(1.5, fir), member(silly, fir)))).is_empty()
        );
        assert!(!refused(withdrawal::pull_out(Puller::LagScrew, 6.0, 0.5, silly, Grain::Side)).is_empty());
        assert!(!refused(withdrawal::per_length(Puller::LagScrew, 6.0, silly)).is_empty());
        assert!(!refused(withdrawal::head_pull_through(silly, 0.5, 10.0)).is_empty());
        assert!(!refused(withdrawal::combined(Together::Nail, silly, 1.0, Angle::deg(10.0))).is_empty());
        assert!(!refused(group::slip_modulus((silly, 400.0), 5.0, Bore::Driven)).is_empty());
        assert!(!refused(beam::column_stability(silly, 1000.0, 10.0, 4000.0)).is_empty());
        let section = Section { breadth: silly, depth: 100.0 };
        assert!(!refused(beam::beam_stability(&section, 1000.0, 10.0, 4000.0)).is_empty());
        assert!(
            !refused(wood::size_factors(wood::Grading::Numbered, Nominal { thickness: 50.0, width: silly }))
                .is_empty()
        );
        assert!(!refused(weight::gravity_at(silly, 12.0)).is_empty());
        assert!(!refused(moisture::coefficient(silly, 30.0)).is_empty());
    }
}

#[test]
fn every_missing_strength_is_told_at_once() {
    let troubles = refused(wood::adjust(
        &Reference::psi([0.0; 7]),
        &wood::Conditions::plain(Nominal { thickness: 50.0, width: 100.0 }),
    ));
    assert_eq!(troubles, ["not-greater-than-zero"; 7]);
}

#[test]
fn heavier_than_the_cell_wall_is_no_wood_and_heavy_wood_is_an_estimate() {
    assert_eq!(refused(wood(1.6, 0.0).bearing(5.0)), ["outside-what-is-known"]);
    let ipe = wood(0.92, 0.0).bearing(5.0);
    assert_eq!(ipe.diagnostics[0].code, "beyond-the-tables");
    assert!(ipe.value.is_some());
}

#[test]
fn too_short_a_hold_counts_for_nothing() {
    let (screw, fir) = (wood_screw(8), wood(0.5, 0.0));
    let joint = joint(screw, member(1.5, fir), member(0.75, fir));
    let least = dowel::least_penetration(&screw);
    near(least, 6.0 * 0.164 * INCH, 1e-12);
    let short = dowel::lateral(&joint, Penetration::ending_in(&screw, least - 0.01));
    assert_eq!(refused(short), ["too-little-penetration"]);
    assert!(dowel::lateral(&joint, Penetration::ending_in(&screw, least)).value.is_some());
    let past = dowel::lateral(&joint, Penetration::of(&screw, 10.0, 20.0, 0.0, 40.0));
    assert_eq!(refused(past), ["not-greater-than-zero", "too-little-penetration"]);
    // A lag's limit leaves the tip out.
    let lag = lag(0.25, 0.173);
    let joint = Joint { dowel: lag, ..joint };
    let at = |total| dowel::lateral(&joint, Penetration::ending_in(&lag, total));
    assert_eq!(refused(at(4.0 * lag.diameter)), ["too-little-penetration"]);
    assert!(at(4.0 * lag.diameter + lag.tip).value.is_some());
}

#[test]
fn screws_and_nails_are_not_pulled_from_end_grain() {
    for puller in [Puller::WoodScrew, Puller::SmoothNail, Puller::RingNail] {
        let pulled = withdrawal::pull_out(puller, 4.0, 0.5, 30.0, Grain::End);
        assert_eq!(refused(pulled), ["end-grain-carries-load"]);
    }
}

#[test]
fn angles_beyond_a_right_angle_are_refused() {
    assert_eq!(refused(wood(0.5, 91.0).bearing(10.0)), ["outside-what-is-known"]);
    assert_eq!(refused(wood(0.5, f64::NAN).bearing(10.0)), ["not-a-figure"]);
    let z = withdrawal::combined(Together::Screw, 1.0, 1.0, Angle::deg(-1.0));
    assert_eq!(refused(z), ["outside-what-is-known"]);
}

#[test]
fn no_fasteners_share_no_load() {
    let load = Load { force: [1.0, 0.0], at: [0.0, 0.0], moment: 0.0 };
    assert_eq!(refused(group::share(&[], &load)), ["not-greater-than-zero"]);
    let soft = [Fastener { at: [0.0, 0.0], stiffness: 0.0 }];
    assert_eq!(refused(group::stiffness(&soft)), ["not-greater-than-zero"]);
}

#[test]
fn air_has_its_limits() {
    assert_eq!(refused(moisture::equilibrium(1.2, 20.0)), ["outside-what-is-known"]);
    assert_eq!(refused(moisture::equilibrium(65.0, 20.0)), ["outside-what-is-known"]);
    assert_eq!(moisture::equilibrium(0.5, 60.0).diagnostics[0].code, "beyond-the-tables");
}
