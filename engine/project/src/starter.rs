//! A new family to begin from: small, commented, and able to be built at once.

use crate::World;
use crate::built_in::BUILT_IN;
use slatwork_base::{Diagnostic, Place};

/// The text of the starter; `TITLE` stands for the family's own.
const STARTER: &str = include_str!("starter.rhai");

/// Writes a family of that name into `families/` of the first root. Refuses one that is there. Gives the path as the user
/// knows it.
///
/// # Errors
/// `bad-family-name`, `family-comes-along`, `file-exists`, `folder-not-writable`.
pub fn new_family(world: &dyn World, name: &str) -> Result<String, Diagnostic> {
    if !is_name(name) {
        let diagnostic = Diagnostic::error("bad-family-name", format!("\"{name}\" cannot name a family"));
        return Err(diagnostic
            .at(Place::Named(name.to_string()))
            .help("write lower-case words of letters and digits joined by `_`, as in lake_bench"));
    }
    let path = format!("families/{name}.rhai");
    if BUILT_IN.iter().any(|(own, _)| *own == path) {
        let diagnostic = Diagnostic::error("family-comes-along", format!("`{name}` comes with the program"));
        return Err(diagnostic
            .at(Place::Named(name.to_string()))
            .help("take another name: a new script of this name would stand in its place"));
    }
    world.create_below(&path, starter(name).as_bytes())
}

/// The starter under a name.
pub(crate) fn starter(name: &str) -> String {
    STARTER.replace("TITLE", &title(name))
}

/// Longest name of a family: it becomes a file name and a column of lists.
const LONGEST_NAME: usize = 64;

fn is_name(name: &str) -> bool {
    name.len() <= LONGEST_NAME
        && name.starts_with(|c: char| c.is_ascii_lowercase())
        && name.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '_')
}

/// `lake_bench` becomes `Lake bench`.
fn title(name: &str) -> String {
    let words = name.replace('_', " ");
    let mut letters = words.chars();
    letters.next().map_or(String::new(), |first| first.to_uppercase().collect::<String>() + letters.as_str())
}
