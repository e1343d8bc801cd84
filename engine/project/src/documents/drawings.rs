//! Drawings: the whole piece on one sheet, and a sheet for each set of parts.

use super::cut_list::AT_BENCH;
use super::{Files, Kind, Paper, pictures, places};
use crate::Units;
use slatwork_base::Outcome;
use slatwork_model::{Model, Part, PartSet};
use slatwork_output::drawing::{
    Arrangement, Balloon, Body, HoleMark, PartSheet, Placed, arrangement, overall, part_sheet,
};
use slatwork_output::{Paper as PaperSize, Sheet, svg};
use slatwork_shop::{CutRow, HoleRow, Reading, Work, edges_words};
use slatwork_solid::{DVec3, Hole, HoleStep, Shape, Solid, build};

pub(super) fn write(paper: &Paper<'_>) -> Outcome<Files> {
    let mut outcome = sheet_file(Files::new(), &paper.sheets.general, "general");
    outcome = outcome.then(|files| sheet_file(files, &paper.sheets.exploded, "exploded"));
    for (set, sheet) in sets(paper.model).zip(&paper.sheets.parts) {
        outcome = outcome.then(|files| sheet_file(files, sheet, &file_stem(set)));
    }
    outcome.then(|mut files| {
        pictures::write(paper).map(|steps| {
            files.extend(steps);
            files
        })
    })
}

/// Every part in its place, in the order of the parts.
pub(super) fn bodies(model: &Model) -> Vec<Body<'_>> {
    let parts = model.parts.iter();
    parts.map(|part| Body { name: &part.name, solid: &part.solid, pose: part.pose }).collect()
}

/// The sets that have a sheet, in their order.
pub(super) fn sets(model: &Model) -> impl Iterator<Item = &PartSet> {
    model.sets.iter().filter(|set| !set.parts.is_empty())
}

/// The sheets that several papers show, each drawn once.
#[derive(Clone, Debug, Default)]
pub(crate) struct Sheets {
    /// The whole piece.
    pub(super) general: Sheet,
    /// Of each set that has one, in their order.
    pub(super) parts: Vec<Sheet>,
    /// How the boards are cut.
    pub(super) boards: Vec<Sheet>,
    /// The piece as it stands, without figures.
    pub(super) picture: Sheet,
    /// The piece taken apart.
    pub(super) exploded: Sheet,
    /// Of each step of assembly, in their order.
    pub(super) steps: Vec<Sheet>,
}

impl Sheets {
    /// Draws those that some of these papers need.
    pub(crate) fn of(paper: &Paper<'_>, is_wanted: impl Fn(Kind) -> bool) -> Sheets {
        let book = is_wanted(Kind::Book) || is_wanted(Kind::BookPdf);
        let (drawings, boards) = (book || is_wanted(Kind::Drawings), book || is_wanted(Kind::Boards));
        let piece = Placed::new(if drawings { bodies(paper.model) } else { Vec::new() });
        let parts = || match drawings {
            true => sets(paper.model).map(|set| part(paper, set)).collect(),
            false => Vec::new(),
        };
        let others = || Sheets {
            general: if drawings { whole(paper, &piece) } else { Sheet::default() },
            parts: Vec::new(),
            boards: if boards { super::boards::sheets(paper) } else { Vec::new() },
            picture: if book { super::book::cover::draw(paper, &piece) } else { Sheet::default() },
            ..Sheets::default()
        };
        let assembled = || match drawings {
            true => (pictures::exploded_sheet(paper, &piece), pictures::step_sheets(paper, &piece)),
            false => Default::default(),
        };
        let ((parts, others), (exploded, steps)) = rayon::join(|| rayon::join(parts, others), assembled);
        Sheets { parts, exploded, steps, ..others }
    }
}

pub(super) fn sheet_file(mut files: Files, sheet: &Sheet, stem: &str) -> Outcome<Files> {
    svg::write(sheet, stem).map(|bytes| {
        files.push((format!("drawings/{stem}.svg"), bytes));
        files
    })
}

/// `A_seat_slat`: mark and name, in letters that every file system takes.
pub(super) fn file_stem(set: &PartSet) -> String {
    let plain = |c: char| if c.is_ascii_alphanumeric() { c.to_ascii_lowercase() } else { '_' };
    let name: String = set.name.chars().map(plain).collect();
    format!("{}_{name}", set.mark)
}

fn whole(paper: &Paper<'_>, piece: &Placed<'_>) -> Sheet {
    let model = paper.model;
    arrangement(&Arrangement {
        title: &model.title,
        family: paper.family,
        piece,
        measures: &overall(piece),
        marks: &places::marks(model),
        remarks: &places::remarks(model),
        balloons: &balloons(model),
        tape: paper.units.tape(),
        paper: size(paper.units, true),
    })
}

/// The mark of each set and the bodies that carry it.
pub(super) fn balloons(model: &Model) -> Vec<Balloon> {
    let bodies = |set: &PartSet| set.parts.iter().map(|id| id.0).collect();
    model.sets.iter().map(|set| Balloon { mark: set.mark.clone(), bodies: bodies(set) }).collect()
}

/// Inch shops print on inch paper.
pub(super) fn size(units: Units, large: bool) -> PaperSize {
    match (units, large) {
        (Units::Mm, true) => PaperSize::A3,
        (Units::Mm, false) => PaperSize::A4,
        (_, true) => PaperSize::TABLOID,
        (_, false) => PaperSize::LETTER,
    }
}

fn part(paper: &Paper<'_>, set: &PartSet) -> Sheet {
    let part = paper.model.part(set.parts[0]);
    let row = paper.plan.cut_list.rows.iter().find(|row| row.set == set.id);
    let hand = row
        .and_then(|row| row.pair.as_ref())
        .map_or(String::new(), |(mate, words)| format!("pair with {mate}: {words}"));
    let species =
        paper.catalogue.species(&part.species).map_or(part.species.as_str(), |species| species.name.as_str());
    let wood = DVec3::new(part.length.as_mm(), part.width.as_mm(), part.thickness.as_mm());
    let rows: Vec<&HoleRow> = paper.plan.holes.rows.iter().filter(|hole| hole.set == set.id).collect();
    let reading = Reading::from(paper.units.tape());
    let read = |hole: &HoleRow| HoleRow { purpose: reading.purpose_text(&hole.purpose), ..hole.clone() };
    let holes: Vec<HoleMark> = rows.iter().map(|hole| HoleMark::of(&read(hole), wood)).collect();
    let straight = row.is_some_and(|row| row.sprung.is_some()).then(|| as_sawn(part, wood, &rows)).flatten();
    part_sheet(&PartSheet {
        piece: &paper.model.title,
        mark: &set.mark,
        name: &set.name,
        stock: &part.section,
        species,
        quantity: set.parts.len(),
        hand: &hand,
        solid: straight.as_ref().unwrap_or(&part.solid),
        size: wood,
        holes: &holes,
        notes: &row.map_or(Vec::new(), |row| notes(row, reading)),
        tape: paper.units.tape(),
        papers: &[false, true].map(|large| size(paper.units, large)),
    })
}

/// A part that is bent when fixed, as it lies on the bench: straight, with the holes of the hole list.
pub(super) fn as_sawn(part: &Part, size: DVec3, rows: &[&HoleRow]) -> Option<Solid> {
    let mut shape = Shape::board(size.x, size.y, size.z);
    shape.cuts = part.shape.cuts.clone();
    shape.notches = part.shape.notches.clone();
    let bare = shape.clone();
    shape.holes = rows.iter().zip(&part.shape.holes).map(|(row, own)| bored(row, own, size)).collect();
    build(&shape, &part.solid.tolerance()).or_else(|_| build(&bare, &part.solid.tolerance())).ok()
}

/// A hole as the hole list gives it, on the straight board.
fn bored(row: &HoleRow, own: &Hole, size: DVec3) -> Hole {
    let into = if row.side.high { -1.0 } else { 1.0 };
    let direction = |index: usize| row.lean[index].map_or(into, slatwork_base::Angle::tan);
    let steps = row.bores.iter().map(|bore| HoleStep {
        radius: bore.diameter.as_mm() / 2.0,
        depth: bore.to.map_or(f64::INFINITY, |to| (to - row.bores[0].from).as_mm()),
    });
    Hole {
        start: HoleMark::of(row, size).at,
        direction: DVec3::new(direction(0), direction(1), direction(2)).normalize(),
        steps: steps.collect(),
        tag: own.tag,
    }
}

/// What the views do not show: notches and springing as the cut list has them, what is done later, the softened edges.
pub(super) fn notes(row: &CutRow, reading: Reading) -> Vec<String> {
    // Where nothing is left over to saw off, or ripped, the list has no rough size either.
    let is_ripped = row.steps.iter().any(|step| step.work == Work::Rip);
    let rough = (row.rough_length > row.length || (row.rough_width != row.width && is_ripped))
        .then(|| String::from("see the cut list for its rough size"));
    let parts = row.told_parts().map(|parts| format!("for {parts}"));
    let told = row.steps.iter().filter_map(|step| {
        let late = if step.when == AT_BENCH { String::new() } else { format!(" ({})", step.when) };
        match step.work {
            Work::Notch | Work::Spring => Some(format!("{}{late}", step.words)),
            // What the holes are for, and when, stands with the holes.
            Work::Bore => None,
            _ if late.is_empty() => None,
            work => Some(format!("{}: {}", work.word(), step.when)),
        }
    });
    let soft = row
        .softened
        .iter()
        .map(|soft| format!("round over the {} to {}", edges_words(&soft.edges), reading.text(soft.radius)));
    let mut notes: Vec<String> = parts.into_iter().chain(rough).chain(told).chain(soft).collect();
    notes.dedup();
    notes
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Memory, Request, Workshop, with_stack};
    use slatwork_output::Figure;

    /// Looks at all sheets of a variant of the swing: the set, the texts of its sheet, its description.
    fn sheets(
        settings: &[(&str, &str)],
        mut look: impl FnMut(&Paper<'_>, &PartSet, Vec<String>, String) + Send,
    ) {
        let request =
            settings.iter().fold(Request::new("porch_swing"), |r, (name, value)| r.set(*name, *value));
        with_stack(|| {
            let workshop = Workshop::open(&Memory::default(), &request).value.expect("a workshop");
            let made = workshop.make(&[]).value.expect("it can be built");
            let paper = Paper {
                assembly: &slatwork_shop::Assembly::default(),
                family: "porch_swing",
                library: workshop.library(),
                values: &made.values,
                model: &made.model,
                plan: &made.plan,
                catalogue: workshop.catalogue(),
                units: Units::Inch,
                findings: &[],
                handed: None,
                printing: &crate::PrintSettings::default().read(Units::Inch).expect("as usual"),
                judged: None,
                sheets: &Sheets::default(),
                page: slatwork_output::book::Page::Letter,
            };
            for set in &made.model.sets {
                let sheet = part(&paper, set);
                let texts = sheet.plain_items().into_iter().filter_map(|item| match item.figure {
                    Figure::Text(text) => Some(text.text),
                    _ => None,
                });
                look(&paper, set, texts.collect(), sheet.description.clone());
            }
        })
        .expect("a thread");
    }

    fn reading(length: slatwork_base::Length) -> String {
        let text = Units::Inch.rule_text(length);
        if text == "0\"" { String::from("0") } else { text }
    }

    #[test]
    fn sheets_mark_every_hole_where_the_hole_list_does() {
        let mut leaning = 0;
        sheets(&[], |paper, set, texts, _| {
            for hole in paper.plan.holes.rows.iter().filter(|hole| hole.set == set.id) {
                leaning += usize::from(hole.lean_total.as_deg() > 1.0);
                for at in [hole.at[0], hole.at[1]].into_iter().flatten().map(reading) {
                    assert!(texts.contains(&at), "{} hole {}: no {at} in {texts:?}", set.mark, hole.number);
                }
            }
        });
        assert!(leaning >= 4, "the arms are bored in line with leaning chains");
    }

    #[test]
    fn notes_on_notches_are_those_of_the_cut_list() {
        let mut notches = 0;
        sheets(&[("arms", "straight"), ("back", "lengthwise slats")], |paper, set, texts, _| {
            let row = paper.plan.cut_list.rows.iter().find(|row| row.set == set.id).expect("a row");
            let all = texts.join(" ").split_whitespace().collect::<Vec<_>>().join(" ");
            for step in row.steps.iter().filter(|step| step.work == Work::Notch) {
                notches += 1;
                assert!(all.contains(&step.words), "{}: {} is not in {all}", set.mark, step.words);
            }
        });
        assert!(notches > 0);
    }

    #[test]
    fn a_sprung_slat_is_drawn_straight() {
        let mut sprung = 0;
        sheets(&[("seat", "dished")], |paper, set, texts, description| {
            let row = paper.plan.cut_list.rows.iter().find(|row| row.set == set.id).expect("a row");
            if row.sprung.is_some() {
                sprung += 1;
                assert!(description.contains("1\" thick"), "{description}");
                assert!(!texts.iter().any(|text| text == "Curve"), "{}: {texts:?}", set.mark);
                assert!(texts.iter().any(|text| text.starts_with("Leave straight")), "{texts:?}");
            }
        });
        assert!(sprung > 1);
    }
}
