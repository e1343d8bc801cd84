//! The kernel on a seat of 45 boards: rails with curved tops, slats on them, stepped screw holes, notches with leaning
//! walls, bevels, the whole frame tilted by 4 degrees so that joints carry the noise of turned placements.

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use slatwork_solid::{
    DAffine3, DQuat, DVec2, DVec3, HalfSpace, Hole, HoleStep, Notch, Placed, Profile, Shape, Solid, Tag,
    Tolerance, Vertex, along, build, clearance, contacts, overlap,
};

const SEAT: f64 = 560.0;
const RAIL: f64 = 38.0;

struct Board {
    shape: Shape,
    pose: DAffine3,
}

fn half(normal: DVec3, through: DVec3) -> HalfSpace {
    let normal = normal.normalize();
    HalfSpace { normal, offset: normal.dot(through), tag: Tag(20) }
}

fn screw(start: DVec3, direction: DVec3, depth: f64) -> Hole {
    let steps = vec![HoleStep { radius: 4.5, depth: 6.0 }, HoleStep { radius: 2.0, depth }];
    Hole { start, direction, steps, tag: Tag(30) }
}

/// A notch whose walls lean by `lean` (tangent).
fn notch(low: DVec3, high: DVec3, lean: f64) -> Notch {
    let walls = [DVec3::new(-1.0, lean, 0.0), DVec3::new(1.0, -lean, 0.0)];
    let level = [DVec3::NEG_Y, DVec3::Y, DVec3::NEG_Z, DVec3::Z];
    let through = [low, high, low, high];
    let planes = walls.into_iter().zip([low, high]).chain(level.into_iter().zip(through));
    Notch { planes: planes.map(|(normal, point)| half(normal, point)).collect() }
}

/// A side rail: hollow top, rounded front, notched for cross pieces.
fn rail() -> Shape {
    let vertex = |x, y, bulge, tag| Vertex { point: DVec2::new(x, y), bulge, tag: Tag(tag) };
    let profile = Profile {
        vertices: vec![
            vertex(0.0, 0.0, 0.0, 16),
            vertex(SEAT, 0.0, 0.25, 17),
            vertex(SEAT, 85.0, -0.11, 18),
            vertex(40.0, 80.0, 0.35, 19),
            vertex(0.0, 50.0, 0.0, 20),
        ],
    };
    let mut shape = Shape { profile, ..Shape::board(1.0, 1.0, RAIL) };
    for (x, lean) in [(60.0, 0.0), (270.0, 0.1), (480.0, 0.0)] {
        shape.notches.push(notch(DVec3::new(x, -1.0, -1.0), DVec3::new(x + 38.0, 30.0, RAIL + 1.0), lean));
    }
    shape.cuts.push(half(DVec3::new(-1.0, -0.3, 0.0), DVec3::new(4.0, 20.0, 0.0)));
    shape
}

fn slat(index: usize) -> Shape {
    let mut shape = Shape::board(1200.0, 64.0, 21.0);
    for x in [19.0, 600.0, 1181.0] {
        for y in [16.0, 48.0] {
            shape.holes.push(screw(DVec3::new(x, y, 21.0), DVec3::NEG_Z, f64::INFINITY));
        }
    }
    if index.is_multiple_of(2) {
        shape.cuts.push(half(DVec3::new(1.0, 0.0, 0.2), DVec3::new(1196.0, 0.0, 10.0)));
    }
    if index.is_multiple_of(3) {
        shape.notches.push(notch(DVec3::new(-1.0, -1.0, -1.0), DVec3::new(40.0, 30.0, 22.0), 0.0));
        shape.holes.remove(0);
    }
    shape
}

fn cross_piece(index: usize) -> Shape {
    let mut shape = Shape::board(1200.0, 38.0, 30.0);
    for x in [0.0, 581.0, 1162.0] {
        shape.notches.push(notch(DVec3::new(x - 1.0, -1.0, 20.0), DVec3::new(x + 40.0, 39.0, 31.0), 0.0));
    }
    if index.is_multiple_of(2) {
        shape.cuts.push(half(DVec3::new(1.0, 0.2, 0.3), DVec3::new(1190.0, 19.0, 15.0)));
    }
    shape
}

/// 45 boards at their places.
fn seat() -> Vec<Board> {
    let mut boards = Vec::new();
    let tilt = DAffine3::from_axis_angle(DVec3::X, 4.0_f64.to_radians());
    // A rail stands on its edge: its length along y, its outline's height along z, its thickness along x.
    let standing = DQuat::from_mat3(&slatwork_solid::DMat3::from_cols(DVec3::Y, DVec3::Z, DVec3::X));
    for x in [0.0, 581.0, 1162.0] {
        boards.push(Board {
            shape: rail(),
            pose: tilt * DAffine3::from_rotation_translation(standing, DVec3::new(x, 0.0, 0.0)),
        });
    }
    for index in 0..36 {
        let (row, layer) = (index % 8, index / 8);
        let shift = DVec3::new(0.0, 45.0 + 66.0 * row as f64, 85.0 + 21.0 * layer as f64);
        boards.push(Board { shape: slat(index), pose: tilt * DAffine3::from_translation(shift) });
    }
    for index in 0..6 {
        let shift = DVec3::new(0.0, [60.0, 270.0, 480.0][index % 3], if index < 3 { 0.0 } else { -60.0 });
        boards.push(Board { shape: cross_piece(index), pose: tilt * DAffine3::from_translation(shift) });
    }
    boards
}

fn solids(boards: &[Board]) -> Vec<Solid> {
    let tolerance = Tolerance::default();
    boards.iter().map(|board| build(&board.shape, &tolerance).expect("a board of the seat")).collect()
}

fn placed<'a>(boards: &[Board], solids: &'a [Solid]) -> Vec<Placed<'a>> {
    boards.iter().zip(solids).map(|(board, solid)| Placed { solid, pose: board.pose }).collect()
}

/// Pairs whose boxes come within a millimetre.
fn near(placed: &[Placed]) -> Vec<(usize, usize)> {
    let bounds: Vec<_> = placed.iter().map(Placed::bounds).collect();
    let pairs = (0..placed.len()).flat_map(|a| (a + 1..placed.len()).map(move |b| (a, b)));
    pairs.filter(|&(a, b)| bounds[a].overlaps(&bounds[b], 1.0)).collect()
}

fn interference(placed: &[Placed], pairs: &[(usize, usize)]) -> f64 {
    pairs.iter().map(|&(a, b)| overlap(&placed[a], &placed[b])).sum()
}

fn patches(placed: &[Placed], pairs: &[(usize, usize)]) -> usize {
    pairs.iter().map(|&(a, b)| contacts(&placed[a], &placed[b], 0.05).len()).sum()
}

fn whole_chain(boards: &[Board]) -> f64 {
    let solids = solids(boards);
    let triangles: usize = solids.iter().map(|solid| solid.mesh().triangles.len()).sum();
    let placed = placed(boards, &solids);
    let pairs = near(&placed);
    interference(&placed, &pairs) + patches(&placed, &pairs) as f64 + triangles as f64
}

/// A board that three holes take to the mesh boolean: two meet, one leaves through an edge.
fn worst_board() -> Shape {
    let mut shape = rail();
    for (x, y) in [(150.0, 40.0), (156.0, 42.0), (400.0, 2.0)] {
        shape.holes.push(screw(DVec3::new(x, y, RAIL), DVec3::NEG_Z, f64::INFINITY));
    }
    shape
}

fn kernel(criterion: &mut Criterion) {
    let boards = seat();
    let built = solids(&boards);
    let at = placed(&boards, &built);
    let pairs = near(&at);
    built.iter().for_each(|solid| {
        solid.mesh();
    });
    report(&built, &at, &pairs);

    criterion.bench_function("whole chain", |bench| bench.iter(|| whole_chain(black_box(&boards))));
    criterion.bench_function("pieces only", |bench| bench.iter(|| solids(black_box(&boards)).len()));
    criterion.bench_function("pieces and faces", |bench| {
        bench.iter(|| solids(black_box(&boards)).iter().map(|solid| solid.faces().len()).sum::<usize>());
    });
    criterion.bench_function("pieces, faces, mesh, measures", |bench| {
        bench.iter(|| {
            solids(black_box(&boards))
                .iter()
                .map(|solid| solid.mesh().triangles.len() as f64 + solid.volume())
                .sum::<f64>()
        });
    });
    criterion.bench_function("near pairs by boxes", |bench| bench.iter(|| near(black_box(&at)).len()));
    criterion.bench_function("interference", |bench| bench.iter(|| interference(black_box(&at), &pairs)));
    criterion.bench_function("contacts", |bench| bench.iter(|| patches(black_box(&at), &pairs)));
    criterion.bench_function("clearance of near pairs", |bench| {
        bench.iter(|| pairs.iter().map(|&(a, b)| clearance(&at[a], &at[b])).sum::<f64>());
    });
    criterion.bench_function("screw lines", |bench| bench.iter(|| screw_lines(black_box(&boards), &at)));
    let worst = worst_board();
    assert!(build(&worst, &Tolerance::default()).expect("builds").used_fallback());
    criterion.bench_function("worst fallback board", |bench| {
        bench
            .iter(|| build(black_box(&worst), &Tolerance::default()).expect("builds").mesh().triangles.len());
    });
    let fine = Tolerance { chord: 0.005, ..Tolerance::default() };
    criterion.bench_function("rail at chord 0.005: pieces, mesh", |bench| {
        bench.iter(|| build(black_box(&boards[0].shape), &fine).expect("builds").mesh().triangles.len());
    });
}

/// Every screw through every board.
fn screw_lines(boards: &[Board], at: &[Placed]) -> f64 {
    let mut total = 0.0;
    for board in boards {
        for hole in &board.shape.holes {
            let from = board.pose.transform_point3(hole.start);
            let to = from + board.pose.transform_vector3(hole.direction) * 60.0;
            total += at
                .iter()
                .flat_map(|placed| along(placed, from, to))
                .map(|layer| layer.1 - layer.0)
                .sum::<f64>();
        }
    }
    total
}

/// What the figures are about.
#[expect(clippy::print_stdout, reason = "a benchmark reports")]
fn report(built: &[Solid], at: &[Placed], pairs: &[(usize, usize)]) {
    let count = |of: fn(&Solid) -> usize| built.iter().map(of).sum::<usize>();
    println!(
        "{} boards, {} pieces, {} faces, {} walls, {} triangles, {} on the fallback; {} near pairs, {:.3} mm^3 overlap, {} patches",
        built.len(),
        count(|solid| solid.pieces().len()),
        count(|solid| solid.faces().len()),
        count(|solid| solid.walls().len()),
        count(|solid| solid.mesh().triangles.len()),
        count(|solid| usize::from(solid.used_fallback())),
        pairs.len(),
        interference(at, pairs),
        patches(at, pairs),
    );
}

criterion_group!(benches, kernel);
criterion_main!(benches);
