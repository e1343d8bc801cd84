//! Stops and settings: what is cut at one setting of fence, stop, mitre or blade.

use super::{Files, Paper};
use slatwork_base::Outcome;

pub(super) fn write(paper: &Paper<'_>) -> Outcome<Files> {
    let table = paper.plan.stops_table();
    paper.table_text(table.clone()).then(|body| {
        let mut page = paper.page("stops and settings");
        page.line("Work down the list: each setting once, everything that is cut at it together.");
        page.blank();
        let text = page.finish() + body.as_str();
        paper
            .table_files("stops", vec![table])
            .map(|files| [vec![("stops.txt".into(), text.into_bytes())], files].concat())
    })
}
