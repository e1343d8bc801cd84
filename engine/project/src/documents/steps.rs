//! The steps of assembly: what comes where, in which order, with which fasteners, and what to measure.

use super::page::Page;
use super::{Files, Paper};
use slatwork_base::Outcome;
use slatwork_shop::{Assembly, AssemblyStep};

pub(super) fn write(paper: &Paper<'_>) -> Outcome<Files> {
    let text = text(paper, paper.assembly).into_bytes();
    let tables = paper.table_files("steps", vec![paper.assembly.moves_table(), paper.assembly.words_table()]);
    tables.map(|files| [vec![("steps.txt".into(), text)], files].concat())
}

fn text(paper: &Paper<'_>, assembly: &Assembly) -> String {
    let mut page = paper.page("steps of assembly");
    if !assembly.said.is_empty() {
        page.heading("The maker's words", '-');
        assembly.said.iter().for_each(|words| page.wrapped("  * ", words));
    }
    page.heading("Step by step", '-');
    page.wrapped("", "Directions are those of the finished piece, seen by someone facing the seat. Put everything together dry \
                      first, number the joints, and take it apart again.");
    for step in &assembly.steps {
        page.blank();
        step_words(&mut page, step);
    }
    page.finish()
}

fn step_words(page: &mut Page, step: &AssemblyStep) {
    page.wrapped(&format!("{:>3}. ", step.number), &step.title);
    step.text.iter().for_each(|words| page.wrapped("     ", words));
    if !step.tools.is_empty() {
        page.wrapped("     Tools: ", &format!("{}.", step.tools.join(", ")));
    }
    step.checks.iter().for_each(|words| page.wrapped("     Check: ", words));
}
