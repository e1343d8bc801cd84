//! Where in the text of a question its keys stand, so that a slip is told with its line.

use super::json::INSTANCES;
use crate::settings_file::place;
use slatwork_base::{Diagnostic, Place, Severity};
use std::collections::BTreeMap;
use std::ops::Range;

/// Errors of a question that stood in a file, at their lines: those that name a key by the way to it (`members[0].i`). An error without
/// a place is one of the file.
pub fn located(troubles: Vec<Diagnostic>, file: &str, text: &str) -> Vec<Diagnostic> {
    let spans = Scan::of(text);
    let located = |trouble: Diagnostic| {
        let found = match &trouble.place {
            None if trouble.severity == Severity::Error => Some(Place::Path(file.to_string())),
            Some(Place::Named(way)) => spans.get(way).map(|span| place(file, text, span)),
            None | Some(_) => None,
        };
        match found {
            Some(found) => Diagnostic { place: Some(found), ..trouble },
            None => trouble,
        }
    };
    troubles.into_iter().map(located).collect()
}

/// A text that is known to be JSON, read once more for where its keys stand.
struct Scan<'t> {
    text: &'t str,
    at: usize,
    /// Of each key, and of each entry of a list, by the way to it.
    spans: BTreeMap<String, Range<usize>>,
}

impl<'t> Scan<'t> {
    fn of(text: &'t str) -> BTreeMap<String, Range<usize>> {
        let mut scan = Scan { text, at: 0, spans: BTreeMap::new() };
        // A file that is nothing but a list is read as one under that key.
        if scan.next() == Some(b'[') {
            scan.spans.insert(INSTANCES.to_string(), scan.at..scan.at + 1);
            scan.value(INSTANCES);
        } else {
            scan.value("");
        }
        scan.spans
    }

    /// The next byte that is no space.
    fn next(&mut self) -> Option<u8> {
        let rest = &self.text[self.at..];
        self.at += rest.len() - rest.trim_start().len();
        self.text.as_bytes().get(self.at).copied()
    }

    /// Whether that byte comes next; then it is passed.
    fn passes(&mut self, byte: u8) -> bool {
        let is_next = self.next() == Some(byte);
        self.at += usize::from(is_next);
        is_next
    }

    fn value(&mut self, way: &str) {
        match self.next() {
            Some(b'{') => self.object(way),
            Some(b'[') => self.list(way),
            Some(b'"') => drop(self.string()),
            _ => {
                let rest = &self.text[self.at..];
                self.at += rest.find([',', ']', '}']).unwrap_or(rest.len());
            }
        }
    }

    fn object(&mut self, way: &str) {
        self.at += 1;
        while self.next() == Some(b'"') {
            let span = self.string();
            let key: String = serde_json::from_str(&self.text[span.clone()]).unwrap_or_default();
            let own = if way.is_empty() { key } else { format!("{way}.{key}") };
            self.passes(b':');
            self.value(&own);
            self.spans.insert(own, span);
            if !self.passes(b',') {
                break;
            }
        }
        self.passes(b'}');
    }

    fn list(&mut self, way: &str) {
        self.at += 1;
        let mut index = 0;
        while self.next().is_some_and(|byte| byte != b']') {
            let (start, own) = (self.at, format!("{way}[{index}]"));
            self.value(&own);
            self.spans.insert(own, start..self.at);
            if !self.passes(b',') {
                break;
            }
            index += 1;
        }
        self.passes(b']');
    }

    /// From quote to quote.
    fn string(&mut self) -> Range<usize> {
        let start = self.at;
        let mut escaped = true;
        let end = self.text[start..].find(|own: char| {
            let ends = own == '"' && !escaped;
            escaped = own == '\\' && !escaped;
            ends
        });
        self.at = end.map_or(self.text.len(), |end| start + end + 1);
        start..self.at
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keys_and_entries_are_found_by_the_way_to_them() {
        let text = r#"{ "a" : [ 1, {"b\"c": {}, "d": "x]"} ], "e": [[], true], "f": -1e3 }"#;
        let spans = Scan::of(text);
        let found = |way: &str| &text[spans[way].clone()];
        assert_eq!(found("a"), "\"a\"");
        assert_eq!(found("a[0]"), "1");
        assert_eq!(found("a[1]"), r#"{"b\"c": {}, "d": "x]"}"#);
        assert_eq!(found("a[1].b\"c"), r#""b\"c""#);
        assert_eq!((found("e[0]"), found("e[1]"), found("f")), ("[]", "true", "\"f\""));
        assert_eq!(spans.len(), 9);
    }

    #[test]
    fn a_list_by_itself_is_one_of_instances() {
        let text = r#" [ {"a": [[7]]} ]"#;
        let spans = Scan::of(text);
        assert_eq!(
            (&text[spans["instances[0].a"].clone()], &text[spans["instances[0].a[0][0]"].clone()]),
            ("\"a\"", "7")
        );
    }

    #[test]
    fn what_is_no_json_ends() {
        for text in ["", "{", "[", "{\"a", "{\"a\":", "[1,", "[,]", "[}", "{\"a\" 1 2}", "]"] {
            assert!(Scan::of(text).len() < 5, "{text}");
        }
    }
}
