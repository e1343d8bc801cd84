//! Random boards, always the same ones, and boards by another road.
#![allow(dead_code, unreachable_pub, reason = "each test file uses a part of it")]

use boolmesh::prelude::{Manifold, OpType, compute_boolean};
use slatwork_base::maths;
use slatwork_solid::{
    DAffine3, DQuat, DVec2, DVec3, HalfSpace, Hole, HoleStep, Mesh, Notch, Profile, Shape, Tag, Vertex,
};

/// A simple generator of numbers (xorshift), so that every run sees the same boards.
pub struct Chance(u64);

impl Chance {
    pub fn new(seed: u64) -> Self {
        let mut chance = Chance(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1);
        (0..8).for_each(|_| {
            chance.next();
        });
        chance
    }

    fn next(&mut self) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0
    }

    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * ((self.next() >> 11) as f64 / (1_u64 << 53) as f64)
    }

    pub fn count(&mut self, least: usize, most: usize) -> usize {
        least + (self.next() >> 33) as usize % (most - least + 1)
    }

    pub fn coin(&mut self) -> bool {
        self.count(0, 1) == 1
    }

    pub fn direction(&mut self) -> DVec3 {
        loop {
            let found = DVec3::new(self.between(-1.0, 1.0), self.between(-1.0, 1.0), self.between(-1.0, 1.0));
            if (0.05..1.0).contains(&found.length_squared()) {
                return found.normalize();
            }
        }
    }

    pub fn rotation(&mut self) -> DQuat {
        let axis = self.direction();
        let angle = self.between(-maths::PI, maths::PI);
        let (sine, cosine) = maths::sin_cos(angle / 2.0);
        DQuat::from_xyzw(axis.x * sine, axis.y * sine, axis.z * sine, cosine).normalize()
    }

    pub fn pose(&mut self, reach: f64) -> DAffine3 {
        let shift = self.direction() * self.between(0.0, reach);
        DAffine3::from_rotation_translation(self.rotation(), shift)
    }
}

pub fn half(normal: DVec3, through: DVec3, tag: u32) -> HalfSpace {
    let normal = normal.normalize();
    HalfSpace { normal, offset: normal.dot(through), tag: Tag(tag) }
}

/// The box between two corners as a region, turned about its middle.
pub fn region(low: DVec3, high: DVec3, turn: DQuat, tag: u32) -> Notch {
    let middle = (low + high) / 2.0;
    let sides = [
        (DVec3::NEG_X, low),
        (DVec3::X, high),
        (DVec3::NEG_Y, low),
        (DVec3::Y, high),
        (DVec3::NEG_Z, low),
        (DVec3::Z, high),
    ];
    let plane = |(index, (normal, through)): (usize, (DVec3, DVec3))| {
        half(turn * normal, middle + turn * (through - middle), tag + index as u32)
    };
    Notch { planes: sides.into_iter().enumerate().map(plane).collect() }
}

pub fn vertex(x: f64, y: f64, bulge: f64, tag: u32) -> Vertex {
    Vertex { point: DVec2::new(x, y), bulge, tag: Tag(tag) }
}

/// 0-2 compound end cuts, 0-3 turned and perhaps overlapping notches, hollow or round edges; no holes.
pub fn random_board(chance: &mut Chance) -> Shape {
    let (length, width, thickness) =
        (chance.between(200.0, 1500.0), chance.between(40.0, 180.0), chance.between(15.0, 60.0));
    let mut shape = Shape::board(length, width, thickness);
    if chance.coin() {
        // Both edges together rise by no more than nine tenths of the width.
        let bulge =
            |chance: &mut Chance| 2.0 * chance.between(-0.45, 0.45) * width.min(length * 0.4) / length;
        let (low, high) = (bulge(chance), bulge(chance));
        let end = if chance.coin() { chance.between(-0.2, 1.0) } else { 0.0 };
        shape.profile = Profile {
            vertices: vec![
                vertex(0.0, 0.0, low, 20),
                vertex(length, 0.0, end, 21),
                vertex(length, width, high, 22),
                vertex(0.0, width, 0.0, 23),
            ],
        };
    }
    for (x, side) in [(0.0, -1.0), (length, 1.0)].into_iter().take(chance.count(0, 2)) {
        let lean = DVec3::new(side, chance.between(-0.6, 0.6), chance.between(-0.6, 0.6));
        shape.cuts.push(half(
            lean,
            DVec3::new(x - side * chance.between(20.0, 60.0), width / 2.0, thickness / 2.0),
            30,
        ));
    }
    for index in 0..chance.count(0, 3) {
        let at = DVec3::new(
            chance.between(0.1, 0.9) * length,
            chance.between(0.0, 1.0) * width,
            chance.between(0.0, 1.0) * thickness,
        );
        let size =
            DVec3::new(chance.between(5.0, 60.0), chance.between(5.0, 40.0), chance.between(4.0, 30.0));
        let turn = if chance.coin() { DQuat::IDENTITY } else { chance.rotation() };
        shape.notches.push(region(at - size / 2.0, at + size / 2.0, turn, 40 + 10 * index as u32));
    }
    shape
}

/// A few holes, straight or leaning, stepped, blind or through, wherever chance has them.
pub fn random_holes(chance: &mut Chance, shape: &mut Shape, size: DVec3) {
    for index in 0..chance.count(1, 4) {
        let lean = DVec3::new(chance.between(-0.4, 0.4), chance.between(-0.4, 0.4), 1.0);
        let upright = DVec3::Z;
        let direction = if chance.coin() { lean.normalize() } else { upright };
        let on = DVec3::new(chance.between(0.0, 1.0) * size.x, chance.between(0.0, 1.0) * size.y, 0.0);
        let radius = chance.between(1.5, 12.0);
        let first = HoleStep { radius, depth: chance.between(0.2, 0.5) * size.z + 20.0 };
        let deep =
            if chance.coin() { f64::INFINITY } else { first.depth + chance.between(0.1, 0.6) * size.z };
        let second = HoleStep { radius: radius * chance.between(0.3, 0.9), depth: deep };
        let steps = if chance.coin() { vec![first, second] } else { vec![HoleStep { radius, depth: deep }] };
        shape.holes.push(Hole {
            start: on - direction * 20.0,
            direction,
            steps,
            tag: Tag(100 + index as u32),
        });
    }
}

// The other road: bodies as meshes, taken off one another.

pub type Block = Manifold<f64>;

pub fn block_of_mesh(mesh: &Mesh) -> Block {
    let corners: Vec<usize> = mesh.triangles.iter().flatten().map(|&corner| corner as usize).collect();
    block_of(&mesh.positions, &corners)
}

fn block_of(positions: &[DVec3], corners: &[usize]) -> Block {
    let flat: Vec<f64> = positions.iter().flat_map(|point| point.to_array()).collect();
    Manifold::new(&flat, corners).expect("closed")
}

/// A box turned and moved.
pub fn box_block(size: DVec3, pose: &DAffine3) -> Block {
    const SIDES: [[usize; 4]; 6] =
        [[0, 4, 6, 2], [1, 3, 7, 5], [0, 1, 5, 4], [2, 6, 7, 3], [0, 2, 3, 1], [4, 5, 7, 6]];
    let corner = |index: usize| {
        let bit = |mask: usize, full: f64| if index & mask == 0 { 0.0 } else { full };
        pose.transform_point3(DVec3::new(bit(1, size.x), bit(2, size.y), bit(4, size.z)))
    };
    let positions: Vec<DVec3> = (0..8).map(corner).collect();
    let corners: Vec<usize> = SIDES.iter().flat_map(|&[a, b, c, d]| [a, b, c, a, c, d]).collect();
    block_of(&positions, &corners)
}

/// A turned box of `size` whose low z side lies in the plane: all that the plane cuts away near the board.
fn beyond(plane: &HalfSpace, reach: f64) -> Block {
    let turn = DQuat::from_rotation_arc(DVec3::Z, plane.normal);
    let corner = plane.normal * plane.offset - turn * DVec3::new(reach, reach, 0.0);
    box_block(DVec3::new(2.0 * reach, 2.0 * reach, reach), &DAffine3::from_rotation_translation(turn, corner))
}

/// A board without holes, from its blank, by mesh booleans: every cut takes off a big box; every notch is a big box with
/// big boxes taken off, then taken off itself.
pub fn board_by_booleans(blank: Block, shape: &Shape, reach: f64) -> Block {
    let mut board = blank;
    for cut in &shape.cuts {
        board = take(&board, &beyond(cut, reach));
    }
    for notch in &shape.notches {
        let around = DAffine3::from_translation(DVec3::splat(-reach / 3.0));
        let mut void = box_block(DVec3::splat(2.0 * reach / 3.0 + 7.7), &around);
        for plane in &notch.planes {
            void = take(&void, &beyond(plane, reach));
        }
        board = take(&board, &void);
    }
    board
}

pub fn take(a: &Block, b: &Block) -> Block {
    compute_boolean(a, b, OpType::Subtract).expect("something is left")
}

pub fn shared(a: &Block, b: &Block) -> f64 {
    compute_boolean(a, b, OpType::Intersect).map_or(0.0, |block| volume(&block))
}

pub fn volume(block: &Block) -> f64 {
    let at = |edge: usize| block.ps[block.hs[edge].tail];
    (0..block.hs.len() / 3)
        .map(|index| at(3 * index).dot(at(3 * index + 1).cross(at(3 * index + 2))))
        .sum::<f64>()
        / 6.0
}

/// A many-sided bar along a hole.
pub fn bar(start: DVec3, direction: DVec3, radius: f64, span: (f64, f64), sides: usize) -> Block {
    let (across, up) = direction.any_orthonormal_pair();
    let step = 2.0 * maths::PI / sides as f64;
    let grown = radius * (step / maths::sin(step)).sqrt();
    let mut positions = Vec::new();
    for at in [span.0, span.1] {
        for index in 0..sides {
            let (sine, cosine) = maths::sin_cos(step * index as f64);
            positions.push(start + direction * at + (across * cosine + up * sine) * grown);
        }
    }
    let mut corners = Vec::new();
    for at in 0..sides {
        let next = (at + 1) % sides;
        corners.extend([at, next, next + sides, at, next + sides, at + sides]);
        if at > 0 && at + 1 < sides {
            corners.extend([0, at + 1, at, sides, sides + at, sides + at + 1]);
        }
    }
    // The pair may come left-handed.
    if across.cross(up).dot(direction) < 0.0 {
        corners.chunks_mut(3).for_each(|triangle| triangle.swap(1, 2));
    }
    block_of(&positions, &corners)
}

/// A board whose notches and cuts fall in with each other and with its sides, but for some noise: what rounding of
/// placements makes of flush faces, shared planes and notches that meet corner to corner.
pub fn aligned_board(chance: &mut Chance, noise: f64) -> Shape {
    let mut shape = Shape::board(200.0, 60.0, 40.0);
    if chance.coin() {
        let bulge = chance.between(-0.2, 0.2);
        shape.profile.vertices[0].bulge = bulge;
    }
    let on_grid = |chance: &mut Chance, steps: usize| {
        chance.count(0, steps) as f64 * 10.0 + if noise > 0.0 { chance.between(-noise, noise) } else { 0.0 }
    };
    for index in 0..chance.count(1, 4) {
        let one = DVec3::new(on_grid(chance, 20), on_grid(chance, 6), on_grid(chance, 4));
        let other = DVec3::new(on_grid(chance, 20), on_grid(chance, 6), on_grid(chance, 4));
        let (low, high) = (one.min(other), one.max(other));
        if (high - low).min_element() > 1.0 && (high - low).element_product() < 100_000.0 {
            shape.notches.push(region(low, high, DQuat::IDENTITY, 40 + 10 * index as u32));
        }
    }
    if chance.coin() {
        // Through grid points, so that it meets corners of notches.
        let through = DVec3::new(200.0 - on_grid(chance, 3), on_grid(chance, 6), on_grid(chance, 4));
        shape.cuts.push(half(DVec3::new(1.0, chance.count(0, 2) as f64 - 1.0, 0.0), through, 30));
    }
    shape
}
