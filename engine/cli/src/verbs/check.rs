//! `slatwork check`: one design under every check.

use super::design::Design;
use crate::Exit;
use crate::arguments::Common;
use crate::terminal::{Stopped, Terminal};
use clap::Args;
use slatwork_project::{Request, check, check_with_remedies, conditions, with_stack};

/// Put one design under every check: making, strength, balance, hanging, body, fit and weather.
///
/// What fails comes first and in full, with its case, sources and help; ends with exit code 1 when something fails.
/// Tells how heavy people may be as well. Lengths are told on both tapes, whatever `--units` says.
/// `slatwork explain CODE` says more of each.
#[derive(Debug, Args)]
pub struct Check {
    #[command(flatten)]
    design: Design,
    /// Air of the place, over what the site says: temperate, damp coast, dry inland, humid south; or its relative humidity, with
    /// temperatures if they are known: "30..80%", "30..80% 5..30C"
    #[arg(long, value_name = "NAME|AIR")]
    climate: Option<String>,
    /// It stands under a roof that keeps rain off
    #[arg(long)]
    covered: bool,
    /// Salt water or a pool is near
    #[arg(long)]
    salt: bool,
    /// Class of the glue: D3, D4, type I, ...
    #[arg(long, value_name = "CLASS")]
    glue: Option<String>,
    /// What the wood is treated with: none, copper, borate, ...
    #[arg(long, value_name = "NAME")]
    preservative: Option<String>,
    /// Seek what one change would mend of what fails: some seconds
    ///
    /// Parameters that bear on it are turned by their declared steps, each by itself, and the piece is made and judged anew
    /// until nothing fails. Told for each is the smallest such change, with what it costs in material.
    #[arg(long)]
    remedies: bool,
}

impl Check {
    pub(crate) fn run(&self, common: &Common, terminal: &Terminal) -> Result<Exit, Stopped> {
        let (glue, preservative) = (self.glue.as_deref(), self.preservative.as_deref());
        let conditions =
            conditions(self.covered, self.salt, glue, preservative).map_err(|trouble| vec![trouble])?;
        let (world, request) = (common.world(), self.design.request(common, Vec::new()));
        let request = Request { climate: self.climate.clone(), ..request };
        let look = if self.remedies { check_with_remedies } else { check };
        let outcome = with_stack(|| look(&world, &request, conditions)).map_err(|trouble| vec![trouble])?;
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
