//! Words about boards: sections, what the tape says, what the yard stocks, what lies on the rack.

use super::form::pieces;
use super::{Entries, Form};
use crate::host::HostResult;
use crate::modules::Subject;
use rhai::{EvalAltResult, ImmutableString, Map, NativeCallContext};
use slatwork_base::{Diagnostic, Length};
use slatwork_catalog::{
    DEFECT_SIDES, Defect, DefectSide, Item, Measured, Offcut, Rate, SECTION_CLASSES, Section, SectionClass,
    StockItem, StockLength, Volume,
};

pub(super) fn words(subject: &mut Subject) {
    subject.function(
        "section(c: catalogue, name: text, options: map)",
        "A lumber section of your own. Options: `thickness`, `width` (lengths, as the boards come), `lengths` (a list: \
         what it is sold in), `aliases` (texts), `class` (board, decking, dimension, timber, hardwood, metric, own), \
         `nominal` and `green` (thickness and width, as [2.inch, 4.inch]), `edge_radius` (length), `like` (a section to \
         take the rest from). Refuses sizes of nothing or beyond any board. \
         Example: `c.section(\"dock plank\", #{ thickness: 30.mm, width: 180.mm, lengths: [3.metre, 4.metre] });`",
        section,
    );
    subject.function(
        "measured(c: catalogue, section: text, options: map)",
        "What the tape says of the boards in hand: `thickness` or `width` or both (lengths) replace the dressed size of \
         a section, and everything follows. Refuses a section that is not there. \
         Example: `c.measured(\"1x4\", #{ width: inch(\"3 7/16\") });`",
        measured,
    );
    subject.function(
        "stock(c: catalogue, section: text, options: map)",
        "What the yard has of a section. Options: `lengths` (a list), `wood` and `grade` (texts; without them it holds \
         for any), prices as `cents` (whole numbers: one for each length, or one for all), `cents_per_foot` or \
         `cents_per_metre` (a whole number), and `available` (how many: one for each length, or one for all; without it \
         as many as wanted). Refuses a length twice, and as many prices as fit no length. \
         Example: `c.stock(\"2x6\", #{ wood: \"cypress\", lengths: [8.feet, 10.feet], cents: [2400, 3100] });`",
        stock,
    );
    subject.function(
        "rate(c: catalogue, wood: text, cents: whole number)",
        "What a wood costs, in cents for one board foot of the size it is sold by, where no piece price is given. A map may \
         follow: source and status, `by: \"cubic metre\"` (the cents are for one), `rough: true` (bought rough, by volume) and \
         `waste` (a share: of rough stock, over what goes into the parts). Refuses a negative price and a share above 1. \
         Example: `c.rate(\"white oak\", 780);`",
        |ctx: NativeCallContext, c: &mut Entries, wood: ImmutableString, cents: i64| {
            rate(ctx, c, wood, cents, Map::new())
        },
    );
    subject.form("rate", rate);
    subject.function(
        "offcut(c: catalogue, section: text, options: map)",
        "A piece on the rack, used before anything is bought. Options: `wood` and `grade` (texts), `length` (the usable \
         length), `count` (how many alike; 1 without it), `labels` (what is written on their ends, a list of texts). Refuses a length of nothing \
         and more labels than pieces. \
         Example: `c.offcut(\"2x6\", #{ wood: \"cypress\", length: inch(\"31 1/2\"), count: 4 });`",
        offcut,
    );
}

fn section(ctx: NativeCallContext, c: &mut Entries, name: ImmutableString, options: Map) -> HostResult<()> {
    const KNOWN: [&str; 9] =
        ["thickness", "width", "lengths", "aliases", "class", "nominal", "green", "edge_radius", "like"];
    let form = Form::read(&ctx, "section", options, &KNOWN)?;
    let like = like_section(&form, c)?;
    let like = like.as_ref();
    let length = "a length, as 30.mm or inch(\"1 1/2\")";
    let lengths = form.ascending("lengths")?.or(like.map(|like| like.stock_lengths.clone()));
    let entry = Section {
        name: name.to_string(),
        aliases: form.texts("aliases")?,
        class: form
            .choice("class", &SECTION_CLASSES)?
            .or(like.map(|like| like.class))
            .unwrap_or(SectionClass::Own),
        nominal: form.pair("nominal")?.or(like.and_then(|like| like.nominal)),
        thickness: form.need_or_like(
            "thickness",
            length,
            form.size("thickness")?.or(like.map(|like| like.thickness)),
        )?,
        width: form.need_or_like("width", length, form.size("width")?.or(like.map(|like| like.width)))?,
        green: form.pair("green")?.or(like.and_then(|like| like.green)),
        measured: false,
        edge_radius: form.size("edge_radius")?.or(like.and_then(|like| like.edge_radius)),
        stock_lengths: form.need_or_like("lengths", "a list of lengths, as [8.feet, 10.feet]", lengths)?,
        source: form.source(c)?,
    };
    c.add(&ctx, Item::Section(entry))
}

fn like_section(form: &Form<'_, '_>, c: &Entries) -> HostResult<Option<Section>> {
    let Some(name) = form.text("like")? else { return Ok(None) };
    let own = c.own(|item| match item {
        Item::Section(section) if section.name == name => Some(section),
        _ => None,
    });
    match own {
        Some(own) => Ok(Some(own)),
        None => c.below().section(&name).cloned().map(Some).map_err(|trouble| form.refuse(trouble)),
    }
}

fn measured(
    ctx: NativeCallContext,
    c: &mut Entries,
    section: ImmutableString,
    options: Map,
) -> HostResult<()> {
    let form = Form::read(&ctx, "measured", options, &["thickness", "width"])?;
    let (thickness, width) = (form.size("thickness")?, form.size("width")?);
    form.need("width", "a length, or a thickness, or both", width.or(thickness))?;
    let source = form.source(c)?;
    c.add(&ctx, Item::Measured(Measured { section: section.to_string(), thickness, width, source }))
}

fn stock(ctx: NativeCallContext, c: &mut Entries, section: ImmutableString, options: Map) -> HostResult<()> {
    const KNOWN: [&str; 7] =
        ["wood", "grade", "lengths", "cents", "cents_per_foot", "cents_per_metre", "available"];
    let form = Form::read(&ctx, "stock", options, &KNOWN)?;
    let lengths = form.need("lengths", "a list of lengths, as [8.feet, 10.feet]", form.sizes("lengths")?)?;
    let entry = StockItem {
        section: section.to_string(),
        species: form.text("wood")?,
        grade: form.text("grade")?,
        lengths: on_sale(&form, &lengths)?,
        source: form.source(c)?,
    };
    c.add(&ctx, Item::Stock(entry))
}

/// The lengths with their prices and counts, ascending.
fn on_sale(form: &Form<'_, '_>, lengths: &[Length]) -> HostResult<Vec<StockLength>> {
    let cents = for_each(form, "cents", (lengths.len(), "lengths"))?;
    let available = for_each(form, "available", (lengths.len(), "lengths"))?;
    let per_foot = form.whole("cents_per_foot")?.map(|cents| (cents, Length::inch(12.0)));
    let per_metre = form.whole("cents_per_metre")?.map(|cents| (cents, Length::mm(1000.0)));
    let rated =
        |length| per_foot.or(per_metre).and_then(|(cents, per)| StockLength::cents_at(length, cents, per));
    let on_sale = |(index, length): (usize, &Length)| StockLength {
        length: *length,
        price_cents: cents[index].or_else(|| rated(*length)),
        available: available[index].map(pieces),
    };
    let mut on_sale: Vec<StockLength> = lengths.iter().enumerate().map(on_sale).collect();
    on_sale.sort_by_key(|stock| stock.length);
    match on_sale.windows(2).find(|pair| pair[0].length == pair[1].length) {
        Some(pair) => Err(twice(form, pair[0].length)),
        None => Ok(on_sale),
    }
}

/// A length listed twice: which of its prices holds is not to be guessed.
fn twice(form: &Form<'_, '_>, length: Length) -> Box<EvalAltResult> {
    let message = format!("`lengths` of stock has {length} twice");
    form.refuse(Diagnostic::error("wrong-option", message).help("keep one of them"))
}

/// One value for each of so many things: as given, one for all, or none.
pub(super) fn for_each(
    form: &Form<'_, '_>,
    key: &str,
    (count, things): (usize, &str),
) -> HostResult<Vec<Option<i64>>> {
    match form.wholes(key)?.as_deref() {
        None => Ok(vec![None; count]),
        Some([one]) => Ok(vec![Some(*one); count]),
        Some(values) if values.len() == count => Ok(values.iter().copied().map(Some).collect()),
        Some(values) => {
            let (what, given) = (form.what, values.len());
            let message = format!("`{key}` of {what} has {given} values for {count} {things}");
            let help = format!("give one for each of the {things}, or one for all");
            Err(form.refuse(Diagnostic::error("wrong-option", message).help(help)))
        }
    }
}

fn rate(
    ctx: NativeCallContext,
    c: &mut Entries,
    wood: ImmutableString,
    cents: i64,
    options: Map,
) -> HostResult<()> {
    let form = Form::read(&ctx, "rate", options, &["by", "rough", "waste"])?;
    if cents < 0 {
        let message = format!("`rate` must be in whole cents, zero or more, not {cents}");
        return Err(form.refuse(Diagnostic::error("wrong-arguments", message)));
    }
    const VOLUMES: [(Volume, &str); 2] =
        [(Volume::BoardFoot, "board foot"), (Volume::CubicMetre, "cubic metre")];
    let per = form.choice("by", &VOLUMES)?.unwrap_or(Volume::BoardFoot);
    let waste = form.share("waste")?;
    let rough = form.flag("rough")?.unwrap_or(waste.is_some());
    let source = form.source(c)?;
    c.add(&ctx, Item::Rate(Rate { species: wood.to_string(), cents, per, rough, waste, source }))
}

/// Stretches that clear parts are not cut from.
fn defects(ctx: &NativeCallContext, form: &Form<'_, '_>) -> HostResult<Vec<Defect>> {
    let maps = form.maps("defects", "a map, as #{ from: 10.inch, to: 12.inch, side: \"back\" }")?;
    let defect = |values: Map| {
        let form = Form::read(ctx, "defect", values, &["from", "to", "side"])?;
        Ok(Defect {
            from: form.size("from")?.unwrap_or_default(),
            to: form.need("to", "a length, as 12.inch", form.size("to")?)?,
            side: form.choice("side", &DEFECT_SIDES)?.unwrap_or(DefectSide::Both),
        })
    };
    maps.unwrap_or_default().into_iter().map(defect).collect()
}

fn offcut(ctx: NativeCallContext, c: &mut Entries, section: ImmutableString, options: Map) -> HostResult<()> {
    let form =
        Form::read(&ctx, "offcut", options, &["wood", "grade", "length", "count", "labels", "defects"])?;
    let entry = Offcut {
        defects: defects(&ctx, &form)?,
        section: section.to_string(),
        species: form.need("wood", "a text in quotes", form.text("wood")?)?,
        grade: form.text("grade")?,
        length: form.need("length", "a length, as inch(\"31 1/2\")", form.size("length")?)?,
        count: form.count("count")?.unwrap_or(1),
        labels: form.texts("labels")?,
        source: form.source(c)?,
    };
    c.add(&ctx, Item::Offcut(entry))
}
