//! One reader for each kind of entry.

use super::row::{File, Row, unknown_key};
use crate::body::{BODY_MEASURES, SEXES};
use crate::design::{NominalRange, SIZE_RULES};
use crate::fastener::FASTENER_KINDS;
use crate::hardware::HARDWARE_KINDS;
use crate::section::SECTION_CLASSES;
use crate::species::DECAY_CLASSES;
use crate::tools::is_angle;
use crate::{
    BodySize, Catalogue, ClearWood, DEFECT_SIDES, Defect, DefectSide, DesignValues, DrillSizes, Fastener,
    Hardware, Item, Measured, Offcut, Overlay, Rate, Rating, STATUS_WORDS, Section, SectionClass, Share,
    Shrinkage, Source, Species, StockItem, StockLength, ToolSetting, ToolValue, Tools, Volume,
};
use indexmap::IndexMap;
use slatwork_base::{Angle, Diagnostic, Length};
use toml::Spanned;
use toml::de::DeValue;

pub(super) fn add<T>(row: &Row<'_, '_>, overlay: &mut Overlay, entry: Option<T>, item: impl Fn(T) -> Item) {
    if let Some(entry) = entry {
        overlay.add_read(item(entry), row.place(), row.places());
    }
}

/// The entry that `like = ".."` names, if it does.
fn like<'c, T>(row: &Row<'_, '_>, find: impl Fn(&str) -> Result<&'c T, Diagnostic>) -> Option<&'c T> {
    match find(&row.text("like")?) {
        Ok(entry) => Some(entry),
        Err(trouble) => {
            row.report_at("like", trouble);
            None
        }
    }
}

/// Drops what `need` noted when the entry to take it from was asked for and not found.
fn settle<T>(row: &Row<'_, '_>, like: Option<&T>) {
    if like.is_none() && row.has("like") {
        row.forgive();
    }
}

pub(super) fn section(row: &Row<'_, '_>, base: &Catalogue, overlay: &mut Overlay) {
    let like = like(row, |name| base.section(name));
    let (name, source) = (row.need("name", row.text("name")), row.source());
    let thickness = row.need("thickness", row.length("thickness").or(like.map(|like| like.thickness)));
    let width = row.need("width", row.length("width").or(like.map(|like| like.width)));
    let class = row.choice("class", &SECTION_CLASSES).or(like.map(|like| like.class));
    let aliases = row.texts("aliases");
    let nominal = row.pair("nominal").or(like.and_then(|like| like.nominal));
    let green = row.pair("green").or(like.and_then(|like| like.green));
    let edge_radius = row.length("edge_radius").or(like.and_then(|like| like.edge_radius));
    let lengths =
        row.need("lengths", row.ascending("lengths").or(like.map(|like| like.stock_lengths.clone())));
    settle(row, like);
    let entry = (|| {
        Some(Section {
            name: name?,
            aliases,
            class: class.unwrap_or(SectionClass::Own),
            nominal,
            thickness: thickness?,
            width: width?,
            green,
            measured: false,
            edge_radius,
            stock_lengths: lengths?,
            source: source?,
        })
    })();
    add(row, overlay, entry, Item::Section);
}

pub(super) fn measured(row: &Row<'_, '_>, _: &Catalogue, overlay: &mut Overlay) {
    let (section, source) = (row.need("section", row.text("section")), row.source());
    let (thickness, width) = (row.length("thickness"), row.length("width"));
    if !row.has("width") {
        row.need("thickness", thickness);
    }
    let entry = (|| Some(Measured { section: section?, thickness, width, source: source? }))();
    add(row, overlay, entry, Item::Measured);
}

pub(super) fn species(row: &Row<'_, '_>, base: &Catalogue, overlay: &mut Overlay) {
    let like = like(row, |name| base.species(name));
    let name = row.need("name", row.text("name"));
    let id = row.text("id").or_else(|| name.as_deref().map(Species::id_of));
    let aliases = row.texts("aliases");
    let botanical = row.text("botanical").or(like.map(|like| like.botanical.clone()));
    let hardwood = row.need("hardwood", row.flag("hardwood").or(like.map(|like| like.hardwood)));
    let gravity_green = row.number("gravity_green").or(like.map(|like| like.gravity_green));
    let gravity_green = row.need("gravity_green", gravity_green);
    let gravity_12 = row.number("gravity_12").or(like.and_then(|like| like.gravity_12));
    let (clear, shrinkage) = (clear_wood(row, like), shrinkage(row, like));
    let saturation = row.number("fibre_saturation").or(like.map(|like| like.fibre_saturation));
    let saturation = row.need("fibre_saturation", saturation);
    let decay = row.need("decay", row.choice("decay", &DECAY_CLASSES).or(like.map(|like| like.decay)));
    let decay_note = row.text("decay_note").or(like.map(|like| like.decay_note.clone()));
    let tannic = row.need("tannic", row.flag("tannic").or(like.map(|like| like.tannic)));
    let design_group = row.text("design_group").or(like.and_then(|like| like.design_group.clone()));
    let design_gravity = row.number("design_gravity").or(like.and_then(|like| like.design_gravity));
    let source = row.source();
    settle(row, like);
    let entry = (|| {
        Some(Species {
            name: name?,
            id: id?,
            aliases,
            botanical: botanical.unwrap_or_default(),
            hardwood: hardwood?,
            gravity_12,
            gravity_green: gravity_green?,
            clear: clear?,
            shrinkage: shrinkage?,
            fibre_saturation: saturation?,
            decay: decay?,
            decay_note: decay_note.unwrap_or_default(),
            tannic: tannic?,
            design_group,
            design_gravity,
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
    let (group, source) = (row.need("group", row.text("group")), row.source());
    let size_rule = row.need("size_rule", row.choice("size_rule", &SIZE_RULES));
    let gravity = row.need("gravity", row.number("gravity"));
    let thicknesses = row.need("thicknesses", nominal_range(row, "thicknesses"));
    let grades = row.need("grades", row.rows("grades", "grade")).unwrap_or_default();
    let shared = (|| Some((group?, size_rule?, gravity?, thicknesses?, source?)))();
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
            row.report_at(key, trouble);
            None
        }
    }
}

pub(super) fn fastener(row: &Row<'_, '_>, base: &Catalogue, overlay: &mut Overlay) {
    let like = like(row, |id| base.fastener_by_id(id));
    let (id, source) = (row.need("id", row.text("id")), row.source());
    let kind = row.need("kind", row.choice("kind", &FASTENER_KINDS).or(like.map(|like| like.kind)));
    let size = row.need("size", row.text("size").or(like.map(|like| like.size.clone())));
    let diameter = row.need("diameter", row.length("diameter").or(like.map(|like| like.diameter)));
    let (dims, lengths) = (row.lengths_by_name("dims"), row.ascending("lengths"));
    let threads_per_inch = row.number("threads_per_inch").or(like.and_then(|like| like.threads_per_inch));
    let note = row.text("note").or(like.map(|like| like.note.clone()));
    settle(row, like);
    let entry = (|| {
        Some(Fastener {
            id: id?,
            kind: kind?,
            size: size?,
            diameter: diameter?,
            dims: merged(like.map(|like| &like.dims), dims),
            threads_per_inch,
            lengths: lengths.or(like.map(|like| like.lengths.clone())).unwrap_or_default(),
            note: note.unwrap_or_default(),
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
    let kind = row.need("kind", row.choice("kind", &FASTENER_KINDS));
    let (size, source) = (row.need("size", row.text("size")), row.source());
    let length = |key| row.need(key, row.length(key));
    let (clearance, soft, hard) = (length("clearance"), length("pilot_softwood"), length("pilot_hardwood"));
    let (edge_soft, edge_hard) = (row.length("edge_pilot_softwood"), row.length("edge_pilot_hardwood"));
    let counterbore = row.length("counterbore");
    let entry = (|| {
        Some(DrillSizes {
            kind: kind?,
            size: size?,
            clearance: clearance?,
            pilot_softwood: soft?,
            pilot_hardwood: hard?,
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
    let (id, source) = (row.need("id", row.text("id")), row.source());
    let kind = row.need("kind", row.choice("kind", &HARDWARE_KINDS).or(like.map(|like| like.kind)));
    let name = row.need("name", row.text("name").or(like.map(|like| like.name.clone())));
    let size = row.need("size", row.text("size").or(like.map(|like| like.size.clone())));
    let dims = row.lengths_by_name("dims");
    let breaking_factor = row.number("breaking_factor").or(like.and_then(|like| like.breaking_factor));
    let refused = row.text("refused").or(like.and_then(|like| like.refused.clone()));
    let note = row.text("note").or(like.map(|like| like.note.clone()));
    let ratings = row.rows("ratings", "rating").map(|rows| ratings(rows, source.as_ref()));
    settle(row, like);
    let entry = (|| {
        Some(Hardware {
            id: id?,
            kind: kind?,
            name: name?,
            size: size?,
            dims: merged(like.map(|like| &like.dims), dims),
            ratings: ratings.or(like.map(|like| like.ratings.clone())).unwrap_or_default(),
            breaking_factor,
            refused,
            note: note.unwrap_or_default(),
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
    let (section, source) = (row.need("section", row.text("section")), row.source());
    let lengths = row.need("lengths", row.lengths("lengths"));
    let (species, grade) = (row.text("species"), row.text("grade"));
    let available = row.wholes("available");
    let cents = row.wholes("cents");
    let per = [("cents_per_foot", Length::inch(12.0)), ("cents_per_metre", Length::mm(1000.0))]
        .map(|(key, unit)| row.whole(key).map(|cents| (cents, unit)));
    let entry = (|| {
        let lengths = lengths?;
        let cents = for_each(row, "cents", cents, (lengths.len(), "lengths"));
        let available = for_each(row, "available", available, (lengths.len(), "lengths"));
        let stock = |(index, length): (usize, &Length)| StockLength {
            length: *length,
            price_cents: cents[index].or_else(|| {
                per.iter().flatten().find_map(|(cents, per)| StockLength::cents_at(*length, *cents, *per))
            }),
            available: available[index].map(|count| u32::try_from(count).unwrap_or(u32::MAX)),
        };
        let mut lengths: Vec<StockLength> = lengths.iter().enumerate().map(stock).collect();
        lengths.sort_by_key(|stock| stock.length);
        once_each(row, &lengths);
        Some(StockItem { section: section?, species, grade, lengths, source: source? })
    })();
    add(row, overlay, entry, Item::Stock);
}

/// Reports a length that is listed twice: which of its prices holds is not to be guessed.
fn once_each(row: &Row<'_, '_>, lengths: &[StockLength]) {
    let twice = lengths.iter().zip(lengths.iter().skip(1)).find(|(one, next)| one.length == next.length);
    if let Some((twice, _)) = twice {
        let message = format!("`lengths` has {} twice", twice.length);
        row.report_at("lengths", Diagnostic::error("duplicate-entry", message).help("keep one of them"));
    }
}

/// One value for each of so many things: as given, one for all, or none. Any other count is reported.
pub(super) fn for_each(
    row: &Row<'_, '_>,
    key: &'static str,
    values: Option<Vec<i64>>,
    (count, things): (usize, &str),
) -> Vec<Option<i64>> {
    match values.as_deref() {
        None => vec![None; count],
        Some([one]) => vec![Some(*one); count],
        Some(values) if values.len() == count => values.iter().copied().map(Some).collect(),
        Some(values) => {
            let message = format!("`{key}` has {} values for {count} {things}", values.len());
            let help = format!("give one for each of the {things}, or one for all");
            row.report_at(key, Diagnostic::error("wrong-value", message).help(help));
            vec![None; count]
        }
    }
}

pub(super) fn body(row: &Row<'_, '_>, _: &Catalogue, overlay: &mut Overlay) {
    let (population, source) = (row.need("population", row.text("population")), row.source());
    let sex = row.need("sex", row.choice("sex", &SEXES));
    let measure = row.need("measure", row.choice("measure", &BODY_MEASURES));
    let (mean, deviation) = (row.need("mean", row.number("mean")), row.need("sd", row.number("sd")));
    let entry = (|| {
        Some(BodySize {
            population: population?,
            sex: sex?,
            measure: measure?,
            mean: mean?,
            deviation: deviation?,
            source: source?,
        })
    })();
    add(row, overlay, entry, Item::Body);
}

/// `[[rate]]`: cents by the board foot or by the cubic metre; with `rough`, or a `waste`, bought rough by volume.
pub(super) fn rate(row: &Row<'_, '_>, _: &Catalogue, overlay: &mut Overlay) {
    let (species, source) = (row.need("species", row.text("species")), row.source());
    let prices = [("cents_per_board_foot", Volume::BoardFoot), ("cents_per_cubic_metre", Volume::CubicMetre)]
        .map(|(key, per)| row.whole(key).map(|cents| (cents, per)));
    let price = prices.into_iter().flatten().next();
    if !row.has("cents_per_cubic_metre") {
        row.need("cents_per_board_foot", price);
    }
    let waste = row.number("waste").and_then(|waste| share(row, "waste", waste));
    let rough = row.flag("rough").unwrap_or(waste.is_some());
    let entry = (|| {
        let (cents, per) = price?;
        Some(Rate { species: species?, cents, per, rough, waste, source: source? })
    })();
    add(row, overlay, entry, Item::Rate);
}

/// A share of a whole, or a report that it is none.
fn share(row: &Row<'_, '_>, key: &'static str, number: f64) -> Option<Share> {
    let share = Share::new(number);
    if share.is_none() {
        let message = format!("`{key}` is a share from 0 to 1, and cannot be {number}");
        row.report_at(key, Diagnostic::error("impossible-share", message));
    }
    share
}

/// A stretch of an offcut: `{ from = "10in", to = "12in", side = "back" }`; it shows on both sides unless said.
fn defect(row: Row<'_, '_>) -> Option<Defect> {
    let (from, to) = (row.length_or_nothing("from"), row.need("to", row.length("to")));
    let side = row.choice("side", &DEFECT_SIDES);
    let is_wrong = side.is_none() && row.has("side");
    row.finish();
    (!is_wrong).then_some(())?;
    Some(Defect { from: from.unwrap_or_default(), to: to?, side: side.unwrap_or(DefectSide::Both) })
}

pub(super) fn offcut(row: &Row<'_, '_>, _: &Catalogue, overlay: &mut Overlay) {
    let (section, species) =
        (row.need("section", row.text("section")), row.need("species", row.text("species")));
    let (length, grade) = (row.need("length", row.length("length")), row.text("grade"));
    let (count, source) = (row.whole("count").unwrap_or(1), row.source());
    let count = u32::try_from(count).unwrap_or(u32::MAX);
    let labels = row.texts("labels");
    let found = row.rows("defects", "defect").unwrap_or_default();
    let asked = found.len();
    let defects: Vec<Defect> = found.into_iter().filter_map(defect).collect();
    let entry = (|| {
        let (section, species, length, source) = (section?, species?, length?, source?);
        let is_read = defects.len() == asked;
        is_read.then_some(Offcut { section, species, grade, length, count, labels, defects, source })
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
            file.report(unknown_key(key, "tools table", &Tools::names().collect::<Vec<_>>()).at(place));
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
