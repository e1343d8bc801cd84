//! Cost, time and price of small pieces, every count and every minute by hand.

mod hand;

use hand::{Board, board, catalogue, hardware, joint, model};
use proptest::prelude::*;
use proptest::test_runner::FileFailurePersistence;
use slatwork_base::{Length, Tape};
use slatwork_catalog::{Catalogue, Operation};
use slatwork_model::{Blank, GlueUp, Model, Strip, When};
use slatwork_shop::{Goods, Price, ShopPlan, Table, Value, plan, price};
use slatwork_solid::DVec3;

/// Round figures over the yard of the workshop: 50 cents of labour and 20 of overhead a minute.
const TERMS: &str = r#"
[terms]
labour_per_hour = 3000
overhead_per_hour = 1200
purchase_tax = 0.1
margin = 0.2
card_fee = 0.03
warranty = 0.02
fair_fee = 500

[[price]]
item = "wood_screw_8"
boxes = [10]
cents = 150

[[delivery]]
name = "delivery by the yard"
cents = 1000
"#;

fn terms(more: &str) -> Catalogue {
    let own = catalogue().overlay_toml("terms.toml", TERMS).value.expect("an overlay");
    let outcome = own.overlay_toml("more.toml", more);
    outcome.value.unwrap_or_else(|| panic!("{:?}", outcome.diagnostics))
}

fn planned(model: &Model, catalogue: &Catalogue) -> ShopPlan {
    plan(model, catalogue, Tape::Inch16).value.expect("everything is in the catalogue")
}

fn priced(model: &Model, catalogue: &Catalogue) -> Price {
    planned(model, catalogue).price
}

/// A slat with four holes and rounded edges, screwed to a rail.
fn two_boards() -> Model {
    let slat = [2.0, 8.0, 16.0, 22.0]
        .iter()
        .fold(board("slat", "1x4", 24.0, 3.5, 0.75), |slat, x| drilled(slat, *x))
        .soften("long edges", 0.125, 48.0);
    let mut model = model(vec![slat, board("rail", "1x4", 20.0, 3.5, 0.75).at(0.0, 0.0, -19.05)]);
    model.joints.push(joint("screwed face to face", 0, 1, "wood_screw_8", 4));
    model
}

fn drilled(board: Board, x: f64) -> Board {
    board.hole((x, 1.75), 0.1875, None, DVec3::NEG_Z, "clearance for #8 screw", When::AtBench)
}

fn labour(price: &Price) -> Vec<(Operation, f64, f64)> {
    price.labour.iter().map(|line| (line.operation, line.count, line.minutes())).collect()
}

fn assert_labour(price: &Price, expected: &[(Operation, f64, f64)]) {
    let told = labour(price);
    assert_eq!(told.len(), expected.len(), "{told:?}");
    for ((operation, count, minutes), (of, counted, by_hand)) in told.into_iter().zip(expected) {
        assert_eq!(operation, *of);
        assert!((count - counted).abs() < 1e-4, "{operation:?}: {count}, by hand {counted}");
        assert!((minutes - by_hand).abs() < 1e-2, "{operation:?}: {minutes} min, by hand {by_hand}");
    }
}

/// Surface: 2 x (24 x 3.5 + 24 x 0.75 + 3.5 x 0.75) less 8 rims of 3/16 in, and the same for 20 in: 384.279 sq in, 0.24792 m2.
/// End grain: four ends of 3.5 x 0.75: 10.5 sq in, 0.0067742 m2, two coats. Crosscuts: one board squared, two pieces cut off.
/// Minutes are setup + count x rate.
#[test]
fn two_boards_and_four_screws_are_counted_by_hand() {
    let price = priced(&two_boards(), &terms(""));
    assert_labour(
        &price,
        &[
            (Operation::SortBoards, 1.0, 5.0 + 2.0),
            (Operation::Crosscut, 3.0, 10.0 + 3.0 * 1.5),
            (Operation::Drill, 4.0, 10.0 + 4.0 * 0.7),
            (Operation::RoundOver, 1.2192, 10.0 + 1.2192 * 0.7),
            (Operation::Sand, 0.24792, 10.0 + 0.24792 * 15.0),
            (Operation::Seal, 0.013548, 0.013548 * 8.0),
            (Operation::Finish, 0.49584, 10.0 + 0.49584 * 8.0),
            (Operation::Assemble, 2.0, 10.0 + 2.0 * 3.0),
            (Operation::DriveScrew, 4.0, 4.0 * 0.3),
        ],
    );
    assert!((price.minutes() - 90.147).abs() < 0.01, "{}", price.minutes());
    // Two coats of oil and two of sealer dry; nothing is glued.
    assert_eq!(price.waiting_hours(), 2.0 * 24.0 + 2.0 * 4.0);
}

/// Goods: an 8 ft board 800; 4 screws and 2 spares, a box 150; half a litre of oil 1900, a quarter of sealer 1100, a packet of
/// abrasive 450; delivery 1000. Tax 10 % of 5400. 90.147 min at 50 and at 20 cents: 4507 and 1803. Cost 12250; with the stall 12750
/// over 1 - 0.2 - 0.03 - 0.02: 17000.
#[test]
fn two_boards_and_four_screws_are_priced_by_hand() {
    let price = priced(&two_boards(), &terms(""));
    let goods: Vec<(Goods, Option<i64>)> = price.goods.iter().map(|line| (line.goods, line.cents)).collect();
    let expected = [
        (Goods::Lumber, 800),
        (Goods::Hardware, 150),
        (Goods::Consumable, 1900),
        (Goods::Consumable, 1100),
        (Goods::Consumable, 450),
        (Goods::Delivery, 1000),
    ];
    assert_eq!(goods, expected.map(|(goods, cents)| (goods, Some(cents))));
    let cost = price.cost;
    assert_eq!((cost.purchase_tax, cost.materials()), (540, 5940));
    assert_eq!((cost.labour, cost.overhead, cost.total()), (4507, 1803, 12_250));
    let asking = price.asking.expect("everything is priced");
    assert_eq!((asking.fair_fee, asking.card_fee, asking.warranty), (500, 510, 340));
    assert_eq!((asking.margin, asking.price, asking.with_tax()), (3400, 17_000, 17_000));
    assert_eq!(price.not_priced, Vec::<String>::new());
    assert_eq!(price.materials_cents(), Some(5940));
}

/// Spent once: seven setups, 65 min at 70 cents, 4550; so one more piece costs 7700. Wholesale 8500 less 2 %: 8330 brings 630 a
/// piece, 4550 / 630 = 7.2. Consignment 17000 less 35 % and 2 %: 10710 brings 3010, 1.5 pieces. Hours are at 4200 an hour.
#[test]
fn ways_of_selling_are_worked_out_by_hand() {
    let price = priced(&two_boards(), &terms("[terms]\ncomparable_price = 15000\n"));
    assert_eq!(price.cost.once, 4550);
    let ways: Vec<(&str, i64, i64, i64, Option<i64>)> = price
        .ways
        .iter()
        .map(|way| (way.name.as_str(), way.price, way.fees, way.left, way.break_even))
        .collect();
    let expected = [
        ("cost plus margin", 17_000, 510 + 340 + 500, 3400, Some(1)),
        ("comparable price", 15_000, 450 + 300 + 500, 1500, Some(1)),
        ("wholesale at 50 %", 8500, 170, -3920, Some(8)),
        ("consignment less 35 %", 17_000, 5950 + 340, -1540, Some(2)),
        ("2.5 x materials", 14_850, 446 + 297 + 500, 1357, Some(1)),
        ("3.5 x materials", 20_790, 624 + 416 + 500, 7000, Some(1)),
    ];
    assert_eq!(ways, expected);
    // (15000 - 1250 - 5940) / 4200.
    assert_eq!(price.ways[1].allowed_hours, Some(7810.0 / 4200.0));
}

/// Ten: the rates for a batch of ten, setups once.
#[test]
fn ten_of_them_go_by_the_rates_for_a_batch() {
    let (model, catalogue) = (two_boards(), terms(""));
    let ten = price(&model, &catalogue, &planned(&model, &catalogue), 10);
    let boards = ten.goods.iter().filter(|line| line.goods == Goods::Lumber);
    // 440 in of pieces are 36.67 ft at 1.00 the least; one board for each would be 8000. They are cut together.
    let boards: i64 = boards.filter_map(|line| line.cents).sum();
    assert!((3700..=4400).contains(&boards), "{boards}");
    assert_labour(
        &ten,
        &[
            // They come from four boards, of which one end each is squared.
            (Operation::SortBoards, 4.0, 5.0 + 4.0 * 1.5),
            (Operation::Crosscut, 24.0, 10.0 + 24.0 * 0.5),
            (Operation::Drill, 40.0, 10.0 + 40.0 * 0.3),
            (Operation::RoundOver, 12.192, 10.0 + 12.192 * 0.4),
            (Operation::Sand, 2.47922, 10.0 + 2.47922 * 10.0),
            (Operation::Seal, 0.135484, 0.135484 * 5.0),
            (Operation::Finish, 4.95844, 10.0 + 4.95844 * 5.0),
            (Operation::Assemble, 20.0, 10.0 + 20.0 * 2.0),
            (Operation::DriveScrew, 40.0, 40.0 * 0.2),
        ],
    );
    // 40 screws and 4 spares: five boxes of ten.
    assert_eq!(
        ten.goods.iter().find(|line| line.goods == Goods::Hardware).and_then(|line| line.cents),
        Some(750)
    );
    let line = ten.batches.iter().find(|line| line.pieces == 10).expect("a batch of ten");
    assert!((line.minutes_each - ten.minutes() / 10.0).abs() < 1e-9);
    // By the curve: 65 min once, and 23.047 x 10 ^ log2 0.85 each.
    assert!((line.curve_minutes_each - (6.5 + 23.047 * 0.5828)).abs() < 0.01, "{line:?}");
}

/// Volume at the size it is sold by: 44 in of 1x4 are 1.2222 board feet, with 40 % waste 1.7111, 0.0040378 m3 at 2000.00 the m3.
/// Both faces of 44 x 3.5 in are flattened: 0.19871 m2.
#[test]
fn rough_hardwood_goes_by_volume_with_its_own_waste() {
    let rough = terms("[[rate]]\nspecies = \"white oak\"\ncents_per_cubic_metre = 200000\nwaste = 0.4\n");
    let price = priced(&two_boards(), &rough);
    let lumber = price.goods.iter().find(|line| line.goods == Goods::Lumber).expect("lumber");
    assert_eq!((lumber.cents, lumber.unit), (Some(808), "m3"));
    assert!((lumber.amount - 0.004_037_8).abs() < 1e-7, "{}", lumber.amount);
    let flattened =
        price.labour.iter().find(|line| line.operation == Operation::FlattenStock).expect("flattening");
    assert!((flattened.count - 0.198_71).abs() < 1e-5, "{}", flattened.count);
    // By the board foot, with the waste of the terms: 1.2222 x 1.5 x 600.
    let by_foot = "[terms]\nrough_waste = 0.5\n[[rate]]\nspecies = \"white oak\"\ncents_per_board_foot = 600\nrough = true\n";
    let lumber = priced(&two_boards(), &terms(by_foot)).goods.remove(0);
    assert_eq!((lumber.cents, lumber.unit), (Some(1100), "board foot"));
}

/// Two strips of 29 in ripped as one of 29 + 1/8 + 29 in and cut, one seam of 29 in: clamps 2 in from either end and a foot apart at most are four.
#[test]
fn a_glued_blank_is_ripped_cut_glued_and_clamped() {
    let mut arm = board("arm", "1x4", 28.0, 5.0, 0.75);
    let strip = |n: usize| Strip {
        name: format!("arm strip {n}"),
        section: String::from("1x4"),
        width: Length::inch(2.625),
        length: Length::inch(29.0),
    };
    arm.rough_length = Some(Length::inch(29.0));
    arm.blank = Blank::GluedUp { strips: vec![strip(1), strip(2)], how: GlueUp::EdgeToEdge };
    let price = priced(&model(vec![arm]), &terms(""));
    let count = |of: Operation| price.labour.iter().find(|line| line.operation == of).map(|line| line.count);
    assert!((count(Operation::Rip).unwrap_or_default() - 58.125 * 0.0254).abs() < 1e-9);
    // The board squared, two strips, and the blank cut to length.
    assert_eq!(count(Operation::Crosscut), Some(4.0));
    assert_eq!((count(Operation::GlueUp), count(Operation::Clamp)), (Some(1.0), Some(4.0)));
    // 29 x 0.75 in of glue is a drop: the smallest bottle, and a day before it is loaded.
    assert!(price.goods.iter().any(|line| line.name == "waterproof PVA glue" && line.cents == Some(700)));
    assert_eq!(price.waiting[0].hours(), 24.0);
}

/// Two arches alike take one template and are sawn each; one by itself takes none.
#[test]
fn templates_are_made_for_lines_that_come_again() {
    let arch = |name: &str| board(name, "1x4", 24.0, 3.5, 0.75).arched(2.5, 0.1);
    let count = |boards: Vec<Board>, of: Operation| {
        let price = priced(&model(boards), &terms(""));
        price.labour.iter().find(|line| line.operation == of).map(|line| line.count)
    };
    assert_eq!(count(vec![arch("crest")], Operation::MakeTemplate), None);
    assert_eq!(count(vec![arch("crest")], Operation::Shape), Some(1.0));
    let two = || vec![arch("crest"), arch("crest 2").at(0.0, 200.0, 0.0)];
    assert_eq!(count(two(), Operation::MakeTemplate), Some(1.0));
    assert_eq!(count(two(), Operation::Shape), Some(2.0));
}

#[test]
fn chain_goes_by_its_length_and_what_has_no_price_is_named() {
    let mut swing = two_boards();
    swing.hardware.push(hardware("chain_1_4", 4, Some(Length::inch(72.0))));
    let chain = "[[price]]\nitem = \"chain_1_4\"\ncents_per_foot = 300\n";
    let price_of = |model: &Model, name: &str| {
        priced(model, &terms(chain)).goods.into_iter().find(|line| line.name.contains(name)).expect("a line")
    };
    let line = price_of(&swing, "chain");
    // By whole links, 59 of 1.24 in to 72 in: 4 x 73.16 in are 24.387 ft at 3.00.
    assert!((line.amount - 4.0 * 73.16 / 12.0).abs() < 1e-9, "{}", line.amount);
    assert_eq!((line.unit, line.cents), ("ft", Some(7316)));
    swing.hardware.push(hardware("brass_plate", 1, None));
    let price = priced(&swing, &terms(chain));
    assert_eq!(price.not_priced, ["brass_plate"]);
    assert_eq!((price.asking, price.materials_cents(), price.ways.len()), (None, None, 0));
    // The sums say what the rest comes to.
    assert_eq!(price.cost.hardware, 150 + 7316);
}

/// The stretcher of 20 in comes off the rack: it was paid before, and is told.
#[test]
fn what_comes_off_the_rack_is_told_at_no_price() {
    let price = priced(&model(vec![board("stretcher", "2x4", 20.0, 3.5, 1.5)]), &terms(""));
    let lumber: Vec<_> = price.goods.iter().filter(|line| line.goods == Goods::Lumber).collect();
    assert_eq!((lumber.len(), lumber[0].cents), (1, Some(0)));
    assert_eq!(lumber[0].name, "2x4 white oak off the rack, paid before");
    assert!(price.goods.iter().all(|line| line.goods != Goods::Delivery), "nothing is brought");
}

#[test]
fn shares_that_take_all_of_a_price_leave_none() {
    let all = priced(&two_boards(), &terms("[terms]\nmargin = 0.95\n"));
    assert_eq!((all.asking, all.not_priced.len()), (None, 0));
    let more = priced(&two_boards(), &terms("[terms]\nmargin = 0.99\n"));
    assert_eq!(more.asking, None);
}

/// A table read as a stranger's script would: the price of every line, added up again.
#[test]
fn the_tables_add_up() {
    let price = priced(&two_boards(), &terms(""));
    let column =
        |table: &Table, key: &str| table.columns.iter().position(|own| own.key == key).expect("a column");
    let count = |value: &Value| if let Value::Count(cents) = value { *cents } else { 0 };
    let (goods, cost) = (price.goods_table(), price.cost_table());
    let bought: i64 = goods.rows.iter().map(|row| count(&row[column(&goods, "price_cents")])).sum();
    let line = |name: &str| {
        let row = cost.rows.iter().find(|row| row[0] == Value::from(name)).expect("a line");
        count(&row[column(&cost, "amount_cents")])
    };
    assert_eq!(bought + line("purchase tax") + line("sundries"), line("materials"));
    let parts: i64 = ["cost", "fair fee", "card fee", "warranty", "margin"].map(line).iter().sum();
    assert_eq!(parts, line("price"));
    for table in price.tables() {
        for row in &table.rows {
            assert_eq!(row.len(), table.columns.len(), "{}", table.name);
            assert!(
                row.iter().zip(&table.columns).all(|(value, column)| value.suits(column.unit)),
                "{row:?}"
            );
        }
    }
}

/// Slats screwed to one rail.
fn slatted(slats: usize, inches: f64, screws: usize) -> Model {
    let mut boards = vec![board("rail", "2x4", 40.0, 3.5, 1.5)];
    boards.extend((0..slats).map(|n| board(&format!("slat {n}"), "1x4", inches, 3.5, 0.75)));
    let mut model = model(boards);
    let joints = (1..=slats).map(|slat| joint("screwed face to face", slat, 0, "wood_screw_8", screws));
    model.joints.extend(joints);
    model
}

/// No free delivery from some sum on, which would make more cost less.
const PAID_DELIVERY: &str = "[[delivery]]\nname = \"free delivery\"\ncents = 1000\n";

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 32,
        failure_persistence: Some(Box::new(FileFailurePersistence::WithSource("proptest-regressions"))),
        ..ProptestConfig::default()
    })]

    #[test]
    fn twice_as_many_cost_no_less_and_none_takes_longer(
        slats in 1usize..8, inches in 12u32..60, screws in 1usize..5, pieces in 1usize..5,
    ) {
        let catalogue = terms(PAID_DELIVERY);
        let model = slatted(slats, f64::from(inches), screws);
        let plan = planned(&model, &catalogue);
        let (one, some) = (price(&model, &catalogue, &plan, 1), price(&model, &catalogue, &plan, pieces));
        let twice = price(&model, &catalogue, &plan, 2 * pieces);
        prop_assert_eq!(&one, &plan.price);
        prop_assert!(twice.cost.total() >= some.cost.total());
        prop_assert!(twice.cost.materials() >= some.cost.materials());
        prop_assert!(twice.minutes() >= some.minutes());
        prop_assert!(twice.hours_each() <= some.hours_each() + 1e-12 && some.hours_each() <= one.hours_each() + 1e-12);
        for pair in twice.batches.windows(2) {
            prop_assert!(pair[1].minutes_each <= pair[0].minutes_each + 1e-9);
            prop_assert!(pair[1].curve_minutes_each <= pair[0].curve_minutes_each + 1e-9);
        }
        // A piece with twice the slats costs no less either.
        let larger = priced(&slatted(2 * slats, f64::from(inches), screws), &catalogue);
        prop_assert!(larger.cost.total() >= one.cost.total());
    }

    #[test]
    fn more_tax_margin_and_wages_cost_more_and_all_adds_up(
        tax in 0.0f64..1.0, more in 0.0f64..1.0, margin in 0.0f64..0.9, wage in 0i64..20_000,
    ) {
        let (low, high) = (tax.min(more), tax.max(more));
        let at = |tax: f64, margin: f64, wage: i64| {
            let own = format!("[terms]\npurchase_tax = {tax}\nmargin = {margin}\nlabour_per_hour = {wage}\n");
            priced(&two_boards(), &terms(&own))
        };
        let (small, large) = (at(low, margin, wage), at(high, margin, wage));
        prop_assert!(small.cost.purchase_tax <= large.cost.purchase_tax);
        prop_assert!(small.cost.total() <= large.cost.total());
        prop_assert!(at(low, margin / 2.0, wage).asking.map(|own| own.price) <= small.asking.map(|own| own.price));
        prop_assert!(small.cost.labour <= at(low, margin, wage + 100).cost.labour);
        let (cost, asking) = (small.cost, small.asking.expect("a price"));
        let parts = cost.total() + asking.fair_fee + asking.card_fee + asking.warranty + asking.margin;
        prop_assert_eq!(parts, asking.price);
        // The margin is its share of the price within the rounding of the other lines.
        prop_assert!((asking.margin as f64 - margin * asking.price as f64).abs() <= 2.0);
    }
}
