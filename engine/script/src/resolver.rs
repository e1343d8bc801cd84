//! Imports: every module was found, checked and evaluated when the library was loaded; here it is only looked up.
//!
//! So no script can reach a file by an import, a cycle is found before anything runs, and a module is evaluated
//! once for all runs (its top holds only imports, constants and functions, which nothing can change).

use crate::host::origin_of;
use crate::parts::Parts;
use rhai::{Engine, EvalAltResult, ModuleResolver, Position, Shared};

/// Looks modules up for one run.
pub(crate) struct Resolver {
    parts: Parts,
}

impl Resolver {
    pub(crate) fn new(parts: &Parts) -> Self {
        Resolver { parts: parts.clone() }
    }
}

impl ModuleResolver for Resolver {
    fn resolve(
        &self,
        _: &Engine,
        _: Option<&str>,
        path: &str,
        position: Position,
    ) -> Result<Shared<rhai::Module>, Box<EvalAltResult>> {
        // The position names the importing file by its line; what Rhai passes as source may name another.
        let importer = self.parts.lines.locate(origin_of(position)).map(|at| at.index);
        let target = importer.and_then(|file| self.parts.outlines.get(file)?.imports.get(path).copied());
        let module = target.and_then(|file| self.parts.modules.get(&file).cloned());
        module.ok_or_else(|| Box::new(EvalAltResult::ErrorModuleNotFound(path.to_string(), position)))
    }
}
