//! Cutting outlines: areas add up whatever the path, corners and shared edges do no harm, arcs stay exact.

use proptest::prelude::*;
use slatwork_solid::{
    ClipFault, DVec2, EndDirections, Keep, Path, PlaneMotion, Profile, Tag, Vertex, batten_thrust,
    circle_over, clip, difference, intersection, ogee, through,
};

const CUT: Tag = Tag(40);

fn at(x: f64, y: f64) -> DVec2 {
    DVec2::new(x, y)
}

fn area(parts: &[Profile]) -> f64 {
    parts.iter().map(Profile::area).sum()
}

fn close(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-7 * (1.0 + a.abs().max(b.abs()))
}

/// Both sides of a cut, each as a list of at most one piece; `None` where a side falls in pieces.
fn sides(profile: &Profile, path: &Path) -> Option<[Vec<Profile>; 2]> {
    let side = |keep| match clip(profile, path, keep) {
        Ok(kept) => Some(vec![kept]),
        Err(ClipFault::NothingLeft) => Some(Vec::new()),
        Err(ClipFault::Pieces(count)) => {
            assert!(count > 1);
            None
        }
        Err(fault) => panic!("{fault} {profile:?} {path:?}"),
    };
    Some([side(Keep::Left)?, side(Keep::Right)?])
}

fn assert_adds_up(profile: &Profile, path: &Path) {
    let Some([left, right]) = sides(profile, path) else { return };
    let sum = area(&left) + area(&right);
    assert!(close(sum, profile.area()), "{} {} of {}", area(&left), area(&right), profile.area());
    for kept in left.iter().chain(&right) {
        assert!(!kept.self_crosses(), "{kept:?}");
    }
}

fn board() -> Profile {
    Profile::rectangle(1000.0, 100.0)
}

#[test]
fn a_cut_across_keeps_the_side_asked_for_and_tags_the_new_edge() {
    let path = Path::line(at(400.0, -50.0), at(400.0, 150.0)).with_tag(CUT);
    let left = clip(&board(), &path, Keep::Left).unwrap();
    let right = clip(&board(), &path, Keep::Right).unwrap();
    assert!((left.area() - 40_000.0).abs() < 1e-9 && (right.area() - 60_000.0).abs() < 1e-9);
    assert_eq!(left.vertices.iter().filter(|v| v.tag == CUT).count(), 1);
    assert_eq!(left.edges_on(at(400.0, 0.0), DVec2::Y), Some((0.0, 100.0)));
    assert_eq!(right.vertices.len(), 4);
}

#[test]
fn a_crest_cut_by_a_batten_keeps_its_arcs() {
    let batten = batten_thrust(1000.0, 60.0, 0.02).unwrap().transformed(PlaneMotion::shift(at(0.0, 30.0)));
    let crest = clip(&board(), &batten.with_tag(CUT), Keep::Right).unwrap();
    let cut: Vec<_> = crest.edges().into_iter().filter(|edge| edge.tag == CUT).collect();
    assert_eq!(cut.len(), batten.segments().len());
    let length: f64 = cut.iter().map(slatwork_solid::Segment::length).sum();
    assert!((length - batten.length()).abs() < 1e-9);
    assert!((crest.bounds().1.y - 90.0).abs() < 1e-9);
}

#[test]
fn a_path_that_stops_in_the_wood_is_drawn_out_and_one_that_misses_too() {
    let inside = Path::line(at(400.0, 40.0), at(400.0, 60.0));
    assert!((clip(&board(), &inside, Keep::Left).unwrap().area() - 40_000.0).abs() < 1e-9);
    let beside = Path::line(at(400.0, -60.0), at(400.0, -50.0));
    assert!((clip(&board(), &beside, Keep::Left).unwrap().area() - 40_000.0).abs() < 1e-9);
    let away = Path::line(at(-50.0, -60.0), at(-50.0, 60.0));
    assert_eq!(clip(&board(), &away, Keep::Right).unwrap(), board());
    assert_eq!(clip(&board(), &away, Keep::Left), Err(ClipFault::NothingLeft));
}

#[test]
fn a_path_on_an_edge_through_corners_or_along_half_an_edge_is_no_trouble() {
    let on_edge = Path::line(at(-10.0, 100.0), at(1010.0, 100.0));
    assert_eq!(clip(&board(), &on_edge, Keep::Right).unwrap(), board());
    assert_eq!(clip(&board(), &on_edge, Keep::Left), Err(ClipFault::NothingLeft));
    let corner_to_corner = Path::line(at(0.0, 0.0), at(1000.0, 100.0));
    assert_eq!(clip(&board(), &corner_to_corner, Keep::Left).unwrap().vertices.len(), 3);
    let stepped = Path::lines(&[at(-10.0, 100.0), at(500.0, 100.0), at(500.0, 50.0), at(1010.0, 50.0)]);
    assert!((clip(&board(), &stepped, Keep::Right).unwrap().area() - 75_000.0).abs() < 1e-9);
    assert!((clip(&board(), &stepped, Keep::Left).unwrap().area() - 25_000.0).abs() < 1e-9);
    let touching_corner = Path::line(at(-100.0, 100.0), at(100.0, -100.0));
    assert_eq!(clip(&board(), &touching_corner, Keep::Left).unwrap(), board());
}

#[test]
fn a_path_that_is_the_outline_itself_leaves_all_or_nothing() {
    // Half the upper edge, the end and the lower edge, clockwise: drawn out, it runs round three sides.
    let path = Path::lines(&[at(400.0, 100.0), at(1000.0, 100.0), at(1000.0, 0.0), at(0.0, 0.0)]);
    assert_eq!(clip(&board(), &path, Keep::Right).unwrap(), board());
    assert_eq!(clip(&board(), &path, Keep::Left), Err(ClipFault::NothingLeft));
}

#[test]
fn an_arc_that_touches_an_edge_takes_nothing_and_one_a_hair_deeper_takes_a_hair() {
    for depth in [0.0, 1e-9, 1e-7, 1e-6, 1e-5, 1e-3] {
        let arc =
            circle_over(800.0, -50.0).unwrap().transformed(PlaneMotion::shift(at(100.0, 150.0 - depth)));
        let kept = clip(&board(), &arc, Keep::Right).unwrap();
        assert!(board().area() - kept.area() <= 800.0 * depth + 1e-6, "{depth}");
        assert_adds_up(&board(), &arc);
    }
}

#[test]
fn cuts_that_leave_pieces_say_how_many() {
    let wave = Path::lines(&[
        at(100.0, -50.0),
        at(200.0, 150.0),
        at(300.0, -50.0),
        at(400.0, 150.0),
        at(500.0, -50.0),
    ]);
    assert_eq!(clip(&board(), &wave, Keep::Right), Err(ClipFault::Pieces(2)));
    assert_eq!(clip(&board(), &wave, Keep::Left), Err(ClipFault::Pieces(3)));
    assert_eq!(
        clip(&board(), &wave, Keep::Left).unwrap_err().to_string(),
        "the cut leaves 3 separate pieces; move it so that one piece stays whole"
    );
}

#[test]
fn paths_that_cannot_cut_are_refused() {
    let loops = Path::lines(&[at(100.0, -50.0), at(100.0, 80.0), at(200.0, 80.0), at(50.0, 20.0)]);
    assert_eq!(clip(&board(), &loops, Keep::Left), Err(ClipFault::PathCrossesItself));
    assert_eq!(clip(&board(), &Path::default(), Keep::Left), Err(ClipFault::NoShape));
    let nowhere = Path::line(at(f64::NAN, 0.0), at(1.0, 1.0));
    assert_eq!(clip(&board(), &nowhere, Keep::Left), Err(ClipFault::NoShape));
    // Down across the board, round its end, and down across it again: the middle lies on both sides.
    let round = [at(800.0, 150.0), at(800.0, -50.0), at(1100.0, -50.0), at(1100.0, 150.0), at(900.0, 150.0)];
    let round = Path::lines(&[&round[..], &[at(900.0, -20.0)]].concat());
    assert_eq!(clip(&board(), &round, Keep::Left), Err(ClipFault::Undecided));
}

#[test]
fn outlines_take_from_one_another_with_shared_edges_and_holes() {
    let board = board();
    let post = Profile::rectangle(100.0, 100.0).transformed(PlaneMotion::shift(at(200.0, 0.0)));
    let parts = difference(&board, &post);
    assert_eq!(parts.len(), 2);
    assert!((parts[0].area() - 70_000.0).abs() < 1e-9 && (parts[1].area() - 20_000.0).abs() < 1e-9);
    assert!((area(&intersection(&board, &post)) - 10_000.0).abs() < 1e-9);
    assert!(difference(&board, &board).is_empty());
    assert_eq!(intersection(&board, &board), vec![board.clone()]);
    let beside = post.transformed(PlaneMotion::shift(at(-300.0, 0.0)));
    assert!(intersection(&board, &beside).is_empty());
    assert_eq!(difference(&board, &beside), vec![board.clone()]);
    let hole = Profile::circle(at(500.0, 50.0), 30.0, CUT);
    let ring = difference(&board, &hole);
    assert_eq!(ring.len(), 2);
    assert!((area(&ring) - (100_000.0 - hole.area())).abs() < 1e-9);
    assert!(ring.iter().all(|half| !half.contains(at(500.0, 50.0)) && !half.self_crosses()));
    assert!(difference(&hole, &board).is_empty());
    assert_eq!(intersection(&hole, &board), vec![hole.clone()]);
}

/// A rectangle with arcs for edges, moved about. `grid` keeps its corners and the motion on a coarse grid.
fn outline(grid: bool) -> impl Strategy<Value = Profile> {
    let sizes = (1..=10_u32, 1..=10_u32, prop::array::uniform4(-3..=3_i32));
    let pose = (0..=8_i32, -4..=4_i32, 0..=8_u32);
    (sizes, pose, 0.0..1.0_f64).prop_map(move |((length, width, bulges), (x, y, turn), noise)| {
        let noise = if grid { 0.0 } else { noise };
        let tame = f64::from(length.min(width)) / f64::from(length.max(width));
        let mut profile = Profile::rectangle(f64::from(length) * 100.0 + noise, f64::from(width) * 100.0);
        for (vertex, bulge) in profile.vertices.iter_mut().zip(bulges) {
            *vertex = Vertex { bulge: f64::from(bulge) * 0.1 * tame, ..*vertex };
        }
        let angle = f64::from(turn) * core::f64::consts::PI / 4.0 + noise;
        let motion = PlaneMotion::turn(DVec2::ZERO, angle);
        profile.transformed(
            motion.then(PlaneMotion::shift(at(f64::from(x) * 50.0, f64::from(y) * 50.0 + noise))),
        )
    })
}

/// Lines, arcs, ogees, battens and broken lines, all from one point to another.
fn path(grid: bool) -> impl Strategy<Value = Path> {
    let ends = prop::array::uniform4(-10..=20_i32);
    (ends, 0..5_u32, -5..=5_i32, 0.0..1.0_f64).prop_filter_map(
        "ends apart",
        move |(ends, kind, bend, noise)| {
            let noise = if grid { 0.0 } else { noise };
            let [x0, y0, x1, y1] = ends.map(|v| f64::from(v) * 50.0);
            let (from, to) = (at(x0 + noise, y0), at(x1, y1 - noise));
            let chord = from.distance(to);
            let frame = PlaneMotion::frame(from, to - from);
            let bend = f64::from(bend) * 0.1;
            let placed = |path: Path| path.transformed(frame);
            match kind {
                _ if chord < 10.0 => None,
                0 => Some(Path::line(from, to)),
                1 => Some(Path::arc(from, to, bend)),
                2 => ogee(from, to, PlaneMotion::turn(DVec2::ZERO, bend).vector(to - from)).ok(),
                3 => batten_thrust(chord, bend * chord, 0.5).ok().map(placed),
                _ => {
                    let corner = frame.point(at(chord / 2.0, bend * chord));
                    Some(Path::lines(&[from, corner, to]))
                }
            }
        },
    )
}

/// A shift of a size from far below to far above the tolerance, mm.
fn nudge() -> impl Strategy<Value = f64> {
    (0..9_i32, -1.0..1.0_f64).prop_map(|(size, share)| share * 1e-11 * 10.0_f64.powi(size))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 600, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn the_two_sides_of_a_cut_make_the_whole(profile in outline(false), path in path(false)) {
        prop_assume!(!profile.self_crosses());
        assert_adds_up(&profile, &path);
    }

    #[test]
    fn the_two_sides_of_a_cut_on_the_grid_make_the_whole(profile in outline(true), path in path(true)) {
        prop_assume!(!profile.self_crosses());
        assert_adds_up(&profile, &path);
    }

    #[test]
    fn what_is_taken_and_what_is_left_make_the_whole(a in outline(false), b in outline(false)) {
        prop_assume!(!a.self_crosses() && !b.self_crosses());
        let (both, left) = (intersection(&a, &b), difference(&a, &b));
        prop_assert!(close(area(&both) + area(&left), a.area()));
        prop_assert!(close(area(&both), area(&intersection(&b, &a))));
    }

    #[test]
    fn what_is_taken_and_what_is_left_on_the_grid_make_the_whole(a in outline(true), b in outline(true)) {
        prop_assume!(!a.self_crosses() && !b.self_crosses());
        let (both, left) = (intersection(&a, &b), difference(&a, &b));
        prop_assert!(close(area(&both) + area(&left), a.area()), "{} {} {}", area(&both), area(&left), a.area());
        prop_assert!(close(area(&both), area(&intersection(&b, &a))));
    }

    #[test]
    fn outlines_that_nearly_lie_on_each_other_add_up(a in outline(true), x in nudge(), y in nudge(), turn in nudge()) {
        prop_assume!(!a.self_crosses());
        let motion = PlaneMotion::turn(DVec2::ZERO, turn * 0.01).then(PlaneMotion::shift(at(x, y)));
        let b = a.transformed(motion);
        let (both, left) = (area(&intersection(&a, &b)), area(&difference(&a, &b)));
        // Coincidence is decided within some nanometres over the whole outline.
        let doubt = 2e-5 * a.length();
        prop_assert!((both + left - a.area()).abs() < doubt, "{both} {left} {}", a.area());
        prop_assert!((both - area(&intersection(&b, &a))).abs() < doubt);
    }

    #[test]
    fn a_cut_nearly_along_the_outline_adds_up(a in outline(true), from in 0..4_usize, count in 1..4_usize, x in nudge(), y in nudge(), turn in nudge()) {
        prop_assume!(!a.self_crosses());
        let motion = PlaneMotion::turn(DVec2::ZERO, turn * 0.01).then(PlaneMotion::shift(at(x, y)));
        let path = a.path_between(from, from + count).transformed(motion);
        let side = |keep| clip(&a, &path, keep).map_or_else(
            |fault| if fault == ClipFault::NothingLeft { 0.0 } else { f64::NAN },
            |kept| kept.area(),
        );
        let sum = side(Keep::Left) + side(Keep::Right);
        prop_assert!(sum.is_nan() || (sum - a.area()).abs() < 2e-5 * (a.length() + path.length()), "{sum} {}", a.area());
    }

    #[test]
    fn a_moved_outline_keeps_its_measures(profile in outline(false), angle in -3.0..3.0_f64, mirrored: bool) {
        let turn = PlaneMotion::turn(at(30.0, -70.0), angle);
        let motion = if mirrored { turn.then(PlaneMotion::mirror(at(5.0, 6.0), at(1.0, 2.0))) } else { turn };
        let moved = profile.transformed(motion);
        prop_assert!(close(moved.area(), profile.area()));
        prop_assert!(close(moved.length(), profile.length()));
        prop_assert!(moved.centroid().distance(motion.point(profile.centroid())) < 1e-8);
        let back = moved.transformed(motion.inverse());
        prop_assert!((0..4).all(|i| back.distance(profile.vertices[i].point) < 1e-9));
    }

    #[test]
    fn a_flattened_outline_comes_near_the_exact_one(profile in outline(false)) {
        prop_assume!(!profile.self_crosses());
        for chord in [1.0, 0.1, 0.01, 0.001] {
            let points: Vec<DVec2> = profile.flatten(chord).into_iter().map(|(point, _)| point).collect();
            let next = |i: usize| points[(i + 1) % points.len()];
            let flat: f64 = points.iter().enumerate().map(|(i, p)| p.perp_dot(next(i)) / 2.0).sum();
            prop_assert!((flat - profile.area()).abs() <= chord * profile.length());
        }
    }

    #[test]
    fn inside_is_where_the_flattened_outline_says(profile in outline(false), x in -800.0..1400.0_f64, y in -800.0..1400.0_f64) {
        prop_assume!(!profile.self_crosses() && profile.distance(at(x, y)) > 0.01);
        let points: Vec<DVec2> = profile.flatten(0.005).into_iter().map(|(point, _)| point).collect();
        let crossing = |a: DVec2, b: DVec2| (a.y > y) != (b.y > y) && x < a.x + (y - a.y) / (b.y - a.y) * (b.x - a.x);
        let odd = (0..points.len()).filter(|&i| crossing(points[i], points[(i + 1) % points.len()])).count() % 2;
        prop_assert_eq!(profile.contains(at(x, y)), odd == 1);
    }

    #[test]
    fn a_fair_curve_goes_through_its_points_without_a_corner(steps in prop::collection::vec((20.0..200.0_f64, -60.0..60.0_f64), 2..9)) {
        let mut points = vec![DVec2::ZERO];
        for (x, y) in steps {
            points.push(*points.last().unwrap() + at(x, y));
        }
        let path = through(&points, 0.02, EndDirections::default()).unwrap();
        for point in &points {
            prop_assert!(path.vertices.iter().any(|vertex| vertex.point == *point));
        }
        for pair in path.segments().windows(2) {
            prop_assert!(pair[0].tangent(1.0).distance(pair[1].tangent(0.0)) < 1e-7);
        }
    }
}
