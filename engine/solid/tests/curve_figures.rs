//! Curves of a bench against figures from outside: the table of a batten's shapes, and a numerical library's values.

use slatwork_solid::{
    CurveFault, DVec2, Path, batten_crown, batten_thrust, circle_over, circle_radius, ordinates,
    thrust_figures,
};

/// Rise over chord; radius / chord; arc / chord; batten length / chord; circle and batten height at the quarter / rise;
/// end slopes of circle and batten, degrees. The printed table of a reference of shop practice (derived there
/// numerically).
const TABLE: [[f64; 8]; 8] = [
    [0.02, 6.260, 1.0011, 1.0010, 0.750, 0.707, 4.6, 3.6],
    [0.05, 2.525, 1.0067, 1.0062, 0.752, 0.709, 11.4, 9.0],
    [0.08, 1.603, 1.0170, 1.0157, 0.755, 0.711, 18.2, 14.3],
    [0.10, 1.300, 1.0265, 1.0245, 0.757, 0.714, 22.6, 17.7],
    [0.125, 1.063, 1.0412, 1.0380, 0.761, 0.717, 28.1, 22.0],
    [0.20, 0.725, 1.1035, 1.0953, 0.778, 0.732, 43.6, 34.1],
    [0.25, 0.625, 1.1591, 1.1462, 0.791, 0.745, 53.1, 41.5],
    [0.30, 0.567, 1.2250, 1.2061, 0.806, 0.759, 61.9, 48.3],
];

const CHORD: f64 = 1200.0;

fn assert_printed(value: f64, printed: f64, decimals: i32, what: &str) {
    let half_step = 0.5 * 0.1_f64.powi(decimals);
    assert!((value - printed).abs() <= half_step * 1.02, "{what}: {value} is not {printed}");
}

fn start_slope(path: &Path) -> f64 {
    let tangent = path.tangent_at_start();
    slatwork_base::maths::atan2(tangent.y, tangent.x).to_degrees()
}

#[test]
fn the_table_of_curves_comes_out_with_its_printed_digits() {
    for [ratio, radius, arc, batten, circle_quarter, batten_quarter, circle_slope, batten_slope] in TABLE {
        let rise = ratio * CHORD;
        let circle = circle_over(CHORD, rise).unwrap();
        let figures = thrust_figures(CHORD, rise).unwrap();
        let what = format!("rise {ratio}");
        assert_printed(circle_radius(CHORD, rise) / CHORD, radius, 3, &what);
        assert_printed(circle.length() / CHORD, arc, 4, &what);
        assert_printed(figures.length / CHORD, batten, 4, &what);
        assert_printed(circle.y_at(CHORD / 4.0).unwrap() / rise, circle_quarter, 3, &what);
        assert_printed(figures.quarter_height / rise, batten_quarter, 3, &what);
        assert_printed(start_slope(&circle), circle_slope, 1, &what);
        assert_printed(figures.end_slope.to_degrees(), batten_slope, 1, &what);
    }
}

#[test]
fn the_arcs_of_a_batten_keep_the_figures_of_its_true_curve() {
    for [ratio, ..] in TABLE {
        let rise = ratio * CHORD;
        let path = batten_thrust(CHORD, rise, 0.02).unwrap();
        let figures = thrust_figures(CHORD, rise).unwrap();
        assert!((path.length() - figures.length).abs() < 0.02, "length at {ratio}");
        assert!(
            (path.y_at(CHORD / 4.0).unwrap() - figures.quarter_height).abs() < 0.03,
            "quarter at {ratio}"
        );
        assert!((start_slope(&path) - figures.end_slope.to_degrees()).abs() < 1e-9, "slope at {ratio}");
        assert!((path.y_at(CHORD / 2.0).unwrap() - rise).abs() < 1e-9, "crown at {ratio}");
        assert!(path.end().distance(DVec2::new(CHORD, 0.0)) < 1e-9, "end at {ratio}");
    }
}

#[test]
fn a_crest_rail_batten_lies_inside_its_circle_as_the_reference_says() {
    let (rise, quarter) = (75.0, CHORD / 4.0);
    assert!((circle_radius(CHORD, rise) - 2437.5).abs() < 1e-9);
    let circle = circle_over(CHORD, rise).unwrap().y_at(quarter).unwrap();
    let thrust = batten_thrust(CHORD, rise, 0.001).unwrap().y_at(quarter).unwrap();
    let crown = batten_crown(CHORD, rise, 0.001).unwrap().y_at(quarter).unwrap();
    assert_printed(circle - thrust, 3.2, 1, "thrust");
    assert_printed(circle - crown, 4.9, 1, "crown");
}

#[test]
fn a_batten_pushed_at_its_crown_has_the_cubics_quarter_height() {
    for tolerance in [0.5, 0.02, 0.001] {
        let path = batten_crown(CHORD, 100.0, tolerance).unwrap();
        assert!((path.y_at(CHORD / 4.0).unwrap() - 68.75).abs() < 1.2 * tolerance, "{tolerance}");
    }
}

/// Rows of `data/curves.csv`, made by `tests/oracle/curves.py` with an independent library.
fn rows(kind: &str) -> Vec<Vec<f64>> {
    let text = include_str!("data/curves.csv");
    let rows = text.lines().filter(|line| !line.starts_with('#')).skip(1);
    let of_kind = rows.filter_map(|line| line.strip_prefix(kind)).map(|line| line.trim_start_matches(','));
    of_kind.map(|line| line.split(',').map(|cell| cell.parse().unwrap()).collect()).collect()
}

#[test]
fn circles_agree_with_an_independent_library() {
    let rows = rows("circle");
    assert!(rows.len() >= 10);
    for row in rows {
        let &[chord, rise, length, slope, quarter, radius, x, y] = row.as_slice() else { panic!("{row:?}") };
        let path = circle_over(chord, rise).unwrap();
        assert!((path.length() - length).abs() < 1e-9 * chord);
        assert!((start_slope(&path) - slope).abs() < 1e-9);
        assert!((path.y_at(chord / 4.0).unwrap() - quarter).abs() < 1e-9 * chord);
        assert!((circle_radius(chord, rise) - radius).abs() < 1e-9 * radius);
        assert!(path.project(DVec2::new(x, y)).unwrap().distance < 1e-9 * chord);
    }
}

#[test]
fn bent_battens_agree_with_an_independent_library() {
    let rows = rows("thrust");
    assert!(rows.len() >= 100);
    for row in rows {
        let &[chord, rise, length, slope, quarter, radius, x, y] = row.as_slice() else { panic!("{row:?}") };
        let figures = thrust_figures(chord, rise).unwrap();
        assert!((figures.length - length).abs() < 1e-9 * chord, "{row:?} {figures:?}");
        assert!((figures.end_slope.to_degrees() - slope).abs() < 1e-7, "{row:?} {figures:?}");
        assert!((figures.quarter_height - quarter).abs() < 1e-9 * chord, "{row:?} {figures:?}");
        assert!((figures.crown_radius - radius).abs() < 1e-8 * radius, "{row:?} {figures:?}");
        let path = batten_thrust(chord, rise, 0.02).unwrap();
        assert!(path.project(DVec2::new(x, y)).unwrap().distance <= 0.02, "{row:?}");
    }
}

#[test]
fn the_two_elastica_ways_of_being_flat_agree() {
    let flat = thrust_figures(1000.0, 0.0).unwrap();
    assert!((flat.length - 1000.0).abs() < 1e-9 && flat.end_slope.abs() < 1e-9);
    assert!(flat.quarter_height.abs() < 1e-9);
    assert_eq!(batten_thrust(1000.0, 0.0, 0.02).unwrap(), Path::line(DVec2::ZERO, DVec2::new(1000.0, 0.0)));
}

#[test]
fn ordinates_of_a_circle_follow_the_setting_out_formula() {
    let (rise, radius) = (75.0, 2437.5_f64);
    let set_out = ordinates(&circle_over(CHORD, rise).unwrap(), 8);
    assert_eq!(set_out.len(), 9);
    for (x, y) in set_out {
        let from_middle = x - CHORD / 2.0;
        let formula = (radius * radius - from_middle * from_middle).sqrt() - (radius - rise);
        assert!((y - formula).abs() < 1e-9, "{x}: {y} {formula}");
    }
}

#[test]
fn silly_curves_are_refused_with_the_value_and_the_remedy() {
    let refused = [
        batten_thrust(1000.0, 900.0, 0.02).unwrap_err(),
        batten_thrust(1000.0, 100.0, 0.0).unwrap_err(),
        batten_crown(1000.0, 300.0, 0.02).unwrap_err(),
        circle_over(0.0, 10.0).unwrap_err(),
        circle_over(-5.0, 1.0).unwrap_err(),
        circle_over(f64::NAN, 1.0).unwrap_err(),
        circle_over(1000.0, f64::INFINITY).unwrap_err(),
        slatwork_solid::double_bow(1000.0, 400.0).unwrap_err(),
        slatwork_solid::ogee(DVec2::ZERO, DVec2::X, -DVec2::X).unwrap_err(),
        slatwork_solid::ogee(DVec2::ZERO, DVec2::X, DVec2::ZERO).unwrap_err(),
    ];
    let texts: Vec<String> = refused.iter().map(CurveFault::to_string).collect();
    assert_eq!(
        texts,
        [
            "a batten pushed at its ends cannot rise 35 7/16\" (900.0 mm) over this chord; rise at most 32 55/64\" (834.6 mm) or take a longer \
             chord",
            "a fit within 0 mm; ask for a tolerance from 0.0001 to 10 mm",
            "a batten pushed at its crown cannot rise 11 13/16\" (300.0 mm) over this chord; rise at most 9 27/32\" (250.0 mm) or take a longer \
             chord",
            "a curve over a chord of 0\" (0 mm); the chord must be longer than nothing",
            "a curve over a chord of -13/64\" (-5.0 mm); the chord must be longer than nothing",
            "the chord is not a number; give a finite one",
            "the rise is not a number; give a finite one",
            "a double bow cannot rise 15 3/4\" (400.0 mm) over this chord; rise at most 7 7/8\" (200.0 mm) or take a longer chord",
            "the ends stand at 180.0 degrees to the line between them; keep to 90 degrees or less",
            "a direction of no length; give one that points somewhere",
        ]
    );
}
