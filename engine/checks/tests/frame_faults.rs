//! What is no frame, and frames that cannot stand: each named, none answered with figures.

mod common;
#[path = "common/feet.rs"]
mod feet;

use common::{beam, built_in, each_case, node, scaffold};
use feet::bench;
use slatwork_base::Diagnostic;
use slatwork_checks::statics::frame::{
    Along, Direction, Frame, Hold, LoadCase, MemberKind, MemberLoad, NodalLoad, Settlement, Solution, Spread,
    Support, solve,
};
use slatwork_solid::DVec3;

/// A cantilever of 1.2 m with a load of 100 N at its end.
fn cantilever() -> Frame {
    let load = NodalLoad { node: 1, force: DVec3::new(0.0, 0.0, -100.0), moment: DVec3::ZERO };
    Frame {
        nodes: vec![node("wall", 0.0, 0.0, 0.0), node("tip", 1.2, 0.0, 0.0)],
        members: vec![beam("arm", [0, 1], DVec3::Z)],
        supports: vec![built_in(0)],
        cases: vec![LoadCase { name: "tip".to_string(), nodal: vec![load], ..LoadCase::default() }],
    }
}

/// Two arms in a row; the far end on a support that holds it up.
fn two_arms() -> Frame {
    let mut frame = cantilever();
    frame.nodes.push(node("far", 2.4, 0.0, 0.0));
    frame.members.push(beam("second", [1, 2], DVec3::Z));
    frame
}

fn told(frame: &Frame) -> Vec<Diagnostic> {
    match solve(frame, &each_case(frame)) {
        Err(told) => told,
        Ok(answers) => answers.into_iter().next().unwrap().outcome.expect_err("a frame that cannot stand"),
    }
}

fn solved(frame: &Frame) -> Solution {
    solve(frame, &each_case(frame)).unwrap().remove(0).outcome.unwrap()
}

/// The one code told, with words that its message must have.
fn refused(code: &str, words: &[&str], change: impl FnOnce(&mut Frame)) {
    let mut frame = two_arms();
    change(&mut frame);
    let told = told(&frame);
    assert_eq!(told[0].code, code, "{told:?}");
    for word in words {
        assert!(told[0].to_string().contains(word), "{word}: {}", told[0]);
    }
}

#[test]
fn figures_that_make_no_frame_are_refused() {
    refused("frame-is-empty", &["0 members"], |frame| frame.members.clear());
    refused("figure-unfit", &["A", "`arm`", "0"], |frame| frame.members[0].section.area = 0.0);
    refused("figure-unfit", &["E", "NaN"], |frame| frame.members[0].section.elastic = f64::NAN);
    refused("figure-unfit", &["Ay", "-1"], |frame| frame.members[0].section.shear_area_y = Some(-1.0));
    refused("figure-unfit", &["`tip`"], |frame| frame.nodes[1].at.x = f64::INFINITY);
    refused("figure-unfit", &["end spring rz", "-3"], |frame| frame.members[0].springs[0][5] = Some(-3.0));
    refused("figure-unfit", &["stiffness uz"], |frame| frame.supports[0].holds[2] = Hold::Spring(0.0));
    refused("figure-unfit", &["`tip`"], |frame| frame.cases[0].nodal[0].moment.y = f64::NAN);
    refused("name-not-in-frame", &["number 9"], |frame| frame.members[0].ends[1] = 9);
    refused("name-not-in-frame", &["number 9"], |frame| frame.supports[0].node = 9);
    refused("name-not-in-frame", &["number 9"], |frame| frame.cases[0].nodal[0].node = 9);
    refused("member-without-length", &["`arm`"], |frame| frame.nodes[1].at.x = 0.0);
    refused("member-without-length", &["`arm`"], |frame| frame.members[0].ends[1] = 0);
    refused("member-without-length", &["`arm`"], |frame| frame.members[0].offsets[1].x = -1.2);
    refused("member-axis-unclear", &["`arm`"], |frame| frame.members[0].y_axis = DVec3::X);
    refused("end-spring-idle", &["`arm`", "rz"], |frame| {
        frame.members[0].kind = MemberKind::Truss;
        frame.members[0].springs[0][5] = Some(0.0);
    });
    refused("member-swings-free", &["`arm`", "rx"], |frame| {
        frame.members[0].springs = [[None, None, None, Some(0.0), None, None]; 2];
    });
    refused("node-without-member", &["`alone`"], |frame| frame.nodes.push(node("alone", 0.0, 1.0, 0.0)));
    refused("supported-twice", &["`wall`"], |frame| frame.supports.push(built_in(0)));
}

#[test]
fn loads_that_fit_nothing_are_refused() {
    let point = |at| MemberLoad { member: 0, spread: Spread::Point { at, force: DVec3::Y } };
    refused("load-off-the-member", &["`arm`", "1.3"], |frame| frame.cases[0].members.push(point(1.3)));
    refused("load-off-the-member", &["-0.1"], |frame| frame.cases[0].members.push(point(-0.1)));
    refused("name-not-in-frame", &["member number 7"], |frame| {
        frame.cases[0].members.push(MemberLoad { member: 7, ..point(0.1) });
    });
    refused("settlement-without-support", &["`tip`", "uz"], |frame| {
        frame.cases[0].settlements.push(Settlement { node: 1, freedom: 2, moved: 0.01 });
    });
}

#[test]
fn a_mechanism_is_told_with_what_moves_and_where_to() {
    refused("frame-is-a-mechanism", &["`far`", "along z"], |frame| {
        frame.members[1].springs[0][5] = Some(0.0);
        frame.members[1].springs[0][4] = Some(0.0);
        frame.supports.push(Support {
            node: 2,
            holds: [Hold::Free, Hold::Fixed, Hold::Free, Hold::Free, Hold::Free, Hold::Free],
        });
    });
    // Nothing holds it at all: six ways, of which three are told.
    let mut frame = two_arms();
    frame.supports.clear();
    let told = told(&frame);
    assert_eq!(told.len(), 3, "{told:?}");
    assert!(told.iter().all(|own| own.code == "frame-is-a-mechanism"));
}

#[test]
fn a_linkage_of_hinged_bars_is_a_mechanism() {
    let mut frame = scaffold(1, 1, 1);
    for member in frame.members.iter_mut() {
        member.springs = [[None, None, None, None, Some(0.0), Some(0.0)]; 2];
    }
    let told = told(&frame);
    assert_eq!(told[0].code, "frame-is-a-mechanism", "{told:?}");
}

#[test]
fn a_moment_on_a_hinge_that_nothing_takes_is_told() {
    let mut frame = two_arms();
    frame.supports.push(Support { node: 2, ..built_in(2) });
    frame.members[0].springs[1][4] = Some(0.0);
    frame.members[1].springs[0][4] = Some(0.0);
    assert!(solve(&frame, &each_case(&frame)).unwrap()[0].outcome.is_ok());
    // Local y is up, so local z is against global y, and rotation about local y is about global z.
    frame.cases[0].nodal[0].moment = DVec3::new(0.0, 0.0, 5.0);
    let told = told(&frame);
    assert_eq!(told[0].code, "frame-is-a-mechanism");
    assert!(told[0].message.contains("5.0 N.m turn node `tip` about z"), "{}", told[0]);
}

/// Push of 400 N at 0.85 m against hardly any weight: over the rear feet.
#[test]
fn tipping_is_told_with_its_axis_and_moments() {
    let mut frame = bench();
    frame.members.truncate(11);
    frame.cases[0].settlements.clear();
    frame.cases[0].members.clear();
    let force = |node: usize, force: DVec3| NodalLoad { node, force, moment: DVec3::ZERO };
    frame.cases[0].nodal = vec![
        force(8, DVec3::new(0.0, 200.0, 0.0)),
        force(9, DVec3::new(0.0, 200.0, 0.0)),
        force(4, DVec3::new(0.0, 0.0, -100.0)),
    ];
    let told = told(&frame);
    assert_eq!(told[0].code, "frame-tips", "{told:?}");
    // 400 N x 0.85 m against 100 N x 0.5 m about the rear feet at y = 0.5 m.
    for words in ["about x", "`rear left foot` (uz)", "340.0 N.m", "50.0 N.m"] {
        assert!(told[0].message.contains(words), "{words}: {}", told[0].message);
    }
}

#[test]
fn nodes_at_one_place_are_remarked() {
    let mut frame = two_arms();
    frame.nodes.push(node("twin", 1.2, 0.0, 0.0));
    frame.members[1].ends[0] = 3;
    frame.supports.push(built_in(2));
    let remarks = solved(&frame).remarks;
    assert_eq!(remarks[0].code, "nodes-at-one-place");
    assert!(remarks[0].message.contains("`tip` and `twin`"));
}

#[test]
fn far_movement_is_remarked() {
    let mut frame = cantilever();
    frame.members[0].springs[0][5] = Some(50.0);
    assert_eq!(solved(&frame).remarks[0].code, "moves-too-far");
}

/// A joint at the wall that grows softer: first nothing is said, then that digits are lost, then no figures are shown, at
/// last it is a hinge.
#[test]
fn a_loose_hold_is_remarked_before_it_is_a_mechanism() {
    let told_at = |stiffness: f64| {
        let mut frame = two_arms();
        frame.members[0].springs[0][5] = Some(stiffness);
        match solve(&frame, &each_case(&frame)).unwrap().remove(0).outcome {
            Ok(solution) if solution.remarks.iter().any(|own| own.code == "nearly-a-mechanism") => "nearly",
            Ok(_) => "fine",
            Err(told) if told[0].code == "frame-is-a-mechanism" => "mechanism",
            Err(told) => told[0].code,
        }
    };
    let mut told: Vec<&str> = (-8..28).map(|half| told_at(0.1_f64.sqrt().powi(half))).collect();
    told.dedup();
    assert_eq!(told, ["fine", "nearly", "answer-not-trusted", "mechanism"]);
}

#[test]
fn both_wires_loose_without_drive_is_told_as_standing_by_chance() {
    let mut frame = two_arms();
    frame.members[1].kind = MemberKind::TensionOnly;
    frame.supports.push(Support {
        node: 2,
        holds: [
            Hold::OneSided(1e6, Direction::Plus),
            Hold::Fixed,
            Hold::Fixed,
            Hold::Free,
            Hold::Free,
            Hold::Free,
        ],
    });
    frame.cases[0].nodal[0].force = DVec3::new(100.0, 0.0, 0.0);
    let remarks = solved(&frame).remarks;
    assert_eq!(remarks[0].code, "stands-by-chance", "{remarks:?}");
}

/// A support moved by 3 mm: 3 E I d / L^3 with the shear deformation of the reach (beam tables; force method).
#[test]
fn a_support_that_settles_bends_the_beam() {
    let mut frame = cantilever();
    let hold = [Hold::Free, Hold::Free, Hold::Fixed, Hold::Free, Hold::Free, Hold::Free];
    frame.supports.push(Support { node: 1, holds: hold });
    frame.cases[0].nodal.clear();
    frame.cases[0].settlements.push(Settlement { node: 1, freedom: 2, moved: -0.003 });
    let solution = solved(&frame);
    let section = frame.members[0].section;
    let (length, area): (f64, f64) = (1.2, section.shear_area_y.unwrap());
    let give = length.powi(3) / (3.0 * section.elastic * section.inertia_z) + length / (section.shear * area);
    assert!((solution.reactions.at(1)[2] + 0.003 / give).abs() < 1e-9, "{:?}", solution.reactions);
    assert_eq!(solution.displacements.at(1)[2], -0.003);
}

fn along(frame: &Frame, member: usize) -> Along {
    Along::new(frame, &each_case(frame)[0], &solved(frame), member)
}

/// A beam on two hinges: w L^2 / 8 in the middle, 5 w L^4 / (384 E I) + w L^2 / (8 G A) (beam tables).
#[test]
fn an_even_load_bows_a_beam_as_the_tables_say() {
    let mut frame = cantilever();
    frame.members[0].springs = [[None, None, None, None, None, Some(0.0)]; 2];
    frame.supports.push(built_in(1));
    frame.cases[0].nodal.clear();
    frame.cases[0]
        .members
        .push(MemberLoad { member: 0, spread: Spread::Uniform(DVec3::new(0.0, 0.0, -500.0)) });
    let (own, section) = (along(&frame, 0), frame.members[0].section);
    let (at, moment) = own.greatest_moment(2);
    assert!((at - 0.6).abs() < 1e-12 && (moment - 500.0 * 1.44 / 8.0).abs() < 1e-9, "{at} {moment}");
    let bent = 5.0 * 500.0 * 1.2_f64.powi(4) / (384.0 * section.elastic * section.inertia_z);
    let sheared = 500.0 * 1.44 / (8.0 * section.shear * section.shear_area_y.unwrap());
    assert!((own.deflection(0.6).x + bent + sheared).abs() < 1e-12);
    assert!(own.deflection(0.0).length() < 1e-18 && own.deflection(1.2).length() < 1e-15);
    assert_eq!(own.stations().len(), 3);
}

/// A point load and a ramp off the middle: forces at the far end are those that the solver found there, and a node put into
/// the member moves as the closed form says.
#[test]
fn forces_and_deflection_agree_with_a_node_put_there() {
    let loads = |member: usize, shift: f64| {
        [
            Spread::Point { at: 0.4 - shift, force: DVec3::new(10.0, 60.0, -300.0) },
            Spread::Trapezoid {
                from: 0.1 - shift,
                to: 0.45 - shift,
                begins: DVec3::new(0.0, 20.0, -100.0),
                ends: DVec3::new(5.0, -30.0, -700.0),
            },
        ]
        .map(|spread| MemberLoad { member, spread })
    };
    let mut whole = cantilever();
    whole.supports.push(built_in(1));
    whole.cases[0].nodal.clear();
    let mut parted = whole.clone();
    whole.cases[0].members.extend(loads(0, 0.0));
    parted.nodes.push(node("between", 0.7, 0.0, 0.0));
    parted.members = vec![beam("near", [0, 2], DVec3::Z), beam("rest", [2, 1], DVec3::Z)];
    parted.cases[0].members.extend(loads(0, 0.0));
    let own = along(&whole, 0);
    let solution = solved(&parted);
    let moved = solution.displacements.at(2);
    let bowed = own.deflection(0.7);
    // Local y is up and local z is against global y.
    assert!((bowed.x - moved[2]).abs() < 1e-13 && (bowed.y + moved[1]).abs() < 1e-13, "{bowed} {moved:?}");
    let forces = own.at(0.7);
    let there = [forces.force.to_array(), forces.moment.to_array()].concat();
    for (a, b) in there.iter().zip(&solution.end_forces.at(0)[6..]) {
        assert!((a - b).abs() < 1e-9, "{there:?} {:?}", solution.end_forces.at(0));
    }
}
