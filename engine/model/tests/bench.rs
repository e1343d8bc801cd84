//! The bench tried from outside: relations, runs, fits, cuts in place, holes in line; each against a closed form or a
//! published formula of shop mathematics.

use slatwork_base::{Angle, Diagnostic, Length, Origin};
use slatwork_catalog::Catalogue;
use slatwork_model::bench::{
    Among, BoardOrder, ChainOrder, CurveRef, Direction, EyeOrder, FanOrder, Gap, Item, Odd, RunOrder, Side,
    Spot, Start, TrimLine, TrimOrder, WHOLE,
};
use slatwork_model::{Bench, BoardId, FeatureKind, Hand, Model, People, Site};
use slatwork_solid::{DVec2, DVec3, Path, Profile, Tag, Vertex};

const HERE: Origin = Origin::NOWHERE;

fn bench() -> Bench {
    Bench::new(Catalogue::shared().clone(), "trial", "white oak", Site::default(), People::default())
}

fn mm(value: f64) -> Length {
    Length::mm(value)
}

fn stock(name: &str) -> BoardOrder {
    BoardOrder { stock: name.to_string(), ..BoardOrder::default() }
}

fn board(bench: &mut Bench, name: &str, section: &str, length: Option<f64>, lie: (&str, &str)) -> BoardId {
    let order = BoardOrder { length: length.map(mm), ..stock(section) };
    let board = bench.board(WHOLE, name, &order, HERE).expect("the section exists");
    bench.lie(board, lie.0, lie.1, HERE).expect("it can lie so");
    board
}

fn side(bench: &Bench, board: BoardId, word: &str) -> Side {
    bench.side(Item::Board(board), word, Among::Sides, HERE).expect("it has that side")
}

fn against(bench: &mut Bench, board: BoardId, mine: &str, other: BoardId, word: &str) {
    let side = side(bench, other, word);
    bench.against(Item::Board(board), mine, &side, Length::ZERO, HERE).expect("it can touch there");
}

fn off(bench: &mut Bench, board: BoardId, mine: &str, other: BoardId, word: &str, gap: f64) {
    let side = side(bench, other, word);
    bench.against(Item::Board(board), mine, &side, mm(gap), HERE).expect("it can stand there");
}

fn flush(bench: &mut Bench, board: BoardId, mine: &str, other: BoardId, word: &str) {
    let side = side(bench, other, word);
    bench.flush(Item::Board(board), mine, &side, Length::ZERO, HERE).expect("it can be flush there");
}

fn at_across(bench: &mut Bench, board: BoardId, y: f64, z: f64) {
    bench.at_along(Item::Board(board), "rear", mm(y), HERE).expect("placed");
    bench.at_along(Item::Board(board), "up", mm(z), HERE).expect("placed");
}

fn finish(bench: Bench) -> Model {
    let outcome = bench.finish();
    assert!(outcome.diagnostics.is_empty(), "{:?}", outcome.diagnostics);
    outcome.value.expect("a model")
}

fn sound(bench: Bench) -> Model {
    let model = finish(bench);
    assert!(model.findings.is_empty(), "{:?}", model.findings);
    model
}

fn code(result: Result<(), Diagnostic>) -> &'static str {
    result.expect_err("it must be refused").code
}

/// Two uprights with a clear room between them, and the tops of both level.
fn two_posts(bench: &mut Bench, clear: f64) -> (BoardId, BoardId) {
    let left = board(bench, "left post", "2x4", Some(600.0), ("up", "right"));
    let right = board(bench, "right post", "2x4", Some(600.0), ("up", "right"));
    off(bench, right, "left", left, "right", clear);
    flush(bench, right, "front", left, "front");
    flush(bench, right, "down", left, "down");
    (left, right)
}

#[test]
fn a_rail_fills_the_room_between_two_posts() {
    let mut bench = bench();
    let (left, right) = two_posts(&mut bench, 812.8);
    let rail = board(&mut bench, "rail", "2x4", None, ("right", "front"));
    let (a, b) = (side(&bench, left, "right"), side(&bench, right, "left"));
    bench.between(rail, &a, &b, HERE).expect("there is room");
    flush(&mut bench, rail, "front", left, "front");
    flush(&mut bench, rail, "up", left, "up");
    let model = sound(bench);
    let rail = model.part_named("rail").expect("the rail");
    assert_eq!(rail.length, mm(812.8));
    let areas: Vec<f64> = model.contacts.iter().map(|contact| contact.area).collect();
    // Two ends of 38.1 by 88.9 mm.
    assert_eq!(areas.len(), 2);
    assert!(areas.iter().all(|area| (area - 38.1 * 88.9).abs() < 1e-6), "{areas:?}");
}

#[test]
fn a_part_left_free_and_a_direction_fixed_twice_are_refused() {
    let mut bench = bench();
    let (left, _) = two_posts(&mut bench, 500.0);
    let loose = board(&mut bench, "loose", "1x4", Some(300.0), ("right", "front"));
    against(&mut bench, loose, "rear", left, "front");
    let again = side(&bench, left, "front");
    assert_eq!(code(bench.against(Item::Board(loose), "rear", &again, Length::ZERO, HERE)), "fixed-twice");
    let outcome = bench.finish();
    assert!(outcome.value.is_none());
    assert_eq!(outcome.diagnostics[0].code, "part-left-free");
}

#[test]
fn sides_that_never_meet_and_rooms_that_are_not_there_are_refused() {
    let mut bench = bench();
    let (left, right) = two_posts(&mut bench, 500.0);
    let rail = board(&mut bench, "rail", "1x4", None, ("right", "front"));
    let (a, b) = (side(&bench, left, "front"), side(&bench, right, "left"));
    assert_eq!(code(bench.between(rail, &a, &b, HERE)), "never-meets");
    let (a, b) = (side(&bench, right, "right"), side(&bench, left, "left"));
    assert_eq!(code(bench.between(rail, &a, &b, HERE)), "no-room-between");
    let (a, b) = (side(&bench, left, "right"), side(&bench, right, "right"));
    assert_eq!(code(bench.between(rail, &a, &b, HERE)), "sides-look-the-same-way");
}

/// Compound cut of a leaning board into a corner: mitre = atan(sin(lean) tan(half)), bevel = asin(cos(lean) sin(half)), as
/// carpenters' tables for sprung mouldings and hoppers give it, with the lean from upright and half of the angle that the
/// moulding turns through at the corner.
#[test]
fn compound_angles_agree_with_shop_mathematics() {
    for (lean, half) in [(10.0, 45.0), (22.5, 45.0), (38.0, 45.0), (52.0, 30.0), (18.0, 22.5)] {
        let mut bench = bench();
        // Two upright walls, each turned so that it makes the half angle with the rail's grain.
        let left = bench
            .board(WHOLE, "left", &BoardOrder { length: Some(mm(900.0)), ..stock("2x12") }, HERE)
            .expect("left");
        let right = bench
            .board(WHOLE, "right", &BoardOrder { length: Some(mm(900.0)), ..stock("2x12") }, HERE)
            .expect("right");
        for (wall, axis) in [(left, "up"), (right, "down")] {
            bench.lie(wall, "up", "front", HERE).expect("it can lie so");
            bench.turn(Item::Board(wall), axis, Angle::deg(90.0 - half), HERE).expect("turned");
        }
        bench.at(Item::Board(right), mm(1400.0), mm(0.0), mm(0.0), HERE).expect("placed");
        let rail = board(&mut bench, "rail", "1x6", None, ("right", "front"));
        bench.lean(Item::Board(rail), Angle::deg(lean), HERE).expect("leaned");
        at_across(&mut bench, rail, 300.0, 100.0);
        let a = bench.side(Item::Board(left), "right", Among::Faces, HERE).expect("a face");
        let b = bench.side(Item::Board(right), "left", Among::Faces, HERE).expect("a face");
        bench.between(rail, &a, &b, HERE).expect("there is room");
        let model = finish(bench);
        let rail = model.part_named("rail").expect("the rail");
        let settings: Vec<(f64, f64)> = rail
            .features
            .iter()
            .filter_map(|feature| match &feature.kind {
                FeatureKind::EndCut { setting, .. } => {
                    Some((setting.mitre.as_deg().abs(), setting.bevel.as_deg().abs()))
                }
                _ => None,
            })
            .collect();
        let (lean, half) = (lean.to_radians(), half.to_radians());
        let mitre = (slatwork_base::maths::sin(lean) * slatwork_base::maths::tan(half)).atan_deg();
        let bevel = (slatwork_base::maths::cos(lean) * slatwork_base::maths::sin(half)).asin_deg();
        assert_eq!(settings.len(), 2);
        for (m, b) in settings {
            assert!(
                (m - mitre).abs() < 1e-9 && (b - bevel).abs() < 1e-9,
                "{m} {b} instead of {mitre} {bevel}"
            );
        }
    }
}

trait Degrees {
    fn atan_deg(self) -> f64;
    fn asin_deg(self) -> f64;
}

impl Degrees for f64 {
    fn atan_deg(self) -> f64 {
        slatwork_base::maths::atan(self).to_degrees()
    }
    fn asin_deg(self) -> f64 {
        slatwork_base::maths::asin(self).to_degrees()
    }
}

/// Two bearers on edge, and stops at both ends.
fn bearers(bench: &mut Bench, length: f64) -> (BoardId, BoardId) {
    let left = board(bench, "left bearer", "2x6", Some(length), ("rear", "right"));
    let right = board(bench, "right bearer", "2x6", Some(length), ("rear", "right"));
    off(bench, right, "left", left, "right", 900.0);
    flush(bench, right, "front", left, "front");
    flush(bench, right, "down", left, "down");
    (left, right)
}

fn run_over(bench: &Bench, over: (BoardId, BoardId), gap: Gap, odd: Odd) -> RunOrder {
    let end = |word: &str| bench.side(Item::Board(over.0), word, Among::Ends, HERE).expect("an end");
    RunOrder {
        stock: stock("1x4"),
        widths: Vec::new(),
        over: vec![over.0, over.1],
        face: Direction::Up,
        grain: Direction::Right,
        from: end("front"),
        from_gap: Length::ZERO,
        to: end("rear"),
        to_gap: Length::ZERO,
        gap,
        start: Start::FirstSide,
        odd,
        least: mm(25.4),
        first_width: None,
        low: None,
        high: None,
        length: None,
        overhang: Length::ZERO,
        spring: None,
    }
}

/// Slats across an opening, flush at its ends: gap = (W - n w) / (n - 1), the usual shop formula.
#[test]
fn equal_gaps_agree_with_shop_mathematics() {
    for (width, count) in [(500.0, 5usize), (512.7, 4), (640.0, 7)] {
        let mut bench = bench();
        let over = bearers(&mut bench, width);
        let order = run_over(&bench, over, Gap::Equal(count), Odd::Filler);
        let slats = bench.run(WHOLE, "slat", &order, HERE).expect("they fit");
        let model = sound(bench);
        let fronts: Vec<f64> = slats.iter().map(|slat| front_of(&model, *slat)).collect();
        let gap = (width - count as f64 * 88.9) / (count as f64 - 1.0);
        for pair in fronts.windows(2) {
            assert!((pair[1] - pair[0] - 88.9 - gap).abs() < 1e-5, "{fronts:?}, gap {gap}");
        }
    }
}

fn front_of(model: &Model, board: BoardId) -> f64 {
    model.part_of(board).placed().bounds().min.y
}

/// A leg bent at half its height, sawn from a plank: its front edge falls back by 90 mm in 400 above the bend and below it.
fn bent_leg(bench: &mut Bench) -> BoardId {
    let leg = board(bench, "leg", "2x8", Some(800.0), ("up", "left"));
    let corner = |u: f64, v: f64| Vertex { point: DVec2::new(u, v), bulge: 0.0, tag: Tag(0) };
    let corners = [(0.0, 90.0), (400.0, 0.0), (800.0, 90.0), (800.0, 180.0), (0.0, 180.0)];
    let outline = Profile { vertices: corners.map(|(u, v)| corner(u, v)).to_vec() };
    bench.shape(leg, &outline, "leg", HERE).expect("it lies on the plank");
    leg
}

#[test]
fn a_leaning_rail_lies_on_the_sawn_side_of_a_bent_leg() {
    let mut bench = bench();
    let leg = bent_leg(&mut bench);
    let rail = board(&mut bench, "rail", "2x4", Some(500.0), ("right", "front"));
    let lean = Angle::rad(slatwork_base::maths::atan2(90.0, 400.0));
    bench.lean(Item::Board(rail), lean, HERE).expect("it leans");
    let upper = bench.sawn_side(leg, "front", mm(600.0), HERE).expect("there is wood");
    bench.against(Item::Board(rail), "rear", &upper, Length::ZERO, HERE).expect("parallel to it");
    flush(&mut bench, rail, "left", leg, "left");
    bench.at_along(Item::Board(rail), "up", mm(600.0), HERE).expect("placed");
    let model = sound(bench);
    assert_eq!(model.contacts.len(), 1);
    // The lower rear corner of the rail stands on the edge, 90 mm in 400 behind the bend.
    let bounds = model.part_of(rail).placed().bounds();
    let (sine, cosine) = slatwork_base::maths::sin_cos(lean.as_rad());
    let width = model.part_of(rail).width.as_mm();
    let rearmost = 90.0 * (bounds.min.z - 400.0) / 400.0 + width * sine;
    assert!((bounds.max.y - rearmost).abs() < 1e-4, "{} instead of {rearmost}", bounds.max.y);
    assert!(
        (bounds.max.z - bounds.min.z - width * cosine - model.part_of(rail).thickness.as_mm() * sine).abs()
            < 1e-4
    );
}

#[test]
fn the_sawn_side_of_a_leg_faces_another_way_below_its_bend() {
    let mut bench = bench();
    let leg = bent_leg(&mut bench);
    let rail = board(&mut bench, "rail", "2x4", Some(500.0), ("right", "front"));
    bench
        .lean(Item::Board(rail), Angle::rad(slatwork_base::maths::atan2(90.0, 400.0)), HERE)
        .expect("it leans");
    let lower = bench.sawn_side(leg, "front", mm(200.0), HERE).expect("there is wood");
    let refused = bench.against(Item::Board(rail), "rear", &lower, Length::ZERO, HERE);
    assert_eq!(code(refused), "sides-not-parallel");
    assert_eq!(code(bench.sawn_side(leg, "front", mm(900.0), HERE).map(drop)), "line-not-there");
}

#[test]
fn an_outline_may_pass_its_board_by_rounding_and_no_more() {
    let mut bench = bench();
    let arm = board(&mut bench, "arm", "1x6", Some(500.0), ("rear", "up"));
    let width = bench.width_of(arm).as_mm();
    let outline = |over: f64| {
        let mut profile = Profile::rectangle(500.0 + over, width);
        profile.vertices.iter_mut().for_each(|vertex| vertex.tag = Tag(0));
        profile
    };
    bench.shape(arm, &outline(1e-5), "arm", HERE).expect("ten nanometres are rounding");
    assert_eq!(code(bench.shape(arm, &outline(1e-3), "arm", HERE)), "outline-off-the-board");
}

#[test]
fn a_run_on_a_hollow_touches_with_two_edges_and_closes() {
    let mut bench = bench();
    let over = bearers(&mut bench, 500.0);
    let hollow = slatwork_solid::circle_over(500.0, -22.0).expect("a hollow");
    let lifted = |by: f64| {
        let mut path: Path = hollow.clone();
        path.vertices.iter_mut().for_each(|vertex| vertex.point.y += by);
        path
    };
    for bearer in [over.0, over.1] {
        bench.saw(bearer, "up", &lifted(120.0), "seat line", HERE).expect("sawn");
    }
    let order = run_over(&bench, over, Gap::Clear(mm(6.0)), Odd::FillerSecondFromEnd);
    let slats = bench.run(WHOLE, "slat", &order, HERE).expect("they fit");
    let model = sound(bench);
    let radius = slatwork_solid::circle_radius(500.0, 22.0);
    for contact in &model.contacts {
        let width = model.part(contact.a).width.as_mm();
        // Sagitta of the hollow under a slat of that width; facets lie off by up to 0.05 mm.
        let sagitta = radius - (radius * radius - width * width / 4.0).sqrt();
        assert!((contact.gap - sagitta).abs() < 0.11, "gap {} under {width}, sagitta {sagitta}", contact.gap);
    }
    let widths: Vec<f64> = slats.iter().map(|slat| model.part_of(*slat).width.as_mm()).collect();
    assert!(widths.iter().all(|width| *width >= 25.4), "{widths:?}");
    let last = slats.last().expect("slats");
    let end = model.part_of(*last).placed().bounds().max.y;
    assert!((end - 500.0).abs() < 1e-4, "the run ends at {end}");
}

#[test]
fn tight_slats_in_a_hollow_are_bevelled_until_they_close() {
    let mut bench = bench();
    let over = bearers(&mut bench, 480.0);
    let mut hollow = slatwork_solid::circle_over(480.0, -25.0).expect("a hollow");
    hollow.vertices.iter_mut().for_each(|vertex| vertex.point.y += 120.0);
    for bearer in [over.0, over.1] {
        bench.saw(bearer, "up", &hollow, "seat line", HERE).expect("sawn");
    }
    let order = run_over(&bench, over, Gap::Tight, Odd::Filler);
    let slats = bench.run(WHOLE, "slat", &order, HERE).expect("they fit");
    for pair in slats.windows(2) {
        bench.touches(Item::Board(pair[0]), Item::Board(pair[1]), HERE);
    }
    let model = sound(bench);
    let edges =
        model.contacts.iter().filter(|contact| contact.gap == 0.0 && contact.area > 900.0 * 18.0).count();
    assert_eq!(edges, slats.len() - 1);
}

/// A slat coped round a leaning post: the walls of the notch lean as the post does, and the play is what was asked for.
#[test]
fn a_cope_follows_leaning_walls() {
    let mut bench = bench();
    let slat = board(&mut bench, "slat", "5/4x6", Some(900.0), ("right", "up"));
    let post = board(&mut bench, "post", "2x4", Some(500.0), ("up", "right"));
    bench.lean(Item::Board(post), Angle::deg(15.0), HERE).expect("leaned");
    let end = side(&bench, slat, "left");
    bench.flush(Item::Board(post), "left", &end, mm(400.0), HERE).expect("inside");
    at_across(&mut bench, post, 20.0, -100.0);
    bench.cope(slat, &[post], mm(2.0), HERE).expect("it goes round");
    let model = sound(bench);
    let (slat, post) = (model.part_named("slat").expect("slat"), model.part_named("post").expect("post"));
    let wall = slat.features.iter().find_map(|feature| match &feature.kind {
        FeatureKind::Notch { wall, .. } => Some(wall.as_deg().abs()),
        _ => None,
    });
    assert!((wall.expect("a notch") - 15.0).abs() < 1e-9);
    let play = slatwork_solid::clearance(&slat.placed(), &post.placed());
    assert!((play - 2.0).abs() < 1e-6, "play {play}");
}

/// A post beside a slat: what the play alone would shave off is left on when it is less than a millimetre; what the post itself
/// takes is cut, however little.
#[test]
fn a_cope_that_no_saw_can_cut_is_left_out() {
    let width = 5.5 * 25.4;
    for (stands_off, play, depth) in [(1.5, 2.0, None), (0.5, 2.0, Some(1.5)), (-0.5, 0.2, Some(0.7))] {
        let mut bench = bench();
        let slat = board(&mut bench, "slat", "5/4x6", Some(900.0), ("right", "up"));
        let post = board(&mut bench, "post", "2x4", Some(500.0), ("up", "right"));
        let end = side(&bench, slat, "left");
        bench.flush(Item::Board(post), "left", &end, mm(400.0), HERE).expect("inside");
        at_across(&mut bench, post, width + stands_off, -100.0);
        bench.cope(slat, &[post], mm(play), HERE).expect("it goes round");
        let model = sound(bench);
        let slat = model.part_named("slat").expect("slat");
        let across = slat.features.iter().find_map(|feature| match &feature.kind {
            FeatureKind::Notch { across, .. } => Some(across.as_mm()),
            _ => None,
        });
        match (across, depth) {
            (None, None) => {}
            (Some(across), Some(depth)) => assert!((across - depth).abs() < 1e-6, "{across} for {depth}"),
            found => panic!("{stands_off} mm off with {play} mm of play: {found:?}"),
        }
    }
}

/// Two posts stand in the edge of a shelf and a third lies across behind them: the strip between them, 40 x 45 mm, comes free
/// and falls away, as does a corner at its end.
#[test]
fn a_strip_that_copes_cut_free_is_waste() {
    let coped = |from_end: f64| -> Result<(usize, usize), Diagnostic> {
        let mut bench = bench();
        let shelf = board(&mut bench, "shelf", "5/4x6", Some(900.0), ("right", "up"));
        let end = side(&bench, shelf, "left");
        let posts = [
            ("post", 0.0, -10.0, "right"),
            ("post", 80.0, -10.0, "right"),
            ("cross post", 20.0, 47.0, "rear"),
        ];
        let posts = posts.map(|(name, at, rear, face)| {
            let post = board(&mut bench, name, "2x4", Some(500.0), ("up", face));
            bench.flush(Item::Board(post), "left", &end, mm(from_end + at), HERE).expect("inside");
            at_across(&mut bench, post, rear, -100.0);
            post
        });
        bench.cope(shelf, &posts, mm(2.0), HERE)?;
        let model = bench.finish().value.expect("it is finished");
        let part = model.part_of(shelf);
        let strip = part.solid.pieces().iter().filter(|piece| piece.bounds().max.y < 46.0);
        let strip = strip.filter(|piece| (from_end + 41.0..from_end + 77.0).contains(&piece.bounds().min.x));
        Ok((part.solid.bodies(), strip.count()))
    };
    assert_eq!(coped(400.0), Ok((1, 0)));
    assert_eq!(coped(-39.0), Ok((1, 0)));
}

#[test]
fn a_cope_that_would_cut_a_part_in_two_is_refused() {
    // In the middle, and so near to the end that what is left is little, but the part would be shorter.
    for from_end in [400.0, 10.0] {
        let mut bench = bench();
        let slat = board(&mut bench, "slat", "1x3", Some(900.0), ("right", "up"));
        let post = board(&mut bench, "post", "2x4", Some(500.0), ("up", "right"));
        let end = side(&bench, slat, "left");
        bench.flush(Item::Board(post), "left", &end, mm(from_end), HERE).expect("inside");
        at_across(&mut bench, post, -10.0, -100.0);
        assert_eq!(code(bench.cope(slat, &[post], mm(2.0), HERE)), "cope-splits-part");
    }
}

/// Slats trimmed by a circle: each top lies on the circle, and the blanks have grown to reach it.
#[test]
fn a_trim_gives_each_slat_its_own_outline() {
    let mut bench = bench();
    let rail = board(&mut bench, "rail", "2x4", Some(1000.0), ("right", "front"));
    let (left, right) = (side(&bench, rail, "left"), side(&bench, rail, "right"));
    let order = RunOrder {
        face: Direction::Front,
        grain: Direction::Up,
        from: left,
        to: right,
        low: Some((side(&bench, rail, "down"), mm(-20.0))),
        length: Some(mm(300.0)),
        start: Start::CentreSlat,
        ..run_over_one(rail, left, right)
    };
    let slats = bench.run(WHOLE, "slat", &order, HERE).expect("they fit");
    let trim = TrimOrder {
        line: TrimLine::Circle,
        from: left,
        to: right,
        level: (side(&bench, rail, "up"), mm(150.0)),
        rise: mm(80.0),
        waste: Direction::Up,
        what: String::from("crest"),
    };
    bench.trim(WHOLE, &slats, &trim, HERE).expect("the crest crosses every slat");
    let model = sound(bench);
    let radius = slatwork_solid::circle_radius(1000.0, 80.0);
    let centre = DVec3::new(500.0, 0.0, 88.9 + 150.0 + 80.0 - radius);
    for slat in &slats {
        let part = model.part_of(*slat);
        let top = part
            .solid
            .pieces()
            .iter()
            .flat_map(|piece| piece.vertices())
            .map(|vertex| part.pose.transform_point3(*vertex))
            .filter(|point| point.z > 150.0);
        for point in top {
            let from_centre = (point - centre).with_y(0.0).length();
            assert!((from_centre - radius).abs() < 0.06, "{} lies {from_centre} from the centre", part.name);
        }
        assert!(part.rough_length > part.length);
        assert_eq!(trimmed_when(part), &slatwork_model::When::InPlace { after: Vec::new() }, "{}", part.name);
    }
    // A circle over the middle leaves mirrored pairs; only the middle slat stands alone.
    assert!(model.sets.iter().all(|set| set.hand != Hand::Single || set.parts.len() == 1));
}

/// When the last outline of a part is sawn.
fn trimmed_when(part: &slatwork_model::Part) -> &slatwork_model::When {
    let outline = |feature: &&slatwork_model::Feature| {
        matches!(feature.kind, slatwork_model::FeatureKind::Outline { .. })
    };
    &part.features.iter().rev().find(outline).expect("it is trimmed").when
}

/// Only a line over several parts that is not square across them has to be struck in place.
#[test]
fn square_tops_and_lone_parts_are_trimmed_at_the_bench() {
    for (count, rise, in_place) in [(2, 80.0, true), (2, 0.0, false), (1, 80.0, false)] {
        let mut bench = bench();
        let rail = board(&mut bench, "rail", "2x4", Some(400.0), ("right", "front"));
        let slats: Vec<BoardId> = (0..count)
            .map(|index| {
                let slat = board(&mut bench, &format!("slat {index}"), "1x4", Some(300.0), ("up", "front"));
                let off = mm(f64::from(index) * 200.0 + 50.0);
                let left = side(&bench, rail, "left");
                bench.flush(Item::Board(slat), "left", &left, off, HERE).expect("placed");
                against(&mut bench, slat, "rear", rail, "front");
                flush(&mut bench, slat, "down", rail, "down");
                slat
            })
            .collect();
        let trim = TrimOrder {
            line: TrimLine::Circle,
            from: side(&bench, rail, "left"),
            to: side(&bench, rail, "right"),
            level: (side(&bench, rail, "up"), mm(100.0)),
            rise: mm(rise),
            waste: Direction::Up,
            what: String::from("crest"),
        };
        bench.trim(WHOLE, &slats, &trim, HERE).expect("crossed");
        let model = finish(bench);
        for slat in slats {
            let when = trimmed_when(model.part_of(slat));
            let found = matches!(when, slatwork_model::When::InPlace { .. });
            assert_eq!(found, in_place, "{count} parts, rise {rise}");
        }
    }
}

fn run_over_one(rail: BoardId, from: Side, to: Side) -> RunOrder {
    RunOrder {
        stock: stock("1x4"),
        widths: Vec::new(),
        over: vec![rail],
        face: Direction::Front,
        grain: Direction::Up,
        from,
        from_gap: Length::ZERO,
        to,
        to_gap: Length::ZERO,
        gap: Gap::Clear(mm(6.0)),
        start: Start::FirstSide,
        odd: Odd::BothEnds,
        least: mm(25.4),
        first_width: None,
        low: None,
        high: None,
        length: None,
        overhang: Length::ZERO,
        spring: None,
    }
}

/// A rail that carries a hollow on: its bevel is the slope of the circle at its end.
#[test]
fn a_rail_carries_the_seat_line_on() {
    let mut bench = bench();
    let (support, _) = bearers(&mut bench, 500.0);
    let mut hollow = slatwork_solid::circle_over(500.0, -20.0).expect("a hollow");
    hollow.vertices.iter_mut().for_each(|vertex| vertex.point.y += 110.0);
    bench.saw(support, "up", &hollow, "seat line", HERE).expect("sawn");
    let rail = board(&mut bench, "rail", "2x6", Some(900.0), ("right", "front"));
    against(&mut bench, rail, "rear", support, "front");
    flush(&mut bench, rail, "down", support, "down");
    flush(&mut bench, rail, "left", support, "left");
    let curve = CurveRef { board: support, direction: Direction::Up };
    bench.carry_on(rail, "up", &curve, Length::ZERO, HERE).expect("it can");
    let model = finish(bench);
    let rail = model.part_named("rail").expect("rail");
    let angle = rail.features.iter().find_map(|feature| match &feature.kind {
        FeatureKind::BevelRip { angle, .. } => Some(angle.as_deg().abs()),
        _ => None,
    });
    // Slope of a circle at the end of its chord: asin(c / 2R).
    let radius = slatwork_solid::circle_radius(500.0, 20.0);
    let slope = slatwork_base::maths::asin(250.0 / radius).to_degrees();
    assert!((angle.expect("a bevel") - slope).abs() < 1e-9);
    // The rail is as high as the carried-on line asks for at its front face.
    let wanted = 110.0 + 38.1 * slatwork_base::maths::tan(slope.to_radians());
    assert!((rail.width.as_mm() - wanted).abs() < 1e-5, "{} instead of {wanted}", rail.width.as_mm());
}

/// Sides that fall and toe in carry their slats on an arris: a slat is then clear of the other arris by thickness x sin(toe)
/// x slope, and a rail that carries the seat on stays level and falls as the sides do.
#[test]
fn slats_lie_on_the_arris_of_sides_that_toe_in() {
    let (toe, fall) = (Angle::deg(3.0), Angle::deg(15.0));
    let mut bench = bench();
    let left = board(&mut bench, "left side", "2x6", Some(500.0), ("rear", "right"));
    bench.lean(Item::Board(left), fall, HERE).expect("it falls");
    bench.turn(Item::Board(left), "down", toe, HERE).expect("it toes in");
    bench.at_along(Item::Board(left), "right", mm(0.0), HERE).expect("placed");
    at_across(&mut bench, left, 0.0, 0.0);
    let rail = board(&mut bench, "rail", "2x6", Some(600.0), ("right", "front"));
    bench.at_along(Item::Board(rail), "right", mm(0.0), HERE).expect("placed");
    at_across(&mut bench, rail, 0.0, 150.0);
    let far = board(&mut bench, "far rail", "2x6", Some(600.0), ("right", "front"));
    bench.at_along(Item::Board(far), "right", mm(0.0), HERE).expect("placed");
    at_across(&mut bench, far, 420.0, 300.0);
    bench.cut_to(left, "front", &side(&bench, rail, "rear"), HERE).expect("cut");
    let curve = CurveRef { board: left, direction: Direction::Up };
    bench.carry_on(rail, "up", &curve, Length::ZERO, HERE).expect("it can");
    let right = bench.mirror(left, "right", Some(Item::Board(rail)), HERE).expect("mirrored");
    let order = RunOrder {
        from: side(&bench, rail, "rear"),
        to: side(&bench, far, "front"),
        ..run_over(&bench, (left, right), Gap::Clear(mm(6.0)), Odd::Gaps)
    };
    let slats = bench.run(WHOLE, "slat", &order, HERE).expect("they fit");
    let model = sound(bench);
    let (sine, _) = slatwork_base::maths::sin_cos(toe.as_rad());
    let slope = slatwork_base::maths::tan(fall.as_rad());
    let cosine_of_fall = slatwork_base::maths::cos(fall.as_rad());
    let gap = 38.1 * sine * slope * cosine_of_fall;
    for slat in &slats {
        let (slat, bearer) = (model.part_of(*slat), model.part_of(left));
        let down = -slat.pose.matrix3.z_axis;
        let seat = slatwork_solid::gap_along(&slat.placed(), &bearer.placed(), down).expect("over it");
        assert!(seat.least.abs() < 1e-3, "{seat:?}");
        assert!((seat.greatest - gap).abs() < 0.01, "{} and not {gap}", seat.greatest);
    }
    let rail = model.part_named("rail").expect("rail");
    let angle = rail.features.iter().find_map(|feature| match &feature.kind {
        FeatureKind::BevelRip { angle, .. } => Some(angle.as_rad().abs()),
        _ => None,
    });
    // Seen from the side the fall is steeper by 1 / cos(toe).
    let seen = slatwork_base::maths::tan(angle.expect("a bevel")) * slatwork_base::maths::cos(toe.as_rad());
    assert!((seen - slope).abs() < 1e-9, "{seen} and not {slope}");
}

/// A hole through an arm in line with a leaning chain: the chain keeps its clearance all along.
#[test]
fn a_hole_lies_in_line_with_a_leaning_chain() {
    let mut bench = bench();
    let post = board(&mut bench, "post", "2x4", Some(400.0), ("up", "right"));
    let arm = board(&mut bench, "arm", "5/4x6", Some(500.0), ("rear", "up"));
    against(&mut bench, arm, "down", post, "up");
    bench.centre_on(Item::Board(arm), "right", Item::Board(post), HERE).expect("centred");
    flush(&mut bench, arm, "front", post, "front");
    let spot = Spot {
        on: side(&bench, post, "left"),
        first: (side(&bench, post, "up"), mm(60.0)),
        second: (side(&bench, post, "front"), mm(44.0)),
    };
    let order = EyeOrder {
        name: String::from("eye"),
        item: String::from("eye_bolt_3_8"),
        spot,
        through: vec![post],
        stands_off: mm(25.0),
    };
    let eye = bench.eye(&order, HERE).expect("set");
    let start = bench.axis_start(eye);
    let chain = ChainOrder {
        name: String::from("chain"),
        item: String::from("chain_1_4"),
        eye,
        hook: start + DVec3::new(20.0, 300.0, 1500.0),
        radius: mm(12.0),
        links: Vec::new(),
    };
    let chain = bench.chain(&chain, HERE).expect("hung");
    assert!(bench.clear(arm, chain, mm(3.0), HERE).expect("bored"));
    let model = finish(bench);
    let part = model.part_named("arm").expect("arm");
    let axis = (start, DVec3::new(20.0, 300.0, 1500.0).normalize());
    let hole = &part.shape.holes[0];
    let direction = part.pose.matrix3 * hole.direction;
    assert!((direction - axis.1).length() < 1e-12);
    assert_eq!(
        part.features[0].when,
        slatwork_model::When::AtBench,
        "its place is told, and no chain hangs yet"
    );
    let from_axis = part.pose.transform_point3(hole.start) - axis.0;
    assert!((from_axis - axis.1 * from_axis.dot(axis.1)).length() < 1e-9);
    // 30 mm is bored with the next bit up, 1 3/16 in.
    let radius = 25.4 * 19.0 / 32.0;
    assert!((hole.steps[0].radius - radius).abs() < 1e-12);
    // What was bored out is the slanted cylinder: its volume is that of a right one over the cosine of the lean.
    let bored = part.length.as_mm() * part.width.as_mm() * part.thickness.as_mm() - part.solid.volume();
    let cylinder = std::f64::consts::PI * radius * radius * 25.4 / axis.1.z;
    assert!((bored - cylinder).abs() < 1e-6 * cylinder, "{bored} instead of {cylinder}");
}

/// Slats of a fan: the lean of slat i is step x (i - (n + 1) / 2), and neighbours keep the gap at the foot.
#[test]
fn a_fan_spreads_evenly() {
    let mut bench = bench();
    let rail = board(&mut bench, "rail", "2x6", Some(700.0), ("right", "front"));
    let order = FanOrder {
        stock: stock("1x4"),
        count: 7,
        over: vec![rail],
        face: Direction::Front,
        grain: Direction::Up,
        low: (side(&bench, rail, "down"), Length::ZERO),
        centre: Item::Board(rail),
        gap: mm(5.0),
        step: Angle::deg(2.0),
        length: mm(800.0),
        foot: None,
    };
    let slats = bench.fan(WHOLE, "back slat", &order, HERE).expect("spread");
    let model = sound(bench);
    for (index, slat) in slats.iter().enumerate() {
        let grain = model.part_of(*slat).pose.matrix3.x_axis;
        let lean = slatwork_base::maths::atan2(grain.x, grain.z).to_degrees();
        assert!((lean - 2.0 * (index as f64 - 3.0)).abs() < 1e-9);
    }
    for pair in slats.windows(2) {
        let (a, b) = (model.part_of(pair[0]), model.part_of(pair[1]));
        let clear = slatwork_solid::clearance(&a.placed(), &b.placed());
        // Square to the edge the gap is that much shorter than along the level foot.
        assert!((4.9..=5.0001).contains(&clear), "clear {clear}");
    }
}

#[test]
fn a_mirror_image_of_a_mirror_image_is_the_part_itself() {
    let mut bench = bench();
    let base = board(&mut bench, "base", "2x12", Some(1200.0), ("right", "up"));
    let brace = board(&mut bench, "brace", "1x6", Some(300.0), ("rear", "right"));
    flush(&mut bench, brace, "left", base, "left");
    against(&mut bench, brace, "down", base, "up");
    flush(&mut bench, brace, "front", base, "front");
    let mut line = slatwork_solid::circle_over(300.0, 30.0).expect("a bow");
    line.vertices.iter_mut().for_each(|vertex| vertex.point.y += 100.0);
    bench.saw(brace, "up", &line, "bow", HERE).expect("sawn");
    let order = slatwork_model::bench::NotchOrder {
        side: Direction::Right,
        from_end: mm(40.0),
        along: mm(30.0),
        depth: mm(8.0),
    };
    bench.notch(brace, &order, HERE).expect("notched");
    let image = bench.mirror(brace, "right", Some(Item::Board(base)), HERE).expect("mirrored");
    let back = bench.mirror(image, "right", Some(Item::Board(base)), HERE).expect("mirrored back");
    let model = finish(bench);
    let (first, second, third) = (model.part_of(brace), model.part_of(image), model.part_of(back));
    assert!((first.solid.volume() - second.solid.volume()).abs() < 1e-6);
    assert_eq!(first.set, third.set);
    let same = slatwork_solid::overlap(&first.placed(), &third.placed());
    // The overlap is that of the facets, which cut across the bow by up to 0.05 mm; the volume is exact.
    assert!((same - first.solid.volume()).abs() < 1e-3 * same, "{same} of {}", first.solid.volume());
    let set = &model.sets[first.set.0];
    assert!(matches!(set.hand, Hand::PairWith(other) if other == second.set), "{:?}", set.hand);
}

#[test]
fn a_part_let_in_fills_its_housing() {
    let mut bench = bench();
    let (left, right) = two_posts(&mut bench, 600.0);
    let rail = board(&mut bench, "rail", "2x4", Some(610.0), ("right", "front"));
    let a = side(&bench, left, "right");
    bench.let_into(rail, "left", &a, mm(10.0), HERE).expect("let in");
    bench.touches(Item::Board(rail), Item::Board(right), HERE);
    flush(&mut bench, rail, "front", left, "front");
    let down = side(&bench, left, "down");
    bench.flush(Item::Board(rail), "down", &down, mm(200.0), HERE).expect("200 mm up");
    let model = finish(bench);
    let post = model.part_named("left post").expect("post");
    let housing = 38.1 * 88.9 * 600.0 - post.solid.volume();
    // 10 mm deep, as wide as the rail is thick (the front is open) and as high as it is wide.
    assert!((housing - 10.0 * 38.1 * 88.9).abs() < 1e-6, "{housing}");
}

/// A slat with a slanted top, rounded over on one face only, is no longer its mirror image turned over; rounded on both it is.
#[test]
fn edges_rounded_on_one_face_give_a_part_a_hand() {
    for (edges, neutral) in [("upper long edges", false), ("long edges", true)] {
        let mut bench = bench();
        let base = board(&mut bench, "base", "2x12", Some(1200.0), ("right", "up"));
        let slat = board(&mut bench, "slat", "1x4", Some(300.0), ("up", "front"));
        flush(&mut bench, slat, "left", base, "left");
        against(&mut bench, slat, "down", base, "up");
        flush(&mut bench, slat, "front", base, "front");
        let trim = TrimOrder {
            line: TrimLine::Circle,
            from: side(&bench, base, "left"),
            to: side(&bench, base, "right"),
            level: (side(&bench, base, "up"), mm(200.0)),
            rise: mm(100.0),
            waste: Direction::Up,
            what: String::from("crest"),
        };
        bench.trim(WHOLE, &[slat], &trim, HERE).expect("crossed");
        bench.soften(slat, edges, mm(4.0), HERE).expect("rounded");
        let image = bench.mirror(slat, "right", Some(Item::Board(base)), HERE).expect("mirrored");
        let model = finish(bench);
        let (first, second) = (model.part_of(slat).set, model.part_of(image).set);
        assert_eq!(first == second, neutral, "{edges}");
        let hand = model.sets[first.0].hand;
        assert!(
            if neutral { hand == Hand::Neutral } else { hand == Hand::PairWith(second) },
            "{edges}: {hand:?}"
        );
    }
}

/// Two layers glued face to face make a board twice as thick; both are cut from stock.
#[test]
fn a_laminated_blank_is_as_thick_as_its_layers() {
    let mut bench = bench();
    let order = BoardOrder { length: Some(mm(500.0)), laminate: Some(2), ..stock("5/4x4") };
    let post = bench.board(WHOLE, "post", &order, HERE).expect("glued up");
    bench.rip(post, mm(50.0), HERE).expect("ripped");
    bench.made(post, false, &[post], HERE).expect("said of the rip");
    let both = BoardOrder { glue_up: Some(2), ..order };
    assert_eq!(bench.board(WHOLE, "beam", &both, HERE).expect_err("both ways").code, "glue-up-out-of-reach");
    let model = finish(bench);
    let part = model.part_of(post);
    assert_eq!((part.thickness, part.width), (Length::inch(2.0), mm(50.0)));
    let slatwork_model::Blank::GluedUp { strips, how } = &part.blank else { panic!("{:?}", part.blank) };
    assert_eq!((strips.len(), *how), (2, slatwork_model::GlueUp::FaceToFace));
    assert!(strips.iter().all(|strip| strip.width == part.width && strip.length == part.length));
    assert!(matches!(part.features[0].when, slatwork_model::When::InPlace { .. }));
}

/// A board placed by its far edge, then sawn narrower, stays where it was placed.
#[test]
fn a_sawn_board_stays_where_it_was_placed() {
    for side_sawn in ["up", "down"] {
        let mut bench = bench();
        let base = board(&mut bench, "base", "2x12", Some(800.0), ("right", "up"));
        let rail = board(&mut bench, "rail", "2x6", Some(400.0), ("right", "front"));
        against(&mut bench, rail, "rear", base, "front");
        flush(&mut bench, rail, "left", base, "left");
        flush(&mut bench, rail, "up", base, "up");
        let line = Path::line(DVec2::new(-10.0, 100.0), DVec2::new(410.0, 100.0));
        bench.saw(rail, side_sawn, &line, "lower", HERE).expect("sawn");
        // A steep line takes the last 50 mm at the end, too.
        let end = Path::line(DVec2::new(349.0, 300.0), DVec2::new(350.0, -200.0));
        bench.saw(rail, "up", &end, "end", HERE).expect("sawn");
        let model = finish(bench);
        let bounds = model.part_of(rail).placed().bounds();
        let top = 38.1 - if side_sawn == "up" { 139.7 - 100.0 } else { 0.0 };
        assert!(
            (bounds.max.z - top).abs() < 1e-5 && (bounds.min.z - (top - 100.0)).abs() < 1e-5,
            "{bounds:?}"
        );
        assert!((model.part_of(rail).width.as_mm() - 100.0).abs() < 1e-5);
        assert!(model.part_of(rail).length < mm(350.0) && model.part_of(rail).rough_length == mm(400.0));
        assert!(bounds.min.x.abs() < 1e-5, "{bounds:?}");
        assert_eq!(model.part_of(rail).rough_width, Length::inch(5.5));
    }
}

/// A 1x4 is 88.9 mm wide: ripped to 87 mm, 1.9 mm of the 3 asked for can be left on; of the whole width, nothing.
#[test]
fn no_part_is_left_wider_than_its_board() {
    let fitted = |width: Option<f64>| {
        let mut bench = bench();
        let slat = board(&mut bench, "slat", "1x4", Some(500.0), ("right", "up"));
        if let Some(width) = width {
            bench.rip(slat, mm(width), HERE).expect("it can be ripped");
        }
        bench.fit(slat, "rear edge", mm(3.0), HERE).expect("it can be fitted");
        bench.at_along(Item::Board(slat), "right", Length::ZERO, HERE).expect("placed");
        at_across(&mut bench, slat, 0.0, 0.0);
        let part = finish(bench).parts.remove(0);
        (part.fit.map(|fit| fit.allowance), part.rough_width)
    };
    assert_eq!(fitted(Some(80.0)), (Some(mm(3.0)), mm(83.0)));
    assert_eq!(fitted(Some(87.0)), (Some(mm(1.9)), mm(88.9)));
    assert_eq!(fitted(None), (None, mm(88.9)));
}

#[test]
fn an_order_that_runs_in_a_circle_is_refused_where_it_closes() {
    let mut bench = bench();
    let [post, rail, slat] =
        ["post", "rail", "slat"].map(|name| board(&mut bench, name, "2x4", Some(300.0), ("right", "front")));
    let item = |board: BoardId| [Item::Board(board)];
    bench.before(&item(post), &item(rail), HERE).expect("the first rule");
    bench.before(&item(rail), &item(slat), HERE).expect("no circle yet");
    let here = Origin { line: 9, column: 5 };
    let circle = bench.before(&item(slat), &item(post), here).expect_err("the circle closes");
    assert_eq!(circle.code, "order-runs-in-a-circle");
    assert_eq!(circle.place, Some(slatwork_base::Place::Script(here)));
    let itself = bench.before(&item(post), &item(post), here).expect_err("a part before itself");
    assert_eq!(itself.code, "order-runs-in-a-circle");
}
