//! `slatwork batch`: many variants, one row each.

use super::design::Design;
use crate::Exit;
use crate::arguments::Common;
use crate::outside::Bar;
use crate::terminal::{Stopped, Terminal};
use clap::Args;
use slatwork_project::{Batch as Order, RowFormat, Tally, World, batch, with_stack};
use std::io::Write;

/// Make many variants of a design, one row each.
///
/// Rows come in the order of the variants, whatever the number of threads. A variant that cannot be built is a row that
/// says why. Exit code 0 when all rows are fine, 1 when some
/// fail a check, 2 when some cannot be built.
#[derive(Debug, Args)]
#[command(group = clap::ArgGroup::new("variants").required(true).multiple(true).args(["vary", "rows"]))]
pub struct Batch {
    #[command(flatten)]
    design: Design,
    /// A range with its step, or a list: width=48in..72in/6in, wood=cedar,white_oak; several make a grid
    #[arg(long, value_name = "NAME=VALUES")]
    vary: Vec<String>,
    /// A CSV file: a heading row of parameter names, one row a variant
    #[arg(long, value_name = "FILE", conflicts_with = "vary")]
    rows: Option<String>,
    /// Threads; as many as there are processors unless said
    #[arg(long, value_name = "COUNT", default_value_t = 0, hide_default_value = true)]
    threads: usize,
    /// File to write to, whole or not at all; without it the rows are printed as they come
    #[arg(long, value_name = "FILE")]
    out: Option<String>,
}

impl Batch {
    pub(crate) fn run(&self, common: &Common, terminal: &Terminal) -> Result<Exit, Stopped> {
        let order = Order {
            request: self.design.request(common, Vec::new()),
            vary: self.vary.clone(),
            rows: self.rows.clone(),
            threads: self.threads,
            format: if terminal.is_json() { RowFormat::JsonLines } else { RowFormat::Csv },
        };
        let world = common.world();
        let tally = match &self.out {
            Some(path) => to_file(&world, &order, path)?,
            None => make(&world, &order, &mut anstream::stdout())?,
        };
        terminal.say(&words(tally));
        Ok(match tally {
            Tally { not_built: 1.., .. } => Exit::CannotBuild,
            Tally { failing: 1.., .. } => Exit::Fails,
            _ => Exit::Fine,
        })
    }
}

/// Rows go to a file beside the one named, which takes its place when all are there.
fn to_file(world: &dyn World, order: &Order, path: &str) -> Result<Tally, Stopped> {
    let (mut tally, mut stopped) = (Tally::default(), Vec::new());
    let written = world.write_with(path, &mut |out| match make(world, order, out) {
        Ok(made) => {
            tally = made;
            Ok(())
        }
        Err(mut troubles) => {
            let first = troubles.remove(0);
            stopped = troubles;
            Err(first)
        }
    });
    written.map(|()| tally).map_err(|first| [vec![first], stopped].concat())
}

fn make(world: &dyn World, order: &Order, out: &mut (dyn Write + Send)) -> Result<Tally, Stopped> {
    let outcome = with_stack(|| {
        let bar = Bar::new();
        let outcome = batch(world, order, out, &|done, total| bar.show(done, total));
        bar.done();
        outcome
    });
    let outcome = outcome.map_err(|trouble| vec![trouble])?;
    outcome.value.ok_or(outcome.diagnostics)
}

fn words(tally: Tally) -> String {
    let Tally { fine, failing, not_built } = tally;
    let variants = if tally.rows() == 1 { "variant" } else { "variants" };
    format!("{} {variants}: {fine} fine, {failing} fail a check, {not_built} cannot be built", tally.rows())
}
