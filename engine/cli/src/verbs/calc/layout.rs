//! `slatwork calc layout`.

use super::Question;
use super::asked::{Asked, File, length};
use crate::arguments::Common;
use crate::terminal::Stopped;
use clap::Args;
use serde_json::Value;

/// Slats over a width: how many, which is ripped, where each begins.
///
/// For example:
/// slatwork calc layout --room 47in --slat 3-1/2in --gap 1/4in
#[derive(Debug, Args)]
pub(super) struct Layout {
    #[command(flatten)]
    file: File,
    /// Between the sides
    #[arg(long, value_name = "LENGTH", value_parser = length, required_unless_present = "path")]
    room: Option<String>,
    /// Width of a slat; several are laid in turn
    #[arg(long, value_name = "LENGTH", value_parser = length, required_unless_present = "path")]
    slat: Vec<String>,
    /// Clear distance between neighbours
    #[arg(long, value_name = "LENGTH", value_parser = length)]
    gap: Option<String>,
    /// Laid from: first-side, or outward from a centre-slat or a centre-gap
    #[arg(long, value_name = "WORD")]
    start: Option<String>,
    /// Where a remainder goes: filler, filler-first, filler-second-from-the-end, both-ends, gaps
    #[arg(long, value_name = "WORD")]
    odd: Option<String>,
    /// A fixed number of slats: the gaps then close the run
    #[arg(long, value_name = "COUNT")]
    count: Option<u32>,
    /// Narrowest slat to rip; 1in when left out
    #[arg(long, value_name = "LENGTH", value_parser = length)]
    least: Option<String>,
}

impl Question for Layout {
    const NAME: &'static str = "layout";

    fn file(&self) -> &File {
        &self.file
    }

    fn ask(&self, asked: &mut Asked, _: &Common) -> Result<(), Stopped> {
        asked.set("room", self.room.clone());
        // One width of a file gives way to those of the flag.
        asked.set("slat", (!self.slat.is_empty()).then_some(Value::Null));
        asked.set("slats", (!self.slat.is_empty()).then(|| self.slat.clone()));
        asked.set("gap", self.gap.clone());
        asked.set("start", self.start.clone());
        asked.set("odd", self.odd.clone());
        asked.set("count", self.count);
        asked.set("least", self.least.clone());
        Ok(())
    }
}
