//! What a leaning, fanned back asks for: edges bevelled into its plane, and slats that taper to their feet.

use slatwork_base::{Angle, Length, Origin, maths};
use slatwork_catalog::Catalogue;
use slatwork_model::bench::{Among, BoardOrder, Direction, FanOrder, Item, Side, WHOLE};
use slatwork_model::{Bench, BoardId, FeatureKind, Model, People, Site};

const HERE: Origin = Origin::NOWHERE;

const LEAN: f64 = 30.0;

fn bench() -> Bench {
    Bench::new(Catalogue::shared().clone(), "trial", "white oak", Site::default(), People::default())
}

fn stock(name: &str, length: f64) -> BoardOrder {
    BoardOrder { stock: name.to_string(), length: Some(Length::mm(length)), ..BoardOrder::default() }
}

fn side(bench: &Bench, board: BoardId, word: &str) -> Side {
    bench.side(Item::Board(board), word, Among::Sides, HERE).expect("it has that side")
}

/// A rail leaning to the rear, and a level one lying as told, 400 mm up, in line with its left end.
fn two_rails(lie: (&str, &str)) -> (Bench, BoardId, BoardId) {
    let mut bench = bench();
    let base = bench.board(WHOLE, "base", &stock("2x4", 600.0), HERE).expect("laid");
    let back = bench.group(WHOLE, "back");
    let low = bench.board(back, "low rail", &stock("2x12", 600.0), HERE).expect("laid");
    bench.lie(low, "right", "front", HERE).expect("it can lie so");
    bench.lean(Item::Group(back), Angle::deg(LEAN), HERE).expect("it leans");
    bench.at(Item::Group(back), Length::ZERO, Length::mm(300.0), Length::ZERO, HERE).expect("placed");
    let rail = bench.board(WHOLE, "arm rail", &stock("2x4", 600.0), HERE).expect("laid");
    bench.lie(rail, lie.0, lie.1, HERE).expect("it can lie so");
    bench.at_along(Item::Board(rail), "up", Length::mm(150.0), HERE).expect("placed");
    let left = side(&bench, base, "left");
    bench.flush(Item::Board(rail), "left", &left, Length::ZERO, HERE).expect("flush");
    (bench, low, rail)
}

fn finish(bench: Bench) -> Model {
    let outcome = bench.finish();
    assert!(outcome.diagnostics.is_empty(), "{:?}", outcome.diagnostics);
    let model = outcome.value.expect("a model");
    assert!(model.findings.is_empty(), "{:?}", model.findings);
    model
}

/// Wood left after a bevel over the whole edge: a triangle of thickness x thickness tan(lean) / 2 is gone.
fn expect_bevelled(model: &Model, rail: BoardId) {
    let part = model.part_of(rail);
    let (length, width, thick) = (600.0, 88.9, 38.1);
    let slope = maths::sin(LEAN.to_radians()) / maths::cos(LEAN.to_radians());
    let volume = length * (width * thick - thick * thick * slope / 2.0);
    assert!((part.solid.volume() - volume).abs() < 1e-6 * volume, "{} of {volume}", part.solid.volume());
    let bevels = part.features.iter().filter_map(|feature| match feature.kind {
        FeatureKind::BevelRip { angle, .. } => Some(angle.as_deg().abs()),
        _ => None,
    });
    let bevels: Vec<f64> = bevels.collect();
    assert_eq!(bevels.len(), 1);
    assert!((bevels[0] - LEAN).abs() < 1e-9, "{bevels:?}");
}

#[test]
fn an_edge_is_bevelled_against_a_leaning_side_and_touches_it() {
    // Both ways of laying the rail, so that it is once the low and once the high edge.
    for lie in [("right", "up"), ("left", "up")] {
        let (mut bench, low, rail) = two_rails(lie);
        let behind = side(&bench, low, "rear");
        bench.bevel_into(rail, "front", &behind, HERE).expect("it faces the rail");
        let model = finish(bench);
        expect_bevelled(&model, rail);
        let (a, b) = (model.part_of(low).id, model.part_of(rail).id);
        assert!(model.contacts.iter().any(|contact| (contact.a, contact.b) == (b, a)));
    }
}

#[test]
fn an_edge_is_bevelled_flush_with_a_leaning_side() {
    let (mut bench, low, rail) = two_rails(("right", "up"));
    let front = side(&bench, low, "front");
    bench.rip(low, Length::mm(100.0), HERE).expect("narrower");
    bench.bevel_into(rail, "front", &front, HERE).expect("it looks the same way");
    let model = finish(bench);
    expect_bevelled(&model, rail);
    let (front, wood) = (model.part_of(low).placed(), model.part_of(rail).placed());
    let (normal, point) =
        (front.pose.matrix3.z_axis, front.pose.transform_point3(slatwork_solid::DVec3::new(0.0, 0.0, 38.1)));
    let corners = wood
        .solid
        .mesh()
        .positions
        .iter()
        .map(|at| normal.dot(wood.pose.transform_point3(*at) - point))
        .collect::<Vec<_>>();
    assert!(corners.iter().all(|off| *off < 1e-6), "some wood stands before the back");
    let in_plane = corners.iter().filter(|off| off.abs() < 1e-6).count();
    assert!(in_plane >= 4, "the whole edge lies in the plane");
}

#[test]
fn an_edge_square_to_a_side_and_a_rip_after_the_bevel_are_refused() {
    let (mut bench, low, rail) = two_rails(("right", "up"));
    let top = bench.side(Item::Board(low), "left", Among::Ends, HERE).expect("an end");
    let fault = bench.bevel_into(rail, "front", &top, HERE).expect_err("square to it");
    assert_eq!(fault.code, "edge-looks-away");
    let (mut bench, low, rail) = two_rails(("left", "up"));
    let behind = side(&bench, low, "rear");
    bench.bevel_into(rail, "front", &behind, HERE).expect("it faces the rail");
    let fault = bench.rip(rail, Length::mm(60.0), HERE).expect_err("it would no longer touch");
    assert_eq!(fault.code, "size-already-used");
}

/// Slats that taper by half a step on each edge have neighbours' edges parallel: the gap at the foot stays up to the top.
#[test]
fn a_tapered_fan_keeps_its_gap() {
    let (length, foot, step, gap) = (800.0, 60.0, 2.0_f64, 5.0);
    let half_step = step.to_radians() / 2.0;
    let full = foot + 2.0 * length * maths::sin(half_step) / maths::cos(half_step);
    let (mut bench, rail) = bench_with_rail();
    let order = FanOrder {
        stock: BoardOrder {
            stock: String::from("1x6"),
            width: Some(Length::mm(full)),
            ..BoardOrder::default()
        },
        count: 5,
        over: vec![rail],
        face: Direction::Front,
        grain: Direction::Up,
        low: (side(&bench, rail, "down"), Length::ZERO),
        centre: Item::Board(rail),
        gap: Length::mm(gap),
        step: Angle::deg(step),
        length: Length::mm(length),
        foot: Some(Length::mm(foot)),
    };
    let slats = bench.fan(WHOLE, "slat", &order, HERE).expect("spread");
    let model = finish(bench);
    for pair in slats.windows(2) {
        let (a, b) = (model.part_of(pair[0]), model.part_of(pair[1]));
        let clear = slatwork_solid::clearance(&a.placed(), &b.placed());
        // Tapered edges cross the level foot a hair inside their width square to the slat.
        assert!((4.9..=5.02).contains(&clear), "clear {clear}");
    }
    // The middle slat: a trapezium from foot to full width, less the millimetre its lines are aimed past the end.
    let middle = model.part_of(slats[2]).solid.volume();
    let volume = 19.05 * length * (foot + full) / 2.0;
    assert!((middle - volume).abs() < 0.001 * volume, "{middle} of {volume}");

    // The rail is the first board of this bench, too.
    let (mut bench, _) = bench_with_rail();
    let wide = FanOrder { foot: Some(Length::mm(200.0)), ..order };
    let fault = bench.fan(WHOLE, "slat", &wide, HERE).expect_err("wider than the slat");
    assert_eq!(fault.code, "foot-wider-than-slat");
}

fn bench_with_rail() -> (Bench, BoardId) {
    let mut bench = bench();
    let rail = bench.board(WHOLE, "rail", &stock("2x6", 700.0), HERE).expect("laid");
    bench.lie(rail, "right", "front", HERE).expect("it can lie so");
    (bench, rail)
}
