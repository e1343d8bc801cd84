//! Finish and care, with amounts and drying times.

use super::super::page::{area, counted};
use super::super::{Paper, bill};
use super::{NO_STANDARD, heading, list, paragraphs, table_of_words, words};
use slatwork_catalog::{CONSUMABLE_KINDS, Consumable};
use slatwork_output::Table;
use slatwork_output::book::{Block, Chapter, ListKind};

pub(super) fn chapter(paper: &Paper<'_>) -> Chapter {
    let mut blocks = vec![words(NO_STANDARD), heading("What is spread")];
    blocks.extend(paragraphs(bill::finish(paper)));
    let table = spread(paper);
    if !table.rows.is_empty() {
        blocks.push(Block::Table(table));
    }
    let waiting = paper.plan.price.waiting_table();
    if !waiting.rows.is_empty() {
        blocks.push(Block::Table(paper.readable(waiting)));
        blocks.push(words(format!(
            "In all {:.0} hours of waiting when one follows the other. The times are those of the catalogue: what the label says counts.",
            paper.plan.price.waiting_hours()
        )));
    }
    blocks.push(heading("How"));
    blocks.push(list(ListKind::Numbered, HOW));
    blocks.push(heading("Care"));
    blocks.push(list(ListKind::Plain, CARE));
    super::chapter("finish", "Finish and care", blocks)
}

/// What is used up by area: coats, how far it goes, how long it dries, and how firm these figures are.
fn spread(paper: &Paper<'_>) -> Table {
    let known = &paper.catalogue.pricing().consumables;
    let is_bought = |own: &&Consumable| paper.plan.price.goods.iter().any(|line| line.name == own.name);
    let bought = CONSUMABLE_KINDS.iter().filter_map(|(kind, _)| known.get(kind)).filter(is_bought);
    let rows = bought.map(|own| {
        let goods = paper.plan.price.goods.iter().find(|line| line.name == own.name);
        let amount = goods.map_or(String::new(), |line| counted_unit(line.amount, line.unit));
        let covers = area(paper.units, slatwork_base::Area::square_mm(own.covers_m2 * 1e6));
        let dry = if own.dry_hours > 0.0 { format!("{:.0} h", own.dry_hours) } else { String::from("none") };
        vec![
            own.name.clone(),
            counted(own.coats as usize, "time"),
            amount,
            format!("{covers} {}", per(own)),
            dry,
            format!("{} ({})", own.source.text, own.source.status.word()),
        ]
    });
    let columns = [
        ("name", "what"),
        ("coats", "gone over"),
        ("amount", "in all"),
        ("covers", "goes once over"),
        ("dry", "dries after each"),
        ("source", "source"),
    ];
    table_of_words(paper, "spread", "Finish, sealer, glue and abrasive", &columns, rows)
}

fn counted_unit(amount: f64, unit: &str) -> String {
    let amount = (amount * 100.0).round() / 100.0;
    let plural = if unit == "sheet" && amount != 1.0 { "s" } else { "" };
    format!("{amount} {unit}{plural}")
}

fn per(own: &Consumable) -> &'static str {
    match own.unit {
        slatwork_catalog::ConsumableUnit::Litre => "a litre",
        slatwork_catalog::ConsumableUnit::Sheet => "a sheet",
    }
}

const HOW: [&str; 7] = [
    "Sand to 80, then 120; the last strokes by hand along the grain. Finer paper closes the wood against an oil.",
    "Brush off the dust, and wipe with a damp cloth. Let it dry.",
    "Seal every end twice, feet above all: end grain drinks first and rots first.",
    "Coat all six faces of every part before they are put together, also those that meet; leave bare what is glued.",
    "Wipe off what has not soaked in after the time on the label, and let each coat dry as the table says, longer in cold and damp.",
    "After assembly touch up what was cut, bored or scratched.",
    "Oily rags heat by themselves and catch fire: spread them flat outdoors, or drown them in a metal can with a lid.",
];

const CARE: [&str; 6] = [
    "Wash it in spring with a soft brush, water and a mild soap; no pressure washer, which tears up the grain.",
    "Oil it again when water no longer stands in drops, once a year in the sun (common practice). Without oil it turns grey, which harms \
     nothing but its look.",
    "Keep leaves and earth out of the gaps; feet off wet ground.",
    "Tighten bolts after the first season: wood has moved by then.",
    "Black stains come of iron in oak and cedar: find the steel and change it, then bleach the stain with oxalic acid by its label.",
    "Wet or icy slats are slippery, and dark ones in the sun grow hot.",
];
