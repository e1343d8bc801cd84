//! True outlines of shaped parts as DXF, in millimetres.

use super::drawings::file_stem;
use super::{Files, Paper};
use slatwork_base::Outcome;
use slatwork_output::drawing::part_outline;
use slatwork_output::dxf;

pub(super) fn write(paper: &Paper<'_>) -> Outcome<Files> {
    let mut outcome = Outcome::fine(Files::new());
    for row in &paper.plan.shapes.outlines {
        let Some(set) = paper.model.sets.get(row.set.0) else { continue };
        let Some(first) = set.parts.first() else { continue };
        let sheet = part_outline(&paper.model.part(*first).solid, &row.mark, paper.units.tape());
        outcome = outcome.then(|mut files| {
            dxf::write(&sheet).map(|bytes| {
                // The unit stands in the name: readers of this release of DXF may not look for it in the file.
                files.push((format!("outlines/{}_mm.dxf", file_stem(set)), bytes));
                files
            })
        });
    }
    outcome
}
