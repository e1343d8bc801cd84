//! The steps of assembly: what comes where, in which order, with which fasteners, and what to measure.

use super::page::Page;
use super::{Files, Paper};
use indexmap::IndexMap;
use slatwork_base::Outcome;
use slatwork_shop::{Assembly, AssemblyStep};

pub(super) fn write(paper: &Paper<'_>) -> Outcome<Files> {
    let text = text(paper, paper.assembly).into_bytes();
    let tables = paper.table_files("steps", vec![paper.assembly.moves_table(), paper.assembly.words_table()]);
    tables.map(|files| [vec![("steps.txt".into(), text)], files].concat())
}

/// What must be known to read the steps.
pub(super) const HOW_TO_READ: [&str; 2] = [
    "Directions are those of the finished piece, seen by someone facing the seat. Put everything together dry first, number the \
     joints, and take it apart again.",
    "Where a part goes is told on a board that stands: `its` sides are those of the part brought in, `the` sides those of the board it \
     is put on, called as in the cut list; a second part told as mirrored goes likewise on the other hand. Two figures `toward` two \
     sides are those of a line that runs askew: one is measured where it comes nearest to the one side, one at the other.",
];

/// Which parts carry which mark, in a sentence.
pub(super) fn marks_words(paper: &Paper<'_>) -> String {
    format!("Marks on the boards, as in the cut list: {}.", marks(paper))
}

fn text(paper: &Paper<'_>, assembly: &Assembly) -> String {
    let mut page = paper.page("steps of assembly");
    if !assembly.said.is_empty() {
        page.heading("The maker's words", '-');
        assembly.said.iter().for_each(|words| page.wrapped("  * ", words));
    }
    page.heading("Step by step", '-');
    HOW_TO_READ.iter().for_each(|words| page.wrapped("", words));
    page.blank();
    page.wrapped("", &marks_words(paper));
    for step in &assembly.steps {
        page.blank();
        step_words(&mut page, step);
    }
    page.finish()
}

/// "A front rail; B bearer, bearer 2; C seat slat 1 to seat slat 9": which parts carry which mark.
fn marks(paper: &Paper<'_>) -> String {
    let mut by_mark: IndexMap<&str, Vec<&str>> = IndexMap::new();
    for place in &paper.plan.shapes.places {
        by_mark.entry(&place.mark).or_default().push(&place.name);
    }
    let told = by_mark.iter().map(|(mark, names)| match names.as_slice() {
        [first, .., last] if names.len() > NAMED_SINGLY => {
            format!("{mark} {first} to {last} ({})", names.len())
        }
        _ => format!("{mark} {}", names.join(", ")),
    });
    told.collect::<Vec<_>>().join("; ")
}

/// Of more parts than this only the first and the last are named.
const NAMED_SINGLY: usize = 3;

fn step_words(page: &mut Page, step: &AssemblyStep) {
    page.wrapped(&format!("{:>3}. ", step.number), &step.title);
    step.text.iter().for_each(|words| page.wrapped("     ", words));
    if !step.tools.is_empty() {
        page.wrapped("     Tools: ", &format!("{}.", step.tools.join(", ")));
    }
    step.checks.iter().for_each(|words| page.wrapped("     Check: ", words));
}
