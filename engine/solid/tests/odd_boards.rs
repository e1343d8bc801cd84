//! Boards that went wrong once, or might: holes that break out, parts that hang by an edge, sizes that are no sizes.

mod common;

use common::{Chance, bar, block_of_mesh, half, random_board, region, take, volume};
use slatwork_solid::{
    DQuat, DVec3, Hole, HoleStep, Notch, Placed, Shape, Solid, SolidFault, Tag, Tolerance, build, clearance,
    contacts, gap_along, overlap,
};

fn solid(shape: &Shape) -> Solid {
    build(shape, &Tolerance::default()).expect("builds")
}

fn blind(start: DVec3, direction: DVec3, radius: f64, depth: f64) -> Hole {
    Hole { start, direction: direction.normalize(), steps: vec![HoleStep { radius, depth }], tag: Tag(60) }
}

/// The axis stays in the wood and no edge is near, but the flat bottom of a leaning hole breaks out of the side.
#[test]
fn a_bottom_that_breaks_through_a_side_is_noticed() {
    let mut shape = Shape::board(300.0, 126.0, 60.0);
    let hole = blind(DVec3::new(150.0, 108.0, 0.0), DVec3::new(0.0, 0.23, 0.95), 10.0, 40.0);
    shape.holes.push(hole.clone());
    let board = solid(&shape);
    assert!(board.used_fallback());
    let bare = solid(&Shape::board(300.0, 126.0, 60.0));
    let wanted =
        volume(&take(&block_of_mesh(bare.mesh()), &bar(hole.start, hole.direction, 10.0, (-20.0, 40.0), 24)));
    assert!((board.mesh().volume() - wanted).abs() < 1e-6, "{} is not {wanted}", board.mesh().volume());
    // Shallower, it stays inside.
    shape.holes[0].steps[0].depth = 25.0;
    assert!(!solid(&shape).used_fallback());
}

/// The axis passes beside the wood, but the bore takes a corner.
#[test]
fn a_hole_beside_the_wood_that_grazes_it_is_noticed() {
    let mut shape = Shape::board(300.0, 60.0, 40.0);
    shape.holes.push(blind(DVec3::new(150.0, -4.0, 40.0), DVec3::NEG_Z, 6.0, f64::INFINITY));
    let grazed = solid(&shape);
    assert!(grazed.used_fallback());
    assert!(grazed.volume() < 300.0 * 60.0 * 40.0 - 100.0);
    shape.holes[0].start.y = -6.5;
    let missed = solid(&shape);
    assert!(!missed.used_fallback());
    assert!((missed.volume() - 300.0 * 60.0 * 40.0).abs() < 1e-6);
}

/// Two holes that meet; every face and wall keeps its tag.
#[test]
fn holes_that_meet_go_through_the_fallback_with_their_tags() {
    let mut shape = Shape::board(300.0, 60.0, 40.0);
    shape.holes.push(blind(DVec3::new(150.0, 30.0, 40.0), DVec3::NEG_Z, 6.0, f64::INFINITY));
    shape.holes.push(Hole { tag: Tag(61), ..blind(DVec3::new(150.0, 0.0, 20.0), DVec3::Y, 5.0, 28.0) });
    let board = solid(&shape);
    assert!(board.used_fallback() && board.check_closed().is_ok());
    assert_eq!(board.walls().len(), 2);
    for tag in [Tag(60), Tag(61)] {
        assert!(board.mesh().tags.contains(&tag), "{tag:?}");
        assert!(board.edges().iter().any(|edge| edge.tags.contains(&tag)), "{tag:?}");
    }
    let planar: Vec<Tag> = board.faces().iter().map(|face| face.tag).collect();
    for tag in [Tag::LOW_END, Tag::HIGH_END, Tag::LOW_EDGE, Tag::HIGH_EDGE, Tag::LOW_FACE, Tag::HIGH_FACE] {
        assert_eq!(planar.iter().filter(|found| **found == tag).count(), 1, "{tag:?}");
    }
    let top = board.faces().iter().find(|face| face.tag == Tag::HIGH_FACE).expect("top");
    assert_eq!(top.loops.len(), 2);
    assert!(top.loops[1].edge_tags.iter().all(|&tag| tag == Tag(60)));
}

/// Parts that hang together by an edge only: the mesh boolean takes no such mesh, so the board is built up step by step.
#[test]
fn a_fallback_board_that_hangs_by_an_edge_closes() {
    let mut shape = Shape::board(300.0, 60.0, 40.0);
    shape.notches.push(region(
        DVec3::new(100.0, -1.0, -1.0),
        DVec3::new(120.0, 30.0, 41.0),
        DQuat::IDENTITY,
        40,
    ));
    shape.notches.push(region(
        DVec3::new(120.0, 30.0, -1.0),
        DVec3::new(140.0, 61.0, 41.0),
        DQuat::IDENTITY,
        50,
    ));
    shape.holes.push(blind(DVec3::new(50.0, 58.0, 40.0), DVec3::NEG_Z, 6.0, f64::INFINITY));
    let board = solid(&shape);
    assert!(board.used_fallback());
    assert!(board.check_closed().is_ok());
    assert!(board.mesh().is_closed());
    assert!(board.volume() < 300.0 * 60.0 * 40.0 - 20.0 * 31.0 * 40.0 * 1.9);
}

fn wild(chance: &mut Chance) -> f64 {
    const ODD: [f64; 8] = [0.0, f64::NAN, f64::INFINITY, 1e300, -1e300, 1e-300, 1e-9, 1e9];
    match chance.count(0, 16) {
        pick if pick < ODD.len() => ODD[pick],
        _ => chance.between(-100.0, 300.0),
    }
}

fn wild_point(chance: &mut Chance) -> DVec3 {
    DVec3::new(wild(chance), wild(chance), wild(chance))
}

fn spoil(shape: &mut Shape, chance: &mut Chance) {
    let corner = chance.count(0, 3);
    match chance.count(0, 7) {
        0 => shape.profile.vertices[corner].point.x = wild(chance),
        1 => shape.profile.vertices[corner].bulge = wild(chance),
        2 => shape.high = wild(chance),
        3 => shape.low = wild(chance),
        4 => shape.cuts.push(slatwork_solid::HalfSpace {
            normal: wild_point(chance),
            offset: wild(chance),
            tag: Tag(70),
        }),
        5 => {
            let plane = |chance: &mut Chance| slatwork_solid::HalfSpace {
                normal: wild_point(chance),
                offset: wild(chance),
                tag: Tag(71),
            };
            let planes = (0..chance.count(0, 7)).map(|_| plane(chance)).collect();
            shape.notches.push(Notch { planes });
        }
        6 => {
            let steps = (0..chance.count(0, 3))
                .map(|_| HoleStep { radius: wild(chance), depth: wild(chance) })
                .collect();
            shape.holes.push(Hole {
                start: wild_point(chance),
                direction: wild_point(chance),
                steps,
                tag: Tag(72),
            });
        }
        _ => shape.profile.vertices[corner].point = shape.profile.vertices[(corner + 1) % 4].point,
    }
}

/// Whatever is asked, there is an answer or a fault, never a panic.
#[test]
fn wild_sizes_never_panic() {
    let (mut built, mut refused) = (0, 0);
    for seed in 0..1500 {
        let mut chance = Chance::new(seed);
        let mut shape = random_board(&mut chance);
        spoil(&mut shape, &mut chance);
        let chord = if chance.coin() { 0.05 } else { wild(&mut chance) };
        match build(&shape, &Tolerance { chord, hole_sides: 24 }) {
            Ok(board) => {
                built += 1;
                let placed = [(); 2].map(|()| Placed { solid: &board, pose: chance.pose(200.0) });
                let [a, b] = &placed;
                let _ = (
                    board.faces(),
                    board.edges(),
                    board.walls(),
                    board.mesh(),
                    board.inertia(),
                    board.bodies(),
                );
                let _ = (overlap(a, b), contacts(a, b, 0.05), clearance(a, b), gap_along(a, b, DVec3::Z));
            }
            Err(fault) => {
                refused += 1;
                assert!(fault.to_string().len() > 20);
            }
        }
    }
    assert!(built > 300 && refused > 300, "{built} built, {refused} refused");
}

#[test]
fn sizes_beyond_reason_are_refused() {
    let fault = |shape: &Shape| build(shape, &Tolerance::default()).expect_err("no board");
    assert_eq!(fault(&Shape::board(2e6, 100.0, 20.0)), SolidFault::TooLarge);
    assert_eq!(fault(&Shape::board(f64::NAN, 100.0, 20.0)), SolidFault::NotFinite);
    let mut bored = Shape::board(200.0, 100.0, 20.0);
    bored.holes.push(blind(DVec3::new(f64::INFINITY, 0.0, 0.0), DVec3::Z, 5.0, 10.0));
    assert_eq!(fault(&bored), SolidFault::NotFinite);
}

/// A cut or notch that only touches the board changes nothing, not even a tag.
#[test]
fn flush_cuts_change_nothing() {
    let plain = solid(&Shape::board(300.0, 60.0, 40.0));
    let mut shape = Shape::board(300.0, 60.0, 40.0);
    shape.cuts.push(half(DVec3::X, DVec3::new(300.0, 0.0, 0.0), 30));
    shape.notches.push(region(
        DVec3::new(50.0, 60.0, 0.0),
        DVec3::new(90.0, 80.0, 40.0),
        DQuat::IDENTITY,
        40,
    ));
    assert_eq!(solid(&shape).faces(), plain.faces());
}
