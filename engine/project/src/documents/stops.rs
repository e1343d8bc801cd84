//! Stops and settings: what is cut at one setting of fence, stop, mitre or blade.

use super::{Files, Paper};
use slatwork_base::Outcome;

/// How the list is used.
pub(super) const HOW_TO_USE: &str =
    "Work down the list: each setting once, everything that is cut at it together.";

/// What is traced in a nest needs no fence and no stop for a rectangle of its own.
pub(super) fn nested(paper: &Paper<'_>) -> Option<String> {
    let purchase = &paper.plan.purchase;
    let rows = paper.plan.cut_list.rows.iter();
    let marks: Vec<&str> =
        rows.map(|row| row.mark.as_str()).filter(|mark| !purchase.nested(mark).is_empty()).collect();
    (!marks.is_empty()).then(|| {
        format!(
            "What purchase.txt has in a nest is traced on the board and sawn out, with no stop or fence for its rough size: {}.",
            marks.join(", ")
        )
    })
}

pub(super) fn write(paper: &Paper<'_>) -> Outcome<Files> {
    let table = paper.plan.stops_table();
    // On the tape the true size is the mark and what it is off.
    paper.table_text(table.clone().without("exact")).then(|body| {
        let mut page = paper.page("stops and settings");
        page.line(paper.units.off_sentence());
        page.line(HOW_TO_USE);
        if let Some(words) = nested(paper) {
            page.wrapped("", &words);
        }
        page.blank();
        let text = page.finish() + body.as_str();
        paper
            .table_files("stops", vec![table])
            .map(|files| [vec![("stops.txt".into(), text.into_bytes())], files].concat())
    })
}
