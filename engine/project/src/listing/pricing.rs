//! What a piece is priced by, as tables: prices, operations, terms.

use super::{COUNT, TEXT, source, table};
use slatwork_base::{Length, Tape};
use slatwork_catalog::{
    Catalogue, Consumable, ConsumableUnit, Delivery, ItemPrice, LITRES_PER_FLUID_OUNCE, OPERATIONS, Pack,
    Rate, SoldBy, StockItem, StockLength,
};
use slatwork_output::{Cell, Kind, Table};

/// Everything that has a price: woods, hardware, consumables, delivery.
pub fn prices(catalogue: &Catalogue, tape: Tape) -> Table {
    let columns = [
        ("item", "item", TEXT),
        ("name", "ask for", TEXT),
        ("sold_by", "sold by", TEXT),
        ("price_cents", "cents", COUNT),
        ("source", "source", TEXT),
    ];
    let mut table = table("prices", "Prices", tape, &columns);
    let pricing = catalogue.pricing();
    table.rows = catalogue.yard().items.iter().flat_map(|item| boards(item, tape)).collect();
    table.rows.extend(catalogue.yard().rates.values().map(|rate| wood(catalogue, rate)));
    table.rows.extend(pricing.items.iter().flat_map(|price| item(catalogue, price, tape)));
    table.rows.extend(pricing.consumables.values().flat_map(|own| consumable(own, tape)));
    table.rows.extend(pricing.deliveries.iter().map(|step| delivery(step, tape)));
    table
}

/// A row for each length that the yard lists.
fn boards(item: &StockItem, tape: Tape) -> Vec<Vec<Cell>> {
    let named: Vec<&str> = [&item.species, &item.grade].into_iter().flatten().map(String::as_str).collect();
    let row = |stock: &StockLength| {
        vec![
            item.section.clone().into(),
            named.join(", ").into(),
            format!("board {} long", tape.feet_and_inches(stock.length)).into(),
            stock.price_cents.map_or(Cell::Empty, Cell::Count),
            source(&item.source),
        ]
    };
    item.lengths.iter().map(row).collect()
}

fn wood(catalogue: &Catalogue, rate: &Rate) -> Vec<Cell> {
    let name = catalogue.species(&rate.species).map_or(rate.species.clone(), |own| own.name.clone());
    let rough = if rate.rough { ", rough" } else { "" };
    let waste = rate.waste.map_or(String::new(), |waste| format!(", {waste} waste"));
    vec![
        rate.species.clone().into(),
        name.into(),
        format!("{}{rough}{waste}", rate.per.word()).into(),
        Cell::Count(rate.cents),
        source(&rate.source),
    ]
}

/// A row for each box it comes in.
fn item(catalogue: &Catalogue, price: &ItemPrice, tape: Tape) -> Vec<Vec<Cell>> {
    let each = price.length.map_or(String::new(), |length| format!(", {}", tape.text(length)));
    let name = format!("{}{each}", catalogue.item_words(&price.item));
    let row = |sold_by: String, cents: Option<i64>| {
        vec![
            price.item.clone().into(),
            name.clone().into(),
            sold_by.into(),
            cents.map_or(Cell::Empty, Cell::Count),
            source(&price.source),
        ]
    };
    match &price.by {
        SoldBy::Piece(cents) => vec![row(String::from("piece"), Some(*cents))],
        SoldBy::Length { cents, per } if *per == Length::mm(1000.0) => {
            vec![row(String::from("metre"), Some(*cents))]
        }
        SoldBy::Length { cents, .. } => vec![row(String::from("foot"), Some(*cents))],
        SoldBy::Boxes(boxes) => {
            boxes.iter().map(|own| row(format!("box of {}", own.holds), own.price_cents)).collect()
        }
    }
}

/// A row for each pack it comes in.
fn consumable(own: &Consumable, tape: Tape) -> Vec<Vec<Cell>> {
    let holds = |pack: &Pack| match own.unit {
        ConsumableUnit::Sheet => format!("{} sheets", pack.holds),
        ConsumableUnit::Litre if tape.is_inch() => {
            format!("{:.1} fl oz", pack.holds / LITRES_PER_FLUID_OUNCE)
        }
        ConsumableUnit::Litre => format!("{} litre", (pack.holds * 1000.0).round() / 1000.0),
    };
    let row = |pack: &Pack| {
        vec![
            own.kind.word().into(),
            own.name.clone().into(),
            holds(pack).into(),
            pack.price_cents.map_or(Cell::Empty, Cell::Count),
            source(&own.source),
        ]
    };
    own.packs.iter().map(row).collect()
}

fn delivery(step: &Delivery, tape: Tape) -> Vec<Cell> {
    let from = step.from_cents.map(|cents| format!("from {cents} cents of boards"));
    let kg = step.up_to_kg.map(|kg| format!("up to {kg} kg"));
    let long = step.up_to_length.map(|length| format!("up to {} long", tape.feet_and_inches(length)));
    let when: Vec<String> = [from, kg, long].into_iter().flatten().collect();
    let sold_by = if when.is_empty() { String::from("load") } else { format!("load {}", when.join(", ")) };
    vec![
        "delivery".into(),
        step.name.clone().into(),
        sold_by.into(),
        Cell::Count(step.cents),
        source(&step.source),
    ]
}

/// Every operation of the shop.
pub fn operations(catalogue: &Catalogue) -> Table {
    const MINUTES: Kind = Kind::Number { unit: "minutes", decimals: 2 };
    let columns = [
        ("operation", "operation", TEXT),
        ("about", "work", TEXT),
        ("unit", "counted by", TEXT),
        ("single", "single", MINUTES),
        ("batch", "in a batch", MINUTES),
        ("setup", "set up", MINUTES),
        ("source", "source", TEXT),
    ];
    let mut table = table("operations", "Operations of the shop", Tape::Exact, &columns);
    let labour = &catalogue.pricing().labour;
    table.rows = OPERATIONS
        .iter()
        .map(|row| {
            let own = labour.get(&row.operation);
            let number = |minutes: Option<f64>| minutes.map_or(Cell::Empty, Cell::Number);
            vec![
                row.name.into(),
                row.about.into(),
                row.unit.into(),
                number(own.map(|own| own.minutes)),
                number(own.and_then(|own| own.batch_minutes)),
                number(own.map(|own| own.setup_minutes)),
                own.map_or(Cell::Empty, |own| source(&own.source)),
            ]
        })
        .collect();
    table
}

/// Every figure of the terms.
pub fn terms(catalogue: &Catalogue) -> Table {
    let columns = [
        ("term", "term", TEXT),
        ("value", "value", Kind::Number { unit: "", decimals: 3 }),
        ("source", "source", TEXT),
    ];
    let mut table = table("terms", "Terms", Tape::Exact, &columns);
    let figures = catalogue.pricing().terms.figures();
    table.rows = figures
        .into_iter()
        .map(|term| vec![term.name.into(), Cell::Number(term.value), source(&term.source)])
        .collect();
    table
}
