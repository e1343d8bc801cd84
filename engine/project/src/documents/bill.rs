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
                rest.wrapped("", &format!("Spares: {SPARES_RULE}."));
                rated(&mut rest, paper);
            }
            wood(&mut rest, paper);
            finish(&mut rest, paper);
            what_it_hangs_from(&mut rest, paper);
            [head, lumber, String::from("\n"), hardware, String::from("\n"), rest.finish()].concat()
        })
    })
}

/// What the rated loads mean.
fn rated(page: &mut Page, paper: &Paper<'_>) {
    if paper.plan.bill.hardware.iter().any(|line| line.rated.is_some()) {
        page.wrapped(
            "",
            "Rated loads are what the catalogue gives for a pull in line; an eye pulled aslant carries less. Buy nothing that hangs \
             people by size alone: what is stamped on the piece counts.",
        );
    }
}

fn wood(page: &mut Page, paper: &Paper<'_>) {
    for line in &paper.plan.bill.wood {
        page.wrapped(
            "",
            &format!(
                "{} of {}: {}, at {} as the catalogue gives for 12 % moisture.",
                counted(line.parts, "finished part"),
                line.species_name,
                paper.units.mass_text(line.mass_kg),
                density(paper.units, line.density_kg_m3),
            ),
        );
    }
}

fn finish(page: &mut Page, paper: &Paper<'_>) {
    let bill = &paper.plan.bill;
    page.wrapped(
        "",
        &format!("Surface to finish: {}, walls of holes left out.", area(paper.units, bill.surface)),
    );
    if bill.glue > Area::default() {
        page.wrapped(
            "",
            &format!("Glue to spread: {}, one of two faces that meet.", small_area(paper.units, bill.glue)),
        );
    }
    for edge in &bill.edges {
        let (radius, length) = (paper.units.text(edge.radius), run(paper.units, edge.length));
        page.wrapped("", &format!("Edges rounded to {radius}: {length}."));
    }
}
