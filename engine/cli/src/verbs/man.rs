//! `slatwork man`: the manual page.

use crate::Exit;
use crate::terminal::{Stopped, Terminal};
use clap::Args;
use clap_mangen::Man as Page;
use slatwork_base::Diagnostic;

/// The manual page, in roff: `slatwork man > slatwork.1`.
#[derive(Debug, Args)]
pub struct Man {
    /// The page of one verb, or of one of its kinds: calc fastener
    verb: Vec<String>,
}

impl Man {
    pub(crate) fn run(&self, terminal: &Terminal) -> Result<Exit, Stopped> {
        let mut command = crate::command();
        command.build();
        let mut own = &command;
        for verb in &self.verb {
            own = own.find_subcommand(verb).ok_or_else(|| vec![unknown(verb)])?;
        }
        let title = std::iter::once("slatwork").chain(self.verb.iter().map(String::as_str));
        let page = Page::new(own.clone())
            .title(title.collect::<Vec<_>>().join("-"))
            .source(concat!("slatwork ", env!("CARGO_PKG_VERSION")));
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
