//! `slatwork list`: what there is to choose from.

use crate::Exit;
use crate::arguments::Common;
use crate::terminal::{Stopped, Terminal};
use clap::{Args, ValueEnum};
use slatwork_base::{Diagnostic, Place, Tape};
use slatwork_output::Table;
use slatwork_project::{Library, Script, Units, catalogue, listing, with_stack};

/// List what there is to choose from.
#[derive(Debug, Args)]
pub struct List {
    /// What to list
    #[arg(value_enum)]
    what: What,
    /// For `parameters` and `presets`: the family
    #[arg(value_name = "FAMILY")]
    family: Option<String>,
    /// For `families`: their parameters too
    #[arg(long, short)]
    verbose: bool,
    /// A TOML catalogue file laid over all others
    #[arg(long, value_name = "FILE")]
    measured: Vec<String>,
}

/// What can be listed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum What {
    /// Furniture families
    Families,
    /// Parameters of a family, or of all
    Parameters,
    /// Named sets of values of a family, or of all
    Presets,
    /// Woods
    Species,
    /// Lumber sections
    Sizes,
    /// Screws, bolts, nails, dowels
    Fasteners,
    /// Eyes, chains, links, hooks
    Hardware,
    /// What boards, hardware, consumables and delivery cost
    Prices,
    /// Operations of the shop, and how long they take
    Operations,
    /// Hourly rates, taxes, shares and fees
    Terms,
    /// Kinds of joint
    Joints,
    /// Checks
    Checks,
    /// Documents and their JSON Schemas
    Formats,
    /// Every script that was found, and what is wrong with those left out
    PlugIns,
}

impl List {
    pub(crate) fn run(&self, common: &Common, terminal: &Terminal) -> Result<Exit, Stopped> {
        let tape = Units::from(common.units).tape();
        let (table, told) = match self.what {
            What::Formats => (listing::formats(), Vec::new()),
            What::Species
            | What::Sizes
            | What::Fasteners
            | What::Hardware
            | What::Prices
            | What::Operations
            | What::Terms => self.of_catalogue(common, tape)?,
            _ => self.of_scripts(common, tape)?,
        };
        if table.rows.is_empty() && !terminal.is_json() {
            terminal.print(&format!("{}: none yet\n", table.title))?;
        } else {
            terminal.print_table(&table)?;
        }
        terminal.tell(&told);
        Ok(Exit::of(&told))
    }

    fn of_catalogue(&self, common: &Common, tape: Tape) -> Result<(Table, Vec<Diagnostic>), Stopped> {
        let world = common.world();
        let outcome = with_stack(|| catalogue(&world, &self.measured)).map_err(|trouble| vec![trouble])?;
        let Some(catalogue) = outcome.value else { return Err(outcome.diagnostics) };
        let table = match self.what {
            What::Species => listing::species(&catalogue, tape),
            What::Sizes => listing::sizes(&catalogue, tape),
            What::Hardware => listing::hardware(&catalogue),
            What::Prices => listing::prices(&catalogue, tape),
            What::Operations => listing::operations(&catalogue),
            What::Terms => listing::terms(&catalogue),
            _ => listing::fasteners(&catalogue, tape),
        };
        Ok((table, outcome.diagnostics))
    }

    fn of_scripts(&self, common: &Common, tape: Tape) -> Result<(Table, Vec<Diagnostic>), Stopped> {
        let world = common.world();
        let outcome = with_stack(|| listing::library(&world)).map_err(|trouble| vec![trouble])?;
        let Some(library) = outcome.value else { return Err(outcome.diagnostics) };
        let table = match self.what {
            What::Families if !self.verbose => listing::families(&library, tape),
            What::Families | What::Parameters => listing::parameters(self.chosen(&library)?, tape),
            What::Presets => listing::presets(self.chosen(&library)?, tape),
            What::Joints => listing::joints(&library, tape),
            What::Checks => listing::checks(&library, tape),
            _ => listing::plug_ins(&library, tape),
        };
        // Other lists stay quiet about faulty scripts: this is the one that tells them.
        let told = if self.what == What::PlugIns { outcome.diagnostics } else { Vec::new() };
        Ok((table, told))
    }

    /// The family that is named, or all.
    fn chosen<'l>(&self, library: &'l Library) -> Result<Vec<&'l Script>, Stopped> {
        listing::chosen(library, self.family.as_deref()).map_err(|troubles| {
            let named = |trouble: Diagnostic| match (&trouble.place, &self.family) {
                (None, Some(family)) => trouble.at(Place::Named(family.clone())),
                _ => trouble,
            };
            troubles.into_iter().map(named).collect()
        })
    }
}
