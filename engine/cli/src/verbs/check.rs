//! `slatwork check`: one design under every check.

use super::design::{Design, Surroundings};
use crate::Exit;
use crate::arguments::Common;
use crate::terminal::{Stopped, Terminal};
use clap::Args;
use slatwork_project::{check, check_with_remedies, with_stack};

/// Put one design under every check: making, strength, balance, hanging, body, fit and weather.
///
/// What fails comes first and in full, with its case, sources and help; ends with exit code 1 when something fails.
/// Tells how heavy people may be as well. Lengths are told on both tapes, whatever `--units` says.
/// `slatwork explain CODE` says more of each.
#[derive(Debug, Args)]
pub struct Check {
    #[command(flatten)]
    design: Design,
    #[command(flatten)]
    surroundings: Surroundings,
    /// Seek what one change would mend of what fails: some seconds
    ///
    /// Parameters that bear on it are turned by their declared steps, each by itself, and the piece is made and judged anew
    /// until nothing fails. Told for each is the smallest such change, with what it costs in material.
    #[arg(long)]
    remedies: bool,
}

impl Check {
    pub(crate) fn run(&self, common: &Common, terminal: &Terminal) -> Result<Exit, Stopped> {
        let world = common.world();
        let request = self.surroundings.of(self.design.request(common, Vec::new()))?;
        let look = if self.remedies { check_with_remedies } else { check };
        let outcome = with_stack(|| look(&world, &request)).map_err(|trouble| vec![trouble])?;
        let Some(judged) = outcome.value else { return Err(outcome.diagnostics) };
        if terminal.is_json() {
            terminal.print_document("check", judged.json())?;
        } else {
            terminal.print(&judged.text())?;
        }
        terminal.tell(&outcome.diagnostics);
        Ok(if judged.fails() { Exit::Fails } else { Exit::of(&outcome.diagnostics) })
    }
}
