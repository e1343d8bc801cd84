//! `slatwork calc angle`.

use super::Question;
use super::asked::{Asked, File, degrees, length};
use crate::arguments::Common;
use crate::terminal::Stopped;
use clap::Args;

/// Saw settings of a leg that leans two ways, or of leaning sides that meet.
///
/// For example:
/// slatwork calc angle --rise 17in --splay 5deg --rake 8deg;
/// slatwork calc angle --lean 10deg --sides 4
#[derive(Debug, Args)]
pub(super) struct Angle {
    #[command(flatten)]
    file: File,
    /// Height of the leg, upright
    #[arg(long, value_name = "LENGTH", value_parser = length, conflicts_with_all = ["lean", "sides", "corner"])]
    rise: Option<String>,
    /// How far the leg leans sideways
    #[arg(long, value_name = "ANGLE", value_parser = degrees, allow_hyphen_values = true, requires = "rise")]
    splay: Option<f64>,
    /// How far the leg leans rearward
    #[arg(long, value_name = "ANGLE", value_parser = degrees, allow_hyphen_values = true, requires = "rise")]
    rake: Option<f64>,
    /// How far the sides lean outward from upright; 90deg for a flat frame
    #[arg(long, value_name = "ANGLE", value_parser = degrees)]
    lean: Option<f64>,
    /// How many sides, all alike
    #[arg(long, value_name = "COUNT", conflicts_with = "corner", requires = "lean")]
    sides: Option<u32>,
    /// Or the corner as seen from above
    #[arg(long, value_name = "ANGLE", value_parser = degrees, requires = "lean")]
    corner: Option<f64>,
}

impl Question for Angle {
    const NAME: &'static str = "angle";

    fn file(&self) -> &File {
        &self.file
    }

    fn ask(&self, asked: &mut Asked, _: &Common) -> Result<(), Stopped> {
        asked.set("rise", self.rise.clone());
        asked.set("splay_deg", self.splay);
        asked.set("rake_deg", self.rake);
        asked.set("lean_deg", self.lean);
        asked.set("sides", self.sides);
        asked.set("corner_deg", self.corner);
        Ok(())
    }
}
