//! [`Price`] as plain tables. Amounts and times are for all pieces of the batch.

use super::{Asking, BatchLine, GoodsLine, LabourLine, Price, Way};
use crate::table::{Table, Unit, Value};
use crate::tables::{columns, row};
use slatwork_catalog::Source;

const TEXT: Unit = Unit::Text;
const COUNT: Unit = Unit::Count;
const MINUTES: Unit = Unit::Number { unit: "minutes", decimals: 1 };
const HOURS: Unit = Unit::Number { unit: "hours", decimals: 1 };
const AMOUNT: Unit = Unit::Number { unit: "", decimals: 2 };

fn cents(cents: Option<i64>) -> Value {
    cents.map_or(Value::Empty, Value::Count)
}

/// "12.24 m", "62 cuts", "1 notch".
fn counted(count: f64, unit: &str) -> String {
    /// Units that have no plural.
    const MEASURES: [&str; 6] = ["m", "m2", "m3", "ft", "fl oz", "m2 of coat"];
    let number = (count * 100.0).round() / 100.0;
    match unit {
        _ if MEASURES.contains(&unit) || number == 1.0 => format!("{number} {unit}"),
        "board foot" => format!("{number} board feet"),
        _ if unit.ends_with("ch") => format!("{number} {unit}es"),
        _ => format!("{number} {unit}s"),
    }
}

/// How a price was come by; where some figures of its entry stand otherwise, the softest.
fn price_status(source: Option<&Source>) -> Value {
    let softest = |source: &Source| source.exceptions.values().copied().chain([source.status]).max();
    Value::from(source.and_then(softest).map(|status| status.word()))
}

impl Price {
    /// Every list of the price.
    pub fn tables(&self) -> Vec<Table> {
        vec![
            self.goods_table(),
            self.labour_table(),
            self.waiting_table(),
            self.cost_table(),
            self.ways_table(),
            self.batches_table(),
        ]
    }

    /// One row for each thing to buy.
    pub fn goods_table(&self) -> Table {
        let columns = columns(&[
            ("goods", "goods", TEXT),
            ("name", "ask for", TEXT),
            ("need", "need", TEXT),
            ("amount", "amount", AMOUNT),
            ("unit", "unit", TEXT),
            ("bought", "buy", TEXT),
            ("price_each_cents", "price of one, cents", COUNT),
            ("price_cents", "price, cents", COUNT),
            ("status", "price is", TEXT),
            ("source", "source", TEXT),
        ]);
        Table { name: "goods", title: "goods", columns, rows: self.goods.iter().map(goods_row).collect() }
    }

    /// One row for each operation.
    pub fn labour_table(&self) -> Table {
        let columns = columns(&[
            ("operation", "operation", TEXT),
            ("about", "work", TEXT),
            ("of", "of", TEXT),
            ("count", "count", AMOUNT),
            ("unit", "unit", TEXT),
            ("each", "each", MINUTES),
            ("setup", "set up", MINUTES),
            ("all", "in all", MINUTES),
            ("status", "rate is", TEXT),
            ("source", "source", TEXT),
        ]);
        Table { name: "labour", title: "labour", columns, rows: self.labour.iter().map(labour_row).collect() }
    }

    /// One row for each thing that dries.
    pub fn waiting_table(&self) -> Table {
        let columns = columns(&[
            ("what", "what dries", TEXT),
            ("times", "times", COUNT),
            ("each", "each", HOURS),
            ("all", "in all", HOURS),
        ]);
        let rows = self
            .waiting
            .iter()
            .map(|line| row![line.what.clone(), line.times as usize, line.hours_each, line.hours()]);
        Table { name: "waiting", title: "waiting", columns, rows: rows.collect() }
    }

    /// One row for each line of the cost and of the price, sums among them.
    pub fn cost_table(&self) -> Table {
        let columns = columns(&[
            ("line", "line", TEXT),
            ("sums", "is a sum", Unit::Flag),
            ("how", "how", TEXT),
            ("amount_cents", "amount, cents", COUNT),
        ]);
        let lines =
            self.cost_lines().into_iter().chain(self.asking.iter().flat_map(|own| self.asking_lines(own)));
        let rows = lines.map(|(line, sums, how, cents)| row![line, sums, how, Value::Count(cents)]);
        Table { name: "cost", title: "cost and price", columns, rows: rows.collect() }
    }

    fn cost_lines(&self) -> Vec<(&'static str, bool, String, i64)> {
        let (cost, terms) = (&self.cost, &self.terms);
        let hours = self.minutes() / 60.0;
        let at = |cents: i64| format!("{hours:.2} h at {}", money(cents));
        let plain = String::new;
        vec![
            ("lumber", false, plain(), cost.lumber),
            ("hardware", false, plain(), cost.hardware),
            ("consumables", false, plain(), cost.consumables),
            ("sundries", false, format!("{} of the above", terms.sundries), cost.sundries),
            ("delivery", false, plain(), cost.delivery),
            ("purchase tax", false, format!("{} of the above", terms.purchase_tax), cost.purchase_tax),
            ("materials", true, plain(), cost.materials()),
            ("labour", false, at(terms.labour_per_hour), cost.labour),
            ("overhead", false, at(terms.overhead_per_hour), cost.overhead),
            ("cost", true, String::from("materials, labour, overhead"), cost.total()),
        ]
    }

    fn asking_lines(&self, asking: &Asking) -> Vec<(&'static str, bool, String, i64)> {
        let terms = &self.terms;
        let of_price = |share| format!("{share} of the price");
        vec![
            ("fair fee", false, format!("{} a piece", money(terms.fair_fee)), asking.fair_fee),
            ("card fee", false, of_price(terms.card_fee), asking.card_fee),
            ("warranty", false, of_price(terms.warranty), asking.warranty),
            ("margin", false, of_price(terms.margin), asking.margin),
            ("price", true, String::from("cost, fees, margin"), asking.price),
            ("sales tax", false, of_price(terms.sales_tax), asking.sales_tax),
            ("price with tax", true, String::new(), asking.with_tax()),
        ]
    }

    /// One row for each way of selling one piece.
    pub fn ways_table(&self) -> Table {
        let columns = columns(&[
            ("way", "way of selling one", TEXT),
            ("price_cents", "price, cents", COUNT),
            ("fees_cents", "fees, cents", COUNT),
            ("left_cents", "left over cost, cents", COUNT),
            ("allowed", "allowed", HOURS),
            ("break_even", "pays from a batch of", COUNT),
        ]);
        Table {
            name: "selling",
            title: "ways of selling",
            columns,
            rows: self.ways.iter().map(way_row).collect(),
        }
    }

    /// One row for each size of batch.
    pub fn batches_table(&self) -> Table {
        let columns = columns(&[
            ("pieces", "pieces", COUNT),
            ("each", "labour of one", MINUTES),
            ("curve", "by the learning curve", MINUTES),
        ]);
        let batch = |line: &BatchLine| row![line.pieces, line.minutes_each, line.curve_minutes_each];
        Table { name: "batches", title: "batches", columns, rows: self.batches.iter().map(batch).collect() }
    }
}

fn goods_row(line: &GoodsLine) -> Vec<Value> {
    row![
        line.goods.word(),
        line.name.clone(),
        counted(line.amount, line.unit),
        line.amount,
        line.unit,
        line.bought.clone(),
        cents(line.cents_each),
        cents(line.cents),
        price_status(line.source.as_ref()),
        line.source.as_ref().map(|source| source.text.clone()),
    ]
}

fn labour_row(line: &LabourLine) -> Vec<Value> {
    let row = line.operation.row();
    row![
        row.name,
        row.about,
        counted(line.count, row.unit),
        line.count,
        row.unit,
        line.minutes_each,
        line.setup_minutes,
        line.minutes(),
        line.source.status.word(),
        line.source.text.clone(),
    ]
}

fn way_row(way: &Way) -> Vec<Value> {
    row![
        way.name.clone(),
        Value::Count(way.price),
        Value::Count(way.fees),
        Value::Count(way.left),
        way.allowed_hours,
        cents(way.break_even),
    ]
}

/// Cents as whole money: "25.00".
fn money(cents: i64) -> String {
    format!("{}.{:02}", cents / 100, cents % 100)
}
