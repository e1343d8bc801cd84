//! Drawings: the whole piece on one sheet, and a sheet for each set of parts.

use super::{Files, Paper};
use crate::Units;
use slatwork_base::Outcome;
use slatwork_model::{Feature, FeatureKind, Part, PartSet};
use slatwork_output::drawing::{Arrangement, Balloon, Body, PartSheet, arrangement, overall, part_sheet};
use slatwork_output::{Paper as PaperSize, Sheet, svg};
use slatwork_shop::{CutRow, NotchRow};
use slatwork_solid::Tag;

pub(super) fn write(paper: &Paper<'_>) -> Outcome<Files> {
    let mut outcome = sheet_file(Files::new(), &whole(paper), "general");
    for set in paper.model.sets.iter().filter(|set| !set.parts.is_empty()) {
        outcome = outcome.then(|files| sheet_file(files, &part(paper, set), &file_stem(set)));
    }
    outcome
}

fn sheet_file(mut files: Files, sheet: &Sheet, stem: &str) -> Outcome<Files> {
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

fn whole(paper: &Paper<'_>) -> Sheet {
    let model = paper.model;
    let bodies: Vec<Body<'_>> = model
        .parts
        .iter()
        .map(|part| Body { name: &part.name, solid: &part.solid, pose: part.pose })
        .collect();
    let balloon =
        |set: &PartSet| Balloon { mark: set.mark.clone(), bodies: set.parts.iter().map(|id| id.0).collect() };
    let balloons: Vec<Balloon> = model.sets.iter().map(balloon).collect();
    arrangement(&Arrangement {
        title: &model.title,
        family: paper.family,
        bodies: &bodies,
        measures: &overall(&bodies),
        balloons: &balloons,
        tape: paper.units.tape(),
        paper: size(paper.units, true),
    })
}

/// Inch shops print on inch paper.
fn size(units: Units, large: bool) -> PaperSize {
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
    part_sheet(&PartSheet {
        piece: &paper.model.title,
        mark: &set.mark,
        name: &set.name,
        stock: &part.section,
        species,
        quantity: set.parts.len(),
        hand: &hand,
        solid: &part.solid,
        features: &features(paper, set, part),
        notes: &row.map_or(Vec::new(), notes),
        tape: paper.units.tape(),
        paper: size(paper.units, false),
    })
}

/// What made the surfaces that a drawing cannot name by itself.
fn features(paper: &Paper<'_>, set: &PartSet, part: &Part) -> Vec<(Tag, String)> {
    let rows = paper.plan.shapes.notches.iter().filter(|row| row.set == set.id);
    let notch = |row: &NotchRow| Some((row.tag?, row.purpose.clone()));
    let hole = |feature: &Feature| match &feature.kind {
        FeatureKind::Hole { hole, what, .. } => Some((hole.tag, what.clone())),
        _ => None,
    };
    rows.filter_map(notch).chain(part.features.iter().filter_map(hole)).collect()
}

/// What the views do not show: the steps that come later or before, and the softened edges.
fn notes(row: &CutRow) -> Vec<String> {
    let rough = (row.rough_length != row.length || row.rough_width != row.width)
        .then(|| String::from("see the cut list for its rough size"));
    let later = row
        .steps
        .iter()
        .filter(|step| step.when != "at the bench")
        .map(|step| format!("{}: {}", step.work.word(), step.when));
    let soft = row.softened.iter().map(|soft| format!("round over {}", soft.edges));
    let mut notes: Vec<String> = rough.into_iter().chain(later).chain(soft).collect();
    notes.dedup();
    notes
}
