//! Where every part stands in the finished piece, to hold what was built against.

use super::super::Paper;
use super::{heading, table_of_words, words};
use slatwork_base::{Length, Tape};
use slatwork_output::Table;
use slatwork_output::book::Block;
use slatwork_solid::DVec3;

/// The table, and how it is read.
pub(super) fn blocks(paper: &Paper<'_>) -> Vec<Block> {
    let far = paper.units.text(slope_length(paper));
    vec![
        heading("Where every part stands"),
        words(format!(
            "Where the datum corner of each board stands once all is together, the corner of its datum end, datum edge and back face \
             before anything is sawn off there: to the right of the outermost left of the piece, to the rear of its foremost, up from its \
             lowest. Then where the board leads from there: from its datum end over its whole length, and from its datum edge over {far} \
             of a straightedge laid on across it."
        )),
        Block::Table(table(paper)),
    ]
}

fn table(paper: &Paper<'_>) -> Table {
    let low = outermost(paper);
    let size = |set| paper.plan.cut_list.rows.iter().find(|row| row.mark == set).map(|row| row.length);
    let rows = paper.plan.shapes.places.iter().map(|place| {
        let corner = (place.corner - low).to_array().map(|mm| paper.units.rule_text(Length::mm(mm)));
        let length = size(place.mark.as_str()).unwrap_or_default();
        let leads = [leads(paper, place.along, length), leads(paper, place.across, slope_length(paper))];
        [vec![place.name.clone(), place.mark.clone()], corner.to_vec(), leads.to_vec()].concat()
    });
    let columns = [
        ("part", "part"),
        ("mark", "mark"),
        ("right", "right"),
        ("rear", "rear"),
        ("up", "up"),
        ("along", "datum end to far end"),
        ("across", "datum edge to far edge"),
    ];
    table_of_words(paper, "standing", "Datum corners in the piece", &columns, rows)
}

/// The lowest, foremost, leftmost of all parts, mm.
fn outermost(paper: &Paper<'_>) -> DVec3 {
    let parts = paper.model.parts.iter();
    let points = parts
        .flat_map(|part| part.solid.mesh().positions.iter().map(|point| part.pose.transform_point3(*point)));
    points.reduce(DVec3::min).unwrap_or(DVec3::ZERO)
}

/// Over how long a straightedge the lean across a board is told: long enough that a mark of the rule is a small angle.
fn slope_length(paper: &Paper<'_>) -> Length {
    if paper.units.tape() == Tape::Mm { Length::mm(1000.0) } else { Length::inch(12.0) }
}

/// `right`; of what leans how far it comes each way: `40 1/2" rear, 3 1/16" down`.
fn leads(paper: &Paper<'_>, direction: DVec3, length: Length) -> String {
    const WAYS: [[&str; 2]; 3] = [["left", "right"], ["front", "rear"], ["down", "up"]];
    let reach = direction.to_array().map(|share| Length::mm(share * length.as_mm()));
    let told: Vec<(String, &str)> = reach
        .into_iter()
        .zip(WAYS)
        .filter(|(reach, _)| paper.units.rule().read(*reach).mark != Length::ZERO)
        .map(|(reach, [back, on])| {
            (paper.units.rule_text(reach.abs()), if reach.is_positive() { on } else { back })
        })
        .collect();
    match told.as_slice() {
        [(_, way)] => (*way).to_string(),
        several => several.iter().map(|(far, way)| format!("{far} {way}")).collect::<Vec<_>>().join(", "),
    }
}
