//! `slatwork calc frame`.

use super::Question;
use super::asked::{Asked, File};
use crate::arguments::Common;
use crate::terminal::Stopped;
use clap::Args;

/// A space frame under its load combinations.
///
/// For example:
/// slatwork calc frame bench.json --format json
#[derive(Debug, Args)]
pub(super) struct Frame {
    #[command(flatten)]
    file: File,
}

impl Question for Frame {
    const NAME: &'static str = "frame";

    fn file(&self) -> &File {
        &self.file
    }

    fn ask(&self, _: &mut Asked, _: &Common) -> Result<(), Stopped> {
        Ok(())
    }
}
