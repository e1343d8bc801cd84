//! What lies in the folder, and what each file is for.

use super::page::counted;
use super::{Files, Kind, Paper};
use crate::dossier::Document;
use serde_json::{Value as Json, json};
use slatwork_base::Outcome;

/// Nothing by itself: it tells of the papers that were made, see [`of`].
pub(super) fn write(_: &Paper<'_>) -> Outcome<Files> {
    Outcome::fine(Files::new())
}

/// Of the papers that were made.
pub(crate) fn of(paper: &Paper<'_>, made: &[Document]) -> Files {
    vec![
        (String::from("contents.txt"), text(paper, made)),
        (String::from("contents.json"), list(paper, made)),
    ]
}

fn text(paper: &Paper<'_>, made: &[Document]) -> Vec<u8> {
    let mut page = paper.page("what is in this folder");
    page.blank();
    page.line(&format!("{}, by what they are for.", counted(made.len(), "file")));
    for kind in Kind::ALL {
        let own: Vec<&Document> = made.iter().filter(|document| document.kind == kind).collect();
        if own.is_empty() {
            continue;
        }
        page.blank();
        page.wrapped("", &format!("{}: {}", kind.name(), kind.about()));
        for extension in kind.extensions() {
            let paths: Vec<&str> =
                own.iter().map(|own| own.path.as_str()).filter(|path| ending(path) == *extension).collect();
            if !paths.is_empty() {
                page.wrapped("  ", &format!("{}: {}", form(extension), paths.join(", ")));
            }
        }
    }
    page.finish().into_bytes()
}

fn list(paper: &Paper<'_>, made: &[Document]) -> Vec<u8> {
    let file = |document: &Document| -> Json {
        let (kind, ending) = (document.kind, ending(&document.path));
        let schema = kind.schema_name().filter(|_| ending == "json");
        json!({
            "path": document.path,
            "kind": kind.name(),
            "for": kind.about(),
            "form": form(ending),
            "schema": schema,
            "bytes": document.bytes.len(),
        })
    };
    let mut body = paper.body();
    body.insert("files".into(), made.iter().map(file).collect());
    paper.document("contents", body)
}

fn ending(path: &str) -> &str {
    path.rsplit_once('.').map_or("", |split| split.1)
}

/// What a file of that ending is, in plain words.
fn form(ending: &str) -> &str {
    match ending {
        "txt" => "to read",
        "html" => "to open in a browser, or to print",
        "pdf" => "to print",
        "svg" => "picture",
        "csv" => "table",
        "json" => "for programs",
        "toml" => "catalogue for the next piece",
        "dxf" => "outline in millimetres",
        "glb" | "step" | "stl" => "solid",
        other => other,
    }
}
