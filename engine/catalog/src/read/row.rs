//! One table of a TOML file, read key by key: every wrong value is reported at its place, and what was not asked for
//! is reported as unknown, so that the questions asked are the schema.

use crate::{STATUS_WORDS, Source, Status};
use indexmap::IndexMap;
use slatwork_base::{Angle, Diagnostic, Length, Place, did_you_mean};
use std::cell::RefCell;
use std::collections::BTreeMap;
use std::ops::Range;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// A file being read, with the troubles met so far.
pub(super) struct File<'a> {
    name: &'a str,
    text: &'a str,
    /// Whether every entry must name its source: so for the program's own data.
    strict: bool,
    sources: BTreeMap<String, String>,
    /// Where each line starts.
    lines: Vec<usize>,
    troubles: RefCell<Vec<Diagnostic>>,
}

impl<'a> File<'a> {
    pub(super) fn new(name: &'a str, text: &'a str, strict: bool) -> Self {
        let lines = std::iter::once(0).chain(text.match_indices('\n').map(|(at, _)| at + 1)).collect();
        File { name, text, strict, sources: BTreeMap::new(), lines, troubles: RefCell::default() }
    }

    pub(super) fn report(&self, trouble: Diagnostic) {
        self.troubles.borrow_mut().push(trouble);
    }

    pub(super) fn into_troubles(self) -> Vec<Diagnostic> {
        self.troubles.into_inner()
    }

    /// The line of a span, with the span underlined as far as the line goes.
    pub(super) fn place(&self, span: &Range<usize>) -> Place {
        let line = self.lines.partition_point(|start| *start <= span.start).max(1);
        let line_start = self.lines[line - 1];
        let text = self.text[line_start..].lines().next().unwrap_or_default();
        let count = |upto: usize| text.char_indices().take_while(|(at, _)| line_start + at < upto).count();
        let (before, upto) = (count(span.start), count(span.end));
        let width = upto.saturating_sub(before).max(1);
        Place::Source { file: self.name.to_string(), line, column: before + 1, width, text: text.to_string() }
    }

    /// Takes up the `[sources]` table, whose texts entries name as `@key`.
    pub(super) fn take_sources(&mut self, top: &DeTable<'_>) {
        let Some(sources) = top.get("sources") else { return };
        let Some(table) = sources.get_ref().as_table() else {
            return self.report(wrong("sources", "a table of texts").at(self.place(&sources.span())));
        };
        let mut texts = BTreeMap::new();
        for (key, value) in table {
            match value.get_ref().as_str() {
                Some(text) => _ = texts.insert(key.get_ref().to_string(), text.to_string()),
                None => self.report(wrong(key.get_ref(), "text").at(self.place(&value.span()))),
            }
        }
        self.sources = texts;
    }

    /// The rows of `[[key]]`.
    pub(super) fn rows<'f>(&'f self, top: &'f DeTable<'a>, key: &'static str) -> Vec<Row<'f, 'a>> {
        let Some(value) = top.get(key) else { return Vec::new() };
        match value.get_ref() {
            DeValue::Array(rows) => rows.iter().filter_map(|row| self.row(key, row)).collect(),
            _ => {
                let trouble =
                    wrong(key, "a list of tables").help(format!("write [[{key}]] with double brackets"));
                self.report(trouble.at(self.place(&value.span())));
                Vec::new()
            }
        }
    }

    pub(super) fn row<'f>(
        &'f self,
        kind: &'static str,
        value: &'f Spanned<DeValue<'a>>,
    ) -> Option<Row<'f, 'a>> {
        match value.get_ref() {
            DeValue::Table(table) => Some(Row {
                file: self,
                kind,
                table,
                span: value.span(),
                asked: RefCell::default(),
                missing: RefCell::default(),
            }),
            _ => {
                self.report(wrong(kind, "a table").at(self.place(&value.span())));
                None
            }
        }
    }
}

fn wrong(key: &str, wanted: &str) -> Diagnostic {
    Diagnostic::error("wrong-value", format!("`{key}` must be {wanted}"))
}

/// One table of a file.
pub(super) struct Row<'f, 'a> {
    file: &'f File<'a>,
    kind: &'static str,
    table: &'f DeTable<'a>,
    span: Range<usize>,
    asked: RefCell<Vec<&'static str>>,
    missing: RefCell<Vec<&'static str>>,
}

impl<'f, 'a> Row<'f, 'a> {
    pub(super) fn place(&self) -> Place {
        self.file.place(&self.span)
    }

    fn report(&self, trouble: Diagnostic) {
        self.file.report(trouble.at(self.place()));
    }

    /// Reports a trouble at one key's value.
    pub(super) fn report_at(&self, key: &str, trouble: Diagnostic) {
        self.file.report(trouble.at(self.place_of(key)));
    }

    /// The place of one key's value, or of the table when the key is not there.
    fn place_of(&self, key: &str) -> Place {
        self.table.get(key).map_or_else(|| self.place(), |value| self.file.place(&value.span()))
    }

    /// Whether the key is there, right or wrong.
    pub(super) fn has(&self, key: &str) -> bool {
        self.table.get(key).is_some()
    }

    fn value(&self, key: &'static str) -> Option<&'f Spanned<DeValue<'a>>> {
        self.asked.borrow_mut().push(key);
        self.table.get(key)
    }

    /// A value read by `read`, or a report that it should have been `wanted`.
    fn read<T>(
        &self,
        key: &'static str,
        wanted: &str,
        read: impl Fn(&DeValue<'_>) -> Option<T>,
    ) -> Option<T> {
        let value = self.value(key)?;
        let result = read(value.get_ref());
        if result.is_none() {
            self.file.report(wrong(key, wanted).at(self.file.place(&value.span())));
        }
        result
    }

    /// The value; a key that is not there is told as missing. Nothing more is said of one that is there and wrong.
    pub(super) fn need<T>(&self, key: &'static str, value: Option<T>) -> Option<T> {
        if value.is_none() && self.table.get(key).is_none() {
            self.missing.borrow_mut().push(key);
        }
        value
    }

    /// Forgets what is missing: for an entry whose `like` could not be found, which would have given it.
    pub(super) fn forgive(&self) {
        self.missing.borrow_mut().clear();
    }

    pub(super) fn text(&self, key: &'static str) -> Option<String> {
        self.read(key, "text in quotes", |value| value.as_str().map(String::from))
    }

    pub(super) fn flag(&self, key: &'static str) -> Option<bool> {
        self.read(key, "true or false", |value| value.as_bool())
    }

    /// A number that is not negative.
    pub(super) fn number(&self, key: &'static str) -> Option<f64> {
        self.read(key, "a number, zero or more", |value| number(value).filter(|number| *number >= 0.0))
    }

    /// A whole number that is not negative.
    pub(super) fn whole(&self, key: &'static str) -> Option<i64> {
        self.read(key, "a whole number, zero or more", |value| whole(value).filter(|number| *number >= 0))
    }

    pub(super) fn texts(&self, key: &'static str) -> Vec<String> {
        let texts = self.read(key, "a list of texts", |value| {
            value.as_array()?.iter().map(|text| text.get_ref().as_str().map(String::from)).collect()
        });
        texts.unwrap_or_default()
    }

    /// A length greater than nothing.
    pub(super) fn length(&self, key: &'static str) -> Option<Length> {
        self.read_length(key, self.value(key)?, false)
    }

    /// A length that may be nothing.
    pub(super) fn length_or_nothing(&self, key: &'static str) -> Option<Length> {
        self.read_length(key, self.value(key)?, true)
    }

    pub(super) fn angle(&self, key: &'static str) -> Option<Angle> {
        let value = self.value(key)?;
        let result = match value.get_ref().as_str() {
            Some(text) => {
                text.parse::<Angle>().map_err(|error| Diagnostic::error("wrong-value", error.to_string()))
            }
            None => Err(wrong(key, "an angle in quotes, such as \"45deg\"")),
        };
        result.map_err(|trouble| self.file.report(trouble.at(self.file.place(&value.span())))).ok()
    }

    fn read_length(&self, key: &str, value: &Spanned<DeValue<'_>>, nothing: bool) -> Option<Length> {
        let trouble = match value.get_ref() {
            DeValue::String(text) => match text.parse::<Length>() {
                Ok(length) if length.is_positive() || (nothing && length == Length::ZERO) => {
                    return Some(length);
                }
                Ok(length) => wrong(key, "greater than zero").help(format!("it reads {length}")),
                Err(error) => Diagnostic::error("wrong-value", error.to_string()),
            },
            other => match number(other) {
                Some(number) => wrong(key, "a length with a unit, in quotes")
                    .help(format!("write \"{number}mm\" or \"{number}in\", whichever it is")),
                None => wrong(key, "a length in quotes, such as \"3-1/2in\" or \"89mm\""),
            },
        };
        self.file.report(trouble.at(self.file.place(&value.span())));
        None
    }

    /// A list of lengths, in the order given.
    pub(super) fn lengths(&self, key: &'static str) -> Option<Vec<Length>> {
        let value = self.value(key)?;
        let Some(list) = value.get_ref().as_array() else {
            self.file.report(wrong(key, "a list of lengths").at(self.file.place(&value.span())));
            return None;
        };
        list.iter().map(|value| self.read_length(key, value, false)).collect()
    }

    /// A list of lengths, ascending and without doubles.
    pub(super) fn ascending(&self, key: &'static str) -> Option<Vec<Length>> {
        let mut lengths = self.lengths(key)?;
        lengths.sort_unstable();
        lengths.dedup();
        Some(lengths)
    }

    /// Two lengths: thickness and width, least and most.
    pub(super) fn pair(&self, key: &'static str) -> Option<(Length, Length)> {
        let value = self.value(key)?;
        match value.get_ref().as_array().map(|list| list.iter().collect::<Vec<_>>()).as_deref() {
            Some([first, second]) => {
                self.read_length(key, first, false).zip(self.read_length(key, second, false))
            }
            _ => {
                let trouble = wrong(key, "two lengths, such as [\"2in\", \"4in\"]");
                self.file.report(trouble.at(self.file.place(&value.span())));
                None
            }
        }
    }

    /// A table of lengths by name.
    pub(super) fn lengths_by_name(&self, key: &'static str) -> Option<IndexMap<String, Length>> {
        let value = self.value(key)?;
        let Some(table) = value.get_ref().as_table() else {
            self.file.report(wrong(key, "a table of lengths").at(self.file.place(&value.span())));
            return None;
        };
        let read = |(name, value): (&Spanned<_>, &Spanned<DeValue<'_>>)| {
            let name: &std::borrow::Cow<'_, str> = name.get_ref();
            Some((name.to_string(), self.read_length(name, value, false)?))
        };
        table.iter().map(read).collect()
    }

    /// A list of numbers that are not negative, or one for all.
    pub(super) fn wholes(&self, key: &'static str) -> Option<Vec<i64>> {
        self.read(key, "whole numbers, zero or more", |value| match value.as_array() {
            Some(list) => {
                list.iter().map(|value| whole(value.get_ref()).filter(|number| *number >= 0)).collect()
            }
            None => whole(value).filter(|number| *number >= 0).map(|number| vec![number]),
        })
    }

    /// Numbers that are not negative, or one by itself.
    pub(super) fn numbers(&self, key: &'static str) -> Option<Vec<f64>> {
        let own = |value: &DeValue<'_>| number(value).filter(|number| *number >= 0.0);
        self.read(key, "numbers, zero or more", |value| match value.as_array() {
            Some(list) => list.iter().map(|value| own(value.get_ref())).collect(),
            None => own(value).map(|one| vec![one]),
        })
    }

    /// A word out of a list.
    pub(super) fn choice<T: Copy>(&self, key: &'static str, words: &[(T, &'static str)]) -> Option<T> {
        let value = self.value(key)?;
        let Some(text) = value.get_ref().as_str() else {
            self.file.report(wrong(key, "text in quotes").at(self.file.place(&value.span())));
            return None;
        };
        let found = words.iter().find(|(_, word)| *word == text).map(|(choice, _)| *choice);
        if found.is_none() {
            let trouble = Diagnostic::error("wrong-value", format!("`{key}` cannot be `{text}`"));
            self.file.report(trouble.help(one_of(text, words)).at(self.file.place(&value.span())));
        }
        found
    }

    /// Tables in a list of this table.
    pub(super) fn rows(&self, key: &'static str, kind: &'static str) -> Option<Vec<Row<'f, 'a>>> {
        let value = self.value(key)?;
        match value.get_ref() {
            DeValue::Array(rows) => rows.iter().map(|row| self.file.row(kind, row)).collect(),
            _ => {
                self.file.report(wrong(key, "a list of tables").at(self.file.place(&value.span())));
                None
            }
        }
    }

    /// Tables in this table, by their keys, in the order of the file.
    pub(super) fn tables(&self) -> Vec<(&'f str, &'f Spanned<DeValue<'a>>, Place)> {
        let placed = |(key, span, value)| (key, value, self.file.place(&span));
        self.keys().into_iter().map(placed).collect()
    }

    /// The keys with their spans and values, in the order of the file.
    fn keys(&self) -> Vec<(&'f str, Range<usize>, &'f Spanned<DeValue<'a>>)> {
        let keys = self.table.iter().map(|(key, value)| (&**key.get_ref(), key.span(), value));
        let mut keys: Vec<_> = keys.collect();
        keys.sort_by_key(|(_, span, _)| span.start);
        keys
    }

    /// `source`, `status` and `except`. The program's own data must give the first two; a user's entry without them
    /// is the user's statement.
    pub(super) fn source(&self) -> Option<Source> {
        let text = self.text("source").and_then(|text| self.source_text(text));
        let status = self.choice("status", &STATUS_WORDS);
        let exceptions = self.exceptions();
        if self.file.strict && (text.is_none() || status.is_none()) {
            let trouble =
                Diagnostic::error("no-source", format!("this {} does not say where it is from", self.kind));
            self.report(trouble.help("give `source` and `status`"));
            return None;
        }
        let text = text.unwrap_or_else(|| self.file.name.to_string());
        Some(Source { text, status: status.unwrap_or(Status::Stated), exceptions })
    }

    fn source_text(&self, text: String) -> Option<String> {
        let Some(key) = text.strip_prefix('@') else {
            return Some(text).filter(|text| !text.trim().is_empty());
        };
        let found = self.file.sources.get(key).cloned();
        if found.is_none() {
            let trouble =
                Diagnostic::error("no-source", format!("there is no source `{key}` under [sources]"));
            let help = match did_you_mean(key, self.file.sources.keys().map(String::as_str)) {
                Some(near) => format!("did you mean `@{near}`?"),
                None => format!("add `{key} = \"..\"` under [sources], or write the source out"),
            };
            self.report_at("source", trouble.help(help));
        }
        found
    }

    /// `except = { head_diameter = "from memory" }`: every key named must be a figure of this entry.
    fn exceptions(&self) -> BTreeMap<String, Status> {
        let Some(value) = self.value("except") else { return BTreeMap::new() };
        let Some(table) = value.get_ref().as_table() else {
            self.file.report(
                wrong("except", "a table of figures and statuses").at(self.file.place(&value.span())),
            );
            return BTreeMap::new();
        };
        let read = |(key, value): (&Spanned<std::borrow::Cow<'_, str>>, &Spanned<DeValue<'_>>)| {
            let name = key.get_ref().to_string();
            if !self.has_figure(&name) {
                let trouble =
                    Diagnostic::error("wrong-value", format!("`except` names `{name}`, which is not given"));
                self.file.report(trouble.at(self.file.place(&key.span())));
            }
            let word = value.get_ref().as_str().unwrap_or_default();
            let status = Status::from_word(word);
            if status.is_none() {
                let trouble = Diagnostic::error("wrong-value", format!("`{word}` is no status"));
                self.file
                    .report(trouble.help(one_of(word, &STATUS_WORDS)).at(self.file.place(&value.span())));
            }
            Some((name, status?))
        };
        table.iter().filter_map(read).collect()
    }

    fn has_figure(&self, name: &str) -> bool {
        let among_dims = |value: &Spanned<DeValue<'_>>| {
            value.get_ref().as_table().is_some_and(|dims| dims.get(name).is_some())
        };
        self.table.get(name).is_some() || self.table.get("dims").is_some_and(among_dims)
    }

    /// Where each key's value is; left out for the program's own data, where nobody will ask.
    pub(super) fn places(&self) -> BTreeMap<String, Place> {
        if self.file.strict {
            return BTreeMap::new();
        }
        self.table
            .iter()
            .map(|(key, value)| (key.get_ref().to_string(), self.file.place(&value.span())))
            .collect()
    }

    /// Reports every key that was not asked for, and those that are missing; a misspelt one is not missing as well.
    pub(super) fn finish(self) {
        let asked = self.asked.borrow();
        let mut missing = self.missing.borrow().clone();
        for (key, span, _) in self.keys() {
            if !asked.contains(&key) {
                self.file.report(unknown_key(key, self.kind, &asked).at(self.file.place(&span)));
                missing.retain(|own| did_you_mean(key, asked.iter().copied()) != Some(*own));
            }
        }
        if !missing.is_empty() {
            let names: Vec<String> = missing.iter().map(|key| format!("`{key}`")).collect();
            let message = format!("this {} has no {}", self.kind, names.join(", "));
            let trouble = Diagnostic::error("missing-key", message);
            let like =
                if asked.contains(&"like") { ", or `like = \"..\"` to take it from another" } else { "" };
            self.report(trouble.help(format!("add a line `{} = ..`{like}", missing[0])));
        }
    }
}

/// The error for a key that no reader knows.
pub(super) fn unknown_key(key: &str, kind: &str, known: &[&'static str]) -> Diagnostic {
    let trouble = Diagnostic::error("unknown-key", format!("`{key}` is no key of a {kind}"));
    match did_you_mean(key, known.iter().copied()) {
        Some(near) => trouble.help(format!("did you mean `{near}`?")),
        None => trouble.help(format!("it has {}", known.join(", "))),
    }
}

fn one_of<T>(text: &str, words: &[(T, &'static str)]) -> String {
    match did_you_mean(text, words.iter().map(|(_, word)| *word)) {
        Some(near) => format!("did you mean `{near}`?"),
        None => {
            format!("write one of {}", words.iter().map(|(_, word)| *word).collect::<Vec<_>>().join(", "))
        }
    }
}

fn number(value: &DeValue<'_>) -> Option<f64> {
    match value {
        DeValue::Float(float) => float.as_str().parse::<f64>().ok().filter(|number| number.is_finite()),
        DeValue::Integer(_) => whole(value).map(|number| number as f64),
        _ => None,
    }
}

fn whole(value: &DeValue<'_>) -> Option<i64> {
    let integer = value.as_integer()?;
    i64::from_str_radix(integer.as_str(), integer.radix()).ok()
}
