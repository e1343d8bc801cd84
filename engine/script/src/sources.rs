//! Where scripts come from: a door that this room looks through, so that no disk is touched here.

use slatwork_base::{Diagnostic, Place};
use std::collections::BTreeMap;

/// Whose scripts a root holds; the order is the order of search.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum RootKind {
    /// Beside the design at hand.
    Project,
    /// The user's own.
    User,
    /// Shipped with the program.
    BuiltIn,
}

/// A folder of scripts.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RootInfo {
    /// Its key in [`Sources::list`] and [`Sources::read`].
    pub name: String,
    /// Whose it is.
    pub kind: RootKind,
    /// Put before a script's path when it is shown to the user, with its own separator at the end; may be empty.
    pub shown: String,
    /// Whether its scripts may run in this process rather than a fenced one.
    pub trusted: bool,
}

/// Gives the texts of scripts by root and path. Paths use `/` and are relative to the root.
///
/// Who implements this for a disk must resolve links and refuse whatever leaves the root; the grammar of names,
/// the size of files and cycles are looked after by the library.
pub trait Sources {
    /// The roots in order of search.
    fn roots(&self) -> Vec<RootInfo>;

    /// The paths, relative to `folder`, of all files below it whose name ends in `.rhai`, sub-folders included, in
    /// any order. A folder that is not there is empty.
    fn list(&self, root: &str, folder: &str) -> Result<Vec<String>, Diagnostic>;

    /// The text of a file that [`Sources::list`] named: `path` is the folder, a slash, and what was listed.
    fn read(&self, root: &str, path: &str) -> Result<String, Diagnostic>;
}

/// Scripts held in memory: those built into the program, and those of tests.
#[derive(Clone, Debug, Default)]
pub struct Texts {
    roots: Vec<(RootInfo, BTreeMap<String, String>)>,
}

impl Texts {
    /// Adds a root with its files, each a path below the root and a text.
    #[must_use]
    pub fn with_root<'f>(
        mut self,
        root: RootInfo,
        files: impl IntoIterator<Item = (&'f str, &'f str)>,
    ) -> Self {
        let files = files.into_iter().map(|(path, text)| (path.to_string(), text.to_string()));
        self.roots.push((root, files.collect()));
        self
    }

    fn files(&self, root: &str) -> Option<&BTreeMap<String, String>> {
        self.roots.iter().find(|(info, _)| info.name == root).map(|(_, files)| files)
    }
}

impl Sources for Texts {
    fn roots(&self) -> Vec<RootInfo> {
        self.roots.iter().map(|(info, _)| info.clone()).collect()
    }

    fn list(&self, root: &str, folder: &str) -> Result<Vec<String>, Diagnostic> {
        let paths = self.files(root).into_iter().flat_map(BTreeMap::keys);
        let below = paths.filter_map(|path| path.strip_prefix(folder)?.strip_prefix('/'));
        Ok(below.filter(|name| name.ends_with(ENDING)).map(str::to_string).collect())
    }

    fn read(&self, root: &str, path: &str) -> Result<String, Diagnostic> {
        self.files(root).and_then(|files| files.get(path)).cloned().ok_or_else(|| {
            Diagnostic::error("no-such-file", format!("there is no script {path}"))
                .at(Place::Path(path.to_string()))
        })
    }
}

/// Longest module name.
const LONGEST_NAME: usize = 128;

/// The ending of script files.
pub const ENDING: &str = ".rhai";

/// Refuses a module name that is not words of letters, digits, `_` and `-` joined by `/`.
pub fn check_name(name: &str) -> Result<(), Diagnostic> {
    let is_word = |word: &str| {
        !word.is_empty() && word.chars().all(|c| c.is_ascii_alphanumeric() || matches!(c, '_' | '-'))
    };
    if name.len() <= LONGEST_NAME && name.split('/').all(is_word) {
        return Ok(());
    }
    let shown: String = name.chars().take(LONGEST_NAME).collect();
    let diagnostic = Diagnostic::error("bad-module-name", format!("{shown:?} is not a module name"));
    Err(diagnostic.help(
        "write words of letters, digits, `_` and `-` joined by `/`, as in import \"lib/feet\" as feet; \
         a module lies below a script root, and no name leads out of it",
    ))
}
