//! The hole list: every hole, where to mark it and how to bore it.

use super::{Files, Paper};
use slatwork_base::Outcome;

pub(super) fn write(paper: &Paper<'_>) -> Outcome<Files> {
    let table = paper.plan.holes_table();
    let body = if table.rows.is_empty() {
        Outcome::fine(String::from("There are no holes.\n"))
    } else {
        paper.table_text(table.clone())
    };
    body.then(|body| {
        let mut page = paper.page("holes");
        page.line("Each board lies marked face up, datum edge toward you, datum end to the left.");
        page.blank();
        let text = page.finish() + body.as_str();
        paper
            .table_files("holes", vec![table])
            .map(|files| [vec![("holes.txt".into(), text.into_bytes())], files].concat())
    })
}
