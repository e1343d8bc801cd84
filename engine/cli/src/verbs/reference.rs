//! `slatwork reference`: the words that scripts may use.

use crate::Exit;
use crate::arguments::Common;
use crate::terminal::{Stopped, Terminal};
use clap::Args;
use slatwork_project::{World, reference};

/// The words that scripts may use, with units and examples.
#[derive(Debug, Args)]
pub struct Reference {
    /// As one HTML page instead of text
    #[arg(long)]
    html: bool,
    /// File to write to instead of printing
    #[arg(long, value_name = "FILE")]
    out: Option<String>,
}

impl Reference {
    pub(crate) fn run(&self, common: &Common, terminal: &Terminal) -> Result<Exit, Stopped> {
        let text = match (self.html, terminal.is_json()) {
            (true, _) => reference::html(),
            (false, true) => format!("{:#}\n", reference::json()),
            (false, false) => reference::text(),
        };
        match &self.out {
            Some(path) => common.world().write(path, text.as_bytes()).map_err(|trouble| vec![trouble])?,
            None => terminal.print(&text)?,
        }
        Ok(Exit::Fine)
    }
}
