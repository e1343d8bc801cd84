//! The shapes: with cut list and holes, all that another program needs to rebuild each part and the piece.

use super::{Files, Paper};
use slatwork_base::Outcome;

pub(super) fn write(paper: &Paper<'_>) -> Outcome<Files> {
    let plan = paper.plan;
    let tables = vec![
        plan.planes_table(),
        plan.notches_table(),
        plan.notch_walls_table(),
        plan.outlines_table(),
        plan.places_table(),
    ];
    paper.table_files("shapes", tables)
}
