//! Beams and columns.

use crate::sample::*;
use slatwork_base::Angle;
use slatwork_checks::statics::beam::{
    self, Beam, BeamStability, Case, End, Limit, Limits, Moduli, Notch, NotchPlace, Section, Stresses,
};
use slatwork_checks::statics::units::{FOOT, INCH, POUND, POUND_PER_FOOT, PSI};
use slatwork_checks::statics::wood::{self, Conditions, Nominal, Reference, Service};

fn section(breadth: f64, depth: f64) -> Section {
    Section { breadth: breadth * INCH, depth: depth * INCH }
}

/// AWC Solved Examples E1.2a, as an open library tests it (read).
#[test]
fn a_deep_beam_leans_over() {
    let deep = section(3.5, 15.25);
    let length = Case::Centre.effective_length(240.0 * INCH, deep.depth);
    near(length / INCH, 1.37 * 240.0 + 3.0 * 15.25, 1e-9);
    let stable = value(beam::beam_stability(&deep, length, 1500.0 * PSI, 690e3 * PSI));
    near(stable.critical / PSI, 1776.0, 2.0);
    near(stable.factor, 0.876, 0.001);
    let flat = value(beam::beam_stability(&deep.turned(), length, 1500.0 * PSI, 690e3 * PSI));
    assert_eq!(flat, BeamStability::HELD);
}

/// NDS Table 3.3.3 (read in an open library): short and slender.
#[test]
fn effective_lengths() {
    for (case, short, slender) in [
        (Case::Uniform, 2.06 * 60.0, 1.63 * 100.0 + 30.0),
        (Case::Centre, 1.80 * 60.0, 1.37 * 100.0 + 30.0),
        (Case::CantileverUniform, 1.33 * 60.0, 0.90 * 100.0 + 30.0),
        (Case::CantileverEnd, 1.87 * 60.0, 1.44 * 100.0 + 30.0),
        (Case::ThirdPoints, 2.06 * 60.0, 1.63 * 100.0 + 30.0),
    ] {
        near(case.effective_length(60.0, 10.0), short, 1e-9);
        near(case.effective_length(100.0, 10.0), slender, 1e-9);
    }
    near(beam::any_effective_length(150.0, 10.0), 1.84 * 150.0, 1e-9);
}

/// A residential design guide's Example 5.6 and AWC Solved Examples E1.7, as an open library tests them (read).
#[test]
fn columns_buckle() {
    let post = value(beam::column_stability(3.5 * INCH, 7.3 * FOOT, 1150.0 * 1.15 * PSI, 510e3 * PSI));
    near(post.factor, 0.4378, 0.0005);
    let stud = value(beam::column_stability(5.5 * INCH, 108.0 * INCH, 1550.0 * 1.6 * PSI, 580e3 * PSI));
    near(stud.factor, 0.432, 0.001);
    let too_long = beam::column_stability(1.5 * INCH, 108.0 * INCH, 10.0, 4000.0);
    assert_eq!((too_long.value, too_long.diagnostics[0].code), (None, "too-slender"));
}

/// The same stud under 1400 lb and 100 plf of wind (AWC Solved Examples E1.7, read).
#[test]
fn a_column_that_bends() {
    let stud = section(1.5, 5.5);
    let span = 108.0 * INCH;
    let column = value(beam::column_stability(stud.depth, span, 1550.0 * 1.6 * PSI, 580e3 * PSI));
    let moment = Case::Uniform.moment(100.0 * POUND_PER_FOOT * span, span);
    let stress = Stresses {
        compression: 1400.0 * POUND / stud.area(),
        edge: beam::bending_stress(moment, &stud),
        ..Stresses::default()
    };
    let limit = Limits {
        compression: 1550.0 * 1.6 * PSI * column.factor,
        tension: 1.0,
        edge: 1350.0 * 1.6 * PSI,
        edge_held: 1350.0 * 1.6 * PSI,
        flat: 1350.0 * 1.6 * PSI,
        critical_edge: column.critical,
        critical_flat: f64::INFINITY,
        critical_beam: f64::INFINITY,
    };
    let both = value(beam::compression_and_bending(&stress, &limit));
    near(both.share, 0.887, 0.002);
    assert_eq!(both.equation, "3.9-3");
    let crushed = Stresses { compression: 1.01 * column.critical, ..stress };
    let buckles = beam::compression_and_bending(&crushed, &limit);
    assert_eq!((buckles.value, buckles.diagnostics[0].code), (None, "member-buckles"));
}

/// NDS 3.9-1 and -2 by hand: 2/8 + 5/10; nothing pulled, (5 - 0)/9 with CL 0.9 governs.
#[test]
fn a_tie_that_bends() {
    let limit = Limits {
        compression: 1.0,
        tension: 8.0,
        edge: 9.0,
        edge_held: 10.0,
        flat: 10.0,
        critical_edge: f64::INFINITY,
        critical_flat: f64::INFINITY,
        critical_beam: f64::INFINITY,
    };
    let at = |tension| {
        value(beam::tension_and_bending(&Stresses { tension, edge: 5.0, ..Stresses::default() }, &limit))
    };
    near(at(2.0).share, 0.75, 1e-12);
    assert_eq!(at(2.0).equation, "3.9-1");
    near(at(0.0).share, 5.0 / 9.0, 1e-12);
    assert_eq!(at(0.0).equation, "3.9-2");
}

/// A 2x10 of 12 ft under 40 plf that stay and 60 that do not (read in an open structural test), and with creep (NDS Eq 3.5-1).
#[test]
fn a_joist_sags_and_creeps() {
    let joist = section(1.5, 9.25);
    near(joist.inertia() / (INCH * INCH * INCH * INCH), 98.93, 0.01);
    let span = 12.0 * FOOT;
    let sag = |plf: f64| {
        let load = plf * POUND_PER_FOOT * span;
        Case::Uniform.deflection(load, span, &joist, Moduli::rigid_in_shear(1.4e6 * PSI)).0 / INCH
    };
    near(sag(100.0), 0.337, 0.001);
    near(beam::creep(Service::Dry, Service::Dry) * sag(40.0) + sag(60.0), 0.404, 0.001);
    assert_eq!(beam::creep(Service::Wet, Service::Dry), 2.0);
    assert_eq!(beam::creep(Service::Dry, Service::Wet), 2.0);
}

/// Every case against the integral of M m/(E I) + V v/(G A), by strips.
#[test]
fn deflections_are_those_of_virtual_work() {
    const STRIPS: u32 = 20_000;
    let (span, load) = (800.0, 600.0);
    let section = Section { breadth: 60.0, depth: 90.0 };
    let moduli = Moduli::usual(9_000.0);
    for (case, _) in beam::CASES {
        let step = span / f64::from(STRIPS);
        let (mut bends, mut shears) = (0.0, 0.0);
        for strip in 0..STRIPS {
            let x = (f64::from(strip) + 0.5) * step;
            let ((moment, shear), (unit_moment, unit_shear)) = forces(case, x, span, load);
            bends += moment * unit_moment * step / (moduli.elasticity * section.inertia());
            shears += shear * unit_shear * step / (moduli.shear * section.area() * 5.0 / 6.0);
        }
        let found = case.deflection(load, span, &section, moduli);
        near(found.0 / bends, 1.0, 1e-5);
        near(found.1 / shears, 1.0, 1e-3);
    }
}

/// Moment and shear at x of the load, and of a unit load where the deflection is greatest.
fn forces(case: Case, x: f64, span: f64, load: f64) -> ((f64, f64), (f64, f64)) {
    let mirrored = x.min(span - x);
    let sign = if x < span / 2.0 { 1.0 } else { -1.0 };
    let supported = (mirrored / 2.0, sign * 0.5);
    // From the free end of a cantilever.
    let out = span - x;
    match case {
        Case::Uniform => ((load * x / 2.0 * (1.0 - x / span), load * (0.5 - x / span)), supported),
        Case::Centre => ((load * mirrored / 2.0, sign * load / 2.0), supported),
        Case::ThirdPoints if mirrored < span / 3.0 => ((load / 2.0 * mirrored, sign * load / 2.0), supported),
        Case::ThirdPoints => ((load * span / 6.0, 0.0), supported),
        Case::CantileverUniform => ((load * out * out / span / 2.0, load * out / span), (out, 1.0)),
        Case::CantileverEnd => ((load * out, load), (out, 1.0)),
    }
}

/// NDS 3.4.3.2 and 3.4.3.3 by hand on 38 by 140 mm, Fv' 1.2 MPa: 4256 N whole; notched by a quarter 0.75 cubed of it.
#[test]
fn notches_and_hangers_cost_shear() {
    let rail = Section { breadth: 38.0, depth: 140.0 };
    let capacity = |end| value(beam::shear_capacity(&rail, end, 1.2));
    let whole = capacity(End::Whole);
    near(whole, 4256.0, 1e-9);
    near(capacity(End::Notched { left: 105.0 }) / whole, 0.421_875, 1e-12);
    near(capacity(End::Fastened { effective: 105.0, from_end: 100.0 }) / whole, 0.421_875, 1e-12);
    near(capacity(End::Fastened { effective: 105.0, from_end: 700.0 }) / whole, 0.75, 1e-12);
    near(beam::shear_stress(whole, &rail), 1.2, 1e-12);
    assert_eq!(beam::shear_capacity(&rail, End::Notched { left: 150.0 }, 1.2).value, None);
}

/// NDS 4.4.3 (from memory).
#[test]
fn notches_that_weaken_are_told() {
    let rail = Section { breadth: 38.0, depth: 140.0 };
    let count = |section: &Section, place, depth, length, tension| {
        let found = beam::notch(section, &Notch { place, depth, length, tension });
        found.iter().filter(|trouble| trouble.code == "notch-weakens").count()
    };
    assert_eq!(count(&rail, NotchPlace::End, 35.0, 90.0, true), 0);
    assert_eq!(count(&rail, NotchPlace::End, 36.0, 90.0, true), 1);
    assert_eq!(count(&rail, NotchPlace::OuterThird, 23.0, 46.0, true), 0);
    assert_eq!(count(&rail, NotchPlace::MiddleThird, 30.0, 60.0, false), 3);
    let broad = Section { breadth: 89.0, depth: 140.0 };
    assert_eq!(count(&broad, NotchPlace::OuterThird, 20.0, 40.0, true), 1);
    assert_eq!(
        beam::notch(&rail, &Notch { place: NotchPlace::End, depth: f64::NAN, length: 1.0, tension: true })[0]
            .code,
        "not-a-figure"
    );
}

/// Hankinson's formula at its ends and at 45 degrees, by hand: 2 x 10 x 4/14.
#[test]
fn bearing_between_along_and_across() {
    let at = |degrees| value(beam::bearing_at_angle(10.0, 4.0, Angle::deg(degrees)));
    near(at(0.0), 10.0, 1e-12);
    near(at(90.0), 4.0, 1e-12);
    near(at(45.0), 80.0 / 14.0, 1e-12);
}

/// A square bar: 4.8 T/a3 by the approximation, 4.808 exactly.
#[test]
fn torsion_of_a_square() {
    let square = Section { breadth: 40.0, depth: 40.0 };
    near(value(beam::torsion_stress(50_000.0, &square)), 4.808 * 50_000.0 / 64_000.0, 0.01);
}

/// A slat of stress-rated cedar, flat, 38 by 140 mm over 1.2 m under 800 N in the middle, by hand: M = 240 000 N mm,
/// S = 33 693 mm3, 7.123 MPa.
#[test]
fn a_slat_against_all_its_limits() {
    let cedar = Reference::psi([700.0, 425.0, 155.0, 425.0, 650.0, 1.0e6, 0.37e6]);
    let nominal = Nominal { thickness: 2.0 * INCH, width: 6.0 * INCH };
    let values = value(wood::adjust(&cedar, &Conditions::plain(nominal)));
    let slat = Beam {
        section: Section { breadth: 140.0, depth: 38.0 },
        span: 1200.0,
        case: Case::Centre,
        load: 800.0,
        lasting: 0.0,
        unbraced: 1200.0,
        bearing: 38.0,
        bearing_from_end: 0.0,
        bearing_angle: Angle::deg(90.0),
        end: End::Whole,
        allowed_deflection: 1.0 / 120.0,
        creep: 2.0,
    };
    let result = value(beam::beam(&slat, &values));
    let of = |limit| *result.verdicts.iter().find(|verdict| verdict.limit == limit).unwrap();
    near(of(Limit::Bending).demand, 7.123, 0.001);
    near(of(Limit::Bending).capacity, 700.0 * PSI, 1e-9);
    near(of(Limit::Shear).demand, 400.0, 1e-9);
    near(of(Limit::Bearing).demand, 400.0 / (140.0 * 38.0), 1e-12);
    near(of(Limit::Deflection).capacity, 10.0, 1e-12);
    assert_eq!(result.governing.limit, Limit::Bending);
    assert_eq!(result.bearing_factor, 1.0);
    let laden = Beam { lasting: 800.0, ..slat };
    let crept = value(beam::beam(&laden, &values));
    near(crept.verdicts[3].demand / result.verdicts[3].demand, 2.0, 1e-12);
}

/// Spans of the closed forms turn back into the stress and deflection they were made from.
#[test]
fn spans_by_bending_and_by_deflection() {
    let joist = section(1.5, 7.25);
    let load = 60.0 * POUND_PER_FOOT;
    let span = value(beam::span_by_bending(&joist, load, 1000.0 * PSI));
    near(beam::bending_stress(Case::Uniform.moment(load * span, span), &joist) / PSI, 1000.0, 1e-9);
    let span = value(beam::span_by_deflection(&joist, load, 1.4e6 * PSI, 360.0));
    let sag = Case::Uniform.deflection(load * span, span, &joist, Moduli::rigid_in_shear(1.4e6 * PSI)).0;
    near(span / sag, 360.0, 1e-9);
}

/// Floor joists of Douglas Fir-Larch, 16 in apart, 40 psf that move and 10 that stay, in/360, as the prescriptive table of the
/// International Residential Code prints them (Table R502.3.1(2), from memory, reproduced to the inch): Select Structural and No.2.
#[test]
fn spans_of_a_published_table() {
    let (live, all) = (40.0 * 16.0 / 12.0 * POUND_PER_FOOT, 50.0 * 16.0 / 12.0 * POUND_PER_FOOT);
    let span = |depth: f64, psi: f64, elasticity: f64| {
        let joist = section(1.5, depth);
        let nominal = Nominal { thickness: 2.0 * INCH, width: depth.ceil() * INCH };
        let reference = Reference::psi([psi, 1.0, 1.0, 1.0, 1.0, elasticity, 1.0]);
        let conditions = Conditions {
            grading: wood::Grading::Numbered,
            ways: wood::Ways { repetitive: true, ..wood::Ways::default() },
            ..Conditions::plain(nominal)
        };
        let values = value(wood::adjust(&reference, &conditions));
        let bends = value(beam::span_by_bending(&joist, all, values.bending.value()));
        let sags = value(beam::span_by_deflection(&joist, live, values.elasticity.value(), 360.0));
        bends.min(sags) / INCH
    };
    for (depth, select, second) in
        [(5.5, (10.0, 4.0), (9.0, 9.0)), (7.25, (13.0, 7.0), (12.0, 9.0)), (9.25, (17.0, 4.0), (15.0, 7.0))]
    {
        near(span(depth, 1500.0, 1.9e6), 12.0 * select.0 + select.1, 0.6);
        near(span(depth, 900.0, 1.6e6), 12.0 * second.0 + second.1, 0.6);
    }
}
