//! The data that comes with the program.

use crate::{Catalogue, read};
use slatwork_base::Diagnostic;

/// Every data file, in the order they are laid over one another: what is referred to comes first.
pub(crate) const FILES: [(&str, &str); 11] = [
    ("sections.toml", include_str!("../data/sections.toml")),
    ("hardwood_sections.toml", include_str!("../data/hardwood_sections.toml")),
    ("metric_sections.toml", include_str!("../data/metric_sections.toml")),
    ("species.toml", include_str!("../data/species.toml")),
    ("design_values.toml", include_str!("../data/design_values.toml")),
    ("fasteners.toml", include_str!("../data/fasteners.toml")),
    ("drills.toml", include_str!("../data/drills.toml")),
    ("hardware.toml", include_str!("../data/hardware.toml")),
    ("tools.toml", include_str!("../data/tools.toml")),
    ("yard.toml", include_str!("../data/yard.toml")),
    ("rack.toml", include_str!("../data/rack.toml")),
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
        let laid = catalogue.overlay(read.value.unwrap_or_default());
        troubles.extend(laid.diagnostics);
        catalogue = laid.value.unwrap_or(catalogue);
    }
    if troubles.is_empty() { Ok(catalogue) } else { Err(troubles) }
}
