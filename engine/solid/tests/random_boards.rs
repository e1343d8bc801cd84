//! Random boards: the surface closes, and its volume agrees with the pieces and with a mesh boolean by another road.

mod common;

use common::{
    Chance, aligned_board, bar, block_of_mesh, board_by_booleans, box_block, random_board, random_holes,
    take, volume,
};
use slatwork_solid::{DAffine3, DVec3, Shape, Tag, Tolerance, build};

#[track_caller]
fn assert_near(found: f64, wanted: f64, relative: f64, what: &str) {
    assert!((found - wanted).abs() <= relative * wanted.abs(), "{what}: {found} is not {wanted}");
}

/// Boards without holes go through the pieces alone; none needs the fallback.
#[test]
fn random_boards_close_and_keep_their_volume() {
    for seed in 0..1200 {
        let mut chance = Chance::new(seed);
        let shape = random_board(&mut chance);
        let Ok(solid) = build(&shape, &Tolerance::default()) else { panic!("board {seed} does not build") };
        let pieces: f64 = solid.pieces().iter().map(|piece| piece.volume()).sum();
        assert!(solid.mesh().is_closed(), "board {seed} is open");
        assert_near(solid.mesh().volume(), pieces, 1e-10, &format!("mesh of board {seed}"));
        assert!(!solid.used_fallback(), "board {seed} needed the fallback");
        assert!(
            solid.faces().iter().all(|face| face.tag != Tag(u32::MAX)),
            "board {seed} has a face of no feature"
        );
    }
}

/// Notches and cuts that share planes, lines and corners, exactly and with the noise of placements: all close without the
/// fallback, and the volume is that of the pieces within what the noise can make of it.
#[test]
fn boards_with_flush_features_close() {
    for (noise, relative) in [(0.0, 1e-12), (1e-12, 1e-11), (1e-9, 1e-9), (1e-7, 1e-7), (1e-6, 3e-6)] {
        for seed in 0..400 {
            let shape = aligned_board(&mut Chance::new(seed + 100_000), noise);
            let solid = build(&shape, &Tolerance::default()).expect("builds");
            let pieces: f64 = solid.pieces().iter().map(|piece| piece.volume()).sum();
            assert!(!solid.used_fallback(), "board {seed} with noise {noise:e} needed the fallback");
            assert!(solid.mesh().is_closed(), "board {seed} with noise {noise:e} is open");
            assert_near(
                solid.mesh().volume(),
                pieces,
                relative,
                &format!("board {seed} with noise {noise:e}"),
            );
            assert!(
                solid.faces().iter().all(|face| face.tag != Tag(u32::MAX)),
                "board {seed} has a face of no feature"
            );
        }
    }
}

/// An island of one notch's floor in another's, and rings that touch: found among boards with flush features, where the
/// ring round the island was taken for a hole in it.
#[test]
fn floors_of_two_notches_in_one_plane_stay_apart() {
    let shape = aligned_board(&mut Chance::new(100_108), 0.0);
    let solid = build(&shape, &Tolerance::default()).expect("builds");
    let islands: Vec<_> = solid.faces().iter().filter(|face| face.tag == Tag(44)).collect();
    assert_eq!(islands.len(), 1);
    assert_eq!(islands[0].loops.len(), 1);
}

/// Square boards against boxes taken off a box, by mesh booleans.
#[test]
fn random_boards_agree_with_mesh_booleans() {
    for seed in 0..150 {
        let mut chance = Chance::new(seed);
        let shape = random_board(&mut chance);
        let blank = Shape { cuts: Vec::new(), notches: Vec::new(), ..shape.clone() };
        let blank = build(&blank, &Tolerance::default()).expect("a plain blank");
        let size = blank.bounds().size();
        let straight = shape.profile.vertices.iter().all(|vertex| vertex.bulge == 0.0);
        let raw = if straight { box_block(size, &DAffine3::IDENTITY) } else { block_of_mesh(blank.mesh()) };
        let wanted = volume(&board_by_booleans(raw, &shape, 6000.0));
        let solid = build(&shape, &Tolerance::default()).expect("builds");
        assert_near(solid.mesh().volume(), wanted, 1e-9, &format!("board {seed}"));
    }
}

/// With holes anywhere: the hole rule keeps true cylinders only where that is right.
#[test]
fn random_holes_agree_with_mesh_booleans() {
    let (mut fallbacks, mut boards) = (0, 0);
    for seed in 5000..5150 {
        let mut chance = Chance::new(seed);
        let mut shape = random_board(&mut chance);
        let bare = build(&shape, &Tolerance::default()).expect("builds");
        let size = bare.bounds().size();
        random_holes(&mut chance, &mut shape, size);
        let solid = build(&shape, &Tolerance::default()).expect("builds");
        assert!(solid.mesh().is_closed(), "board {seed} is open");
        assert!(solid.check_closed().is_ok());
        let mut wanted = block_of_mesh(bare.mesh());
        for hole in &shape.holes {
            for step in &hole.steps {
                wanted = take(
                    &wanted,
                    &bar(hole.start, hole.direction, step.radius, (-3.0, step.depth.min(4000.0)), 24),
                );
            }
        }
        boards += 1;
        fallbacks += usize::from(solid.used_fallback());
        let holes = bare.volume() - solid.volume();
        // True cylinders have the volume of their equal-area polygons exactly; polygons that lie cut open depend on
        // where their corners happen to be.
        let relative = if solid.used_fallback() { 1e-3 * holes / bare.volume() + 1e-9 } else { 1e-11 };
        assert_near(solid.mesh().volume(), volume(&wanted), relative, &format!("board {seed}"));
    }
    assert!(fallbacks > boards / 10 && fallbacks < boards, "{fallbacks} of {boards} used the fallback");
}

/// The same data gives the same bits.
#[test]
fn building_twice_gives_the_same_bits() {
    for seed in 0..40 {
        let mut chance = Chance::new(seed);
        let mut shape = random_board(&mut chance);
        random_holes(&mut chance, &mut shape, DVec3::new(200.0, 40.0, 15.0));
        let [one, other] = [(); 2].map(|()| build(&shape, &Tolerance::default()).expect("builds"));
        assert_eq!(one.mesh(), other.mesh());
        assert_eq!(one.faces(), other.faces());
        assert_eq!(one.edges(), other.edges());
        assert_eq!(one.volume().to_bits(), other.volume().to_bits());
    }
}

/// Centroid and inertia, summed over pieces, against sums over the closed mesh.
#[test]
fn measures_agree_with_the_mesh() {
    let mut straight = 0;
    for seed in 0..200 {
        let shape = random_board(&mut Chance::new(seed));
        if shape.profile.vertices.iter().any(|vertex| vertex.bulge != 0.0) {
            continue;
        }
        straight += 1;
        let solid = build(&shape, &Tolerance::default()).expect("builds");
        let (volume, first, second) = mesh_moments(solid.mesh());
        let middle = first / volume;
        assert!((solid.centroid() - middle).length() < 1e-7, "board {seed}");
        // Products of inertia about the middle: int(xy) - m x y, and the tensor takes them off.
        let product = second - volume * middle.x * middle.y;
        let found = -solid.inertia().x_axis.y;
        assert!((found - product).abs() < 1e-9 * volume * 1e6, "board {seed}: {found} is not {product}");
    }
    assert!(straight > 50);
}

/// Volume, first moment and the integral of x y, by three-point rules that are exact for them.
fn mesh_moments(mesh: &slatwork_solid::Mesh) -> (f64, DVec3, f64) {
    let (mut volume, mut first, mut product) = (0.0, DVec3::ZERO, 0.0);
    for triangle in &mesh.triangles {
        let [a, b, c] = triangle.map(|index| mesh.positions[index as usize]);
        let part = a.dot(b.cross(c)) / 6.0;
        volume += part;
        first += (a + b + c) * (part / 4.0);
        // The mean of x y over a tetrahedron with one corner at the origin.
        let sum = a + b + c;
        product += part * (sum.x * sum.y + a.x * a.y + b.x * b.y + c.x * c.y) / 20.0;
    }
    (volume, first, product)
}

/// Solids are shared between threads, and two threads see the same bits.
#[test]
fn threads_share_solids() {
    let mut shape = random_board(&mut Chance::new(7));
    random_holes(&mut Chance::new(8), &mut shape, DVec3::new(200.0, 40.0, 15.0));
    let solid = build(&shape, &Tolerance::default()).expect("builds");
    let ask = || (solid.volume().to_bits(), solid.faces().len(), solid.mesh().triangles.len());
    let [one, other] = std::thread::scope(|scope| {
        [scope.spawn(ask), scope.spawn(ask)].map(|thread| thread.join().expect("joins"))
    });
    assert_eq!(one, other);
}
