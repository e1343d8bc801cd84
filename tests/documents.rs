//! The papers of every built-in family: they hold to their schemas, and come out the same every time.

use slatwork::project::{BUILT_IN, FileOut, SCHEMAS, World, schema};
use slatwork::{Batch, Dossier, Kind, Memory, Request, RowFormat, Severity, batch, build, with_stack, write};

fn families() -> Vec<String> {
    let stems = BUILT_IN.iter().filter_map(|(path, _)| path.strip_prefix("families/")?.strip_suffix(".rhai"));
    stems.map(String::from).collect()
}

fn made(family: &str) -> Dossier {
    let outcome = with_stack(|| build(&Memory::default(), &Request::new(family))).expect("a thread");
    let wrong: Vec<_> = outcome.diagnostics.iter().filter(|own| own.severity >= Severity::Failure).collect();
    assert!(wrong.is_empty(), "{family}: {wrong:#?}");
    outcome.value.expect("it can be built")
}

fn check(schema_name: &str, text: &str) {
    let schema: serde_json::Value =
        serde_json::from_str(schema(schema_name).expect("a schema")).expect("JSON");
    let document: serde_json::Value = serde_json::from_str(text).expect("JSON");
    let validator = jsonschema::validator_for(&schema).expect("a schema that can be read");
    let faults: Vec<String> =
        validator.iter_errors(&document).map(|fault| format!("{}: {fault}", fault.instance_path())).collect();
    assert!(faults.is_empty(), "{schema_name}: {}", faults.join("\n"));
}

#[test]
fn json_documents_hold_to_their_schemas() {
    for family in families() {
        for document in made(&family).documents.iter().filter(|document| document.path.ends_with(".json")) {
            check(&document.kind.schema_name().expect("a schema"), document.text().expect("text"));
        }
    }
}

#[test]
fn a_schema_refuses_what_is_no_such_document() {
    let schema: serde_json::Value = serde_json::from_str(schema("slatwork/cutlist/1").unwrap()).unwrap();
    let validator = jsonschema::validator_for(&schema).unwrap();
    assert!(!validator.is_valid(&serde_json::json!({ "schema": "slatwork/cutlist/1" })));
    assert_eq!(SCHEMAS.len(), 10);
}

#[test]
fn rows_of_a_batch_hold_to_their_schema() {
    let order = Batch {
        request: Request::new("porch_swing"),
        vary: vec![String::from("width=4ft..5ft/1ft"), String::from("slats=1x4,no_such")],
        format: RowFormat::JsonLines,
        ..Batch::default()
    };
    let mut rows = Vec::new();
    let tally =
        with_stack(|| batch(&Memory::default(), &order, &mut rows, &|_, _| {})).unwrap().value.unwrap();
    assert_eq!((tally.fine, tally.not_built), (2, 2));
    let text = String::from_utf8(rows).unwrap();
    assert_eq!(text.lines().count(), 4);
    text.lines().for_each(|line| check("slatwork/variant/1", line));
}

#[test]
fn the_same_design_gives_the_same_bytes() {
    for family in families() {
        let (one, other) = (made(&family), made(&family));
        assert_eq!(one.documents, other.documents, "{family}");
    }
}

#[test]
fn rows_are_the_same_whatever_the_thread_count() {
    let rows = |threads: usize| {
        let order = Batch {
            request: Request::new("porch_swing"),
            vary: vec![String::from("width=3ft..7ft/3in"), String::from("crest=circle,straight")],
            threads,
            ..Batch::default()
        };
        let mut rows = Vec::new();
        with_stack(|| batch(&Memory::default(), &order, &mut rows, &|_, _| {})).unwrap().value.unwrap();
        String::from_utf8(rows).unwrap()
    };
    let one = rows(1);
    assert_eq!(one.lines().count(), 1 + 17 * 2);
    assert_eq!(one, rows(2));
    assert_eq!(one, rows(5));
}

#[test]
fn only_what_is_asked_for_is_made() {
    let mut request = Request::new("porch_swing");
    request.only = vec![Kind::Holes];
    let dossier = with_stack(|| build(&Memory::default(), &request)).unwrap().value.unwrap();
    let paths: Vec<&str> = dossier.documents.iter().map(|document| document.path.as_str()).collect();
    assert_eq!(paths, ["holes.txt", "holes.csv", "holes.json"]);
}

#[test]
fn papers_are_written_below_their_folder_and_old_drawings_go() {
    let world = Memory::of([("out/notes.txt", "mine"), ("out/drawings/mine.svg", "mine")]);
    world.write_all("out", &[FileOut { path: "drawings/Z_old.svg", bytes: b"old" }]).unwrap();
    let dossier = made("porch_swing");
    let paths = write(&world, "out", &dossier.documents).unwrap();
    assert!(paths.iter().all(|path| world.bytes(path).is_some()));
    assert_eq!(world.bytes("out/drawings/Z_old.svg"), None, "a drawing of a part that is gone");
    assert!(world.bytes("out/notes.txt").is_some() && world.bytes("out/drawings/mine.svg").is_some());
}
