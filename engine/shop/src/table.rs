//! A plain table: headings and rows of values, for the room of documents to put into its own words.

use slatwork_base::{Angle, Length};

/// What a column holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unit {
    /// Words.
    Text,
    /// A whole number of things.
    Count,
    /// A number with a unit, shown to so many decimals; files get all of them.
    Number {
        /// Unit, as it stands behind the number; empty for a bare number.
        unit: &'static str,
        /// Decimals shown to a person.
        decimals: u8,
    },
    /// A length: exact to machines, as the tape reads to persons.
    Length,
    /// An angle in degrees.
    Angle,
    /// Yes or no.
    Flag,
}

/// A column.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Column {
    /// Its name in files: lower-case words joined by `_`. Lengths get `_mm`, angles `_deg`, numbers their unit.
    pub key: &'static str,
    /// Its heading to persons.
    pub title: &'static str,
    /// What it holds.
    pub unit: Unit,
}

/// One value.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// Nothing to say.
    Empty,
    /// Words.
    Text(String),
    /// A whole number of things.
    Count(i64),
    /// A number in the column's unit.
    Number(f64),
    /// A length.
    Length(Length),
    /// An angle.
    Angle(Angle),
    /// Yes or no.
    Flag(bool),
}

/// Rows under headings.
#[derive(Clone, Debug, PartialEq)]
pub struct Table {
    /// Its name in files: lower-case words joined by `_`.
    pub name: &'static str,
    /// Its heading to persons.
    pub title: &'static str,
    /// Columns in order.
    pub columns: Vec<Column>,
    /// Rows in order, a value for each column.
    pub rows: Vec<Vec<Value>>,
}

impl Table {
    /// The table without the column of that key.
    #[must_use]
    pub fn without(mut self, key: &str) -> Table {
        if let Some(index) = self.columns.iter().position(|column| column.key == key) {
            self.columns.remove(index);
            for row in self.rows.iter_mut().filter(|row| index < row.len()) {
                row.remove(index);
            }
        }
        self
    }
}

impl From<&str> for Value {
    fn from(text: &str) -> Self {
        Value::Text(text.to_string())
    }
}

impl From<String> for Value {
    fn from(text: String) -> Self {
        Value::Text(text)
    }
}

impl From<usize> for Value {
    fn from(count: usize) -> Self {
        Value::Count(i64::try_from(count).unwrap_or(i64::MAX))
    }
}

impl From<f64> for Value {
    fn from(number: f64) -> Self {
        Value::Number(number)
    }
}

impl From<Length> for Value {
    fn from(length: Length) -> Self {
        Value::Length(length)
    }
}

impl From<Angle> for Value {
    fn from(angle: Angle) -> Self {
        Value::Angle(angle)
    }
}

impl From<bool> for Value {
    fn from(flag: bool) -> Self {
        Value::Flag(flag)
    }
}

impl<T: Into<Value>> From<Option<T>> for Value {
    fn from(value: Option<T>) -> Self {
        value.map_or(Value::Empty, Into::into)
    }
}

impl Value {
    /// Whether it may stand in a column; nothing may stand anywhere.
    pub fn suits(&self, unit: Unit) -> bool {
        match self {
            Value::Empty => true,
            Value::Text(_) => unit == Unit::Text,
            Value::Count(_) => unit == Unit::Count,
            Value::Number(_) => matches!(unit, Unit::Number { .. }),
            Value::Length(_) => unit == Unit::Length,
            Value::Angle(_) => unit == Unit::Angle,
            Value::Flag(_) => unit == Unit::Flag,
        }
    }
}
