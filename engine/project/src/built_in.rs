//! The scripts that come with the program, and the door through which a library sees them behind the user's own.

use crate::World;
use slatwork_base::{Diagnostic, Place};
use slatwork_script::{ENDING, RootInfo, RootKind, Sources};

/// Path and text of every script that comes with the program.
pub const BUILT_IN: &[(&str, &str)] = include!(concat!(env!("OUT_DIR"), "/built_in.rs"));

/// Key of the built-in root.
const ROOT: &str = "built-in";

/// The roots of a world, then the built-in one.
pub struct Scripts<'w> {
    world: &'w dyn World,
}

impl<'w> Scripts<'w> {
    /// The scripts that a design made in this world may use.
    pub fn of(world: &'w dyn World) -> Self {
        Scripts { world }
    }
}

impl core::fmt::Debug for Scripts<'_> {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        f.debug_struct("Scripts").finish_non_exhaustive()
    }
}

impl Sources for Scripts<'_> {
    fn roots(&self) -> Vec<RootInfo> {
        let built_in = RootInfo {
            name: String::from(ROOT),
            kind: RootKind::BuiltIn,
            shown: format!("{ROOT}/"),
            trusted: true,
        };
        self.world.roots().into_iter().chain([built_in]).collect()
    }

    fn list(&self, root: &str, folder: &str) -> Result<Vec<String>, Diagnostic> {
        if root != ROOT {
            return self.world.list(root, folder, ENDING);
        }
        let below = BUILT_IN.iter().filter_map(|(path, _)| path.strip_prefix(folder)?.strip_prefix('/'));
        Ok(below.filter(|name| name.ends_with(ENDING)).map(String::from).collect())
    }

    fn read(&self, root: &str, path: &str) -> Result<String, Diagnostic> {
        if root != ROOT {
            return self.world.read_below(root, path);
        }
        let found = BUILT_IN.iter().find(|(own, _)| *own == path);
        found.map(|(_, text)| String::from(*text)).ok_or_else(|| {
            Diagnostic::error("no-such-file", format!("no script {path} comes with the program"))
                .at(Place::Path(path.to_string()))
        })
    }
}
