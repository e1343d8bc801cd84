//! Files that say what a piece must suit: the site, the people, and catalogues laid over the built-in one.

use crate::World;
use crate::built_in::Scripts;
use crate::settings_file::SettingsFile;
use slatwork_base::{Diagnostic, Outcome};
use slatwork_catalog::Catalogue;
use slatwork_checks::{AIR_FORMAT, CLIMATES, Climate};
use slatwork_model::{Overhead, People, Person, Runs, Site, UseLevel};
use slatwork_script::{
    ENDING, Library, LooseScript, RootInfo, Script, ScriptKind, catalogue_scripts, overlay_catalogue,
};
use std::sync::Arc;

/// What `use` may say.
const USE_LEVELS: [(&str, UseLevel); 3] =
    [("domestic", UseLevel::Domestic), ("contract", UseLevel::Contract), ("heavy", UseLevel::Heavy)];

/// What `runs` may say.
const RUNS: [(&str, Runs); 2] = [("along the seat", Runs::AlongSeat), ("across the seat", Runs::AcrossSeat)];

/// Grade of a beam where nothing is said: what yards mostly stock (common practice, no source).
const USUAL_GRADE: &str = "No.2";

/// Reads a site: `hook_height = "84in"`, `hook_spacing`, `clear_rear`, `clear_front`, `clear_side` (lengths),
/// `floor_slope` (mm per metre), `ground` (words), `climate` ("damp coast", "30..80% 5..30C"), and `[[beam]]` for each joist or beam that hooks go into: `section`, `species`,
/// `grade`, `span`, `hook_from` (from a bearing to the nearest hook), `runs` ("along the seat", "across the seat"). All may be left
/// out; every trouble is told at its line.
pub fn read_site(name: &str, text: &str) -> Outcome<Site> {
    SettingsFile::read(name, text, |file| Site {
        hook_height: file.length("hook_height"),
        hook_spacing: file.length("hook_spacing"),
        clear_rear: file.length("clear_rear"),
        clear_front: file.length("clear_front"),
        clear_side: file.length("clear_side"),
        floor_slope: file.number("floor_slope"),
        ground: file.text("ground"),
        climate: file.meaning(
            "climate",
            &format!("one of {}, or its air: {AIR_FORMAT}", climates()),
            |text| Climate::read(text).is_ok().then(|| text.to_string()),
        ),
        beams: file.each("beam", read_beam).into_iter().flatten().collect(),
    })
}

fn climates() -> String {
    CLIMATES.iter().filter_map(|own| own.name).map(|own| format!("\"{own}\"")).collect::<Vec<_>>().join(", ")
}

fn read_beam(file: &SettingsFile<'_>) -> Option<Overhead> {
    let section = file.need("section", file.text("section"));
    let species = file.need("species", file.text("species"));
    let grade = file.text("grade").unwrap_or_else(|| String::from(USUAL_GRADE));
    let span = file.need("span", file.length("span"));
    let hook_from = file.need("hook_from", file.length("hook_from"));
    let runs = file.need("runs", file.choice("runs", &RUNS));
    Some(Overhead {
        section: section?,
        species: species?,
        grade,
        span: span?,
        hook_from: hook_from?,
        runs: runs?,
    })
}

/// Reads people: `population`, `use` ("domestic", "contract", "heavy"), `children` (true or false), and for the very
/// people `[[person]]` with `label`, `stature`, `mass` (kg), `woman` (true or false).
pub fn read_people(name: &str, text: &str) -> Outcome<People> {
    SettingsFile::read(name, text, |file| {
        let usual = People::default();
        People {
            population: file.text("population").unwrap_or(usual.population),
            named: file.each("person", read_person).into_iter().flatten().collect(),
            use_level: file.choice("use", &USE_LEVELS).unwrap_or(usual.use_level),
            children: file.flag("children").unwrap_or(usual.children),
        }
    })
}

fn read_person(file: &SettingsFile<'_>) -> Option<Person> {
    let (label, woman) = (file.text("label"), file.flag("woman"));
    let (stature, mass) =
        (file.need("stature", file.length("stature")), file.need("mass", file.number("mass")));
    Some(Person {
        label: label.unwrap_or_else(|| String::from("sitter")),
        stature: stature?,
        mass: mass?,
        woman,
    })
}

/// The folder of a root whose catalogues, in TOML or as scripts, are laid over the built-in catalogue by themselves.
const CATALOGUES: &str = "catalogues";

/// As `catalogue_with`, for those who have no library of their own: scripts are read if there are catalogues among
/// them. Needs the stack of [`slatwork_script::with_stack`].
pub fn catalogue(world: &dyn World, named: &[String]) -> Outcome<Arc<Catalogue>> {
    let loaded = Library::load(&Scripts::of(world));
    match loaded.value {
        Some(library) => catalogue_with(world, &library, named),
        None => Outcome { value: None, diagnostics: loaded.diagnostics },
    }
}

/// The built-in catalogue with every catalogue of the roots' `catalogues/` laid over it, those of the first root last so
/// that they win, within a root in the order of their names; then the named files. A faulty one is an error: to go on
/// without it would buy the wrong boards.
pub(crate) fn catalogue_with(
    world: &dyn World,
    library: &Library,
    named: &[String],
) -> Outcome<Arc<Catalogue>> {
    let faults: Vec<Diagnostic> = library.faults(ScriptKind::Catalogue).cloned().collect();
    if !faults.is_empty() {
        return Outcome { value: None, diagnostics: faults };
    }
    let layers = layers(world, library).into_iter().chain(named.iter().map(|name| Layer::named(world, name)));
    let below = Outcome::fine(Arc::clone(Catalogue::shared()));
    layers.fold(below, |outcome, layer| outcome.then(|below| layer.over(world, library, &below)))
}

/// One catalogue to lay over what is below it.
enum Layer<'l> {
    /// A TOML file, by its name.
    File(String, Result<String, Diagnostic>),
    /// A script of the library.
    Script(&'l Script),
    /// A script that the user named.
    Named(String, Result<String, Diagnostic>),
}

impl Layer<'_> {
    fn named(world: &dyn World, path: &str) -> Self {
        let layer = if path.ends_with(ENDING) { Layer::Named } else { Layer::File };
        layer(path.to_string(), world.read(path))
    }

    fn over(self, world: &dyn World, library: &Library, below: &Arc<Catalogue>) -> Outcome<Arc<Catalogue>> {
        match self {
            Layer::Script(script) => overlay_catalogue(library, script, below),
            Layer::File(name, Ok(text)) => below.overlay_toml(&name, &text).map(Arc::new),
            Layer::Named(path, Ok(text)) => overlay_named(world, path, text, below),
            Layer::File(_, Err(trouble)) | Layer::Named(_, Err(trouble)) => Outcome::failed(trouble),
        }
    }
}

/// Lays a script over that lies in no root.
fn overlay_named(
    world: &dyn World,
    path: String,
    text: String,
    below: &Arc<Catalogue>,
) -> Outcome<Arc<Catalogue>> {
    let loose = LooseScript { kind: ScriptKind::Catalogue, shown: path, text, trusted: false };
    let loaded = Library::load_file(&Scripts::of(world), loose);
    let Some((library, id)) = loaded.value else {
        return Outcome { value: None, diagnostics: loaded.diagnostics };
    };
    match library.script(ScriptKind::Catalogue, &id) {
        Ok(script) => overlay_catalogue(&library, script, below),
        Err(diagnostics) => Outcome { value: None, diagnostics },
    }
}

/// The catalogues of all roots in the order in which they are laid.
fn layers<'l>(world: &dyn World, library: &'l Library) -> Vec<Layer<'l>> {
    let scripts = catalogue_scripts(library);
    let own_roots = world.roots();
    let is_own =
        |script: &&Script| own_roots.iter().any(|root| script.root_name.as_ref() == Some(&root.name));
    let mut layers: Vec<Layer<'l>> =
        scripts.iter().copied().filter(|script| !is_own(script)).map(Layer::Script).collect();
    for root in own_roots.iter().rev() {
        let mut of_this: Vec<(String, Layer<'l>)> = files(world, root);
        let of_root = scripts.iter().copied().filter(|own| own.root_name.as_ref() == Some(&root.name));
        of_this.extend(of_root.map(|script| (script.shown.clone(), Layer::Script(script))));
        of_this.sort_by(|(one, _), (other, _)| one.cmp(other));
        layers.extend(of_this.into_iter().map(|(_, layer)| layer));
    }
    layers
}

/// The TOML catalogues of a root, each with its name.
fn files<'l>(world: &dyn World, root: &RootInfo) -> Vec<(String, Layer<'l>)> {
    let file = |name: String| {
        let path = format!("{CATALOGUES}/{name}");
        let shown = format!("{}{path}", root.shown);
        (shown.clone(), Layer::File(shown, world.read_below(&root.name, &path)))
    };
    match world.list(&root.name, CATALOGUES, ".toml") {
        Ok(names) => names.into_iter().map(file).collect(),
        Err(trouble) => vec![(root.shown.clone(), Layer::File(root.shown.clone(), Err(trouble)))],
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Memory;
    use slatwork_base::Length;

    #[test]
    fn a_site_is_read() {
        let text = "hook_height = \"84in\"\nfloor_slope = 15\nground = \"deck\"\n";
        let site = read_site("site.toml", text).value.unwrap();
        assert_eq!(site.hook_height, Some(Length::inch(84.0)));
        assert_eq!(site.floor_slope, Some(15.0));
        assert_eq!(site.ground.as_deref(), Some("deck"));
    }

    #[test]
    fn the_air_of_a_site_is_read_and_what_is_none_is_told_with_how_to_write_it() {
        for said in ["damp coast", "30..80%", "30..80% 5..30C"] {
            let site = read_site("site.toml", &format!("climate = \"{said}\"\n")).value.unwrap();
            assert_eq!(site.climate.as_deref(), Some(said));
        }
        let wrong = read_site("site.toml", "climate = \"70\"\n");
        let told = wrong.diagnostics[0].to_string();
        assert!(
            wrong.value.is_none() && told.contains("30..80% 5..30C") && told.contains("temperate"),
            "{told}"
        );
    }

    #[test]
    fn beams_of_a_site_are_read_and_what_they_lack_is_told() {
        let text = "[[beam]]\nsection = \"2x8\"\nspecies = \"douglas fir\"\nspan = \"12ft\"\nhook_from = \"6ft\"\nruns = \"across the seat\"\n";
        let beam = read_site("site.toml", text).value.unwrap().beams.remove(0);
        assert_eq!(
            (beam.section.as_str(), beam.grade.as_str(), beam.runs),
            ("2x8", "No.2", Runs::AcrossSeat)
        );
        assert_eq!((beam.span, beam.hook_from), (Length::inch(144.0), Length::inch(72.0)));
        let lacking = read_site("site.toml", "[[beam]]\nsection = \"2x8\"\nruns = \"askew\"\n");
        let codes: Vec<&str> = lacking.diagnostics.iter().map(|own| own.code).collect();
        assert_eq!(codes, ["missing-key", "missing-key", "missing-key", "wrong-value"]);
    }

    #[test]
    fn people_are_read() {
        let text =
            "use = \"contract\"\nchildren = false\n[[person]]\nstature = \"1.8m\"\nmass = 92\nwoman = true\n";
        let people = read_people("people.toml", text).value.unwrap();
        assert_eq!((people.use_level, people.children), (UseLevel::Contract, false));
        assert_eq!(people.named[0].stature, Length::mm(1800.0));
        assert_eq!((people.named[0].mass, people.named[0].woman), (92.0, Some(true)));
    }

    #[test]
    fn every_trouble_is_told_at_its_line() {
        let text = "hook_hieght = \"84in\"\nclear_rear = 500\nfloor_slope = \"steep\"\n";
        let site = read_site("site.toml", text);
        assert_eq!(site.value, None);
        let told: Vec<String> = site.diagnostics.iter().map(ToString::to_string).collect();
        insta::assert_snapshot!(told.join("\n"));
    }

    #[test]
    fn the_first_roots_catalogues_and_named_files_win() {
        let measured = |width: &str| format!("[[measured]]\nsection = \"1x4\"\nwidth = \"{width}\"\n");
        let (own, named) = (measured("88mm"), measured("87mm"));
        let world = Memory::of([("catalogues/yard.toml", own.as_str()), ("today.toml", named.as_str())]);
        let width = |named: &[String]| {
            let catalogue = catalogue(&world, named).value.unwrap();
            catalogue.section("1x4").unwrap().width
        };
        assert_eq!(width(&[]), Length::mm(88.0));
        assert_eq!(width(&[String::from("today.toml")]), Length::mm(87.0));
    }
}
