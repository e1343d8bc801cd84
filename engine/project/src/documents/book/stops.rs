//! What is cut at one setting.

use super::super::{Paper, stops};
use super::words;
use slatwork_output::book::{Block, Chapter};

pub(super) fn chapter(paper: &Paper<'_>) -> Chapter {
    let mut blocks = vec![words(stops::HOW_TO_USE), words(paper.units.off_sentence())];
    blocks.extend(stops::nested(paper).map(words));
    // On the tape the true size is the mark and what it is off.
    blocks.push(Block::Table(paper.readable(paper.plan.stops_table().without("exact"))));
    super::chapter("stops", "Stops and settings", blocks)
}
