//! `slatwork calc hang`.

use super::Question;
use super::asked::{Asked, File, degrees, length, mass};
use crate::arguments::Common;
use crate::terminal::Stopped;
use clap::Args;
use serde_json::json;
use slatwork_base::Length;
use slatwork_project::{Caution, World, read_site};
use std::collections::BTreeSet;

/// Hanging a seat at a place: which link, how it hangs, what each hook bears.
///
/// For example:
/// slatwork calc hang --hook-height 94in --hook-spacing 66in --eye-height 20in --eye-spacing 62in --eye-depth 18in
/// --link 1.22in --fittings 4in --load 400lb --seat 80lb
#[derive(Debug, Args)]
pub(super) struct Hang {
    #[command(flatten)]
    file: File,
    /// A TOML file with the place: its hook_height and hook_spacing
    #[arg(long, value_name = "FILE")]
    site: Option<String>,
    /// From the floor to where the chain bears on the hooks
    #[arg(long, value_name = "LENGTH", value_parser = length, required_unless_present_any = ["path", "site"])]
    hook_height: Option<String>,
    /// Between the left and the right hooks
    #[arg(long, value_name = "LENGTH", value_parser = length, required_unless_present_any = ["path", "site"])]
    hook_spacing: Option<String>,
    /// Between front and rear hooks; one hook a side when left out
    #[arg(long, value_name = "LENGTH", value_parser = length)]
    hook_depth: Option<String>,
    /// From the floor to where the chain bears on the eyes
    #[arg(long, value_name = "LENGTH", value_parser = length, required_unless_present = "path")]
    eye_height: Option<String>,
    /// Between the left and the right eyes
    #[arg(long, value_name = "LENGTH", value_parser = length, required_unless_present = "path")]
    eye_spacing: Option<String>,
    /// Between front and rear eyes
    #[arg(long, value_name = "LENGTH", value_parser = length, required_unless_present = "path")]
    eye_depth: Option<String>,
    /// Inside length of a link
    #[arg(long, value_name = "LENGTH", value_parser = length, required_unless_present = "path")]
    link: Option<String>,
    /// What quick links, rings and the like take up of each chain
    #[arg(long, value_name = "LENGTH", value_parser = length)]
    fittings: Option<String>,
    /// How far the rear shall hang down; 0 when left out
    #[arg(long, value_name = "ANGLE", value_parser = degrees, allow_hyphen_values = true)]
    tilt: Option<f64>,
    /// Weight of the people: 400lb, 180kg
    #[arg(long, value_name = "WEIGHT", value_parser = mass, required_unless_present = "path")]
    load: Option<f64>,
    /// Weight of the seat itself
    #[arg(long, value_name = "WEIGHT", value_parser = mass)]
    seat: Option<f64>,
    /// From the front eyes back to the load; the middle when left out
    #[arg(long, value_name = "LENGTH", value_parser = length, allow_hyphen_values = true)]
    load_back: Option<String>,
    /// Height of the load over the eyes; 10in when left out
    #[arg(long, value_name = "LENGTH", value_parser = length, allow_hyphen_values = true)]
    load_up: Option<String>,
    /// How far it will be swung; 20deg when left out
    #[arg(long, value_name = "ANGLE", value_parser = degrees)]
    swing: Option<f64>,
    /// A caution that you accept, so that what the hooks bear is told: hanging
    #[arg(long = "accept", value_name = "NAME", value_parser = Caution::named)]
    accepted: Vec<Caution>,
}

impl Hang {
    /// What the site says goes under the file and the flags.
    fn ask_site(&self, asked: &mut Asked, common: &Common) -> Result<(), Stopped> {
        let Some(path) = &self.site else { return Ok(()) };
        let text = common.world().read(path).map_err(|trouble| vec![trouble])?;
        let outcome = read_site(path, &text);
        let Some(site) = outcome.value else { return Err(outcome.diagnostics) };
        let mm = |length: Option<Length>| length.map(|length| json!(length.as_mm()));
        for (key, length) in [("hook_height", site.hook_height), ("hook_spacing", site.hook_spacing)] {
            if !asked.has(key) {
                asked.set(key, mm(length));
            }
        }
        Ok(())
    }
}

impl Question for Hang {
    const NAME: &'static str = "hang";

    fn file(&self) -> &File {
        &self.file
    }

    fn accepted(&self) -> BTreeSet<Caution> {
        self.accepted.iter().copied().collect()
    }

    fn ask(&self, asked: &mut Asked, common: &Common) -> Result<(), Stopped> {
        self.ask_site(asked, common)?;
        let lengths = [
            ("hook_height", &self.hook_height),
            ("hook_spacing", &self.hook_spacing),
            ("hook_depth", &self.hook_depth),
            ("eye_height", &self.eye_height),
            ("eye_spacing", &self.eye_spacing),
            ("eye_depth", &self.eye_depth),
            ("link", &self.link),
            ("fittings", &self.fittings),
            ("load_back", &self.load_back),
            ("load_up", &self.load_up),
        ];
        lengths.into_iter().for_each(|(key, length)| asked.set(key, length.clone()));
        let numbers = [
            ("tilt_deg", self.tilt),
            ("load_kg", self.load),
            ("seat_kg", self.seat),
            ("swing_deg", self.swing),
        ];
        numbers.into_iter().for_each(|(key, number)| asked.set(key, number));
        Ok(())
    }
}
