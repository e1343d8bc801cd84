//! The arguments that name a design and its variant, shared by the verbs that make one.

use crate::arguments::Common;
use clap::Args;
use slatwork_base::{Diagnostic, Place};
use slatwork_project::{Caution, Conditions, Kind, PrintSettings, Request, conditions};

/// A design and its variant.
#[derive(Debug, Args)]
pub(crate) struct Design {
    /// A family by its name, or the path of a script (it ends in .rhai)
    #[arg(value_name = "FAMILY|FILE")]
    design: String,
    /// Set a parameter: --set width=5ft
    #[arg(long = "set", value_name = "NAME=VALUE", value_parser = setting)]
    settings: Vec<(String, String)>,
    /// A preset of the family, under whatever is set
    #[arg(long, value_name = "NAME")]
    preset: Option<String>,
    /// A TOML file with the place: hook_height = "84in", ...
    #[arg(long, value_name = "FILE")]
    site: Option<String>,
    /// A TOML file with the people
    #[arg(long, value_name = "FILE")]
    people: Option<String>,
    /// A TOML catalogue file laid over all others: what the tape says of your boards, what your yard stocks
    #[arg(long, value_name = "FILE")]
    measured: Vec<String>,
    /// A caution that you accept, so that what it guards is told: hanging
    #[arg(long = "accept", value_name = "NAME", value_parser = Caution::named)]
    accepted: Vec<Caution>,
}

/// What the piece lives in.
#[derive(Debug, Args)]
pub(crate) struct Surroundings {
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
}

impl Surroundings {
    /// A request judged for them.
    pub(crate) fn of(&self, request: Request) -> Result<Request, Vec<Diagnostic>> {
        let (glue, preservative) = (self.glue.as_deref(), self.preservative.as_deref());
        let conditions =
            conditions(self.covered, self.salt, glue, preservative).map_err(|trouble| vec![trouble])?;
        Ok(Request { climate: self.climate.clone(), conditions, ..request })
    }
}

fn setting(text: &str) -> Result<(String, String), String> {
    match text.split_once('=') {
        Some((name, value)) if !name.trim().is_empty() => {
            Ok((name.trim().to_string(), value.trim().to_string()))
        }
        _ => Err(String::from("write it as NAME=VALUE, for example width=5ft")),
    }
}

impl Design {
    /// What is asked of the engine.
    pub(crate) fn request(&self, common: &Common, only: Vec<Kind>) -> Request {
        Request {
            design: self.design.clone(),
            preset: self.preset.clone(),
            settings: self.settings.clone(),
            site: self.site.clone(),
            people: self.people.clone(),
            climate: None,
            conditions: Conditions::default(),
            measured: self.measured.clone(),
            pieces: 1,
            units: common.units.into(),
            only,
            book_page: None,
            accepted: self.accepted.iter().copied().collect(),
            print: PrintSettings::default(),
        }
    }
}

/// Kinds of papers by their names; all mistakes are told.
pub(crate) fn kinds(names: &[String]) -> Result<Vec<Kind>, Vec<Diagnostic>> {
    let (mut kinds, mut troubles) = (Vec::new(), Vec::new());
    for name in names {
        match Kind::named(name.trim()) {
            Ok(kind) => kinds.push(kind),
            Err(trouble) => troubles.push(trouble.at(Place::Named(String::from("--only")))),
        }
    }
    if troubles.is_empty() { Ok(kinds) } else { Err(troubles) }
}
