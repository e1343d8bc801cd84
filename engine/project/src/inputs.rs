//! Files that say what a piece must suit: the site, the people, and catalogues laid over the built-in one.

use crate::World;
use crate::settings_file::SettingsFile;
use slatwork_base::{Diagnostic, Outcome};
use slatwork_catalog::Catalogue;
use slatwork_model::{People, Person, Site, UseLevel};
use std::sync::Arc;

/// What `use` may say.
const USE_LEVELS: [(&str, UseLevel); 3] =
    [("domestic", UseLevel::Domestic), ("contract", UseLevel::Contract), ("heavy", UseLevel::Heavy)];

/// Reads a site: `hook_height = "84in"`, `hook_spacing`, `clear_rear`, `clear_front`, `clear_side` (lengths),
/// `floor_slope` (mm per metre), `ground` (words). All may be left out; every trouble is told at its line.
pub fn read_site(name: &str, text: &str) -> Outcome<Site> {
    SettingsFile::read(name, text, |file| Site {
        hook_height: file.length("hook_height"),
        hook_spacing: file.length("hook_spacing"),
        clear_rear: file.length("clear_rear"),
        clear_front: file.length("clear_front"),
        clear_side: file.length("clear_side"),
        floor_slope: file.number("floor_slope"),
        ground: file.text("ground"),
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

/// The folder of a root whose catalogue files are laid over the built-in catalogue by themselves.
const CATALOGUES: &str = "catalogues";

/// The built-in catalogue with the files of every root's `catalogues/` laid over it, those of the first root last so that
/// they win, and then the named files.
pub fn catalogue(world: &dyn World, named: &[String]) -> Outcome<Arc<Catalogue>> {
    let mut outcome = Outcome::fine(Arc::clone(Catalogue::shared()));
    for (name, text) in
        catalogue_files(world).into_iter().chain(named.iter().map(|name| (name.clone(), world.read(name))))
    {
        outcome = outcome.then(|catalogue| match text {
            Ok(text) => catalogue.overlay_toml(&name, &text).map(Arc::new),
            Err(trouble) => Outcome::failed(trouble),
        });
    }
    outcome
}

fn catalogue_files(world: &dyn World) -> Vec<(String, Result<String, Diagnostic>)> {
    let mut files = Vec::new();
    for root in world.roots().into_iter().rev() {
        match world.list(&root.name, CATALOGUES, ".toml") {
            Ok(mut names) => {
                names.sort();
                let path = |name: String| format!("{CATALOGUES}/{name}");
                files.extend(
                    names
                        .into_iter()
                        .map(path)
                        .map(|path| (format!("{}{path}", root.shown), world.read_below(&root.name, &path))),
                );
            }
            Err(trouble) => files.push((root.shown, Err(trouble))),
        }
    }
    files
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
    fn people_are_read() {
        let text =
            "use = \"contract\"\nchildren = false\n[[person]]\nstature = \"1.8m\"\nmass = 92\nwoman = true\n";
        let people = read_people("people.toml", text).value.unwrap();
        assert_eq!((people.use_level, people.children), (UseLevel::Contract, false));
        assert_eq!(people.named[0].stature, Length::metre(1.8));
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
