//! Laying entries over a catalogue: names resolved, impossible ones refused, doubles found.

use crate::section::section_key;
use crate::{Catalogue, Item, Measured, Offcut, Overlay, Rate, Section, StockItem, Tools, Yard};
use slatwork_base::{Diagnostic, Length, Outcome, Place, did_you_mean};
use std::collections::BTreeMap;

/// No board is thicker or wider than this; more is a slip of the unit.
const WIDEST_SECTION: Length = Length::nm(1_000_000_000);
/// No board is longer than this; more is a slip of the unit.
const LONGEST_BOARD: Length = Length::nm(20_000_000_000);

pub(crate) fn lay(base: &Catalogue, overlay: Overlay) -> Outcome<Catalogue> {
    let mut catalogue = base.clone();
    let mut troubles = Vec::new();
    let mut seen = BTreeMap::new();
    let (definitions, others) = overlay.into_passes();
    for items in [definitions, others] {
        for (item, place) in items {
            let result = once(&mut seen, &item, place.as_ref()).and_then(|()| take(&mut catalogue, item));
            troubles.extend(result.err().map(|trouble| placed(trouble, place)));
        }
        // Once a pass, not once an entry: the second pass looks names up.
        catalogue.index();
    }
    if troubles.is_empty() {
        Outcome::fine(catalogue)
    } else {
        Outcome { value: None, diagnostics: troubles }
    }
}

fn placed(trouble: Diagnostic, place: Option<Place>) -> Diagnostic {
    match place {
        Some(place) if trouble.place.is_none() => trouble.at(place),
        _ => trouble,
    }
}

/// Refuses an entry that the same overlay gives twice.
fn once(
    seen: &mut BTreeMap<String, Option<Place>>,
    item: &Item,
    place: Option<&Place>,
) -> Result<(), Diagnostic> {
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
            Err(trouble.help("keep one of them"))
        }
    }
}

/// What an entry must be the only one of; offcuts and single settings may repeat.
fn name_of(item: &Item) -> Option<String> {
    Some(match item {
        Item::Section(section) => format!("section `{}`", section.name),
        Item::Measured(measured) => format!("the measure of `{}`", measured.section),
        Item::Species(species) => format!("species `{}`", species.id),
        Item::Design(row) => {
            format!(
                "{} {} for widths from {} and thicknesses from {}",
                row.group, row.grade, row.widths.least, row.thicknesses.least
            )
        }
        Item::Fastener(fastener) => format!("fastener `{}`", fastener.id),
        Item::Drill(drill) => format!("drill sizes for {} `{}`", drill.kind.word(), drill.size),
        Item::Hardware(hardware) => format!("hardware `{}`", hardware.id),
        Item::Stock(stock) => {
            let named = [&stock.species, &stock.grade].into_iter().flatten();
            named.fold(format!("stock of `{}`", stock.section), |name, part| format!("{name} {part}"))
        }
        Item::Rate(rate) => format!("the rate of `{}`", rate.species),
        Item::Tool(tool) => format!("`{}`", tool.name),
        Item::Offcut(_) | Item::OnlyListed(_) | Item::Currency(_) => return None,
    })
}

fn take(catalogue: &mut Catalogue, item: Item) -> Result<(), Diagnostic> {
    match item {
        Item::Section(section) => {
            possible(&section)?;
            catalogue.sections.insert(section_key(&section.name), section);
        }
        Item::Species(species) => {
            sensible(&species)?;
            catalogue.species.insert(species.id.clone(), *species);
        }
        Item::Measured(measured) => measure(catalogue, measured)?,
        Item::Design(row) => {
            let same = |own: &crate::DesignValues| {
                (&own.group, &own.grade, own.widths, own.thicknesses)
                    == (&row.group, &row.grade, row.widths, row.thicknesses)
            };
            catalogue.design.retain(|own| !same(own));
            catalogue.design.push(row);
        }
        Item::Fastener(fastener) => _ = catalogue.fasteners.insert(fastener.id.clone(), fastener),
        Item::Drill(drill) => {
            catalogue.drills.retain(|own| (own.kind, &own.size) != (drill.kind, &drill.size));
            catalogue.drills.push(drill);
        }
        Item::Hardware(hardware) => _ = catalogue.hardware.insert(hardware.id.clone(), hardware),
        Item::Stock(stock) => stocked(catalogue, stock)?,
        Item::Rate(rate) => rated(catalogue, rate)?,
        Item::Offcut(offcut) => racked(catalogue, offcut)?,
        Item::Tool(setting) => {
            let name = setting.name.clone();
            if !catalogue.tools.set(setting) {
                return Err(unknown_tool(&name));
            }
        }
        Item::OnlyListed(only) => catalogue.yard.only_listed = only,
        Item::Currency(currency) => catalogue.yard.currency = currency,
    }
    Ok(())
}

fn impossible(what: String) -> Diagnostic {
    Diagnostic::error("impossible-size", what).help("look at the unit: in, ft, mm or m")
}

fn possible(section: &Section) -> Result<(), Diagnostic> {
    for (side, size) in [("thickness", section.thickness), ("width", section.width)] {
        if !size.is_positive() || size > WIDEST_SECTION {
            return Err(impossible(format!("section `{}` cannot have a {side} of {size}", section.name)));
        }
    }
    match section.stock_lengths.iter().find(|length| !length.is_positive() || **length > LONGEST_BOARD) {
        Some(length) => Err(impossible(format!("section `{}` cannot be {length} long", section.name))),
        None => Ok(()),
    }
}

/// Heaviest wood known is about 1.3 on oven-dry volume; more is a slip.
const HEAVIEST_WOOD: f64 = 1.5;

fn sensible(species: &crate::Species) -> Result<(), Diagnostic> {
    let gravities = [Some(species.gravity_green), species.gravity_12, species.design_gravity];
    let out = |gravity: &f64| !(*gravity > 0.0 && *gravity <= HEAVIEST_WOOD);
    if let Some(gravity) = gravities.into_iter().flatten().find(out) {
        let message = format!("{} cannot have a specific gravity of {gravity}", species.name);
        return Err(Diagnostic::error("impossible-size", message)
            .help("it is the density over that of water: 0.3 to 1.1"));
    }
    if !(species.fibre_saturation > 0.0 && species.shrinkage.volumetric < 50.0) {
        let message = format!("{} cannot move like that", species.name);
        return Err(Diagnostic::error("impossible-size", message)
            .help("shrinkage and fibre saturation are in percent"));
    }
    Ok(())
}

fn measure(catalogue: &mut Catalogue, measured: Measured) -> Result<(), Diagnostic> {
    let key = section_key(&catalogue.section(&measured.section)?.name);
    let Some(section) = catalogue.sections.get_mut(&key) else { return Ok(()) };
    let mut sized = section.clone();
    sized.thickness = measured.thickness.unwrap_or(sized.thickness);
    sized.width = measured.width.unwrap_or(sized.width);
    sized.measured = true;
    for (figure, given) in [("thickness", measured.thickness), ("width", measured.width)] {
        if given.is_some() {
            sized.source.exceptions.insert(figure.to_string(), crate::Status::Measured);
        }
    }
    possible(&sized)?;
    *section = sized;
    Ok(())
}

fn stocked(catalogue: &mut Catalogue, mut stock: StockItem) -> Result<(), Diagnostic> {
    stock.section = catalogue.section(&stock.section)?.name.clone();
    if let Some(species) = &stock.species {
        stock.species = Some(catalogue.species(species)?.id.clone());
    }
    if let Some(long) = stock.lengths.iter().find(|stock| stock.length > LONGEST_BOARD) {
        return Err(impossible(format!("no yard has `{}` in {}", stock.section, long.length)));
    }
    let Yard { items, .. } = &mut catalogue.yard;
    items.retain(|own| {
        (&own.section, &own.species, &own.grade) != (&stock.section, &stock.species, &stock.grade)
    });
    items.push(stock);
    Ok(())
}

fn rated(catalogue: &mut Catalogue, mut rate: Rate) -> Result<(), Diagnostic> {
    rate.species = catalogue.species(&rate.species)?.id.clone();
    catalogue.yard.rates.insert(rate.species.clone(), rate);
    Ok(())
}

fn racked(catalogue: &mut Catalogue, mut offcut: Offcut) -> Result<(), Diagnostic> {
    offcut.section = catalogue.section(&offcut.section)?.name.clone();
    offcut.species = catalogue.species(&offcut.species)?.id.clone();
    if !offcut.length.is_positive() || offcut.length > LONGEST_BOARD {
        return Err(impossible(format!("an offcut cannot be {} long", offcut.length)));
    }
    catalogue.rack.push(offcut);
    Ok(())
}

fn unknown_tool(name: &str) -> Diagnostic {
    let trouble = Diagnostic::error("unknown-key", format!("the shop has no `{name}` of that sort"));
    match did_you_mean(name, Tools::names()) {
        Some(near) => trouble.help(format!("did you mean `{near}`?")),
        None => trouble.help(format!("it has {}", Tools::names().collect::<Vec<_>>().join(", "))),
    }
}
