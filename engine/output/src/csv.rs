//! A [`Table`] as CSV (RFC 4180): a heading row of keys, then the rows.
//!
//! A length fills two columns: `<key>_mm`, exact, and `<key>`, as the tape reads it. Other units stand in the key.

use crate::number;
use crate::table::{Cell, Column, Kind, Table};
use slatwork_base::{Diagnostic, Outcome};

/// Writes a table. The faults `table-ragged` and `table-wrong-kind`.
pub fn write(table: &Table) -> Outcome<Vec<u8>> {
    if let Some(fault) = table.fault() {
        return Outcome::failed(fault);
    }
    match records(table) {
        Ok(bytes) => Outcome::fine(bytes),
        Err(trouble) => {
            let message = format!("table `{}` cannot be written as CSV: {trouble}", table.name);
            Outcome::failed(Diagnostic::error("table-not-written", message))
        }
    }
}

fn records(table: &Table) -> Result<Vec<u8>, ::csv::Error> {
    let mut writer = ::csv::Writer::from_writer(Vec::new());
    writer.write_record(table.columns.iter().flat_map(keys))?;
    for row in &table.rows {
        writer.write_record(
            table.columns.iter().zip(row).flat_map(|(column, cell)| fields(table, column, cell)),
        )?;
    }
    writer.into_inner().map_err(|trouble| trouble.into_error().into())
}

/// The headings that a column has in the file.
fn keys(column: &Column) -> Vec<String> {
    let key = column.key;
    match column.kind {
        Kind::Length => vec![format!("{key}_mm"), key.to_string()],
        Kind::Angle => vec![format!("{key}_deg")],
        Kind::Number { unit, .. } if !unit.is_empty() => vec![format!("{key}_{unit}")],
        _ => vec![key.to_string()],
    }
}

fn fields(table: &Table, column: &Column, cell: &Cell) -> Vec<String> {
    match cell {
        Cell::Empty => vec![String::new(); keys(column).len()],
        Cell::Text(text) => vec![harmless(text)],
        Cell::Count(count) => vec![count.to_string()],
        Cell::Number(number) => vec![number::exact(*number)],
        Cell::Length(length) => vec![number::exact(length.as_mm()), table.tape.text(*length)],
        Cell::Angle(angle) => vec![number::exact(angle.as_deg())],
        Cell::Flag(flag) => vec![if *flag { "yes" } else { "no" }.to_string()],
    }
}

/// A text that a spreadsheet would take for a formula gets an apostrophe before it: names come from scripts, and a
/// stranger's script must not run anything by way of a cut list.
fn harmless(text: &str) -> String {
    if text.starts_with(['=', '+', '-', '@', '\t', '\r']) { format!("'{text}") } else { text.to_string() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use slatwork_base::{Angle, Length, Tape};

    fn sample() -> Table {
        let columns = vec![
            Column::new("mark", "Mark", Kind::Text),
            Column::new("count", "Count", Kind::Count),
            Column::new("length", "Length", Kind::Length),
            Column::new("mitre", "Mitre", Kind::Angle),
            Column::new("mass", "Mass", Kind::Number { unit: "kg", decimals: 1 }),
            Column::new("hand", "Handed", Kind::Flag),
        ];
        let mut table = Table::new("parts", "Parts", Tape::Inch16, columns);
        table.rows.push(vec![
            "A, \"first\"".into(),
            Cell::Count(2),
            Length::mm(1087.4).into(),
            Angle::deg(7.5).into(),
            Cell::Number(1.25),
            true.into(),
        ]);
        table.rows.push(vec![
            "=1+1".into(),
            Cell::Empty,
            Cell::Empty,
            Cell::Empty,
            Cell::Empty,
            false.into(),
        ]);
        table
    }

    #[test]
    fn lengths_are_exact_and_on_the_tape_and_formulas_are_harmless() {
        let bytes = write(&sample()).value.unwrap();
        insta::assert_snapshot!(String::from_utf8(bytes).unwrap(), @r#"
mark,count,length_mm,length,mitre_deg,mass_kg,hand
"A, ""first""",2,1087.4,"42 13/16""",7.5,1.25,yes
'=1+1,,,,,,no
"#);
    }

    #[test]
    fn ragged_and_mixed_up_rows_are_refused() {
        let mut ragged = sample();
        ragged.rows[0].pop();
        assert_eq!(write(&ragged).diagnostics[0].code, "table-ragged");
        let mut mixed = sample();
        mixed.rows[0][1] = Cell::Number(f64::NAN);
        assert_eq!(write(&mixed).diagnostics[0].code, "table-wrong-kind");
    }
}
