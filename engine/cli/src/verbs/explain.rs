//! `slatwork explain`: a diagnostic in words, or a JSON Schema.

use crate::Exit;
use crate::terminal::{Stopped, Terminal};
use clap::Args;
use serde_json::{Map, Value, json};
use slatwork_base::{Diagnostic, did_you_mean};
use slatwork_project::explain::{Explanation, all, explanation};
use slatwork_project::{schema, schema_names};

/// Explain a diagnostic, or print a JSON Schema.
#[derive(Debug, Args)]
pub struct Explain {
    /// A code as it stands in brackets in a message (off-step), or the schema of a document (slatwork/cutlist/1);
    /// without it, all codes are listed
    code: Option<String>,
}

impl Explain {
    pub(crate) fn run(&self, terminal: &Terminal) -> Result<Exit, Stopped> {
        let Some(code) = &self.code else { return every(terminal) };
        if let Some(schema) = schema(code) {
            terminal.print(schema)?;
            return Ok(Exit::Fine);
        }
        let own = explanation(code).ok_or_else(|| vec![unknown(code)])?;
        if terminal.is_json() {
            terminal.print_document("explanation", document(own))?;
        } else {
            terminal.print(&words(own))?;
        }
        Ok(Exit::Fine)
    }
}

fn words(own: &Explanation) -> String {
    let told: String = own.told().into_iter().map(|(title, text)| format!("\n{title}: {text}\n")).collect();
    format!("{}\n\n  {}\n{told}", own.code, own.meaning)
}

/// Keys after the titles; of all that can be done, `remedy`.
fn document(own: &Explanation) -> Map<String, Value> {
    let key = |title: &str| {
        if title == "What to do" { String::from("remedy") } else { title.to_lowercase().replace(' ', "_") }
    };
    let first =
        [("code", own.code), ("meaning", own.meaning)].map(|(key, text)| (key.to_string(), json!(text)));
    first.into_iter().chain(own.told().into_iter().map(|(title, text)| (key(title), json!(text)))).collect()
}

fn every(terminal: &Terminal) -> Result<Exit, Stopped> {
    if terminal.is_json() {
        let codes: Vec<_> = all().map(|own| json!({ "code": own.code, "meaning": own.meaning })).collect();
        terminal.print_document("codes", Map::from_iter([(String::from("codes"), json!(codes))]))?;
    } else {
        let lines: String = all().map(|own| format!("{:<28} {}\n", own.code, own.meaning)).collect();
        terminal.print(&lines)?;
    }
    Ok(Exit::Fine)
}

fn unknown(code: &str) -> Diagnostic {
    let diagnostic = Diagnostic::error("unknown-code", format!("there is no diagnostic or schema `{code}`"));
    let names: Vec<String> = all().map(|own| own.code.to_string()).chain(schema_names()).collect();
    match did_you_mean(code, names.iter().map(String::as_str)) {
        Some(near) => diagnostic.help(format!("did you mean `{near}`?")),
        None => {
            diagnostic.help("`slatwork explain` alone lists all codes, `slatwork list formats` the schemas")
        }
    }
}
