//! A small TOML file read key by key: each wrong value is told at its line, and a key that nobody asked for is unknown.

use slatwork_base::{Diagnostic, Length, Outcome, Place, did_you_mean};
use std::cell::RefCell;
use std::ops::Range;
use std::rc::Rc;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// A file, or one table in it.
pub(crate) struct SettingsFile<'a> {
    name: &'a str,
    text: &'a str,
    table: &'a DeTable<'a>,
    span: Range<usize>,
    asked: RefCell<Vec<&'static str>>,
    troubles: Rc<RefCell<Vec<Diagnostic>>>,
}

impl<'a> SettingsFile<'a> {
    /// Reads a file with `read`, which asks for every key there is. Any error leaves no value; all are told.
    pub(crate) fn read<T>(name: &str, text: &str, read: impl FnOnce(&SettingsFile<'_>) -> T) -> Outcome<T> {
        let table = match DeTable::parse(text) {
            Ok(table) => table,
            Err(error) => return Outcome::failed(syntax(name, text, &error)),
        };
        let (span, troubles) = (table.span(), Rc::default());
        let file =
            SettingsFile { name, text, table: table.get_ref(), span, asked: RefCell::default(), troubles };
        let value = read(&file);
        file.refuse_unknown();
        let troubles = file.troubles.take();
        if troubles.is_empty() {
            Outcome::fine(value)
        } else {
            Outcome { value: None, diagnostics: troubles }
        }
    }

    fn report(&self, span: &Range<usize>, trouble: Diagnostic) {
        self.troubles.borrow_mut().push(trouble.at(place(self.name, self.text, span)));
    }

    fn value(&self, key: &'static str) -> Option<&'a Spanned<DeValue<'a>>> {
        self.asked.borrow_mut().push(key);
        self.table.get(key)
    }

    fn take<T>(
        &self,
        key: &'static str,
        wanted: &str,
        take: impl Fn(&DeValue<'_>) -> Option<T>,
    ) -> Option<T> {
        let value = self.value(key)?;
        let taken = take(value.get_ref());
        if taken.is_none() {
            self.report(&value.span(), Diagnostic::error("wrong-value", format!("`{key}` must be {wanted}")));
        }
        taken
    }

    /// A length in quotes, greater than nothing.
    pub(crate) fn length(&self, key: &'static str) -> Option<Length> {
        let read = |value: &DeValue<'_>| {
            value.as_str()?.parse::<Length>().ok().filter(|length| length.is_positive())
        };
        self.take(key, "a length in quotes with its unit, such as \"84in\" or \"2.1m\"", read)
    }

    /// A number, zero or more.
    pub(crate) fn number(&self, key: &'static str) -> Option<f64> {
        self.take(key, "a number, zero or more", |value| number(value).filter(|number| *number >= 0.0))
    }

    /// Words in quotes.
    pub(crate) fn text(&self, key: &'static str) -> Option<String> {
        self.take(key, "words in quotes", |value| value.as_str().map(String::from))
    }

    /// Words in quotes that mean something.
    pub(crate) fn meaning<T>(
        &self,
        key: &'static str,
        wanted: &str,
        read: impl Fn(&str) -> Option<T>,
    ) -> Option<T> {
        self.take(key, wanted, |value| read(value.as_str()?))
    }

    /// True or false.
    pub(crate) fn flag(&self, key: &'static str) -> Option<bool> {
        self.take(key, "true or false", |value| value.as_bool())
    }

    /// One of some words.
    pub(crate) fn choice<T: Copy>(&self, key: &'static str, words: &[(&str, T)]) -> Option<T> {
        let all = words.iter().map(|(word, _)| format!("\"{word}\"")).collect::<Vec<_>>().join(", ");
        let find = |value: &DeValue<'_>| {
            let own = value.as_str()?;
            words.iter().find(|(word, _)| *word == own).map(|(_, choice)| *choice)
        };
        self.take(key, &format!("one of {all}"), find)
    }

    /// The value, or a report that the key is missing; nothing more is said of one that is there and wrong.
    pub(crate) fn need<T>(&self, key: &'static str, value: Option<T>) -> Option<T> {
        if value.is_none() && self.table.get(key).is_none() {
            let trouble = Diagnostic::error("missing-key", format!("`{key}` is missing here"));
            self.report(&self.span, trouble.help(format!("add a line `{key} = ..`")));
        }
        value
    }

    /// Each `[[key]]`, read with `read`.
    pub(crate) fn each<T>(&self, key: &'static str, read: impl Fn(&SettingsFile<'_>) -> T) -> Vec<T> {
        let Some(value) = self.value(key) else { return Vec::new() };
        let DeValue::Array(rows) = value.get_ref() else {
            let trouble = Diagnostic::error("wrong-value", format!("`{key}` must be a list of tables"));
            self.report(&value.span(), trouble.help(format!("write [[{key}]] with double brackets")));
            return Vec::new();
        };
        rows.iter().filter_map(|row| self.table_of(key, row)).map(|row| row.finish(&read)).collect()
    }

    fn table_of(&self, key: &str, value: &'a Spanned<DeValue<'a>>) -> Option<SettingsFile<'a>> {
        let DeValue::Table(table) = value.get_ref() else {
            self.report(
                &value.span(),
                Diagnostic::error("wrong-value", format!("`{key}` must be a list of tables")),
            );
            return None;
        };
        Some(SettingsFile {
            name: self.name,
            text: self.text,
            table,
            span: value.span(),
            asked: RefCell::default(),
            troubles: Rc::clone(&self.troubles),
        })
    }

    fn finish<T>(self, read: impl Fn(&SettingsFile<'_>) -> T) -> T {
        let value = read(&self);
        self.refuse_unknown();
        value
    }

    fn refuse_unknown(&self) {
        let asked = self.asked.borrow();
        let mut strangers: Vec<_> =
            self.table.keys().filter(|key| !asked.contains(&key.get_ref().as_ref())).collect();
        strangers.sort_by_key(|key| key.span().start);
        for key in strangers {
            let trouble = Diagnostic::error("unknown-key", format!("there is no `{}` here", key.get_ref()));
            let help = match did_you_mean(key.get_ref(), asked.iter().copied()) {
                Some(near) => format!("did you mean `{near}`?"),
                None => format!("there are {}", asked.join(", ")),
            };
            self.report(&key.span(), trouble.help(help));
        }
    }
}

fn syntax(name: &str, text: &str, error: &toml::de::Error) -> Diagnostic {
    let trouble = Diagnostic::error("toml-syntax", format!("this is not TOML: {}", error.message()));
    match error.span() {
        Some(span) => trouble.at(place(name, text, &span)),
        None => trouble.at(Place::Path(name.to_string())),
    }
}

/// The line of a span, with the span underlined as far as the line goes.
/// The place of a span in a text.
pub(crate) fn place(name: &str, text: &str, span: &Range<usize>) -> Place {
    let boundary =
        |at: usize| (0..=at.min(text.len())).rev().find(|at| text.is_char_boundary(*at)).unwrap_or(0);
    let (start, end) = (boundary(span.start), boundary(span.end));
    let line_start = text[..start].rfind('\n').map_or(0, |at| at + 1);
    let shown = text[line_start..].lines().next().unwrap_or_default();
    let end = end.clamp(start, (line_start + shown.len()).max(start));
    Place::Source {
        file: name.to_string(),
        line: text[..start].matches('\n').count() + 1,
        column: text[line_start..start].chars().count() + 1,
        width: text[start..end].chars().count().max(1),
        text: shown.to_string(),
    }
}

fn number(value: &DeValue<'_>) -> Option<f64> {
    let text = match value {
        DeValue::Float(float) => float.as_str(),
        DeValue::Integer(integer) => integer.as_str(),
        _ => return None,
    };
    text.parse::<f64>().ok().filter(|number| number.is_finite())
}
