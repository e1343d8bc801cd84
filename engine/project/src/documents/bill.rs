//! The bill of materials.

use super::page::{Page, counted};
use super::{Files, Paper};
use slatwork_base::Outcome;

pub(super) fn write(paper: &Paper<'_>) -> Outcome<Files> {
    let tables = vec![paper.plan.bill_table(), paper.plan.hardware_table()];
    text(paper).then(|text| {
        paper
            .table_files("bill", tables)
            .map(|files| [vec![("bill.txt".into(), text.into_bytes())], files].concat())
    })
}

fn text(paper: &Paper<'_>) -> Outcome<String> {
    let hardware = paper.plan.hardware_table();
    let has_hardware = !hardware.rows.is_empty();
    let lumber = paper.table_text(paper.plan.bill_table());
    let hardware = if has_hardware { paper.table_text(hardware) } else { Outcome::fine(String::new()) };
    lumber.then(|lumber| {
        hardware.map(|hardware| {
            let mut page = paper.page("bill of materials");
            page.blank();
            let head = page.finish();
            let mut rest = Page::default();
            wood(&mut rest, paper);
            finish(&mut rest, paper);
            [head, lumber, String::from("\n"), hardware, String::from("\n"), rest.finish()].concat()
        })
    })
}

/// Pounds in a kilogram: 1 / 0.45359237, exact since 1959.
const KG_PER_POUND: f64 = 0.453_592_37;

fn wood(page: &mut Page, paper: &Paper<'_>) {
    for line in &paper.plan.bill.wood {
        let pounds = line.mass_kg / KG_PER_POUND;
        page.wrapped(
            "",
            &format!(
                "{} of {}: {:.1} kg ({pounds:.0} lb), at {:.0} kg/m3 as the catalogue gives for 12 % moisture.",
                counted(line.parts, "finished part"),
                line.species_name,
                line.mass_kg,
                line.density_kg_m3,
            ),
        );
    }
}

fn finish(page: &mut Page, paper: &Paper<'_>) {
    let bill = &paper.plan.bill;
    page.wrapped(
        "",
        &format!("Surface to finish: {:.2} m2, walls of holes left out.", bill.surface.as_square_m()),
    );
    for edge in &bill.edges {
        let (radius, length) = (paper.units.text(edge.radius), edge.length.as_metre());
        page.wrapped("", &format!("Edges rounded to {radius}: {length:.1} m."));
    }
}
