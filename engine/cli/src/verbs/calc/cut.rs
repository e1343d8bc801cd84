//! `slatwork calc cut`.

use super::Question;
use super::asked::{Asked, File};
use crate::arguments::Common;
use crate::terminal::Stopped;
use clap::Args;
use slatwork_base::Diagnostic;
use slatwork_project::calc;

/// The cheapest boards to cut parts from, how to cut them, and what proves that no plan is cheaper.
///
/// Asked by a file. A long search shows how far it is; Ctrl-C ends it with the best plan so far and what that may cost too
/// much, a second Ctrl-C ends the program. For example:
/// slatwork calc cut order.json --steps 1000000000
#[derive(Debug, Args)]
pub(super) struct Cut {
    #[command(flatten)]
    file: File,
    /// Most elementary steps for each instance, some thousand in a microsecond
    #[arg(long, value_name = "COUNT", value_parser = clap::value_parser!(u64).range(1..))]
    steps: Option<u64>,
    /// Also what shows that no plan costs less: with --format json whole, for another program to check
    #[arg(long)]
    certificate: bool,
}

impl Question for Cut {
    const NAME: &'static str = "cut";
    const MAY_BE_LONG: bool = true;

    fn file(&self) -> &File {
        &self.file
    }

    fn parse(text: &str) -> Result<calc::Question, Diagnostic> {
        calc::cut::parse(text)
    }

    fn ask(&self, asked: &mut Asked, _: &Common) -> Result<(), Stopped> {
        asked.set("steps", self.steps);
        asked.mark("certificate", self.certificate);
        Ok(())
    }
}
