//! The catalogue as a whole: what is in it, and how it is asked.

use crate::design::grade_key;
use crate::fastener::size_key;
use crate::section::{section_key, unknown_section};
use crate::species::species_key;
use crate::{
    BodyMeasure, BodySize, DesignValues, DrillSizes, Fastener, FastenerKind, Hardware, Offcut, Overlay,
    Pricing, Section, Sex, Species, StockLength, Tools, Yard, built_in, lay, read,
};
use indexmap::IndexMap;
use slatwork_base::{Diagnostic, Length, Outcome, Place, did_you_mean};
use std::collections::BTreeMap;
use std::sync::{Arc, OnceLock};

/// Sections, species, fasteners, hardware, the yard, the rack and the tools. Never changes once made: an overlay
/// gives a new one.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Catalogue {
    /// By key of their name.
    pub(crate) sections: IndexMap<String, Section>,
    /// By id.
    pub(crate) species: IndexMap<String, Species>,
    pub(crate) design: Vec<DesignValues>,
    /// By id.
    pub(crate) fasteners: IndexMap<String, Fastener>,
    pub(crate) drills: Vec<DrillSizes>,
    /// By id.
    pub(crate) hardware: IndexMap<String, Hardware>,
    pub(crate) bodies: Vec<BodySize>,
    pub(crate) yard: Yard,
    pub(crate) rack: Vec<Offcut>,
    pub(crate) tools: Tools,
    pub(crate) pricing: Pricing,
    /// Every key of a name or alias, with the key of its section.
    pub(crate) section_names: BTreeMap<String, String>,
    /// Every key of a name, id or alias, with the id of its species.
    pub(crate) species_names: BTreeMap<String, String>,
    /// The first fastener of each kind and key of its size, by its id.
    pub(crate) fastener_sizes: BTreeMap<(FastenerKind, String), String>,
    /// The drills for each kind and key of a size, by their place.
    pub(crate) drill_sizes: BTreeMap<(FastenerKind, String), usize>,
}

impl Catalogue {
    /// The catalogue that comes with the program, read anew.
    ///
    /// # Errors
    /// What is wrong with the program's own data: nothing, as a test holds.
    pub fn built_in() -> Result<Catalogue, Vec<Diagnostic>> {
        built_in::read()
    }

    /// The catalogue that comes with the program, read once and shared. Empty if its data were broken, which
    /// [`Catalogue::built_in`] would report and a test rules out.
    pub fn shared() -> &'static Arc<Catalogue> {
        static SHARED: OnceLock<Arc<Catalogue>> = OnceLock::new();
        SHARED.get_or_init(|| Arc::new(built_in::read().unwrap_or_default()))
    }

    /// This catalogue with a user's TOML file laid over it. `name` is the file as the user knows it. Any error
    /// leaves no catalogue; all of them are reported at once.
    pub fn overlay_toml(&self, name: &str, text: &str) -> Outcome<Catalogue> {
        let read = read::read(name, text, self, false);
        let failed = read.diagnostics.iter().any(Diagnostic::is_error);
        let mut outcome = read.then(|overlay| self.overlay(overlay));
        outcome.diagnostics.sort_by_key(line_of);
        if failed { Outcome { value: None, ..outcome } } else { outcome }
    }

    /// This catalogue with entries laid over it. Any error leaves no catalogue; all of them are reported at once.
    pub fn overlay(&self, overlay: Overlay) -> Outcome<Catalogue> {
        lay::lay(self, overlay)
    }

    /// A section by any spelling of its name: `2x4`, `2 x 4`, `5/4x6`, `38x89`.
    ///
    /// # Errors
    /// `unknown-section`, with the nearest sizes.
    pub fn section(&self, name: &str) -> Result<&Section, Diagnostic> {
        let key = self.section_names.get(&section_key(name));
        key.and_then(|key| self.sections.get(key))
            .ok_or_else(|| unknown_section(name, self.sections.values()))
    }

    /// A species by id, common name or alias: `white_oak`, `white oak`, `cedar`.
    ///
    /// # Errors
    /// `unknown-species`, with the nearest names.
    pub fn species(&self, name: &str) -> Result<&Species, Diagnostic> {
        let id = self.species_names.get(&species_key(name));
        id.and_then(|id| self.species.get(id)).ok_or_else(|| self.unknown_species(name))
    }

    fn unknown_species(&self, name: &str) -> Diagnostic {
        let error =
            Diagnostic::error("unknown-species", format!("there is no wood `{name}` in the catalogue"));
        let key = species_key(name);
        let names = || self.species_names.keys().map(String::as_str);
        let parts: Vec<String> = names()
            .filter(|known| {
                !key.is_empty() && known.split(' ').any(|word| key.split(' ').any(|own| own == word))
            })
            .map(|known| format!("`{known}`"))
            .collect();
        // A slip in one word of a name: "oakk" for the oaks.
        let slip = |known: &str| {
            known.split(' ').any(|word| key.split(' ').any(|own| did_you_mean(own, [word]).is_some()))
        };
        let nearly: Vec<String> = self
            .species
            .values()
            .filter(|species| slip(&species_key(&species.name)))
            .map(|species| format!("`{}`", species.name))
            .collect();
        match did_you_mean(&key, names()) {
            Some(near) => error.help(format!("did you mean `{near}`?")),
            None if !parts.is_empty() => error.help(format!("there are {}", parts.join(", "))),
            None if !nearly.is_empty() => error.help(format!("did you mean {}?", nearly.join(" or "))),
            None => {
                let all: Vec<&str> = self.species.values().map(|species| species.name.as_str()).collect();
                error.help(format!("there are {}", all.join("; ")))
            }
        }
    }

    /// Design values of a species' group for a grade and a nominal size, or `None` when none are published for the
    /// species (a thin board, a tropical wood): then a rating rests on an estimate and says so.
    ///
    /// # Errors
    /// `unknown-grade`, with the grades there are, when the species has values for the size but not for the grade.
    pub fn design_values(
        &self,
        species: &Species,
        grade: &str,
        nominal: (Length, Length),
    ) -> Result<Option<&DesignValues>, Diagnostic> {
        let Some(group) = &species.design_group else { return Ok(None) };
        let fits = |row: &&DesignValues| {
            row.group == *group && row.thicknesses.holds(nominal.0) && row.widths.holds(nominal.1)
        };
        let rows: Vec<&DesignValues> = self.design.iter().filter(fits).collect();
        let key = grade_key(grade);
        let row = rows.iter().find(|row| grade_key(&row.grade) == key);
        if row.is_some() || rows.is_empty() {
            return Ok(row.copied());
        }
        let grades: Vec<&str> = rows.iter().map(|row| row.grade.as_str()).collect();
        let message = format!("{} of this size has no grade `{grade}`", species.name);
        Err(Diagnostic::error("unknown-grade", message).help(format!("it has {}", grades.join(", "))))
    }

    /// A fastener by kind and size: wood screw `#8`, lag screw `3/8`.
    ///
    /// # Errors
    /// `unknown-fastener`, with the sizes there are.
    pub fn fastener(&self, kind: FastenerKind, size: &str) -> Result<&Fastener, Diagnostic> {
        self.find_fastener(kind, size).ok_or_else(|| {
            let of_kind = self.fasteners.values().filter(|fastener| fastener.kind == kind);
            let sizes: Vec<&str> = of_kind.map(|fastener| fastener.size.as_str()).collect();
            let message = format!("there is no {} of size `{size}` in the catalogue", kind.word());
            Diagnostic::error("unknown-fastener", message).help(format!("there are {}", sizes.join(", ")))
        })
    }

    /// A fastener by kind and size, where it is no fault that there is none.
    pub fn find_fastener(&self, kind: FastenerKind, size: &str) -> Option<&Fastener> {
        self.fasteners.get(self.fastener_sizes.get(&(kind, size_key(size)))?)
    }

    /// A fastener by its id: `wood_screw_8`.
    ///
    /// # Errors
    /// `unknown-fastener`.
    pub fn fastener_by_id(&self, id: &str) -> Result<&Fastener, Diagnostic> {
        self.find_fastener_by_id(id)
            .ok_or_else(|| unknown("unknown-fastener", "fastener", id, self.fasteners.keys()))
    }

    /// A fastener by its id, where it is no fault that there is none.
    pub fn find_fastener_by_id(&self, id: &str) -> Option<&Fastener> {
        self.fasteners.get(id)
    }

    /// What a fastener or a piece of hardware is called in a sentence: "#8 wood screw", "forged shoulder eye bolt 3/8 in"; the
    /// id itself when it is neither.
    pub fn item_words(&self, id: &str) -> String {
        if let Some(fastener) = self.fasteners.get(id) {
            return format!("{} {}", fastener.size, fastener.kind.word());
        }
        self.hardware.get(id).map_or_else(|| id.to_string(), |hardware| hardware.name.clone())
    }

    /// So many of an item in a sentence: "4 wood screws #10", "2 carriage bolts 3/8 in", "1 eye bolt 3/8 in, with nut".
    pub fn counted_words(&self, id: &str, count: usize) -> String {
        let Some(fastener) = self.fasteners.get(id) else {
            let times = if count == 1 { "" } else { " x" };
            return format!("{count}{times} {}", self.item_words(id));
        };
        let plural = if count == 1 { "" } else { "s" };
        let is_inches = fastener.size.bytes().all(|byte| byte.is_ascii_digit() || b"/-".contains(&byte));
        let unit = if is_inches { " in" } else { "" };
        format!("{count} {}{plural} {}{unit}", fastener.kind.word(), fastener.size)
    }

    /// Drills for a fastener.
    ///
    /// # Errors
    /// `unknown-drill`, with the sizes there are.
    pub fn drill(&self, kind: FastenerKind, size: &str) -> Result<&DrillSizes, Diagnostic> {
        self.find_drill(kind, size).ok_or_else(|| {
            let of_kind = self.drills.iter().filter(|drill| drill.kind == kind);
            let sizes: Vec<&str> = of_kind.map(|drill| drill.size.as_str()).collect();
            let message = format!("the catalogue has no drill sizes for a {} of size `{size}`", kind.word());
            Diagnostic::error("unknown-drill", message).help(format!("there are {}", sizes.join(", ")))
        })
    }

    /// Drills for a fastener, where it is no fault that there are none.
    pub fn find_drill(&self, kind: FastenerKind, size: &str) -> Option<&DrillSizes> {
        self.drills.get(*self.drill_sizes.get(&(kind, size_key(size)))?)
    }

    /// Hanging hardware by its id: `eye_bolt_3_8`.
    ///
    /// # Errors
    /// `unknown-hardware`, with the nearest id.
    pub fn hardware(&self, id: &str) -> Result<&Hardware, Diagnostic> {
        self.find_hardware(id)
            .ok_or_else(|| unknown("unknown-hardware", "hardware", id, self.hardware.keys()))
    }

    /// Hanging hardware by its id, where it is no fault that there is none.
    pub fn find_hardware(&self, id: &str) -> Option<&Hardware> {
        self.hardware.get(id)
    }

    /// The lengths the yard sells of a section in a species and grade, ascending, with prices where known.
    pub fn stock(&self, section: &Section, species: &Species, grade: Option<&str>) -> Vec<StockLength> {
        self.yard.lengths(section, species, grade)
    }

    /// A body size of one sex of a population, where the data have it.
    pub fn body_size(&self, population: &str, sex: Sex, measure: BodyMeasure) -> Option<&BodySize> {
        self.bodies
            .iter()
            .find(|own| (own.population.as_str(), own.sex, own.measure) == (population, sex, measure))
    }

    /// All body sizes, in the order of the data.
    pub fn bodies(&self) -> &[BodySize] {
        &self.bodies
    }

    /// All sections, in the order of the data.
    pub fn sections(&self) -> impl Iterator<Item = &Section> {
        self.sections.values()
    }

    /// All species, in the order of the data.
    pub fn species_list(&self) -> impl Iterator<Item = &Species> {
        self.species.values()
    }

    /// All design values, in the order of the data.
    pub fn design_list(&self) -> &[DesignValues] {
        &self.design
    }

    /// All fasteners, in the order of the data.
    pub fn fasteners(&self) -> impl Iterator<Item = &Fastener> {
        self.fasteners.values()
    }

    /// All hanging hardware, in the order of the data.
    pub fn hardware_list(&self) -> impl Iterator<Item = &Hardware> {
        self.hardware.values()
    }

    /// All drill sizes, in the order of the data.
    pub fn drills(&self) -> &[DrillSizes] {
        &self.drills
    }

    /// The yard.
    pub fn yard(&self) -> &Yard {
        &self.yard
    }

    /// The pieces on the rack.
    pub fn rack(&self) -> &[Offcut] {
        &self.rack
    }

    /// The tools of the shop.
    pub fn tools(&self) -> &Tools {
        &self.tools
    }

    /// What a piece is priced by.
    pub fn pricing(&self) -> &Pricing {
        &self.pricing
    }

    /// The id of a fastener or a piece of hardware, where there is one of that id.
    ///
    /// # Errors
    /// `unknown-item`, with the nearest id.
    pub fn item_id(&self, id: &str) -> Result<&str, Diagnostic> {
        let known = self.fasteners.keys().chain(self.hardware.keys());
        match known.clone().find(|own| *own == id) {
            Some(own) => Ok(own),
            None => Err(unknown_item(id, known)),
        }
    }

    /// Builds the tables of names and sizes anew: aliases first, so that a name always finds its own; of fasteners of one kind
    /// and size the first.
    pub(crate) fn index(&mut self) {
        let fasteners = self.fasteners.iter().rev();
        self.fastener_sizes =
            fasteners.map(|(id, fastener)| ((fastener.kind, size_key(&fastener.size)), id.clone())).collect();
        let drills = self.drills.iter().enumerate().rev();
        self.drill_sizes =
            drills.map(|(place, drill)| ((drill.kind, size_key(&drill.size)), place)).collect();
        self.section_names = name_table(
            self.sections.iter().flat_map(|(key, section)| {
                section.aliases.iter().map(move |alias| (section_key(alias), key))
            }),
            self.sections.keys().map(|key| (key.clone(), key)),
        );
        self.species_names = name_table(
            self.species
                .iter()
                .flat_map(|(id, species)| species.aliases.iter().map(move |alias| (species_key(alias), id))),
            self.species
                .iter()
                .flat_map(|(id, species)| [(species_key(&species.name), id), (species_key(id), id)]),
        );
    }
}

/// Line and column in the file, so that troubles are told from top to bottom.
fn line_of(trouble: &Diagnostic) -> (usize, usize) {
    match &trouble.place {
        Some(Place::Source { line, column, .. }) => (*line, *column),
        _ => (0, 0),
    }
}

fn name_table<'a>(
    aliases: impl Iterator<Item = (String, &'a String)>,
    names: impl Iterator<Item = (String, &'a String)>,
) -> BTreeMap<String, String> {
    aliases.chain(names).map(|(key, target)| (key, target.clone())).collect()
}

fn unknown_item<'a>(id: &str, known: impl Iterator<Item = &'a String>) -> Diagnostic {
    let message = format!("there is no fastener and no hardware `{id}` in the catalogue");
    let fault = Diagnostic::error("unknown-item", message);
    match did_you_mean(id, known.map(String::as_str)) {
        Some(near) => fault.help(format!("did you mean `{near}`?")),
        None => fault.help("`slatwork list fasteners` and `slatwork list hardware` name them all"),
    }
}

fn unknown<'a>(
    code: &'static str,
    what: &str,
    id: &str,
    known: impl Iterator<Item = &'a String> + Clone,
) -> Diagnostic {
    let error = Diagnostic::error(code, format!("there is no {what} `{id}` in the catalogue"));
    match did_you_mean(id, known.clone().map(String::as_str)) {
        Some(near) => error.help(format!("did you mean `{near}`?")),
        None => error.help(format!("there are {}", known.cloned().collect::<Vec<_>>().join(", "))),
    }
}
