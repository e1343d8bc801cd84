//! What is bought for a batch: boards, hardware and consumables, in the amounts a person buys.

use super::Asked;
use crate::bill::{LumberLine, face_area};
use crate::hardware::{HardwareLine, spares};
use crate::purchase::{GroupSummary, PurchaseLine};
use slatwork_base::{Area, Length, Tape};
use slatwork_catalog::{
    CONSUMABLE_KINDS, Consumable, ConsumableKind, ConsumableUnit, Delivery, LITRES_PER_FLUID_OUNCE, Load,
    Pack, Rate, SoldBy, Source,
};
use slatwork_model::Model;

/// What sort of thing is bought.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Goods {
    /// Boards.
    Lumber,
    /// Fasteners and hardware.
    Hardware,
    /// Finish, sealer, glue, abrasive.
    Consumable,
    /// Bringing the boards.
    Delivery,
}

impl Goods {
    /// The word for it in tables.
    pub fn word(self) -> &'static str {
        match self {
            Goods::Lumber => "lumber",
            Goods::Hardware => "hardware",
            Goods::Consumable => "consumable",
            Goods::Delivery => "delivery",
        }
    }
}

/// One thing to buy, for all pieces of the batch.
#[derive(Clone, Debug, PartialEq)]
pub struct GoodsLine {
    /// What sort of thing.
    pub goods: Goods,
    /// What to ask for.
    pub name: String,
    /// How much is needed, in `unit`.
    pub amount: f64,
    /// What it is measured in: board, piece, ft, m, litre, fl oz, sheet, board foot, m3.
    pub unit: &'static str,
    /// How many packs are bought and what one holds, where it comes in packs: "1 of 0.5 litre", "1 of 100 + 1 of 25".
    pub bought: Option<String>,
    /// Price of one (board, piece, pack, foot, metre, board foot) in cents, where it is one price.
    pub cents_each: Option<i64>,
    /// Price of what is bought, in cents; `None` when not priced.
    pub cents: Option<i64>,
    /// Where the price comes from.
    pub source: Option<Source>,
}

/// Everything that is bought.
pub(super) fn goods(asked: &Asked) -> Vec<GoodsLine> {
    let mut lines = lumber(asked);
    let boards: i64 = lines.iter().filter_map(|line| line.cents).sum();
    let delivery = delivery(asked, boards);
    let hardware = &asked.plan.bill.hardware;
    lines.extend(hardware.iter().map(|line| hardware_line(asked, line)));
    lines.extend(CONSUMABLE_KINDS.iter().filter_map(|(kind, _)| consumable(asked, *kind)));
    lines.extend(delivery);
    lines
}

/// Boards as they are laid out; woods that are bought rough by their volume with waste.
fn lumber(asked: &Asked) -> Vec<GoodsLine> {
    let boards = asked.purchase.lines.iter().filter(|line| rough(asked, &line.species).is_none());
    let volumes = asked.plan.bill.lumber.iter();
    let volumes = volumes.filter_map(|line| Some(rough_line(asked, line, rough(asked, &line.species)?)));
    let racked = asked.purchase.groups.iter().filter(|group| group.offcuts > 0);
    let bought = boards.map(|line| board_line(asked, line));
    bought.chain(racked.map(|group| rack_line(asked, group))).chain(volumes).collect()
}

/// Offcuts off the rack were paid when their boards were bought: told, at no price.
fn rack_line(asked: &Asked, group: &GroupSummary) -> GoodsLine {
    let species = asked.catalogue.species(&group.species);
    let wood = species.map_or(group.species.as_str(), |species| species.name.as_str());
    GoodsLine {
        goods: Goods::Lumber,
        name: format!("{} {wood} off the rack, paid before", group.name()),
        amount: group.offcuts as f64,
        unit: "offcut",
        bought: None,
        cents_each: Some(0),
        cents: Some(0),
        source: None,
    }
}

fn rough<'a>(asked: &Asked<'a>, species: &str) -> Option<&'a Rate> {
    asked.catalogue.yard().rates.get(species).filter(|rate| rate.rough)
}

fn board_line(asked: &Asked, line: &PurchaseLine) -> GoodsLine {
    let catalogue = asked.catalogue;
    let found = catalogue.section(&line.section).ok().zip(catalogue.species(&line.species).ok());
    let source = found.and_then(|(section, species)| catalogue.yard().price_source(section, species, None));
    let long = asked.plan.reading.tape.feet_and_inches(line.length);
    GoodsLine {
        goods: Goods::Lumber,
        name: format!("{} {}, {long} long", line.section, line.species_name),
        amount: line.count as f64,
        unit: "board",
        bought: None,
        cents_each: line.price_cents,
        cents: line.price_cents.and_then(|price| times(price, line.count)),
        source: source.filter(|_| line.price_cents.is_some()).cloned(),
    }
}

fn rough_line(asked: &Asked, line: &LumberLine, rate: &Rate) -> GoodsLine {
    let waste = rate.waste.unwrap_or(asked.catalogue.pricing().terms.rough_waste);
    let board_feet = line.board_feet * asked.pieces as f64 * (1.0 + waste.as_number());
    GoodsLine {
        goods: Goods::Lumber,
        name: format!("{} {}, rough, {waste} waste in it", line.section, line.species_name),
        amount: rate.per.of_board_feet(board_feet),
        unit: rate.per.word(),
        bought: None,
        cents_each: Some(rate.cents),
        cents: Some(rate.cents_for(board_feet)),
        source: Some(rate.source.clone()),
    }
}

fn times(cents: i64, count: usize) -> Option<i64> {
    cents.checked_mul(i64::try_from(count).ok()?)
}

/// The cheapest way in which the yard brings the boards; nothing where none are bought, or where it does not say.
fn delivery(asked: &Asked, cents: i64) -> Option<GoodsLine> {
    let steps = &asked.catalogue.pricing().deliveries;
    let longest = asked.purchase.lines.iter().map(|line| line.length).max()?;
    if steps.is_empty() {
        return None;
    }
    let step = Delivery::cheapest(steps, &Load { cents, kg: kg(asked), longest });
    Some(GoodsLine {
        goods: Goods::Delivery,
        name: step.map_or_else(|| String::from("delivery of such a load"), |step| step.name.clone()),
        amount: 1.0,
        unit: "load",
        bought: None,
        cents_each: step.map(|step| step.cents),
        cents: step.map(|step| step.cents),
        source: step.map(|step| step.source.clone()),
    })
}

/// What the boards weigh.
fn kg(asked: &Asked) -> f64 {
    let weight = |line: &PurchaseLine| {
        let section = asked.catalogue.section(&line.section).ok()?;
        let species = asked.catalogue.species(&line.species).ok()?;
        let length = line.length.as_metre() * line.count as f64;
        Some(section.area().as_square_m() * length * species.density_kg_m3())
    };
    asked.purchase.lines.iter().filter_map(weight).sum()
}

fn hardware_line(asked: &Asked, line: &HardwareLine) -> GoodsLine {
    let used = line.count * asked.pieces;
    let kind = asked.catalogue.find_fastener_by_id(&line.item).map(|item| item.kind);
    let count = used + spares(kind, used);
    let price = asked.catalogue.pricing().item(&line.item, line.each);
    let each = line.each.map_or(String::new(), |each| format!(", {}", asked.plan.reading.text(each)));
    let blank = GoodsLine {
        goods: Goods::Hardware,
        name: format!("{}{each}", line.name),
        amount: count as f64,
        unit: "piece",
        bought: None,
        cents_each: None,
        cents: None,
        source: price.map(|price| price.source.clone()),
    };
    match price.map(|price| &price.by) {
        None => blank,
        Some(SoldBy::Piece(cents)) => {
            GoodsLine { cents_each: Some(*cents), cents: times(*cents, count), ..blank }
        }
        Some(SoldBy::Boxes(boxes)) => in_packs(blank, boxes, |holds| format!("{holds}")),
        Some(SoldBy::Length { cents, per }) => {
            let all = line.each.and_then(|each| each.checked_times(i64::try_from(count).ok()?));
            let unit = if *per == Length::mm(1000.0) { "m" } else { "ft" };
            GoodsLine {
                amount: all.map_or(blank.amount, |all| all.as_nm() as f64 / per.as_nm() as f64),
                unit,
                cents_each: Some(*cents),
                cents: all.and_then(|all| price?.cents_of_length(all)),
                ..blank
            }
        }
    }
}

/// What is bought of the packs a thing comes in; they are paid whole.
fn in_packs(line: GoodsLine, packs: &[Pack], holds: impl Fn(f64) -> String) -> GoodsLine {
    let Some(bought) = Pack::cheapest(packs, line.amount) else { return line };
    let words = bought.packs.iter().map(|(pack, count)| format!("{count} of {}", holds(pack.holds)));
    let cents_each = match bought.packs.as_slice() {
        [(pack, _)] => pack.price_cents,
        _ => None,
    };
    GoodsLine {
        bought: Some(words.collect::<Vec<_>>().join(" + ")),
        cents_each,
        cents: bought.price_cents,
        ..line
    }
}

/// The area that a consumable goes over, once.
fn area_of(asked: &Asked, kind: ConsumableKind) -> Area {
    let bill = &asked.plan.bill;
    let one = match kind {
        ConsumableKind::Finish | ConsumableKind::Abrasive => bill.surface,
        ConsumableKind::Sealer => end_grain(asked.model),
        ConsumableKind::Glue => bill.glue,
    };
    one * asked.pieces as f64
}

fn consumable(asked: &Asked, kind: ConsumableKind) -> Option<GoodsLine> {
    let area = area_of(asked, kind).as_square_m();
    let blank = |name: &str, amount, unit| GoodsLine {
        goods: Goods::Consumable,
        name: name.to_string(),
        amount,
        unit,
        bought: None,
        cents_each: None,
        cents: None,
        source: None,
    };
    let Some(own) = asked.catalogue.pricing().consumables.get(&kind) else {
        return (area > 0.0).then(|| blank(kind.word(), area, "m2"));
    };
    let amount = own.amount(area);
    let measure = Measure::of(own, asked.plan.reading.tape);
    let packed = in_packs(blank(&own.name, amount, measure.unit), &own.packs, |holds| measure.text(holds));
    let told = GoodsLine { amount: measure.rounded_up(amount), source: Some(own.source.clone()), ..packed };
    (amount > 0.0).then_some(told)
}

/// How amounts of a consumable are told.
struct Measure {
    unit: &'static str,
    /// Litres or sheets in one of the unit.
    holds: f64,
    /// Amounts are rounded up to so many of the unit.
    step: f64,
}

impl Measure {
    /// Hundredths of a litre, whole fluid ounces on inch papers, whole sheets.
    fn of(own: &Consumable, tape: Tape) -> Measure {
        match own.unit {
            ConsumableUnit::Sheet => Measure { unit: "sheet", holds: 1.0, step: 1.0 },
            ConsumableUnit::Litre if tape.is_inch() => {
                Measure { unit: "fl oz", holds: LITRES_PER_FLUID_OUNCE, step: 1.0 }
            }
            ConsumableUnit::Litre => Measure { unit: "litre", holds: 1.0, step: 0.01 },
        }
    }

    fn rounded_up(&self, amount: f64) -> f64 {
        let steps = (amount / self.holds / self.step - 1e-9).ceil();
        // Over the whole number of steps in one, so that 0.43 is 0.43 and not 0.43000000000000005.
        steps / (1.0 / self.step).round()
    }

    /// What a pack holds: "0.5 litre", "33.8 fl oz", "25 sheets".
    fn text(&self, holds: f64) -> String {
        let own = holds / self.holds;
        let plural = if self.unit == "sheet" && own > 1.0 { "s" } else { "" };
        // Tenths of an ounce, hundredths of a litre: as labels have them.
        let parts = if self.unit == "fl oz" { 10.0 } else { 100.0 };
        format!("{} {}{plural}", (own * parts).round() / parts, self.unit)
    }
}

/// A face this steep across the grain (as a cosine) is end grain to a brush: cut at over 30 degrees from the grain (project
/// choice).
const ACROSS_THE_GRAIN: f64 = 0.5;

/// End grain of all parts, shoulders of notches included; walls of holes left out.
pub(super) fn end_grain(model: &Model) -> Area {
    let faces = model.parts.iter().flat_map(|part| part.solid.faces());
    let ends = faces.filter(|face| face.normal.x.abs() > ACROSS_THE_GRAIN);
    Area::square_mm(ends.map(face_area).sum())
}
