//! The data that comes with the program.

use crate::{Catalogue, lay, read};
use slatwork_base::Diagnostic;

/// Every data file, in the order they are laid over one another: what is referred to comes first.
pub(crate) const FILES: [(&str, &str); 16] = [
    ("sections.toml", include_str!("../data/sections.toml")),
    ("hardwood_sections.toml", include_str!("../data/hardwood_sections.toml")),
    ("metric_sections.toml", include_str!("../data/metric_sections.toml")),
    ("species.toml", include_str!("../data/species.toml")),
    ("design_values.toml", include_str!("../data/design_values.toml")),
    ("fasteners.toml", include_str!("../data/fasteners.toml")),
    ("drills.toml", include_str!("../data/drills.toml")),
    ("hardware.toml", include_str!("../data/hardware.toml")),
    ("tools.toml", include_str!("../data/tools.toml")),
    ("bodies.toml", include_str!("../data/bodies.toml")),
    ("yard.toml", include_str!("../data/yard.toml")),
    ("rack.toml", include_str!("../data/rack.toml")),
    ("terms.toml", include_str!("../data/terms.toml")),
    ("rates.toml", include_str!("../data/rates.toml")),
    ("consumables.toml", include_str!("../data/consumables.toml")),
    ("prices.toml", include_str!("../data/prices.toml")),
];

pub(crate) fn read() -> Result<Catalogue, Vec<Diagnostic>> {
    read_files(&FILES)
}

/// Reads files strictly, each over the ones before it.
pub(crate) fn read_files(files: &[(&str, &str)]) -> Result<Catalogue, Vec<Diagnostic>> {
    let mut catalogue = Catalogue::default();
    let mut troubles = Vec::new();
    for (name, text) in files {
        let read = read::read(name, text, &catalogue, true);
        troubles.extend(read.diagnostics);
        troubles.extend(lay::lay_on(&mut catalogue, read.value.unwrap_or_default()));
    }
    if troubles.is_empty() { Ok(catalogue) } else { Err(troubles) }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Reads one data file over those before it, with its text changed.
    fn troubles(changed: &str, change: impl Fn(&str) -> String) -> Vec<Diagnostic> {
        let upto = FILES.iter().position(|(name, _)| *name == changed).expect("a data file");
        let base = read_files(&FILES[..upto]).expect("the data are fine");
        read::read(changed, &change(FILES[upto].1), &base, true).diagnostics
    }

    fn count(troubles: &[Diagnostic], code: &str) -> usize {
        troubles.iter().filter(|trouble| trouble.code == code).count()
    }

    fn is_entry(line: &str) -> bool {
        let tables = ["[[", "[tools.", "[terms.", "[labour.", "[consumable."];
        tables.iter().any(|table| line.starts_with(table))
    }

    fn entries(text: &str) -> usize {
        text.lines().filter(|line| is_entry(line)).count()
    }

    fn without(text: &str, key: &str) -> String {
        let start = format!("{key} = ");
        text.lines().filter(|line| !line.starts_with(&start)).map(|line| format!("{line}\n")).collect()
    }

    #[test]
    fn an_entry_without_source_or_status_is_refused() {
        for (name, text) in FILES {
            for key in ["source", "status"] {
                let troubles = troubles(name, |text| without(text, key));
                assert_eq!(count(&troubles, "no-source"), entries(text), "{name} without {key}");
            }
        }
    }

    #[test]
    fn a_source_that_is_not_listed_is_refused() {
        let troubles = troubles("species.toml", |text| text.replacen("\"@handbook\"", "\"@handbok\"", 1));
        assert_eq!(count(&troubles, "no-source"), 2, "the unknown key and the entry left without a source");
        assert!(troubles[0].help[0].contains("@handbook"), "{troubles:?}");
    }

    #[test]
    fn a_blank_source_is_refused() {
        let troubles = troubles("yard.toml", |text| text.replacen("\"@demo\"", "\" \"", 1));
        assert_eq!(count(&troubles, "no-source"), 1);
    }

    #[test]
    fn a_bare_tool_figure_is_refused() {
        let bare = troubles("tools.toml", |_| String::from("[tools]\ncrosscut_kerf = \"1/8in\"\n"));
        assert_eq!(count(&bare, "no-source"), 1);
    }

    #[test]
    fn an_unknown_key_is_refused_in_every_entry() {
        for (name, text) in FILES {
            let troubles = troubles(name, |text| {
                let shaded = |line: &str| {
                    if is_entry(line) { format!("{line}\nshade = 3\n") } else { format!("{line}\n") }
                };
                text.lines().map(shaded).collect()
            });
            assert_eq!(count(&troubles, "unknown-key"), entries(text), "{name}");
        }
    }

    #[test]
    fn an_exception_must_name_a_figure_of_its_entry() {
        let troubles =
            troubles("drills.toml", |text| text.replacen("{ counterbore = ", "{ countersink = ", 1));
        assert_eq!(count(&troubles, "wrong-value"), 1);
        assert!(troubles[0].message.contains("`countersink`"), "{troubles:?}");
    }
}
