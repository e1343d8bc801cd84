//! `slatwork new`: a script to begin from.

use crate::Exit;
use crate::arguments::Common;
use crate::terminal::{Stopped, Terminal};
use clap::{Args, Subcommand};
use serde_json::{Map, json};
use slatwork_project::new_family;

/// Begin a new script from a small working one.
#[derive(Debug, Args)]
pub struct New {
    #[command(subcommand)]
    what: What,
}

/// What to begin.
#[derive(Debug, Subcommand)]
enum What {
    /// A furniture family, in families/ of the root
    Family {
        /// Its name: lower-case words joined by _
        name: String,
    },
}

impl New {
    pub(crate) fn run(&self, common: &Common, terminal: &Terminal) -> Result<Exit, Stopped> {
        let What::Family { name } = &self.what;
        let path = new_family(&common.world_to_begin_in(), name).map_err(|trouble| vec![trouble])?;
        if terminal.is_json() {
            terminal.print_document("new", Map::from_iter([(String::from("file"), json!(path))]))?;
        } else {
            let root = common.root.as_ref().map_or(String::new(), |root| format!(" --root {root}"));
            terminal.print(&format!("Wrote {path}. Build it with: slatwork build {name}{root}\n"))?;
        }
        Ok(Exit::Fine)
    }
}
