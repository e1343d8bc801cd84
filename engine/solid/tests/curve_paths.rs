//! Paths: measures along them, parallels, rounded corners, and the shapes of bows, ogees and fair curves.

use proptest::prelude::*;
use slatwork_base::maths::{self, PI};
use slatwork_solid::{
    CurveFault, DVec2, EndDirections, Path, PlaneMotion, Profile, Segment, Tag, batten_crown, batten_thrust,
    circle_over, circle_radius, double_bow, ogee, ordinates, through,
};

fn at(x: f64, y: f64) -> DVec2 {
    DVec2::new(x, y)
}

/// Positions evenly along a path, without its ends.
fn positions(path: &Path, count: u32) -> impl Iterator<Item = f64> {
    let length = path.length();
    (1..count).map(move |i| length * f64::from(i) / f64::from(count))
}

fn assert_smooth(path: &Path) {
    for pair in path.segments().windows(2) {
        let (before, after) = (pair[0].tangent(1.0), pair[1].tangent(0.0));
        assert!(before.distance(after) < 1e-9, "{before} {after} at {}", pair[1].start);
    }
}

#[test]
fn a_circle_is_as_long_as_its_angle_says() {
    for (chord, rise) in [(1200.0, 1.0), (1200.0, 75.0), (100.0, 50.0), (100.0, 80.0), (100.0, -49.0)] {
        let radius = circle_radius(chord, rise);
        let half = maths::asin(chord / 2.0 / radius);
        let half = if rise > chord / 2.0 { PI - half } else { half };
        let path = circle_over(chord, rise).unwrap();
        assert!((path.length() - 2.0 * half * radius).abs() < 1e-8, "{chord} {rise}");
        assert!(path.point_at(path.length() / 2.0).distance(at(chord / 2.0, rise)) < 1e-9);
        assert_smooth(&path);
    }
}

#[test]
fn the_parallel_of_a_circle_is_the_circle_about_the_same_centre() {
    let path = circle_over(1000.0, 100.0).unwrap();
    let radius = circle_radius(1000.0, 100.0);
    let outer = path.offset(40.0).unwrap();
    assert!((1.0 / outer.curvature_at(1.0).abs() - (radius + 40.0)).abs() < 1e-8);
    assert!((outer.length() / path.length() - (radius + 40.0) / radius).abs() < 1e-12);
    assert_eq!(path.offset(-radius), Err(CurveFault::OffsetTooFar { distance: -radius }));
    let back = outer.offset(-40.0).unwrap();
    assert!(back.start().distance(path.start()) < 1e-9 && (back.length() - path.length()).abs() < 1e-9);
}

#[test]
fn parallels_go_round_outer_corners_and_are_trimmed_at_inner_ones() {
    let step = Path::lines(&[at(0.0, 0.0), at(200.0, 0.0), at(200.0, 100.0), at(400.0, 100.0)]);
    let left = step.offset(20.0).unwrap();
    // 200 - 20 along, 100 up but for the inner corner, a quarter round the outer one, 200 along.
    assert!((left.length() - (180.0 + 80.0 + 10.0 * PI + 200.0)).abs() < 1e-9, "{}", left.length());
    assert!(left.end().distance(at(400.0, 120.0)) < 1e-9);
    assert_smooth(&Path::from_segments(&left.segments()[1..]));
    assert_eq!(step.offset(250.0), Err(CurveFault::OffsetTooFar { distance: 250.0 }));
    assert!(step.offset(f64::NAN).is_err());
}

#[test]
fn a_double_bow_has_two_level_crowns_and_a_level_valley_at_half_the_rise() {
    for rise in [20.0, 90.0, -90.0, 240.0] {
        let path = double_bow(1200.0, rise).unwrap();
        assert_smooth(&path);
        let (low, high) = path.bounds();
        let crown = if rise > 0.0 { high.y } else { low.y };
        assert!((crown - rise).abs() < 1e-9, "{crown}");
        assert!((path.y_at(600.0).unwrap() - rise / 2.0).abs() < 1e-9);
        assert!(path.slope_at(600.0).unwrap().abs() < 1e-9);
        assert!(path.end().distance(at(1200.0, 0.0)) < 1e-9);
        let curvatures: Vec<f64> = path.segments().iter().map(Segment::curvature).collect();
        assert_eq!(curvatures.len(), 3);
        assert!(curvatures.iter().all(|c| (c.abs() - curvatures[0].abs()).abs() < 1e-12));
        for (x, y) in ordinates(&path, 24) {
            assert!((path.y_at(1200.0 - x).unwrap() - y).abs() < 1e-9);
        }
    }
}

#[test]
fn an_ogee_is_two_equal_arcs_between_parallel_ends() {
    let path = ogee(at(10.0, 20.0), at(410.0, 120.0), DVec2::X).unwrap();
    let arcs = path.segments();
    assert_smooth(&path);
    assert!(
        (arcs[0].length() - arcs[1].length()).abs() < 1e-9 && (arcs[0].bulge + arcs[1].bulge).abs() < 1e-12
    );
    assert!(
        path.tangent_at_start().distance(DVec2::X) < 1e-12
            && path.tangent_at_end().distance(DVec2::X) < 1e-12
    );
    // Radius of an ogee: (length squared + offset squared) / (4 offset).
    assert!((1.0 / arcs[0].curvature() - (400.0 * 400.0 + 100.0 * 100.0) / 400.0).abs() < 1e-9);
    assert_eq!(ogee(DVec2::ZERO, at(100.0, 0.0), DVec2::X).unwrap().length(), 100.0);
}

#[test]
fn battens_keep_their_tolerance_against_the_true_curve() {
    for rise in [5.0, 75.0, 300.0, -75.0] {
        let true_thrust = batten_thrust(1200.0, rise, 1e-4).unwrap();
        for tolerance in [0.5, 0.02, 0.005] {
            let thrust = batten_thrust(1200.0, rise, tolerance).unwrap();
            assert_smooth(&thrust);
            for s in positions(&true_thrust, 999) {
                let off = thrust.project(true_thrust.point_at(s)).unwrap().distance;
                assert!(off <= tolerance + 1e-4, "thrust {rise} {tolerance} {off}");
            }
            let crown = batten_crown(1200.0, rise, tolerance).unwrap();
            assert_smooth(&crown);
            for i in 0..500 {
                let u = f64::from(i) / 999.0;
                let point = at(1200.0 * u, rise * (3.0 * u - 4.0 * u * u * u));
                assert!(crown.project(point).unwrap().distance <= tolerance, "crown {rise} {tolerance}");
            }
        }
    }
}

#[test]
fn a_batten_is_flat_at_its_ends_and_sharpest_at_its_crown() {
    let path = batten_thrust(1200.0, 150.0, 0.005).unwrap();
    let figures = slatwork_solid::thrust_figures(1200.0, 150.0).unwrap();
    let crown = path.curvature_at(path.length() / 2.0).abs();
    assert!((crown * figures.crown_radius - 1.0).abs() < 0.01, "{}", crown * figures.crown_radius);
    assert!(path.curvature_at(1.0).abs() < 0.1 * crown);
    let bends: Vec<f64> = path.segments().iter().map(|arc| arc.curvature().abs()).collect();
    assert!(bends.windows(2).take(bends.len() / 2).all(|pair| pair[0] <= pair[1]), "{bends:?}");
    // Crown curvature of the elastica is 1.23 to 1.26 times the circle's.
    let ratio = circle_radius(1200.0, 150.0) / figures.crown_radius;
    assert!((1.23..1.26).contains(&ratio), "{ratio}");
}

#[test]
fn a_fair_curve_keeps_its_points_its_end_directions_and_its_tolerance() {
    let points = [at(0.0, 0.0), at(100.0, 60.0), at(300.0, 20.0), at(350.0, -40.0), at(600.0, 0.0)];
    let ends = EndDirections { start: Some(at(0.0, 2.0)), end: Some(at(1.0, 1.0)) };
    let path = through(&points, 0.02, ends).unwrap();
    assert_smooth(&path);
    assert!(path.tangent_at_start().distance(DVec2::Y) < 1e-9);
    assert!(path.tangent_at_end().distance(at(1.0, 1.0).normalize()) < 1e-9);
    let finer = through(&points, 1e-4, ends).unwrap();
    assert!(positions(&finer, 999).all(|s| path.project(finer.point_at(s)).unwrap().distance <= 0.0202));
    let free = through(&points, 0.001, EndDirections::default()).unwrap();
    let sharpest = positions(&free, 999).map(|s| free.curvature_at(s).abs()).fold(0.0, f64::max);
    assert!(free.curvature_at(0.01).abs() < 0.15 * sharpest);
    let straight = through(&[at(0.0, 0.0), at(30.0, 40.0)], 0.02, EndDirections::default()).unwrap();
    assert!((straight.length() - 50.0).abs() < 1e-12);
}

#[test]
fn a_fair_curve_through_points_of_a_circle_is_nearly_the_circle() {
    let circle = circle_over(1200.0, 100.0).unwrap();
    let points: Vec<DVec2> = (0..=8).map(|i| circle.point_at(circle.length() * f64::from(i) / 8.0)).collect();
    let ends = EndDirections { start: Some(circle.tangent_at_start()), end: Some(circle.tangent_at_end()) };
    let path = through(&points, 0.001, ends).unwrap();
    assert!(positions(&path, 500).all(|s| circle.project(path.point_at(s)).unwrap().distance < 0.01));
}

#[test]
fn fair_curves_through_nothing_are_refused() {
    let none = EndDirections::default();
    assert_eq!(through(&[DVec2::ZERO], 0.02, none), Err(CurveFault::TooFewPoints { count: 1 }));
    let twice = [DVec2::ZERO, DVec2::X, DVec2::X];
    assert_eq!(through(&twice, 0.02, none), Err(CurveFault::SamePoints { index: 2 }));
    let lost = [DVec2::ZERO, at(f64::NAN, 0.0)];
    assert_eq!(through(&lost, 0.02, none), Err(CurveFault::NotFinite { what: "point of the curve" }));
    let nowhere = EndDirections { start: Some(DVec2::ZERO), end: None };
    assert_eq!(through(&[DVec2::ZERO, DVec2::X], 0.02, nowhere), Err(CurveFault::NoDirection));
}

#[test]
fn a_rounded_square_corner_loses_what_a_quarter_circle_leaves() {
    let board = Profile::rectangle(500.0, 100.0);
    let round = board.filleted(2, 40.0, Tag(50)).unwrap();
    assert!((board.area() - round.area() - 1600.0 * (1.0 - PI / 4.0)).abs() < 1e-9);
    assert_eq!(round.vertices.iter().filter(|vertex| vertex.tag == Tag(50)).count(), 1);
    let arc = round.edges().into_iter().find(|edge| edge.tag == Tag(50)).unwrap().arc().unwrap();
    assert!(arc.centre.distance(at(460.0, 60.0)) < 1e-9 && (arc.radius - 40.0).abs() < 1e-9);
    let bullnose = board.filleted(1, 50.0, Tag(50)).unwrap().filleted(3, 50.0, Tag(50)).unwrap();
    assert!((bullnose.area() - (450.0 * 100.0 + PI * 1250.0)).abs() < 1e-6, "{}", bullnose.area());
    let first = board.filleted(0, 100.0, Tag(50)).unwrap();
    assert!((first.area() - (50_000.0 - 10_000.0 * (1.0 - PI / 4.0))).abs() < 1e-9);
}

#[test]
fn a_corner_between_an_arc_and_a_line_is_rounded_smoothly() {
    let path = Path::from_segments(&[
        Segment { start: at(0.0, 0.0), end: at(300.0, 0.0), bulge: -0.3, tag: Tag(1) },
        Segment::line(at(300.0, 0.0), at(600.0, 0.0), Tag(2)),
    ]);
    let round = path.filleted(1, 60.0, Tag(50)).unwrap();
    assert_smooth(&round);
    assert_eq!(round.segments().len(), 3);
    assert!((1.0 / round.segments()[1].curvature().abs() - 60.0).abs() < 1e-9);
}

#[test]
fn corners_that_cannot_be_rounded_are_refused_with_the_most_that_fits() {
    let board = Profile::rectangle(500.0, 100.0);
    let fault = board.filleted(2, 120.0, Tag(50)).unwrap_err();
    let CurveFault::RadiusTooLarge { most, .. } = fault else { panic!("{fault}") };
    assert!((99.9..=100.0).contains(&most), "{most}");
    assert!(board.filleted(2, most, Tag(50)).is_ok());
    assert_eq!(board.filleted(7, 10.0, Tag(50)), Err(CurveFault::NoCorner { index: 7 }));
    assert_eq!(
        Path::lines(&[at(0.0, 0.0), at(1.0, 0.0), at(2.0, 0.0)]).filleted(1, 0.1, Tag(50)),
        Err(CurveFault::NoCorner { index: 1 })
    );
    assert!(board.filleted(1, f64::NAN, Tag(50)).is_err());
}

#[test]
fn outlines_that_cross_touch_or_fold_are_found() {
    let closed = |points: &[DVec2]| {
        let mut edges = Path::lines(points).segments();
        edges.push(Segment::line(points[points.len() - 1], points[0], Tag(0)));
        Profile::from_segments(&edges)
    };
    assert!(!Profile::rectangle(10.0, 5.0).self_crosses());
    assert!(!Profile::circle(DVec2::ZERO, 5.0, Tag(1)).self_crosses());
    assert!(closed(&[at(0.0, 0.0), at(10.0, 10.0), at(10.0, 0.0), at(0.0, 10.0)]).self_crosses());
    let pinched = [at(0.0, 0.0), at(10.0, 0.0), at(5.0, 5.0), at(10.0, 10.0), at(0.0, 10.0), at(5.0, 5.0)];
    assert!(closed(&pinched).self_crosses());
    assert!(closed(&[at(0.0, 0.0), at(10.0, 0.0), at(5.0, 0.0), at(5.0, 8.0)]).self_crosses());
    assert!(closed(&[at(0.0, 0.0), at(10.0, 0.0)]).self_crosses());
    let mut doubled = Profile::rectangle(10.0, 5.0);
    doubled.vertices.insert(1, doubled.vertices[1]);
    assert!(!doubled.self_crosses(), "a corner given twice is no crossing");
    let mut swollen = Profile::rectangle(100.0, 10.0);
    swollen.vertices[0].bulge = -0.5;
    assert!(swollen.self_crosses());
}

#[test]
fn a_line_finds_its_edges_and_its_stretches_in_an_outline() {
    let board = Profile::rectangle(500.0, 100.0);
    assert_eq!(board.edges_on(at(500.0, 0.0), DVec2::Y), Some((0.0, 100.0)));
    assert_eq!(board.edges_on(at(400.0, 0.0), DVec2::Y), None);
    let notched = slatwork_solid::difference(
        &board,
        &Profile::rectangle(100.0, 60.0).transformed(PlaneMotion::shift(at(200.0, 40.0))),
    );
    let stretches = notched[0].stretches_inside(at(0.0, 70.0), DVec2::X);
    assert_eq!(stretches.len(), 2);
    let ends = stretches.iter().flat_map(|&(from, to)| [from, to]);
    assert!(ends.zip([0.0, 200.0, 300.0, 500.0]).all(|(a, b)| (a - b).abs() < 1e-9), "{stretches:?}");
    let below = notched[0].stretches_inside(at(0.0, 40.0), DVec2::X);
    assert_eq!(below.len(), 2, "a line along the notch's floor leaves it out: {below:?}");
    assert!(board.stretches_inside(at(0.0, 100.0), DVec2::X).is_empty());
}

#[test]
fn centre_of_a_half_disc_is_where_the_books_say() {
    let half = Profile::from_segments(&[
        Segment::line(at(-30.0, 7.0), at(30.0, 7.0), Tag(0)),
        Segment { start: at(30.0, 7.0), end: at(-30.0, 7.0), bulge: 1.0, tag: Tag(1) },
    ]);
    assert!((half.area() - PI * 450.0).abs() < 1e-9);
    assert!(half.centroid().distance(at(0.0, 7.0 + 4.0 * 30.0 / (3.0 * PI))) < 1e-9);
    assert!((half.length() - (60.0 + 30.0 * PI)).abs() < 1e-9);
}

#[test]
fn questions_to_a_path_beyond_its_ends_get_its_ends_or_nothing() {
    let path = circle_over(100.0, 10.0).unwrap();
    assert_eq!(path.point_at(-5.0), path.start());
    assert_eq!(path.point_at(1e9), path.end());
    assert_eq!((path.y_at(-1.0), path.y_at(101.0), path.slope_at(200.0)), (None, None, None));
    assert_eq!(path.y_at(0.0), Some(0.0));
    assert_eq!(Path::default().project(DVec2::ZERO), None);
    assert_eq!(Path::default().length(), 0.0);
    assert_eq!(
        path.join(&Path::line(at(101.0, 0.0), at(102.0, 0.0))).unwrap_err().to_string(),
        "the paths are 3/64\" (1.0 mm) apart; begin the second where the first ends"
    );
}

/// A smooth path of arcs that never goes back in x.
fn smooth_path() -> impl Strategy<Value = Path> {
    prop::collection::vec((50.0..300.0_f64, -40.0..40.0_f64), 1..6).prop_filter_map("fits", |steps| {
        let mut points = vec![at(-40.0, 25.0)];
        for (x, y) in steps {
            points.push(*points.last()? + at(x, y));
        }
        through(&points, 0.1, EndDirections::default()).ok()
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn the_tangent_is_the_way_the_point_moves(path in smooth_path(), share in 0.01..0.99_f64) {
        let s = path.length() * share;
        let moved = (path.point_at(s + 1e-4) - path.point_at(s - 1e-4)) / 2e-4;
        prop_assert!(moved.distance(path.tangent_at(s)) < 1e-5);
    }

    #[test]
    fn a_point_beside_the_path_finds_its_foot_and_its_side(path in smooth_path(), share in 0.01..0.99_f64, left in -3.0..3.0_f64) {
        let s = path.length() * share;
        let point = path.point_at(s) + path.tangent_at(s).perp() * left;
        let nearest = path.project(point).unwrap();
        prop_assert!((nearest.position - s).abs() < 1e-6 && (nearest.left - left).abs() < 1e-8);
        prop_assert!((nearest.distance - left.abs()).abs() < 1e-8);
    }

    #[test]
    fn heights_are_where_the_points_are(path in smooth_path(), share in 0.0..1.0_f64) {
        let s = path.length() * share;
        let (point, tangent) = (path.point_at(s), path.tangent_at(s));
        prop_assert!((path.y_at(point.x).unwrap() - point.y).abs() < 1e-7);
        prop_assert!((path.slope_at(point.x).unwrap() - tangent.y / tangent.x).abs() < 1e-5);
    }

    #[test]
    fn stretches_of_a_path_join_to_the_whole(path in smooth_path(), share in 0.0..1.0_f64) {
        let (length, s) = (path.length(), path.length() * share);
        let (first, second) = (path.between(0.0, s), path.between(s, length));
        prop_assert!((first.length() + second.length() - length).abs() < 1e-8);
        prop_assume!(first.length() > 0.0 && second.length() > 0.0);
        let whole = first.join(&second).unwrap();
        prop_assert!(positions(&whole, 20).all(|s| whole.point_at(s).distance(path.point_at(s)) < 1e-8));
        let back = path.between(length, s);
        prop_assert!(back.start().distance(path.end()) < 1e-9 && (back.length() - second.length()).abs() < 1e-9);
    }

    #[test]
    fn a_parallel_keeps_its_distance(path in smooth_path(), distance in -20.0..20.0_f64) {
        let Ok(parallel) = path.offset(distance) else { return Ok(()) };
        for s in positions(&parallel, 50) {
            let off = path.project(parallel.point_at(s)).unwrap();
            prop_assert!(off.distance <= distance.abs() + 1e-6);
        }
        for s in positions(&path, 50) {
            let foot = path.point_at(s) + path.tangent_at(s).perp() * distance;
            prop_assert!(parallel.project(foot).unwrap().distance < 1e-6);
        }
    }

    #[test]
    fn the_box_holds_the_path_and_no_more(path in smooth_path(), angle in 0.0..6.0_f64) {
        let path = path.transformed(PlaneMotion::turn(at(3.0, 4.0), angle));
        let (low, high) = path.bounds();
        let points = path.flatten(1e-4);
        let (flat_low, flat_high) = points.iter().fold((points[0], points[0]), |(l, h), p| (l.min(*p), h.max(*p)));
        prop_assert!((flat_low - low).min_element() > -1e-9 && (high - flat_high).min_element() > -1e-9);
        prop_assert!(flat_low.distance(low) < 1e-3 && flat_high.distance(high) < 1e-3);
    }

    #[test]
    fn any_corner_that_can_be_rounded_is_rounded_smoothly(x in 10.0..300.0_f64, y in -300.0..300.0_f64, bulge in -0.3..0.3_f64, radius in 1.0..80.0_f64) {
        prop_assume!(y.abs() > 1.0);
        let path = Path::from_segments(&[
            Segment::line(at(-200.0, 0.0), at(0.0, 0.0), Tag(1)),
            Segment { start: at(0.0, 0.0), end: at(x, y), bulge, tag: Tag(2) },
        ]);
        match path.filleted(1, radius, Tag(50)) {
            Ok(round) => {
                // Points are true to about 1e-9 mm; over an arc as short as that of a hardly bent corner this turns its ends.
                let arc = round.segments()[1].length();
                for pair in round.segments().windows(2) {
                    let kink = pair[0].tangent(1.0).distance(pair[1].tangent(0.0));
                    prop_assert!(kink < 1e-6 + 1e-8 / arc, "{} over an arc of {}", kink, arc);
                }
                // The same arc to a millionth: a short one tells its radius worse than its bow.
                let curvature = round.segments()[1].curvature().abs();
                prop_assert!((curvature - 1.0 / radius).abs() * arc * arc / 8.0 < 1e-6);
                prop_assert!(round.start() == path.start() && round.end() == path.end());
            }
            Err(CurveFault::RadiusTooLarge { most, .. }) => prop_assert!(most <= radius),
            Err(fault) => prop_assert!(matches!(fault, CurveFault::NoCorner { .. }), "{fault}"),
        }
    }
}

/// Found by chance: a corner of 0.01 degrees rounded by a millimetre would have an arc of under a thousandth.
#[test]
fn a_hardly_bent_corner_is_smooth_already() {
    let path = Path::from_segments(&[
        Segment::line(at(-200.0, 0.0), at(0.0, 0.0), Tag(1)),
        Segment {
            start: at(0.0, 0.0),
            end: at(135.86964101356207, -84.34001251940482),
            bulge: -0.2852510813335736,
            tag: Tag(2),
        },
    ]);
    assert!(matches!(path.filleted(1, 1.0, Tag(50)), Err(CurveFault::NoCorner { .. })));
    assert!(path.filleted(1, 200.0, Tag(50)).is_ok());
}
