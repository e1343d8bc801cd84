//! A design with everything that all its variants share: read and compiled once, used by any number of threads.

use crate::built_in::Scripts;
use crate::{Request, World, inputs, judged};
use slatwork_base::{Diagnostic, Length, Outcome, Place};
use slatwork_catalog::Catalogue;
use slatwork_checks::{Case, NotRated, Rating, failures, rate};
use slatwork_model::{Model, Site};
use slatwork_script::{
    Declared, ENDING, Inputs, Library, LooseScript, ParameterKind, Parameters, ScriptKind, Value,
};
use slatwork_shop::{Reading, ShopPlan, plan_for};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::Arc;

/// One design, ready to be made in any variant.
#[derive(Clone, Debug)]
pub struct Workshop {
    library: Arc<Library>,
    family: String,
    declared: Arc<Declared>,
    inputs: Inputs,
    reading: Reading,
    /// Equal pieces that boards are bought for.
    pieces: usize,
    /// What every variant sets before its own settings.
    base: Vec<(String, String)>,
}

/// One variant, made.
#[derive(Clone, Debug)]
pub struct Made {
    /// The values of its parameters.
    pub values: Parameters,
    /// The finished piece.
    pub model: Arc<Model>,
    /// What it comes to in the shop.
    pub plan: Arc<ShopPlan>,
}

impl Workshop {
    /// Reads scripts, catalogue, site and people. Notes and warnings about other scripts are left out; those about the
    /// design itself and its inputs are told.
    pub fn open(world: &dyn World, request: &Request) -> Outcome<Workshop> {
        let design = std::thread::scope(|scope| {
            // What comes with the program is read the first time; scripts are compiled meanwhile.
            let ahead = std::thread::Builder::new().spawn_scoped(scope, Catalogue::shared);
            let design = find_design(world, &request.design);
            drop(ahead);
            design
        });
        // The catalogue takes scripts too: those of the design's own library, so that they are read once.
        let catalogue = match &design.value {
            Some((library, _)) => inputs::catalogue_with(world, library, &request.measured),
            None => inputs::catalogue(world, &request.measured),
        };
        let site = read_with(world, request.site.as_deref(), inputs::read_site)
            .then(|site| Outcome::from(in_air(site, request.climate.as_deref())));
        let people = read_with(world, request.people.as_deref(), inputs::read_people);
        let mut diagnostics = Vec::new();
        let (catalogue, site) = (keep(catalogue, &mut diagnostics), keep(site, &mut diagnostics));
        let (people, design) = (keep(people, &mut diagnostics), keep(design, &mut diagnostics));
        let whole = catalogue.zip(site).zip(people.zip(design));
        let Some(((catalogue, site), (people, (library, family)))) = whole else {
            return Outcome { value: None, diagnostics };
        };
        let (family, declared) = family;
        let (reading, pieces, base) = (request.units.reading(), request.pieces.max(1), Vec::new());
        let inputs = Inputs { catalogue, site, people };
        let mut workshop = Workshop { library, family, declared, inputs, reading, pieces, base };
        match workshop.base_of(request) {
            Ok(base) => workshop.base = base,
            Err(trouble) => {
                diagnostics.push(workshop.library.settle(trouble));
                return Outcome { value: None, diagnostics };
            }
        }
        Outcome::with(workshop, diagnostics)
    }

    fn base_of(&self, request: &Request) -> Result<Vec<(String, String)>, Diagnostic> {
        let mut base = match &request.preset {
            Some(name) => preset_settings(&self.declared, name)?,
            None => Vec::new(),
        };
        refuse_twice(&request.settings)?;
        base.extend(request.settings.iter().cloned());
        Ok(base)
    }

    /// The scripts that may take part in the design.
    pub fn library(&self) -> &Library {
        &self.library
    }

    /// Id of the family.
    pub fn family(&self) -> &str {
        &self.family
    }

    /// The catalogue in force.
    pub fn catalogue(&self) -> &Arc<Catalogue> {
        &self.inputs.catalogue
    }

    /// What the family declares.
    pub fn declared(&self) -> &Arc<Declared> {
        &self.declared
    }

    /// Makes one variant: these settings over those of the request. Troubles come with their script lines.
    pub fn make(&self, settings: &[(String, String)]) -> Outcome<Made> {
        // A fault of the program in one variant must not take the others with it.
        catch_unwind(AssertUnwindSafe(|| self.try_to_make(settings)))
            .unwrap_or_else(|_| Outcome::failed(program_failed()))
    }

    /// What fails of all checks but those on making, with its script lines, and how heavy people may be.
    pub(crate) fn judge(&self, made: &Made) -> (Vec<Diagnostic>, Result<Rating, NotRated>) {
        let judged = || {
            let case = Case::new(&made.model, &self.inputs.catalogue);
            let failed = failures(&case).into_iter().map(|found| self.library.settle(found)).collect();
            (failed, rate(&case))
        };
        let unknown = || Err(NotRated { fails: None, why: program_failed().message });
        catch_unwind(AssertUnwindSafe(judged)).unwrap_or_else(|_| (vec![program_failed()], unknown()))
    }

    fn try_to_make(&self, settings: &[(String, String)]) -> Outcome<Made> {
        let all = [&self.base[..], settings].concat();
        let made = self.values(&all).then(|values| self.known(values)).then(|values| {
            let model = match self.library.script(ScriptKind::Family, &self.family) {
                Ok(script) => slatwork_script::build(&self.library, script, &values, &self.inputs),
                Err(diagnostics) => Outcome { value: None, diagnostics },
            };
            model.then(|model| self.plan(values, model))
        });
        self.settled(made)
    }

    fn plan(&self, values: Parameters, model: Model) -> Outcome<Made> {
        let mut diagnostics = model.findings.clone();
        diagnostics.extend(slatwork_checks::making(&Case::new(&model, &self.inputs.catalogue)));
        let made = plan_for(&model, &self.inputs.catalogue, self.reading, self.pieces);
        diagnostics.extend(made.diagnostics);
        let value = made.value.map(|plan| Made { values, model: Arc::new(model), plan: Arc::new(plan) });
        Outcome { value, diagnostics }
    }

    /// Refuses what was set to a wood or a section that the catalogue does not have, before a script line that had no part in
    /// it is blamed.
    fn known(&self, values: Parameters) -> Outcome<Parameters> {
        let catalogue = &self.inputs.catalogue;
        let set = values.iter().filter(|(name, _)| values.is_set(name) == Some(true));
        let faults: Vec<Diagnostic> = set
            .filter_map(|(name, value)| {
                let (parameter, Value::Text(text)) = (self.declared().parameter(name).ok()?, value) else {
                    return None;
                };
                let fault = match parameter.kind {
                    ParameterKind::Wood => catalogue.species(text).err(),
                    ParameterKind::Section => catalogue.section(text).err(),
                    _ => None,
                }?;
                let message = format!("`{name}` cannot be \"{text}\": {}", fault.message);
                Some(Diagnostic { message, ..fault }.at_origin(parameter.origin))
            })
            .collect();
        match faults.is_empty() {
            true => Outcome::fine(values),
            false => Outcome { value: None, diagnostics: faults },
        }
    }

    fn values(&self, settings: &[(String, String)]) -> Outcome<Parameters> {
        self.declared().read(None, settings)
    }

    /// Places settled, doubles dropped, and no value where something cannot be built.
    fn settled(&self, made: Outcome<Made>) -> Outcome<Made> {
        let mut diagnostics: Vec<Diagnostic> = Vec::with_capacity(made.diagnostics.len());
        for diagnostic in made.diagnostics {
            let settled = self.library.settle(diagnostic);
            if !diagnostics.contains(&settled) {
                diagnostics.push(settled);
            }
        }
        let failed = diagnostics.iter().any(Diagnostic::is_error);
        Outcome { value: made.value.filter(|_| !failed), diagnostics }
    }
}

/// One parameter cannot be two things; that the later one counts would be a guess.
fn refuse_twice(settings: &[(String, String)]) -> Result<(), Diagnostic> {
    let twice = settings.iter().enumerate().find_map(|(index, (name, value))| {
        let (_, first) = settings[..index].iter().find(|(earlier, _)| earlier == name)?;
        Some((name, first, value))
    });
    let Some((name, first, second)) = twice else { return Ok(()) };
    let message = format!("`{name}` is set twice: to {first} and to {second}");
    Err(Diagnostic::error("set-twice", message)
        .at(Place::Named(String::from("--set")))
        .help("keep the one that you mean"))
}

fn program_failed() -> Diagnostic {
    Diagnostic::error("program-failed", "the program itself failed in this variant")
        .help("this is a fault of the program: please report it with the script and the values")
}

/// The values of a preset as settings.
fn preset_settings(declared: &Arc<Declared>, name: &str) -> Result<Vec<(String, String)>, Diagnostic> {
    if let Some(preset) = declared.presets.get(name) {
        return Ok(preset.values.iter().map(|(name, value)| (name.clone(), exact_text(value))).collect());
    }
    // Asked for only to be told that it is not there, and what is.
    let unknown = declared.choose(Some(name), &[]).diagnostics.into_iter().next();
    Err(unknown
        .unwrap_or_else(|| Diagnostic::error("unknown-preset", format!("there is no preset \"{name}\""))))
}

/// A value as a setting that reads back as the very same.
pub(crate) fn exact_text(value: &Value) -> String {
    /// Decimals of a millimetre down to a nanometre.
    const TO_THE_NANOMETRE: u32 = 6;
    match value {
        Value::Length(length) => exact_length(*length, TO_THE_NANOMETRE),
        Value::Angle(angle) => format!("{}deg", angle.as_deg()),
        other => other.to_string(),
    }
}

fn exact_length(length: Length, decimals: u32) -> String {
    format!("{}mm", length.mm_text(decimals))
}

/// A site whose air is that of the request, where the request says any.
fn in_air(site: Site, climate: Option<&str>) -> Result<Site, Diagnostic> {
    let Some(said) = climate else { return Ok(site) };
    judged::readable_climate(said)?;
    Ok(Site { climate: Some(said.to_string()), ..site })
}

fn keep<T>(outcome: Outcome<T>, diagnostics: &mut Vec<Diagnostic>) -> Option<T> {
    diagnostics.extend(outcome.diagnostics);
    outcome.value
}

fn read_with<T: Default>(
    world: &dyn World,
    path: Option<&str>,
    read: impl Fn(&str, &str) -> Outcome<T>,
) -> Outcome<T> {
    let Some(path) = path else { return Outcome::fine(T::default()) };
    Outcome::from(world.read(path)).then(|text| read(path, &text))
}

/// Whether a design is named by the path of a script.
pub(crate) fn is_path(design: &str) -> bool {
    design.ends_with(ENDING)
}

/// A family's id and what it declares.
type Family = (String, Arc<Declared>);

/// The library, and the family in it.
fn find_design(world: &dyn World, design: &str) -> Outcome<(Arc<Library>, Family)> {
    let scripts = Scripts::of(world);
    let loaded = if is_path(design) {
        let loose =
            |text| LooseScript { kind: ScriptKind::Family, shown: design.to_string(), text, trusted: false };
        Outcome::from(world.read(design)).then(|text| Library::load_file(&scripts, loose(text)))
    } else {
        Library::load_for(&scripts, design).map(|library| (library, design.to_string()))
    };
    let Some((library, id)) = loaded.value else {
        return Outcome { value: None, diagnostics: loaded.diagnostics };
    };
    // Faults of other scripts are no business of this design; `slatwork list plug-ins` tells them.
    match library.script(ScriptKind::Family, &id).map(|script| Arc::clone(&script.declared)) {
        Ok(declared) => Outcome::fine((Arc::new(library), (id, declared))),
        Err(faults) => Outcome { value: None, diagnostics: faults },
    }
}
