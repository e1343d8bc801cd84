//! A frame that stands on its feet only, for tests and timings.

use crate::common::{BOARD, beam, node};
use slatwork_checks::statics::frame::{
    Direction, Frame, Hold, LoadCase, Member, MemberKind, MemberLoad, NodalLoad, Section, Settlement, Spread,
    Support,
};
use slatwork_solid::DVec3;

/// A bench with splayed legs on feet that only push, sprung joints, one hinge, offsets, wires across the back, a support that
/// moves, and loads of every kind.
pub(crate) fn bench() -> Frame {
    let nodes = vec![
        node("front left foot", 0.0, -0.05, 0.0),
        node("front right foot", 1.2, -0.05, 0.0),
        node("rear left foot", 0.0, 0.5, 0.0),
        node("rear right foot", 1.2, 0.5, 0.0),
        node("front left", 0.0, 0.0, 0.42),
        node("front right", 1.2, 0.0, 0.42),
        node("rear left", 0.0, 0.45, 0.42),
        node("rear right", 1.2, 0.45, 0.42),
        node("top left", 0.0, 0.55, 0.85),
        node("top right", 1.2, 0.55, 0.85),
    ];
    let pairs = [(0, 4), (1, 5), (2, 6), (3, 7), (6, 8), (7, 9), (4, 5), (6, 7), (8, 9), (4, 6), (5, 7)];
    let axis = |at: usize| if at < 6 { DVec3::Y } else { DVec3::Z };
    let mut members: Vec<Member> =
        pairs.iter().enumerate().map(|(at, &(a, b))| beam(&format!("b{at}"), [a, b], axis(at))).collect();
    for own in &mut members[6..] {
        own.springs = [[None, None, None, None, Some(9e3), Some(4.5e3)]; 2];
    }
    members[8].springs[1][5] = Some(0.0);
    members[6].offsets = [DVec3::new(0.0, 0.02, 0.05), DVec3::new(0.0, 0.02, 0.05)];
    for (name, ends) in [("w1", [6, 9]), ("w2", [7, 8])] {
        let section = Section { area: 1.26e-5, elastic: 2e11, ..BOARD };
        members.push(Member { kind: MemberKind::TensionOnly, section, ..beam(name, ends, DVec3::Y) });
    }
    let foot = |node: usize, x: Hold, y: Hold| Support {
        node,
        holds: [x, y, Hold::OneSided(5e6, Direction::Plus), Hold::Free, Hold::Free, Hold::Free],
    };
    let supports = vec![
        foot(0, Hold::Fixed, Hold::Fixed),
        foot(1, Hold::Free, Hold::Fixed),
        foot(2, Hold::Free, Hold::Free),
        foot(3, Hold::Spring(2e5), Hold::Free),
    ];
    let down = |load: f64| DVec3::new(0.0, 0.0, -load);
    let loads = [
        (6, Spread::Uniform(down(700.0))),
        (7, Spread::Point { at: 0.4, force: DVec3::new(20.0, 30.0, -400.0) }),
        (
            8,
            Spread::Trapezoid { from: 0.1, to: 0.9, begins: down(100.0), ends: DVec3::new(0.0, 60.0, -20.0) },
        ),
    ];
    let members_loaded = loads.into_iter().map(|(member, spread)| MemberLoad { member, spread }).collect();
    let push = NodalLoad { node: 8, force: DVec3::new(50.0, 40.0, 0.0), moment: DVec3::new(0.0, 2.0, 1.0) };
    let settlements = vec![Settlement { node: 1, freedom: 1, moved: 0.002 }];
    let case =
        LoadCase { name: "sat on".to_string(), nodal: vec![push], members: members_loaded, settlements };
    Frame { nodes, members, supports, cases: vec![case] }
}
