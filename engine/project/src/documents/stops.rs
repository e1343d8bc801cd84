//! Stops and settings: what is cut at one setting of fence, stop, mitre or blade.

use super::{Files, Paper};
use slatwork_base::Outcome;

pub(super) fn write(paper: &Paper<'_>) -> Outcome<Files> {
    let table = paper.plan.stops_table();
    // On the tape the true size is the mark and what it is off.
    paper.table_text(table.clone().without("exact")).then(|body| {
        let mut page = paper.page("stops and settings");
        page.line(paper.units.off_sentence());
        page.line("Work down the list: each setting once, everything that is cut at it together.");
        page.blank();
        let text = page.finish() + body.as_str();
        paper
            .table_files("stops", vec![table])
            .map(|files| [vec![("stops.txt".into(), text.into_bytes())], files].concat())
    })
}
