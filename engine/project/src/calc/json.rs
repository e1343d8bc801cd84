//! JSON objects read key by key: each wrong value is told at its place, and a key that nobody asked for is unknown.

use super::figure::Size;
use serde_json::{Map, Value};
use slatwork_base::{Diagnostic, Outcome, Place, did_you_mean};
use std::cell::RefCell;

/// Most characters of a wrong value that are shown.
const MOST_SHOWN: usize = 60;

/// What a file of a frame or a swing may say besides.
pub(super) const PASSED_OVER: [&str; 11] = [
    "id",
    "title",
    "units",
    "note",
    "conventions",
    "tolerance",
    "formula",
    "expected",
    "closed_form",
    "closed_form_source",
    "made_by",
];

/// An object of a file, and what is wrong with it so far.
pub(super) struct Object<'a> {
    /// Where it stands: `chains[2]`; empty for the file itself.
    path: String,
    map: &'a Map<String, Value>,
    asked: RefCell<Vec<&'static str>>,
    troubles: &'a RefCell<Vec<Diagnostic>>,
}

/// The key under which a file holds several questions, also where it is nothing but a list of them.
pub(super) const INSTANCES: &str = "instances";

/// The object of a file.
///
/// # Errors
///
/// `json-syntax`, with the line and column.
pub fn parse(text: &str) -> Result<Map<String, Value>, Diagnostic> {
    match value(text)? {
        Value::Object(map) => Ok(map),
        _ => Err(syntax("it is no object in braces")),
    }
}

/// Whatever stands in a file.
pub(super) fn value(text: &str) -> Result<Value, Diagnostic> {
    serde_json::from_str(text).map_err(|error| syntax(&error.to_string()))
}

/// Reads a question with `read`, which asks for every key there is. Any error leaves no value; all are told.
pub(super) fn read<T>(map: &Map<String, Value>, read: impl FnOnce(&Object<'_>) -> T) -> Outcome<T> {
    let troubles = RefCell::default();
    let file = Object { path: String::new(), map, asked: RefCell::default(), troubles: &troubles };
    let value = file.finish(read);
    let troubles = troubles.take();
    if troubles.is_empty() { Outcome::fine(value) } else { Outcome { value: None, diagnostics: troubles } }
}

pub(super) fn syntax(what: &str) -> Diagnostic {
    Diagnostic::error("json-syntax", format!("this is not JSON that can be read: {what}"))
        .help("look at the line and column named, and just before it")
}

impl<'a> Object<'a> {
    /// Reads the object, then refuses what was not asked for.
    fn finish<T>(&self, read: impl FnOnce(&Object<'a>) -> T) -> T {
        let value = read(self);
        self.refuse_unknown();
        value
    }

    /// Tells a trouble of this object.
    pub(super) fn report(&self, trouble: Diagnostic) {
        let placed = if self.path.is_empty() { trouble } else { trouble.at(Place::Named(self.path.clone())) };
        self.troubles.borrow_mut().push(placed);
    }

    /// Tells a trouble of a key that is there, or of an entry within: `stocks[0][1]`.
    pub(super) fn report_at(&self, way: &str, trouble: Diagnostic) {
        self.troubles.borrow_mut().push(trouble.at(Place::Named(self.way_to(way))));
    }

    /// Where it stands: `chains[2]`; empty for the file itself.
    pub(super) fn path(&self) -> &str {
        &self.path
    }

    fn way_to(&self, key: &str) -> String {
        if self.path.is_empty() { key.to_string() } else { format!("{}.{key}", self.path) }
    }

    fn refuse_unknown(&self) {
        let asked = self.asked.borrow();
        for key in self.map.keys().filter(|key| !asked.contains(&key.as_str())) {
            let trouble = Diagnostic::error("unknown-key", format!("there is no `{key}` here"));
            let trouble = match did_you_mean(key, asked.iter().copied()) {
                Some(meant) => trouble.help(format!("did you mean `{meant}`?")),
                None => trouble.help("leave it out"),
            };
            self.report_at(key, trouble);
        }
    }

    /// Keys that a file may have and that nothing is computed from.
    pub(super) fn pass_over(&self, keys: &[&'static str]) {
        self.asked.borrow_mut().extend(keys);
    }

    /// Whether the key is there; one that is null is not.
    pub(super) fn has(&self, key: &str) -> bool {
        self.map.get(key).is_some_and(|value| !value.is_null())
    }

    /// Tells that a value, or an entry within one, is not of the sort that is wanted there.
    pub(super) fn wrong_at(&self, way: &str, value: &Value, wanted: &str) {
        let value = value.to_string();
        let message = match value.char_indices().nth(MOST_SHOWN) {
            Some((end, _)) => format!("`{way}` is {}..", &value[..end]),
            None => format!("`{way}` is {value}"),
        };
        let key = way.split('[').next().unwrap_or(way);
        let help = if key == way {
            format!("write `\"{key}\": ..` with {wanted}")
        } else {
            format!("write {wanted} there")
        };
        self.report_at(
            way,
            Diagnostic::error("wrong-value", format!("{message} and must be {wanted}")).help(help),
        );
    }

    /// The value of a key if it is there and can be taken; one that cannot is told.
    pub(super) fn take<T>(
        &self,
        key: &'static str,
        wanted: &str,
        take: impl Fn(&Value) -> Option<T>,
    ) -> Option<T> {
        self.asked.borrow_mut().push(key);
        let value = self.map.get(key).filter(|value| !value.is_null())?;
        let taken = take(value);
        if taken.is_none() {
            self.wrong_at(key, value, wanted);
        }
        taken
    }

    /// The value, or a report that the key is missing; nothing more is said of one that is there and wrong.
    pub(super) fn need<T>(&self, key: &'static str, value: Option<T>) -> Option<T> {
        if value.is_none() && !self.has(key) {
            let trouble = Diagnostic::error("missing-key", format!("`{key}` is missing here"));
            self.report(trouble.help(format!("add `\"{key}\": ..`")));
        }
        value
    }

    /// A number, if it is there.
    pub(super) fn number(&self, key: &'static str) -> Option<f64> {
        self.take(key, "a number", Value::as_f64)
    }

    /// A whole number, zero or more, if it is there.
    pub(super) fn count(&self, key: &'static str) -> Option<u32> {
        self.take(key, "a whole number, zero or more", |value| u32::try_from(value.as_u64()?).ok())
    }

    /// Yes or no, if it is there.
    pub(super) fn yes(&self, key: &'static str) -> Option<bool> {
        self.take(key, "true or false", Value::as_bool)
    }

    /// Yes or no; no where it is left out.
    pub(super) fn flag(&self, key: &'static str) -> bool {
        self.yes(key).unwrap_or(false)
    }

    /// A length, if it is there: in quotes with its unit, or a bare number of millimetres.
    pub(super) fn size(&self, key: &'static str) -> Option<Size> {
        self.take(key, "a length such as \"3-1/2in\" or \"89mm\", or a number of millimetres", Size::of)
    }

    /// A list of so many numbers.
    pub(super) fn numbers<const N: usize>(&self, key: &'static str) -> Option<[f64; N]> {
        let numbers = |value: &Value| {
            let all: Option<Vec<f64>> = value.as_array()?.iter().map(Value::as_f64).collect();
            all?.try_into().ok()
        };
        self.take(key, &format!("a list of {N} numbers"), numbers)
    }

    /// Words in quotes, if they are there.
    pub(super) fn text(&self, key: &'static str) -> Option<String> {
        self.take(key, "words in quotes", |value| value.as_str().map(String::from))
    }

    /// Each object of a list, read with `read`; nothing if the key is not there.
    pub(super) fn each<T>(&self, key: &'static str, read: impl Fn(&Object<'_>) -> T) -> Vec<T> {
        let list = |value: &Value| -> Option<Vec<Map<String, Value>>> {
            value.as_array()?.iter().map(|own| own.as_object().cloned()).collect()
        };
        let maps = self.take(key, "a list of objects in braces", list).unwrap_or_default();
        let object = |(index, map): (usize, &Map<String, Value>)| {
            self.within(&format!("{key}[{index}]"), map).finish(&read)
        };
        maps.iter().enumerate().map(object).collect()
    }

    /// The object of a key, read with `read`, if it is there.
    pub(super) fn object<T>(&self, key: &'static str, read: impl FnOnce(&Object<'_>) -> T) -> Option<T> {
        let map = self.take(key, "an object in braces", |value| value.as_object().cloned())?;
        Some(self.within(key, &map).finish(read))
    }

    /// Each object of an object of objects with its name, read with `read`; nothing if the key is not there.
    pub(super) fn named<T>(&self, key: &'static str, read: impl Fn(&str, &Object<'_>) -> T) -> Vec<T> {
        let maps = |value: &Value| -> Option<Vec<(String, Map<String, Value>)>> {
            let own = value.as_object()?.iter();
            own.map(|(name, map)| Some((name.clone(), map.as_object()?.clone()))).collect()
        };
        let maps = self.take(key, "an object of objects in braces", maps).unwrap_or_default();
        let read = |(name, map): &(String, _)| {
            self.within(&format!("{key}.{name}"), map).finish(|object| read(name, object))
        };
        maps.iter().map(read).collect()
    }

    fn within<'b>(&'b self, key: &str, map: &'b Map<String, Value>) -> Object<'b> {
        Object { path: self.way_to(key), map, asked: RefCell::default(), troubles: self.troubles }
    }
}
