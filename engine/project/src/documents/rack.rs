//! What the rack holds once all is cut, as a catalogue file for the next piece.

use super::Paper;
use super::purchase::labels;
use slatwork_base::Length;
use slatwork_shop::purchase::BoardSource;

/// The file. Offcuts that were given and not used stay; what is left of the boards comes after them, under its label.
pub(super) fn text(paper: &Paper<'_>) -> String {
    let mut text = format!(
        "# What the rack holds once \"{}\" is cut. Give it as a catalogue for the next piece, in place of the offcuts\n\
         # that you gave for this one.\n",
        paper.model.title
    );
    let layouts = &paper.plan.purchase.layouts;
    for offcut in paper.catalogue.rack() {
        let is_this = |board: &&slatwork_shop::BoardLayout| {
            board.from == BoardSource::Rack
                && (&board.section, &board.species, board.length)
                    == (&offcut.section, &offcut.species, offcut.length)
        };
        let used = layouts.iter().filter(is_this).count();
        let left = (offcut.count as usize).saturating_sub(used);
        if left > 0 {
            entry(
                &mut text,
                paper,
                "was there before",
                [&offcut.section, &offcut.species],
                offcut.length,
                left,
            );
        }
    }
    let alike = paper.plan.purchase.alike();
    for (own, label) in alike.iter().zip(labels(paper, &alike)) {
        if let Some(label) = label {
            let board = own.layout;
            entry(&mut text, paper, &label, [&board.section, &board.species], board.offcut, own.boards.len());
        }
    }
    text
}

fn entry(
    text: &mut String,
    paper: &Paper<'_>,
    what: &str,
    [section, species]: [&str; 2],
    length: Length,
    count: usize,
) {
    let tape = paper.units.tape();
    let length = tape.text(tape.mark_below(length));
    text.push_str(&format!(
        "\n# {what}\n[[offcut]]\nsection = \"{section}\"\nspecies = \"{species}\"\nlength = '{length}'\ncount = {count}\n"
    ));
}
