//! Documents and [`Table`]s as JSON. Every document says first what it is: `"schema": "slatwork/<kind>/<version>"`.
//!
//! A length is an object: `mm`, exact, and `tape`, as the tape reads it. Angles are degrees; the units of other
//! numbers are listed with the columns.

use crate::table::{Cell, Column, Kind, Table};
use serde_json::{Map, Number, Value, json};
use slatwork_base::{Length, Outcome, Tape};

/// A document with its schema first, indented, ending in a line break.
pub fn document(kind: &str, version: u32, body: Map<String, Value>) -> String {
    let mut whole = Map::new();
    whole.insert("schema".into(), Value::String(format!("slatwork/{kind}/{version}")));
    whole.extend(body);
    format!("{:#}\n", Value::Object(whole))
}

/// A length as documents hold it.
pub fn length(length: Length, tape: Tape) -> Value {
    json!({ "mm": number(length.as_mm()), "tape": tape.text(length) })
}

/// A number, whole ones without a decimal point; null when it is not finite.
pub fn number(value: f64) -> Value {
    let whole = value.round();
    // Below 2^53 every whole number is exact.
    if whole == value && value.abs() < 9_007_199_254_740_992.0 {
        return Value::from(value as i64);
    }
    Number::from_f64(value).map_or(Value::Null, Value::Number)
}

/// Writes a table. The faults `table-ragged` and `table-wrong-kind`.
pub fn write(table: &Table) -> Outcome<Vec<u8>> {
    if let Some(fault) = table.fault() {
        return Outcome::failed(fault);
    }
    let mut body = Map::new();
    body.insert("title".into(), json!(table.title));
    body.insert("columns".into(), table.columns.iter().map(column).collect());
    body.insert("rows".into(), rows(table));
    Outcome::fine(document(table.name, table.version, body).into_bytes())
}

/// The rows as a list of objects, for documents that hold several tables.
pub fn rows(table: &Table) -> Value {
    let row = |cells: &Vec<Cell>| -> Value {
        let fields = table.columns.iter().zip(cells);
        Value::Object(
            fields.map(|(column, cell)| (column.key.to_string(), value(cell, table.tape))).collect(),
        )
    };
    table.rows.iter().map(row).collect()
}

fn column(column: &Column) -> Value {
    let mut about = json!({ "key": column.key, "title": column.title });
    match column.kind {
        Kind::Number { unit, .. } if !unit.is_empty() => about["unit"] = json!(unit),
        Kind::Angle => about["unit"] = json!("deg"),
        _ => {}
    }
    about
}

fn value(cell: &Cell, tape: Tape) -> Value {
    match cell {
        Cell::Empty => Value::Null,
        Cell::Text(text) => json!(text),
        Cell::Count(count) => json!(count),
        Cell::Number(value) => number(*value),
        Cell::Length(value) => length(*value, tape),
        Cell::Angle(angle) => number(angle.as_deg()),
        Cell::Flag(flag) => json!(flag),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_table_says_what_it_is_and_holds_exact_lengths() {
        let columns = vec![
            Column::new("mark", "Mark", Kind::Text),
            Column::new("length", "Length", Kind::Length),
            Column::new("mass", "Mass", Kind::Number { unit: "kg", decimals: 1 }),
        ];
        let mut table = Table::new("parts", "Parts", Tape::Inch16, columns);
        table.rows.push(vec!["A".into(), Length::mm(1087.4375).into(), Cell::Number(2.0)]);
        let bytes = write(&table).value.unwrap();
        insta::assert_snapshot!(String::from_utf8(bytes).unwrap(), @r#"
{
  "schema": "slatwork/parts/1",
  "title": "Parts",
  "columns": [
    {
      "key": "mark",
      "title": "Mark"
    },
    {
      "key": "length",
      "title": "Length"
    },
    {
      "key": "mass",
      "title": "Mass",
      "unit": "kg"
    }
  ],
  "rows": [
    {
      "mark": "A",
      "length": {
        "mm": 1087.4375,
        "tape": "42 13/16\""
      },
      "mass": 2
    }
  ]
}
"#);
    }

    #[test]
    fn numbers_stay_themselves() {
        assert_eq!(number(2.0).to_string(), "2");
        assert_eq!(number(-0.0).to_string(), "0");
        assert_eq!(number(0.1).to_string(), "0.1");
        assert_eq!(number(f64::NAN), Value::Null);
    }
}
