//! The bill of materials.

use super::hanging::what_it_hangs_from;
use super::page::{Page, area, counted, density, run, small_area};
use super::{Files, Paper};
use slatwork_base::{Area, Outcome};
use slatwork_shop::SPARES_RULE;

pub(super) fn write(paper: &Paper<'_>) -> Outcome<Files> {
    let tables = vec![paper.plan.bill_table(), paper.plan.hardware_table(), paper.plan.finishing_table()];
    text(paper).then(|text| {
        paper
            .table_files("bill", tables)
            .map(|files| [vec![("bill.txt".into(), text.into_bytes())], files].concat())
    })
}

fn text(paper: &Paper<'_>) -> Outcome<String> {
    // The words tell it as well.
    let hardware = paper.plan.hardware_table().without("working_load");
    let has_hardware = !hardware.rows.is_empty();
    // No metric yard counts in board feet.
    let inch = paper.units.tape().is_inch();
    let lumber = paper.plan.bill_table();
    let lumber = paper.table_text(if inch { lumber } else { lumber.without("board_feet") });
    let hardware = if has_hardware { paper.table_text(hardware) } else { Outcome::fine(String::new()) };
    lumber.then(|lumber| {
        hardware.map(|hardware| {
            let mut page = paper.page("bill of materials");
            page.blank();
            let head = page.finish();
            let mut rest = Page::default();
            if has_hardware {
                under_hardware(paper).iter().for_each(|words| rest.wrapped("", words));
            }
            wood(paper).iter().chain(&finish(paper)).for_each(|words| rest.wrapped("", words));
            what_it_hangs_from(&mut rest, paper);
            [head, lumber, String::from("\n"), hardware, String::from("\n"), rest.finish()].concat()
        })
    })
}

/// What spares are reckoned by, and what the rated loads mean.
pub(super) fn under_hardware(paper: &Paper<'_>) -> Vec<String> {
    let rated = paper.plan.bill.hardware.iter().any(|line| line.rated.is_some()).then(|| {
        String::from(
            "Rated loads are what the catalogue gives for a pull in line; an eye pulled aslant carries less. Buy nothing that hangs \
             people by size alone: what is stamped on the piece counts.",
        )
    });
    [format!("Spares: {SPARES_RULE}.")].into_iter().chain(rated).collect()
}

fn wood(paper: &Paper<'_>) -> Vec<String> {
    let line = |line: &slatwork_shop::WoodLine| {
        format!(
            "{} of {}: {}, at {} as the catalogue gives for 12 % moisture.",
            counted(line.parts, "finished part"),
            line.species_name,
            paper.units.mass_text(line.mass_kg),
            density(paper.units, line.density_kg_m3),
        )
    };
    paper.plan.bill.wood.iter().map(line).collect()
}

/// What is spread and rounded.
pub(super) fn finish(paper: &Paper<'_>) -> Vec<String> {
    let bill = &paper.plan.bill;
    let surface = format!("Surface to finish: {}, walls of holes left out.", area(paper.units, bill.surface));
    let glue = (bill.glue > Area::default()).then(|| {
        format!("Glue to spread: {}, one of two faces that meet.", small_area(paper.units, bill.glue))
    });
    let edge = |edge: &slatwork_shop::EdgeLine| {
        let (radius, length) = (paper.units.text(edge.radius), run(paper.units, edge.length));
        format!("Edges rounded to {radius}: {length}.")
    };
    [surface].into_iter().chain(glue).chain(bill.edges.iter().map(edge)).collect()
}
