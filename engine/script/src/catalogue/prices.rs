//! Words about what a piece costs: prices, delivery, consumables, labour and terms.

use super::boards::for_each;
use super::form::{kind_of, shown};
use super::{Entries, Form};
use crate::host::{HostResult, raise};
use crate::modules::Subject;
use rhai::{Dynamic, ImmutableString, Map, NativeCallContext};
use slatwork_base::{Diagnostic, Length};
use slatwork_catalog::{
    CONSUMABLE_KINDS, Consumable, ConsumableUnit, Delivery, Item, ItemPrice, LITRES_PER_FLUID_OUNCE, Labour,
    Operation, Pack, SoldBy, Term,
};

pub(super) fn words(subject: &mut Subject) {
    subject.function(
        "price(c: catalogue, item: text, options: map)",
        "What a fastener or a piece of hardware costs, by its id. Options: `cents` (a whole number: the price of one), or \
         `boxes` (whole numbers: how many are in a box) with `cents` for each box, or `cents_per_foot`, `cents_per_metre` \
         for what is cut off a reel; `length` (the price is for that length only). Refuses an item that is not there and a \
         negative price. Example: `c.price(\"deck_screw_8\", #{ boxes: [50, 100], cents: [700, 1200] });`",
        price,
    );
    subject.function(
        "delivery(c: catalogue, name: text, options: map)",
        "A step of what the yard asks for bringing the boards; the cheapest step that takes the load counts. Options: \
         `cents` (a whole number, needed), `from_cents` (only for boards that cost so much at least), `up_to_kg` (a \
         number), `up_to_length` (a length: none may be longer). Refuses a negative price. \
         Example: `c.delivery(\"van\", #{ cents: 4500, up_to_kg: 300, up_to_length: 12.feet });`",
        delivery,
    );
    subject.function(
        "consumable(c: catalogue, kind: text, options: map)",
        "The finish, sealer, glue or abrasive of the shop; what is not said is as in the catalogue below. Options: `name` \
         (text), `coats` (a whole number: coats, or grits), `square_metres_per_litre` or `square_metres_per_sheet` \
         (a number: what one covers once), `litres`, `fluid_ounces` or `sheets` (numbers: the packs it comes in) with \
         `cents` for each, `dry_hours` (hours to wait after each coat). Refuses a kind that is not known. \
         Example: `c.consumable(\"finish\", #{ name: \"linseed oil\", coats: 3, litres: [1, 5], cents: [2400, 9900] });`",
        consumable,
    );
    subject.function(
        "labour(c: catalogue, operation: text, options: map)",
        "How long an operation of the shop takes: sort_boards, flatten_stock, crosscut, rip, make_template, shape, notch, \
         drill, round_over, glue_up, clamp, sand, seal, finish, fit_part, assemble, drive_screw, drive_nail, set_bolt, \
         set_dowel, plug, hang_chain; what is not said is as in the catalogue below. Options, numbers all: `minutes` (for \
         one), `batch_minutes` (for one in a batch), `setup_minutes` (once for a batch). Refuses an operation that is not \
         known, and a batch that takes longer. Example: `c.labour(\"crosscut\", #{ minutes: 1.2, batch_minutes: 0.4 });`",
        labour,
    );
    subject.function(
        "term(c: catalogue, name: text, value: number)",
        "A figure of the terms: labour_per_hour, overhead_per_hour, fair_fee, comparable_price (cents), purchase_tax, \
         sales_tax, rough_waste, sundries, margin, card_fee, warranty, wholesale, consignment, learning (shares from 0 to \
         1), multiplier_low, multiplier_high, rate_batch (numbers); a map of source and status may follow. Refuses a name \
         that is none, a negative price and a share above 1. Example: `c.term(\"margin\", 0.25);`",
        |ctx: NativeCallContext, c: &mut Entries, name: ImmutableString, value: Dynamic| {
            term(ctx, c, name, value, Map::new())
        },
    );
    subject.form("term", term);
}

fn price(ctx: NativeCallContext, c: &mut Entries, item: ImmutableString, options: Map) -> HostResult<()> {
    const KNOWN: [&str; 5] = ["cents", "boxes", "cents_per_foot", "cents_per_metre", "length"];
    let form = Form::read(&ctx, "price", options, &KNOWN)?;
    let per_foot = form.whole("cents_per_foot")?.map(|cents| (cents, Length::inch(12.0)));
    let per_metre = form.whole("cents_per_metre")?.map(|cents| (cents, Length::mm(1000.0)));
    let by = match (form.wholes("boxes")?, per_foot.or(per_metre)) {
        (Some(boxes), _) => {
            let cents = for_each(&form, "cents", (boxes.len(), "boxes"))?;
            SoldBy::Boxes(packs(boxes.into_iter().map(|pieces| pieces as f64), cents))
        }
        (None, Some((cents, per))) => SoldBy::Length { cents, per },
        (None, None) => {
            SoldBy::Piece(form.need("cents", "a whole number, the price of one", form.whole("cents")?)?)
        }
    };
    let (length, source) = (form.size("length")?, form.source(c)?);
    c.add(&ctx, Item::Price(ItemPrice { item: item.to_string(), length, by, source }))
}

fn packs(holds: impl Iterator<Item = f64>, cents: Vec<Option<i64>>) -> Vec<Pack> {
    holds.zip(cents).map(|(holds, price_cents)| Pack { holds, price_cents }).collect()
}

fn delivery(ctx: NativeCallContext, c: &mut Entries, name: ImmutableString, options: Map) -> HostResult<()> {
    const KNOWN: [&str; 4] = ["cents", "from_cents", "up_to_kg", "up_to_length"];
    let form = Form::read(&ctx, "delivery", options, &KNOWN)?;
    let entry = Delivery {
        name: name.to_string(),
        cents: form.need("cents", "a whole number", form.whole("cents")?)?,
        from_cents: form.whole("from_cents")?,
        up_to_kg: form.figure("up_to_kg")?,
        up_to_length: form.size("up_to_length")?,
        source: form.source(c)?,
    };
    c.add(&ctx, Item::Delivery(entry))
}

/// Every option of a consumable.
const OF_CONSUMABLE: [&str; 9] = [
    "name",
    "coats",
    "square_metres_per_litre",
    "square_metres_per_sheet",
    "litres",
    "fluid_ounces",
    "sheets",
    "cents",
    "dry_hours",
];

fn consumable(
    ctx: NativeCallContext,
    c: &mut Entries,
    kind: ImmutableString,
    options: Map,
) -> HostResult<()> {
    let kind = kind_of(&ctx, "kind of consumable", &kind, &CONSUMABLE_KINDS)?;
    let form = Form::read(&ctx, "consumable", options, &OF_CONSUMABLE)?;
    let below = c.below();
    let below = below.pricing().consumables.get(&kind);
    let per_litre = form.figure("square_metres_per_litre")?.map(|covers| (ConsumableUnit::Litre, covers));
    let per_sheet = form.figure("square_metres_per_sheet")?.map(|covers| (ConsumableUnit::Sheet, covers));
    let covers = per_litre.or(per_sheet).or(below.map(|below| (below.unit, below.covers_m2)));
    let (unit, covers_m2) = form.need("square_metres_per_litre", "a number", covers)?;
    let (packs_unit, packs) = packs_of(&form, below)?;
    unit.sold_by(packs_unit).map_err(|fault| form.refuse(fault))?;
    let coats = form.count("coats")?.or(below.map(|below| below.coats));
    let dry_hours = form.figure("dry_hours")?.or(below.map(|below| below.dry_hours));
    let name = form.text("name")?.or(below.map(|below| below.name.clone()));
    let entry = Consumable {
        kind,
        name: form.need("name", "a text in quotes", name)?,
        coats: form.need("coats", "a whole number", coats)?,
        unit,
        covers_m2,
        dry_hours: form.need("dry_hours", "a number", dry_hours)?,
        packs,
        source: form.source(c)?,
    };
    c.add(&ctx, Item::Consumable(entry))
}

/// The packs that are named; new `cents` alone are for the packs of the catalogue below.
fn packs_of(form: &Form<'_, '_>, below: Option<&Consumable>) -> HostResult<(ConsumableUnit, Vec<Pack>)> {
    let (litres, sheets) = (form.figures("litres")?, form.figures("sheets")?);
    let ounces = form.figures("fluid_ounces")?;
    let ounces = ounces.map(|all| all.into_iter().map(|own| own * LITRES_PER_FLUID_OUNCE).collect());
    let litres: Option<Vec<f64>> = litres.or(ounces);
    let given = litres.map(|all| (ConsumableUnit::Litre, all));
    let given = given.or(sheets.map(|all| (ConsumableUnit::Sheet, all)));
    if let (None, None, Some(below)) = (&given, form.wholes("cents")?, below) {
        return Ok((below.unit, below.packs.clone()));
    }
    let of_below = || below.map(|below| (below.unit, below.packs.iter().map(|pack| pack.holds).collect()));
    let (unit, holds) = form.need("litres", "a list of numbers, as [0.5, 1]", given.or_else(of_below))?;
    let cents = for_each(form, "cents", (holds.len(), "packs"))?;
    Ok((unit, packs(holds.into_iter(), cents)))
}

fn labour(ctx: NativeCallContext, c: &mut Entries, name: ImmutableString, options: Map) -> HostResult<()> {
    let operation = Operation::named(&name).map_err(|fault| raise(&ctx, fault))?;
    let form = Form::read(&ctx, "labour", options, &["minutes", "batch_minutes", "setup_minutes"])?;
    let below = c.below();
    let below = below.pricing().labour.get(&operation);
    let own = form.figure("minutes")?;
    let below_batch = below.filter(|_| own.is_none()).and_then(|below| below.batch_minutes);
    let setup = form.figure("setup_minutes")?.or(below.map(|below| below.setup_minutes));
    let entry = Labour {
        operation,
        minutes: form.need("minutes", "a number", own.or(below.map(|below| below.minutes)))?,
        batch_minutes: form.figure("batch_minutes")?.or(below_batch),
        setup_minutes: form.need("setup_minutes", "a number", setup)?,
        source: form.source(c)?,
    };
    c.add(&ctx, Item::Labour(entry))
}

fn term(
    ctx: NativeCallContext,
    c: &mut Entries,
    name: ImmutableString,
    value: Dynamic,
    options: Map,
) -> HostResult<()> {
    let form = Form::read(&ctx, "term", options, &[])?;
    let number = crate::numbers::as_number(&value).filter(|number| number.is_finite() && *number >= 0.0);
    let Some(number) = number else {
        let message = format!("`{name}` must be a number, zero or more, not {}", shown(&ctx, &value));
        return Err(raise(&ctx, Diagnostic::error("wrong-arguments", message)));
    };
    let source = form.source(c)?;
    c.add(&ctx, Item::Term(Term { name: name.to_string(), value: number, source }))
}
