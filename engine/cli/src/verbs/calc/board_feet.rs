//! `slatwork calc board-feet`.

use super::Question;
use super::asked::{Asked, File, length, percent};
use crate::arguments::Common;
use crate::terminal::Stopped;
use clap::Args;
use serde_json::json;

/// Board feet, volume and weight of boards.
///
/// For example:
/// slatwork calc board-feet --section 5/4x6 --length 12ft --count 8 --wood "white oak"
#[derive(Debug, Args)]
pub(super) struct BoardFeet {
    #[command(flatten)]
    file: File,
    /// A section of the catalogue: 2x4
    #[arg(long, value_name = "SECTION", conflicts_with_all = ["thickness", "width"])]
    section: Option<String>,
    /// Or its thickness
    #[arg(long, value_name = "LENGTH", value_parser = length, requires = "width")]
    thickness: Option<String>,
    /// and width
    #[arg(long, value_name = "LENGTH", value_parser = length, requires = "thickness")]
    width: Option<String>,
    /// Length of a board
    #[arg(long, value_name = "LENGTH", value_parser = length, required_unless_present = "path")]
    length: Option<String>,
    /// How many boards
    #[arg(long, value_name = "COUNT")]
    count: Option<u32>,
    /// A wood of the catalogue; no weight without
    #[arg(long, value_name = "WOOD")]
    wood: Option<String>,
    /// Moisture of the wood; 12% when left out
    #[arg(long, value_name = "PERCENT", value_parser = percent)]
    moisture: Option<f64>,
}

impl Question for BoardFeet {
    const NAME: &'static str = "board-feet";

    fn file(&self) -> &File {
        &self.file
    }

    /// Flags ask of one kind of board, in place of a file's.
    fn ask(&self, asked: &mut Asked, _: &Common) -> Result<(), Stopped> {
        let mut board = Asked::default();
        board.set("section", self.section.clone());
        board.set("thickness", self.thickness.clone());
        board.set("width", self.width.clone());
        board.set("length", self.length.clone());
        board.set("count", self.count);
        board.set("wood", self.wood.clone());
        board.set("moisture_percent", self.moisture);
        let is_asked = !board.question().is_empty();
        asked.set("boards", is_asked.then(|| json!([board.question()])));
        Ok(())
    }
}
