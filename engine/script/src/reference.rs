//! The reference of all words a script may use, generated from their registration: text, JSON, HTML.

use crate::modules::{Entry, EntryKind, HostModule, host_modules};
use serde_json::{Value, json};

/// Name and version of the JSON layout.
pub const SCHEMA: &str = "slatwork/reference/1";

/// Text lines are wrapped at this width.
const TEXT_WIDTH: usize = 100;

/// The reference as text for a terminal.
pub fn text() -> String {
    let mut text = String::new();
    for module in host_modules() {
        text.push_str(&format!("{}\n{}\n", module.name, "=".repeat(module.name.chars().count())));
        text.push_str(&wrapped(module.about, "", ""));
        for entry in &module.entries {
            text.push('\n');
            text.push_str(&wrapped(&shown(entry), "", "        "));
            text.push_str(&wrapped(&entry.about, "    ", "    "));
            text.push_str(&format!("    > {}\n", entry.example));
        }
        text.push('\n');
    }
    text
}

/// The signature as it is used: properties with a point, setters with an equals sign.
fn shown(entry: &Entry) -> String {
    let owner = entry.arguments.first().map_or("", String::as_str);
    match entry.kind {
        EntryKind::Function => entry.signature.clone(),
        EntryKind::Property => match entry.signature.split_once(" -> ") {
            Some((_, result)) => format!("{owner}.{} -> {result}", entry.name),
            None => format!("{owner}.{}", entry.name),
        },
        EntryKind::Setter => {
            format!("{owner}.{} = {}", entry.name, entry.arguments.get(1).map_or("", String::as_str))
        }
    }
}

/// Lines of at most the width, the first and the following ones indented.
fn wrapped(text: &str, first: &str, following: &str) -> String {
    let mut lines = String::new();
    let mut line = String::from(first);
    for word in text.split_whitespace() {
        let is_empty = line.trim().is_empty();
        if !is_empty && line.chars().count() + 1 + word.chars().count() > TEXT_WIDTH {
            lines.push_str(&line);
            lines.push('\n');
            line = format!("{following}{word}");
        } else {
            line.push_str(if is_empty { "" } else { " " });
            line.push_str(word);
        }
    }
    lines.push_str(&line);
    lines.push('\n');
    lines
}

/// The reference as JSON: `{ schema, subjects: [{ name, about, words: [..] }] }`.
pub fn json() -> Value {
    let subjects: Vec<Value> = host_modules().iter().map(subject_json).collect();
    json!({ "schema": SCHEMA, "subjects": subjects })
}

fn subject_json(module: &HostModule) -> Value {
    let words: Vec<Value> = module.entries.iter().map(entry_json).collect();
    json!({ "name": module.name, "about": module.about, "words": words })
}

fn entry_json(entry: &Entry) -> Value {
    let kind = match entry.kind {
        EntryKind::Function => "function",
        EntryKind::Property => "property",
        EntryKind::Setter => "setter",
    };
    json!({
        "name": entry.name, "kind": kind, "form": shown(entry), "arguments": entry.arguments,
        "about": entry.about, "example": entry.example,
    })
}

/// The reference as one HTML page without anything to fetch.
pub fn html() -> String {
    let mut html = String::from(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<title>Script reference</title>\n\
         <style>body{font-family:sans-serif;max-width:50em;margin:2em auto;padding:0 1em;line-height:1.45}\
         code,pre{font-family:monospace}h3{margin:1.4em 0 .2em}pre{margin:.3em 0;padding:.4em .6em;\
         border-left:3px solid #999}</style>\n</head>\n<body>\n<h1>Script reference</h1>\n<ul>\n",
    );
    for (number, module) in host_modules().iter().enumerate() {
        html.push_str(&format!("<li><a href=\"#s{number}\">{}</a></li>\n", escaped(module.name)));
    }
    html.push_str("</ul>\n");
    for (number, module) in host_modules().iter().enumerate() {
        html.push_str(&format!("<h2 id=\"s{number}\">{}</h2>\n", escaped(module.name)));
        html.push_str(&format!("<p>{}</p>\n", coded(module.about)));
        module.entries.iter().for_each(|entry| html.push_str(&entry_html(entry)));
    }
    html.push_str("</body>\n</html>\n");
    html
}

fn entry_html(entry: &Entry) -> String {
    format!(
        "<h3><code>{}</code></h3>\n<p>{}</p>\n<pre>{}</pre>\n",
        escaped(&shown(entry)),
        coded(&entry.about),
        escaped(&entry.example)
    )
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;")
}

/// Escaped, with back-ticks as code.
fn coded(text: &str) -> String {
    let pieces = escaped(text);
    let coded = pieces.split('`').enumerate();
    coded
        .map(|(i, piece)| if i % 2 == 1 { format!("<code>{piece}</code>") } else { piece.to_string() })
        .collect()
}
