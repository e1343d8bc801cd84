//! What must hold of every frame, whatever its figures.

mod common;
#[path = "common/feet.rs"]
mod feet;

use common::{each_case, scaffold};
use feet::bench;
use proptest::prelude::*;
use proptest::test_runner::FileFailurePersistence;
use slatwork_checks::statics::frame::{
    Altered, Combination, Frame, LoadCase, MemberLoad, NodalLoad, Prepared, Solution, Spread, Support, solve,
};
use slatwork_solid::{DMat3, DQuat, DVec3};

/// The only combination solved.
fn solved(frame: &Frame, factor: f64) -> Solution {
    let combination = Combination { name: "own".to_string(), factors: vec![(0, factor)] };
    let answers = solve(frame, &[combination]).unwrap();
    answers.into_iter().next().unwrap().outcome.unwrap()
}

fn largest(values: &[f64]) -> f64 {
    values.iter().fold(0.0, |most, own| most.max(own.abs()))
}

/// Two lists of figures within a share of the largest.
fn alike(a: &[f64], b: &[f64], share: f64) {
    assert_eq!(a.len(), b.len());
    let scale = largest(a).max(1e-12);
    for (a, b) in a.iter().zip(b) {
        assert!((a - b).abs() <= share * scale, "{a} {b} of {scale}");
    }
}

/// Frames with random sections, springs and places: a scaffold, or the bench.
fn frames() -> impl Strategy<Value = Frame> {
    let figures = (0.3..3.0_f64, 0.3..3.0_f64, 0.2..5.0_f64, proptest::collection::vec(-0.03..0.03_f64, 60));
    (any::<bool>(), figures).prop_map(|(is_bench, (area, inertia, spring, shifts))| {
        let mut frame = if is_bench { bench() } else { scaffold(2, 1, 2) };
        for (at, node) in frame.nodes.iter_mut().enumerate() {
            let shift = |axis: usize| shifts[(3 * at + axis) % shifts.len()];
            // Feet stay on the floor.
            node.at += DVec3::new(shift(0), shift(1), if node.at.z > 0.0 { shift(2) } else { 0.0 });
        }
        for (at, member) in frame.members.iter_mut().enumerate() {
            member.section.area *= area;
            member.section.inertia_y *= inertia;
            for own in member.springs.as_flattened_mut().iter_mut().flatten() {
                *own *= spring;
            }
            if !is_bench && at % 4 == 0 {
                member.springs[0][5] = Some(2e3 * spring);
                member.offsets[1] = DVec3::new(0.01, -0.02, 0.01);
            }
        }
        frame
    })
}

fn spread_turned(spread: Spread, turn: DMat3) -> Spread {
    match spread {
        Spread::Uniform(load) => Spread::Uniform(turn * load),
        Spread::Point { at, force } => Spread::Point { at, force: turn * force },
        Spread::Trapezoid { from, to, begins, ends } => {
            Spread::Trapezoid { from, to, begins: turn * begins, ends: turn * ends }
        }
    }
}

/// The frame turned (or mirrored) and moved with its loads; moments are axial vectors. Its supports must be turned alike by
/// the caller.
fn carried(frame: &Frame, turn: DMat3, shift: DVec3) -> Frame {
    let axial = turn * turn.determinant();
    let mut own = frame.clone();
    own.nodes.iter_mut().for_each(|node| node.at = turn * node.at + shift);
    for member in &mut own.members {
        member.y_axis = turn * member.y_axis;
        member.offsets = member.offsets.map(|offset| turn * offset);
    }
    for case in &mut own.cases {
        for load in &mut case.nodal {
            load.force = turn * load.force;
            load.moment = axial * load.moment;
        }
        for load in &mut case.members {
            load.spread = spread_turned(load.spread, turn);
        }
    }
    own
}

fn vectors(values: &[f64; 6]) -> [DVec3; 2] {
    [DVec3::from_slice(values), DVec3::from_slice(&values[3..])]
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 48,
        failure_persistence: Some(Box::new(FileFailurePersistence::Direct("proptest-regressions/frame_properties.txt"))),
        ..ProptestConfig::default()
    })]

    /// Feet that only push and wires that only pull stay as they are when the load grows: a cone, not a linear space.
    #[test]
    fn twice_the_load_is_twice_the_answer(frame in frames(), factor in 1.1..5.0_f64) {
        let (one, more) = (solved(&frame, 1.0), solved(&frame, factor));
        let times: Vec<f64> = one.end_forces.figures().iter().map(|own| own * factor).collect();
        alike(&more.end_forces.figures(), &times, 1e-8);
        prop_assert_eq!(one.slack, more.slack);
        prop_assert_eq!(one.open, more.open);
    }

    #[test]
    fn opposite_load_is_opposite_answer_where_nothing_is_one_sided(factor in 0.2..3.0_f64) {
        let frame = scaffold(2, 1, 2);
        let (one, back) = (solved(&frame, factor), solved(&frame, -factor));
        let opposite: Vec<f64> = one.displacements.figures().iter().map(|own| -own).collect();
        alike(&back.displacements.figures(), &opposite, 1e-9);
    }

    /// Built-in feet hold in every direction, so the whole may be turned any way: member forces stay, displacements turn.
    #[test]
    fn turning_and_moving_the_whole_changes_nothing(
        frame in frames().prop_filter("supports that can be turned", |own| own.supports.len() == 6),
        axis in (-1.0..1.0_f64, -1.0..1.0_f64, 0.1..1.0_f64), angle in 0.1..3.0_f64,
        shift in (-5.0..5.0_f64, -5.0..5.0_f64, -5.0..5.0_f64),
    ) {
        let turn = DMat3::from_quat(DQuat::from_axis_angle(DVec3::from(axis).normalize(), angle));
        let (here, there) = (solved(&frame, 1.0), solved(&carried(&frame, turn, DVec3::from(shift)), 1.0));
        alike(&there.end_forces.figures(), &here.end_forces.figures(), 1e-8);
        let turned: Vec<f64> = here.displacements.iter()
            .flat_map(|own| vectors(&own).map(|own| (turn * own).to_array())).flatten().collect();
        alike(&there.displacements.figures(), &turned, 1e-8);
    }

    /// Mirrored left to right, the answer is the mirror image: forces are mirrored, moments too and turned round.
    #[test]
    fn the_mirror_image_has_the_mirrored_answer(frame in frames()) {
        let mirror = DMat3::from_diagonal(DVec3::new(-1.0, 1.0, 1.0));
        let (here, there) = (solved(&frame, 1.0), solved(&carried(&frame, mirror, DVec3::new(1.2, 0.0, 0.0)), 1.0));
        let mirrored: Vec<f64> = here.displacements.iter().flat_map(|own| {
            let [moved, turned] = vectors(&own);
            [(mirror * moved).to_array(), (-(mirror * turned)).to_array()]
        }).flatten().collect();
        alike(&there.displacements.figures(), &mirrored, 1e-8);
        prop_assert_eq!(here.open, there.open);
    }

    /// Names and numbers of nodes are only names.
    #[test]
    fn the_order_of_nodes_and_members_does_not_matter(frame in frames(), seed in 1..1000_usize) {
        let count = frame.nodes.len();
        // A permutation: place `at` holds what was at `from(at)`.
        let mut from: Vec<usize> = (0..count).collect();
        for at in (1..count).rev() {
            from.swap(at, (seed * 7919 + at * 104_729) % (at + 1));
        }
        let mut to = vec![0; count];
        from.iter().enumerate().for_each(|(at, &own)| to[own] = at);
        let mut other = frame.clone();
        other.nodes = from.iter().map(|&own| frame.nodes[own].clone()).collect();
        other.members.iter_mut().for_each(|own| own.ends = own.ends.map(|end| to[end]));
        other.supports = frame.supports.iter().map(|own| Support { node: to[own.node], ..own.clone() }).collect();
        for case in &mut other.cases {
            case.nodal.iter_mut().for_each(|own| own.node = to[own.node]);
            case.settlements.iter_mut().for_each(|own| own.node = to[own.node]);
        }
        let (here, there) = (solved(&frame, 1.0), solved(&other, 1.0));
        alike(&there.end_forces.figures(), &here.end_forces.figures(), 1e-8);
        alike(&there.reactions.figures(), &here.reactions.figures(), 1e-8);
    }

    /// Summed here by the loads as given, not by the solver's own sums: each member, each node, the whole.
    #[test]
    fn every_free_body_is_in_equilibrium(frame in frames()) {
        let solution = solved(&frame, 1.0);
        let scale = largest(&solution.end_forces.figures()).max(1.0);
        let case = &frame.cases[0];
        let mut at_nodes = vec![[DVec3::ZERO; 2]; frame.nodes.len()];
        for (at, forces) in solution.end_forces.iter().enumerate() {
            let loads: Vec<&MemberLoad> = case.members.iter().filter(|own| own.member == at).collect();
            let rest = member_rest(&frame, at, &forces, &loads, &mut at_nodes);
            prop_assert!(largest(&[rest[0].to_array(), rest[1].to_array()].concat()) <= 1e-9 * scale);
        }
        add_loads(case, &frame, &solution, &mut at_nodes);
        for rest in at_nodes {
            prop_assert!(largest(&[rest[0].to_array(), rest[1].to_array()].concat()) <= 1e-8 * scale);
        }
    }

    /// Figures of any size: an answer is finite and has passed its checks, or there is none.
    #[test]
    fn odd_figures_give_finite_answers_or_none(
        powers in proptest::collection::vec(-14..14_i32, 40), which in 0..13_usize, end in 0..2_usize, release in 0..6_usize,
    ) {
        let mut frame = bench();
        for (at, member) in frame.members.iter_mut().enumerate() {
            member.section.area *= 10.0_f64.powi(powers[at]);
            member.section.inertia_z *= 10.0_f64.powi(powers[at + 13]);
        }
        frame.nodes[which % 10].at *= 10.0_f64.powi(powers[39]);
        if which < 11 {
            frame.members[which].springs[end][release] = Some(0.0);
        }
        let Ok(answers) = solve(&frame, &each_case(&frame)) else { return Ok(()) };
        match &answers[0].outcome {
            Err(told) => prop_assert!(told.iter().all(|own| own.is_error())),
            Ok(solution) => {
                let figures = solution.displacements.figures().into_iter().chain(solution.end_forces.figures());
                prop_assert!(figures.chain(solution.reactions.figures()).all(f64::is_finite));
                prop_assert!(solution.trust.left_over <= 1e-9 && solution.trust.whole <= 1e-8);
            }
        }
    }

    /// What only pushes pushes, what only pulls pulls, and what is idle carries nothing.
    #[test]
    fn one_sided_things_work_in_one_sense(x in -80.0..80.0_f64, y in -30.0..60.0_f64) {
        let mut frame = bench();
        frame.cases[0].nodal[0].force = DVec3::new(x, y, 0.0);
        let solution = solved(&frame, 1.0);
        let scale = largest(&solution.reactions.figures());
        for (support, own) in frame.supports.iter().zip(solution.reactions.iter()) {
            prop_assert!(own[2] >= -1e-9 * scale);
            prop_assert!(!solution.open.contains(&(support.node, 2)) || own[2] == 0.0);
        }
        for wire in [11, 12] {
            prop_assert!(solution.end_forces.at(wire)[6] >= -1e-9 * scale);
            prop_assert!(!solution.slack.contains(&wire) || solution.end_forces.at(wire)[6] == 0.0);
        }
    }
}

/// Forces and moments left on a member about its start node; what it does to its nodes is taken off there.
fn member_rest(
    frame: &Frame,
    at: usize,
    forces: &[f64; 12],
    loads: &[&MemberLoad],
    at_nodes: &mut [[DVec3; 2]],
) -> [DVec3; 2] {
    let member = &frame.members[at];
    let ends: Vec<DVec3> = (0..2).map(|end| frame.nodes[member.ends[end]].at + member.offsets[end]).collect();
    let x = (ends[1] - ends[0]).normalize();
    let y = (member.y_axis - x * x.dot(member.y_axis)).normalize();
    let axes = DMat3::from_cols(x, y, x.cross(y));
    let mut rest = [DVec3::ZERO; 2];
    for end in 0..2 {
        let [force, moment] =
            [0, 3].map(|from| axes * DVec3::from_slice(&forces[6 * end + from..6 * end + from + 3]));
        rest[0] += force;
        rest[1] += moment + (ends[end] - ends[0]).cross(force);
        let node = member.ends[end];
        at_nodes[node][0] -= force;
        at_nodes[node][1] -= moment + member.offsets[end].cross(force);
    }
    for load in loads {
        let length = (ends[1] - ends[0]).length();
        // Many strips: the trapezoid's resultant without a formula.
        let strips: Vec<(f64, DVec3)> = match load.spread {
            Spread::Point { at, force } => vec![(at, force)],
            Spread::Uniform(own) => vec![(length / 2.0, own * length)],
            Spread::Trapezoid { from, to, begins, ends } => (0..100_000)
                .map(|strip| (f64::from(strip) + 0.5) / 100_000.0)
                .map(|share| {
                    (from + share * (to - from), begins.lerp(ends, share) * ((to - from) / 100_000.0))
                })
                .collect(),
        };
        for (place, force) in strips {
            rest[0] += force;
            rest[1] += (x * place).cross(force);
        }
    }
    rest
}

fn add_loads(case: &LoadCase, frame: &Frame, solution: &Solution, at_nodes: &mut [[DVec3; 2]]) {
    for NodalLoad { node, force, moment } in &case.nodal {
        at_nodes[*node][0] += *force;
        at_nodes[*node][1] += *moment;
    }
    for (support, own) in frame.supports.iter().zip(solution.reactions.iter()) {
        let [force, moment] = vectors(&own);
        at_nodes[support.node][0] += force;
        at_nodes[support.node][1] += moment;
    }
}

/// Same input, same bits.
#[test]
fn the_answer_has_the_same_bits_every_time() {
    for frame in [bench(), scaffold(2, 2, 3)] {
        let all = each_case(&frame);
        assert_eq!(solve(&frame, &all), solve(&frame, &all));
    }
}

/// Combinations that lean on different feet and pull different wires, so that they part after the first round, and one of
/// another sense than all others.
fn many() -> (Frame, Vec<Combination>) {
    let mut frame = bench();
    let own = frame.cases[0].clone();
    for (name, force) in [("left", -900.0), ("right", 900.0)] {
        let force = DVec3::new(force, 0.0, -50.0);
        let nodal = vec![NodalLoad { node: 8, force, moment: DVec3::ZERO }];
        frame.cases.push(LoadCase { name: name.to_string(), nodal, ..LoadCase::default() });
    }
    let weight = NodalLoad { node: 6, force: DVec3::new(0.0, 0.0, -600.0), moment: DVec3::ZERO };
    frame.cases.push(LoadCase { name: "weight".to_string(), nodal: vec![weight], ..own });
    let factors = [
        vec![(0, 1.0)],
        vec![(1, 1.0), (3, 1.0)],
        vec![(2, 1.0), (3, 1.0)],
        vec![(3, 1.0)],
        vec![(2, 0.3), (3, 2.0)],
        vec![(0, 0.5), (1, 0.2), (3, 0.5)],
        vec![(1, 4.0), (3, 0.1)],
        // Nothing at all; and what lifts it off the floor.
        Vec::new(),
        vec![(3, -1.0)],
    ];
    let named = |(at, factors): (usize, Vec<(usize, f64)>)| Combination { name: format!("{at}"), factors };
    (frame, factors.into_iter().enumerate().map(named).collect())
}

/// Whatever goes through the factors beside it, a combination comes to the same bits.
#[test]
fn combinations_side_by_side_come_to_what_each_does_alone() {
    let (frame, all) = many();
    let together = solve(&frame, &all).unwrap();
    let rounds: Vec<usize> =
        together.iter().filter_map(|own| Some(own.outcome.as_ref().ok()?.trust.rounds)).collect();
    assert!(rounds.contains(&1) && rounds.iter().any(|rounds| *rounds > 1), "{rounds:?}");
    let lifted = together.last().map(|own| own.outcome.as_ref().map_err(|found| found[0].code).err());
    assert_eq!(lifted.flatten(), Some("frame-tips"));
    for (own, combination) in together.iter().zip(&all) {
        assert_eq!(std::slice::from_ref(own), solve(&frame, std::slice::from_ref(combination)).unwrap());
    }
}

/// A frame made ready with other end springs and sections answers as one that was given so, and the one it came of stays.
#[test]
fn an_altered_frame_answers_as_one_given_so() {
    let (frame, all) = many();
    let ready = Prepared::new(&frame).unwrap();
    let altered: Vec<Altered> = (6..11)
        .map(|member| {
            let own = &frame.members[member];
            let springs = own.springs.map(|end| end.map(|spring| spring.map(|spring| 0.5 * spring)));
            Altered { member, section: own.section, springs }
        })
        .collect();
    let mut given = frame.clone();
    for Altered { member, section, springs } in &altered {
        (given.members[*member].section, given.members[*member].springs) = (*section, *springs);
    }
    let softer = ready.with(&altered).unwrap().answers(&frame.cases, &all).unwrap();
    assert_eq!(softer, solve(&given, &all).unwrap());
    let before = ready.answers(&frame.cases, &all).unwrap();
    assert_eq!(before, solve(&frame, &all).unwrap());
    assert_ne!(before, softer);
    // Loads that are worked out once serve both, also where a member that bears one was altered.
    let loads = ready.loads(&frame.cases, &all).unwrap();
    let bears = |member| frame.cases.iter().flat_map(|case| &case.members).any(|load| load.member == member);
    assert!(bears(7) && !bears(3));
    for member in [7, 3] {
        let springs = [Some(2e4), Some(2e4), Some(3e4), Some(1e3), Some(1e3), Some(2e3)];
        let altered = [Altered { member, section: frame.members[member].section, springs: [springs; 2] }];
        let other = ready.with(&altered).unwrap();
        assert_eq!(other.under(&loads), other.answers(&frame.cases, &all).unwrap());
        assert_ne!(other.under(&loads), before);
    }
    assert_eq!(ready.under(&loads), before);
}

/// A member that cannot be made so is named, and a load that is nowhere on the frame.
#[test]
fn an_altered_member_and_loads_are_looked_at_as_any() {
    let (frame, all) = many();
    let ready = Prepared::new(&frame).unwrap();
    let loose = [Some(0.0), None, None, None, None, None];
    let altered = |springs| [Altered { member: 8, section: frame.members[8].section, springs }];
    let code = |springs| ready.with(&altered(springs)).err().map(|found| found[0].code);
    assert_eq!(code([loose, loose]), Some("member-swings-free"));
    assert_eq!(code([[Some(-1.0); 6], [None; 6]]), Some("figure-unfit"));
    let none = ready.answers(&frame.cases[..2], &all);
    assert_eq!(none.err().map(|found| found[0].code), Some("name-not-in-frame"));
    let beyond = [Altered { member: 99, ..altered([[None; 6]; 2])[0] }];
    assert_eq!(ready.with(&beyond).err().map(|found| found[0].code), Some("name-not-in-frame"));
}
