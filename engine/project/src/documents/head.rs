//! What every paper begins with: the piece, its values, and whatever fails.

use super::Paper;
use super::page::Page;
use crate::Units;
use serde_json::{Map, Value as Json, json};
use slatwork_base::{Diagnostic, Place, Severity};
use slatwork_output::json::{document, length, number};
use slatwork_script::{Parameters, Value};

impl Paper<'_> {
    /// A page with its head: title, what fails, values, how lengths are read.
    pub(crate) fn page(&self, what: &str) -> Page {
        let mut page = Page::default();
        page.heading(&format!("{}: {what}", self.model.title), '=');
        for finding in self.troubles() {
            let word = finding.severity.word().to_uppercase();
            page.wrapped(&format!("{word:<8} "), &finding_words(finding));
        }
        page.blank();
        page.wrapped("", &values_words(self.values, self.units));
        page.line(self.units.sentence());
        page
    }

    /// What a builder must see first.
    pub(super) fn troubles(&self) -> impl Iterator<Item = &Diagnostic> {
        self.findings.iter().filter(|finding| finding.severity >= Severity::Warning)
    }

    /// The body of a JSON document, begun with what every document says.
    pub(crate) fn body(&self) -> Map<String, Json> {
        let mut body = Map::new();
        body.insert("title".into(), json!(self.model.title));
        body.insert("family".into(), json!(self.family));
        body.insert("values".into(), values_json(self.values, self.units));
        body.insert("findings".into(), findings_json(self.findings));
        body
    }

    /// A JSON document of this kind.
    pub(crate) fn document(&self, kind: &str, body: Map<String, Json>) -> Vec<u8> {
        document(kind, 1, body).into_bytes()
    }
}

/// What a finding says, with its code before it and its place behind.
pub(super) fn finding_words(finding: &Diagnostic) -> String {
    let place = finding.place.as_ref().map_or(String::new(), |place| format!(" ({place})"));
    format!("{}: {}{place}", finding.code, finding.message)
}

/// `Width 5', wood white oak; as usual: depth 1' 7", ...`.
pub(super) fn values_words(values: &Parameters, units: Units) -> String {
    let words = |set: bool| -> Vec<String> {
        let chosen = values.iter().filter(|(name, _)| values.is_set(name) == Some(set));
        chosen.map(|(name, value)| format!("{} {}", name.replace('_', " "), shown(value, units))).collect()
    };
    let (set, usual) = (words(true), words(false));
    match (set.is_empty(), usual.is_empty()) {
        (true, true) => String::from("This design has no parameters."),
        (true, false) => format!("All as usual: {}.", usual.join(", ")),
        (false, true) => format!("Made with {}.", set.join(", ")),
        (false, false) => format!("Made with {}. As usual: {}.", set.join(", "), usual.join(", ")),
    }
}

/// A parameter's value in the measures of the paper.
fn shown(value: &Value, units: Units) -> String {
    match value {
        Value::Length(length) => units.text(*length),
        other => other.to_string(),
    }
}

fn values_json(values: &Parameters, units: Units) -> Json {
    Json::Object(values.iter().map(|(name, own)| (name.to_string(), value_json(own, units))).collect())
}

/// A parameter's value as documents hold it.
pub(crate) fn value_json(value: &Value, units: Units) -> Json {
    match value {
        Value::Length(own) => length(*own, units.tape()),
        Value::Angle(angle) => number(angle.as_deg()),
        Value::Count(count) => json!(count),
        Value::Number(own) => number(*own),
        Value::YesNo(yes) => json!(yes),
        Value::Text(text) => json!(text),
    }
}

/// Diagnostics as documents hold them.
pub(crate) fn findings_json(findings: &[Diagnostic]) -> Json {
    findings.iter().map(finding_json).collect()
}

fn finding_json(finding: &Diagnostic) -> Json {
    let trace: Vec<Json> = finding
        .trace
        .iter()
        .map(|(place, remark)| json!({ "place": place_json(place), "remark": remark }))
        .collect();
    json!({
        "severity": finding.severity.word(),
        "code": finding.code,
        "message": finding.message,
        "place": finding.place.as_ref().map(place_json),
        "trace": trace,
        "help": finding.help,
    })
}

fn place_json(place: &Place) -> Json {
    match place {
        Place::Source { file, line, column, width, text } => {
            json!({ "file": file, "line": line, "column": column, "width": width, "text": text })
        }
        Place::Script(origin) => json!({ "line": origin.line, "column": origin.column }),
        Place::Part(name) => json!({ "part": name }),
        Place::Named(name) => json!({ "name": name }),
        Place::Path(path) => json!({ "file": path }),
    }
}
