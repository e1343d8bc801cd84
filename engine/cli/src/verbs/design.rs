//! The arguments that name a design and its variant, shared by the verbs that make one.

use crate::arguments::Common;
use clap::Args;
use slatwork_base::{Diagnostic, Place};
use slatwork_project::{Caution, Kind, PrintSettings, Request};

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
