//! Laying entries over a catalogue: names resolved, impossible ones refused, doubles found.

mod pricing;

use crate::fastener::size_key;
use crate::overlay::Placed;
use crate::section::section_key;
use crate::species::species_key;
use crate::tools::is_angle;
use crate::{
    BodySize, Catalogue, Defect, DesignValues, DrillSizes, Item, Measured, Offcut, Overlay, Rate, Section,
    Species, Status, StockItem, ToolSetting, Tools, Yard,
};
use slatwork_base::{Diagnostic, Length, Outcome, Place, did_you_mean};
use std::collections::BTreeMap;

/// No board is thicker or wider than this; more is a slip of the unit.
const WIDEST_SECTION: Length = Length::nm(1_000_000_000);
/// No board is longer than this; more is a slip of the unit.
const LONGEST_BOARD: Length = Length::nm(20_000_000_000);

pub(crate) fn lay(base: &Catalogue, overlay: Overlay) -> Outcome<Catalogue> {
    let mut catalogue = base.clone();
    let troubles = lay_on(&mut catalogue, overlay);
    if troubles.is_empty() {
        Outcome::fine(catalogue)
    } else {
        Outcome { value: None, diagnostics: troubles }
    }
}

/// Lays entries on a catalogue in place, as far as they are right.
pub(crate) fn lay_on(catalogue: &mut Catalogue, overlay: Overlay) -> Vec<Diagnostic> {
    let mut troubles = Vec::new();
    let mut seen = BTreeMap::new();
    let (definitions, others) = overlay.into_passes();
    for entries in [definitions, others] {
        let is_looked_up = entries.iter().any(|entry| is_looked_up(&entry.item));
        for Placed { item, place, figures } in entries {
            let result = once(&mut seen, &item, place.as_ref()).and_then(|()| take(catalogue, item));
            troubles.extend(result.err().map(|trouble| trouble.placed(place, &figures)));
        }
        // Once a pass, not once an entry: the second pass looks names up.
        if is_looked_up {
            catalogue.index();
        }
    }
    troubles
}

/// Whether an entry is found by its names or its size, for which the catalogue keeps tables.
fn is_looked_up(item: &Item) -> bool {
    matches!(item, Item::Section(_) | Item::Species(_) | Item::Fastener(_) | Item::Drill(_))
}

/// A trouble with the figure it is about, so that it can be told at that figure's place.
struct Trouble {
    figure: &'static str,
    diagnostic: Diagnostic,
}

impl Trouble {
    fn about(figure: &'static str) -> impl Fn(Diagnostic) -> Trouble {
        move |diagnostic| Trouble { figure, diagnostic }
    }

    fn help(mut self, words: &str) -> Trouble {
        self.diagnostic = self.diagnostic.help(words);
        self
    }

    fn placed(self, place: Option<Place>, figures: &BTreeMap<String, Place>) -> Diagnostic {
        match figures.get(self.figure).cloned().or(place) {
            Some(place) if self.diagnostic.place.is_none() => self.diagnostic.at(place),
            _ => self.diagnostic,
        }
    }
}

/// Refuses an entry that the same overlay gives twice.
fn once(
    seen: &mut BTreeMap<String, Option<Place>>,
    item: &Item,
    place: Option<&Place>,
) -> Result<(), Trouble> {
    let Some(name) = name_of(item) else { return Ok(()) };
    match seen.get(&name) {
        None => {
            seen.insert(name, place.cloned());
            Ok(())
        }
        Some(first) => {
            let trouble = Diagnostic::error("duplicate-entry", format!("{name} is given twice"));
            let trouble = place.cloned().into_iter().fold(trouble, Diagnostic::at);
            let trouble = first
                .clone()
                .into_iter()
                .fold(trouble, |trouble, first| trouble.with_trace(first, "first here"));
            Err(Trouble::about("")(trouble.help("keep one of them")))
        }
    }
}

/// What an entry must be the only one of; offcuts and single settings may repeat.
fn name_of(item: &Item) -> Option<String> {
    Some(match item {
        Item::Section(section) => format!("section `{}`", section_key(&section.name)),
        Item::Measured(measured) => format!("the measure of `{}`", measured.section),
        Item::Species(species) => format!("species `{}`", species.id),
        Item::Design(row) => {
            format!(
                "{} {} for widths from {} and thicknesses from {}",
                row.group, row.grade, row.widths.least, row.thicknesses.least
            )
        }
        Item::Fastener(fastener) => format!("fastener `{}`", fastener.id),
        Item::Drill(drill) => format!("drill sizes for {} `{}`", drill.kind.word(), size_key(&drill.size)),
        Item::Hardware(hardware) => format!("hardware `{}`", hardware.id),
        Item::Body(body) => {
            format!("the {} of {} `{}`", body.measure.word(), body.sex.word(), body.population)
        }
        Item::Stock(stock) => {
            let named = [&stock.species, &stock.grade].into_iter().flatten();
            named.fold(format!("stock of `{}`", stock.section), |name, part| format!("{name} {part}"))
        }
        Item::Rate(rate) => format!("the rate of `{}`", rate.species),
        Item::Tool(tool) => format!("`{}`", tool.name),
        Item::Price(price) => pricing::name_of_price(price),
        Item::Delivery(step) => format!("delivery `{}`", step.name),
        Item::Consumable(own) => format!("the {}", own.kind.word()),
        Item::Labour(labour) => format!("the labour of `{}`", labour.operation.row().name),
        Item::Term(term) => format!("the term `{}`", term.name),
        Item::Offcut(_) | Item::OnlyListed(_) | Item::Currency(_) => return None,
    })
}

fn take(catalogue: &mut Catalogue, item: Item) -> Result<(), Trouble> {
    match item {
        Item::Section(section) => {
            named(&section.name, "name")?;
            possible(&section)?;
            free_section_aliases(catalogue, &section)?;
            catalogue.sections.insert(section_key(&section.name), section);
        }
        Item::Species(species) => {
            named(&species.name, "name")?;
            named(&species.id, "id")?;
            sensible(&species)?;
            free_species_aliases(catalogue, &species)?;
            catalogue.species.insert(species.id.clone(), *species);
        }
        Item::Measured(measured) => measure(catalogue, measured)?,
        Item::Design(row) => {
            let same = |own: &DesignValues| {
                (&own.group, &own.grade, own.widths, own.thicknesses)
                    == (&row.group, &row.grade, row.widths, row.thicknesses)
            };
            catalogue.design.retain(|own| !same(own));
            catalogue.design.push(row);
        }
        Item::Fastener(fastener) => _ = catalogue.fasteners.insert(fastener.id.clone(), fastener),
        Item::Drill(drill) => {
            let same =
                |own: &DrillSizes| own.kind == drill.kind && size_key(&own.size) == size_key(&drill.size);
            catalogue.drills.retain(|own| !same(own));
            catalogue.drills.push(drill);
        }
        Item::Hardware(hardware) => _ = catalogue.hardware.insert(hardware.id.clone(), hardware),
        Item::Body(body) => embody(catalogue, body)?,
        Item::Stock(stock) => stocked(catalogue, stock)?,
        Item::Rate(rate) => rated(catalogue, rate)?,
        Item::Offcut(offcut) => racked(catalogue, offcut)?,
        Item::Tool(setting) => set(catalogue, setting)?,
        Item::Price(price) => pricing::price(catalogue, price)?,
        Item::Delivery(step) => pricing::delivery(catalogue, step)?,
        Item::Consumable(own) => pricing::consumable(catalogue, own)?,
        Item::Labour(labour) => pricing::labour(catalogue, labour)?,
        Item::Term(term) => catalogue.pricing.terms.set(term).map_err(Trouble::about("value"))?,
        Item::OnlyListed(only) => catalogue.yard.only_listed = only,
        Item::Currency(currency) => catalogue.yard.currency = currency,
    }
    Ok(())
}

fn named(name: &str, figure: &'static str) -> Result<(), Trouble> {
    if name.chars().any(char::is_alphanumeric) {
        return Ok(());
    }
    let message = format!("`{name}` is no {figure}");
    Err(Trouble::about(figure)(
        Diagnostic::error("wrong-value", message).help("it needs a letter or a digit"),
    ))
}

/// An alias that is another entry's name would never be found: refused rather than passed over.
fn free_section_aliases(catalogue: &Catalogue, section: &Section) -> Result<(), Trouble> {
    let own = section_key(&section.name);
    let taken = |alias: &&String| {
        let key = section_key(alias);
        key != own && catalogue.sections.contains_key(&key)
    };
    section.aliases.iter().find(taken).map_or(Ok(()), |alias| Err(taken_alias(alias, "section")))
}

fn free_species_aliases(catalogue: &Catalogue, species: &Species) -> Result<(), Trouble> {
    let others = || catalogue.species.values().filter(|other| other.id != species.id);
    let taken = |alias: &&String| {
        let key = species_key(alias);
        others().any(|other| [&other.name, &other.id].into_iter().any(|name| species_key(name) == key))
    };
    species.aliases.iter().find(taken).map_or(Ok(()), |alias| Err(taken_alias(alias, "wood")))
}

fn taken_alias(alias: &str, what: &str) -> Trouble {
    let message = format!("the alias `{alias}` is the name of another {what}");
    let help = format!("choose another alias, or name yours `{alias}` to replace it");
    Trouble::about("aliases")(Diagnostic::error("duplicate-entry", message).help(help))
}

fn impossible(figure: &'static str, what: String) -> Trouble {
    Trouble::about(figure)(
        Diagnostic::error("impossible-size", what).help("look at the unit: in, ft, mm or m"),
    )
}

fn possible(section: &Section) -> Result<(), Trouble> {
    for (side, size) in [("thickness", section.thickness), ("width", section.width)] {
        if !size.is_positive() || size > WIDEST_SECTION {
            return Err(impossible(
                side,
                format!("section `{}` cannot have a {side} of {size}", section.name),
            ));
        }
    }
    match section.stock_lengths.iter().find(|length| !length.is_positive() || **length > LONGEST_BOARD) {
        Some(length) => {
            Err(impossible("lengths", format!("section `{}` cannot be {length} long", section.name)))
        }
        None => Ok(()),
    }
}

/// The heaviest wood known is about 1.3 on oven-dry volume; more is a slip.
const HEAVIEST_WOOD: f64 = 1.5;
/// No wood loses half its volume in drying; more is a slip.
const GREATEST_SHRINKAGE: f64 = 50.0;

fn sensible(species: &Species) -> Result<(), Trouble> {
    let gravities = [
        ("gravity_green", Some(species.gravity_green)),
        ("gravity_12", species.gravity_12),
        ("design_gravity", species.design_gravity),
    ];
    for (figure, gravity) in gravities {
        if let Some(gravity) = gravity.filter(|gravity| !(*gravity > 0.0 && *gravity <= HEAVIEST_WOOD)) {
            let message = format!("{} cannot have a specific gravity of {gravity}", species.name);
            let help = "it is the density over that of water: 0.3 to 1.1";
            return Err(Trouble::about(figure)(Diagnostic::error("impossible-size", message).help(help)));
        }
    }
    let percent = |figure, message| {
        let diagnostic = Diagnostic::error("impossible-size", message).help("it is in percent");
        Err(Trouble::about(figure)(diagnostic))
    };
    if !(species.fibre_saturation > 0.0 && species.fibre_saturation <= 100.0) {
        let message = format!("{} cannot be saturated at {}", species.name, species.fibre_saturation);
        return percent("fibre_saturation", message);
    }
    let shrinkage = species.shrinkage.volumetric;
    if !(0.0..GREATEST_SHRINKAGE).contains(&shrinkage) {
        return percent("shrinkage_volumetric", format!("{} cannot shrink by {shrinkage}", species.name));
    }
    Ok(())
}

/// No measure of an adult's body is longer, mm; a mean beyond it is a slip of the unit.
const TALLEST: f64 = 2_500.0;

fn embody(catalogue: &mut Catalogue, body: BodySize) -> Result<(), Trouble> {
    named(&body.population, "population")?;
    for (figure, size, most) in [("mean", body.mean, TALLEST), ("sd", body.deviation, body.mean)] {
        if !(size > 0.0 && size <= most) {
            let message = format!("a {} cannot have a {figure} of {size} mm", body.measure.word());
            let help = "body sizes are in mm";
            return Err(Trouble::about(figure)(Diagnostic::error("impossible-size", message).help(help)));
        }
    }
    catalogue.bodies.retain(|own| !own.is_of_same(&body));
    catalogue.bodies.push(body);
    Ok(())
}

fn measure(catalogue: &mut Catalogue, measured: Measured) -> Result<(), Trouble> {
    let key = section_key(&catalogue.section(&measured.section).map_err(Trouble::about("section"))?.name);
    let Some(section) = catalogue.sections.get_mut(&key) else { return Ok(()) };
    let mut sized = section.clone();
    sized.thickness = measured.thickness.unwrap_or(sized.thickness);
    sized.width = measured.width.unwrap_or(sized.width);
    sized.measured = true;
    for (figure, given) in [("thickness", measured.thickness), ("width", measured.width)] {
        if given.is_some() {
            sized.source.exceptions.insert(figure.to_string(), Status::Measured);
        }
    }
    possible(&sized)?;
    *section = sized;
    Ok(())
}

fn stocked(catalogue: &mut Catalogue, mut stock: StockItem) -> Result<(), Trouble> {
    stock.section = section_name(catalogue, &stock.section)?;
    stock.species = stock.species.map(|species| species_id(catalogue, &species)).transpose()?;
    if let Some(long) = stock.lengths.iter().find(|stock| stock.length > LONGEST_BOARD) {
        return Err(impossible("lengths", format!("no yard has `{}` in {}", stock.section, long.length)));
    }
    let Yard { items, .. } = &mut catalogue.yard;
    items.retain(|own| {
        (&own.section, &own.species, &own.grade) != (&stock.section, &stock.species, &stock.grade)
    });
    items.push(stock);
    Ok(())
}

fn rated(catalogue: &mut Catalogue, mut rate: Rate) -> Result<(), Trouble> {
    rate.species = species_id(catalogue, &rate.species)?;
    pricing::cents("cents_per_board_foot", rate.cents)?;
    catalogue.yard.rates.insert(rate.species.clone(), rate);
    Ok(())
}

fn racked(catalogue: &mut Catalogue, mut offcut: Offcut) -> Result<(), Trouble> {
    offcut.section = section_name(catalogue, &offcut.section)?;
    offcut.species = species_id(catalogue, &offcut.species)?;
    if !offcut.length.is_positive() || offcut.length > LONGEST_BOARD {
        return Err(impossible("length", format!("an offcut cannot be {} long", offcut.length)));
    }
    offcut.defects.sort_by_key(|defect| (defect.from, defect.to));
    let is_on = |defect: &&Defect| {
        Length::ZERO <= defect.from && defect.from < defect.to && defect.to <= offcut.length
    };
    if let Some(wrong) = offcut.defects.iter().find(|defect| !is_on(defect)) {
        let told = format!("a defect from {} to {} does not lie on {}", wrong.from, wrong.to, offcut.length);
        return Err(impossible("defects", told));
    }
    if offcut.labels.len() > offcut.count as usize {
        let told = format!("there are {} labels for {} offcuts", offcut.labels.len(), offcut.count);
        let fault = Diagnostic::error("impossible-size", told);
        return Err(Trouble::about("labels")(fault.help("give each offcut one label, or raise the count")));
    }
    catalogue.rack.push(offcut);
    Ok(())
}

fn section_name(catalogue: &Catalogue, name: &str) -> Result<String, Trouble> {
    catalogue.section(name).map(|section| section.name.clone()).map_err(Trouble::about("section"))
}

fn species_id(catalogue: &Catalogue, name: &str) -> Result<String, Trouble> {
    catalogue.species(name).map(|species| species.id.clone()).map_err(Trouble::about("species"))
}

/// Sets a figure of the tools: only plain data can name one that is not there, or give an angle for a length.
fn set(catalogue: &mut Catalogue, setting: ToolSetting) -> Result<(), Trouble> {
    let name = setting.name.clone();
    if catalogue.tools.set(setting) {
        return Ok(());
    }
    let diagnostic = match is_angle(&name) {
        Some(angle) => {
            let sort = if angle { "an angle" } else { "a length" };
            Diagnostic::error("wrong-value", format!("`{name}` must be {sort}"))
        }
        None => {
            let trouble = Diagnostic::error("unknown-key", format!("the tools have no `{name}`"));
            match did_you_mean(&name, Tools::names()) {
                Some(near) => trouble.help(format!("did you mean `{near}`?")),
                None => trouble.help(format!("they have {}", Tools::names().collect::<Vec<_>>().join(", "))),
            }
        }
    };
    Err(Trouble::about("value")(diagnostic))
}
