//! The shop's tables in the formats of tables.

use super::{Files, Paper};
use crate::Units;
use serde_json::{Map, Value as Json};
use slatwork_base::Outcome;
use slatwork_output::{Cell, Column, Kind, Table, csv, json, text};
use slatwork_shop::{Table as ShopTable, Unit, Value};

/// The hole list is read with a finer rule than the rest.
const HOLES: &str = "holes";
/// Keys of columns that hold bit sizes: no tape reads them, so files give them in millimetres only.
const BIT: &str = "diameter";
/// Millimetres to a hundredth tell every bit from the next.
const BIT_SIZE: Kind = Kind::Number { unit: "mm", decimals: 2 };

/// A shop's table for the formats.
pub(crate) fn table(own: ShopTable, units: Units) -> Table {
    let columns =
        own.columns.iter().map(|column| Column::new(column.key, column.title, kind(column.unit))).collect();
    let tape = if own.name == HOLES { units.rule() } else { units.tape() };
    let mut table = Table::new(own.name, own.title, tape, columns);
    table.rows = own.rows.into_iter().map(|row| row.into_iter().map(cell).collect()).collect();
    bits_in_mm(&mut table);
    table
}

fn bits_in_mm(table: &mut Table) {
    let Some(index) = table.columns.iter().position(|column| column.key == BIT) else { return };
    table.columns[index].kind = BIT_SIZE;
    for row in &mut table.rows {
        if let Some(Cell::Length(length)) = row.get(index) {
            row[index] = Cell::Number(length.as_mm());
        }
    }
}

fn kind(unit: Unit) -> Kind {
    match unit {
        Unit::Text => Kind::Text,
        Unit::Count => Kind::Count,
        Unit::Number { unit, decimals } => Kind::Number { unit, decimals },
        Unit::Length => Kind::Length,
        Unit::Angle => Kind::Angle,
        Unit::Flag => Kind::Flag,
    }
}

fn cell(value: Value) -> Cell {
    match value {
        Value::Empty => Cell::Empty,
        Value::Text(text) => Cell::Text(text),
        Value::Count(count) => Cell::Count(count),
        Value::Number(number) => Cell::Number(number),
        Value::Length(length) => Cell::Length(length),
        Value::Angle(angle) => Cell::Angle(angle),
        Value::Flag(flag) => Cell::Flag(flag),
    }
}

impl Paper<'_> {
    /// Each table as a CSV file of its own name, and all of them in one JSON document named after the kind.
    pub(crate) fn table_files(&self, kind: &str, tables: Vec<ShopTable>) -> Outcome<Files> {
        let tables: Vec<Table> = tables.into_iter().map(|own| table(own, self.units)).collect();
        let mut outcome = Outcome::fine(Files::new());
        for table in &tables {
            outcome = outcome.then(|mut files| {
                csv::write(table).map(|bytes| {
                    files.push((format!("{}.csv", table.name), bytes));
                    files
                })
            });
        }
        outcome.map(|mut files| {
            files.push((format!("{kind}.json"), self.tables_document(kind, &tables)));
            files
        })
    }

    fn tables_document(&self, kind: &str, tables: &[Table]) -> Vec<u8> {
        let mut body = self.body();
        let all: Map<String, Json> =
            tables.iter().map(|table| (table.name.to_string(), json::rows(table))).collect();
        body.insert("tables".into(), Json::Object(all));
        self.document(kind, body)
    }

    /// A table as lines for a person, in both measures where both are asked for, without columns that hold nothing.
    pub(crate) fn table_text(&self, own: ShopTable) -> Outcome<String> {
        text::write_within(&self.readable(own), super::page::WIDTH)
    }

    /// The same as a table for any format that a person reads.
    pub(crate) fn readable(&self, own: ShopTable) -> Table {
        let mut table = without_empty_columns(table(own, self.units));
        money(&mut table);
        if self.units == Units::Both {
            lengths_in_words(&mut table);
        }
        table
    }
}

/// Cents stand as whole money with two decimals.
fn money(table: &mut Table) {
    const CENTS: (&str, &str) = ("_cents", ", cents");
    for (index, column) in
        table.columns.iter_mut().enumerate().filter(|(_, column)| column.key.ends_with(CENTS.0))
    {
        column.kind = Kind::Number { unit: "", decimals: 2 };
        column.title = column.title.trim_end_matches(CENTS.1).to_string();
        for row in &mut table.rows {
            if let Some(Cell::Count(cents)) = row.get(index) {
                row[index] = Cell::Number(*cents as f64 / 100.0);
            }
        }
    }
}

fn without_empty_columns(mut table: Table) -> Table {
    let says =
        |index: usize| table.rows.iter().any(|row| !matches!(row.get(index), None | Some(Cell::Empty)));
    let kept: Vec<bool> = (0..table.columns.len()).map(says).collect();
    let keep = |index: &mut usize| {
        *index += 1;
        kept.get(*index - 1).copied().unwrap_or(true)
    };
    let mut index = 0;
    table.columns.retain(|_| keep(&mut index));
    for row in &mut table.rows {
        let mut index = 0;
        row.retain(|_| keep(&mut index));
    }
    table
}

/// Lengths of both measures stand as words.
fn lengths_in_words(table: &mut Table) {
    for cell in table.rows.iter_mut().flatten() {
        if let Cell::Length(length) = *cell {
            *cell = Cell::Text(Units::Both.text(length));
        }
    }
    for column in table.columns.iter_mut().filter(|column| column.kind == Kind::Length) {
        column.kind = Kind::Text;
    }
}
