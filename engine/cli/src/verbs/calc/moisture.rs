//! `slatwork calc moisture`.

use super::Question;
use super::asked::{Asked, File, length, percent, temperature};
use crate::arguments::Common;
use crate::terminal::Stopped;
use clap::Args;

/// What moisture wood takes from the air, and how a board moves with it.
///
/// For example:
/// slatwork calc moisture --wood "white oak" --width 5-1/2in --from 8% --humidity 80% --temperature 50F
#[derive(Debug, Args)]
pub(super) struct Moisture {
    #[command(flatten)]
    file: File,
    /// A wood of the catalogue
    #[arg(long, value_name = "WOOD")]
    wood: Option<String>,
    /// Width of the board
    #[arg(long, value_name = "LENGTH", value_parser = length)]
    width: Option<String>,
    /// Thickness of the board
    #[arg(long, value_name = "LENGTH", value_parser = length)]
    thickness: Option<String>,
    /// Quarter-sawn; flat-sawn when left out
    #[arg(long)]
    quarter: bool,
    /// Moisture of the wood when it is worked
    #[arg(long, value_name = "PERCENT", value_parser = percent)]
    from: Option<f64>,
    /// Or the humidity of the air it is worked in
    #[arg(long, value_name = "PERCENT", value_parser = percent, conflicts_with = "from")]
    from_humidity: Option<f64>,
    /// with its temperature; 20C when left out
    #[arg(long, value_name = "TEMPERATURE", value_parser = temperature, requires = "from_humidity", allow_hyphen_values = true)]
    from_temperature: Option<f64>,
    /// Moisture of the wood in the end
    #[arg(long, value_name = "PERCENT", value_parser = percent)]
    to: Option<f64>,
    /// Or the humidity of the air it comes to stand in
    #[arg(long, value_name = "PERCENT", value_parser = percent, conflicts_with = "to")]
    humidity: Option<f64>,
    /// with its temperature; 20C when left out
    #[arg(long, value_name = "TEMPERATURE", value_parser = temperature, requires = "humidity", allow_hyphen_values = true)]
    temperature: Option<f64>,
}

impl Question for Moisture {
    const NAME: &'static str = "moisture";

    fn file(&self) -> &File {
        &self.file
    }

    fn ask(&self, asked: &mut Asked, _: &Common) -> Result<(), Stopped> {
        asked.set("wood", self.wood.clone());
        asked.set("width", self.width.clone());
        asked.set("thickness", self.thickness.clone());
        asked.set("sawn", self.quarter.then_some("quarter"));
        asked.set("from.percent", self.from);
        asked.set("from.humidity_percent", self.from_humidity);
        asked.set("from.temperature_c", self.from_temperature);
        asked.set("to.percent", self.to);
        asked.set("to.humidity_percent", self.humidity);
        asked.set("to.temperature_c", self.temperature);
        Ok(())
    }
}
