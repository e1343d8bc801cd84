//! Lateral and withdrawal design values of NDS-2018.

use crate::sample::*;
use slatwork_base::Angle;
use slatwork_checks::statics::dowel::{
    self, A36, A653_GRADE_33, Bearing, Freedom, Joint, Material, Mode, Penetration, Shear, Wetness,
};
use slatwork_checks::statics::units::{INCH, POUND, POUND_PER_INCH};
use slatwork_checks::statics::withdrawal::{self, Grain, Puller, Together};
use slatwork_checks::statics::wood::{Duration, Service};

/// NDS Table 12L, p. 109 (transcription).
#[test]
fn wood_screws_in_wood() {
    let fir = wood(0.50, 0.0);
    near(tabled(wood_screw(10), fir, member(0.5, fir)), 90.0, 1.0);
    near(tabled(wood_screw(8), fir, member(0.5, fir)), 73.0, 1.0);
    near(tabled(wood_screw(14), fir, member(0.5, fir)), 120.0, 1.0);
    near(tabled(wood_screw(10), fir, member(1.5, fir)), 117.0, 1.0);
}

/// NDS Table 12M, p. 110 (transcription): 16 gauge.
#[test]
fn wood_screws_through_steel() {
    let steel = Material::Steel { strength: A653_GRADE_33 };
    near(tabled(wood_screw(10), wood(0.50, 0.0), member(0.060, steel)), 116.0, 1.0);
}

/// NDS Tables 12N, p. 111, and 12P, p. 112 (transcription): 16d, 8d and 10d common nails.
#[test]
fn nails() {
    let (fir, pine) = (wood(0.50, 0.0), wood(0.55, 0.0));
    near(tabled(nail(0.162), fir, member(0.75, fir)), 121.0, 1.0);
    near(tabled(nail(0.131), fir, member(1.0, fir)), 97.0, 1.0);
    near(tabled(nail(0.148), pine, member(1.5, pine)), 128.0, 1.0);
    let steel = Material::Steel { strength: A653_GRADE_33 };
    near(tabled(nail(0.162), fir, member(0.060, steel)), 138.0, 1.0);
}

/// AWC Structural Wood Design Solved Examples, nail example, as an open library tests it (read): 467.488 N.
#[test]
fn a_nail_through_a_thin_side() {
    let (nail, fir) = (nail(0.148), wood(0.50, 0.0));
    let penetration = Penetration::of(&nail, 3.0 * INCH, 0.75 * INCH, 0.0, 2.5 * INCH);
    near(penetration.total, 2.25 * INCH, 1e-9);
    let joint = joint(nail, member(2.5, fir), member(0.75, fir));
    near(value(dowel::lateral(&joint, penetration)).value / POUND, 105.1, 0.7);
}

/// NDS Table 12A, p. 94 and 95 (transcription).
#[test]
fn bolts_in_single_shear_at_any_angle() {
    let fir = |degrees| member(1.5, wood(0.50, degrees));
    let half = |main, side| z(&joint(bolt(0.5), main, side));
    near(half(fir(0.0), fir(0.0)), 480.0, 5.0);
    near(half(fir(0.0), fir(90.0)), 300.0, 5.0);
    near(half(fir(90.0), fir(0.0)), 300.0, 5.0);
    near(half(fir(90.0), fir(90.0)), 220.0, 5.0);
    let spruce = member(1.5, wood(0.42, 0.0));
    near(half(spruce, spruce), 410.0, 5.0);
    let post = member(3.5, wood(0.50, 0.0));
    near(z(&joint(bolt(0.75), post, fir(0.0))), 1200.0, 5.0);
    let across = joint(bolt(0.75), post, fir(90.0));
    near(z(&across), 590.0, 5.01);
    assert_eq!(value(dowel::yield_modes(&across)).governing.mode, Mode::Is);
}

/// NDS Table 12B, p. 96 (transcription): a 1/4 in plate.
#[test]
fn a_bolt_through_a_plate() {
    let plate = member(0.25, Material::Steel { strength: A36 });
    near(z(&joint(bolt(0.5), member(1.5, wood(0.50, 0.0)), plate)), 580.0, 5.0);
}

/// NDS Table 12F, p. 100 (transcription).
#[test]
fn bolts_in_double_shear() {
    let fir = |degrees| member(1.5, wood(0.50, degrees));
    let double = |main| Joint { shear: Shear::Double, ..joint(bolt(0.5), main, fir(0.0)) };
    near(z(&double(fir(0.0))), 1050.0, 5.0);
    assert_eq!(value(dowel::yield_modes(&double(fir(0.0)))).governing.mode, Mode::Im);
    near(z(&double(fir(90.0))), 470.0, 5.0);
}

/// Worked example of all modes in an open structural-calculator specification (read): Fe 5600 psi is G 0.50.
#[test]
fn every_mode_of_a_bolt() {
    let fir = wood(0.50, 0.0);
    let modes = value(dowel::yield_modes(&joint(bolt(0.5), member(3.5, fir), member(1.5, fir)))).modes;
    let wanted = [
        (Mode::Im, 2450.0),
        (Mode::Is, 1050.0),
        (Mode::II, 913.0),
        (Mode::IIIm, 1103.0),
        (Mode::IIIs, 615.0),
        (Mode::IV, 716.0),
    ];
    assert_eq!(modes.len(), wanted.len());
    for (found, (mode, pounds)) in modes.iter().zip(wanted) {
        assert_eq!(found.mode, mode);
        near(found.value / POUND, pounds, 1.0);
    }
}

/// NDS Table 12J, p. 106 (transcription), and Table 12K, p. 106 to 108 (scan).
#[test]
fn lag_screws() {
    let fir = |degrees| wood(0.50, degrees);
    near(tabled(lag(0.25, 0.173), fir(0.0), member(0.5, fir(0.0))), 120.0, 5.0);
    near(tabled(lag(0.25, 0.173), fir(90.0), member(0.5, fir(90.0))), 80.0, 5.0);
    near(tabled(lag(0.5, 0.371), fir(0.0), member(1.5, fir(0.0))), 390.0, 5.0);
    let sheet = |inches| member(inches, Material::Steel { strength: A653_GRADE_33 });
    near(tabled(lag(0.3125, 0.227), wood(0.36, 0.0), sheet(0.105)), 170.0, 5.0);
    near(tabled(lag(0.3125, 0.227), wood(0.36, 90.0), sheet(0.105)), 110.0, 5.0);
    near(tabled(lag(0.375, 0.265), wood(0.67, 0.0), sheet(0.075)), 220.0, 5.0);
}

/// W in lb/in.
fn w(puller: Puller, inches: f64, gravity: f64) -> f64 {
    value(withdrawal::per_length(puller, inches * INCH, gravity)) / POUND_PER_INCH
}

/// NDS Tables 12.2A, p. 77 (scan), 12.2B and 12.2C, p. 78 and 79 (transcription).
#[test]
fn withdrawal_per_inch() {
    near(w(Puller::LagScrew, 0.375, 0.42), 235.0, 0.5);
    near(w(Puller::LagScrew, 0.25, 0.36), 137.0, 0.5);
    near(w(Puller::LagScrew, 0.3125, 0.67), 413.0, 0.5);
    near(w(Puller::WoodScrew, 0.190, 0.50), 135.0, 0.5);
    near(w(Puller::WoodScrew, 0.242, 0.55), 208.0, 1.0);
    near(w(Puller::SmoothNail, 0.131, 0.50), 32.0, 0.5);
    near(w(Puller::SmoothNail, 0.162, 0.42), 26.0, 0.5);
}

/// AWC Solved Examples E2.1a and E2.3, as an open library tests them (read).
#[test]
fn withdrawal_of_whole_fasteners() {
    let nail = nail(0.131);
    let penetration = Penetration::of(&nail, 2.5 * INCH, 0.105 * INCH, 0.0, 100.0);
    let length = withdrawal::thread_in(Puller::SmoothNail, 2.5 * INCH, penetration);
    let pull = withdrawal::pull_out(Puller::SmoothNail, nail.diameter, 0.42, length, Grain::Side);
    near(value(pull).value() / POUND, 49.5, 0.1);
    let lag = lag(0.5, 0.371);
    let penetration = Penetration::of(&lag, 4.0 * INCH, 1.5 * INCH, 0.0, 100.0);
    let length = withdrawal::thread_in(Puller::LagScrew, withdrawal::lag_thread(4.0 * INCH), penetration);
    near(length, 2.1875 * INCH, 1e-9);
    let pull = value(withdrawal::pull_out(Puller::LagScrew, lag.diameter, 0.55, length, Grain::Side));
    near(pull.value() / POUND, 955.0, 1.0);
    let end = value(withdrawal::pull_out(Puller::LagScrew, lag.diameter, 0.55, length, Grain::End));
    near(end.value() / pull.value(), 0.75, 1e-12);
    assert_eq!((end.reference, end.factors[0].symbol), (pull.reference, "Ceg"));
}

/// NDS Table 12.2F, p. 82 (transcription), either side of 2.5 head diameters.
#[test]
fn heads_pulled_through() {
    let through = |head: f64, thickness: f64| {
        value(withdrawal::head_pull_through(head * INCH, 0.50, thickness * INCH)) / POUND
    };
    near(through(0.234, 5.0 / 16.0), 40.0, 0.5);
    near(through(0.312, 1.0), 132.0, 0.5);
    near(through(0.312, 1.5), through(0.312, 1.0), 1e-9);
}

/// A #8 flat head by hand: (0.312 - 0.164)/2/tan 41 = 0.0851 in.
#[test]
fn flat_heads_take_wood_away() {
    near(withdrawal::flat_head_height(0.312 * INCH, 0.164 * INCH) / INCH, 0.0851, 1e-4);
    assert_eq!(withdrawal::flat_head_height(3.0, 4.0), 0.0);
}

/// NDS Eq 12.4-1 and 12.4-2, worked in an open structural specification (read).
#[test]
fn shear_and_pull_together() {
    let pounds = |value: f64| value * POUND;
    let at = withdrawal::combined(Together::Screw, pounds(400.0), pounds(756.8), Angle::deg(45.0));
    near(value(at) / POUND, 523.4, 0.1);
    let used = |together| value(withdrawal::utilisation(together, (50.0, 50.0), (100.0, 100.0)));
    near(used(Together::Screw), 0.5_f64.sqrt(), 0.0005);
    near(used(Together::Nail), 1.0, 0.0005);
    near(value(withdrawal::utilisation(Together::Screw, (0.0, 0.0), (1.0, 1.0))), 0.0, 0.0);
}

/// Wood Handbook Eq 8-10 in SI (read) against its form in customary units, 15 700 G2 D L (from memory).
#[test]
fn ultimate_withdrawal_is_far_above_the_design_value() {
    let (diameter, length) = (0.190 * INCH, 25.4);
    let ultimate = value(withdrawal::ultimate(Puller::WoodScrew, diameter, 0.50, length)).unwrap();
    near(ultimate, 3317.3, 10.0);
    let design = value(withdrawal::pull_out(Puller::WoodScrew, diameter, 0.50, length, Grain::Side));
    near(ultimate / design.value(), 15_700.0 / 2_850.0, 0.02);
    assert_eq!(value(withdrawal::ultimate(Puller::StainlessNail, 3.0, 0.5, 20.0)), None);
}

/// A screw through a cedar slat into a cedar rail, computed throughout (NDS 12.3, Table 12L note 3, Table 11.3.3, Eq 12.2-2; no
/// outside value): the lower of equation and table counts.
#[test]
fn a_slat_screw_from_end_to_end() {
    let (screw, cedar) = (wood_screw(8), wood(0.36, 0.0));
    let penetration = Penetration::of(&screw, 2.0 * INCH, 0.75 * INCH, 0.0, 1.5 * INCH);
    let joint = joint(screw, member(1.5, cedar), member(0.75, cedar));
    let lateral = value(dowel::lateral(&joint, penetration));
    near(lateral.direct.governing.value / POUND, 56.2, 0.1);
    near(lateral.value / POUND, 42.8, 0.1);
    let wet = Wetness { made: Service::Dry, used: Service::Wet };
    let factor = Duration::TenYears.connection_factor().value
        * dowel::wet_service(wet, screw.diameter, Freedom::Free).value;
    near(lateral.direct.governing.value / POUND * factor, 39.3, 0.1);
    let thread = withdrawal::wood_screw_thread(2.0 * INCH, screw.diameter);
    near(thread, 2.0 * 2.0 * INCH / 3.0, 1e-9);
    let length = withdrawal::thread_in(Puller::WoodScrew, thread, penetration);
    let pull = value(withdrawal::pull_out(Puller::WoodScrew, screw.diameter, 0.36, length, Grain::Side));
    near(pull.value() / POUND * withdrawal::wet_service(Puller::WoodScrew, wet).value, 53.0, 0.1);
}

/// General dowel equations: nothing between the faces, and a washer of 1/8 in (computed; no outside value).
#[test]
fn a_gap_in_the_shear_plane_weakens() {
    let fir = wood(0.50, 0.0);
    let touching = joint(wood_screw(10), member(1.71, fir), member(0.75, fir));
    let close = value(dowel::yield_modes(&touching)).governing;
    near(close.value / POUND, 106.55, 0.1);
    assert_eq!(close.mode, Mode::IIIs);
    let apart = Joint { gap: INCH / 8.0, ..touching };
    near(z(&apart), 92.76, 0.1);
}

/// A screw that comes out at the back holds by what is in the wood.
#[test]
fn what_comes_out_at_the_back_holds_nothing() {
    let screw = wood_screw(8);
    let penetration = Penetration::of(&screw, 60.0, 20.0, 0.0, 30.0);
    assert_eq!((penetration.total, penetration.beyond, penetration.tip), (30.0, 10.0, 0.0));
    assert_eq!(penetration.bearing_length(), 30.0);
    near(withdrawal::thread_in(Puller::WoodScrew, 25.0, penetration), 15.0, 1e-12);
    let short = Penetration::of(&screw, 10.0, 20.0, 0.0, 30.0);
    assert_eq!((short.total, short.tip), (0.0, 0.0));
}

/// A lag in end grain bears as across the grain (NDS 12.3.3.4), a thin screw as everywhere.
#[test]
fn end_grain_bears_as_across() {
    let end = Material::EndGrain { gravity: 0.50 };
    let across = wood(0.50, 90.0);
    let fe = |material: Material, diameter: f64| value(material.bearing(diameter * INCH));
    assert_eq!(fe(end, 0.375), fe(across, 0.375));
    assert_eq!(fe(end, 0.19), fe(wood(0.50, 0.0), 0.19));
    assert_eq!(dowel::end_grain(&end).value, 0.67);
    assert_eq!(dowel::end_grain(&across).value, 1.0);
    let turned =
        |main| z(&joint(lag(0.375, 0.265), Bearing { length: 80.0, material: main }, member(1.5, across)));
    near(turned(end), turned(across), 1e-9);
}

/// NDS Table 11.3.3, p. 67 (transcription).
#[test]
fn wet_service_of_connections() {
    let wetness = |made, used| Wetness { made, used };
    let (dry, wet) = (Service::Dry, Service::Wet);
    let lateral = |made, used, inches: f64, freedom| {
        dowel::wet_service(wetness(made, used), inches * INCH, freedom).value
    };
    assert_eq!(lateral(dry, dry, 0.5, Freedom::Held), 1.0);
    assert_eq!(lateral(wet, dry, 0.5, Freedom::Held), 0.4);
    assert_eq!(lateral(wet, dry, 0.2, Freedom::Held), 0.7);
    assert_eq!(lateral(wet, dry, 0.5, Freedom::Free), 1.0);
    assert_eq!(lateral(wet, wet, 0.5, Freedom::Free), 0.7);
    let pulled = |puller, made, used| withdrawal::wet_service(puller, wetness(made, used)).value;
    assert_eq!(pulled(Puller::WoodScrew, dry, wet), 0.7);
    assert_eq!(pulled(Puller::LagScrew, wet, dry), 1.0);
    assert_eq!(pulled(Puller::SmoothNail, dry, wet), 0.25);
    assert_eq!(pulled(Puller::SmoothNail, wet, dry), 0.25);
    assert_eq!(pulled(Puller::SmoothNail, wet, wet), 1.0);
    assert_eq!(pulled(Puller::RingNail, dry, wet), 1.0);
    assert_eq!(withdrawal::head_wet_service(wetness(dry, wet)).value, 0.7);
}

/// NDS Appendix Table I1, p. 175 (transcription), at the ends of its bands.
#[test]
fn bending_yield_by_diameter() {
    let psi = |kind, inches: f64| {
        (value(dowel::bending_yield(kind, inches * INCH)) / slatwork_checks::statics::units::PSI).round()
    };
    for (inches, wanted) in [
        (0.099, 1e5),
        (0.142, 1e5),
        (0.148, 9e4),
        (0.177, 9e4),
        (0.19, 8e4),
        (0.25, 7e4),
        (0.3125, 6e4),
        (0.375, 4.5e4),
    ] {
        assert_eq!(psi(dowel::Kind::LagScrew, inches), wanted, "{inches}");
    }
    assert_eq!(psi(dowel::Kind::Bolt, 0.25), 45_000.0);
}

/// NDS 12.1.6.3 and 12.5.4: a 16d toe-nail through 1-1/2 in, by hand: L/3 = 1.1667 in, 3.5 cos 30 - 1.1667 = 1.8644 in.
#[test]
fn a_toe_nail_bears_in_both() {
    let toe = value(dowel::toe_nail(3.5 * INCH, 1.5 * INCH));
    near(toe.side / INCH, 1.1667, 1e-4);
    near(toe.main / INCH, 1.8644, 1e-4);
    near(value(dowel::toe_nail(3.5 * INCH, 0.75 * INCH)).side / INCH, 0.75, 1e-12);
}
