//! Frames for tests and timings.

use slatwork_checks::statics::frame::{
    Combination, Frame, Hold, LoadCase, Member, MemberKind, MemberLoad, NodalLoad, Node, Section, Spread,
    Support,
};
use slatwork_solid::DVec3;

/// A board 38 x 89 mm of 9 GPa with shear deformation.
pub(crate) const BOARD: Section = Section {
    elastic: 9e9,
    shear: 0.56e9,
    area: 0.003_382,
    inertia_y: 4.069_673e-7,
    inertia_z: 2.232_402e-6,
    torsion: 1.191_203e-6,
    shear_area_y: Some(0.002_818),
    shear_area_z: Some(0.002_818),
};

/// A member with rigid ends.
pub(crate) fn beam(name: &str, ends: [usize; 2], y_axis: DVec3) -> Member {
    Member {
        name: name.to_string(),
        ends,
        kind: MemberKind::Beam,
        section: BOARD,
        y_axis,
        offsets: [DVec3::ZERO; 2],
        springs: [[None; 6]; 2],
    }
}

/// A node.
pub(crate) fn node(name: &str, x: f64, y: f64, z: f64) -> Node {
    Node { name: name.to_string(), at: DVec3::new(x, y, z) }
}

/// A node held in all ways.
pub(crate) fn built_in(node: usize) -> Support {
    Support { node, holds: [Hold::Fixed; 6] }
}

/// Every case once.
pub(crate) fn each_case(frame: &Frame) -> Vec<Combination> {
    let own = frame.cases.iter().enumerate();
    own.map(|(at, case)| Combination { name: case.name.clone(), factors: vec![(at, 1.0)] }).collect()
}

/// A regular space frame of `across` x `across` bays and `storeys` storeys on built-in feet, pushed and weighed down.
pub(crate) fn scaffold(across: usize, deep: usize, storeys: usize) -> Frame {
    let at = |x: usize, y: usize, z: usize| x + (across + 1) * (y + (deep + 1) * z);
    let mut frame = Frame::default();
    for z in 0..=storeys {
        for y in 0..=deep {
            for x in 0..=across {
                let place = [0.5, 0.4, 0.3].iter().zip([x, y, z]).map(|(step, own)| step * own as f64);
                let place: Vec<f64> = place.collect();
                frame.nodes.push(node(&format!("{x}.{y}.{z}"), place[0], place[1], place[2]));
                let mut join = |other: usize, y_axis: DVec3| {
                    frame.members.push(beam(
                        &format!("m{}", frame.members.len()),
                        [other, at(x, y, z)],
                        y_axis,
                    ));
                };
                if z == 0 {
                    continue;
                }
                join(at(x, y, z - 1), DVec3::X);
                if x > 0 {
                    join(at(x - 1, y, z), DVec3::Z);
                }
                if y > 0 {
                    join(at(x, y - 1, z), DVec3::Z);
                }
            }
        }
    }
    frame.supports = (0..at(0, 0, 1)).map(built_in).collect();
    let force = DVec3::new(30.0, 12.0, -100.0);
    let load = |node| NodalLoad { node, force, moment: DVec3::new(0.0, 3.0, 1.0) };
    let uniform = |member| MemberLoad { member, spread: Spread::Uniform(DVec3::new(0.0, 0.0, -150.0)) };
    let nodal = (at(0, 0, 1)..frame.nodes.len()).map(load).collect();
    let members = (0..frame.members.len()).step_by(3).map(uniform).collect();
    frame.cases = vec![LoadCase { name: "all".to_string(), nodal, members, settlements: Vec::new() }];
    frame
}
