//! Joints against hand layouts: where fasteners go, how long they are, what they are drilled with, what wood is cut.

use slatwork_base::{Length, Origin};
use slatwork_catalog::{Catalogue, FastenerKind};
use slatwork_model::bench::{Among, BoardOrder, Item, WHOLE};
use slatwork_model::joints::{Drive, Fastening, HeadSeat, Metal, rules};
use slatwork_model::{Bench, BoardId, Joint, JointOrder, Model, People, Site, When};
use slatwork_solid::DVec3;

const HERE: Origin = Origin::NOWHERE;
const INCH: f64 = 25.4;

fn bench(wood: &str) -> Bench {
    Bench::new(Catalogue::shared().clone(), "trial", wood, Site::default(), People::default())
}

fn board(bench: &mut Bench, name: &str, section: &str, inches: f64, lie: (&str, &str)) -> BoardId {
    let order = BoardOrder {
        stock: section.to_string(),
        length: Some(Length::inch(inches)),
        ..BoardOrder::default()
    };
    let board = bench.board(WHOLE, name, &order, HERE).expect("the section exists");
    bench.lie(board, lie.0, lie.1, HERE).expect("it can lie so");
    board
}

fn place(bench: &mut Bench, board: BoardId, how: &str, mine: &str, other: BoardId, word: &str, inches: f64) {
    let side = bench.side(Item::Board(other), word, Among::Sides, HERE).expect("it has that side");
    let gap = Length::inch(inches);
    let done = match how {
        "against" => bench.against(Item::Board(board), mine, &side, gap, HERE),
        _ => bench.flush(Item::Board(board), mine, &side, gap, HERE),
    };
    done.expect("it can be placed");
}

fn order(kind: &str) -> JointOrder {
    JointOrder { kind: kind.to_string(), ..JointOrder::default() }
}

fn finish(bench: Bench) -> Model {
    let outcome = bench.finish();
    assert!(outcome.diagnostics.is_empty(), "{:?}", outcome.diagnostics);
    let model = outcome.value.expect("a model");
    assert!(model.findings.is_empty(), "{:?}", model.findings);
    model
}

/// A slat of a section across the top of a 2x6 bearer that runs to the rear; the slat's middle over the bearer.
fn slat_on_bearer(wood: &str, slat: &str, order: &JointOrder) -> Model {
    let mut bench = bench(wood);
    let bearer = board(&mut bench, "bearer", "2x6", 20.0, ("rear", "right"));
    let slat = board(&mut bench, "slat", slat, 20.0, ("right", "up"));
    place(&mut bench, slat, "against", "down", bearer, "up", 0.0);
    place(&mut bench, slat, "flush", "front", bearer, "front", 6.0);
    place(&mut bench, slat, "flush", "left", bearer, "left", -9.25);
    bench.join(order, slat, bearer, HERE).expect("a known joint");
    finish(bench)
}

fn only(model: &Model) -> &Joint {
    assert_eq!(model.joints.len(), 1);
    &model.joints[0]
}

fn near(have: f64, want: f64) {
    assert!((have - want).abs() < 0.02, "{have} is not {want}");
}

#[test]
fn two_screws_hold_a_wide_slat_on_a_diagonal() {
    let model = slat_on_bearer("white oak", "1x4", &order("slat to bearer"));
    let joint = only(&model);
    // 3 1/2 in by 1 1/2 in of contact.
    let patch = joint.patch.as_ref().expect("a patch");
    near(patch.area, 3.5 * INCH * 1.5 * INCH);
    assert_eq!(patch.on_end, [false, false]);
    // 3/4 in through, two thirds beyond: 2 1/2 in (63.5 - 19.05 = 44.5 >= 42.3); 2 in would hold 31.8 < 33.9.
    assert_eq!(joint.fastenings.len(), 2);
    for screw in &joint.fastenings {
        assert_eq!((screw.item.as_str(), screw.length), ("wood_screw_8", Length::inch(2.5)));
        near(screw.penetration(), 2.5 * INCH - 0.75 * INCH);
        assert_eq!((screw.metal, screw.drive), (Metal::Stainless, Drive::Driver));
        assert!(matches!(screw.seat, HeadSeat::Countersunk { .. }));
        near(screw.direction.z, -1.0);
    }
    // 2.5 D from the slat's edges; 1.25 D to either side of the bearer's middle; symmetric about the middle.
    let d = 0.164 * INCH;
    let [a, b] = [&joint.fastenings[0], &joint.fastenings[1]].map(|screw| screw.head - patch.centre);
    near(a.y.abs(), 1.75 * INCH - 2.5 * d);
    near(a.x.abs(), 1.25 * d);
    near(a.x + b.x, 0.0);
    near(a.y + b.y, 0.0);
    let slat = &joint.fastenings[0].layers[0];
    near(slat.edge, 2.5 * d);
    near(slat.to - slat.from, 0.75 * INCH);
}

#[test]
fn slats_of_one_statement_get_one_gauge() {
    let mut bench = bench("white oak");
    let bearer = board(&mut bench, "bearer", "2x6", 20.0, ("rear", "right"));
    // The second slat overhangs the bearer's end and bears on 3/4 in: 19 mm, under the 20.8 mm (5 D) of a #8, over the 17.5 mm
    // of a #6. Alone the first would get #8, as in the test above.
    for (name, from_front) in [("slat", 6.0), ("end slat", -2.75)] {
        let slat = board(&mut bench, name, "1x4", 20.0, ("right", "up"));
        place(&mut bench, slat, "against", "down", bearer, "up", 0.0);
        place(&mut bench, slat, "flush", "front", bearer, "front", from_front);
        place(&mut bench, slat, "flush", "left", bearer, "left", -9.25);
        bench.join(&order("slat to bearer"), slat, bearer, HERE).expect("a known joint");
    }
    let model = finish(bench);
    let items: Vec<&str> =
        model.joints.iter().flat_map(|joint| &joint.fastenings).map(|screw| screw.item.as_str()).collect();
    assert!(items.len() >= 3 && items.iter().all(|item| *item == "wood_screw_6"), "{items:?}");
}

#[test]
fn a_narrow_slat_gets_one_screw_in_the_middle() {
    let model = slat_on_bearer("white oak", "1x3", &order("slat to bearer"));
    let joint = only(&model);
    assert_eq!(joint.fastenings.len(), 1);
    let patch = joint.patch.as_ref().expect("a patch");
    let off = joint.fastenings[0].head - patch.centre;
    near(off.x, 0.0);
    near(off.y, 0.0);
}

#[test]
fn a_script_may_say_number_length_and_places() {
    let asked = JointOrder {
        count: Some(2),
        length: Some(Length::inch(2.0)),
        at: vec![(Length::mm(0.0), Length::mm(-20.0)), (Length::mm(0.0), Length::mm(20.0))],
        ..order("slat to bearer")
    };
    let model = slat_on_bearer("white oak", "1x4", &asked);
    let joint = only(&model);
    let patch = joint.patch.as_ref().expect("a patch");
    for screw in &joint.fastenings {
        assert_eq!(screw.length, Length::inch(2.0));
        near((screw.head - patch.centre).dot(patch.along), 0.0);
        near((screw.head - patch.centre).dot(patch.across).abs(), 20.0);
    }
}

/// Steps of a bore in mm: diameter and depth from the wood.
fn steps(screw: &Fastening, bore: usize) -> Vec<(f64, f64)> {
    // Bores begin 1 mm off the wood.
    screw.bores[bore].hole.steps.iter().map(|step| (2.0 * step.radius, step.depth - 1.0)).collect()
}

#[test]
fn pilots_follow_hardness_and_plugs_are_counterbored() {
    // The table of pilots: #8 clearance 11/64, pilot 5/64 in softwood and 3/32 in hardwood, plug 3/8.
    let sixty_fourth = INCH / 64.0;
    for (wood, pilot) in [("western red cedar", 5.0), ("white oak", 6.0)] {
        let model = slat_on_bearer(wood, "1x4", &order("slat to bearer"));
        let screw = &only(&model).fastenings[0];
        let (clearance, hole) = (steps(screw, 0), steps(screw, 1));
        near(clearance[0].0, 11.0 * sixty_fourth);
        near(hole[0].0, pilot * sixty_fourth);
        near(hole[0].1, 1.75 * INCH);
        assert_eq!(screw.bores[0].when, When::AtBench);
        assert_eq!(screw.bores[1].when, When::Through { part: String::from("slat") });
        assert!(screw.bores[0].in_solid && !screw.bores[1].in_solid);
        // The slat's solid has its two holes, the bearer none: its pilots are drilled on through.
        assert_eq!((model.parts[1].shape.holes.len(), model.parts[0].shape.holes.len()), (2, 0));
    }
    let plugged = JointOrder { plug: true, ..order("slat to bearer") };
    let model = slat_on_bearer("white oak", "5/4x4", &plugged);
    let joint = only(&model);
    let clearance = steps(&joint.fastenings[0], 0);
    near(clearance[0].0, 3.0 / 8.0 * INCH);
    near(clearance[0].1, 5.0 / 16.0 * INCH);
    assert_eq!((joint.extras[0].item.as_str(), joint.extras[0].count), ("plug_3_8", 2));
    near(joint.fastenings[0].layers[0].to, INCH - 5.0 / 16.0 * INCH);
}

/// A #6 screw is 2 in long at most. Through 28 mm it holds 22.8 mm, over 6 diameters (21.0): flush. Through 38.1 mm it holds
/// 12.7 mm only: sunk, and deep enough for a plug.
#[test]
fn no_head_is_left_in_an_open_pocket_that_faces_up() {
    let thin = JointOrder { fastener: Some(String::from("wood_screw_6")), ..order("slat to bearer") };
    let flush = slat_on_bearer("white oak", "28x95", &thin);
    for screw in &only(&flush).fastenings {
        assert_eq!(screw.length, Length::inch(2.0));
        assert!(matches!(screw.seat, HeadSeat::Countersunk { .. }), "{:?}", screw.seat);
    }
    let sunk = slat_on_bearer("white oak", "2x4", &thin);
    let joint = only(&sunk);
    for screw in &joint.fastenings {
        let HeadSeat::Counterbored { depth, plugged, .. } = screw.seat else { panic!("{:?}", screw.seat) };
        assert!(plugged && depth >= Length::inch(5.0 / 16.0), "{depth}");
        assert!(screw.penetration() >= 6.0 * screw.diameter.as_mm());
    }
    assert_eq!((joint.extras[0].item.as_str(), joint.extras[0].count), ("plug_3_8", joint.fastenings.len()));
}

#[test]
fn heads_sit_in_side_grain_whichever_board_is_named_first() {
    for swapped in [false, true] {
        let mut bench = bench("white oak");
        let post = board(&mut bench, "post", "2x4", 24.0, ("up", "left"));
        let rail = board(&mut bench, "rail", "2x4", 30.0, ("right", "front"));
        place(&mut bench, rail, "against", "left", post, "right", 0.0);
        place(&mut bench, rail, "flush", "front", post, "front", 1.0);
        place(&mut bench, rail, "flush", "down", post, "down", 4.0);
        let (a, b) = if swapped { (rail, post) } else { (post, rail) };
        bench.join(&order("screwed into end"), a, b, HERE).expect("a known joint");
        let model = finish(bench);
        let joint = only(&model);
        assert_eq!(model.part(joint.parts[0]).name, "post");
        assert_eq!(joint.patch.as_ref().expect("a patch").on_end, [false, true]);
        for screw in &joint.fastenings {
            assert!(screw.layers[1].grain.as_deg() < 1e-6, "along the rail's grain");
            assert!(screw.layers[1].end.is_infinite());
            near(screw.direction.x, 1.0);
        }
    }
}

#[test]
fn bolts_reach_through_washer_and_nut() {
    let mut bench = bench("white oak");
    let rail = board(&mut bench, "rail", "2x6", 24.0, ("rear", "right"));
    let leg = board(&mut bench, "leg", "2x4", 24.0, ("up", "right"));
    place(&mut bench, leg, "against", "left", rail, "right", 0.0);
    place(&mut bench, leg, "flush", "front", rail, "front", 4.0);
    place(&mut bench, leg, "flush", "down", rail, "down", -10.0);
    bench.join(&order("bolted lap"), rail, leg, HERE).expect("a known joint");
    let model = finish(bench);
    let joint = only(&model);
    assert_eq!(joint.fastenings.len(), 2);
    for bolt in &joint.fastenings {
        // 3 in of wood, a wide washer of 0.083 in, a nut of 21/64 in and three turns: 3.41 in at least, so 3 1/2 or 4.
        assert_eq!(bolt.kind, FastenerKind::CarriageBolt);
        let grip = bolt.layers[1].to;
        near(grip, 3.0 * INCH);
        assert!(bolt.length.as_mm() >= 3.41 * INCH && bolt.length.as_mm() <= 4.0 * INCH);
        for layer in &bolt.layers {
            let found = rules::edge(bolt.diameter.as_mm(), layer.edge);
            assert_eq!(found, rules::Nearness::Fine, "{}", layer.edge);
        }
    }
    let counts: Vec<(&str, usize)> =
        joint.extras.iter().map(|extra| (extra.item.as_str(), extra.count)).collect();
    assert_eq!(counts, [("wide_washer_3_8", 2), ("hex_nut_3_8", 2)]);
    // Both parts have the holes: in one at the bench, in the other drilled on through.
    assert_eq!((model.parts[0].shape.holes.len(), model.parts[1].shape.holes.len()), (2, 2));
}

#[test]
fn dowels_go_half_into_either_board() {
    let mut bench = bench("white oak");
    let post = board(&mut bench, "post", "2x4", 24.0, ("up", "left"));
    let rail = board(&mut bench, "rail", "2x4", 30.0, ("right", "front"));
    place(&mut bench, rail, "against", "left", post, "right", 0.0);
    place(&mut bench, rail, "flush", "front", post, "front", 1.0);
    place(&mut bench, rail, "flush", "down", post, "down", 4.0);
    bench.join(&order("dowelled"), rail, post, HERE).expect("a known joint");
    let model = finish(bench);
    let joint = only(&model);
    // A third of 1 1/2 in: 1/2 in dowels; the longest whose half leaves 3 mm of the post's 1 1/2 in and room for glue.
    for dowel in &joint.fastenings {
        assert_eq!((dowel.item.as_str(), dowel.length), ("dowel_1_2", Length::inch(2.5)));
        for bore in 0..2 {
            near(steps(dowel, bore)[0].1, 1.25 * INCH + 1.5);
        }
    }
    // Glue on the whole contact.
    near(joint.glue.expect("glued").as_square_mm(), 3.5 * 1.5 * INCH * INCH);
}

#[test]
fn knock_down_bolts_find_their_insert_or_barrel_nut() {
    // A side on the face of a leg: threaded inserts.
    let mut bench_1 = bench("white oak");
    let leg = board(&mut bench_1, "leg", "2x4", 24.0, ("up", "right"));
    let rail = board(&mut bench_1, "rail", "1x6", 24.0, ("rear", "right"));
    place(&mut bench_1, rail, "against", "left", leg, "right", 0.0);
    place(&mut bench_1, rail, "flush", "front", leg, "front", -6.0);
    place(&mut bench_1, rail, "flush", "down", leg, "down", 4.0);
    bench_1.join(&order("knock-down"), rail, leg, HERE).expect("a known joint");
    let model = finish(bench_1);
    let joint = only(&model);
    assert_eq!(joint.extras[0].item, "threaded_insert_1_4");
    for bolt in &joint.fastenings {
        // 3/4 in, a washer, and at least the insert's half inch.
        assert!(bolt.length.as_mm() >= 1.25 * INCH && bolt.length.as_mm() <= 2.25 * INCH, "{}", bolt.length);
        near(steps(bolt, 1)[0].0, 3.0 / 8.0 * INCH);
    }
    // A post against the end of a rail: barrel nuts across it.
    let mut bench_2 = bench("white oak");
    let post = board(&mut bench_2, "post", "2x4", 24.0, ("up", "left"));
    let rail = board(&mut bench_2, "rail", "2x4", 30.0, ("right", "front"));
    place(&mut bench_2, rail, "against", "left", post, "right", 0.0);
    place(&mut bench_2, rail, "flush", "front", post, "front", 1.0);
    place(&mut bench_2, rail, "flush", "down", post, "down", 4.0);
    bench_2.join(&order("knock-down"), post, rail, HERE).expect("a known joint");
    let model = finish(bench_2);
    let joint = only(&model);
    assert_eq!(joint.extras[0].item, "barrel_nut_1_4");
    for bolt in &joint.fastenings {
        let axis = bolt.bores[1].hole.direction;
        let across = bolt.bores[2].hole.direction;
        near(axis.dot(across), 0.0);
    }
}

#[test]
fn a_half_lap_takes_half_of_either_board() {
    let mut bench = bench("white oak");
    let upright = board(&mut bench, "upright", "2x4", 24.0, ("up", "front"));
    let arm = board(&mut bench, "arm", "2x4", 30.0, ("right", "front"));
    place(&mut bench, arm, "flush", "front", upright, "front", 0.0);
    place(&mut bench, arm, "flush", "left", upright, "left", -10.0);
    place(&mut bench, arm, "flush", "down", upright, "down", 8.0);
    bench.join(&order("half lap"), arm, upright, HERE).expect("a known joint");
    let model = finish(bench);
    let lap = 3.5 * 3.5 * 0.75 * INCH.powi(3);
    let bored: f64 = model
        .parts
        .iter()
        .zip([24.0, 30.0])
        .map(|(part, length)| length * 3.5 * 1.5 * INCH.powi(3) - lap - part.solid.volume())
        .sum();
    // What is missing beside the lap are the holes of two 3/8 bolts, 13/32 wide, right through.
    let hole = core::f64::consts::PI / 4.0 * (13.0 / 32.0 * INCH).powi(2) * 1.5 * INCH;
    assert!((bored - 2.0 * hole).abs() < 2.0, "{bored} against {}", 2.0 * hole);
    let joint = only(&model);
    near(joint.patch.as_ref().expect("a patch").area, 3.5 * 3.5 * INCH * INCH);
}

#[test]
fn a_tenon_grows_and_its_mortise_is_deeper() {
    for low in [false, true] {
        let mut bench = bench("white oak");
        let post = board(&mut bench, "post", "4x4", 24.0, ("up", "left"));
        let rail = board(&mut bench, "rail", "2x4", 30.0, ("right", "front"));
        let (mine, its) = if low { ("left", "right") } else { ("right", "left") };
        place(&mut bench, rail, "against", mine, post, its, 0.0);
        place(&mut bench, rail, "flush", "front", post, "front", 1.0);
        place(&mut bench, rail, "flush", "down", post, "down", 4.0);
        let asked = JointOrder { tenon: Some(Length::inch(1.5)), ..order("mortise and tenon") };
        bench.join(&asked, rail, post, HERE).expect("a known joint");
        let model = finish(bench);
        let (post, rail) = (&model.parts[0], &model.parts[1]);
        assert_eq!(rail.length, Length::inch(31.5));
        // A third of 1 1/2 in thick; 6 mm shoulders at the narrow sides.
        let section = 0.5 * INCH * (3.5 * INCH - 12.0);
        let rail_wood = 30.0 * 3.5 * 1.5 * INCH.powi(3) + section * 1.5 * INCH;
        assert!((rail.solid.volume() - rail_wood).abs() < 1.0);
        let post_wood = 24.0 * 3.5 * 3.5 * INCH.powi(3) - section * (1.5 * INCH + 1.5);
        assert!((post.solid.volume() - post_wood).abs() < 1.0, "{}", post.solid.volume() - post_wood);
        // They meet at the shoulder, which is square to the rail; glue goes on shoulder and tenon all round.
        let joint = only(&model);
        let patch = joint.patch.as_ref().expect("a patch");
        near(patch.normal.x, if low { -1.0 } else { 1.0 });
        near(patch.area, 3.5 * 1.5 * INCH * INCH - section);
        let cheeks = 2.0 * (0.5 * INCH + 3.5 * INCH - 12.0) * 1.5 * INCH;
        near(joint.glue.expect("glued").as_square_mm(), patch.area + cheeks);
        assert_eq!(model.part(joint.parts[0]).name, "rail");
    }
}

#[test]
fn what_lies_behind_an_insert_is_in_nobodys_way() {
    // A rail bolted into a leg that another board backs: the bolt ends in the leg, and needs no room beyond it.
    let mut bench = bench("white oak");
    let leg = board(&mut bench, "leg", "2x4", 24.0, ("up", "right"));
    let rail = board(&mut bench, "rail", "1x6", 24.0, ("rear", "right"));
    place(&mut bench, rail, "against", "left", leg, "right", 0.0);
    place(&mut bench, rail, "flush", "front", leg, "front", -6.0);
    place(&mut bench, rail, "flush", "down", leg, "down", 4.0);
    let back = board(&mut bench, "back", "1x6", 24.0, ("up", "right"));
    place(&mut bench, back, "against", "right", leg, "left", 0.0);
    place(&mut bench, back, "flush", "front", leg, "front", 0.0);
    place(&mut bench, back, "flush", "down", leg, "down", 0.0);
    bench.join(&order("knock-down"), rail, leg, HERE).expect("a known joint");
    let model = finish(bench);
    let bolts = &only(&model).fastenings;
    assert_eq!(bolts.len(), 2);
    assert!(bolts.iter().all(|bolt| !bolt.takes_nut()));
}

#[test]
fn a_mirrored_group_takes_all_boards_of_its_bolts_along() {
    let mut bench = bench("white oak");
    let middle = board(&mut bench, "cross rail", "2x4", 40.0, ("right", "front"));
    let group = bench.group(WHOLE, "end");
    let lay = |bench: &mut Bench, name: &str| {
        let order = BoardOrder {
            stock: String::from("2x4"),
            length: Some(Length::inch(12.0)),
            ..BoardOrder::default()
        };
        let board = bench.board(group, name, &order, HERE).expect("the section exists");
        bench.lie(board, "up", "left", HERE).expect("it can lie so");
        board
    };
    let (a, b, c) = (lay(&mut bench, "a"), lay(&mut bench, "b"), lay(&mut bench, "c"));
    for (board, other) in [(b, a), (c, b)] {
        place(&mut bench, board, "against", "left", other, "right", 0.0);
        place(&mut bench, board, "flush", "front", other, "front", 0.0);
        place(&mut bench, board, "flush", "down", other, "down", 0.0);
    }
    bench.join(&JointOrder { also: vec![c], ..order("bolted lap") }, a, b, HERE).expect("a known joint");
    for (side, of) in [("left", "left"), ("front", "rear"), ("down", "down")] {
        let at = bench.side(Item::Board(middle), of, Among::Sides, HERE).expect("it has that side");
        let done = if side == of {
            bench.flush(Item::Group(group), side, &at, Length::ZERO, HERE)
        } else {
            bench.against(Item::Group(group), side, &at, Length::ZERO, HERE)
        };
        done.expect("it can be placed");
    }
    bench.mirror_group(group, "right", Some(Item::Board(middle)), HERE).expect("mirrored");
    let model = finish(bench);
    let names = |joint: &Joint| -> Vec<String> {
        joint.parts.iter().map(|part| model.part(*part).name.clone()).collect()
    };
    assert_eq!(model.joints.iter().map(names).collect::<Vec<_>>(), [["a", "b", "c"], ["a 2", "b 2", "c 2"]]);
    for bolt in model.joints.iter().flat_map(|joint| &joint.fastenings) {
        assert_eq!(bolt.layers.len(), 3);
        near(bolt.layers[2].to, 4.5 * INCH);
    }
}

#[test]
fn mirrored_parts_get_mirrored_patterns() {
    let mut bench = bench("white oak");
    let middle = board(&mut bench, "cross rail", "2x4", 40.0, ("right", "front"));
    let bearer = board(&mut bench, "bearer", "2x6", 20.0, ("rear", "right"));
    place(&mut bench, bearer, "against", "front", middle, "rear", 0.0);
    place(&mut bench, bearer, "flush", "left", middle, "left", 2.0);
    place(&mut bench, bearer, "flush", "down", middle, "down", 0.0);
    let other = bench.mirror(bearer, "right", Some(Item::Board(middle)), HERE).expect("mirrored");
    let slat = board(&mut bench, "slat", "1x4", 40.0, ("right", "up"));
    place(&mut bench, slat, "against", "down", bearer, "up", 0.0);
    place(&mut bench, slat, "flush", "left", middle, "left", 0.0);
    place(&mut bench, slat, "flush", "front", middle, "front", 7.5);
    for bearer in [bearer, other] {
        bench.join(&order("slat to bearer"), slat, bearer, HERE).expect("a known joint");
        bench.join(&order("screwed into end"), middle, bearer, HERE).expect("a known joint");
    }
    let model = finish(bench);
    let heads =
        |at: usize| -> Vec<DVec3> { model.joints[at].fastenings.iter().map(|one| one.head).collect() };
    for (left, right) in [(heads(0), heads(2)), (heads(1), heads(3))] {
        let mirrored = |point: &DVec3| DVec3::new(40.0 * INCH - point.x, point.y, point.z);
        for head in left.iter().map(mirrored) {
            assert!(
                right.iter().any(|other| other.distance(head) < 0.02),
                "{head} has no image in {right:?}"
            );
        }
    }
}

/// A 1x8 on the end of another: 3/8 in to the end is all there is, but the edges have room.
#[test]
fn screws_near_an_end_that_cannot_be_helped_still_keep_off_the_edges() {
    let mut bench = bench("white oak");
    let side = board(&mut bench, "side", "1x8", 20.0, ("rear", "right"));
    let front = board(&mut bench, "front", "1x8", 24.0, ("right", "front"));
    place(&mut bench, front, "against", "rear", side, "front", 0.0);
    place(&mut bench, front, "flush", "left", side, "left", 0.0);
    place(&mut bench, front, "flush", "down", side, "down", 0.0);
    bench.join(&order("screwed into end"), front, side, HERE).expect("a known joint");
    let model = finish(bench);
    let joint = only(&model);
    let front = model.part(joint.parts[0]);
    for one in &joint.fastenings {
        let at = front.pose.inverse().transform_point3(one.head).y;
        let edge = at.min(7.25 * INCH - at);
        assert!(edge > 2.4 * one.diameter.as_mm(), "{edge} mm for {}", one.diameter);
    }
}
