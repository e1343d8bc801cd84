//! A table, before any format: what [`crate::csv`], [`crate::json`] and [`crate::text`] put into their own words.

use slatwork_base::{Angle, Diagnostic, Length, Tape};

/// What a column holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Words.
    Text,
    /// A whole number of things.
    Count,
    /// A number with a unit (or none), shown to so many decimals.
    Number {
        /// Unit, as it stands behind the number: `kg`, `USD`; empty for a bare number. A key in files gets it too.
        unit: &'static str,
        /// Decimals shown to a person; files get all of them.
        decimals: u8,
    },
    /// A length: exact millimetres to machines, a tape's reading to persons.
    Length,
    /// An angle in degrees.
    Angle,
    /// Yes or no.
    Flag,
}

/// A column.
#[derive(Clone, Debug, PartialEq)]
pub struct Column {
    /// Its name in files: lower-case words joined by `_`.
    pub key: &'static str,
    /// Its heading to persons.
    pub title: String,
    /// What it holds.
    pub kind: Kind,
}

impl Column {
    /// A column.
    pub fn new(key: &'static str, title: impl Into<String>, kind: Kind) -> Self {
        Column { key, title: title.into(), kind }
    }
}

/// One value.
#[derive(Clone, Debug, PartialEq)]
pub enum Cell {
    /// Nothing to say.
    Empty,
    /// For [`Kind::Text`].
    Text(String),
    /// For [`Kind::Count`].
    Count(i64),
    /// For [`Kind::Number`].
    Number(f64),
    /// For [`Kind::Length`].
    Length(Length),
    /// For [`Kind::Angle`].
    Angle(Angle),
    /// For [`Kind::Flag`].
    Flag(bool),
}

impl Cell {
    fn suits(&self, kind: Kind) -> bool {
        match self {
            Cell::Empty => true,
            Cell::Text(_) => kind == Kind::Text,
            Cell::Count(_) => kind == Kind::Count,
            Cell::Number(number) => matches!(kind, Kind::Number { .. }) && number.is_finite(),
            Cell::Length(_) => kind == Kind::Length,
            Cell::Angle(angle) => kind == Kind::Angle && angle.as_deg().is_finite(),
            Cell::Flag(_) => kind == Kind::Flag,
        }
    }
}

impl From<&str> for Cell {
    fn from(text: &str) -> Self {
        Cell::Text(text.to_string())
    }
}

impl From<String> for Cell {
    fn from(text: String) -> Self {
        Cell::Text(text)
    }
}

impl From<Length> for Cell {
    fn from(length: Length) -> Self {
        Cell::Length(length)
    }
}

impl From<Angle> for Cell {
    fn from(angle: Angle) -> Self {
        Cell::Angle(angle)
    }
}

impl From<bool> for Cell {
    fn from(flag: bool) -> Self {
        Cell::Flag(flag)
    }
}

impl<T: Into<Cell>> From<Option<T>> for Cell {
    fn from(value: Option<T>) -> Self {
        value.map_or(Cell::Empty, Into::into)
    }
}

/// Rows under headings.
#[derive(Clone, Debug, PartialEq)]
pub struct Table {
    /// Its name in files: lower-case words joined by `_`; in JSON the schema is `slatwork/<name>/<version>`.
    pub name: &'static str,
    /// Version of its columns; raised when one changes its meaning or goes.
    pub version: u32,
    /// Its heading to persons.
    pub title: String,
    /// The tape on which lengths are read.
    pub tape: Tape,
    /// Columns in order.
    pub columns: Vec<Column>,
    /// Rows in order, a cell for each column.
    pub rows: Vec<Vec<Cell>>,
}

impl Table {
    /// A table without rows.
    pub fn new(name: &'static str, title: impl Into<String>, tape: Tape, columns: Vec<Column>) -> Self {
        Table { name, version: 1, title: title.into(), tape, columns, rows: Vec::new() }
    }

    /// Why it cannot be written: the fault `table-ragged` or `table-wrong-kind` names row and column.
    pub(crate) fn fault(&self) -> Option<Diagnostic> {
        self.rows.iter().enumerate().find_map(|(row, cells)| self.row_fault(row + 1, cells))
    }

    fn row_fault(&self, row: usize, cells: &[Cell]) -> Option<Diagnostic> {
        if cells.len() != self.columns.len() {
            let (has, needs) = (cells.len(), self.columns.len());
            let message = format!("row {row} of table `{}` has {has} cells for {needs} columns", self.name);
            return Some(Diagnostic::error("table-ragged", message));
        }
        let (column, cell) =
            self.columns.iter().zip(cells).find(|(column, cell)| !cell.suits(column.kind))?;
        let message = format!(
            "row {row} of table `{}` holds {cell:?} in column `{}` of kind {:?}",
            self.name, column.key, column.kind
        );
        Some(Diagnostic::error("table-wrong-kind", message))
    }
}
