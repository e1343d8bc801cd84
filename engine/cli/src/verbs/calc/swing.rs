//! `slatwork calc swing`.

use super::Question;
use super::asked::{Asked, File, degrees, mass, metres};
use crate::arguments::Common;
use crate::terminal::Stopped;
use clap::Args;

/// How a swing hangs by its chains, or what swinging asks of them.
///
/// The flags ask what swinging asks of all chains together; how a seat hangs is asked by a file. For example:
/// slatwork calc swing --load 400lb --radius 6ft --angle 20deg
#[derive(Debug, Args)]
pub(super) struct Swing {
    #[command(flatten)]
    file: File,
    /// Weight of the people and the seat: 400lb, 180kg
    #[arg(long, value_name = "WEIGHT", value_parser = mass, required_unless_present = "path")]
    load: Option<f64>,
    /// From the hooks down to their common centre of gravity
    #[arg(long, value_name = "LENGTH", value_parser = metres, required_unless_present = "path")]
    radius: Option<f64>,
    /// Radius of gyration about that centre; 0 when left out
    #[arg(long, value_name = "LENGTH", value_parser = metres)]
    gyration: Option<f64>,
    /// How far it is swung from rest
    #[arg(long, value_name = "ANGLE", value_parser = degrees, required_unless_present = "path")]
    angle: Option<f64>,
}

impl Question for Swing {
    const NAME: &'static str = "swing";

    fn file(&self) -> &File {
        &self.file
    }

    fn ask(&self, asked: &mut Asked, _: &Common) -> Result<(), Stopped> {
        asked.set("mass", self.load);
        asked.set("radius", self.radius);
        asked.set("gyration", self.gyration);
        asked.set("amplitude_deg", self.angle);
        Ok(())
    }
}
