//! Readers of prices, delivery, consumables, labour and terms.

use super::entries::{add, for_each};
use super::row::{File, Row, unknown_key};
use crate::consumable::CONSUMABLE_KINDS;
use crate::{
    Catalogue, Consumable, ConsumableUnit, Delivery, Item, ItemPrice, LITRES_PER_FLUID_OUNCE, Labour,
    OPERATIONS, Operation, Overlay, Pack, SoldBy, Term, Terms,
};
use slatwork_base::{Diagnostic, Length};
use toml::Spanned;
use toml::de::DeValue;

/// `[[price]]`: `cents` for one, `boxes` with their `cents`, or `cents_per_foot`, `cents_per_metre`.
pub(super) fn price(row: &Row<'_, '_>, _: &Catalogue, overlay: &mut Overlay) {
    let (item, source) = (row.need("item", row.text("item")), row.source());
    let (length, boxes, cents) = (row.length("length"), row.wholes("boxes"), row.wholes("cents"));
    let by_length = [("cents_per_foot", Length::inch(12.0)), ("cents_per_metre", Length::mm(1000.0))]
        .map(|(key, per)| row.whole(key).map(|cents| SoldBy::Length { cents, per }));
    let by_length = by_length.into_iter().flatten().next();
    if by_length.is_none() {
        row.need("cents", cents.clone());
    }
    let by = match (boxes, by_length) {
        (Some(boxes), _) => {
            let cents = for_each(row, "cents", cents, (boxes.len(), "boxes"));
            Some(SoldBy::Boxes(packs(boxes.into_iter().map(|pieces| pieces as f64), cents)))
        }
        (None, Some(by_length)) => Some(by_length),
        (None, None) => one_price(row, cents).map(SoldBy::Piece),
    };
    let entry = (|| Some(ItemPrice { item: item?, length, by: by?, source: source? }))();
    add(row, overlay, entry, Item::Price);
}

/// The one price of what is sold by the piece; a list of them is told.
fn one_price(row: &Row<'_, '_>, cents: Option<Vec<i64>>) -> Option<i64> {
    let cents = cents?;
    if let [one] = cents.as_slice() {
        return Some(*one);
    }
    let message = format!("`cents` has {} values for one piece", cents.len());
    let help = "say with `boxes = [25, 100]` which boxes they are for";
    row.report_at("cents", Diagnostic::error("wrong-value", message).help(help));
    None
}

fn packs(holds: impl Iterator<Item = f64>, cents: Vec<Option<i64>>) -> Vec<Pack> {
    holds.zip(cents).map(|(holds, price_cents)| Pack { holds, price_cents }).collect()
}

pub(super) fn delivery(row: &Row<'_, '_>, _: &Catalogue, overlay: &mut Overlay) {
    let (name, source) = (row.need("name", row.text("name")), row.source());
    let cents = row.need("cents", row.whole("cents"));
    let (from_cents, up_to_kg) = (row.whole("from_cents"), row.number("up_to_kg"));
    let up_to_length = row.length("up_to_length");
    let entry = (|| {
        Some(Delivery { name: name?, cents: cents?, from_cents, up_to_kg, up_to_length, source: source? })
    })();
    add(row, overlay, entry, Item::Delivery);
}

/// `[consumable.finish]`: what is not said is as in the catalogue below.
pub(super) fn consumables(file: &File<'_>, row: &Row<'_, '_>, base: &Catalogue, overlay: &mut Overlay) {
    for (key, value, place) in row.tables() {
        let Some((kind, word)) = CONSUMABLE_KINDS.iter().find(|(_, word)| *word == key) else {
            let known: Vec<&'static str> = CONSUMABLE_KINDS.iter().map(|(_, word)| *word).collect();
            file.report(unknown_key(key, "table of consumables", &known).at(place));
            continue;
        };
        if let Some(own) = file.row(word, value) {
            let below = base.pricing().consumables.get(kind);
            let entry = consumable(&own, below).map(|entry| Consumable { kind: *kind, ..entry });
            add(&own, overlay, entry, Item::Consumable);
            own.finish();
        }
    }
}

fn consumable(row: &Row<'_, '_>, below: Option<&Consumable>) -> Option<Consumable> {
    let name = row.need("name", row.text("name").or(below.map(|below| below.name.clone())));
    let coats = row.need("coats", row.whole("coats").or(below.map(|below| i64::from(below.coats))));
    let dry_hours = row.need("dry_hours", row.number("dry_hours").or(below.map(|below| below.dry_hours)));
    let per_litre = row.number("square_metres_per_litre").map(|covers| (ConsumableUnit::Litre, covers));
    let per_sheet = row.number("square_metres_per_sheet").map(|covers| (ConsumableUnit::Sheet, covers));
    let covers = per_litre.or(per_sheet).or(below.map(|below| (below.unit, below.covers_m2)));
    let covers = row.need("square_metres_per_litre", covers);
    let packs = row.need("litres", packs_of(row, below));
    let source = row.source();
    let (unit, covers_m2) = covers?;
    let (packs_unit, packs) = packs?;
    if let Err(trouble) = unit.sold_by(packs_unit) {
        row.report_at(if packs_unit == ConsumableUnit::Sheet { "sheets" } else { "litres" }, trouble);
    }
    Some(Consumable {
        kind: crate::ConsumableKind::Finish,
        name: name?,
        coats: u32::try_from(coats?).unwrap_or(u32::MAX),
        unit,
        covers_m2,
        dry_hours: dry_hours?,
        packs,
        source: source?,
    })
}

/// `litres`, `fluid_ounces` or `sheets` with their `cents`; new `cents` alone are for the packs of the catalogue below.
fn packs_of(row: &Row<'_, '_>, below: Option<&Consumable>) -> Option<(ConsumableUnit, Vec<Pack>)> {
    let (litres, sheets) = (row.numbers("litres"), row.numbers("sheets"));
    let ounces = row.numbers("fluid_ounces");
    let ounces = ounces.map(|all| all.into_iter().map(|own| own * LITRES_PER_FLUID_OUNCE).collect());
    let cents = row.wholes("cents");
    let litres: Option<Vec<f64>> = litres.or(ounces);
    let given = litres.map(|all| (ConsumableUnit::Litre, all));
    let given = given.or(sheets.map(|all| (ConsumableUnit::Sheet, all)));
    if given.is_none() && cents.is_none() {
        return below.map(|below| (below.unit, below.packs.clone()));
    }
    let of_below = || below.map(|below| (below.unit, below.packs.iter().map(|pack| pack.holds).collect()));
    let (unit, holds) = given.or_else(of_below)?;
    let cents = for_each(row, "cents", cents, (holds.len(), "packs"));
    Some((unit, packs(holds.into_iter(), cents)))
}

/// `[labour.crosscut]`: what is not said is as in the catalogue below.
pub(super) fn labour(file: &File<'_>, row: &Row<'_, '_>, base: &Catalogue, overlay: &mut Overlay) {
    for (key, value, place) in row.tables() {
        let operation = match Operation::named(key) {
            Ok(operation) => operation,
            Err(fault) => {
                file.report(fault.at(place));
                continue;
            }
        };
        let Some(own) = file.row(OPERATIONS[operation as usize].name, value) else { continue };
        let below = base.pricing().labour.get(&operation);
        let minutes = own.need("minutes", own.number("minutes").or(below.map(|below| below.minutes)));
        let below_batch = below.filter(|_| !own.has("minutes")).and_then(|below| below.batch_minutes);
        let batch_minutes = own.number("batch_minutes").or(below_batch);
        let setup = own.number("setup_minutes").or(below.map(|below| below.setup_minutes));
        let (setup, source) = (own.need("setup_minutes", setup), own.source());
        let entry = (|| {
            let (minutes, setup_minutes, source) = (minutes?, setup?, source?);
            Some(Labour { operation, minutes, batch_minutes, setup_minutes, source })
        })();
        add(&own, overlay, entry, Item::Labour);
        own.finish();
    }
}

/// `[terms]`: `margin = 0.25`, or a table with `value`, `source` and `status`.
pub(super) fn terms(file: &File<'_>, row: &Row<'_, '_>, overlay: &mut Overlay) {
    for (key, value, place) in row.tables() {
        let Some(name) = Terms::names().find(|name| *name == key) else {
            let known = Terms::names().collect::<Vec<_>>();
            file.report(unknown_key(key, "table of terms", &known).at(place));
            continue;
        };
        add_term(file, row, name, value, overlay);
    }
}

fn add_term<'a>(
    file: &File<'a>,
    row: &Row<'_, 'a>,
    name: &'static str,
    value: &Spanned<DeValue<'a>>,
    overlay: &mut Overlay,
) {
    let term = |value, source| Term { name: name.to_string(), value, source };
    if value.get_ref().as_table().is_none() {
        // A bare value carries no source: fine for a user's file, refused in the program's own.
        let entry = (|| Some(term(row.number(name)?, row.source()?)))();
        let at = file.place(&value.span());
        return entry.map_or((), |entry| overlay.add_read(Item::Term(entry), at, Default::default()));
    }
    if let Some(figure) = file.row(name, value) {
        let (value, source) = (figure.need("value", figure.number("value")), figure.source());
        add(&figure, overlay, value.zip(source), |(value, source)| Item::Term(term(value, source)));
        figure.finish();
    }
}
