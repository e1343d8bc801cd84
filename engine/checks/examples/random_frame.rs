//! Prints a random space frame with its solution and the time it took, for comparison with another program.
//!
//!     random_frame ACROSS DEEP STOREYS SEED
//!
//! Lines of words: `node x y z`, `member i j Iy Iz y_axis`, `held node`, `load node force moment`, `uniform member w`,
//! `moved node` with six displacements, `ends member` with twelve end forces, `milliseconds` best and median.

#![expect(clippy::print_stdout, clippy::disallowed_methods, reason = "a program of its own, with a clock")]

#[path = "../tests/common/mod.rs"]
mod common;

use slatwork_checks::statics::frame::{Frame, Spread, solve};
use slatwork_solid::DVec3;
use std::time::Instant;

/// Times the frame is solved: enough for a median on a busy machine.
const TIMES: usize = 41;

/// Numbers between -1 and 1 from a linear congruence (Knuth's multiplier).
struct Random(u64);

impl Random {
    fn next(&mut self) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1_u64 << 52) as f64 - 1.0
    }
}

fn random_frame(across: usize, deep: usize, storeys: usize, seed: u64) -> Frame {
    let (mut frame, mut random) = (common::scaffold(across, deep, storeys), Random(seed));
    frame.nodes.iter_mut().for_each(|node| {
        node.at += DVec3::new(random.next(), random.next(), random.next()) * 0.05;
    });
    for member in &mut frame.members {
        let section = &mut member.section;
        (section.shear_area_y, section.shear_area_z) = (None, None);
        section.inertia_y *= 1.5 + random.next();
        section.inertia_z *= 1.5 + random.next();
    }
    for load in &mut frame.cases[0].nodal {
        load.force += DVec3::new(random.next(), random.next(), random.next()) * 50.0;
    }
    frame
}

fn words(values: &[f64]) -> String {
    values.iter().map(|value| format!(" {value:e}")).collect()
}

fn print_frame(frame: &Frame) {
    for node in &frame.nodes {
        println!("node{}", words(&node.at.to_array()));
    }
    for member in &frame.members {
        let [i, j] = member.ends;
        let bending = words(&[member.section.inertia_y, member.section.inertia_z]);
        println!("member {i} {j}{bending}{}", words(&member.y_axis.to_array()));
    }
    frame.supports.iter().for_each(|support| println!("held {}", support.node));
    for load in &frame.cases[0].nodal {
        println!("load {}{}{}", load.node, words(&load.force.to_array()), words(&load.moment.to_array()));
    }
    for load in &frame.cases[0].members {
        if let Spread::Uniform(own) = load.spread {
            println!("uniform {}{}", load.member, words(&own.to_array()));
        }
    }
}

fn main() {
    let mut given = std::env::args().skip(1).map(|word| word.parse().unwrap_or(1));
    let mut next = || given.next().unwrap_or(1);
    let (across, deep, storeys, seed) = (next(), next(), next(), next());
    let frame = random_frame(across, deep, storeys, seed as u64);
    let cases = common::each_case(&frame);
    print_frame(&frame);
    let mut times = Vec::new();
    for round in 0..TIMES {
        let start = Instant::now();
        let answers = solve(&frame, &cases).unwrap_or_default();
        times.push(start.elapsed().as_secs_f64() * 1e3);
        if let (0, Some(Ok(solution))) = (round, answers.first().map(|own| own.outcome.as_ref())) {
            for (node, own) in solution.displacements.iter().enumerate() {
                println!("moved {node}{}", words(&own));
            }
            for (member, own) in solution.end_forces.iter().enumerate() {
                println!("ends {member}{}", words(&own));
            }
        }
    }
    times.sort_by(f64::total_cmp);
    println!("milliseconds {} {}", times[0], times[TIMES / 2]);
}
