//! A [`Table`] as plain text for a person: columns lined up, numbers to the right, long words wrapped.

use crate::number::decimal;
use crate::table::{Cell, Column, Kind, Table};
use slatwork_base::{Outcome, Tape, words_to_wrap};

/// Characters to a line when nobody says otherwise.
pub const USUAL_WIDTH: usize = 100;
/// Blanks between columns.
const GAP: usize = 2;
/// A column of words is never wrapped below this, however narrow the page.
const LEAST_WRAPPED: usize = 12;

/// Writes a table to lines of [`USUAL_WIDTH`]. The faults `table-ragged` and `table-wrong-kind`.
pub fn write(table: &Table) -> Outcome<Vec<u8>> {
    write_within(table, USUAL_WIDTH).map(String::into_bytes)
}

/// Writes a table to lines of about `width` characters: the widest columns of words are wrapped to fit.
pub fn write_within(table: &Table, width: usize) -> Outcome<String> {
    if let Some(fault) = table.fault() {
        return Outcome::failed(fault);
    }
    let heads: Vec<String> = table.columns.iter().map(heading).collect();
    let rows: Vec<Vec<String>> = table
        .rows
        .iter()
        .map(|row| {
            table.columns.iter().zip(row).map(|(column, cell)| shown(cell, column.kind, table.tape)).collect()
        })
        .collect();
    let widths = column_widths(table, &heads, &rows, width);
    let mut out = format!("{}\n\n", table.title);
    put_row(&mut out, table, &widths, &heads);
    out.push_str(&widths.iter().map(|w| "-".repeat(*w)).collect::<Vec<_>>().join("  "));
    out.push('\n');
    for row in &rows {
        put_row(&mut out, table, &widths, row);
    }
    Outcome::fine(out)
}

/// A column's heading, with its unit.
pub(crate) fn heading(column: &Column) -> String {
    match column.kind {
        Kind::Number { unit, .. } if !unit.is_empty() => format!("{}, {unit}", column.title),
        _ => column.title.clone(),
    }
}

/// A cell as a person reads it.
pub(crate) fn shown(cell: &Cell, kind: Kind, tape: Tape) -> String {
    match cell {
        Cell::Empty => String::new(),
        Cell::Text(text) => text.split_whitespace().collect::<Vec<_>>().join(" "),
        Cell::Count(count) => count.to_string(),
        Cell::Number(number) => match kind {
            Kind::Number { decimals, .. } => format!("{:.*}", usize::from(decimals), number + 0.0),
            _ => decimal(*number, 3),
        },
        Cell::Length(length) => tape.text(*length),
        Cell::Angle(angle) => slatwork_shop::as_set(*angle).to_string(),
        Cell::Flag(flag) => String::from(if *flag { "yes" } else { "no" }),
    }
}

fn characters(text: &str) -> usize {
    text.chars().count()
}

fn column_widths(table: &Table, heads: &[String], rows: &[Vec<String>], most: usize) -> Vec<usize> {
    let mut widths: Vec<usize> = heads
        .iter()
        .enumerate()
        .map(|(i, head)| rows.iter().map(|row| characters(&row[i])).fold(characters(head), usize::max))
        .collect();
    let total = |widths: &[usize]| widths.iter().sum::<usize>() + GAP * widths.len().saturating_sub(1);
    // Readings stay whole where the page allows, and so do the words of the first column, which names the row.
    let longest = |text: &String, every: bool| {
        words_to_wrap(text).into_iter().filter(|word| every || word.contains(' ')).map(characters).max()
    };
    let least: Vec<usize> = (0..heads.len())
        .map(|i| rows.iter().filter_map(|row| longest(&row[i], i == 0)).fold(LEAST_WRAPPED, usize::max))
        .collect();
    while total(&widths) > most {
        let words = |i: &usize| table.columns[*i].kind == Kind::Text && widths[*i] > least[*i];
        // Ties go to the later column: marks and names come first and are wanted whole.
        let Some(widest) = (0..widths.len()).filter(words).max_by_key(|i| widths[*i]) else { break };
        widths[widest] -= 1;
    }
    widths
}

fn put_row(out: &mut String, table: &Table, widths: &[usize], cells: &[String]) {
    let wrapped: Vec<Vec<String>> =
        cells.iter().zip(widths).map(|(cell, width)| wrap(cell, *width)).collect();
    let lines = wrapped.iter().map(Vec::len).max().unwrap_or(0);
    for line in 0..lines {
        let mut text = String::new();
        for (index, parts) in wrapped.iter().enumerate() {
            let part = parts.get(line).map_or("", String::as_str);
            let blanks = " ".repeat(widths[index].saturating_sub(characters(part)));
            let gap = if index == 0 { "" } else { "  " };
            match table.columns[index].kind {
                Kind::Text | Kind::Flag => text.extend([gap, part, &blanks]),
                _ => text.extend([gap, &blanks, part]),
            }
        }
        out.push_str(text.trim_end());
        out.push('\n');
    }
}

/// Lines of at most `width` characters, broken at blanks, or inside a word that is longer than a line.
fn wrap(text: &str, width: usize) -> Vec<String> {
    let mut lines = vec![String::new()];
    for word in words_to_wrap(text) {
        let mut rest: Vec<char> = word.chars().collect();
        while !rest.is_empty() {
            let last = lines.len() - 1;
            let used = characters(&lines[last]);
            let gap = usize::from(used > 0);
            if used + gap + rest.len() <= width {
                lines[last].extend(core::iter::repeat_n(' ', gap).chain(rest.drain(..)));
            } else if used > 0 {
                lines.push(String::new());
            } else {
                let head: String = rest.drain(..width.max(1)).collect();
                lines[last] = head;
            }
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;
    use slatwork_base::{Angle, Length};

    fn sample() -> Table {
        let columns = vec![
            Column::new("mark", "Mark", Kind::Text),
            Column::new("length", "Length", Kind::Length),
            Column::new("mitre", "Mitre", Kind::Angle),
            Column::new("mass", "Mass", Kind::Number { unit: "kg", decimals: 1 }),
            Column::new("note", "Note", Kind::Text),
        ];
        let mut table = Table::new("parts", "Parts of the bench", Tape::Inch16, columns);
        let note = "cut after the slats are on, and mark the face that looks up";
        table.rows.push(vec![
            "A".into(),
            Length::mm(1087.4375).into(),
            Angle::deg(7.5).into(),
            Cell::Number(2.0),
            note.into(),
        ]);
        table.rows.push(vec![
            "B2".into(),
            Length::inch(3.5).into(),
            Cell::Empty,
            Cell::Number(12.345),
            Cell::Empty,
        ]);
        table
    }

    #[test]
    fn columns_line_up_and_words_wrap() {
        insta::assert_snapshot!(write_within(&sample(), 60).value.unwrap(), @r#"
Parts of the bench

Mark     Length  Mitre  Mass, kg  Note
----  ---------  -----  --------  --------------------------
A     42 13/16"   7.5°       2.0  cut after the slats are
                                  on, and mark the face that
                                  looks up
B2       3 1/2"             12.3
"#);
    }

    #[test]
    fn wrapping_breaks_long_words_and_loses_nothing() {
        assert_eq!(wrap("a garden-bench", 5), ["a", "garde", "n-ben", "ch"]);
        assert_eq!(wrap("", 5), [""]);
        assert_eq!(wrap("on the slats", 6), ["on the", "slats"]);
    }
}
