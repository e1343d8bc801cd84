//! Catalogue files in TOML: read into an [`Overlay`], with every trouble at its file, line and key.

mod entries;
mod pricing;
mod row;

use crate::{Catalogue, Overlay};
use row::{File, Row};
use slatwork_base::{Diagnostic, Outcome};
use toml::de::DeTable;

/// What a catalogue file may hold, in the order it is taken up.
type Reader = fn(&Row<'_, '_>, &Catalogue, &mut Overlay);
const LISTS: [(&str, Reader); 13] = [
    ("section", entries::section),
    ("measured", entries::measured),
    ("species", entries::species),
    ("design", entries::design),
    ("fastener", entries::fastener),
    ("drill", entries::drill),
    ("hardware", entries::hardware),
    ("body", entries::body),
    ("stock", entries::stock),
    ("rate", entries::rate),
    ("offcut", entries::offcut),
    ("price", pricing::price),
    ("delivery", pricing::delivery),
];

/// Reads a catalogue file. `base` is what `like = ".."` refers to; `strict` demands a source of every entry.
/// The overlay holds the entries that could be read, the diagnostics what could not.
pub(crate) fn read(name: &str, text: &str, base: &Catalogue, strict: bool) -> Outcome<Overlay> {
    let mut file = File::new(name, text, strict);
    let mut overlay = Overlay::default();
    match DeTable::parse(text) {
        Ok(top) => {
            let top = top.into_inner();
            file.take_sources(&top);
            read_lists(&file, &top, base, &mut overlay);
            read_tables(&file, &top, base, &mut overlay);
            report_unknown(&file, &top);
        }
        Err(error) => file.report(syntax(&file, &error)),
    }
    Outcome::with(overlay, file.into_troubles())
}

fn syntax(file: &File<'_>, error: &toml::de::Error) -> Diagnostic {
    let trouble = Diagnostic::error("toml-syntax", format!("this is not TOML: {}", error.message()));
    match error.span() {
        Some(span) => trouble.at(file.place(&span)),
        None => trouble,
    }
}

fn read_lists(file: &File<'_>, top: &DeTable<'_>, base: &Catalogue, overlay: &mut Overlay) {
    for (key, reader) in LISTS {
        for row in file.rows(top, key) {
            reader(&row, base, overlay);
            row.finish();
        }
    }
}

/// Tables of figures by name. Terms come before labour, whose batches they give the size of.
fn read_tables(file: &File<'_>, top: &DeTable<'_>, base: &Catalogue, overlay: &mut Overlay) {
    if let Some(row) = top.get("yard").and_then(|value| file.row("yard", value)) {
        entries::yard(&row, overlay);
        row.finish();
    }
    if let Some(row) = top.get("tools").and_then(|value| file.row("tools", value)) {
        entries::tools(file, &row, overlay);
    }
    if let Some(row) = top.get("terms").and_then(|value| file.row("terms", value)) {
        pricing::terms(file, &row, overlay);
    }
    if let Some(row) = top.get("labour").and_then(|value| file.row("labour", value)) {
        pricing::labour(file, &row, base, overlay);
    }
    if let Some(row) = top.get("consumable").and_then(|value| file.row("consumable", value)) {
        pricing::consumables(file, &row, base, overlay);
    }
}

fn report_unknown(file: &File<'_>, top: &DeTable<'_>) {
    let tables = ["yard", "tools", "terms", "labour", "consumable", "sources"];
    let known: Vec<&str> = LISTS.iter().map(|(key, _)| *key).chain(tables).collect();
    for key in top.keys().filter(|key| !known.contains(&&**key.get_ref())) {
        file.report(row::unknown_key(key.get_ref(), "catalogue file", &known).at(file.place(&key.span())));
    }
}
