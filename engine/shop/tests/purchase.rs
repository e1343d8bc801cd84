//! Bill and boards to buy of models made by hand.

mod hand;

use hand::{board, catalogue, hardware, joint, model};
use proptest::prelude::*;
use proptest::test_runner::FileFailurePersistence;
use slatwork_base::{Length, Tape};
use slatwork_model::{Blank, Defects, Model, Strip};
use slatwork_shop::purchase::{BoardSource, verify};
use slatwork_shop::{Purchase, ShopPlan, Value, plan};

fn shop(model: &Model) -> ShopPlan {
    let outcome = plan(model, &catalogue(), Tape::Inch16);
    assert_eq!(outcome.diagnostics, []);
    outcome.value.expect("everything is in the catalogue")
}

fn boards(purchase: &Purchase) -> Vec<(f64, BoardSource, Vec<f64>)> {
    let ends =
        |layout: &slatwork_shop::BoardLayout| layout.cuts.iter().map(|cut| cut.end.as_inch()).collect();
    purchase.layouts.iter().map(|layout| (layout.length.as_inch(), layout.from, ends(layout))).collect()
}

/// With 1/2 in trims and 1/8 in kerfs: 95 in usable of 8 ft. 4 x 24 + 3/8 does not fit, nor into 10 ft less 1 in with a
/// fifth; the fifth piece takes a second board. 10 ft holds four (96 3/8 of 119), at 1000 for 96 in: 10.42 a piece-inch;
/// 8 ft holds three at 800 for 72: 11.11; 12 ft holds five at 1200 for 120: 10.00, and is opened.
#[test]
fn four_24s_do_not_come_from_an_8_footer() {
    let slats = |count: usize| {
        model((0..count).map(|i| board(&format!("slat {i}"), "1x4", 24.0, 3.5, 0.75)).collect())
    };
    let five = shop(&slats(5)).purchase;
    assert_eq!(boards(&five), [(144.0, BoardSource::Yard, vec![24.5, 48.625, 72.75, 96.875, 121.0])]);
    assert_eq!(five.layouts[0].offcut, Length::inch(144.0 - 0.5 - 121.0 - 0.125));
    let four = shop(&slats(4)).purchase;
    assert_eq!(boards(&four), [(120.0, BoardSource::Yard, vec![24.5, 48.625, 72.75, 96.875])]);
    let three = shop(&slats(3)).purchase;
    assert_eq!(boards(&three), [(96.0, BoardSource::Yard, vec![24.5, 48.625, 72.75])]);
    assert_eq!((three.price_cents, three.price_at_least), (Some(800), Some(800)));
    assert_eq!(three.length_at_least(), Some(Length::inch(96.0)));
}

/// An offcut that saves nothing stays on the rack: two pieces come from the one board that has to be bought for either of them.
#[test]
fn the_rack_costs_nothing_and_its_ends_are_not_trimmed() {
    let stretcher = |name: &str| board(name, "2x4", 20.0, 3.5, 1.5);
    let one = shop(&model(vec![stretcher("stretcher")])).purchase;
    assert_eq!(boards(&one), [(20.0, BoardSource::Rack, vec![20.0])]);
    assert_eq!((one.lines.len(), one.price_cents, one.price_at_least), (0, Some(0), Some(0)));
    let two = shop(&model(vec![stretcher("stretcher"), stretcher("stretcher 2")])).purchase;
    assert_eq!(boards(&two), [(96.0, BoardSource::Yard, vec![20.5, 40.625])]);
    assert_eq!((two.lines[0].count, two.price_cents, two.is_proven()), (1, Some(1200), true));
}

/// Two 1 in strips over 30 + 1/8 + 30 in: 2 x 1 + 2 x 1/8 = 2 1/4 in, which leaves a strip of 1 1/4 in as long as both.
#[test]
fn narrow_parts_are_ripped_abreast() {
    let strips: Vec<_> = (0..4).map(|i| board(&format!("stop {i}"), "1x4", 30.0, 1.0, 0.75)).collect();
    let purchase = shop(&model(strips)).purchase;
    assert_eq!(boards(&purchase), [(96.0, BoardSource::Yard, vec![60.625])]);
    let cut = &purchase.layouts[0].cuts[0];
    let edges: Vec<f64> = cut.lanes.iter().map(|lane| lane.from_edge.as_inch()).collect();
    assert_eq!(edges, [0.0, 1.125]);
    let ends = cut.lanes.iter().flat_map(|lane| lane.pieces.iter().map(|piece| piece.end.as_inch()));
    assert_eq!(ends.collect::<Vec<_>>(), [30.5, 60.625, 30.5, 60.625]);
    assert_eq!(cut.strip_left, Length::inch(1.25));
}

/// A 1x8 of 7 1/4 in gives two slats of 3 1/2 in beside each other (7 1/8 in with the saw): four of them 40 in long come from
/// 96 in of it for 1100, or from 2 x 96 in of 1x4 for 1600.
#[test]
fn the_price_decides_whether_slats_are_ripped_from_a_wider_board() {
    let yard = "[[stock]]\nsection = \"1x8\"\nspecies = \"white_oak\"\nlengths = [\"8ft\"]\ncents = [1100]\n";
    let catalogue = catalogue().overlay_toml("yard.toml", yard).value.expect("an overlay");
    let slats = |from_wider: bool| {
        let slat = |i: usize| {
            let mut slat = board(&format!("slat {i}"), "1x4", 40.0, 3.5, 0.75);
            slat.from_wider = from_wider;
            slat
        };
        let piece = model((0..4).map(slat).collect());
        let purchase = plan(&piece, &catalogue, Tape::Inch16).value.expect("a plan").purchase;
        assert_eq!(verify(&purchase, &piece, Tape::Inch16), Ok(()));
        assert!(purchase.is_proven(), "{}", purchase.claim());
        let bought: Vec<(String, usize)> =
            purchase.lines.iter().map(|line| (line.section.clone(), line.count)).collect();
        (bought, purchase.price_cents, purchase.groups[0].name())
    };
    assert_eq!(slats(false), (vec![(String::from("1x4"), 2)], Some(1600), String::from("1x4")));
    assert_eq!(slats(true), (vec![(String::from("1x8"), 1)], Some(1100), String::from("1x4 or 1x8")));
}

/// A 96 in board in hand with a knot from 40 to 44 in.
fn with_a_knot(side: &str) -> slatwork_catalog::Catalogue {
    let knot = format!("[{{ from = \"40in\", to = \"44in\", side = \"{side}\" }}]");
    let rack = format!(
        "[[offcut]]\nsection = \"2x4\"\nspecies = \"white_oak\"\nlength = \"96in\"\ncount = 1\ndefects = {knot}\n"
    );
    catalogue().overlay_toml("rack.toml", &rack).value.expect("an overlay")
}

fn rails(lengths: &[f64], defects: Defects) -> Model {
    let rail = |(at, &length): (usize, &f64)| {
        let mut rail = board(&format!("rail {at}"), "2x4", length, 3.5, 1.5);
        rail.defects = defects;
        rail
    };
    model(lengths.iter().enumerate().map(rail).collect())
}

/// Clear rails of 39 and 51 in come from beside the knot (40 and 52 in); 53 in does not, unless the knot may be at its back.
#[test]
fn clear_parts_are_cut_from_between_the_knots() {
    let bought = |lengths: &[f64], defects, side: &str| {
        let piece = rails(lengths, defects);
        let purchase = plan(&piece, &with_a_knot(side), Tape::Inch16).value.expect("a plan").purchase;
        assert_eq!(verify(&purchase, &piece, Tape::Inch16), Ok(()));
        assert!(purchase.is_proven());
        let stretches = purchase.layouts.iter().filter_map(|board| {
            board.stretch.map(|own| (own.from.as_inch(), (own.from + board.length).as_inch()))
        });
        (purchase.price_cents.expect("priced"), stretches.collect::<Vec<_>>())
    };
    let clear = bought(&[39.0, 51.0], Defects::None, "both");
    assert_eq!(clear, (0, vec![(44.0, 96.0), (0.0, 40.0)]));
    assert_eq!(bought(&[53.0], Defects::None, "back").0, 1200);
    assert_eq!(bought(&[53.0], Defects::Back, "back"), (0, vec![(0.0, 96.0)]));
    assert_eq!(bought(&[53.0], Defects::Back, "both").0, 1200);
    assert_eq!(bought(&[53.0], Defects::Any, "both"), (0, vec![(0.0, 96.0)]));
    // By hand the clear rail comes from behind the knot that the other has at its back. That is not looked for, and not denied.
    let mut both = rails(&[53.0, 39.0], Defects::Back);
    both.parts[1].defects = Defects::None;
    let purchase = plan(&both, &with_a_knot("back"), Tape::Inch16).value.expect("a plan").purchase;
    assert_eq!((purchase.price_cents, purchase.price_at_least), (Some(1200), Some(0)));
    assert!(!purchase.is_proven());
}

/// The second check sees a stretch that reaches into the other.
#[test]
fn stretches_of_one_board_do_not_overlap() {
    let piece = rails(&[39.0, 51.0], Defects::None);
    let mut purchase = plan(&piece, &with_a_knot("both"), Tape::Inch16).value.expect("a plan").purchase;
    let later =
        purchase.layouts.iter_mut().filter_map(|board| board.stretch.as_mut()).max_by_key(|own| own.from);
    later.expect("two stretches").from = Length::inch(39.5);
    let fault = verify(&purchase, &piece, Tape::Inch16).expect_err("it is wrong");
    assert!(fault.message.contains("cut twice"), "{}", fault.message);
}

/// A split of 1/32 in takes a saw's cut out of the board: 40 and 55 15/16 in with 1/8 in between need 96 1/16 in of 96.
#[test]
fn a_split_is_as_wide_as_the_saw_cuts() {
    let rack = "[[offcut]]\nsection = \"2x4\"\nspecies = \"white_oak\"\nlength = \"96in\"\ndefects = [{ from = \"40in\", to = \"40-1/32in\" }]\n";
    let catalogue = catalogue().overlay_toml("rack.toml", rack).value.expect("an overlay");
    let stretches = |long: f64| {
        let purchase = plan(&rails(&[40.0, long], Defects::None), &catalogue, Tape::Inch16)
            .value
            .expect("a plan")
            .purchase;
        purchase.layouts.iter().filter(|board| board.from == BoardSource::Rack).count()
    };
    assert_eq!((stretches(55.875), stretches(55.9375)), (2, 1));
}

/// Two sections of one size may both come from a wider one: its boards go to one of them only.
#[test]
fn a_wider_board_is_not_cut_for_two() {
    let yard = "[[section]]\nname = \"lake 1x4\"\nlike = \"1x4\"\n\n[[stock]]\nsection = \"lake 1x4\"\nspecies = \"white_oak\"\nlengths = [\"8ft\"]\ncents = [2000]\n\n[[offcut]]\nsection = \"1x8\"\nspecies = \"white_oak\"\nlength = \"48in\"\n";
    let outcome = catalogue().overlay_toml("yard.toml", yard);
    let catalogue = outcome.value.unwrap_or_else(|| panic!("{:?}", outcome.diagnostics));
    let slat = |name: &str, section: &str| {
        let mut slat = board(name, section, 40.0, 3.5, 0.75);
        slat.from_wider = true;
        slat
    };
    let piece = model(vec![slat("one", "1x4"), slat("two", "lake 1x4")]);
    let purchase = plan(&piece, &catalogue, Tape::Inch16).value.expect("a plan").purchase;
    assert_eq!(verify(&purchase, &piece, Tape::Inch16), Ok(()));
    // 3 1/2 in twice with a saw's cut between: both come out of the one board in hand, whichever they ask for.
    assert_eq!(purchase.layouts.iter().filter(|board| board.from == BoardSource::Rack).count(), 1);
    assert_eq!((purchase.price_cents, purchase.is_proven()), (Some(0), true));
}

/// What one of two sections of a size is not sold in comes from the same wider boards as the other.
#[test]
fn a_section_that_is_not_sold_shares_the_wider_one() {
    let yard = "[yard]\nonly_listed = true\n\n[[section]]\nname = \"lake 1x4\"\nlike = \"1x4\"\n\n[[stock]]\nsection = \"1x8\"\nspecies = \"white_oak\"\nlengths = [\"8ft\"]\ncents = [1100]\n";
    let outcome = catalogue().overlay_toml("yard.toml", yard);
    let catalogue = outcome.value.unwrap_or_else(|| panic!("{:?}", outcome.diagnostics));
    let slat = |name: &str, section: &str| {
        let mut slat = board(name, section, 80.0, 3.5, 0.75);
        slat.from_wider = true;
        slat
    };
    let outcome = plan(&model(vec![slat("one", "1x4"), slat("two", "lake 1x4")]), &catalogue, Tape::Inch16);
    assert_eq!(outcome.diagnostics, []);
    assert_eq!(outcome.value.expect("a plan").purchase.price_cents, Some(1100));
}

/// Cut list, stops and rips of what is ripped from a wider board: four slats of 40 in, two strips of an 8 ft 1x8, a cut beside each.
#[test]
fn papers_tell_the_board_that_is_ripped() {
    let yard = "[[stock]]\nsection = \"1x8\"\nspecies = \"white_oak\"\nlengths = [\"8ft\"]\ncents = [1100]\n";
    let catalogue = catalogue().overlay_toml("yard.toml", yard).value.expect("an overlay");
    let slat = |i: usize| {
        let mut slat = board(&format!("slat {i}"), "1x4", 40.0, 3.5, 0.75);
        slat.from_wider = true;
        slat
    };
    let papers = plan(&model((0..4).map(slat).collect()), &catalogue, Tape::Inch16).value.expect("a plan");
    let row = &papers.cut_list.rows[0];
    assert_eq!((row.boards().as_str(), row.section.as_str()), ("1x8", "1x4"));
    assert_eq!(row.steps[0].words, "Rip from 1x8 (7 1/4\" wide) to 3 1/2\", as the boards are laid out");
    let fence = &papers.stops.fences[0];
    assert_eq!(
        (fence.mark, fence.items[0].section.as_str(), fence.items[0].count),
        (Length::inch(3.5), "1x8", 4)
    );
    let cut = &papers.stops.crosscuts[0].stops[0].items[0];
    assert_eq!((cut.section.as_str(), cut.note().as_deref()), ("1x4", Some("from 1x8")));
    let ripped = papers.purchase.ripped().as_inch();
    assert!((160.0..=160.25).contains(&ripped), "{ripped}");
    let rips = papers.price.labour.iter().find(|line| line.operation == slatwork_catalog::Operation::Rip);
    assert!((rips.expect("it is ripped").count - ripped * 0.0254).abs() < 1e-9);
}

/// A strip of 1/2 in is narrower than the tools rip, 3/4 in; where they rip it, it is cut.
#[test]
fn no_strip_is_ripped_narrower_than_the_tools_rip() {
    let piece = model(vec![board("bead", "1x4", 30.0, 0.5, 0.75), board("slat", "1x4", 30.0, 3.5, 0.75)]);
    let outcome = plan(&piece, &catalogue(), Tape::Inch16);
    let codes: Vec<&str> = outcome.diagnostics.iter().map(|own| own.code).collect();
    assert_eq!(codes, ["part-narrower-than-rip"]);
    assert_eq!(outcome.value.expect("a plan").purchase.layouts[0].cuts.len(), 1);
    let fine =
        catalogue().overlay_toml("tools.toml", "[tools]\nminimum_rip = \"1/4in\"\n").value.expect("tools");
    let outcome = plan(&piece, &fine, Tape::Inch16);
    assert_eq!(outcome.diagnostics, []);
    let mut purchase = outcome.value.expect("a plan").purchase;
    purchase.layouts.iter_mut().for_each(|board| board.narrowest_rip = Length::inch(0.75));
    let fault = verify(&purchase, &piece, Tape::Inch16).expect_err("it is too narrow");
    assert!(fault.message.contains("1/2\" wide is narrower than the tools rip"), "{}", fault.message);
}

/// Wider boards that measure thinner give nothing, and that is told.
#[test]
fn wider_boards_of_another_thickness_are_told() {
    let yard = "[[measured]]\nsection = \"1x8\"\nthickness = \"11/16in\"\n\n[[stock]]\nsection = \"1x8\"\nspecies = \"white_oak\"\nlengths = [\"8ft\"]\ncents = [100]\n";
    let outcome = catalogue().overlay_toml("yard.toml", yard);
    let catalogue = outcome.value.unwrap_or_else(|| panic!("{:?}", outcome.diagnostics));
    let told = |from_wider: bool| {
        let mut slat = board("slat", "1x4", 40.0, 3.5, 0.75);
        slat.from_wider = from_wider;
        let outcome = plan(&model(vec![slat]), &catalogue, Tape::Inch16);
        outcome.diagnostics.iter().map(|own| own.message.clone()).collect::<Vec<_>>()
    };
    assert_eq!(told(false), Vec::<String>::new());
    assert_eq!(told(true), ["nothing of 1x4 is ripped from 1x8: it measures 11/16\" thick, and 1x4 3/4\""]);
}

/// The table of boards tells which stretch of which board in hand is meant, and for how many pieces it is.
#[test]
fn stretches_stand_in_the_table_of_boards() {
    let piece = rails(&[39.0, 51.0], Defects::None);
    let papers = plan(&piece, &with_a_knot("both"), Tape::Inch16).value.expect("a plan");
    let table = papers.boards_table();
    let place = |key: &str| table.columns.iter().position(|column| column.key == key).expect("a column");
    let of = |key: &str| table.rows.iter().map(|row| row[place(key)].clone()).collect::<Vec<_>>();
    let lengths = |inches: [f64; 2]| inches.map(|inch| Value::Length(Length::inch(inch))).to_vec();
    assert_eq!(of("stretch_from"), lengths([44.0, 0.0]));
    assert_eq!(of("whole_length"), lengths([96.0, 96.0]));
    assert_eq!(of("rack_board"), [Value::Count(1), Value::Count(1)]);
    assert_eq!(of("pieces"), [Value::Count(1), Value::Count(1)]);
}

/// What its own section is not sold long enough for may come from a wider one that is.
#[test]
fn a_wider_board_may_be_the_only_one_that_is_long_enough() {
    let yard = "[yard]\nonly_listed = true\n\n[[stock]]\nsection = \"1x4\"\nspecies = \"white_oak\"\nlengths = [\"4ft\"]\ncents = [500]\n\n[[stock]]\nsection = \"1x8\"\nspecies = \"white_oak\"\nlengths = [\"10ft\"]\ncents = [3000]\n";
    let catalogue = catalogue().overlay_toml("yard.toml", yard).value.expect("an overlay");
    let slat = |i: usize| {
        let mut slat = board(&format!("slat {i}"), "1x4", 100.0, 3.5, 0.75);
        slat.from_wider = true;
        slat
    };
    let piece = model((0..4).map(slat).collect());
    let purchase = plan(&piece, &catalogue, Tape::Inch16).value.expect("a plan").purchase;
    assert_eq!(verify(&purchase, &piece, Tape::Inch16), Ok(()));
    assert_eq!((purchase.price_cents, purchase.is_proven()), (Some(6000), true));
}

/// What is not priced is bought by the least wood, and no price is claimed.
#[test]
fn only_what_has_prices_is_called_cheaper() {
    let mut piece = model(vec![board("slat", "1x4", 40.0, 3.5, 0.75), board("rail", "2x6", 40.0, 5.5, 1.5)]);
    let claim = |piece: &Model| {
        let yard = "[[species]]\nname = \"pond oak\"\nlike = \"white oak\"\n";
        let outcome = catalogue().overlay_toml("yard.toml", yard);
        let catalogue = outcome.value.unwrap_or_else(|| panic!("{:?}", outcome.diagnostics));
        let purchase = plan(piece, &catalogue, Tape::Inch16).value.expect("a plan").purchase;
        (purchase.claim(), purchase.price_cents.is_some())
    };
    assert!(claim(&piece).0.ends_with("nothing is cheaper"));
    piece.parts[1].species = String::from("pond oak");
    let (told, has_price) = claim(&piece);
    assert!(
        told.ends_with("nothing is cheaper, or takes less wood where prices are not known") && !has_price
    );
    piece.parts[0].species = String::from("pond oak");
    assert!(claim(&piece).0.ends_with("nothing takes less wood"));
}

#[test]
fn strips_of_a_glued_blank_are_bought() {
    let mut arm = board("arm", "1x4", 28.0, 5.0, 0.75);
    let strip = |n: usize| Strip {
        name: format!("arm strip {n}"),
        section: String::from("1x4"),
        width: Length::inch(2.625),
        length: Length::inch(29.0),
    };
    arm.blank = Blank::GluedUp { strips: vec![strip(1), strip(2)], how: slatwork_model::GlueUp::EdgeToEdge };
    let plan = shop(&model(vec![arm]));
    // Ripped to one width over the length of both, then cut in two.
    assert_eq!(boards(&plan.purchase), [(96.0, BoardSource::Yard, vec![58.625])]);
    let lane = &plan.purchase.layouts[0].cuts[0].lanes[0];
    assert_eq!(lane.pieces.iter().map(|piece| piece.end.as_inch()).collect::<Vec<_>>(), [29.5, 58.625]);
    assert_eq!(plan.bill.lumber[0].pieces, 2);
    // 58 in of 1x4 at 2.625 of 3.5 in: 58 / 12 x 4 / 12 x 0.75 board feet.
    assert!((plan.bill.lumber[0].board_feet - 58.0 / 12.0 * 4.0 / 12.0 * 0.75).abs() < 1e-9);
    assert_eq!(plan.stops.fences[0].items.iter().map(|item| item.count).sum::<usize>(), 2);
}

#[test]
fn a_part_longer_than_stock_is_named() {
    let long = model(vec![board("ridge", "2x4", 200.0, 3.5, 1.5), board("stub", "2x4", 30.0, 3.5, 1.5)]);
    let outcome = plan(&long, &catalogue(), Tape::Inch16);
    let told: Vec<String> = outcome.diagnostics.iter().map(ToString::to_string).collect();
    insta::assert_snapshot!(told.join("\n"));
    // The rest is still planned.
    assert_eq!(outcome.value.expect("a plan").purchase.layouts.len(), 1);
}

#[test]
fn a_part_wider_than_its_section_is_named() {
    let outcome = plan(&model(vec![board("arm", "1x4", 28.0, 5.0, 0.75)]), &catalogue(), Tape::Inch16);
    insta::assert_snapshot!(outcome.diagnostics[0].to_string());
}

#[test]
fn a_section_the_yard_does_not_list_is_told() {
    let only =
        catalogue().overlay_toml("yard.toml", "[yard]\nonly_listed = true\n").value.expect("an overlay");
    let outcome = plan(&model(vec![board("plank", "2x6", 28.0, 5.5, 1.5)]), &only, Tape::Inch16);
    insta::assert_snapshot!(outcome.diagnostics[0].to_string());
}

#[test]
fn an_unknown_section_leaves_no_plan() {
    let outcome = plan(&model(vec![board("plank", "9x9", 28.0, 5.5, 1.5)]), &catalogue(), Tape::Inch16);
    assert!(outcome.value.is_none());
    assert_eq!(outcome.diagnostics[0].code, "unknown-section");
}

/// 600 x 88.9 x 19.05 mm boards of white oak: volume by hand, mass by the catalogue's own density, surface by hand.
#[test]
fn the_bill_counts_wood_hardware_edges_and_surface() {
    let slat = |name: &str| board(name, "1x4", 20.0, 3.5, 0.75).soften("long edges", 0.25, 80.0);
    let mut piece = model(vec![slat("slat 1"), slat("slat 2")]);
    piece.hardware = vec![
        hardware("chain_3_16", 2, Some(Length::inch(60.0))),
        hardware("chain_3_16", 1, Some(Length::inch(60.2))),
        hardware("some_eye", 4, None),
    ];
    piece.joints = vec![joint("screwed", 0, 1, "wood_screw_8", 2), joint("screwed", 1, 0, "wood_screw_8", 3)];
    let bill = shop(&piece).bill;
    assert_eq!((bill.lumber[0].pieces, bill.lumber[0].length), (2, Length::inch(40.0)));
    assert!((bill.lumber[0].board_feet - 40.0 / 12.0 / 3.0).abs() < 1e-9);
    let cubic = 2.0 * 0.508 * 0.0889 * 0.01905;
    assert!((bill.wood[0].volume_m3 - cubic).abs() < 1e-12);
    let density = catalogue().species("white_oak").expect("in the catalogue").density_kg_m3();
    assert!((bill.wood[0].mass_kg - cubic * density).abs() < 1e-9);
    let surface = 2.0 * 2.0 * (508.0 * 88.9 + 508.0 * 19.05 + 88.9 * 19.05);
    assert!((bill.surface.as_square_mm() - surface).abs() < 1e-6);
    assert_eq!((bill.edges[0].radius, bill.edges[0].length), (Length::inch(0.25), Length::inch(160.0)));
    let counts: Vec<(&str, usize)> =
        bill.hardware.iter().map(|line| (line.item.as_str(), line.count)).collect();
    assert_eq!(counts, [("chain_3_16", 3), ("some_eye", 4), ("wood_screw_8", 5)]);
    // A chain hangs by whole links: 60 in are 61.2 links of 0.98 in (the pitch in the catalogue), so 62.
    let pitch = catalogue().hardware("chain_3_16").expect("in the catalogue").chain().expect("a chain").pitch;
    assert_eq!(bill.hardware[0].links, Some(62));
    assert_eq!(bill.hardware[0].total_length(), pitch.checked_times(3 * 62));
    assert_eq!(bill.hardware[2].name, "stainless wood screw #8");
    // One in ten to spare, at least two; the smallest box that holds them.
    assert_eq!((bill.hardware[2].spares, bill.hardware[2].boxes), (2, Some((25, 1))));
    assert_eq!(bill.hardware[1].name, "some_eye", "the catalogue does not know it");
}

/// What is cut reads as the cut list does, and stops add up: 20.03 in is cut at 20, the next begins a kerf on.
#[test]
fn boards_are_cut_to_what_the_tape_reads() {
    let piece = model(vec![board("one", "1x4", 20.03, 3.5, 0.75), board("two", "1x4", 10.02, 3.5, 0.75)]);
    let cuts = &shop(&piece).purchase.layouts[0].cuts;
    assert_eq!(cuts[0].end - cuts[0].start, Length::inch(20.0));
    assert_eq!(cuts[1].start - cuts[0].end, Length::inch(0.125));
    assert_eq!(cuts[1].end - cuts[1].start, Length::inch(10.0));
}

#[test]
fn a_wrong_layout_is_found() {
    let piece = model((0..6).map(|i| board(&format!("slat {i}"), "1x4", 24.0, 3.5, 0.75)).collect());
    let right = shop(&piece).purchase;
    assert_eq!(verify(&right, &piece, Tape::Inch16), Ok(()));
    let spoilt = |change: fn(&mut Purchase)| {
        let mut purchase = right.clone();
        change(&mut purchase);
        verify(&purchase, &piece, Tape::Inch16).expect_err("it is wrong").message
    };
    let told = [
        spoilt(|p| p.layouts[0].cuts[1].start -= Length::nm(1)),
        spoilt(|p| p.layouts[0].length = p.layouts[0].cuts[0].end),
        spoilt(|p| p.layouts[0].cuts[0].lanes[0].width = Length::inch(4.0)),
        spoilt(|p| p.layouts[0].cuts[0].lanes[0].pieces[0].end += Length::nm(1)),
        spoilt(|p| p.layouts[0].offcut += Length::nm(1)),
        spoilt(|p| {
            let board = &mut p.layouts[0];
            let cut = board.cuts.pop().expect("six pieces are cut");
            board.offcut = board.length - board.trim_high - cut.start;
        }),
    ];
    insta::assert_snapshot!(told.join("\n"));
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 48,
        failure_persistence: Some(Box::new(FileFailurePersistence::Direct("proptest-regressions/purchase.txt"))),
        ..ProptestConfig::default()
    })]

    /// Whatever is cut: the layouts verify, and no bound lies above what is bought.
    #[test]
    fn layouts_verify_and_bounds_hold(pieces in prop::collection::vec((2.0f64..90.0, 0.75f64..3.5, any::<bool>()), 1..40)) {
        let piece = |(index, &(length, width, full)): (usize, &(f64, f64, bool))| {
            board(&format!("part {index}"), "1x4", length, if full { 3.5 } else { width }, 0.75)
        };
        let model = model(pieces.iter().enumerate().map(piece).collect());
        let outcome = plan(&model, &catalogue(), Tape::Inch16);
        prop_assert_eq!(&outcome.diagnostics, &[]);
        let purchase = outcome.value.expect("a plan").purchase;
        prop_assert_eq!(verify(&purchase, &model, Tape::Inch16), Ok(()));
        let group = &purchase.groups[0];
        prop_assert!(group.boards_at_least <= Some(group.boards));
        prop_assert!(group.length_at_least <= Some(group.length));
        prop_assert!(group.price_at_least <= group.price_cents);
    }
}
