//! What a run shares with its library: lines, outlines and evaluated modules.

use crate::origin::LineTable;
use rhai::{Module, Shared};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// What is known of a file without running it.
#[derive(Clone, Debug, Default)]
pub(crate) struct Outline {
    /// Functions by name with their parameters' names.
    pub functions: BTreeMap<String, Vec<String>>,
    /// Imported module name to file.
    pub imports: BTreeMap<String, usize>,
    /// Alias to imported module name.
    pub aliases: BTreeMap<String, String>,
    /// Every key of a map literal and every property that is read: for "did you mean".
    pub keys: BTreeSet<String>,
}

/// Cheap to clone.
#[derive(Clone, Debug, Default)]
pub(crate) struct Parts {
    pub lines: Arc<LineTable>,
    pub outlines: Arc<Vec<Outline>>,
    pub modules: Arc<BTreeMap<usize, Shared<Module>>>,
}
