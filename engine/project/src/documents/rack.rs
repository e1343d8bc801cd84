//! What the rack holds once all is cut, as a catalogue file for the next piece.

use super::Paper;
use super::purchase::{labels, left_in};
use slatwork_base::{Length, Tape};
use slatwork_catalog::{DEFECT_SIDES, Defect};
use slatwork_shop::purchase::clear_stretches;
use std::collections::BTreeSet;
use std::ops::Range;

/// The file. Offcuts that were given and not used stay; what is left of the boards comes after them, under its label.
pub(super) fn text(paper: &Paper<'_>) -> String {
    let mut text = format!(
        "# What the rack holds once \"{}\" is cut. Give it as a catalogue for the next piece, in place of the offcuts\n\
         # that you gave for this one.\n",
        paper.model.title.replace(char::is_control, " ")
    );
    for (place, offcut) in paper.catalogue.rack().iter().enumerate() {
        let used = used(paper, place);
        let what = [offcut.section.as_str(), &offcut.species];
        let boards: BTreeSet<usize> = used.iter().map(|own| own.0).collect();
        let taken = if offcut.defects.is_empty() { used.len() } else { boards.len() };
        let left = (offcut.count as usize).saturating_sub(taken);
        if left > 0 {
            entry(&mut text, paper, ("was there before", &offcut.defects), what, offcut.length, left);
        }
        // Clear stretches of a board that was cut for others.
        for board in boards.iter().filter(|_| !offcut.defects.is_empty()) {
            for (from, to) in clear_stretches(offcut, paper.catalogue.tools().crosscut_kerf) {
                let is_used = used.iter().any(|own| own.0 == *board && own.1.start < to && from < own.1.end);
                if !is_used && to - from >= paper.catalogue.tools().least_offcut {
                    let told = "rest of a board with defects";
                    entry(&mut text, paper, (told, &[]), what, to - from, 1);
                }
            }
        }
    }
    let alike = paper.plan.purchase.alike();
    for (own, label) in alike.iter().zip(labels(paper, &alike)) {
        if let Some(label) = label {
            let board = own.layout;
            let what = [board.section.as_str(), &board.species];
            let begin = board.length - board.trim_high - board.offcut;
            let shifted = |defect: Defect| Defect {
                from: (defect.from - begin).max(Length::ZERO),
                to: defect.to - begin,
                ..defect
            };
            let left: Vec<Defect> =
                left_in(paper, board).filter(|defect| defect.to > begin).map(shifted).collect();
            entry(&mut text, paper, (&label, &left), what, board.offcut, own.boards.len());
        }
    }
    text
}

/// What is cut from the boards of an entry: which of them, and from where to where.
fn used(paper: &Paper<'_>, place: usize) -> Vec<(usize, Range<Length>)> {
    let layouts = paper.plan.purchase.layouts.iter();
    let own = layouts.filter_map(|board| board.stretch.map(|stretch| (stretch, board.length)));
    own.filter(|(stretch, _)| stretch.offcut == place)
        .map(|(stretch, length)| (stretch.board, stretch.from..stretch.from + length))
        .collect()
}

fn entry(
    text: &mut String,
    paper: &Paper<'_>,
    (what, defects): (&str, &[Defect]),
    [section, species]: [&str; 2],
    length: Length,
    count: usize,
) {
    let tape = paper.units.tape();
    // What defects are measured on must not be shorter than they reach.
    let length = if defects.is_empty() { tape.text(tape.mark_below(length)) } else { exact(length) };
    let defect = |own: &Defect| {
        let side = DEFECT_SIDES.iter().find(|(side, _)| *side == own.side).map_or("both", |(_, word)| word);
        format!("{{ from = '{}', to = '{}', side = \"{side}\" }}", exact(own.from), exact(own.to))
    };
    let told: Vec<String> = defects.iter().map(defect).collect();
    let defects = if told.is_empty() { String::new() } else { format!("defects = [{}]\n", told.join(", ")) };
    text.push_str(&format!(
        "\n# {what}\n[[offcut]]\nsection = \"{section}\"\nspecies = \"{species}\"\nlength = '{length}'\ncount = {count}\n{defects}"
    ));
}

/// A length as it was given, in millimetres.
fn exact(length: Length) -> String {
    Tape::Exact.text(length)
}
