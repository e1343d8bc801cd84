//! Fasteners that act together.

use crate::sample::*;
use slatwork_base::Diagnostic;
use slatwork_checks::statics::group::{
    self, Bore, Distances, Fastener, GrainLoad, Load, Placing, Row, SideMember, TearOut,
};
use slatwork_checks::statics::units::{INCH, PSI};

/// E A in N of an elasticity in psi and an area in square inches.
fn stiff(psi: f64, square_inches: f64) -> f64 {
    psi * PSI * square_inches * INCH * INCH
}

/// NDS Tables 11.3.6A, p. 70, and 11.3.6C, p. 71 (transcription).
#[test]
fn a_row_carries_less_than_its_sum() {
    let wooden = Row {
        count: 4,
        spacing: 4.0 * INCH,
        diameter: INCH,
        main: stiff(1.4e6, 12.0),
        sides: stiff(1.4e6, 12.0),
        side: SideMember::Wood,
    };
    near(value(group::group_action(&wooden)), 0.96, 0.005);
    let steel = Row {
        count: 6,
        main: stiff(1.4e6, 5.0),
        sides: stiff(30e6, 5.0 / 12.0),
        side: SideMember::Steel,
        ..wooden
    };
    near(value(group::group_action(&steel)), 0.62, 0.005);
    assert_eq!(value(group::group_action(&Row { count: 1, ..steel })), 1.0);
    assert_eq!(value(group::group_action(&Row { diameter: 5.0, ..steel })), 1.0);
}

/// A square of four, 60 mm apart, with a load 200 mm beside its centre, by hand: V/4 on each, M = 100 000 N mm, r = 42.426 mm,
/// M r/sum r2 = 589.3 N across the diagonal; nearest the load 125 + 416.67 down and 416.67 across.
#[test]
fn an_eccentric_load_on_four_screws() {
    let corners = [[0.0, 0.0], [60.0, 0.0], [60.0, 60.0], [0.0, 60.0]];
    let screws = corners.map(|at| Fastener { at, stiffness: 2005.0 });
    let load = Load { force: [0.0, -500.0], at: [230.0, 30.0], moment: 0.0 };
    let shared = value(group::share(&screws, &load));
    assert_eq!(shared.stiffness.centre, [30.0, 30.0]);
    near(shared.forces[1][0], -416.667, 0.001);
    near(shared.forces[1][1], -125.0 - 416.667, 0.001);
    near(shared.greatest, 683.4, 0.1);
    assert!([1, 2].contains(&shared.governing), "the two near the load");
    near(shared.turn, -100_000.0 / (2005.0 * 7200.0), 1e-12);
    near(shared.slip[1], -500.0 / 8020.0, 1e-12);
}

/// Figures derived in the study of joint stiffness: rho 450 kg/m3, two #10 screws 60 mm apart 3600 N m/rad, four on a square of 60 mm
/// 14 400, two bolts of 7.94 mm 90 mm apart 13 300.
#[test]
fn stiffness_of_usual_groups() {
    let modulus = |diameter| value(group::slip_modulus((450.0, 450.0), diameter, Bore::Drilled));
    near(modulus(4.17), 1731.0, 1.0);
    near(modulus(4.83), 2005.0, 1.0);
    near(modulus(9.53), 3955.0, 1.0);
    let turning = |stiffness, places: &[[f64; 2]]| {
        let all: Vec<Fastener> = places.iter().map(|at| Fastener { at: *at, stiffness }).collect();
        value(group::stiffness(&all)).turning / 1e3
    };
    near(turning(modulus(4.83), &[[0.0, 0.0], [60.0, 0.0]]), 3600.0, 20.0);
    near(turning(modulus(4.83), &[[0.0, 0.0], [60.0, 0.0], [0.0, 60.0], [60.0, 60.0]]), 14_400.0, 60.0);
    near(turning(modulus(7.94), &[[0.0, 0.0], [0.0, 90.0]]), 13_300.0, 60.0);
    // Two woods: the geometric mean.
    let mixed = value(group::slip_modulus((400.0, 900.0), 5.0, Bore::Drilled));
    near(mixed, value(group::slip_modulus((600.0, 600.0), 5.0, Bore::Drilled)), 1e-9);
    // Driven, 3 mm at 450 kg/m3, by hand: 9545.9 x 2.4082/30.
    near(value(group::slip_modulus((450.0, 450.0), 3.0, Bore::Driven)), 766.3, 0.2);
    // 3940 N/mm at 1/4 in, read second-hand.
    near(group::load_over_slip(0.25 * INCH, SideMember::Wood), 3940.0, 2.0);
}

#[test]
fn one_fastener_takes_no_moment() {
    let one = [Fastener { at: [10.0, 10.0], stiffness: 1000.0 }];
    let through = Load { force: [300.0, 400.0], at: [10.0, 10.0], moment: 0.0 };
    near(value(group::share(&one, &through)).greatest, 500.0, 1e-9);
    let beside = group::share(&one, &Load { at: [20.0, 10.0], ..through });
    let codes: Vec<&str> = beside.diagnostics.iter().map(|trouble: &Diagnostic| trouble.code).collect();
    assert_eq!((beside.value, codes), (None, vec!["joint-is-a-pivot"]));
}

/// NDS Tables 12.5.1A to C (read): a 1/2 in bolt 3 in from an end of 3-1/2 to be full, 1-3/4 at least, in softwood in tension.
#[test]
fn distances_short_of_full_cost_strength() {
    let geometry = |hardwood, load, end: f64| {
        let distances = Distances { end: Some(end * INCH), in_row: Some(2.0 * INCH), ..Distances::default() };
        group::geometry(&Placing { diameter: 0.5 * INCH, hardwood, load, slenderness: 3.0 }, &distances)
    };
    near(value(geometry(false, GrainLoad::Towards, 3.0)).factor, 3.0 / 3.5, 1e-12);
    near(value(geometry(true, GrainLoad::Towards, 3.0)).factor, 1.0, 1e-12);
    near(value(geometry(false, GrainLoad::Away, 1.0)).factor, 0.5, 1e-12);
    near(value(geometry(false, GrainLoad::Across, 1.0)).factor, 0.5, 1e-12);
    near(value(geometry(false, GrainLoad::Towards, 1.75)).factor, 0.5, 1e-12);
    let near_end = geometry(false, GrainLoad::Towards, 1.5);
    assert_eq!((near_end.value, near_end.diagnostics[0].code), (None, "distance-too-small"));
    let thin = Placing { diameter: 4.0, hardwood: false, load: GrainLoad::Towards, slenderness: 3.0 };
    let close = Distances { end: Some(5.0), ..Distances::default() };
    near(value(group::geometry(&thin, &close)).factor, 1.0, 0.0);
}

/// NDS Table 12.5.1C (read): a loaded edge 4 D off is full, one that is not from 1-1/2 D on; nearer there is no value. By the
/// project's choice between them in proportion, and nearer than 1-1/2 D nothing.
#[test]
fn a_loaded_edge_costs_strength_within_four_diameters() {
    let geometry = |loaded: f64| {
        let placing = Placing { diameter: 10.0, hardwood: true, load: GrainLoad::Across, slenderness: 3.0 };
        let distances = Distances { loaded_edge: Some(loaded), edge: Some(15.0), ..Distances::default() };
        (group::geometry(&placing, &distances), group::geometry_in_proportion(&placing, &distances))
    };
    near(value(geometry(40.0).0).factor, 1.0, 0.0);
    assert_eq!(geometry(39.9).0.diagnostics[0].code, "distance-too-small");
    for (edge, wanted) in [(50.0, 1.0), (40.0, 1.0), (20.0, 0.5), (15.0, 0.375)] {
        near(value(geometry(edge).1).factor, wanted, 1e-12);
    }
    assert_eq!(geometry(14.9).1.diagnostics[0].code, "distance-too-small");
}

/// NDS Tables 12.5.1C and D (read): rows across the grain want 2.5 D at l/D 2, 3.75 D at 4, 5 D at 6 and more, along it 1.5 D; slender
/// ones along the grain stand half the way between rows from the edge.
#[test]
fn rows_and_edges_keep_their_distance() {
    let least = |load, slenderness, of: &str, between: f64| {
        let placing = Placing { diameter: 10.0, hardwood: false, load, slenderness };
        let there = Distances { between_rows: Some(between), edge: Some(500.0), ..Distances::default() };
        let found = value(group::geometry(&placing, &there)).distances;
        found.into_iter().find(|distance| distance.of == of).unwrap().least
    };
    for (slenderness, wanted) in [(1.0, 25.0), (2.0, 25.0), (4.0, 37.5), (6.0, 50.0), (9.0, 50.0)] {
        near(least(GrainLoad::Across, slenderness, "between rows", 60.0), wanted, 1e-12);
    }
    near(least(GrainLoad::Away, 9.0, "between rows", 60.0), 15.0, 1e-12);
    near(least(GrainLoad::Away, 9.0, "edge", 60.0), 30.0, 1e-12);
    near(least(GrainLoad::Away, 9.0, "edge", 20.0), 15.0, 1e-12);
    near(least(GrainLoad::Away, 4.0, "edge", 60.0), 15.0, 1e-12);
}

/// NDS Appendix E by hand: two rows of two, 38 mm thick, s 50 mm: a row 2 x 1.2 x 38 x 50 = 4560 N.
#[test]
fn rows_and_groups_tear_out() {
    let tear = TearOut {
        in_row: 2,
        rows: 2,
        thickness: 38.0,
        critical_spacing: 50.0,
        net_area: 2000.0,
        group_area: 900.0,
        shear: 1.2,
        tension: 4.0,
    };
    let torn = value(group::tear_out(&tear));
    assert_eq!((torn.net_section, torn.rows), (8000.0, 9120.0));
    near(torn.group, 4560.0 + 3600.0, 1e-9);
    assert_eq!(torn.least(), 8000.0);
}

/// NDS 12.1.4.2, 12.1.5 and 12.1.6 (transcription).
#[test]
fn lead_holes_by_gravity() {
    let lead = |gravity| value(group::lead_holes(gravity));
    assert_eq!((lead(0.36).screw_pulled, lead(0.36).lag), (0.0, (0.4, 0.7)));
    assert_eq!((lead(0.55).screw_pulled, lead(0.55).screw_across, lead(0.55).nail), (0.7, 0.875, 0.75));
    assert_eq!((lead(0.68).screw_pulled, lead(0.68).lag, lead(0.68).nail), (0.9, (0.65, 0.85), 0.9));
}
