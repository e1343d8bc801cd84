//! Printing: results to standard output, what is wrong to standard error, and with `--format json` everything as one
//! document on standard output.

use crate::Exit;
use crate::arguments::Format;
use serde_json::{Map, Value, json};
use slatwork_base::Diagnostic;
use slatwork_output::{Table, json, text};
use slatwork_project::caret::{Dress, report};
use slatwork_project::diagnostics_json;
use std::io::{ErrorKind, Write};

/// Where and how a verb prints.
pub(crate) struct Terminal {
    format: Format,
}

/// Why a verb stopped: it could not do its work.
pub(crate) type Stopped = Vec<Diagnostic>;

impl Terminal {
    pub(crate) fn new(format: Format) -> Self {
        Terminal { format }
    }

    /// Whether results are to be JSON.
    pub(crate) fn is_json(&self) -> bool {
        self.format == Format::Json
    }

    /// Prints a result.
    pub(crate) fn print(&self, text: &str) -> Result<(), Stopped> {
        let mut out = anstream::stdout().lock();
        let written = out.write_all(text.as_bytes()).and_then(|()| out.flush());
        match written {
            // A reader that has seen enough is no fault.
            Err(error) if error.kind() != ErrorKind::BrokenPipe => {
                let message = format!("the result cannot be printed: {error}");
                Err(vec![Diagnostic::error("result-not-printed", message).help("is the disk full?")])
            }
            _ => Ok(()),
        }
    }

    /// Prints a table in the format asked for.
    pub(crate) fn print_table(&self, table: &Table) -> Result<(), Stopped> {
        let written = if self.is_json() { json::write(table) } else { text::write(table) };
        match written.value.and_then(|bytes| String::from_utf8(bytes).ok()) {
            Some(text) => self.print(&text),
            None => Err(written.diagnostics),
        }
    }

    /// Prints a JSON document.
    pub(crate) fn print_document(&self, kind: &str, body: Map<String, Value>) -> Result<(), Stopped> {
        self.print(&json::document(kind, 1, body))
    }

    /// Tells what was noticed.
    pub(crate) fn tell(&self, diagnostics: &[Diagnostic]) {
        if diagnostics.is_empty() {
            return;
        }
        let text = report(diagnostics, Dress::Coloured);
        // When even standard error is gone there is nobody left to tell.
        drop(writeln!(anstream::stderr(), "{text}"));
    }

    /// Says a line to the person, apart from the result.
    pub(crate) fn say(&self, words: &str) {
        drop(writeln!(anstream::stderr(), "{words}"));
    }

    /// Ends a verb that could not do its work.
    pub(crate) fn stopped(&self, diagnostics: &[Diagnostic]) -> Exit {
        self.tell(diagnostics);
        if self.is_json() {
            let body = Map::from_iter([(String::from("findings"), diagnostics_json(diagnostics))]);
            drop(self.print_document("diagnostics", body));
        }
        // A verb that stopped has failed, whatever it said on the way.
        match Exit::of(diagnostics) {
            Exit::Fine => Exit::CannotBuild,
            other => other,
        }
    }
}

/// A count and a word, for a JSON body.
pub(crate) fn number(count: usize) -> Value {
    json!(count)
}
