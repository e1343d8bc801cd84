//! Swings at rest: laws that hold for any of them, closed forms, and what is told of those that cannot be.

use proptest::prelude::*;
use slatwork_base::{Angle, Severity, maths};
use slatwork_checks::statics::hang::{hook_loads, one_link};
use slatwork_checks::statics::swing::{
    Chain, Mass, Posture, Rest, STANDARD_GRAVITY, Suspended, resettle, settle,
};
use slatwork_solid::{DQuat, DVec3};

const NAMES: [&str; 4] = ["left front", "left rear", "right front", "right rear"];

/// Forces in weights, lengths in the longest chain: a tenth of what the answer promises is left for the sum's rounding.
const EXACT: f64 = 1e-8;

fn hung(posture: Rest) -> Posture {
    match posture {
        Rest::Hangs(posture) => posture,
        Rest::Tips(over) => panic!("turns over: {}", over.why),
    }
}

fn posture(swing: &Suspended) -> Posture {
    let outcome = settle(swing);
    hung(outcome.value.unwrap_or_else(|| panic!("{:?}", outcome.diagnostics)))
}

fn codes(swing: &Suspended) -> Vec<&'static str> {
    settle(swing).diagnostics.iter().map(|own| own.code).collect()
}

/// A seat 1.2 m wide and 0.5 m deep hung 1.6 m below four hooks over half of its depth, with one mass at a place.
fn four_hooks(hooks: [DVec3; 4], at: DVec3) -> Suspended {
    let eyes = [(-0.6, -0.25), (-0.6, 0.25), (0.6, -0.25), (0.6, 0.25)].map(|(x, y)| DVec3::new(x, y, 0.0));
    let chain = |index: usize| Chain {
        id: NAMES[index].into(),
        eye: eyes[index],
        hook: hooks[index],
        hook_id: format!("hook {index}"),
        length: hooks[index].distance(eyes[index] - DVec3::Z * 1.6),
    };
    Suspended {
        gravity: STANDARD_GRAVITY,
        chains: (0..4).map(chain).collect(),
        masses: vec![Mass { mass: 20.0, at: DVec3::Z * 0.1 }, Mass { mass: 90.0, at }],
    }
}

fn straight_up(at: DVec3) -> Suspended {
    four_hooks(
        [(-0.6, -0.25), (-0.6, 0.25), (0.6, -0.25), (0.6, 0.25)].map(|(x, y)| DVec3::new(x, y, 0.0)),
        at,
    )
}

/// Hung over one ring a side.
fn rings(spread: f64, at: DVec3) -> Suspended {
    let x = 0.6 + spread;
    let mut swing = four_hooks([-x, -x, x, x].map(|x| DVec3::new(x, 0.0, 0.0)), at);
    for (chain, hook) in swing.chains.iter_mut().zip(["left", "left", "right", "right"]) {
        chain.hook_id = hook.into();
    }
    swing
}

prop_compose! {
    fn point(x: f64, y: f64, (low, high): (f64, f64))(
        point in (-x..=x, -y..=y, low..=high)
    ) -> DVec3 { DVec3::new(point.0, point.1, point.2) }
}

prop_compose! {
    /// Hooks anywhere about the seat's corners, chains a little off what the level seat takes, a sitter anywhere on it.
    fn any_swing()(
        shifts in prop::array::uniform4(point(0.2, 0.2, (-0.2, 0.2))),
        off in prop::array::uniform4(-0.03..0.03),
        at in point(0.4, 0.15, (0.1, 0.3)),
    ) -> Suspended {
        let mut swing = straight_up(at);
        let hooks = [0, 1, 2, 3].map(|index: usize| swing.chains[index].hook + shifts[index]);
        swing = four_hooks(hooks, at);
        swing.chains.iter_mut().zip(off).for_each(|(chain, off)| chain.length += off);
        swing
    }
}

/// The free body from nothing but the answer: forces, moments, lengths, no chain that pushes, none slack that pulls.
fn assert_in_balance(swing: &Suspended, posture: &Posture) {
    let longest = swing.chains.iter().map(|chain| chain.length).fold(0.0, f64::max);
    let (mut force, mut moment) = (-DVec3::Z * swing.weight(), DVec3::ZERO);
    for (chain, state) in swing.chains.iter().zip(&posture.chains) {
        let eye = posture.origin + posture.turn * chain.eye;
        let up = (chain.hook - eye).normalize_or_zero();
        force += up * state.tension;
        moment += (eye - posture.centre).cross(up * state.tension);
        let beyond = (chain.hook.distance(eye) + state.spare - chain.length) / longest;
        assert!(beyond.abs() < 1e-6, "{}: {beyond}", chain.id);
        assert!(state.tension >= 0.0 && state.spare >= 0.0, "{state:?}");
        assert!(state.tension == 0.0 || state.spare == 0.0, "{state:?}");
        assert!(state.pull.distance(posture.turn.inverse() * up) < 1e-6 || state.is_slack());
    }
    assert!(force.length() < EXACT * swing.weight(), "{force} of {}", swing.weight());
    let arm =
        longest + swing.chains.iter().map(|chain| chain.eye.distance(swing.centre())).fold(0.0, f64::max);
    assert!(moment.length() < EXACT * swing.weight() * arm, "{moment}");
    let hooks: DVec3 = posture.hooks.iter().map(|hook| hook.force).sum();
    assert!((hooks + DVec3::Z * swing.weight()).length() < EXACT * swing.weight());
}

fn assert_near(found: f64, wanted: f64, within: f64, what: &str) {
    assert!((found - wanted).abs() <= within, "{what}: {found} is not {wanted}");
}

fn assert_alike(one: &Posture, other: &Posture, force: f64) {
    for (found, wanted) in [(one.tilt, other.tilt), (one.roll, other.roll), (one.yaw, other.yaw)] {
        assert_near(found.as_deg(), wanted.as_deg(), 1e-5, "angle");
    }
    for (found, wanted) in one.chains.iter().zip(&other.chains) {
        assert_near(found.tension * force, wanted.tension, 1e-5 * 1100.0, "tension");
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn forces_and_moments_sum_to_nothing(swing in any_swing()) {
        assert_in_balance(&swing, &posture(&swing));
    }

    /// No small move that the chains allow takes the weight lower.
    #[test]
    fn no_move_leads_down(swing in any_swing(), turn in point(1.0, 1.0, (-1.0, 1.0)), shift in point(1.0, 1.0, (-1.0, 1.0))) {
        let posture = posture(&swing);
        let turned = DQuat::from_scaled_axis(turn * 0.02) * posture.turn;
        let mut origin = posture.origin + shift * 0.02;
        let beyond = |origin: DVec3| swing.chains.iter().map(|chain| (origin + turned * chain.eye).distance(chain.hook) - chain.length).fold(f64::NEG_INFINITY, f64::max);
        // Raised until all chains reach again; nearly upright chains shorten by nearly as much.
        for _ in 0..60 {
            origin.z += beyond(origin);
        }
        prop_assert!(beyond(origin) < 1e-9);
        let centre = origin + turned * swing.centre();
        prop_assert!(centre.z >= posture.centre.z - 1e-9, "{} is below {}", centre.z, posture.centre.z);
    }

    #[test]
    fn a_mirrored_swing_hangs_mirrored(swing in any_swing()) {
        let mirror = |point: DVec3| DVec3::new(-point.x, point.y, point.z);
        let mut mirrored = swing.clone();
        for chain in &mut mirrored.chains {
            (chain.eye, chain.hook) = (mirror(chain.eye), mirror(chain.hook));
        }
        mirrored.masses.iter_mut().for_each(|own| own.at = mirror(own.at));
        let (one, mut other) = (posture(&swing), posture(&mirrored));
        prop_assert!(one.origin.distance(mirror(other.origin)) < 1e-6);
        (other.roll, other.yaw) = (-other.roll, -other.yaw);
        assert_alike(&one, &other, 1.0);
    }

    #[test]
    fn size_and_weight_leave_the_angles(swing in any_swing(), size in 0.01..100.0f64, weight in 0.01..100.0f64) {
        let mut scaled = swing.clone();
        for chain in &mut scaled.chains {
            (chain.eye, chain.hook, chain.length) = (chain.eye * size, chain.hook * size, chain.length * size);
        }
        scaled.masses.iter_mut().for_each(|own| *own = Mass { mass: own.mass * weight, at: own.at * size });
        let (one, other) = (posture(&swing), posture(&scaled));
        assert_alike(&other, &one, 1.0 / weight);
        prop_assert!((other.origin / size).distance(one.origin) < 1e-6);
    }

    /// Hooks moved take the seat along; where the seat's own frame stands is nothing to it.
    #[test]
    fn a_rigid_move_changes_nothing(swing in any_swing(), shift in point(5.0, 5.0, (-5.0, 5.0)), frame in point(2.0, 2.0, (-2.0, 2.0))) {
        let mut moved = swing.clone();
        for chain in &mut moved.chains {
            (chain.hook, chain.eye) = (chain.hook + shift, chain.eye + frame);
        }
        moved.masses.iter_mut().for_each(|own| own.at += frame);
        let (one, other) = (posture(&swing), posture(&moved));
        prop_assert!(other.centre.distance(one.centre + shift) < 1e-6);
        prop_assert!((other.origin + other.turn * frame).distance(one.origin + shift) < 1e-6);
        assert_alike(&one, &other, 1.0);
    }

    /// Hooks turned about the vertical turn the seat along. A seat that hangs on a diagonal with the fourth chain slack
    /// may rock over to the other side when it is let go askew, so all four carry here.
    #[test]
    fn hooks_turned_about_the_vertical_turn_the_seat(swing in any_swing(), yaw in -0.3..0.3f64) {
        let one = posture(&swing);
        prop_assume!(one.chains.iter().all(|chain| !chain.is_slack()));
        let (turn, mut turned) = (DQuat::from_rotation_z(yaw), swing.clone());
        turned.chains.iter_mut().for_each(|chain| chain.hook = turn * chain.hook);
        let mut other = posture(&turned);
        prop_assert!(other.centre.distance(turn * one.centre) < 1e-6);
        other.yaw = other.yaw - Angle::rad(yaw);
        assert_alike(&one, &other, 1.0);
    }

    /// Whatever the figures: an answer in balance, or words; never a panic.
    #[test]
    fn wild_figures_give_an_answer_in_balance_or_words(
        chains in prop::collection::vec((point(2.0, 2.0, (-2.0, 2.0)), point(2.0, 2.0, (-2.0, 2.0)), wild()), 0..6),
        masses in prop::collection::vec((wild(), point(2.0, 2.0, (-2.0, 2.0))), 0..4),
        gravity in wild(),
    ) {
        let chain = |(index, (eye, hook, length)): (usize, (DVec3, DVec3, f64))| {
            let id = index.to_string();
            Chain { hook_id: id.clone(), id, eye, hook, length }
        };
        let chains = chains.into_iter().enumerate().map(chain).collect();
        let masses = masses.into_iter().map(|(mass, at)| Mass { mass, at }).collect();
        let swing = Suspended { gravity, chains, masses };
        let outcome = settle(&swing);
        match outcome.value {
            Some(Rest::Hangs(posture)) => assert_in_balance(&swing, &posture),
            Some(Rest::Tips(_)) => prop_assert!(outcome.diagnostics.iter().any(|own| own.severity == Severity::Failure)),
            None => prop_assert!(outcome.diagnostics.iter().any(|own| own.is_error())),
        }
    }
}

/// Mostly figures of a swing, some of them none.
fn wild() -> impl Strategy<Value = f64> {
    prop_oneof![20 => 0.5..4.0, 1 => Just(f64::NAN), 1 => Just(0.0), 1 => Just(-1.0), 1 => Just(1e300), 1 => Just(1e-300)]
}

/// Two chains spread by 15 degrees, by hand: T = W / 2 / cos, and W / 2 tan sideways.
#[test]
fn spread_chains_pull_sideways() {
    let mut swing = rings(0.0, DVec3::new(0.0, 0.0, -0.2));
    for chain in &mut swing.chains {
        chain.hook.x += 1.6 * maths::tan(Angle::deg(15.0).as_rad()).copysign(chain.hook.x);
        chain.eye.y = 0.0;
        chain.length = 1.6 / Angle::deg(15.0).cos();
    }
    let half = swing.weight() / 2.0;
    let loads = hook_loads(&posture(&swing), 1.5);
    assert_eq!(loads.iter().map(|own| own.hook.as_str()).collect::<Vec<_>>(), ["left", "right"]);
    for (load, side) in loads.iter().zip([1.0, -1.0]) {
        assert_near(load.pull, 1.5 * half / Angle::deg(15.0).cos(), 1e-5, "pull");
        assert_near(load.vertical, 1.5 * half, 1e-5, "vertical");
        assert_near(
            load.horizontal.x,
            side * 1.5 * half * maths::tan(Angle::deg(15.0).as_rad()),
            1e-5,
            "horizontal",
        );
        assert_near(load.from_vertical.as_deg(), 15.0, 1e-6, "angle");
    }
}

/// On a ring a side the centre of gravity hangs under the rings: tilt = atan of its place behind over its drop below.
#[test]
fn the_load_hangs_under_the_rings() {
    let swing = rings(0.0, DVec3::new(0.0, 0.1, 0.3));
    let centre = swing.centre();
    assert_near(posture(&swing).tilt.as_rad(), maths::atan2(centre.y, 1.6 - centre.z), 1e-9, "tilt");
}

/// Parallel chains go up and down as one; one link less on the rear pair lifts the rear, on the left pair the left.
#[test]
fn a_link_lifts_what_hangs_by_it() {
    let swing = straight_up(DVec3::new(0.0, 0.0, 0.2));
    let pitch = 0.031;
    let all = one_link(&swing, &NAMES, pitch).value.unwrap();
    assert!(all.shift.distance(DVec3::Z * pitch) < 1e-6 && all.tilt.as_deg().abs() < 1e-6, "{all:?}");
    let rear = one_link(&swing, &["left rear", "right rear"], pitch).value.unwrap();
    assert!(rear.tilt.as_deg() < -3.0 && rear.roll.as_deg().abs() < 1e-6, "{:?}", rear.tilt);
    let left = one_link(&swing, &["left front", "left rear"], pitch).value.unwrap();
    assert!(left.roll.as_deg() < -1.0 && left.tilt.as_deg().abs() < 1e-6, "{:?}", left.roll);
    assert_eq!(one_link(&swing, &["middle"], pitch).diagnostics[0].code, "unknown-chain");
    let short = one_link(&swing, &NAMES, 1.6);
    assert_eq!((short.value, short.diagnostics.last().unwrap().code), (None, "chain-without-length"));
}

/// Four upright chains and the load in a corner: a tension below zero that the lever rule gives goes to the others.
#[test]
fn a_load_in_the_corner_slackens_the_chain_across() {
    let mut swing = straight_up(DVec3::new(-0.55, 0.22, 0.2));
    swing.masses.remove(0);
    let posture = posture(&swing);
    assert!(posture.chains[2].is_slack(), "{:?}", posture.chains);
    assert_in_balance(&swing, &posture);
    assert_eq!(codes(&swing), ["tension-undetermined"]);
}

#[test]
fn a_chain_slack_by_a_hair_is_told() {
    let mut swing = straight_up(DVec3::new(0.0, 0.05, 0.2));
    swing.chains[0].length += 5e-4;
    let told = settle(&swing).diagnostics;
    assert_eq!(told[0].code, "tension-undetermined");
    assert!(told[0].message.starts_with("chain left front is slack by 0.50 mm only"), "{}", told[0].message);
}

#[test]
fn another_load_comes_to_the_rest_that_it_would_sink_into() {
    let empty = |mut swing: Suspended| {
        swing.masses.truncate(1);
        posture(&swing)
    };
    let places =
        [(0.0, 0.1, 0.3), (0.3, 0.05, 0.25), (-0.4, -0.12, 0.2)].map(|(x, y, z)| DVec3::new(x, y, z));
    for at in places {
        for swing in [rings(0.0, at), rings(0.1, at), straight_up(at)] {
            let again = hung(resettle(&swing, &empty(swing.clone())).value.expect("it hangs"));
            assert_in_balance(&swing, &again);
            assert_alike(&again, &posture(&swing), 1.0);
        }
    }
}

#[test]
fn another_load_turns_the_seat_over_as_if_it_had_come_first() {
    let behind = rings(0.0, DVec3::new(0.0, 0.6, 0.3));
    let before = posture(&rings(0.0, DVec3::new(0.0, 0.05, 0.3)));
    assert!(matches!(resettle(&behind, &before).value, Some(Rest::Tips(_))));
    let mut nothing = behind;
    nothing.masses.clear();
    assert_eq!(resettle(&nothing, &before).diagnostics[0].code, "swing-without-weight");
}

#[test]
fn a_seat_that_turns_over_is_told_with_its_reason() {
    let behind = rings(0.0, DVec3::new(0.0, 0.6, 0.3));
    let outcome = settle(&behind);
    let Some(Rest::Tips(over)) = outcome.value else { panic!("{outcome:?}") };
    assert_eq!(
        (outcome.diagnostics[0].code, outcome.diagnostics[0].severity),
        ("swing-turns-over", Severity::Failure)
    );
    assert!(over.why.contains("front would have to push with"), "{}", over.why);
    assert!(over.hanging_tilt.as_deg() > 90.0, "{over:?}");
    // On two eyes in one line with the load right above them: it might stand so, and never does.
    let mut on_two = rings(0.0, DVec3::new(0.0, 0.0, 0.3));
    on_two.chains.iter_mut().for_each(|chain| chain.eye.y = 0.0);
    assert_eq!(codes(&on_two), ["swing-turns-over"]);
}

#[test]
fn a_seat_that_leans_far_is_told() {
    let low = |y: f64| Suspended {
        masses: vec![Mass { mass: 80.0, at: DVec3::new(0.0, y, -0.4) }],
        ..rings(0.0, DVec3::ZERO)
    };
    assert_eq!(codes(&low(0.2)), [""; 0]);
    assert_eq!(codes(&low(0.9)), ["swing-tilts-far"]);
}

#[test]
fn what_nothing_brings_back_is_told() {
    let mut one_ring = rings(0.0, DVec3::new(0.0, 0.0, 0.2));
    for chain in &mut one_ring.chains {
        (chain.hook, chain.hook_id) = (DVec3::ZERO, "ring".into());
        chain.length = chain.eye.distance(DVec3::Z * 1.6);
    }
    let outcome = settle(&one_ring);
    assert_eq!(
        (outcome.diagnostics[0].code, outcome.diagnostics[0].severity),
        ("swing-turns-freely", Severity::Note)
    );
    assert_eq!(hung(outcome.value.unwrap()).stiffness, 0.0);
    let mut level = rings(0.0, DVec3::ZERO);
    level.masses.remove(0);
    level.chains.iter_mut().for_each(|chain| chain.eye.y = 0.0);
    let told = settle(&level).diagnostics;
    assert!(
        told.iter().any(|own| own.code == "swing-turns-freely" && own.severity == Severity::Warning),
        "{told:?}"
    );
}

#[test]
fn what_cannot_hang_is_told() {
    let swing = straight_up(DVec3::new(0.0, 0.0, 0.2));
    let after = |change: &dyn Fn(&mut Suspended)| {
        let mut own = swing.clone();
        change(&mut own);
        let outcome = settle(&own);
        assert_eq!(outcome.value, None);
        outcome.diagnostics.iter().map(|own| own.code).collect::<Vec<_>>()
    };
    assert_eq!(after(&|own| own.chains.clear()), ["swing-without-chain"]);
    assert_eq!(after(&|own| own.masses.clear()), ["swing-without-weight"]);
    assert_eq!(after(&|own| own.masses[1].mass = -1.0), ["impossible-figure"]);
    assert_eq!(after(&|own| own.masses[1].at.y = f64::NAN), ["impossible-figure"]);
    assert_eq!(after(&|own| own.gravity = 0.0), ["impossible-figure"]);
    assert_eq!(after(&|own| own.chains[2].hook.x = f64::INFINITY), ["impossible-figure"]);
    for length in [0.0, -1.7, f64::NAN, f64::INFINITY, 1700.0] {
        assert_eq!(after(&|own| own.chains[1].length = length), ["chain-without-length"]);
    }
    assert_eq!(after(&|own| own.chains[1].id = NAMES[0].into()), ["same-chain-name"]);
    assert_eq!(after(&|own| own.chains[1].hook_id = "hook 0".into()), ["hook-in-two-places"]);
    let apart = |own: &mut Suspended| own.chains.iter_mut().for_each(|chain| chain.hook.x *= 5.0);
    assert_eq!(after(&apart), ["chain-cannot-reach"]);
    let many = |own: &mut Suspended| {
        let one = own.chains[0].clone();
        own.chains = (0..25).map(|index| Chain { id: index.to_string(), ..one.clone() }).collect();
    };
    assert_eq!(after(&many), ["impossible-figure"]);
}

/// One rope: the load hangs straight below the hook, whichever way the seat was drawn.
#[test]
fn one_chain_holds_the_load_below_its_hook() {
    let mut swing = straight_up(DVec3::new(0.1, 0.05, -0.5));
    swing.chains.truncate(1);
    let outcome = settle(&swing);
    let posture = hung(outcome.value.unwrap());
    assert_in_balance(&swing, &posture);
    assert!((posture.centre - swing.chains[0].hook).truncate().length() < 1e-7);
}

/// Chains that do not fit a level seat leave it on a diagonal: let go askew it rocks over to the other side, and stays.
#[test]
fn a_seat_on_a_diagonal_has_two_postures() {
    let mut swing = straight_up(DVec3::new(-0.12, 0.05, 0.1));
    let changes = [(0.0, 0.0), (-0.047, -0.027), (-0.171, 0.009), (0.0, 0.021)];
    for (chain, (aside, longer)) in swing.chains.iter_mut().zip(changes) {
        chain.hook.x += aside;
        chain.length += longer;
    }
    let slack_when_turned = |yaw: f64| {
        let mut turned = swing.clone();
        turned.chains.iter_mut().for_each(|chain| chain.hook = DQuat::from_rotation_z(yaw) * chain.hook);
        let posture = posture(&turned);
        assert_in_balance(&turned, &posture);
        posture.chains.iter().position(|chain| chain.is_slack())
    };
    assert_eq!((slack_when_turned(0.0), slack_when_turned(0.15)), (Some(0), Some(3)));
}
