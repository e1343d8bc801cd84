//! `slatwork man`: the manual page.

use crate::Exit;
use crate::terminal::{Stopped, Terminal};
use clap::Args;
use clap_mangen::Man as Page;
use slatwork_base::Diagnostic;

/// The manual page, in roff: `slatwork man > slatwork.1`.
#[derive(Debug, Args)]
pub struct Man {
    /// The page of one verb
    verb: Option<String>,
}

impl Man {
    pub(crate) fn run(&self, terminal: &Terminal) -> Result<Exit, Stopped> {
        let mut command = crate::command();
        command.build();
        let page = match &self.verb {
            None => Page::new(command),
            Some(verb) => match command.find_subcommand(verb) {
                Some(own) => Page::new(own.clone()),
                None => return Err(vec![unknown(verb)]),
            },
        };
        let mut text = Vec::new();
        page.render(&mut text).map_err(|error| {
            vec![Diagnostic::error("result-not-printed", format!("the page cannot be made: {error}"))]
        })?;
        terminal.print(&String::from_utf8_lossy(&text))?;
        Ok(Exit::Fine)
    }
}

fn unknown(verb: &str) -> Diagnostic {
    Diagnostic::error("unknown-verb", format!("there is no verb `{verb}`"))
        .help("`slatwork --help` lists them")
}
