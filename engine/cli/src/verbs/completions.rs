//! `slatwork completions`: completions for a shell.

use crate::Exit;
use crate::terminal::{Stopped, Terminal};
use clap::Args;
use clap_complete::{Shell, generate};

/// Completions for a shell, to be read by it: `source <(slatwork completions bash)`.
#[derive(Debug, Args)]
pub struct Completions {
    /// The shell
    #[arg(value_enum)]
    shell: Shell,
}

impl Completions {
    pub(crate) fn run(&self, terminal: &Terminal) -> Result<Exit, Stopped> {
        let mut script = Vec::new();
        generate(self.shell, &mut crate::command(), "slatwork", &mut script);
        terminal.print(&String::from_utf8_lossy(&script))?;
        Ok(Exit::Fine)
    }
}
