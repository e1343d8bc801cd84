//! One reader for each kind of entry.

use super::row::{File, Row, unknown_key};
use crate::design::{NominalRange, SIZE_RULES};
use crate::fastener::FASTENER_KINDS;
use crate::hardware::HARDWARE_KINDS;
use crate::section::SECTION_CLASSES;
use crate::species::{DECAY_CLASSES, species_key};
use crate::tools::is_angle;
use crate::{
    Catalogue, ClearWood, DesignValues, DrillSizes, Fastener, Hardware, Item, Measured, Offcut, Overlay,
    Rate, Rating, STATUS_WORDS, Section, SectionClass, Shrinkage, Source, Species, StockItem, StockLength,
    ToolSetting, ToolValue, Tools,
};
use indexmap::IndexMap;
use slatwork_base::{Angle, Diagnostic, Length};
use toml::Spanned;
use toml::de::DeValue;

fn add<T>(row: &Row<'_, '_>, overlay: &mut Overlay, entry: Option<T>, item: impl Fn(T) -> Item) {
    if let Some(entry) = entry {
        overlay.add_at(item(entry), row.place());
    }
}

/// The entry that `like = ".."` names, if it does.
fn like<'c, T>(row: &Row<'_, '_>, find: impl Fn(&str) -> Result<&'c T, Diagnostic>) -> Option<&'c T> {
    match find(&row.text("like")?) {
        Ok(entry) => Some(entry),
        Err(trouble) => {
            row.report(trouble.at(row.place_of("like")));
            None
        }
    }
}

pub(super) fn section(row: &Row<'_, '_>, base: &Catalogue, overlay: &mut Overlay) {
    let like = like(row, |name| base.section(name));
    let entry = (|| {
        let (name, source) = (row.text("name"), row.source());
        let (thickness, width) = (row.length("thickness"), row.length("width"));
        let class = row.choice("class", &SECTION_CLASSES);
        let aliases = row.texts("aliases");
        let (nominal, green) = (row.pair("nominal"), row.pair("green"));
        let (edge_radius, lengths) = (row.length("edge_radius"), row.lengths("lengths"));
        Some(Section {
            name: row.need("name", name)?,
            aliases,
            class: class.or(like.map(|like| like.class)).unwrap_or(SectionClass::Own),
            nominal: nominal.or(like.and_then(|like| like.nominal)),
            thickness: row.need("thickness", thickness.or(like.map(|like| like.thickness)))?,
            width: row.need("width", width.or(like.map(|like| like.width)))?,
            green: green.or(like.and_then(|like| like.green)),
            measured: false,
            edge_radius: edge_radius.or(like.and_then(|like| like.edge_radius)),
            stock_lengths: row.need("lengths", lengths.or(like.map(|like| like.stock_lengths.clone())))?,
            source: source?,
        })
    })();
    add(row, overlay, entry, Item::Section);
}

pub(super) fn measured(row: &Row<'_, '_>, _: &Catalogue, overlay: &mut Overlay) {
    let (section, source) = (row.text("section"), row.source());
    let (thickness, width) = (row.length("thickness"), row.length("width"));
    let entry =
        (|| Some(Measured { section: row.need("section", section)?, thickness, width, source: source? }))();
    if thickness.is_none() && width.is_none() {
        row.need("thickness", None::<Length>);
    }
    add(row, overlay, entry, Item::Measured);
}

pub(super) fn species(row: &Row<'_, '_>, base: &Catalogue, overlay: &mut Overlay) {
    let like = like(row, |name| base.species(name)).cloned();
    let name = row.text("name");
    let id = row.text("id").or_else(|| name.as_deref().map(|name| species_key(name).replace(' ', "_")));
    let (aliases, botanical, hardwood) = (row.texts("aliases"), row.text("botanical"), row.flag("hardwood"));
    let (gravity_green, gravity_12) = (row.number("gravity_green"), row.number("gravity_12"));
    let (decay, decay_note, tannic) =
        (row.choice("decay", &DECAY_CLASSES), row.text("decay_note"), row.flag("tannic"));
    let (design_group, design_gravity) = (row.text("design_group"), row.number("design_gravity"));
    let fibre_saturation = row.number("fibre_saturation");
    let clear = clear_wood(row, like.as_ref());
    let shrinkage = shrinkage(row, like.as_ref());
    let source = row.source();
    let from = like.as_ref();
    let entry = (|| {
        Some(Species {
            name: row.need("name", name)?,
            id: id?,
            aliases,
            botanical: botanical.or(from.map(|like| like.botanical.clone())).unwrap_or_default(),
            hardwood: row.need("hardwood", hardwood.or(from.map(|like| like.hardwood)))?,
            gravity_12: gravity_12.or(from.and_then(|like| like.gravity_12)),
            gravity_green: row
                .need("gravity_green", gravity_green.or(from.map(|like| like.gravity_green)))?,
            clear: clear?,
            shrinkage: shrinkage?,
            fibre_saturation: row
                .need("fibre_saturation", fibre_saturation.or(from.map(|like| like.fibre_saturation)))?,
            decay: row.need("decay", decay.or(from.map(|like| like.decay)))?,
            decay_note: decay_note.or(from.map(|like| like.decay_note.clone())).unwrap_or_default(),
            tannic: row.need("tannic", tannic.or(from.map(|like| like.tannic)))?,
            design_group: design_group.or(from.and_then(|like| like.design_group.clone())),
            design_gravity: design_gravity.or(from.and_then(|like| like.design_gravity)),
            source: source?,
        })
    })();
    add(row, overlay, entry, |species| Item::Species(Box::new(species)));
}

fn clear_wood(row: &Row<'_, '_>, like: Option<&Species>) -> Option<ClearWood> {
    let from = like.map(|like| like.clear);
    let figure = |key, own: Option<f64>| row.need(key, row.number(key).or(own));
    let elasticity = figure("elasticity_mpa", from.map(|clear| clear.elasticity_mpa));
    let rupture = figure("rupture_mpa", from.map(|clear| clear.rupture_mpa));
    let shear = figure("shear_mpa", from.map(|clear| clear.shear_mpa));
    let compression = figure("compression_mpa", from.map(|clear| clear.compression_mpa));
    let hardness = figure("hardness_n", from.map(|clear| clear.hardness_n));
    let across = row.number("compression_across_mpa").or(from.and_then(|clear| clear.compression_across_mpa));
    Some(ClearWood {
        elasticity_mpa: elasticity?,
        rupture_mpa: rupture?,
        shear_mpa: shear?,
        compression_mpa: compression?,
        compression_across_mpa: across,
        hardness_n: hardness?,
    })
}

fn shrinkage(row: &Row<'_, '_>, like: Option<&Species>) -> Option<Shrinkage> {
    let from = like.map(|like| like.shrinkage);
    let figure = |key, own: Option<f64>| row.need(key, row.number(key).or(own));
    let radial = figure("shrinkage_radial", from.map(|shrinkage| shrinkage.radial));
    let tangential = figure("shrinkage_tangential", from.map(|shrinkage| shrinkage.tangential));
    let volumetric = figure("shrinkage_volumetric", from.map(|shrinkage| shrinkage.volumetric));
    Some(Shrinkage { radial: radial?, tangential: tangential?, volumetric: volumetric? })
}

/// `[[design]]`: a group of one species group and source, with a table for each grade.
pub(super) fn design(row: &Row<'_, '_>, _: &Catalogue, overlay: &mut Overlay) {
    let (group, source) = (row.text("group"), row.source());
    let size_rule = row.choice("size_rule", &SIZE_RULES);
    let (gravity, thicknesses) = (row.number("gravity"), nominal_range(row, "thicknesses"));
    let grades = row.rows("grades", "grade");
    let shared = (|| {
        let group = row.need("group", group)?;
        let size_rule = row.need("size_rule", size_rule)?;
        let gravity = row.need("gravity", gravity)?;
        Some((group, size_rule, gravity, row.need("thicknesses", thicknesses)?, source?))
    })();
    let grades = row.need("grades", grades).unwrap_or_default();
    for grade in grades {
        let entry = shared.as_ref().and_then(|(group, size_rule, gravity, thicknesses, source)| {
            let blank = DesignValues {
                group: group.clone(),
                size_rule: *size_rule,
                gravity: *gravity,
                thicknesses: *thicknesses,
                source: source.clone(),
                ..grade_values(&grade)?
            };
            Some(blank)
        });
        add(&grade, overlay, entry, Item::Design);
        grade.finish();
    }
}

/// The figures of one grade; what its group shares is filled in by the caller.
fn grade_values(row: &Row<'_, '_>) -> Option<DesignValues> {
    let figure = |key| row.need(key, row.number(key));
    let name = row.need("grade", row.text("grade"));
    let widths = row.need("widths", nominal_range(row, "widths"));
    let (bending, tension, shear) = (figure("bending"), figure("tension"), figure("shear"));
    let (across, along) = (figure("compression_across"), figure("compression"));
    let (elasticity, stability) = (figure("elasticity"), figure("stability_elasticity"));
    let widths = widths?;
    Some(DesignValues {
        group: String::new(),
        grade: name?,
        widths,
        thicknesses: widths,
        size_rule: crate::SizeRule::Factor,
        bending_psi: bending?,
        tension_psi: tension?,
        shear_psi: shear?,
        compression_across_psi: across?,
        compression_psi: along?,
        elasticity_psi: elasticity?,
        stability_elasticity_psi: stability?,
        gravity: 0.0,
        source: Source::new("", crate::Status::Stated),
    })
}

/// `["2in", "4in"]`, or `["5in"]` for that and more.
fn nominal_range(row: &Row<'_, '_>, key: &'static str) -> Option<NominalRange> {
    match row.lengths(key)?.as_slice() {
        [least] => Some(NominalRange { least: *least, most: None }),
        [least, most] => Some(NominalRange { least: *least, most: Some(*most) }),
        _ => {
            let trouble =
                Diagnostic::error("wrong-value", format!("`{key}` must be one or two nominal sizes"));
            row.report(trouble.at(row.place_of(key)));
            None
        }
    }
}

pub(super) fn fastener(row: &Row<'_, '_>, base: &Catalogue, overlay: &mut Overlay) {
    let like = like(row, |id| base.fastener_by_id(id));
    let (id, kind, size) = (row.text("id"), row.choice("kind", &FASTENER_KINDS), row.text("size"));
    let (diameter, dims, lengths) =
        (row.length("diameter"), row.lengths_by_name("dims"), row.lengths("lengths"));
    let (threads, note, source) = (row.number("threads_per_inch"), row.text("note"), row.source());
    let entry = (|| {
        Some(Fastener {
            id: row.need("id", id)?,
            kind: row.need("kind", kind.or(like.map(|like| like.kind)))?,
            size: row.need("size", size.or(like.map(|like| like.size.clone())))?,
            diameter: row.need("diameter", diameter.or(like.map(|like| like.diameter)))?,
            dims: merged(like.map(|like| &like.dims), dims),
            threads_per_inch: threads.or(like.and_then(|like| like.threads_per_inch)),
            lengths: lengths.or(like.map(|like| like.lengths.clone())).unwrap_or_default(),
            note: note.or(like.map(|like| like.note.clone())).unwrap_or_default(),
            source: source?,
        })
    })();
    add(row, overlay, entry, Item::Fastener);
}

/// The measures of the entry it is like, with the given ones in their place.
fn merged(
    like: Option<&IndexMap<String, Length>>,
    own: Option<IndexMap<String, Length>>,
) -> IndexMap<String, Length> {
    let mut dims = like.cloned().unwrap_or_default();
    dims.extend(own.unwrap_or_default());
    dims
}

pub(super) fn drill(row: &Row<'_, '_>, _: &Catalogue, overlay: &mut Overlay) {
    let (kind, size, source) = (row.choice("kind", &FASTENER_KINDS), row.text("size"), row.source());
    let clearance = row.length("clearance");
    let (soft, hard) = (row.length("pilot_softwood"), row.length("pilot_hardwood"));
    let (edge_soft, edge_hard) = (row.length("edge_pilot_softwood"), row.length("edge_pilot_hardwood"));
    let counterbore = row.length("counterbore");
    let entry = (|| {
        Some(DrillSizes {
            kind: row.need("kind", kind)?,
            size: row.need("size", size)?,
            clearance: row.need("clearance", clearance)?,
            pilot_softwood: row.need("pilot_softwood", soft)?,
            pilot_hardwood: row.need("pilot_hardwood", hard)?,
            edge_pilot_softwood: edge_soft,
            edge_pilot_hardwood: edge_hard,
            counterbore,
            source: source?,
        })
    })();
    add(row, overlay, entry, Item::Drill);
}

pub(super) fn hardware(row: &Row<'_, '_>, base: &Catalogue, overlay: &mut Overlay) {
    let like = like(row, |id| base.hardware(id));
    let (id, kind) = (row.text("id"), row.choice("kind", &HARDWARE_KINDS));
    let (name, size, dims) = (row.text("name"), row.text("size"), row.lengths_by_name("dims"));
    let (factor, refused, note) = (row.number("breaking_factor"), row.text("refused"), row.text("note"));
    let source = row.source();
    let ratings = row.rows("ratings", "rating").map(|rows| ratings(rows, source.as_ref()));
    let entry = (|| {
        Some(Hardware {
            id: row.need("id", id)?,
            kind: row.need("kind", kind.or(like.map(|like| like.kind)))?,
            name: row.need("name", name.or(like.map(|like| like.name.clone())))?,
            size: row.need("size", size.or(like.map(|like| like.size.clone())))?,
            dims: merged(like.map(|like| &like.dims), dims),
            ratings: ratings.or(like.map(|like| like.ratings.clone())).unwrap_or_default(),
            breaking_factor: factor.or(like.and_then(|like| like.breaking_factor)),
            refused: refused.or(like.and_then(|like| like.refused.clone())),
            note: note.or(like.map(|like| like.note.clone())).unwrap_or_default(),
            source: source?,
        })
    })();
    add(row, overlay, entry, Item::Hardware);
}

/// `{ up_to = "0deg", newton = 2891 }`, by rising angle; the status is the entry's unless it has its own.
fn ratings(rows: Vec<Row<'_, '_>>, source: Option<&Source>) -> Vec<Rating> {
    let mut ratings = Vec::new();
    for row in rows {
        let (up_to, newton) = (row.angle("up_to").unwrap_or(Angle::ZERO), row.number("newton"));
        let status = row.choice("status", &STATUS_WORDS).or(source.map(|source| source.status));
        if let (Some(working_load_n), Some(status)) = (row.need("newton", newton), status) {
            ratings.push(Rating { up_to, working_load_n, status });
        }
        row.finish();
    }
    ratings.sort_by(|a, b| a.up_to.as_deg().total_cmp(&b.up_to.as_deg()));
    ratings
}

/// `[[stock]]`: prices and counts for each length, or one for all; or cents per foot or metre.
pub(super) fn stock(row: &Row<'_, '_>, _: &Catalogue, overlay: &mut Overlay) {
    let (section, source, lengths) = (row.text("section"), row.source(), row.lengths("lengths"));
    let (species, grade) = (row.text("species"), row.text("grade"));
    let available = row.wholes("available");
    let cents = row.wholes("cents");
    let per = [("cents_per_foot", Length::inch(12.0)), ("cents_per_metre", Length::mm(1000.0))]
        .map(|(key, unit)| row.whole(key).map(|cents| (cents, unit)));
    let entry = (|| {
        let section = row.need("section", section)?;
        let lengths = row.need("lengths", lengths)?;
        let cents = for_each(row, "cents", cents, lengths.len());
        let available = for_each(row, "available", available, lengths.len());
        let stock = |(index, length): (usize, &Length)| StockLength {
            length: *length,
            price_cents: cents[index]
                .or_else(|| per.iter().flatten().find_map(|rate| piece_cents(*length, *rate))),
            available: available[index].map(|count| u32::try_from(count).unwrap_or(u32::MAX)),
        };
        let lengths = lengths.iter().enumerate().map(stock).collect();
        Some(StockItem { section, species, grade, lengths, source: source? })
    })();
    add(row, overlay, entry, Item::Stock);
}

/// One value for each length: as given, one for all, or none. Any other count is reported.
fn for_each(
    row: &Row<'_, '_>,
    key: &'static str,
    values: Option<Vec<i64>>,
    lengths: usize,
) -> Vec<Option<i64>> {
    match values.as_deref() {
        None => vec![None; lengths],
        Some([one]) => vec![Some(*one); lengths],
        Some(values) if values.len() == lengths => values.iter().copied().map(Some).collect(),
        Some(values) => {
            let message = format!("`{key}` has {} values for {lengths} lengths", values.len());
            let trouble =
                Diagnostic::error("wrong-value", message).help("give one for each length, or one for all");
            row.report(trouble.at(row.place_of(key)));
            vec![None; lengths]
        }
    }
}

/// Price of a piece at cents per unit of length, rounded half up.
fn piece_cents(length: Length, (cents, unit): (i64, Length)) -> Option<i64> {
    let (length, unit) = (i128::from(length.as_nm()), i128::from(unit.as_nm()));
    i64::try_from((length * i128::from(cents) + unit / 2) / unit).ok()
}

pub(super) fn rate(row: &Row<'_, '_>, _: &Catalogue, overlay: &mut Overlay) {
    let (species, cents, source) = (row.text("species"), row.whole("cents_per_board_foot"), row.source());
    let entry = (|| {
        Some(Rate {
            species: row.need("species", species)?,
            cents_per_board_foot: row.need("cents_per_board_foot", cents)?,
            source: source?,
        })
    })();
    add(row, overlay, entry, Item::Rate);
}

pub(super) fn offcut(row: &Row<'_, '_>, _: &Catalogue, overlay: &mut Overlay) {
    let (section, species, grade) = (row.text("section"), row.text("species"), row.text("grade"));
    let (length, count, source) = (row.length("length"), row.whole("count"), row.source());
    let entry = (|| {
        Some(Offcut {
            section: row.need("section", section)?,
            species: row.need("species", species)?,
            grade,
            length: row.need("length", length)?,
            count: u32::try_from(count.unwrap_or(1)).unwrap_or(u32::MAX),
            source: source?,
        })
    })();
    add(row, overlay, entry, Item::Offcut);
}

pub(super) fn yard(row: &Row<'_, '_>, overlay: &mut Overlay) {
    add(row, overlay, row.text("currency"), Item::Currency);
    add(row, overlay, row.flag("only_listed"), Item::OnlyListed);
}

/// `[tools]`: `crosscut_kerf = "3/32in"`, or a table with `value`, `source` and `status`.
pub(super) fn tools(file: &File<'_>, row: &Row<'_, '_>, overlay: &mut Overlay) {
    for (key, value, place) in row.tables() {
        let Some(name) = Tools::names().find(|name| *name == key) else {
            file.report(unknown_key(key, "the shop", &Tools::names().collect::<Vec<_>>()).at(place));
            continue;
        };
        add(row, overlay, tool(file, row, name, value), Item::Tool);
    }
}

fn tool<'a>(
    file: &File<'a>,
    row: &Row<'_, 'a>,
    name: &'static str,
    value: &Spanned<DeValue<'a>>,
) -> Option<ToolSetting> {
    if value.get_ref().as_table().is_none() {
        // A bare value carries no source: fine for a user's file, refused in the program's own.
        return Some(ToolSetting {
            name: name.to_string(),
            value: tool_value(row, name, name)?,
            source: row.source()?,
        });
    }
    let figure = file.row(name, value)?;
    let (value, source) = (tool_value(&figure, "value", name), figure.source());
    let value = figure.need("value", value);
    figure.finish();
    Some(ToolSetting { name: name.to_string(), value: value?, source: source? })
}

fn tool_value(row: &Row<'_, '_>, key: &'static str, name: &str) -> Option<ToolValue> {
    if is_angle(name)? {
        row.angle(key).map(ToolValue::Angle)
    } else {
        row.length_or_nothing(key).map(ToolValue::Length)
    }
}
