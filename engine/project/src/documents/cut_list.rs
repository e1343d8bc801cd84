//! The cut list: parts by section, each with its sizes and how it is made.

use super::page::{Page, counted};
use super::purchase::numbers;
use super::{Files, Paper};
use indexmap::IndexMap;
use slatwork_base::Outcome;
use slatwork_model::Blank;
use slatwork_shop::{CutRow, CutStep};

pub(super) fn write(paper: &Paper<'_>) -> Outcome<Files> {
    let text = text(paper);
    let tables = vec![paper.plan.cut_list_table(), paper.plan.steps_table()];
    paper
        .table_files("cutlist", tables)
        .map(|files| [vec![("cutlist.txt".into(), text.into_bytes())], files].concat())
}

/// How a board lies while it is marked.
pub(super) const HOW_IT_LIES: &str =
    "Each board lies marked face up, datum edge toward you, datum end to the left.";

fn text(paper: &Paper<'_>) -> String {
    let mut page = paper.page("cut list");
    page.line(HOW_IT_LIES);
    page.line(paper.units.off_sentence());
    for ((section, species), rows) in by_section(&paper.plan.cut_list.rows) {
        let wood = paper.catalogue.species(species).map_or(species, |species| species.name.as_str());
        let parts: usize = rows.iter().map(|row| row.quantity).sum();
        page.heading(&format!("{section}, {wood}: {}", counted(parts, "part")), '-');
        for row in rows {
            set(&mut page, paper, row);
        }
    }
    page.finish()
}

/// Sets by section and species, in the order in which they first come up.
fn by_section(rows: &[CutRow]) -> IndexMap<(&str, &str), Vec<&CutRow>> {
    let mut groups: IndexMap<(&str, &str), Vec<&CutRow>> = IndexMap::new();
    for row in rows {
        groups.entry((&row.section, &row.species)).or_default().push(row);
    }
    groups
}

fn set(page: &mut Page, paper: &Paper<'_>, row: &CutRow) {
    let size = |length| paper.units.true_text(length);
    page.blank();
    page.line(&format!(
        "{:<3} {}   {} long, {} wide, {} thick   {}",
        row.mark,
        pieces(row),
        size(row.length),
        size(row.width),
        size(row.thickness),
        row.name,
    ));
    before(row).iter().for_each(|words| page.wrapped("    ", words));
    for (index, step) in row.steps.iter().enumerate() {
        page.wrapped(&format!("    {:>2}. ", index + 1), &step_words(step));
    }
    after(paper, row).iter().for_each(|words| page.wrapped("    ", words));
}

/// What is told of a set before its steps.
pub(super) fn before(row: &CutRow) -> Vec<String> {
    let pair = row.pair.as_ref().map(|(mate, words)| format!("Mirrored pair with {mate}: {words}."));
    let glued = match &row.blank {
        Blank::GluedUp { strips, .. } => Some(format!("Glued up from {}.", counted(strips.len(), "strip"))),
        Blank::Solid => None,
    };
    pair.into_iter().chain(glued).collect()
}

/// A step with its time.
pub(super) fn step_words(step: &CutStep) -> String {
    let when = if step.when == AT_BENCH { String::new() } else { format!(" ({})", step.when) };
    format!("{}{when}.", step.words)
}

/// What is told of a set after its steps.
pub(super) fn after(paper: &Paper<'_>, row: &CutRow) -> Vec<String> {
    let parts = row.told_parts().map(|parts| format!("For {parts}."));
    nested(paper, row).into_iter().chain(parts).collect()
}

/// Which boards have a part of this set in a nest, and what is then done in another way.
fn nested(paper: &Paper<'_>, row: &CutRow) -> Option<String> {
    let purchase = &paper.plan.purchase;
    let mut boards = purchase.nested(&row.mark);
    let (all, wanted) = (boards.len(), row.quantity * purchase.pieces.max(1));
    boards.dedup();
    let which = if all == wanted { String::from("Nested") } else { format!("{all} of {wanted} nested") };
    (all > 0).then(|| {
        format!(
            "{which} on {}: traced from the template where purchase.txt says, and sawn apart. Instead of what is cut to a rough \
             size or sawn in a stack above, saw it out there; mark its holes from the template, true its straight edges and square \
             ends to the line, and fair equal parts together.",
            numbers(&boards).to_lowercase()
        )
    })
}

/// The time that goes without saying.
pub(super) const AT_BENCH: &str = "at the bench";

/// `x 12`, always as wide.
fn pieces(row: &CutRow) -> String {
    format!("x {:<3}", row.quantity)
}
