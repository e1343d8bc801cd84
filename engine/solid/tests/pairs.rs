//! Two placed boards: overlap, contact, clearance, seating, lines.

mod common;

use common::{Chance, block_of_mesh, box_block, half, random_board, region, shared, vertex};
use slatwork_base::maths;
use slatwork_solid::{
    DAffine3, DQuat, DVec3, Hole, HoleStep, Lines, Mesh, Placed, Profile, Shape, Solid, Tag, Tolerance,
    along, build, clearance, contacts, gap_along, overlap,
};

const GAP: f64 = 0.05;

fn solid(shape: &Shape) -> Solid {
    build(shape, &Tolerance::default()).expect("builds")
}

fn at(shift: DVec3) -> DAffine3 {
    DAffine3::from_translation(shift)
}

#[track_caller]
fn assert_near(found: f64, wanted: f64, relative: f64) {
    assert!(
        (found - wanted).abs() <= relative * wanted.abs(),
        "{found} is not {wanted}: {:e}",
        found / wanted - 1.0
    );
}

/// Two boards face to face, turned anywhere in space: never an overlap, whatever the noise, and always the patch.
#[test]
fn touching_boards_never_overlap() {
    let (one, other) = (solid(&Shape::board(700.0, 90.0, 21.0)), solid(&Shape::board(400.0, 60.0, 38.0)));
    let mut chance = Chance::new(1);
    for trial in 0..2000 {
        let pose = chance.pose(2000.0);
        let turn = DQuat::from_rotation_z(chance.between(-3.0, 3.0));
        let noise = [0.0, 1e-9, -1e-9, 1e-6, -1e-6, 0.005, -0.005][trial % 7];
        let onto = DAffine3::from_rotation_translation(turn, DVec3::new(350.0, 45.0, 21.0 + noise));
        let (a, b) = (Placed { solid: &one, pose }, Placed { solid: &other, pose: pose * onto });
        assert_eq!(overlap(&a, &b), 0.0, "trial {trial}");
        assert_eq!(overlap(&b, &a), 0.0, "trial {trial}");
        let patches = contacts(&a, &b, GAP);
        assert_eq!(patches.len(), 1, "trial {trial}");
        assert_eq!(patches[0].tags, (Tag::HIGH_FACE, Tag::LOW_FACE));
        assert!((patches[0].normal - pose.transform_vector3(DVec3::Z)).length() < 1e-9);
        let back = contacts(&b, &a, GAP);
        assert_near(back[0].area, patches[0].area, 1e-9);
    }
}

/// Pressed in by 0.02 and 0.5 mm, in any attitude: always found, with the right volume.
#[test]
fn pressed_boards_always_overlap() {
    let (one, other) = (solid(&Shape::board(700.0, 90.0, 21.0)), solid(&Shape::board(400.0, 60.0, 38.0)));
    let mut chance = Chance::new(2);
    for trial in 0..2000 {
        let pose = chance.pose(2000.0);
        let depth = [0.02, 0.5][trial % 2];
        let shift = at(DVec3::new(chance.between(-100.0, 500.0), chance.between(-30.0, 60.0), 21.0 - depth));
        let (a, b) = (Placed { solid: &one, pose }, Placed { solid: &other, pose: pose * shift });
        let common = |low: f64, size: f64, limit: f64| (low + size).min(limit) - low.max(0.0);
        let moved = shift.translation;
        let wanted = common(moved.x, 400.0, 700.0) * common(moved.y, 60.0, 90.0) * depth;
        assert_near(overlap(&a, &b), wanted, 1e-9);
    }
}

#[test]
fn random_boards_overlap_as_mesh_booleans_say() {
    let mut met = 0;
    for seed in 0..60 {
        let mut chance = Chance::new(seed + 900);
        let boards = [(); 2].map(|()| solid(&random_board(&mut chance)));
        let pose = DAffine3::from_rotation_translation(
            chance.rotation(),
            DVec3::new(chance.between(0.0, 300.0), chance.between(0.0, 60.0), chance.between(0.0, 40.0)),
        );
        let (a, b) =
            (Placed { solid: &boards[0], pose: DAffine3::IDENTITY }, Placed { solid: &boards[1], pose });
        let mesh = boards[1].mesh();
        let positions = mesh.positions.iter().map(|&point| pose.transform_point3(point)).collect();
        let moved = Mesh { positions, ..mesh.clone() };
        let wanted = shared(&block_of_mesh(boards[0].mesh()), &block_of_mesh(&moved));
        let found = overlap(&a, &b);
        met += usize::from(wanted > 1.0);
        assert!((found - wanted).abs() < 1e-6 * wanted + 1e-3, "pair {seed}: {found} is not {wanted}");
    }
    assert!(met > 20, "only {met} pairs meet");
}

#[test]
fn a_peg_in_its_hole_does_not_overlap() {
    let mut shape = Shape::board(200.0, 90.0, 30.0);
    let through = vec![HoleStep { radius: 12.0, depth: f64::INFINITY }];
    shape.holes.push(Hole {
        start: DVec3::new(100.0, 45.0, 30.0),
        direction: DVec3::NEG_Z,
        steps: through,
        tag: Tag(30),
    });
    let board = solid(&shape);
    let peg = solid(&Shape::board(50.0, 14.0, 14.0));
    let upright = DQuat::from_rotation_y(-maths::PI / 2.0);
    let inside = DAffine3::from_rotation_translation(upright, DVec3::new(107.0, 38.0, -10.0));
    let still = Placed { solid: &board, pose: DAffine3::IDENTITY };
    assert_eq!(overlap(&still, &Placed { solid: &peg, pose: inside }), 0.0);
    let beside = DAffine3::from_rotation_translation(upright, DVec3::new(127.0, 38.0, -10.0));
    let found = overlap(&still, &Placed { solid: &peg, pose: beside });
    assert!(found > 14.0 * 14.0 * 30.0 * 0.5 && found < 14.0 * 14.0 * 30.0 + 1e-6, "{found}");
}

/// Contact areas in random attitudes against the closed form of two turned rectangles: a small one wholly on a large one.
#[test]
fn contact_areas_are_exact() {
    let (large, small) = (solid(&Shape::board(600.0, 300.0, 20.0)), solid(&Shape::board(80.0, 50.0, 20.0)));
    let mut chance = Chance::new(3);
    for _ in 0..500 {
        let pose = chance.pose(2000.0);
        let turn = DQuat::from_rotation_z(chance.between(-3.0, 3.0));
        let onto = DAffine3::from_rotation_translation(turn, DVec3::new(300.0, 150.0, 20.0));
        let patches =
            contacts(&Placed { solid: &large, pose }, &Placed { solid: &small, pose: pose * onto }, GAP);
        assert_eq!(patches.len(), 1);
        assert_near(patches[0].area, 4000.0, 1e-10);
        let middle = (pose * onto).transform_point3(DVec3::new(40.0, 25.0, 0.0));
        assert!((patches[0].centroid - middle).length() < 1e-9);
        assert!(patches[0].polygon[0].iter().all(|&corner| {
            let local = pose.inverse().transform_point3(corner);
            (local.z - 20.0).abs() < 1e-9
        }));
    }
}

#[test]
fn holes_are_left_out_of_contact() {
    let mut shape = Shape::board(200.0, 90.0, 30.0);
    let through = || vec![HoleStep { radius: 10.0, depth: f64::INFINITY }];
    for x in [50.0, 100.0] {
        shape.holes.push(Hole {
            start: DVec3::new(x, 45.0, 30.0),
            direction: DVec3::NEG_Z,
            steps: through(),
            tag: Tag(30),
        });
    }
    let board = solid(&shape);
    let other = solid(&Shape::board(100.0, 90.0, 20.0));
    // Its end runs through the middle of the second hole.
    let patches = contacts(
        &Placed { solid: &board, pose: DAffine3::IDENTITY },
        &Placed { solid: &other, pose: at(DVec3::new(0.0, 0.0, 30.0)) },
        GAP,
    );
    assert_eq!(patches.len(), 1);
    assert_near(patches[0].area, 9000.0 - 1.5 * maths::PI * 100.0, 1e-9);
    assert_eq!(patches[0].polygon.len(), 2);
}

#[test]
fn faces_in_one_plane_that_look_the_same_way_are_no_contact() {
    let board = solid(&Shape::board(200.0, 90.0, 30.0));
    let side = Placed { solid: &board, pose: at(DVec3::new(0.0, 90.0, 0.0)) };
    let patches = contacts(&Placed { solid: &board, pose: DAffine3::IDENTITY }, &side, GAP);
    assert_eq!(patches.len(), 1);
    assert_eq!(patches[0].tags, (Tag::HIGH_EDGE, Tag::LOW_EDGE));
    assert_near(patches[0].area, 200.0 * 30.0, 1e-12);
}

/// Half lap: two notches of half depth, crossing square; five patches, no overlap.
#[test]
fn a_half_lap_fits() {
    let lap = |floor: f64, low: f64, high: f64, x: f64| {
        let mut shape = Shape::board(300.0, 60.0, 40.0);
        shape.notches.push(region(
            DVec3::new(x, -1.0, if floor == low { low } else { low - 1.0 }),
            DVec3::new(x + 60.0, 61.0, if floor == high { high } else { high + 1.0 }),
            DQuat::IDENTITY,
            40,
        ));
        solid(&shape)
    };
    let (lower, upper) = (lap(20.0, 20.0, 40.0, 120.0), lap(20.0, 0.0, 20.0, 100.0));
    let mut chance = Chance::new(4);
    for _ in 0..100 {
        let pose = chance.pose(1000.0);
        let across = DAffine3::from_rotation_translation(
            DQuat::from_rotation_z(maths::PI / 2.0),
            DVec3::new(180.0, -100.0, 0.0),
        );
        let (a, b) = (Placed { solid: &lower, pose }, Placed { solid: &upper, pose: pose * across });
        assert_eq!(overlap(&a, &b), 0.0);
        let patches = contacts(&a, &b, GAP);
        let area: f64 = patches.iter().map(|patch| patch.area).sum();
        assert_near(area, 60.0 * 60.0 + 4.0 * 60.0 * 20.0, 1e-9);
        assert_eq!(patches.len(), 5);
    }
}

/// Clearance against many points on both meshes: never more than the nearest pair, and not much less.
#[test]
fn clearance_agrees_with_brute_force() {
    for seed in 0..40 {
        let mut chance = Chance::new(seed + 300);
        let boards = [(); 2].map(|()| solid(&random_board(&mut chance)));
        let pose = DAffine3::from_rotation_translation(
            chance.rotation(),
            chance.direction() * chance.between(100.0, 2500.0),
        );
        let (a, b) =
            (Placed { solid: &boards[0], pose: DAffine3::IDENTITY }, Placed { solid: &boards[1], pose });
        let found = clearance(&a, &b);
        assert_near(clearance(&b, &a), found, 1e-9);
        let brute = brute_distance(boards[0].mesh(), boards[1].mesh(), &pose);
        if overlap(&a, &b) > 0.0 {
            assert_eq!(found, 0.0, "pair {seed}");
        } else {
            assert!((found - brute).abs() < 1e-6, "pair {seed}: {found} is not {brute}");
        }
    }
}

/// Least distance over all pairs of triangles: edges against edges, corners against triangles.
fn brute_distance(one: &Mesh, other: &Mesh, pose: &DAffine3) -> f64 {
    let moved: Vec<DVec3> = other.positions.iter().map(|&point| pose.transform_point3(point)).collect();
    let triangles = |mesh: &Mesh, points: &[DVec3]| -> Vec<[DVec3; 3]> {
        mesh.triangles.iter().map(|triangle| triangle.map(|corner| points[corner as usize])).collect()
    };
    let (ours, theirs) = (triangles(one, &one.positions), triangles(other, &moved));
    let mut least = f64::INFINITY;
    for a in &ours {
        for b in &theirs {
            for at in 0..3 {
                least = least.min(point_triangle(a[at], b)).min(point_triangle(b[at], a));
                for to in 0..3 {
                    least = least.min(segments(a[at], a[(at + 1) % 3], b[to], b[(to + 1) % 3]));
                }
            }
        }
    }
    least
}

fn point_triangle(point: DVec3, [a, b, c]: &[DVec3; 3]) -> f64 {
    let normal = (b - a).cross(c - a);
    let over = |from: DVec3, to: DVec3| (to - from).cross(point - from).dot(normal) >= 0.0;
    if over(*a, *b) && over(*b, *c) && over(*c, *a) {
        (point - a).dot(normal).abs() / normal.length()
    } else {
        f64::INFINITY
    }
}

fn segments(a: DVec3, b: DVec3, c: DVec3, d: DVec3) -> f64 {
    let onto = |p: DVec3, q: DVec3, r: DVec3| {
        let span = r - q;
        (q + span * ((p - q).dot(span) / span.length_squared()).clamp(0.0, 1.0) - p).length()
    };
    let mut least = onto(a, c, d).min(onto(b, c, d)).min(onto(c, a, b)).min(onto(d, a, b));
    let normal = (b - a).cross(d - c);
    if normal.length_squared() > 1e-18 {
        let s = (c - a).cross(d - c).dot(normal) / normal.length_squared();
        let t = (c - a).cross(b - a).dot(normal) / normal.length_squared();
        if (0.0..=1.0).contains(&s) && (0.0..=1.0).contains(&t) {
            least = least.min((c - a).dot(normal).abs() / normal.length());
        }
    }
    least
}

#[test]
fn clearance_of_touching_and_near_boards() {
    let board = solid(&Shape::board(200.0, 90.0, 30.0));
    let near = |shift: DVec3| {
        clearance(
            &Placed { solid: &board, pose: DAffine3::IDENTITY },
            &Placed { solid: &board, pose: at(shift) },
        )
    };
    assert_eq!(near(DVec3::new(0.0, 0.0, 30.0)), 0.0);
    assert_near(near(DVec3::new(10.0, 5.0, 32.5)), 2.5, 1e-9);
    assert_near(near(DVec3::new(203.0, 94.0, 0.0)), 5.0, 1e-9);
    assert_near(near(DVec3::new(202.0, 93.0, 36.0)), 7.0, 1e-9);
}

#[test]
fn a_line_finds_the_layers() {
    let mut shape = Shape::board(200.0, 90.0, 30.0);
    shape.notches.push(region(
        DVec3::new(80.0, -1.0, 10.0),
        DVec3::new(120.0, 91.0, 20.0),
        DQuat::IDENTITY,
        40,
    ));
    let board = solid(&shape);
    let pose = Chance::new(5).pose(700.0);
    let placed = Placed { solid: &board, pose };
    let line =
        |from: DVec3, to: DVec3| along(&placed, pose.transform_point3(from), pose.transform_point3(to));
    let found = line(DVec3::new(100.0, 45.0, -5.0), DVec3::new(100.0, 45.0, 40.0));
    let wanted = [(5.0, 15.0), (25.0, 35.0)];
    assert_eq!(found.len(), 2);
    for (found, wanted) in found.iter().zip(wanted) {
        assert!((found.0 - wanted.0).abs() < 1e-9 && (found.1 - wanted.1).abs() < 1e-9, "{found:?}");
    }
    // Through several pieces in one go, and one that misses.
    let whole = line(DVec3::new(-10.0, 45.0, 5.0), DVec3::new(300.0, 45.0, 5.0));
    assert_eq!(whole.len(), 1);
    assert!((whole[0].0 - 10.0).abs() < 1e-9 && (whole[0].1 - 210.0).abs() < 1e-9);
    assert!(line(DVec3::new(-10.0, 45.0, 35.0), DVec3::new(300.0, 45.0, 35.0)).is_empty());
    assert!(line(DVec3::ZERO, DVec3::ZERO).is_empty());
}

/// A bearer with a hollow top edge of the given radius.
/// The same lines asked for one by one and through one board prepared for many.
#[test]
fn many_lines_find_what_each_finds_alone() {
    let mut chance = Chance::new(7);
    for _ in 0..50 {
        let board = solid(&random_board(&mut chance));
        let placed = Placed { solid: &board, pose: chance.pose(500.0) };
        let mut lines = Lines::through(&placed);
        for _ in 0..20 {
            let end = |chance: &mut Chance| chance.pose(800.0).translation;
            let (from, to) = (end(&mut chance), end(&mut chance));
            assert_eq!(lines.along(from, to), along(&placed, from, to));
        }
    }
}

/// Bored after its faces have been looked at, a board is the one that was built with the holes.
#[test]
fn a_board_bored_later_has_the_faces_of_one_built_with_its_holes() {
    let plain = solid(&Shape::board(300.0, 90.0, 30.0));
    assert_eq!(plain.faces().len(), 6);
    let step = HoleStep { radius: 4.0, depth: f64::INFINITY };
    let start = DVec3::new(80.0, 45.0, 35.0);
    let holes = vec![Hole { start, direction: DVec3::NEG_Z, steps: vec![step], tag: Tag(30) }];
    let built = solid(&Shape { holes: holes.clone(), ..Shape::board(300.0, 90.0, 30.0) });
    let bored = plain.bored(holes);
    assert_eq!(bored.faces(), built.faces());
    assert_eq!(bored.faces().iter().map(|face| face.loops.len()).sum::<usize>(), 8, "two faces with a rim");
}

fn bearer(radius: f64) -> Solid {
    let (length, height) = (500.0_f64, 100.0_f64);
    let bulge = -maths::tan(maths::asin(length / 2.0 / radius) / 2.0);
    let profile = Profile {
        vertices: vec![
            vertex(0.0, 0.0, 0.0, 16),
            vertex(length, 0.0, 0.0, 17),
            vertex(length, height, bulge, 18),
            vertex(0.0, height, 0.0, 19),
        ],
    };
    solid(&Shape { profile, ..Shape::board(1.0, 1.0, 38.0) })
}

/// A flat slat in the hollow of a bearer touches along two lines; the gap under its middle is the rise of the arc over
/// its width.
#[test]
fn a_slat_on_a_hollow_bearer_is_seated() {
    let radius = 900.0;
    let rail = bearer(radius);
    let slat = solid(&Shape::board(300.0, 68.0, 21.0));
    let rise = |chord: f64| radius - (radius * radius - chord * chord / 4.0_f64).sqrt();
    // Lowest point of the hollow, less the rise over the slat's width, is where the slat's underside lies.
    let low = 100.0 - rise(500.0);
    let under = low + rise(68.0);
    // The slat's length runs along z of the bearer, its width along x, its thickness along y.
    let turn = DQuat::from_mat3(&slatwork_solid::DMat3::from_cols(DVec3::Z, DVec3::X, DVec3::Y));
    let pose = DAffine3::from_rotation_translation(turn, DVec3::new(250.0 - 34.0, under, -100.0));
    let world = Chance::new(6).pose(500.0);
    let (a, b) = (Placed { solid: &rail, pose: world }, Placed { solid: &slat, pose: world * pose });
    let seating = gap_along(&a, &b, world.transform_vector3(DVec3::Y)).expect("one over the other");
    assert!(seating.least.abs() < 0.05, "{seating:?}");
    assert!((seating.greatest - rise(68.0)).abs() < 0.06, "{seating:?} {}", rise(68.0));
    assert_near(seating.area, 68.0 * 38.0, 1e-6);
    let touching: Vec<f64> =
        seating.touching.iter().map(|&point| world.inverse().transform_point3(point).x).collect();
    assert!(
        touching.iter().any(|x| (x - 216.0).abs() < 1.0) && touching.iter().any(|x| (x - 284.0).abs() < 1.0)
    );
    // No overlap though facets and chords differ.
    assert_eq!(overlap(&a, &b), 0.0);
}

#[test]
fn a_flat_board_over_a_flat_board_has_an_even_gap() {
    let board = solid(&Shape::board(200.0, 90.0, 30.0));
    let mut cut = Shape::board(200.0, 90.0, 30.0);
    // A leaning end, 30 degrees off square: still no seat.
    cut.cuts.push(half(DVec3::new(1.0, 0.0, -0.577), DVec3::new(200.0, 0.0, 30.0), 30));
    let other = solid(&cut);
    let (a, b) = (
        Placed { solid: &board, pose: DAffine3::IDENTITY },
        Placed { solid: &other, pose: at(DVec3::new(50.0, 0.0, 32.0)) },
    );
    let seating = gap_along(&a, &b, DVec3::Z).expect("one over the other");
    assert!((seating.least - 2.0).abs() < 1e-9 && (seating.greatest - 2.0).abs() < 1e-9, "{seating:?}");
    assert_near(seating.area, 150.0 * 90.0, 1e-9);
    assert!(gap_along(&a, &b, DVec3::NEG_Z).is_none());
    let aside = Placed { solid: &other, pose: at(DVec3::new(300.0, 0.0, 32.0)) };
    assert!(gap_along(&a, &aside, DVec3::Z).is_none());
}

#[test]
fn a_split_board_is_two_bodies() {
    let mut shape = Shape::board(300.0, 60.0, 40.0);
    shape.notches.push(region(
        DVec3::new(100.0, -1.0, -1.0),
        DVec3::new(120.0, 61.0, 41.0),
        DQuat::IDENTITY,
        40,
    ));
    assert_eq!(solid(&shape).bodies(), 2);
    shape.notches[0] =
        region(DVec3::new(100.0, -1.0, -1.0), DVec3::new(120.0, 59.0, 41.0), DQuat::IDENTITY, 40);
    shape.notches.push(region(DVec3::new(10.0, 5.0, 5.0), DVec3::new(20.0, 9.0, 9.0), DQuat::IDENTITY, 50));
    assert_eq!(solid(&shape).bodies(), 1);
    // Two notches that meet along an edge only leave two bodies hanging together by a thread.
    let mut thread = Shape::board(300.0, 60.0, 40.0);
    thread.notches.push(region(
        DVec3::new(100.0, -1.0, -1.0),
        DVec3::new(120.0, 30.0, 41.0),
        DQuat::IDENTITY,
        40,
    ));
    thread.notches.push(region(
        DVec3::new(120.0, 30.0, -1.0),
        DVec3::new(140.0, 61.0, 41.0),
        DQuat::IDENTITY,
        50,
    ));
    assert_eq!(solid(&thread).bodies(), 2);
    // A hole as wide as the board splits it, too: by the fallback.
    let mut bored = Shape::board(300.0, 60.0, 40.0);
    let steps = vec![HoleStep { radius: 35.0, depth: f64::INFINITY }];
    bored.holes.push(Hole {
        start: DVec3::new(150.0, 30.0, 40.0),
        direction: DVec3::NEG_Z,
        steps,
        tag: Tag(60),
    });
    let bored = solid(&bored);
    assert!(bored.used_fallback());
    assert_eq!(bored.bodies(), 2);
    assert_eq!(bored.walls().len(), 1);
}

#[test]
fn placed_bounds_hold_the_board() {
    let board = solid(&Shape::board(200.0, 90.0, 30.0));
    let turned = DAffine3::from_rotation_translation(
        DQuat::from_rotation_z(maths::PI / 2.0),
        DVec3::new(10.0, 20.0, 30.0),
    );
    let bounds = Placed { solid: &board, pose: turned }.bounds();
    assert!((bounds.min - DVec3::new(-80.0, 20.0, 30.0)).length() < 1e-9);
    assert!((bounds.max - DVec3::new(10.0, 220.0, 60.0)).length() < 1e-9);
    let moved = box_block(DVec3::new(200.0, 90.0, 30.0), &turned);
    assert!(moved.ps.iter().all(|p| (bounds.min - 1e-9).cmple(DVec3::new(p.x, p.y, p.z)).all()));
}
