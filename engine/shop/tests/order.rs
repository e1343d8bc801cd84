//! The order of assembly of pieces made by hand, small enough to know what must come out.

mod hand;

use hand::{INCH, board, catalogue, joint, model};
use slatwork_base::{Area, Length, Origin, Severity, Tape};
use slatwork_catalog::FastenerKind;
use slatwork_model::joints::{Bore, Drive, Extra, HeadSeat, Layer, Metal};
use slatwork_model::{Fit, Group, GroupId, Joint, Model, NotchPurpose, OrderRule, PartId, Step, When};
use slatwork_shop::{Assembly, AssemblyStep, Does, assembly, assembly_within};
use slatwork_solid::{DAffine3, DQuat, DVec3, Hole, HoleStep, Tag};

fn plan(model: &Model) -> Assembly {
    assembly(model, &catalogue(), Tape::Inch16)
}

fn codes(plan: &Assembly) -> Vec<&'static str> {
    plan.findings.iter().map(|finding| finding.code).collect()
}

/// A joint with one screw from a head along a direction, through so much of the first part.
fn screwed(first: usize, second: usize, head: DVec3, direction: DVec3, outer: f64, inner: f64) -> Joint {
    let mut joint = joint("screwed face to face", first, second, "wood_screw_8", 1);
    let layer = |part: usize, from: f64, to: f64| Layer {
        part: PartId(part),
        from,
        to,
        grain: slatwork_base::Angle::deg(90.0),
        end: f64::INFINITY,
        edge: f64::INFINITY,
    };
    let one = &mut joint.fastenings[0];
    one.head = head;
    one.direction = direction;
    one.tip = head + direction * one.length.as_mm();
    one.layers = vec![layer(first, 0.0, outer), layer(second, outer, outer + inner)];
    let patch = joint.patch.as_mut().expect("joints made by hand have one");
    patch.normal = direction;
    patch.centre = head + direction * outer;
    joint
}

/// The same with a bolt right through.
fn bolted(first: usize, second: usize, head: DVec3, direction: DVec3, outer: f64, inner: f64) -> Joint {
    let mut joint = screwed(first, second, head, direction, outer, inner);
    joint.kind = String::from("bolted lap");
    let one = &mut joint.fastenings[0];
    one.item = String::from("carriage_bolt_5_16");
    one.kind = FastenerKind::CarriageBolt;
    one.drive = Drive::Wrench;
    one.length = Length::mm(outer + inner + 12.0);
    joint
}

/// A post with a slot open to its right, so wide in inches.
fn slotted_post(slot: f64) -> hand::Board {
    let post = board("post", "2x4", 12.0, 2.0 + slot + 2.0, 1.5);
    post.notch(4.0, 8.1, 2.0, slot, NotchPurpose::Plain, When::AtBench)
}

/// A post with a slot, and a block in the slot's floor.
fn block_in_slot(slot: f64) -> Model {
    let block = board("block", "2x4", 6.0, 0.75, 1.5).at(5.0 * INCH, 2.0 * INCH, 0.0);
    model(vec![slotted_post(slot), block])
}

/// Down through the block into the floor of the slot.
fn into_the_floor() -> (DVec3, DVec3) {
    (DVec3::new(8.0, 2.75, 0.75) * INCH, DVec3::NEG_Y)
}

#[test]
fn a_block_slides_into_its_slot() {
    let mut piece = block_in_slot(9.0);
    let (head, down) = into_the_floor();
    piece.joints.push(screwed(1, 0, head, down, 0.75 * INCH, 2.0 * INCH));
    let plan = plan(&piece);
    assert_eq!(codes(&plan), [""; 0]);
    assert_eq!(plan.steps.len(), 1);
    let [post, block] = &plan.steps[0].parts[..] else { panic!("{:?}", plan.steps) };
    assert_eq!((post.does, block.does), (Does::Laid, Does::ComesIn));
    // The slot is closed above and at the left: out it goes to the right, up or down through the thickness.
    let out = block.out.expect("it has a way");
    assert!(out.y.abs() < 0.01 && out.x > -0.01, "{out}");
    assert!(block.start.as_mm() > 6.0 * INCH || out.x.abs() < 0.01);
}

#[test]
fn a_screw_under_an_overhang_has_no_room_for_its_driver() {
    let mut piece = block_in_slot(2.0);
    let (head, down) = into_the_floor();
    piece.joints.push(screwed(1, 0, head, down, 0.75 * INCH, 2.0 * INCH));
    piece.joints[0].origin = Origin { line: 7, column: 3 };
    let plan = plan(&piece);
    assert_eq!(codes(&plan), ["driver-cannot-reach"]);
    let finding = &plan.findings[0];
    assert_eq!(finding.severity, Severity::Failure);
    assert_eq!(finding.place, Some(slatwork_base::Place::Script(Origin { line: 7, column: 3 })));
    // 2 in of slot less 3/4 in of block.
    assert!(
        finding.message.contains("(32 mm) are free") && finding.message.contains("(150 mm) are needed"),
        "{finding}"
    );
    assert!(!finding.help.is_empty());
}

#[test]
fn a_right_angle_attachment_reaches_where_a_driver_does_not() {
    let mut piece = block_in_slot(5.0);
    let (head, down) = into_the_floor();
    piece.joints.push(screwed(1, 0, head, down, 0.75 * INCH, 2.0 * INCH));
    let plan = plan(&piece);
    assert_eq!(codes(&plan), [""; 0]);
    assert!(
        plan.steps[0].tools.iter().any(|tool| tool == "right-angle attachment"),
        "{:?}",
        plan.steps[0].tools
    );
}

#[test]
fn a_bolt_is_turned_round_for_want_of_room_and_told_where_that_does_not_help() {
    let (head, down) = into_the_floor();
    let mut roomy = block_in_slot(2.5);
    roomy.joints.push(bolted(1, 0, head, down, 0.75 * INCH, 2.0 * INCH));
    let turned = plan(&roomy);
    assert_eq!(codes(&turned), [""; 0]);
    assert!(
        turned.steps[0].text.iter().any(|words| words.contains("from the far side")),
        "{:?}",
        turned.steps[0].text
    );
    let mut tight = block_in_slot(1.25);
    tight.joints.push(bolted(1, 0, head, down, 0.75 * INCH, 2.0 * INCH));
    assert_eq!(codes(&plan(&tight)), ["bolt-cannot-be-put-in"]);
}

/// A trough across the slot of a post, its walls to both sides of the head of a lag screw that goes down into the floor.
fn trough_in_slot(walls: f64) -> Model {
    let trough = board("block", "2x4", 1.5, 0.75 + walls, 3.0).notch(
        0.25,
        1.0,
        0.75,
        walls,
        NotchPurpose::Plain,
        When::AtBench,
    );
    let mut piece = model(vec![slotted_post(3.4), trough]);
    // The trough runs to the right.
    let turn = DQuat::from_rotation_y(-std::f64::consts::FRAC_PI_2);
    piece.parts[1].pose = DAffine3::from_rotation_translation(turn, DVec3::new(9.5, 2.0, 0.0) * INCH);
    let (head, down) = into_the_floor();
    let mut lag = bolted(1, 0, head, down, 0.75 * INCH, 1.25 * INCH);
    lag.origin = Origin { line: 9, column: 5 };
    let one = &mut lag.fastenings[0];
    one.item = String::from("lag_screw_5_16");
    one.kind = FastenerKind::LagScrew;
    one.length = Length::mm(2.0 * INCH);
    piece.joints.push(lag);
    piece
}

/// 2.65 in over the head are too few for a socket; between walls an open-ended wrench finds no sixth of a turn.
#[test]
fn a_wrench_between_walls_cannot_be_swung() {
    assert_eq!(codes(&plan(&trough_in_slot(0.1))), [""; 0], "over low walls it can");
    let plan = plan(&trough_in_slot(1.0));
    assert_eq!(codes(&plan), ["wrench-cannot-reach"]);
    let finding = &plan.findings[0];
    assert_eq!(finding.place, Some(slatwork_base::Place::Script(Origin { line: 9, column: 5 })));
    assert!(finding.message.contains("to swing a wrench on it"), "{finding}");
}

/// A board waisted round, and a ring that closes about its waist.
fn captured() -> Model {
    let ring =
        board("ring", "2x4", 10.0, 6.0, 0.75).notch(4.4, 1.2, 2.4, 1.2, NotchPurpose::Plain, When::AtBench);
    let waisted = board("waisted", "1x4", 6.0, 3.0, 0.75)
        .notch(2.5, 1.0, 0.0, 1.0, NotchPurpose::Plain, When::AtBench)
        .notch(2.5, 1.0, 2.0, 1.0, NotchPurpose::Plain, When::AtBench);
    let mut piece = model(vec![ring, waisted]);
    // Its length stands through the ring, its waist in the hole.
    let turn = DQuat::from_rotation_y(-std::f64::consts::FRAC_PI_2);
    let at = DVec3::new(5.0 + 0.375, 3.0 - 1.5, 0.375 - 3.0) * INCH;
    piece.parts[1].pose = DAffine3::from_rotation_translation(turn, at);
    piece
}

#[test]
fn a_part_closed_in_has_no_way() {
    let mut piece = captured();
    let middle = DVec3::new(5.0, 3.0, 0.375) * INCH;
    piece.joints.push(screwed(0, 1, middle, DVec3::X, 1.0, 10.0));
    piece.joints[0].fastenings.clear();
    assert_eq!(slatwork_solid::overlap(&piece.parts[0].placed(), &piece.parts[1].placed()), 0.0);
    let plan = plan(&piece);
    assert_eq!(codes(&plan), ["no-way-in"]);
    assert!(plan.findings[0].message.contains("`ring`"), "{}", plan.findings[0]);
    // It is planned to its end all the same.
    assert_eq!(plan.steps.iter().map(|step| step.parts.len()).sum::<usize>(), 2);
}

/// A base, a slat screwed down on it, and a cap screwed over the slat's head.
fn capped() -> Model {
    let base = board("base", "2x4", 20.0, 6.0, 1.5);
    let slat = board("slat", "1x4", 6.0, 3.0, 0.75).at(5.0 * INCH, 1.0 * INCH, 1.5 * INCH);
    let cap = board("cap", "1x4", 20.0, 6.0, 0.75).at(0.0, 0.0, 3.0 * INCH);
    let leg = board("leg", "2x4", 1.5, 6.0, 1.5).at(0.0, 0.0, 1.5 * INCH);
    let mut piece = model(vec![base, slat, cap, leg]);
    let (down, up) = (DVec3::NEG_Z, DVec3::Z);
    piece.joints.push(screwed(1, 0, DVec3::new(8.0, 2.0, 2.25) * INCH, down, 0.75 * INCH, 1.5 * INCH));
    piece.joints.push(screwed(2, 3, DVec3::new(0.75, 2.0, 3.75) * INCH, down, 0.75 * INCH, 1.5 * INCH));
    piece.joints.push(screwed(0, 3, DVec3::new(0.75, 4.0, 0.0) * INCH, up, 1.5 * INCH, 1.5 * INCH));
    piece
}

fn arrival(plan: &Assembly, name: &str) -> usize {
    let all = plan.steps.iter().flat_map(|step| &step.parts);
    all.filter(|own| matches!(own.does, Does::Laid | Does::ComesIn) && own.body.is_none())
        .position(|own| own.name == name)
        .unwrap_or_else(|| panic!("{name} does not come"))
}

#[test]
fn what_covers_a_head_comes_after_it_is_driven() {
    let plan = plan(&capped());
    assert_eq!(codes(&plan), [""; 0]);
    assert!(arrival(&plan, "slat") < arrival(&plan, "cap"));
}

#[test]
fn an_order_that_cannot_be_is_told_at_its_line_and_why() {
    let mut piece = capped();
    let origin = Origin { line: 12, column: 5 };
    piece.order.push(OrderRule { first: vec![PartId(2)], then: vec![PartId(1)], origin });
    let found = plan(&piece);
    assert_eq!(codes(&found), ["order-cannot-be"]);
    let finding = &found.findings[0];
    assert_eq!(finding.place, Some(slatwork_base::Place::Script(origin)));
    assert!(finding.message.contains("`cap` cannot stand before `slat`"), "{finding}");
    assert!(finding.message.contains("fasteners"), "{finding}");
    // The step of the plan in which the slat comes, which the rule would have come after the cap.
    let comes = |step: &&AssemblyStep| {
        step.parts.iter().any(|own| own.name == "slat" && matches!(own.does, Does::Laid | Does::ComesIn))
    };
    let step = found.steps.iter().find(comes).expect("the slat comes in").number;
    assert!(finding.message.contains(&format!("is added to `piece` in step {step}: ")), "{finding}");
    // The rule that can be kept is kept.
    piece.order[0] = OrderRule { first: vec![PartId(1)], then: vec![PartId(3)], origin };
    let kept = plan(&piece);
    assert_eq!(codes(&kept), [""; 0]);
    assert!(arrival(&kept, "slat") < arrival(&kept, "leg"));
}

#[test]
fn a_plan_that_takes_too_many_trials_says_so_and_still_tells_every_part() {
    let cut_short = assembly_within(&capped(), &catalogue(), Tape::Inch16.into(), 0);
    assert_eq!(codes(&cut_short), ["order-not-planned"]);
    assert_eq!(cut_short.findings[0].severity, Severity::Warning);
    assert!(cut_short.findings[0].message.contains("4 parts"), "{}", cut_short.findings[0]);
    for name in ["base", "slat", "cap", "leg"] {
        arrival(&cut_short, name);
    }
}

#[test]
fn a_group_is_built_first_and_comes_in_as_one() {
    let rail = |name: &str, y: f64| board(name, "2x4", 20.0, 1.5, 1.5).at(0.0, y * INCH, 0.0);
    let slat = |name: &str, x: f64| board(name, "1x4", 3.0, 10.0, 0.75).at(x * INCH, 0.0, 1.5 * INCH);
    let mut piece = model(vec![
        rail("front rail", 0.0),
        rail("rear rail", 8.5),
        slat("slat 1", 0.0),
        slat("slat 2", 17.0),
        board("leg", "2x4", 1.5, 10.0, 6.0).at(0.0, 0.0, -6.0 * INCH),
    ]);
    piece.groups.push(Group {
        name: String::from("top"),
        parent: Some(GroupId(0)),
        pose: DAffine3::IDENTITY,
    });
    for part in &mut piece.parts[..4] {
        part.group = GroupId(1);
    }
    for (slat, x) in [(2, 1.5), (3, 18.5)] {
        for (rail, y) in [(0, 0.75), (1, 9.25)] {
            let head = DVec3::new(x, y, 2.25) * INCH;
            piece.joints.push(screwed(slat, rail, head, DVec3::NEG_Z, 0.75 * INCH, 1.5 * INCH));
        }
    }
    let head = DVec3::new(0.75, 0.75, 0.0) * INCH;
    piece.joints.push(screwed(0, 4, head + DVec3::Z * 1.5 * INCH, DVec3::NEG_Z, 1.5 * INCH, 3.0 * INCH));
    piece.joints[4].fastenings.clear();
    piece.steps.push(Step { text: String::from("Take your time."), origin: Origin::NOWHERE });
    let plan = plan(&piece);
    assert_eq!(codes(&plan), [""; 0]);
    assert_eq!(plan.said, ["Take your time."]);
    let built: Vec<&str> =
        plan.steps.iter().filter(|step| step.on == "top").map(|step| step.title.as_str()).collect();
    assert!(!built.is_empty());
    let last = plan.steps.last().expect("there are steps");
    let bodies: Vec<_> = plan
        .steps
        .iter()
        .flat_map(|step| &step.parts)
        .filter(|own| own.body.as_deref() == Some("top"))
        .collect();
    assert_eq!(bodies.len(), 4, "{last:?}");
    // The rectangle of rails and slats, 20 by 10 inches: root of 500 is 22.36.
    let diagonals: Vec<&String> =
        plan.steps.iter().flat_map(|step| &step.checks).filter(|words| words.contains("diagonals")).collect();
    assert!(diagonals.iter().any(|words| words.contains("22 3/8\"")), "{diagonals:?}");
}

/// Two ends of a leg and a rail each, and a board over both.
#[test]
fn equal_sub_assemblies_are_told_once() {
    let mut boards = Vec::new();
    for (hand, x) in [("left", 0.0), ("right", 30.0)] {
        boards.push(board(&format!("{hand} leg"), "2x4", 1.5, 6.0, 12.0).at(x * INCH, 0.0, 0.0));
        boards.push(board(&format!("{hand} rail"), "2x4", 1.5, 14.0, 1.5).at(
            x * INCH,
            -4.0 * INCH,
            12.0 * INCH,
        ));
    }
    boards.push(board("seat", "2x4", 31.5, 6.0, 1.5).at(0.0, 0.0, 13.5 * INCH));
    let mut piece = model(boards);
    for (index, hand) in ["left", "right"].into_iter().enumerate() {
        let (name, x) = (format!("{hand} end"), index as f64 * 30.0 + 0.75);
        piece.groups.push(Group { name, parent: Some(GroupId(0)), pose: DAffine3::IDENTITY });
        let (leg, rail) = (2 * index, 2 * index + 1);
        [leg, rail].into_iter().for_each(|part| piece.parts[part].group = GroupId(index + 1));
        let head = |z: f64| DVec3::new(x, 3.0, z) * INCH;
        let down = DVec3::NEG_Z;
        piece.joints.push(screwed(rail, leg, head(13.5), down, 38.1, 50.0));
        piece.joints.push(screwed(4, rail, head(15.0), down, 38.1, 38.1));
    }
    let plan = plan(&piece);
    assert_eq!(codes(&plan), [""; 0]);
    let told: Vec<(&str, String)> =
        plan.steps.iter().map(|step| (step.on.as_str(), step.text.join(" "))).collect();
    let first = told.iter().position(|(on, _)| *on == "left end").expect("built by itself");
    let second = told.iter().position(|(on, _)| *on == "right end").expect("built by itself");
    let (first, second) = (first.min(second), first.max(second));
    assert!(told[first].1.contains(&format!("in step {}.", second + 1)), "{}", told[first].1);
    assert!(told[second].1.starts_with(&format!("Do as in step {}", first + 1)), "{}", told[second].1);
    assert!(!told[second].1.contains("Drive"), "{}", told[second].1);
    assert_eq!(plan.steps[second].parts.len(), 2, "its moves are kept");
}

#[test]
fn glue_ups_fit_the_open_time_and_wait() {
    let mut boards = vec![board("base", "2x4", 70.0, 6.0, 1.5)];
    for index in 0..14 {
        let name = format!("block {}", index + 1);
        boards.push(board(&name, "1x4", 3.0, 6.0, 0.75).at(f64::from(index) * 4.0 * INCH, 0.0, 1.5 * INCH));
    }
    let mut piece = model(boards);
    for index in 1..15 {
        let mut glued =
            screwed(index, 0, DVec3::new(index as f64 * 4.0, 3.0, 2.25) * INCH, DVec3::NEG_Z, 19.0, 38.0);
        glued.kind = String::from("glued face");
        glued.fastenings.clear();
        glued.glue = Some(Area::square_mm(10_000.0));
        if let Some(patch) = &mut glued.patch {
            patch.extent = (6.0 * INCH, 3.0 * INCH);
        }
        piece.joints.push(glued);
    }
    let plan = plan(&piece);
    let joints: Vec<usize> = plan.steps.iter().map(|step| step.joints.len()).collect();
    assert_eq!(joints, [10, 4]);
    assert!(plan.steps.iter().all(|step| step.cure_minutes == 60));
    // 6 in long: one clamp 2 in from either end.
    assert_eq!(plan.steps[0].clamps, 20);
}

#[test]
fn the_fitted_slat_comes_last_and_says_where_it_is_trimmed() {
    let mut boards = vec![board("base", "2x4", 6.0, 30.0, 1.5)];
    for index in 0..4 {
        let name = format!("slat {}", index + 1);
        boards.push(board(&name, "1x4", 6.0, 3.0, 0.75).at(0.0, f64::from(index) * 3.25 * INCH, 1.5 * INCH));
    }
    boards[2].fit = Some(Fit { allowance: Length::inch(0.125), trim: String::from("rear edge") });
    let mut piece = model(boards);
    for index in 1..5 {
        let head = DVec3::new(3.0, (index - 1) as f64 * 3.25 + 1.0, 2.25) * INCH;
        piece.joints.push(screwed(index, 0, head, DVec3::NEG_Z, 19.0, 38.0));
    }
    let plan = plan(&piece);
    assert_eq!(codes(&plan), [""; 0]);
    assert_eq!(plan.steps.len(), 4, "all others in one go, then the one that is fitted: tried, trimmed, set");
    let names = |step: &AssemblyStep| step.parts.iter().map(|own| own.name.clone()).collect::<Vec<_>>();
    assert_eq!(names(&plan.steps[0]), ["base", "slat 1", "slat 3", "slat 4"]);
    let does: Vec<Does> = plan.steps[1..].iter().map(|step| step.parts[0].does).collect();
    assert_eq!(plan.steps[1].parts[0].marked_from, ["slat 3"], "what lies beyond the edge that is trimmed");
    assert_eq!(does, [Does::Held, Does::TakenAway, Does::ComesIn]);
    assert!(plan.steps[1..].iter().all(|step| names(step) == ["slat 2"]));
    let trims = |words: &String| words.contains("trim its rear edge") && words.contains("1/8\"");
    assert!(plan.steps[2].checks.iter().any(trims));
    assert!(plan.steps[3].title.contains("fit `slat 2`"), "{}", plan.steps[3].title);
}

#[test]
fn a_part_marked_in_place_is_held_and_taken_away_first() {
    let post = board("post", "2x4", 1.5, 1.5, 20.0).at(0.0, 0.0, 0.0);
    let base = board("base", "2x4", 30.0, 6.0, 1.5).at(1.5 * INCH, 0.0, 0.0);
    let marked = When::MarkedFrom { parts: vec![String::from("post")] };
    let slat = board("slat", "1x4", 20.0, 4.0, 0.75)
        .notch(0.0, 1.6, 0.0, 1.6, NotchPurpose::Cope { around: String::from("post") }, marked)
        .at(0.0, 0.0, 1.5 * INCH);
    let mut piece = model(vec![slat, base, post]);
    piece.joints.push(screwed(0, 1, DVec3::new(10.0, 2.0, 2.25) * INCH, DVec3::NEG_Z, 19.0, 38.0));
    piece.joints.push(screwed(2, 1, DVec3::new(0.0, 0.75, 0.75) * INCH, DVec3::X, 38.0, 60.0));
    let plan = plan(&piece);
    assert_eq!(codes(&plan), [""; 0]);
    let done: Vec<(&str, Does)> =
        plan.steps.iter().flat_map(|step| &step.parts).map(|own| (own.name.as_str(), own.does)).collect();
    let slat: Vec<Does> = done.iter().filter(|(name, _)| *name == "slat").map(|(_, does)| *does).collect();
    assert_eq!(slat, [Does::Held, Does::TakenAway, Does::ComesIn]);
    assert_eq!(done.last().map(|(name, _)| *name), Some("slat"));
}

/// A hole of a joint, so wide in inches.
fn bore(part: usize, diameter: f64, what: &str, when: When) -> Bore {
    let steps = vec![HoleStep { radius: diameter * INCH / 2.0, depth: 40.0 }];
    let hole = Hole { start: DVec3::ZERO, direction: DVec3::NEG_Z, steps, tag: Tag::default() };
    let in_solid = when == When::AtBench;
    Bore { part: PartId(part), hole, what: what.to_string(), when, countersink: None, in_solid }
}

/// Two boards, one on the other, to be fastened down through the upper one.
fn two_boards() -> Model {
    let base = board("base", "2x4", 30.0, 6.0, 1.5);
    model(vec![base, board("cleat", "1x4", 20.0, 4.0, 0.75).at(0.0, 0.0, 1.5 * INCH)])
}

#[test]
fn holes_bored_at_the_bench_are_not_drilled_again_in_the_steps() {
    let mut piece = two_boards();
    let mut joint = screwed(1, 0, DVec3::new(10.0, 2.0, 2.25) * INCH, DVec3::NEG_Z, 19.0, 38.0);
    let through = When::Through { part: String::from("cleat") };
    joint.fastenings[0].bores = vec![
        bore(1, 0.171875, "clearance for #8 screw", When::AtBench),
        bore(0, 0.09375, "pilot for #8 screw", through),
    ];
    piece.joints.push(joint);
    let step = &plan(&piece).steps[0];
    let words = step.text.join(" ");
    assert!(
        words.contains(
            "Drill 3/32\" pilot for #8 screw through the holes that are bored already, both parts held together. \
             Drive 1 wood screw #8, 2\" long."
        ),
        "{words}"
    );
    assert!(!words.contains("clearance"), "{words}");
    assert_eq!(step.tools, ["drill and driver bit", "3/32\" bit"]);
}

#[test]
fn bolts_are_put_in_and_their_nuts_tightened() {
    let mut piece = two_boards();
    for x in [5.0, 15.0] {
        let mut joint = bolted(1, 0, DVec3::new(x, 2.0, 2.25) * INCH, DVec3::NEG_Z, 19.05, 38.1);
        joint.extras = ["wide_washer_5_16", "hex_nut_5_16"]
            .map(|item| Extra { item: item.to_string(), count: 1, length: None, metal: Metal::Galvanized })
            .to_vec();
        piece.joints.push(joint);
    }
    let words = plan(&piece).steps[0].text.join(" ");
    // 19.05 + 38.1 + 12 mm.
    assert!(
        words.contains(
            "Put in 2 carriage bolts 5/16 in, 2 3/4\" long, with 2 wide washers 5/16 in and 2 hex nuts 5/16 in, and tighten \
             them."
        ),
        "{words}"
    );
    assert!(!words.contains("With them") && !words.contains("Drive"), "{words}");
}

#[test]
fn sunk_heads_that_are_not_plugged_say_so() {
    let mut piece = two_boards();
    let mut joint = screwed(0, 1, DVec3::new(10.0, 2.0, 0.0) * INCH, DVec3::Z, 38.0, 19.0);
    let (diameter, depth) = (Length::inch(0.5), Length::inch(0.25));
    joint.fastenings[0].seat = HeadSeat::Counterbored { diameter, depth, plugged: false };
    piece.joints.push(joint);
    let words = plan(&piece).steps[0].text.join(" ");
    assert!(words.contains("The sunk heads are left open; they look down."), "{words}");
}

#[test]
fn a_narrow_board_says_that_it_takes_fewer() {
    let base = board("base", "2x4", 30.0, 6.0, 1.5);
    let slat =
        |name: &str, wide: f64, x: f64| board(name, "1x4", wide, 6.0, 0.75).at(x * INCH, 0.0, 1.5 * INCH);
    let mut narrow = slat("slat 1", 1.5, 0.0);
    narrow.size[1] = Length::inch(1.5);
    let mut piece = model(vec![base, narrow, slat("slat 2", 3.5, 2.0), slat("slat 3", 3.5, 6.0)]);
    for (part, x) in [(1, 0.75), (2, 3.0), (3, 7.0)] {
        let mut joint = screwed(part, 0, DVec3::new(x, 3.0, 2.25) * INCH, DVec3::NEG_Z, 19.0, 38.0);
        if part > 1 {
            let second = joint.fastenings[0].clone();
            joint.fastenings.push(second);
        }
        piece.joints.push(joint);
    }
    let words = plan(&piece).steps[0].text.join(" ");
    assert!(
        words.contains("`slat 1` is narrow and takes 1 at each crossing, where the others take 2."),
        "{words}"
    );
}

#[test]
fn what_is_cut_in_place_has_its_tools_laid_to_hand() {
    let post = board("post", "2x4", 1.5, 1.5, 20.0);
    let base = board("base", "2x4", 30.0, 6.0, 1.5).at(1.5 * INCH, 0.0, 0.0);
    let marked = When::MarkedFrom { parts: vec![String::from("post")] };
    let slat = board("slat", "1x4", 20.0, 4.0, 0.75)
        .notch(0.0, 1.6, 0.0, 1.6, NotchPurpose::Cope { around: String::from("post") }, marked)
        .at(0.0, 0.0, 1.5 * INCH);
    let mut piece = model(vec![slat, base, post]);
    piece.joints.push(screwed(0, 1, DVec3::new(10.0, 2.0, 2.25) * INCH, DVec3::NEG_Z, 19.0, 38.0));
    piece.joints.push(screwed(2, 1, DVec3::new(0.0, 0.75, 0.75) * INCH, DVec3::X, 38.0, 60.0));
    let plan = plan(&piece);
    let step_of = |does: Does| {
        let is_it = |own: &slatwork_shop::PartMove| own.name == "slat" && own.does == does;
        plan.steps.iter().find(|step| step.parts.iter().any(is_it)).expect("the slat is told")
    };
    assert_eq!(step_of(Does::Held).tools, ["pencil"]);
    assert_eq!(step_of(Does::TakenAway).tools, ["jigsaw", "chisel"]);
}

#[test]
fn the_same_piece_is_planned_the_same() {
    assert_eq!(plan(&capped()), plan(&capped()));
    let empty = Model { parts: Vec::new(), ..capped() };
    assert_eq!(plan(&empty).steps.len(), 0);
}

/// Between end grain and post no dowel can be pushed in any more.
#[test]
fn dowels_stand_before_the_board_comes_over_them() {
    let mut piece = two_boards();
    piece.joints.push(screwed(1, 0, DVec3::new(10.0, 2.0, 2.25) * INCH, DVec3::NEG_Z, 19.0, 19.0));
    let one = &mut piece.joints[0];
    one.kind = String::from("dowelled");
    one.glue = Some(Area::square_mm(2000.0));
    one.fastenings[0].drive = Drive::Hand;
    let plan = plan(&piece);
    let text = plan.steps.iter().map(|step| step.text.join(" ")).collect::<String>();
    let at = |words: &str| text.find(words).unwrap_or_else(|| panic!("{words}: {text}"));
    assert!(at("Spread glue") < at("to half the length"));
    assert!(at("to half the length") < at("Bring in"));
    assert!(!text.contains("Push in"), "{text}");
}

/// A rail with a leg standing out of either end, 20 inches apart inside and 12 long: corner to corner inside it is the root of
/// 20 x 20 + 12 x 12, 23.32 in.
#[test]
fn a_frame_that_stays_open_is_measured_across() {
    let turn = DQuat::from_rotation_z(std::f64::consts::FRAC_PI_2);
    let mut boards = vec![board("rail", "2x4", 23.0, 1.5, 3.5).at(0.0, -1.5 * INCH, 0.0)];
    boards.push(board("leg", "2x4", 12.0, 1.5, 3.5).at(1.5 * INCH, 0.0, 0.0));
    boards.push(board("leg 2", "2x4", 12.0, 1.5, 3.5).at(23.0 * INCH, 0.0, 0.0));
    let mut piece = model(boards);
    for leg in &mut piece.parts[1..] {
        leg.pose = DAffine3::from_rotation_translation(turn, leg.pose.translation);
    }
    for (leg, x) in [(1, 0.75), (2, 22.25)] {
        let head = DVec3::new(x, -1.5, 1.75) * INCH;
        piece.joints.push(screwed(0, leg, head, DVec3::Y, 1.5 * INCH, 2.0 * INCH));
    }
    let measured = |piece: &Model| {
        let steps = plan(piece).steps;
        steps
            .into_iter()
            .flat_map(|step| step.checks)
            .filter(|own| own.contains("inside"))
            .collect::<Vec<_>>()
    };
    let told = measured(&piece);
    assert_eq!(told.len(), 1, "{told:?}");
    for words in ["each must read 23 5/16\"", "20\" at those corners, and 20\" at the other ends"] {
        assert!(told[0].contains(words), "{words}: {}", told[0]);
    }
    // A leg that stands askew is not alike to either side.
    let askew = DQuat::from_rotation_z(0.1);
    piece.parts[2].pose.matrix3 = slatwork_solid::DAffine3::from_quat(askew * turn).matrix3;
    assert_eq!(measured(&piece), [""; 0]);
}

/// A leg laid first, a rail on it, and the second leg on the rail: the legs are not joined to each other.
#[test]
fn a_title_joins_only_what_is_joined() {
    let leg = |name: &str, x: f64| board(name, "2x4", 1.5, 12.0, 1.5).at(x * INCH, 0.0, 0.0);
    let rail = || board("rail", "2x4", 20.0, 3.5, 1.5).at(0.0, 0.0, 1.5 * INCH);
    let down = |rail: usize, leg: usize, x: f64| {
        screwed(rail, leg, DVec3::new(x, 1.75, 3.0) * INCH, DVec3::NEG_Z, 38.1, 38.1)
    };
    let mut both = model(vec![leg("leg", 0.0), leg("leg 2", 18.5), rail()]);
    both.joints.extend([down(2, 0, 0.75), down(2, 1, 19.25)]);
    assert_eq!(plan(&both).steps[0].title, "Harbour stool: screw `rail`, `leg 2` and `leg` together");
    let mut one = model(vec![leg("leg", 0.0), rail()]);
    one.joints.push(down(1, 0, 0.75));
    assert_eq!(plan(&one).steps[0].title, "Harbour stool: screw `rail` to `leg`");
}
