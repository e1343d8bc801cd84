//! A user's own prices, consumables, labour and terms: taken up, laid over the program's own, and refused where they cannot be.

use slatwork_base::{Diagnostic, Length, Place};
use slatwork_catalog::{
    Catalogue, ConsumableKind, ConsumableUnit, Delivery, Item, ItemPrice, LITRES_PER_FLUID_OUNCE, Load,
    OPERATIONS, Operation, Overlay, Share, SoldBy, Source, Status, Term, Terms, Volume,
};

fn own(text: &str) -> Catalogue {
    let outcome = Catalogue::shared().overlay_toml("own.toml", text);
    assert_eq!(outcome.diagnostics, []);
    outcome.value.expect("a catalogue")
}

fn refused(text: &str) -> String {
    let outcome = Catalogue::shared().overlay_toml("own.toml", text);
    assert!(outcome.value.is_none(), "this should have been refused:\n{text}");
    outcome.diagnostics.iter().map(told).collect::<Vec<_>>().join("\n")
}

fn told(trouble: &Diagnostic) -> String {
    let place = match &trouble.place {
        Some(Place::Source { line, text, .. }) => format!("  {line}: {text}\n"),
        _ => String::new(),
    };
    let help = trouble.help.iter().map(|help| format!("  help: {help}\n"));
    format!(
        "{}[{}]: {}\n{place}{}",
        trouble.severity.word(),
        trouble.code,
        trouble.message,
        help.collect::<String>()
    )
}

#[test]
fn every_fastener_and_hardware_has_a_demo_price_and_every_operation_a_time() {
    let catalogue = Catalogue::shared();
    let ids = catalogue.fasteners().map(|own| &own.id).chain(catalogue.hardware_list().map(|own| &own.id));
    for id in ids {
        let price = catalogue.pricing().item(id, None).unwrap_or_else(|| panic!("no price for {id}"));
        assert_eq!(price.source.status, Status::Demo, "{id}");
    }
    for row in &OPERATIONS {
        assert!(catalogue.pricing().labour.contains_key(&row.operation), "no time for {}", row.name);
    }
    assert_eq!(catalogue.pricing().consumables.len(), 4);
    let named: Vec<String> = catalogue.pricing().terms.figures().into_iter().map(|term| term.name).collect();
    assert!(named.iter().map(String::as_str).eq(Terms::names()), "{named:?}");
}

/// Trade practice of the shop, minutes single and in a batch of ten.
#[test]
fn rates_of_common_practice_are_those_of_the_table() {
    let table = [
        ("crosscut", 1.5, 0.5),
        ("rip", 1.0, 0.5),
        ("shape", 12.0, 5.0),
        ("round_over", 0.7, 0.4),
        ("drill", 0.7, 0.3),
        ("drive_screw", 0.3, 0.2),
        ("plug", 1.5, 1.0),
        ("sand", 15.0, 10.0),
        ("finish", 8.0, 5.0),
    ];
    for (name, single, batch) in table {
        let operation = Operation::named(name).expect("an operation");
        let labour = &Catalogue::shared().pricing().labour[&operation];
        assert_eq!((labour.minutes, labour.batch_minutes), (single, Some(batch)), "{name}");
        assert_eq!(labour.source.status, Status::CommonPractice, "{name}");
    }
}

#[test]
fn prices_go_by_piece_box_and_length() {
    let catalogue = own(r#"
[[price]]
item = "wood_screw_8"
boxes = [50, 200]
cents = [700, 2400]

[[price]]
item = "wood_screw_8"
length = "2in"
boxes = 100
cents = 900

[[price]]
item = "chain_1_4"
cents_per_metre = 1000

[[price]]
item = "eye_bolt_3_8"
cents = 1150
source = "the chandler"
"#);
    let price =
        |item: &str, length: Option<Length>| catalogue.pricing().item(item, length).expect("a price").clone();
    assert!(matches!(price("wood_screw_8", None).by, SoldBy::Boxes(boxes) if boxes.len() == 2));
    assert!(
        matches!(price("wood_screw_8", Some(Length::inch(2.0))).by, SoldBy::Boxes(boxes) if boxes.len() == 1)
    );
    assert!(
        matches!(price("wood_screw_8", Some(Length::inch(3.0))).by, SoldBy::Boxes(boxes) if boxes.len() == 2)
    );
    assert_eq!(price("chain_1_4", None).cents_of_length(Length::mm(2500.0)), Some(2500));
    let eye = price("eye_bolt_3_8", None);
    assert_eq!((eye.by, eye.source.text.as_str()), (SoldBy::Piece(1150), "the chandler"));
}

#[test]
fn what_is_not_said_is_as_in_the_catalogue_below() {
    let catalogue = own(r#"
[labour.crosscut]
minutes = 1.2

[labour.drill]
setup_minutes = 3

[consumable.finish]
coats = 3
fluid_ounces = [32]
cents = 2500

[consumable.abrasive]
square_metres_per_sheet = 2

[terms]
margin = 0.3
[terms.labour_per_hour]
value = 4000
status = "measured"
"#);
    let (pricing, below) = (catalogue.pricing(), Catalogue::shared().pricing());
    // A single time of one's own does not go with a batch time of somebody else's.
    let crosscut = &pricing.labour[&Operation::Crosscut];
    assert_eq!((crosscut.minutes, crosscut.batch_minutes, crosscut.setup_minutes), (1.2, None, 10.0));
    let drill = &pricing.labour[&Operation::Drill];
    assert_eq!((drill.minutes, drill.batch_minutes, drill.setup_minutes), (0.7, Some(0.3), 3.0));
    let finish = &pricing.consumables[&ConsumableKind::Finish];
    assert_eq!((finish.coats, finish.packs.len(), finish.unit), (3, 1, ConsumableUnit::Litre));
    assert!((finish.packs[0].holds - 32.0 * LITRES_PER_FLUID_OUNCE).abs() < 1e-12);
    assert_eq!(finish.covers_m2, below.consumables[&ConsumableKind::Finish].covers_m2);
    assert_eq!(pricing.consumables[&ConsumableKind::Abrasive].covers_m2, 2.0);
    assert_eq!(Some(pricing.terms.margin), Share::new(0.3));
    assert_eq!(pricing.terms.labour_per_hour, 4000);
    assert_eq!(pricing.terms.source("labour_per_hour").map(|source| source.status), Some(Status::Measured));
    assert_eq!(pricing.terms.card_fee, below.terms.card_fee);
}

#[test]
fn rough_hardwood_has_a_waste_of_its_own() {
    let catalogue = own("[[rate]]\nspecies = \"teak\"\ncents_per_cubic_metre = 900000\nwaste = 0.35\n");
    let rate = &catalogue.yard().rates["teak"];
    assert_eq!((rate.cents, rate.per, rate.rough), (900_000, Volume::CubicMetre, true));
    assert_eq!(rate.waste, Share::new(0.35));
    // 423.776 board feet are a cubic metre.
    assert_eq!(rate.cents_for(423.776), 900_000);
    // 1x4, 8 ft: 0.0254 x 0.1016 x 2.4384 m3 at 9000.00.
    let (section, teak) = (catalogue.section("1x4").unwrap(), catalogue.species("teak").unwrap());
    let eight = catalogue.stock(section, teak, None).into_iter().find(|own| own.length == Length::inch(96.0));
    assert_eq!(eight.and_then(|own| own.price_cents), Some(5663));
    assert_eq!(
        catalogue.yard().price_source(section, teak, None).map(|own| own.text.as_str()),
        Some("own.toml")
    );
}

#[test]
fn delivery_goes_by_steps_of_price_mass_and_length() {
    let text = r#"
[[delivery]]
name = "delivery by the yard"
cents = 3000
up_to_kg = 100
up_to_length = "10ft"
[[delivery]]
name = "lorry"
cents = 8000
"#;
    let catalogue = own(text);
    let steps = &catalogue.pricing().deliveries;
    let by = |cents, kg, feet| {
        let load = Load { cents, kg, longest: Length::inch(12.0 * feet) };
        Delivery::cheapest(steps, &load).map(|step| step.cents)
    };
    assert_eq!(by(10_000, 99.0, 10.0), Some(3000));
    assert_eq!((by(10_000, 101.0, 10.0), by(10_000, 99.0, 12.0)), (Some(8000), Some(8000)));
    assert_eq!(by(90_000, 101.0, 12.0), Some(0), "free from a sum on, as in the catalogue below");
}

#[test]
fn what_cannot_be_is_refused_by_name() {
    let bad = [
        "[[price]]\nitem = \"wood_screw_8\"\ncents = -5\n",
        "[[price]]\nitem = \"wood_scrow_8\"\ncents = 5\n",
        "[[price]]\nitem = \"wood_screw_8\"\n",
        "[[price]]\nitem = \"wood_screw_8\"\ncents = [1, 2]\n",
        "[[price]]\nitem = \"wood_screw_8\"\nboxes = [0]\ncents = 5\n",
        "[[price]]\nitem = \"wood_screw_8\"\ncents = 9999999999999\n",
        "[[price]]\nitem = \"wood_screw_8\"\ncents = 1\n[[price]]\nitem = \"wood_screw_8\"\ncents = 2\n",
        "[[rate]]\nspecies = \"teak\"\ncents_per_board_foot = 900\nwaste = 1.4\n",
        "[[rate]]\nspecies = \"teak\"\n",
        "[[delivery]]\nname = \"van\"\n",
        "[[delivery]]\nname = \"van\"\ncents = 5\nup_to_kg = 0\n",
        "[consumable.varnish]\ncoats = 2\n",
        "[consumable.finish]\nsquare_metres_per_litre = 0\n",
        "[consumable.finish]\ncoats = 99\n",
        "[consumable.finish]\nlitres = [1, 5]\ncents = [1, 2, 3]\n",
        "[consumable.finish]\nlitres = []\n",
        "[consumable.finish]\nsheets = [5]\n",
        "[consumable.abrasive]\nsquare_metres_per_litre = 5\n",
        "[labour.crosscuts]\nminutes = 1\n",
        "[labour.crosscut]\nminutes = 1\nbatch_minutes = 2\n",
        "[labour.crosscut]\nminutes = 1\nbatch_minutes = 0.05\n",
        "[labour.crosscut]\nminutes = 1e9\n",
        "[terms]\nmargin = 1.5\n",
        "[terms]\nmargin = 25\n",
        "[terms]\nlearning = 0.3\n",
        "[terms]\nmargins = 0.2\n",
        "[terms]\nlabour_per_hour = 25.5\n",
        "[terms]\nlabour_per_hour = -1\n",
        "[terms]\nrate_batch = 1\n",
    ];
    insta::assert_snapshot!(bad.map(refused).join("\n"));
}

#[test]
fn plain_data_that_cannot_be_are_refused_as_well() {
    let source = || Source::new("a program", Status::Stated);
    let codes = |item: Item| {
        let mut overlay = Overlay::default();
        overlay.add(item);
        let outcome = Catalogue::shared().overlay(overlay);
        assert!(outcome.value.is_none());
        outcome.diagnostics.into_iter().map(|trouble| trouble.code).collect::<Vec<_>>()
    };
    let price = |cents| ItemPrice {
        item: String::from("wood_screw_8"),
        length: None,
        by: SoldBy::Piece(cents),
        source: source(),
    };
    assert_eq!(codes(Item::Price(price(-1))), ["impossible-price"]);
    assert_eq!(codes(Item::Price(ItemPrice { item: String::from("x"), ..price(1) })), ["unknown-item"]);
    let term = |name: &str, value| Item::Term(Term { name: name.to_string(), value, source: source() });
    assert_eq!(codes(term("tax", 0.1)), ["unknown-term"]);
    assert_eq!(codes(term("margin", f64::NAN)), ["impossible-share"]);
    assert_eq!(codes(term("fair_fee", f64::INFINITY)), ["impossible-price"]);
}
