//! `slatwork calc frame`.

use super::Question;
use super::asked::{Asked, File, force, length, number};
use crate::arguments::Common;
use crate::terminal::Stopped;
use clap::Args;

/// A space frame under its load combinations.
///
/// A frame is asked by a file; the flags ask of two legs and a rail between them. For example:
/// slatwork calc frame --width 48in --height 17in --rail 2x6 --leg 2x4 --wood "white oak" --load 400lb --push 60lb
#[derive(Debug, Args)]
pub(super) struct Frame {
    #[command(flatten)]
    file: File,
    /// Between the middles of two legs
    #[arg(long, value_name = "LENGTH", value_parser = length, required_unless_present = "path")]
    width: Option<String>,
    /// From the floor to the middle of the rail
    #[arg(long, value_name = "LENGTH", value_parser = length, required_unless_present = "path")]
    height: Option<String>,
    /// Section of the rail, its width upright: 2x6
    #[arg(long, value_name = "SECTION", required_unless_present = "path")]
    rail: Option<String>,
    /// Section of the legs, their width along the rail: 2x4
    #[arg(long, value_name = "SECTION", required_unless_present = "path")]
    leg: Option<String>,
    /// A wood of the catalogue
    #[arg(long, value_name = "WOOD", required_unless_present = "path")]
    wood: Option<String>,
    /// On the middle of the rail: 400lb, 1.8kN
    #[arg(long, value_name = "FORCE", value_parser = force, required_unless_present = "path")]
    load: Option<f64>,
    /// Sideways on the end of the rail
    #[arg(long, value_name = "FORCE", value_parser = force)]
    push: Option<f64>,
    /// Stiffness of a joint between leg and rail, N m a radian; rigid when left out
    #[arg(long, value_name = "NUMBER", value_parser = number, allow_hyphen_values = true)]
    joint: Option<f64>,
}

impl Question for Frame {
    const NAME: &'static str = "frame";

    fn file(&self) -> &File {
        &self.file
    }

    fn ask(&self, asked: &mut Asked, _: &Common) -> Result<(), Stopped> {
        asked.set("portal.width", self.width.clone());
        asked.set("portal.height", self.height.clone());
        asked.set("portal.rail", self.rail.clone());
        asked.set("portal.leg", self.leg.clone());
        asked.set("portal.wood", self.wood.clone());
        asked.set("portal.load_n", self.load);
        asked.set("portal.push_n", self.push);
        asked.set("portal.joint_nm_per_rad", self.joint);
        Ok(())
    }
}
