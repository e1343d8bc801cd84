//! Prices, delivery, consumables and labour: impossible ones refused.

use super::{Trouble, named};
use crate::{Catalogue, Consumable, Delivery, ItemPrice, Labour, MOST_CENTS, Pack, SoldBy};
use slatwork_base::Diagnostic;

pub(super) fn name_of_price(price: &ItemPrice) -> String {
    let of = price.length.map_or(String::new(), |length| format!(" of {length}"));
    format!("the price of `{}`{of}", price.item)
}

/// A price in cents that somebody could ask.
pub(super) fn cents(figure: &'static str, cents: i64) -> Result<(), Trouble> {
    if (0..=MOST_CENTS).contains(&cents) {
        return Ok(());
    }
    let message = format!("a price in cents is from 0 to {MOST_CENTS}, and cannot be {cents}");
    Err(Trouble::about(figure)(Diagnostic::error("impossible-price", message)))
}

fn wrong(figure: &'static str, message: String) -> Trouble {
    Trouble::about(figure)(Diagnostic::error("wrong-value", message))
}

pub(super) fn price(catalogue: &mut Catalogue, price: ItemPrice) -> Result<(), Trouble> {
    catalogue.item_id(&price.item).map_err(Trouble::about("item"))?;
    match &price.by {
        SoldBy::Piece(each) => cents("cents", *each)?,
        SoldBy::Boxes(boxes) => packs("boxes", &price.item, boxes)?,
        SoldBy::Length { cents: each, per } => {
            cents("cents", *each)?;
            if !per.is_positive() {
                return Err(wrong("cents", format!("nothing is sold by {per}")));
            }
        }
    }
    let own = &mut catalogue.pricing.items;
    own.retain(|old| (&old.item, old.length) != (&price.item, price.length));
    own.push(price);
    Ok(())
}

fn packs(figure: &'static str, name: &str, packs: &[Pack]) -> Result<(), Trouble> {
    if packs.is_empty() {
        return Err(wrong(figure, format!("{name} must come in one pack at least")));
    }
    for pack in packs {
        if !(pack.holds > 0.0 && pack.holds.is_finite()) {
            return Err(wrong(figure, format!("a pack cannot hold {}", pack.holds)));
        }
        pack.price_cents.map_or(Ok(()), |price| cents("cents", price))?;
    }
    Ok(())
}

pub(super) fn delivery(catalogue: &mut Catalogue, step: Delivery) -> Result<(), Trouble> {
    named(&step.name, "name")?;
    cents("cents", step.cents)?;
    step.from_cents.map_or(Ok(()), |from| cents("from_cents", from))?;
    if let Some(kg) = step.up_to_kg.filter(|kg| !(*kg > 0.0 && kg.is_finite())) {
        return Err(wrong("up_to_kg", format!("nothing weighs {kg} kg at most")));
    }
    let own = &mut catalogue.pricing.deliveries;
    match own.iter_mut().find(|old| old.name == step.name) {
        Some(old) => *old = step,
        None => own.push(step),
    }
    Ok(())
}

/// More coats than anybody puts on, and more hours than any of them dries.
const MOST_COATS: u32 = 50;
const LONGEST_DRYING: f64 = 10_000.0;

pub(super) fn consumable(catalogue: &mut Catalogue, own: Consumable) -> Result<(), Trouble> {
    named(&own.name, "name")?;
    if !(own.covers_m2 > 0.0 && own.covers_m2.is_finite()) {
        let message = format!("{} cannot cover {} m2", own.name, own.covers_m2);
        return Err(wrong("square_metres_per_litre", message));
    }
    if own.coats > MOST_COATS {
        return Err(wrong("coats", format!("{} cannot take {} coats", own.name, own.coats)));
    }
    if !(0.0..=LONGEST_DRYING).contains(&own.dry_hours) {
        return Err(wrong("dry_hours", format!("{} cannot dry for {} h", own.name, own.dry_hours)));
    }
    packs("litres", &own.name, &own.packs)?;
    catalogue.pricing.consumables.insert(own.kind, own);
    Ok(())
}

/// Nobody works longer at one thing of one piece, minutes: a hundred hours.
const LONGEST_WORK: f64 = 6000.0;

pub(super) fn labour(catalogue: &mut Catalogue, labour: Labour) -> Result<(), Trouble> {
    let name = labour.operation.row().name;
    let given = [
        ("minutes", Some(labour.minutes)),
        ("batch_minutes", labour.batch_minutes),
        ("setup_minutes", Some(labour.setup_minutes)),
    ];
    for (figure, minutes) in given {
        if let Some(minutes) = minutes.filter(|minutes| !(0.0..=LONGEST_WORK).contains(minutes)) {
            let message =
                format!("`{figure}` of {name} is from 0 to {LONGEST_WORK}, and cannot be {minutes}");
            return Err(impossible_time(figure, message));
        }
    }
    batch_holds(&labour, catalogue.pricing.terms.rate_batch)?;
    catalogue.pricing.labour.insert(labour.operation, labour);
    Ok(())
}

/// In a batch one takes no longer than by itself, and all of them no less than one.
fn batch_holds(labour: &Labour, batch: f64) -> Result<(), Trouble> {
    let Some(each) = labour.batch_minutes else { return Ok(()) };
    let (name, one, all) = (labour.operation.row().name, labour.minutes, each * batch);
    if each > one {
        let message = format!("{name} takes {each} min in a batch, and a single one {one}");
        let fault = impossible_time("batch_minutes", message);
        return Err(fault.help("in a batch one takes no longer than by itself"));
    }
    if all < one {
        let message = format!("{name} takes {all} min for {batch} of a batch, and {one} for one");
        return Err(impossible_time("batch_minutes", message).help("all of a batch take longer than one"));
    }
    Ok(())
}

fn impossible_time(figure: &'static str, message: String) -> Trouble {
    Trouble::about(figure)(Diagnostic::error("impossible-time", message))
}
