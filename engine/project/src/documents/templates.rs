//! Full-size templates of the parts that need one: for a printer, for a machine, and a page to measure the printer by.

use super::drawings::{as_sawn, file_stem, notes};
use super::{Files, Paper};
use slatwork_base::Outcome;
use slatwork_model::{Feature, FeatureKind, NotchPurpose, Part, PartSet, When};
use slatwork_output::template::{
    Late, PatternOf, Template, calibration, half_pattern, pages, pattern, whole,
};
use slatwork_output::{dxf, pdf, svg};
use slatwork_shop::{CutRow, HoleRow, Reading, purpose_word, when_words};
use slatwork_solid::{DVec3, Tag};

pub(super) fn write(paper: &Paper<'_>) -> Outcome<Files> {
    let sets = paper.model.sets.iter().filter(|set| !set.parts.is_empty());
    let made: Vec<(String, Made)> =
        sets.filter_map(|set| Some((file_stem(set), template(paper, set)?))).collect();
    let mut outcome = Outcome::fine(Files::new());
    let mut list = Vec::new();
    for (stem, template) in &made {
        outcome = outcome.then(|files| one(paper, stem, template, files, &mut list));
    }
    let calibration = calibration(paper.printing, &list);
    outcome.then(|mut files| {
        if list.is_empty() {
            return Outcome::fine(files);
        }
        pdf::write_pages(&calibration, "Calibration").map(|bytes| {
            files.insert(0, (String::from("templates/calibration.pdf"), bytes));
            files
        })
    })
}

/// The template of a set.
struct Made {
    /// All of it, for machines.
    whole: Template,
    /// What is printed, where half of it is enough.
    half: Option<Template>,
}

/// A template's three files; its sheets are counted in the list.
fn one(
    paper: &Paper<'_>,
    stem: &str,
    template: &Made,
    mut files: Files,
    list: &mut Vec<(String, usize)>,
) -> Outcome<Files> {
    let sheet = whole(&template.whole);
    let template = template.half.as_ref().unwrap_or(&template.whole);
    svg::write(&sheet, stem).then(|picture| {
        let revision = revision(&picture);
        let title = format!("{} {}", template.mark, template.name);
        let printed = pages(template, paper.printing, &revision);
        list.push((title.clone(), printed.drawn.len()));
        let pages = [printed.first, printed.drawn].concat();
        pdf::write_pages(&pages, &format!("{}: template of {title}", paper.model.title)).then(|printed| {
            dxf::write(&sheet).map(|machine| {
                files.push((format!("templates/{stem}.pdf"), printed));
                files.push((format!("templates/{stem}.svg"), picture));
                // The unit stands in the name: readers of this release of DXF may not look for it in the file.
                files.push((format!("templates/{stem}_mm.dxf"), machine));
                files
            })
        })
    })
}

/// The same for the same template and another for any other (FNV-1a, 32 bits).
fn revision(picture: &[u8]) -> String {
    let mixed = |hash: u32, byte: &u8| (hash ^ u32::from(*byte)).wrapping_mul(0x0100_0193);
    format!("{:08x}", picture.iter().fold(0x811c_9dc5, mixed))
}

fn template(paper: &Paper<'_>, set: &PartSet) -> Option<Made> {
    let part = paper.model.part(set.parts[0]);
    let row = paper.plan.cut_list.rows.iter().find(|row| row.set == set.id)?;
    let holes: Vec<HoleRow> = paper
        .plan
        .holes
        .rows
        .iter()
        .filter(|hole| hole.set == set.id)
        .map(|hole| told(hole, paper))
        .collect();
    let size = DVec3::new(part.length.as_mm(), part.width.as_mm(), part.thickness.as_mm());
    let rows: Vec<&HoleRow> = holes.iter().collect();
    let straight = row.sprung.is_some().then(|| as_sawn(part, size, &rows)).flatten();
    let (hand, late) = (hand(row), late(part));
    let notes = notes(row, Reading::from(paper.units.tape()));
    let of = PatternOf {
        mark: &set.mark,
        name: &set.name,
        quantity: set.parts.len(),
        hand: &hand,
        solid: straight.as_ref().unwrap_or(&part.solid),
        late: &late,
        holes: &holes,
        notes: &notes,
        tape: paper.units.tape(),
    };
    Some(Made { whole: pattern(&of)?, half: half_pattern(&of) })
}

/// A hole as the papers speak of it.
fn told(hole: &HoleRow, paper: &Paper<'_>) -> HoleRow {
    let purpose = Reading::from(paper.units.tape()).purpose_text(&hole.purpose);
    HoleRow { purpose, ..hole.clone() }
}

fn hand(row: &CutRow) -> String {
    row.pair.as_ref().map_or(String::new(), |(mate, _)| {
        format!("Mirror image of {mate} ({}): this one turned over makes {mate}.", row.hand_word)
    })
}

/// Work that is done in place, or marked from or drilled through another part.
fn late(part: &Part) -> Vec<Late> {
    let is_late = |feature: &&Feature| feature.when != When::AtBench;
    part.features.iter().filter(is_late).filter_map(late_work).collect()
}

fn late_work(feature: &Feature) -> Option<Late> {
    let (what, tags): (String, Vec<Tag>) = match &feature.kind {
        FeatureKind::Outline { line, what } => {
            (what.clone(), line.segments().iter().map(|segment| segment.tag).collect())
        }
        FeatureKind::EndCut { plane, .. } => (String::from("end"), vec![plane.tag]),
        FeatureKind::BevelRip { plane, .. } => (String::from("edge"), vec![plane.tag]),
        FeatureKind::Notch { regions, purpose, .. } => {
            let walls = regions.iter().flat_map(|region| &region.planes);
            (notch_word(purpose), walls.map(|wall| wall.tag).collect())
        }
        _ => return None,
    };
    let is_sawn = !matches!(feature.kind, FeatureKind::Notch { .. });
    let until = if is_sawn { "; leave the wood on until then" } else { "" };
    Some(Late { tags, words: format!("{what}: {}{until}", when_words(&feature.when)) })
}

fn notch_word(purpose: &NotchPurpose) -> String {
    match purpose {
        NotchPurpose::Plain => String::from("notch"),
        other => purpose_word(other),
    }
}
