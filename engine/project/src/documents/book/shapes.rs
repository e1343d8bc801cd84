//! Shapes in figures: the planes of angled cuts and notches by three marks each, and the line that a sprung board is bent to.

use super::super::Paper;
use super::{list, table_of_words, words};
use slatwork_base::Length;
use slatwork_model::PartSet;
use slatwork_output::Table;
use slatwork_output::book::{Block, ListKind};
use slatwork_shop::{BoardSide, CutRow, NotchRow, OutlineRow, PlaneMarks, PlaneRow, arc_radius};
use slatwork_solid::Vertex;

/// How the tables of cuts are read, where there are any.
pub(super) fn how_to_read(paper: &Paper<'_>) -> Vec<Block> {
    let shapes = &paper.plan.shapes;
    if shapes.planes.is_empty() && shapes.notches.is_empty() {
        return Vec::new();
    }
    vec![
        words(
            "An angled cut or a wall of a notch is a plane, told by three marks on lines where sides of the finished board meet, each \
             measured from the side named. Strike the cut from the first mark to the second on one side of the board, and from the first \
             to the third on another. A mark may lie off the board, on a straightedge laid along it; one mark alone is square across.",
        ),
        list(
            ListKind::Plain,
            [
                "From the datum end: along the datum edge of the back face, along the far edge of the back face, along the datum edge of \
                 the marked face.",
                "From the datum edge: across the back face at the datum end, across the back face at the far end, across the marked face \
                 at the datum end.",
                "From the back face: through the board at the datum end of the datum edge, at the far end of the datum edge, at the datum \
                 end of the far edge.",
            ],
        ),
        words(
            "\"Beyond\" takes off what lies farther than the marks, \"before\" what lies nearer; a notch takes out what is taken off at all \
             of its walls, or at all walls of one of its parts. \"Scribed\": it follows a curve, and is drawn round the other part.",
        ),
    ]
}

/// The angled cuts and the notches of a set.
pub(super) fn cut_table(paper: &Paper<'_>, set: &PartSet) -> Option<Table> {
    let shapes = &paper.plan.shapes;
    let planes = shapes.planes.iter().filter(|row| row.set == set.id);
    let notches = shapes.notches.iter().filter(|row| row.set == set.id);
    let rows: Vec<Vec<String>> = planes
        .map(|row| plane_row(paper, row))
        .chain(notches.flat_map(|row| notch_rows(paper, row)))
        .collect();
    let columns = [
        ("cut", "cut"),
        ("from", "from the"),
        ("first", "first mark"),
        ("second", "second"),
        ("third", "third"),
        ("off", "off"),
        ("purpose", "for"),
        ("when", "when"),
    ];
    (!rows.is_empty()).then(|| {
        table_of_words(paper, "cuts", format!("Angled cuts and notches of {}", set.mark), &columns, rows)
    })
}

fn plane_row(paper: &Paper<'_>, row: &PlaneRow) -> Vec<String> {
    // What is kept lies on the side meant.
    let marks = marks_row(paper, &row.plane, !row.plane.beyond);
    [vec![format!("cut {}: {}", row.number, row.what)], marks, vec![String::new(), row.when.clone()]].concat()
}

/// A row for each wall; what it is for, and when, beside the first. One that follows a curve has no figures.
fn notch_rows(paper: &Paper<'_>, notch: &NotchRow) -> Vec<Vec<String>> {
    let name = format!("notch {}", notch.number);
    let told = [notch.purpose.clone(), notch.when.clone()];
    if notch.is_scribed() {
        let play = notch.clearance.filter(|play| play.is_positive());
        let play = play.map_or(String::new(), |play| format!("{} play", paper.units.text(play)));
        let scribed = ["scribed", play.as_str(), "", "", ""].map(String::from).to_vec();
        return vec![[vec![name], scribed, told.to_vec()].concat()];
    }
    let several = notch.regions.len() > 1;
    let mut rows: Vec<Vec<String>> = Vec::new();
    for (part, walls) in notch.regions.iter().enumerate() {
        let name = if several { format!("{name}, part {}", part + 1) } else { name.clone() };
        for wall in walls {
            let words = if rows.is_empty() { told.to_vec() } else { vec![String::new(); told.len()] };
            rows.push([vec![name.clone()], marks_row(paper, wall, wall.beyond), words].concat());
        }
    }
    rows
}

/// From where it is measured, the marks, and on which side of them the wood comes off.
fn marks_row(paper: &Paper<'_>, plane: &PlaneMarks, off_beyond: bool) -> Vec<String> {
    let [first, second, third] = plane.marks.map(|mark| paper.units.text(mark));
    let is_square = second == first && third == first;
    let (second, third) = if is_square { (String::new(), String::new()) } else { (second, third) };
    let from = BoardSide { along: plane.along, high: false }.word().to_string();
    vec![from, first, second, third, String::from(if off_beyond { "beyond" } else { "before" })]
}

/// The line that a board sawn straight is bent to when it is fixed.
pub(super) fn bent_table(paper: &Paper<'_>, row: &CutRow) -> Option<Table> {
    let bent = |own: &&OutlineRow| own.set == row.set && row.sprung.is_some();
    let outline = paper.plan.shapes.outlines.iter().find(bent)?;
    let vertices = &outline.sheet.profile.vertices;
    let rows = vertices.iter().enumerate().map(|(index, vertex)| {
        let next = vertices[(index + 1) % vertices.len()];
        let place = [vertex.point.x, vertex.point.y].map(|mm| paper.units.text(Length::mm(mm)));
        [vec![(index + 1).to_string()], place.to_vec(), vec![run_words(paper, *vertex, next)]].concat()
    });
    let columns = [
        ("corner", "corner"),
        ("from_end", "from datum end"),
        ("from_face", "from back face"),
        ("run", "to the next corner"),
    ];
    let title = format!("The line that {} is bent to, on its datum edge", row.mark);
    Some(table_of_words(paper, "bent", title, &columns, rows))
}

/// How an outline runs from a corner to the next.
fn run_words(paper: &Paper<'_>, from: Vertex, to: Vertex) -> String {
    let Some(radius) = arc_radius(from.point.distance(to.point), from.bulge) else {
        return String::from("straight");
    };
    let form = if from.bulge > 0.0 { "rounded outward" } else { "hollow" };
    format!("arc of {} radius, {form}", paper.units.text(radius))
}
