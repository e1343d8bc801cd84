//! From a request to papers: the one room that sees scripts, models, shop and formats together.
//!
//! [`build`] makes one variant with its papers, [`batch`] any number of variants as rows. The outside comes through
//! [`World`]; [`Disk`] is the real one.
//!
//! This room must not know the terminal, exit codes or HTTP.
//!
//! | file | what |
//! |---|---|
//! | `world.rs` | [`World`]: files in, files out |
//! | `disk.rs`, `in_memory.rs` | the disk; a world in memory |
//! | `built_in.rs` | the scripts that come with the program |
//! | `request.rs` | [`Request`], [`Units`] |
//! | `inputs.rs`, `settings_file.rs` | site, people and catalogue files |
//! | `workshop.rs` | [`Workshop`]: a design read and compiled once |
//! | `printing.rs` | [`PrintSettings`]: how templates are printed |
//! | `dossier.rs` | [`build`], [`Dossier`]: one variant with its papers |
//! | `documents/` | the papers, one kind a file, and their table; JSON schemas |
//! | `judged.rs` | [`check`], [`Judged`]: one variant under every check |
//! | `remedy/` | what one change of a parameter would mend |
//! | `figures.rs` | [`Figures`]: a variant in a dozen figures |
//! | `batch.rs`, `vary.rs`, `row.rs` | many variants as rows |
//! | `listing.rs` | what there is: families, woods, sizes and so on, as tables |
//! | `starter.rs` | a new family to begin from |
//! | `calc/` | one shop question at a time, its answer out |
//! | `explain/` | every diagnostic in words: what, why, what to do |

mod batch;
mod built_in;
pub mod calc;
mod disk;
mod documents;
mod dossier;
pub mod explain;
mod figures;
mod in_memory;
mod inputs;
mod judged;
pub mod listing;
mod printing;
pub mod remedy;
mod request;
mod row;
mod settings_file;
mod starter;
mod vary;
mod workshop;
mod world;

pub use batch::{Batch, Progress, Tally, batch};
pub use built_in::{BUILT_IN, Scripts};
pub use disk::{Disk, read_whole};
pub use documents::{Kind, SCHEMAS, schema, schema_names};
pub use dossier::{Document, Dossier, build, fails};
pub use figures::Figures;
pub use in_memory::Memory;
pub use inputs::{catalogue, read_people, read_site};
pub use judged::{Judged, check, check_with_remedies, conditions};
pub use printing::PrintSettings;
pub use request::{Request, Units};
pub use row::RowFormat;
pub use starter::new_family;
pub use vary::Vary;
pub use workshop::{Made, Workshop};
pub use world::{FileOut, Fill, MOST_BYTES, World};

// What an outer room needs of the script host, so that it need not know the host itself.
pub use slatwork_checks::{Caution, Conditions};
pub use slatwork_output::book::Page as BookPage;
pub use slatwork_script::{
    Library, RootKind, STACK_BYTES, Script, ScriptKind, caret, memory, reference, with_stack,
};

use slatwork_base::Diagnostic;

/// Diagnostics as a JSON list: severity, code, message, place, trace, help of each.
pub fn diagnostics_json(diagnostics: &[Diagnostic]) -> serde_json::Value {
    documents::findings_json(diagnostics)
}

/// Writes the papers of a dossier to a folder: all of them, or none; papers of another design that were written there earlier go.
/// Gives the paths as the user knows them.
pub fn write(world: &dyn World, folder: &str, dossier: &Dossier) -> Result<Vec<String>, Diagnostic> {
    let documents = dossier.documents.iter();
    let files: Vec<FileOut<'_>> =
        documents.map(|document| FileOut { path: &document.path, bytes: &document.bytes }).collect();
    world.write_all(folder, &dossier.design(), &files)
}
