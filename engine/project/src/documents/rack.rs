//! What the rack holds once all is cut, as a catalogue file for the next piece.

use super::Paper;
use super::purchase::{labels, left_in};
use indexmap::IndexMap;
use slatwork_base::{Length, Tape};
use slatwork_catalog::{DEFECT_SIDES, Defect, Offcut};
use slatwork_shop::purchase::clear_stretches;
use std::collections::BTreeSet;
use std::ops::Range;

/// The file. Offcuts that were given and not used stay; what is left of the boards comes after them, under its labels.
pub(super) fn text(paper: &Paper<'_>) -> String {
    let mut rack = Rack { tape: paper.units.tape(), entries: IndexMap::new() };
    for (place, offcut) in paper.catalogue.rack().iter().enumerate() {
        add_rest(&mut rack, paper, offcut, &used(paper, place));
    }
    let alike = paper.plan.purchase.alike();
    for (own, numbers) in alike.iter().zip(labels(paper, &alike)) {
        let Some(numbers) = numbers else { continue };
        let board = own.layout;
        let begin = board.length - board.trim_high - board.offcut;
        let shifted = |defect: Defect| Defect {
            from: (defect.from - begin).max(Length::ZERO),
            to: defect.to - begin,
            ..defect
        };
        let left = left_in(paper, board).filter(|defect| defect.to > begin).map(shifted);
        let from = board.stretch.and_then(|own| paper.catalogue.rack().get(own.offcut));
        let labels: Vec<String> = numbers.map(|number| format!("R{number}")).collect();
        rack.add(
            [&board.section, &board.species],
            from.and_then(|offcut| offcut.grade.as_deref()),
            (board.offcut, &left.collect::<Vec<_>>()),
            (own.boards.len(), &labels),
        );
    }
    format!(
        "# What the rack holds once \"{}\" is cut. Give it as a catalogue for the next piece, in place of the offcuts\n\
         # that you gave for this one.\n{}",
        paper.model.title.replace(char::is_control, " "),
        rack.text()
    )
}

/// What stays of an entry of which this is used: whole boards, and clear stretches of boards that were cut for others.
fn add_rest(rack: &mut Rack, paper: &Paper<'_>, offcut: &Offcut, used: &[(usize, Range<Length>)]) {
    let (what, grade) = ([offcut.section.as_str(), &offcut.species], offcut.grade.as_deref());
    let boards: BTreeSet<usize> = used.iter().map(|own| own.0).collect();
    // Of boards without defects the first are used first.
    let is_left = |which: &usize| match offcut.defects.is_empty() {
        true => *which >= used.len(),
        false => !boards.contains(which),
    };
    let left: Vec<usize> = (0..offcut.count as usize).filter(is_left).collect();
    let labels: Vec<String> = left.iter().filter_map(|which| offcut.labels.get(*which).cloned()).collect();
    rack.add(what, grade, (offcut.length, &offcut.defects), (left.len(), &labels));
    let tools = paper.catalogue.tools();
    for board in boards.iter().filter(|_| !offcut.defects.is_empty()) {
        for (from, to) in clear_stretches(offcut, tools.crosscut_kerf) {
            let is_used = used.iter().any(|own| own.0 == *board && own.1.start < to && from < own.1.end);
            if !is_used && to - from >= tools.least_offcut {
                rack.add(what, grade, (to - from, &[]), (1, &[]));
            }
        }
    }
}

/// What is cut from the boards of an entry: which of them, and from where to where.
fn used(paper: &Paper<'_>, place: usize) -> Vec<(usize, Range<Length>)> {
    let layouts = paper.plan.purchase.layouts.iter();
    let own = layouts.filter_map(|board| board.stretch.map(|stretch| (stretch, board.length)));
    own.filter(|(stretch, _)| stretch.offcut == place)
        .map(|(stretch, length)| (stretch.board, stretch.from..stretch.from + length))
        .collect()
}

/// Entries by what they are, so that equal ones are one: how many, and their labels.
struct Rack {
    tape: Tape,
    entries: IndexMap<String, (usize, Vec<String>)>,
}

impl Rack {
    fn add(
        &mut self,
        [section, species]: [&str; 2],
        grade: Option<&str>,
        (length, defects): (Length, &[Defect]),
        (count, labels): (usize, &[String]),
    ) {
        if count == 0 {
            return;
        }
        // What defects are measured on must not be shorter than they reach.
        let length = match defects.is_empty() {
            true => self.tape.text(self.tape.mark_below(length)),
            false => exact(length),
        };
        let mut what =
            format!("section = {}\nspecies = {}\nlength = '{length}'\n", quoted(section), quoted(species));
        if let Some(grade) = grade {
            what += &format!("grade = {}\n", quoted(grade));
        }
        if !defects.is_empty() {
            let told: Vec<String> = defects.iter().map(defect_words).collect();
            what += &format!("defects = [{}]\n", told.join(", "));
        }
        let entry = self.entries.entry(what).or_default();
        entry.0 += count;
        entry.1.extend_from_slice(labels);
    }

    fn text(&self) -> String {
        let entry = |(what, (count, labels)): (&String, &(usize, Vec<String>))| {
            let told: Vec<String> = labels.iter().map(|label| quoted(label)).collect();
            let labels =
                if told.is_empty() { String::new() } else { format!("labels = [{}]\n", told.join(", ")) };
            format!("\n[[offcut]]\n{what}count = {count}\n{labels}")
        };
        self.entries.iter().map(entry).collect()
    }
}

fn defect_words(own: &Defect) -> String {
    let side = DEFECT_SIDES.iter().find(|(side, _)| *side == own.side).map_or("both", |(_, word)| word);
    format!("{{ from = '{}', to = '{}', side = \"{side}\" }}", exact(own.from), exact(own.to))
}

/// A length as it was given, in millimetres.
fn exact(length: Length) -> String {
    Tape::Exact.text(length)
}

/// A text as TOML holds it; control characters have no place on a label.
fn quoted(text: &str) -> String {
    let plain = text.replace(char::is_control, " ");
    format!("\"{}\"", plain.replace('\\', "\\\\").replace('"', "\\\""))
}
