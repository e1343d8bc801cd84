//! What there is to choose from, as tables: families and their parameters, woods, sizes, fasteners, scripts, documents.

mod pricing;

pub use pricing::{operations, prices, terms};

use crate::built_in::Scripts;
use crate::calc::CALCULATIONS;
use crate::explain::explanation;
use crate::{Kind as Paper, SCHEMAS, World};
use slatwork_base::{Diagnostic, Length, Outcome, Tape};
use slatwork_catalog::{Catalogue, SECTION_CLASSES, Source};
use slatwork_output::{Cell, Column, Kind, Table};
use slatwork_script::{Library, Parameter, RootKind, Script, ScriptKind, Value};
use std::collections::BTreeMap;

const TEXT: Kind = Kind::Text;
const LENGTH: Kind = Kind::Length;
const COUNT: Kind = Kind::Count;

/// Reads all scripts of a world. Faulty ones are left out, and told.
pub fn library(world: &dyn World) -> Outcome<Library> {
    Library::load(&Scripts::of(world))
}

fn table(name: &'static str, title: &str, tape: Tape, columns: &[(&'static str, &str, Kind)]) -> Table {
    let columns = columns.iter().map(|(key, title, kind)| Column::new(key, *title, *kind)).collect();
    Table::new(name, title, tape, columns)
}

fn count(number: usize) -> Cell {
    i64::try_from(number).map_or(Cell::Empty, Cell::Count)
}

/// All families.
pub fn families(library: &Library, tape: Tape) -> Table {
    let columns = [
        ("family", "family", TEXT),
        ("title", "title", TEXT),
        ("parameters", "parameters", COUNT),
        ("from", "from", TEXT),
        ("about", "about", TEXT),
    ];
    let mut table = table("families", "Families", tape, &columns);
    table.rows = library.families().map(family).collect();
    table
}

fn family(script: &Script) -> Vec<Cell> {
    let declared = &script.declared;
    vec![
        script.id.clone().into(),
        declared.title.clone().into(),
        count(declared.parameters.len()),
        root_word(script.root).into(),
        declared.doc.clone().into(),
    ]
}

fn root_word(root: RootKind) -> &'static str {
    match root {
        RootKind::Project => "project",
        RootKind::User => "user",
        RootKind::BuiltIn => "built in",
    }
}

/// Parameters of some families.
pub fn parameters<'s>(scripts: impl IntoIterator<Item = &'s Script>, tape: Tape) -> Table {
    let columns = [
        ("family", "family", TEXT),
        ("parameter", "parameter", TEXT),
        ("kind", "takes", TEXT),
        ("usual", "as usual", TEXT),
        ("allowed", "allowed", TEXT),
        ("about", "about", TEXT),
    ];
    let mut table = table("parameters", "Parameters", tape, &columns);
    for script in scripts {
        table.rows.extend(script.declared.parameters.values().map(|own| parameter(&script.id, own, tape)));
    }
    table
}

fn parameter(family: &str, own: &Parameter, tape: Tape) -> Vec<Cell> {
    vec![
        family.into(),
        own.name.clone().into(),
        own.kind.word().into(),
        on_tape(&own.default, tape).into(),
        allowed(own, tape).into(),
        own.doc.clone().into(),
    ]
}

/// A value as it is written on the command line, lengths in the measure asked for.
fn on_tape(value: &Value, tape: Tape) -> String {
    match value {
        Value::Length(length) => tape.text(*length),
        other => other.to_string(),
    }
}

fn allowed(own: &Parameter, tape: Tape) -> String {
    let metric = tape == Tape::Mm && own.takes_millimetres();
    let step = match &own.step {
        Some(_) if metric => String::from(", whole millimetres"),
        Some(step) => format!(" in steps of {}", on_tape(step, tape)),
        None => String::new(),
    };
    match &own.range {
        // The marks that lie within.
        Some((Value::Length(least), Value::Length(most))) if metric => {
            let (low, high) = (least.as_mm().ceil(), most.as_mm().floor());
            format!("{low} mm to {high} mm{step}")
        }
        Some((least, most)) => format!("{} to {}{step}", on_tape(least, tape), on_tape(most, tape)),
        None if own.among.is_empty() => String::from("any"),
        None => own.among.join(", "),
    }
}

/// All woods.
pub fn species(catalogue: &Catalogue, tape: Tape) -> Table {
    let columns = [
        ("wood", "wood", TEXT),
        ("name", "name", TEXT),
        ("density", "density", Kind::Number { unit: "kg/m3", decimals: 0 }),
        ("decay", "decay resistance", TEXT),
        ("aliases", "also called", TEXT),
        ("source", "source", TEXT),
    ];
    let mut table = table("species", "Woods", tape, &columns);
    table.rows = catalogue
        .species_list()
        .map(|own| {
            let decay = slatwork_catalog::DECAY_CLASSES
                .iter()
                .find(|(class, _)| *class == own.decay)
                .map(|(_, word)| *word);
            vec![
                own.id.clone().into(),
                own.name.clone().into(),
                Cell::Number(own.density_kg_m3()),
                decay.into(),
                own.aliases.join(", ").into(),
                source(&own.source),
            ]
        })
        .collect();
    table
}

fn source(own: &Source) -> Cell {
    format!("{} ({})", own.text, own.status.word()).into()
}

/// All lumber sections.
pub fn sizes(catalogue: &Catalogue, tape: Tape) -> Table {
    let columns = [
        ("section", "section", TEXT),
        ("class", "class", TEXT),
        ("thickness", "thick", LENGTH),
        ("width", "wide", LENGTH),
        ("measured", "measured", Kind::Flag),
        ("lengths", "sold in lengths of", TEXT),
        ("source", "source", TEXT),
    ];
    let mut table = table("sizes", "Lumber sections", tape, &columns);
    table.rows = catalogue
        .sections()
        .map(|own| {
            let class = SECTION_CLASSES.iter().find(|(class, _)| *class == own.class).map(|(_, word)| *word);
            vec![
                own.name.clone().into(),
                class.into(),
                own.thickness.into(),
                own.width.into(),
                own.measured.into(),
                lengths(&own.stock_lengths, tape).into(),
                source(&own.source),
            ]
        })
        .collect();
    table
}

fn lengths(all: &[Length], tape: Tape) -> String {
    all.iter().map(|length| tape.feet_and_inches(*length)).collect::<Vec<_>>().join(", ")
}

/// All fasteners.
pub fn fasteners(catalogue: &Catalogue, tape: Tape) -> Table {
    let columns = [
        ("fastener", "fastener", TEXT),
        ("kind", "kind", TEXT),
        ("size", "size", TEXT),
        ("diameter", "diameter", LENGTH),
        ("lengths", "lengths", TEXT),
        ("source", "source", TEXT),
    ];
    // Diameters are finer than any tape.
    let mut table = table("fasteners", "Fasteners", Tape::Exact, &columns);
    table.rows = catalogue
        .fasteners()
        .map(|own| {
            let lengths = own.lengths.iter().map(|length| tape.text(*length)).collect::<Vec<_>>().join(", ");
            vec![
                own.id.clone().into(),
                own.kind.word().into(),
                own.size.clone().into(),
                own.diameter.into(),
                lengths.into(),
                source(&own.source),
            ]
        })
        .collect();
    table
}

/// All hanging hardware.
pub fn hardware(catalogue: &Catalogue) -> Table {
    let columns = [
        ("hardware", "hardware", TEXT),
        ("kind", "kind", TEXT),
        ("name", "ask for", TEXT),
        ("working_load", "working load in line", Kind::Number { unit: "N", decimals: 0 }),
        ("note", "note", TEXT),
        ("source", "source", TEXT),
    ];
    let mut table = table("hardware", "Hanging hardware", Tape::Exact, &columns);
    table.rows = catalogue
        .hardware_list()
        .map(|own| {
            vec![
                own.id.clone().into(),
                own.kind.word().into(),
                own.name.clone().into(),
                own.working_load_n().map_or(Cell::Empty, Cell::Number),
                own.refused.clone().unwrap_or_else(|| own.note.clone()).into(),
                source(&own.source),
            ]
        })
        .collect();
    table
}

/// All scripts of a kind.
pub fn scripts(library: &Library, kind: ScriptKind, tape: Tape) -> Table {
    let columns =
        [("name", "name", TEXT), ("title", "title", TEXT), ("from", "from", TEXT), ("about", "about", TEXT)];
    let (name, title) = match kind {
        ScriptKind::Joint => ("joints", "Joints"),
        ScriptKind::Check => ("checks", "Checks"),
        ScriptKind::Catalogue => ("catalogues", "Catalogues"),
        ScriptKind::Report => ("reports", "Reports"),
        ScriptKind::Family => ("families", "Families"),
    };
    let mut table = table(name, title, tape, &columns);
    table.rows = library
        .scripts(kind)
        .map(|script| {
            vec![
                script.id.clone().into(),
                script.declared.title.clone().into(),
                root_word(script.root).into(),
                script.declared.doc.clone().into(),
            ]
        })
        .collect();
    table
}

/// Every kind of joint: the program's own, then those from scripts.
pub fn joints(library: &Library, tape: Tape) -> Table {
    let mut table = table(
        "joints",
        "Joints",
        tape,
        &[("name", "name", TEXT), ("from", "from", TEXT), ("about", "about", TEXT)],
    );
    for kind in slatwork_model::joints::KINDS {
        table.rows.push(vec![kind.name.into(), "the program".into(), kind.about.into()]);
    }
    for script in library.scripts(ScriptKind::Joint) {
        let name = script.id.replace('_', " ");
        table.rows.push(vec![name.into(), root_word(script.root).into(), script.declared.doc.clone().into()]);
    }
    table
}

/// What a piece is looked at for before any check is asked: whether parts touch and do not overlap, joints can be laid out, and the
/// whole can be put together.
const FOUND_IN_MAKING: [&str; 12] = [
    "parts-overlap",
    "parts-do-not-touch",
    "joint-does-not-touch",
    "pattern-does-not-fit",
    "glue-on-end-grain",
    "joint-on-end-grain",
    "no-way-in",
    "driver-cannot-reach",
    "bolt-cannot-be-put-in",
    "wrench-cannot-reach",
    "order-cannot-be",
    "order-not-planned",
];

/// Every check: what is looked for while a piece is made, the program's own checks, then those from scripts.
pub fn checks(library: &Library, tape: Tape) -> Table {
    let mut table = table(
        "checks",
        "Checks",
        tape,
        &[("name", "name", TEXT), ("from", "from", TEXT), ("about", "about", TEXT)],
    );
    for own in FOUND_IN_MAKING.iter().filter_map(|code| explanation(code)) {
        table.rows.push(vec![own.code.into(), "the program".into(), own.meaning.into()]);
    }
    for check in slatwork_checks::SUBJECTS.iter().flat_map(|subject| subject.checks) {
        table.rows.push(vec![check.fault.into(), "the program".into(), check.about.into()]);
    }
    for script in library.scripts(ScriptKind::Check) {
        let row =
            vec![script.id.clone().into(), root_word(script.root).into(), script.declared.doc.clone().into()];
        table.rows.push(row);
    }
    table
}

/// Every script of every root, by kind.
pub fn plug_ins(library: &Library, tape: Tape) -> Table {
    let columns = [
        ("kind", "kind", TEXT),
        ("name", "name", TEXT),
        ("from", "from", TEXT),
        ("file", "file", TEXT),
        ("trusted", "trusted", Kind::Flag),
    ];
    let mut table = table("plug_ins", "Scripts", tape, &columns);
    for script in ScriptKind::ALL.into_iter().flat_map(|kind| library.scripts(kind)) {
        table.rows.push(vec![
            script.kind.word().into(),
            script.id.clone().into(),
            root_word(script.root).into(),
            script.shown.clone().into(),
            script.trusted.into(),
        ]);
    }
    table
}

/// Every kind of document, and the JSON Schemas.
pub fn formats() -> Table {
    let columns = [
        ("document", "document", TEXT),
        ("files", "files", TEXT),
        ("schema", "JSON Schema", TEXT),
        ("about", "about", TEXT),
    ];
    let mut table = table("formats", "Documents", Tape::Exact, &columns);
    let mut rest: BTreeMap<&str, &str> = SCHEMAS.into_iter().collect();
    for kind in Paper::ALL {
        let schema = kind.schema_name();
        rest.remove(schema.as_deref().unwrap_or(""));
        table.rows.push(vec![
            kind.name().into(),
            kind.extensions().join(", ").into(),
            schema.into(),
            kind.about().into(),
        ]);
    }
    let others = [
        ("slatwork/build/1", "what `build --format json` prints"),
        ("slatwork/variant/1", "a line of `batch --format json`"),
        ("slatwork/diagnostics/1", "what any verb prints with `--format json` when it cannot do its work"),
    ];
    for (schema, about) in others.into_iter().filter(|(schema, _)| rest.contains_key(schema)) {
        table.rows.push(vec!["-".into(), "json".into(), schema.into(), about.into()]);
    }
    for own in &CALCULATIONS {
        let about = format!("what `calc {} --format json` prints", own.name);
        table.rows.push(vec!["-".into(), "json".into(), own.schema_name().into(), about.into()]);
    }
    table
}

/// A family by its id, or all of them; with what is wrong with its script, or that there is none.
pub fn chosen<'l>(library: &'l Library, family: Option<&str>) -> Result<Vec<&'l Script>, Vec<Diagnostic>> {
    match family {
        Some(family) => library.script(ScriptKind::Family, family).map(|script| vec![script]),
        None => Ok(library.families().collect()),
    }
}

/// Presets of some families.
pub fn presets<'s>(scripts: impl IntoIterator<Item = &'s Script>, tape: Tape) -> Table {
    let columns = [("family", "family", TEXT), ("preset", "preset", TEXT), ("sets", "sets", TEXT)];
    let mut table = table("presets", "Presets", tape, &columns);
    for script in scripts {
        table.rows.extend(script.declared.presets.iter().map(|(name, own)| {
            let sets = own.values.iter().map(|(name, value)| format!("{name}={}", on_tape(value, tape)));
            vec![script.id.clone().into(), name.clone().into(), sets.collect::<Vec<_>>().join(", ").into()]
        }));
    }
    table
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_found_in_making_is_listed_once_with_its_meaning() {
        let library = library(&crate::Memory::default()).value.expect("the built-in scripts");
        let listed = checks(&library, Tape::Inch16);
        let names: Vec<String> = listed.rows.iter().map(|row| format!("{:?}", row[0])).collect();
        for code in FOUND_IN_MAKING {
            assert!(explanation(code).is_some(), "{code}");
            let cell = format!("{:?}", Cell::from(code));
            assert_eq!(names.iter().filter(|name| **name == cell).count(), 1, "{code}");
        }
        for own in crate::explain::all().filter(|own| own.code.starts_with("order-")) {
            let in_script = own.code == "order-runs-in-a-circle";
            assert!(in_script || FOUND_IN_MAKING.contains(&own.code), "{}", own.code);
        }
    }
}
