//! Volumes, centroids and inertias against closed forms.

use slatwork_base::maths;
use slatwork_solid::{
    Across, DVec2, DVec3, EdgeKind, HalfSpace, Hole, HoleStep, Notch, Profile, Shape, Solid, SolidFault, Tag,
    Tolerance, Vertex, build,
};

const FEATURE: Tag = Tag(20);

fn solid(shape: &Shape) -> Solid {
    build(shape, &Tolerance::default()).expect("builds")
}

#[track_caller]
fn assert_near(found: f64, wanted: f64, relative: f64) {
    assert!(
        (found - wanted).abs() <= relative * wanted.abs(),
        "{found} is not {wanted}: {:e}",
        found / wanted - 1.0
    );
}

fn half(normal: DVec3, through: DVec3) -> HalfSpace {
    let normal = normal.normalize();
    HalfSpace { normal, offset: normal.dot(through), tag: FEATURE }
}

fn corner(x: f64, y: f64, bulge: f64) -> Vertex {
    Vertex { point: DVec2::new(x, y), bulge, tag: FEATURE }
}

fn hole(start: DVec3, direction: DVec3, steps: &[(f64, f64)]) -> Hole {
    let steps = steps.iter().map(|&(radius, depth)| HoleStep { radius, depth }).collect();
    Hole { start, direction: direction.normalize(), steps, tag: Tag(30) }
}

#[test]
fn a_plain_board_is_a_box() {
    let board = solid(&Shape::board(1000.0, 90.0, 20.0));
    assert_near(board.volume(), 1000.0 * 90.0 * 20.0, 1e-14);
    assert_eq!(board.faces().len(), 6);
    assert_eq!(board.edges().len(), 12);
    assert!(board.edges().iter().all(|edge| edge.kind == EdgeKind::Sharp));
    assert!((board.centroid() - DVec3::new(500.0, 45.0, 10.0)).length() < 1e-10);
    let inertia = board.inertia();
    let mass = board.volume();
    assert_near(inertia.x_axis.x, mass * (90.0 * 90.0 + 20.0 * 20.0) / 12.0, 1e-12);
    assert_near(inertia.y_axis.y, mass * (1000.0 * 1000.0 + 20.0 * 20.0) / 12.0, 1e-12);
    assert_near(inertia.z_axis.z, mass * (1000.0 * 1000.0 + 90.0 * 90.0) / 12.0, 1e-12);
    assert!(inertia.x_axis.y.abs() < 1e-3, "{inertia}");
    assert!(board.mesh().is_closed());
    assert_eq!(board.mesh().triangles.len(), 12);
    assert_eq!(board.bodies(), 1);
    assert!(!board.used_fallback());
}

#[test]
fn every_side_of_a_plain_board_keeps_its_tag() {
    let board = solid(&Shape::board(1000.0, 90.0, 20.0));
    let wanted = [
        (Tag::LOW_END, DVec3::NEG_X),
        (Tag::HIGH_END, DVec3::X),
        (Tag::LOW_EDGE, DVec3::NEG_Y),
        (Tag::HIGH_EDGE, DVec3::Y),
        (Tag::LOW_FACE, DVec3::NEG_Z),
        (Tag::HIGH_FACE, DVec3::Z),
    ];
    for (tag, normal) in wanted {
        let faces: Vec<_> = board.faces().iter().filter(|face| face.tag == tag).collect();
        assert_eq!(faces.len(), 1, "{tag:?}");
        assert!((faces[0].normal - normal).length() < 1e-12, "{tag:?}");
        assert_eq!(faces[0].loops[0].points.len(), 4);
    }
}

#[test]
fn a_board_drawn_on_its_edge_is_the_same_box() {
    let mut profile = Profile::rectangle(1000.0, 20.0);
    profile.vertices[0].tag = Tag::LOW_FACE;
    profile.vertices[2].tag = Tag::HIGH_FACE;
    let shape = Shape { profile, across: Across::Width, low: 0.0, high: 90.0, ..Shape::board(1.0, 1.0, 1.0) };
    let board = solid(&shape);
    assert_near(board.volume(), 1000.0 * 90.0 * 20.0, 1e-14);
    assert_eq!(board.bounds().size(), DVec3::new(1000.0, 90.0, 20.0));
    assert!((board.centroid() - DVec3::new(500.0, 45.0, 10.0)).length() < 1e-10);
    assert_near(board.mesh().volume(), 1000.0 * 90.0 * 20.0, 1e-14);
    for (tag, normal) in [(Tag::LOW_EDGE, DVec3::NEG_Y), (Tag::HIGH_FACE, DVec3::Z)] {
        assert!(
            board.faces().iter().any(|face| face.tag == tag && face.normal.dot(normal) > 0.999),
            "{tag:?}"
        );
    }
}

#[test]
fn counterbored_holes_are_cylinders() {
    let mut shape = Shape::board(600.0, 90.0, 30.0);
    for index in 0..8 {
        let start = DVec3::new(50.0 + 70.0 * f64::from(index), 45.0, 30.0);
        shape.holes.push(hole(start, DVec3::NEG_Z, &[(8.0, 9.0), (2.5, f64::INFINITY)]));
    }
    let board = solid(&shape);
    let holes = 8.0 * maths::PI * (64.0 * 9.0 + 6.25 * 21.0);
    let wanted = 600.0 * 90.0 * 30.0 - holes;
    assert_near(board.volume(), wanted, 1e-13);
    assert!(!board.used_fallback());
    assert_eq!(board.walls().len(), 16);
    // Polygons of equal area: the mesh has the volume too.
    assert_near(board.mesh().volume(), wanted, 1e-12);
    assert!(board.mesh().is_closed());
    let rims = board.edges().iter().filter(|edge| edge.kind == EdgeKind::HoleRim).count();
    assert_eq!(rims, 8 * 4 * 24);
    let top = board.faces().iter().find(|face| face.tag == Tag::HIGH_FACE).expect("top");
    assert_eq!(top.loops.len(), 9);
    assert!(top.loops[1].edge_tags.iter().all(|&tag| tag == Tag(30)));
    assert!(top.loops[0].edge_tags.contains(&Tag::LOW_END));
}

#[test]
fn blind_holes_have_floors() {
    let mut shape = Shape::board(200.0, 90.0, 30.0);
    shape.holes.push(hole(DVec3::new(60.0, 45.0, 35.0), DVec3::NEG_Z, &[(6.0, 25.0)]));
    let board = solid(&shape);
    assert_near(board.volume(), 200.0 * 90.0 * 30.0 - maths::PI * 36.0 * 20.0, 1e-13);
    let floor = board.faces().iter().find(|face| face.tag == Tag(30)).expect("floor");
    assert!((floor.normal - DVec3::Z).length() < 1e-12);
    assert_near(floor.offset, 10.0, 1e-12);
    assert!(board.mesh().is_closed());
}

#[test]
fn leaning_holes_are_cylinders_between_ellipses() {
    for degrees in [5.0_f64, 12.0, 25.0] {
        let lean = degrees.to_radians();
        let direction = DVec3::new(maths::sin(lean), 0.0, maths::cos(lean));
        let mut shape = Shape::board(600.0, 120.0, 38.0);
        shape.holes.push(hole(
            DVec3::new(300.0, 60.0, 0.0) - direction * 12.0,
            direction,
            &[(7.0, f64::INFINITY)],
        ));
        let board = solid(&shape);
        assert!(!board.used_fallback(), "{degrees}");
        let through = maths::PI * 49.0 * 38.0 / maths::cos(lean);
        assert_near(board.volume(), 600.0 * 120.0 * 38.0 - through, 1e-13);
        assert_near(board.mesh().volume(), board.volume(), 1e-12);
        assert!(board.mesh().is_closed());
        let rim = &board.faces().iter().find(|face| face.tag == Tag::HIGH_FACE).expect("top").loops[1];
        let length = rim.points.iter().map(|point| point.x).fold(f64::MIN, f64::max)
            - rim.points.iter().map(|point| point.x).fold(f64::MAX, f64::min);
        assert_near(length, 14.0 / maths::cos(lean), 0.02);
    }
}

/// A hole's share in the moments against the same hole as a fine polygon, through the mesh.
#[test]
fn moments_of_leaning_holes_agree_with_the_mesh() {
    let direction = DVec3::new(0.3, 0.2, 0.9).normalize();
    let mut shape = Shape::board(120.0, 100.0, 38.0);
    shape.holes.push(hole(
        DVec3::new(40.0, 30.0, 0.0) - direction * 20.0,
        direction,
        &[(12.0, f64::INFINITY)],
    ));
    let board = build(&shape, &Tolerance { hole_sides: 360, ..Tolerance::default() }).expect("builds");
    let mesh = board.mesh();
    let (mut first, mut volume) = (DVec3::ZERO, 0.0);
    for triangle in &mesh.triangles {
        let [a, b, c] = triangle.map(|index| mesh.positions[index as usize]);
        let six = a.dot(b.cross(c));
        volume += six / 6.0;
        first += (a + b + c) * (six / 24.0);
    }
    assert!((board.centroid() - first / volume).length() < 1e-6, "{} {}", board.centroid(), first / volume);
}

#[test]
fn a_round_end_counts_as_round() {
    let tag = |point: (f64, f64), bulge| corner(point.0, point.1, bulge);
    let profile = Profile {
        vertices: vec![
            tag((0.0, 0.0), 0.0),
            tag((400.0, 0.0), 1.0),
            tag((400.0, 60.0), 0.0),
            tag((0.0, 60.0), 0.0),
        ],
    };
    let shape = Shape { profile, ..Shape::board(1.0, 1.0, 25.0) };
    let board = solid(&shape);
    let cap = maths::PI * 900.0 / 2.0;
    assert_near(board.volume(), (400.0 * 60.0 + cap) * 25.0, 1e-12);
    let x = (400.0 * 60.0 * 200.0 + cap * (400.0 + 4.0 * 30.0 / (3.0 * maths::PI))) / (400.0 * 60.0 + cap);
    assert!((board.centroid() - DVec3::new(x, 30.0, 12.5)).length() < 1e-9);
    assert!(board.mesh().is_closed());
    // Tangent transitions and facets are not creases.
    let sharp_uprights = board
        .edges()
        .iter()
        .filter(|edge| edge.kind == EdgeKind::Sharp && (edge.a - edge.b).truncate().length() < 1e-9)
        .count();
    assert_eq!(sharp_uprights, 2);
    assert!(board.edges().iter().any(|edge| edge.kind == EdgeKind::Smooth));
}

#[test]
fn a_disc_has_the_inertia_of_a_disc() {
    let profile = Profile { vertices: vec![corner(-50.0, 0.0, 1.0), corner(50.0, 0.0, 1.0)] };
    let disc = solid(&Shape { profile, ..Shape::board(1.0, 1.0, 10.0) });
    let volume = maths::PI * 2500.0 * 10.0;
    assert_near(disc.volume(), volume, 1e-12);
    assert_near(disc.inertia().z_axis.z, volume * 1250.0, 1e-5);
    assert_near(disc.inertia().x_axis.x, volume * (625.0 + 100.0 / 12.0), 1e-5);
}

#[test]
fn a_hollow_edge_counts_as_hollow() {
    // A hollow of 12 mm over the whole length, from below.
    let bulge = -2.0 * 12.0 / 500.0;
    let profile = Profile {
        vertices: vec![
            corner(0.0, 0.0, bulge),
            corner(500.0, 0.0, 0.0),
            corner(500.0, 80.0, 0.0),
            corner(0.0, 80.0, 0.0),
        ],
    };
    let board = solid(&Shape { profile, ..Shape::board(1.0, 1.0, 25.0) });
    let radius = (250.0 * 250.0 + 144.0) / 24.0;
    let angle = 2.0 * maths::asin(250.0 / radius);
    let segment = radius * radius / 2.0 * (angle - maths::sin(angle));
    assert_near(board.volume(), (500.0 * 80.0 - segment) * 25.0, 1e-11);
    assert!(board.mesh().is_closed());
}

#[test]
fn a_bevel_takes_a_wedge() {
    let mut shape = Shape::board(500.0, 80.0, 40.0);
    // 30 degrees off square at the high end, leaning in the thickness.
    let slope = maths::tan(30.0_f64.to_radians());
    shape.cuts.push(half(DVec3::new(1.0, 0.0, slope), DVec3::new(500.0, 0.0, 0.0)));
    let board = solid(&shape);
    assert_near(board.volume(), 500.0 * 80.0 * 40.0 - 80.0 * 40.0 * 40.0 * slope / 2.0, 1e-13);
    assert!(board.faces().iter().any(|face| face.tag == FEATURE));
    assert!(board.faces().iter().all(|face| face.tag != Tag::HIGH_END));
}

#[test]
fn a_compound_cut_leaves_the_mean_length() {
    let mut shape = Shape::board(500.0, 80.0, 40.0);
    shape.cuts.push(half(DVec3::new(1.0, 0.35, 0.2), DVec3::new(450.0, 40.0, 20.0)));
    let board = solid(&shape);
    assert_near(board.volume(), 450.0 * 80.0 * 40.0, 1e-13);
    assert_near(board.mesh().volume(), 450.0 * 80.0 * 40.0, 1e-13);
}

#[test]
fn a_notch_and_a_dado_take_boxes() {
    let mut shape = Shape::board(500.0, 80.0, 40.0);
    let block = |low: DVec3, high: DVec3| Notch {
        planes: vec![
            half(DVec3::NEG_X, low),
            half(DVec3::X, high),
            half(DVec3::NEG_Y, low),
            half(DVec3::Y, high),
            half(DVec3::NEG_Z, low),
            half(DVec3::Z, high),
        ],
    };
    shape.notches.push(block(DVec3::new(100.0, 50.0, -1.0), DVec3::new(140.0, 81.0, 41.0)));
    shape.notches.push(block(DVec3::new(200.0, -1.0, 30.0), DVec3::new(219.0, 81.0, 41.0)));
    let board = solid(&shape);
    let wanted = 500.0 * 80.0 * 40.0 - 40.0 * 30.0 * 40.0 - 19.0 * 80.0 * 10.0;
    assert_near(board.volume(), wanted, 1e-13);
    assert_near(board.mesh().volume(), wanted, 1e-13);
    assert_eq!(board.faces().iter().filter(|face| face.tag == FEATURE).count(), 6);
    assert_eq!(board.bodies(), 1);
    assert!(board.faces().iter().all(|face| face.tag != Tag(u32::MAX)));
}

#[test]
fn shapes_that_are_no_solids_say_why() {
    let plain = Shape::board(100.0, 20.0, 10.0);
    let fault = |shape: &Shape| build(shape, &Tolerance::default()).expect_err("no solid");
    let with_profile = |vertices: Vec<Vertex>| Shape { profile: Profile { vertices }, ..plain.clone() };

    let bow_tie = with_profile(vec![
        corner(0.0, 0.0, 0.0),
        corner(100.0, 50.0, 0.0),
        corner(100.0, 0.0, 0.0),
        corner(0.0, 60.0, 0.0),
    ]);
    assert!(matches!(fault(&bow_tie), SolidFault::SelfCrossing { .. }));

    let deep_hollow = with_profile(vec![
        corner(0.0, 0.0, -0.9),
        corner(100.0, 0.0, 0.0),
        corner(100.0, 20.0, 0.0),
        corner(0.0, 20.0, 0.0),
    ]);
    assert!(matches!(fault(&deep_hollow), SolidFault::SelfCrossing { .. }));

    let clockwise =
        with_profile(vec![corner(0.0, 0.0, 0.0), corner(0.0, 20.0, 0.0), corner(100.0, 0.0, 0.0)]);
    assert_eq!(fault(&clockwise), SolidFault::Clockwise);

    assert_eq!(fault(&with_profile(vec![corner(0.0, 0.0, 0.0)])), SolidFault::NoOutline);
    assert_eq!(fault(&Shape { high: 0.0, ..plain.clone() }), SolidFault::NoThickness);
    let cut_away = Shape { cuts: vec![half(DVec3::X, DVec3::new(-5.0, 0.0, 0.0))], ..plain.clone() };
    assert_eq!(fault(&cut_away), SolidFault::Empty);
    let broken = Shape { cuts: vec![HalfSpace { normal: DVec3::ZERO, offset: 0.0, tag: FEATURE }], ..plain };
    assert_eq!(fault(&broken), SolidFault::NotFinite);
}

/// Whatever the rise, and whichever way the arc bulges: the middle facet of an odd number of them looks along the axis but for
/// rounding.
#[test]
fn the_crown_of_a_middle_facet_counts_both_ways() {
    for step in 0..400 {
        let bulge = 0.01 + 0.0002 * f64::from(step);
        let rise = bulge * 600.0 / 2.0;
        let vertices = |y: [f64; 4], at: usize| {
            let bulges: [f64; 4] = core::array::from_fn(|own| if own == at { bulge } else { 0.0 });
            let x = [0.0, 600.0, 600.0, 0.0];
            (0..4).map(|own| corner(x[own], y[own], bulges[own])).collect()
        };
        let upward = Profile { vertices: vertices([0.0, 0.0, 60.0, 60.0], 2) };
        let downward = Profile { vertices: vertices([30.0, 30.0, 90.0, 90.0], 0) };
        let bounds = |profile| solid(&Shape { profile, ..Shape::board(1.0, 1.0, 38.0) }).bounds();
        assert_near(bounds(upward).max.y, 60.0 + rise, 1e-13);
        assert_near(bounds(downward).min.y, 30.0 - rise, 1e-12);
    }
}

/// The box reaches to the crown of an arc, not only to its facets; a crown that is cut off does not count.
#[test]
fn bounds_reach_the_crown_of_an_arc() {
    let rise = 17.0;
    let profile = Profile {
        vertices: vec![
            corner(0.0, 0.0, 0.0),
            corner(403.0, 0.0, 0.0),
            corner(403.0, 60.0, 2.0 * rise / 403.0),
            corner(0.0, 60.0, 0.0),
        ],
    };
    let flat = Shape { profile, ..Shape::board(1.0, 1.0, 25.0) };
    for across in [Across::Thickness, Across::Width] {
        let shape = Shape { across, ..flat.clone() };
        let crown = |bounds: slatwork_solid::Bounds| match across {
            Across::Thickness => bounds.max.y,
            Across::Width => bounds.max.z,
        };
        assert_near(crown(solid(&shape).bounds()), 60.0 + rise, 1e-13);
        let mut cut = shape.clone();
        cut.cuts.push(half(DVec3::X, DVec3::new(150.0, 0.0, 0.0)));
        let short = crown(solid(&cut).bounds());
        assert!(short < 60.0 + rise - 0.5 && short > 60.0 + 0.9 * rise, "{short}");
    }
}
