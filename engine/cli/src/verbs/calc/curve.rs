//! `slatwork calc curve`.

use super::Question;
use super::asked::{Asked, File, length};
use crate::arguments::Common;
use crate::terminal::Stopped;
use clap::Args;

/// A curve over a chord: a circle by two of its figures, or a bent batten.
///
/// For example:
/// slatwork calc curve --chord 48in --rise 6in --steps 12
#[derive(Debug, Args)]
pub(super) struct Curve {
    #[command(flatten)]
    file: File,
    /// circle, batten (bent by pushing its ends together), or nailed-batten (held at both ends, pushed at the crown)
    #[arg(long, value_name = "WORD")]
    curve: Option<String>,
    /// From end to end
    #[arg(long, value_name = "LENGTH", value_parser = length)]
    chord: Option<String>,
    /// From the chord to the crown
    #[arg(long, value_name = "LENGTH", value_parser = length)]
    rise: Option<String>,
    /// Radius of a circle, in place of chord or rise
    #[arg(long, value_name = "LENGTH", value_parser = length)]
    radius: Option<String>,
    /// Heights at so many equal steps of the chord; 8 when left out
    #[arg(long, value_name = "COUNT")]
    steps: Option<u32>,
    /// Thickness of what is bent: how sharply
    #[arg(long, value_name = "LENGTH", value_parser = length)]
    thickness: Option<String>,
}

impl Question for Curve {
    const NAME: &'static str = "curve";

    fn file(&self) -> &File {
        &self.file
    }

    fn ask(&self, asked: &mut Asked, _: &Common) -> Result<(), Stopped> {
        asked.set("curve", self.curve.clone());
        asked.set("chord", self.chord.clone());
        asked.set("rise", self.rise.clone());
        asked.set("radius", self.radius.clone());
        asked.set("steps", self.steps);
        asked.set("thickness", self.thickness.clone());
        Ok(())
    }
}
