//! All scripts of all roots, compiled, checked and described: immutable once loaded, shared by every run.
//!
//! Loading goes over the files in sorted order, so that the same folders give the same library. A faulty file is
//! reported and left out; the others load. To reload, load again and swap: running jobs keep what they have.

use crate::declare::Declaration;
use crate::kind::{HELPERS, ScriptKind};
use crate::origin::LineTable;
use crate::outline::{Compiled, Compiler, check_contract, check_size};
use crate::parameters::Declared;
use crate::parts::Parts;
use crate::sandbox::{Limits, Run};
use crate::sources::{ENDING, RootInfo, RootKind, Sources, check_name};
use rhai::{AST, Dynamic};
use slatwork_base::{Diagnostic, Origin, Outcome, Place, did_you_mean};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// One item: a family, joint, check, catalogue or report.
#[derive(Clone, Debug)]
pub struct Script {
    /// The stem of its file name.
    pub id: String,
    /// What it is.
    pub kind: ScriptKind,
    /// Whose root it came from.
    pub root: RootKind,
    /// Key of that root; `None` for a script given by itself.
    pub root_name: Option<String>,
    /// Its file as shown to the user.
    pub shown: String,
    /// Whether it and everything it imports come from trusted roots.
    pub trusted: bool,
    /// Title, doc, parameters, presets and requirements.
    pub declared: Arc<Declared>,
    /// Its functions by name, with their arguments' names.
    pub functions: BTreeMap<String, Vec<String>>,
    pub(crate) ast: Arc<AST>,
    /// Place of its root in the order of search, one given by itself before all.
    pub(crate) rank: Option<usize>,
}

impl Script {
    /// Whether it has a function, for those of the contract that a file may leave out.
    pub fn has(&self, function: &str) -> bool {
        self.functions.contains_key(function)
    }
}

/// A script given by itself rather than found in a root: a file named on the command line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LooseScript {
    /// What it is.
    pub kind: ScriptKind,
    /// Its file as shown to the user; the stem of the last part is its id.
    pub shown: String,
    /// Its text.
    pub text: String,
    /// Whether it may run in this process.
    pub trusted: bool,
}

type Key = (ScriptKind, String);

/// The loaded scripts.
#[derive(Clone, Debug)]
pub struct Library {
    parts: Parts,
    scripts: BTreeMap<Key, Script>,
    faulty: BTreeMap<Key, Vec<Diagnostic>>,
    /// What keeps away files that came to nothing: not readable, misnamed, or of a name that is taken.
    strays: Vec<Stray>,
    texts: Vec<(String, String, Arc<str>)>,
}

/// A file that came to nothing.
#[derive(Clone, Debug)]
struct Stray {
    kind: ScriptKind,
    /// The stem of its file name.
    id: String,
    fault: Diagnostic,
}

impl Library {
    /// Loads every script of every root. The value is there even when some files are faulty; their faults are the
    /// diagnostics, and [`Library::script`] tells them again for the script they keep away.
    pub fn load(sources: &dyn Sources) -> Outcome<Library> {
        Loader::new(sources).load(None, None).0
    }

    /// As [`Library::load`], but of the families only that one and what its imports ask for: half the work for who makes a single
    /// design. Where there is no such family all are loaded, so that it can be told which there are.
    pub fn load_for(sources: &dyn Sources, family: &str) -> Outcome<Library> {
        Loader::new(sources).load(None, Some(family)).0
    }

    /// As [`Library::load`], with one more script given by itself, which goes before any of the same name. Gives
    /// the library and the script's id.
    pub fn load_file(sources: &dyn Sources, file: LooseScript) -> Outcome<(Library, String)> {
        let (outcome, id) = Loader::new(sources).load(Some(file), None);
        outcome.map(|library| (library, id))
    }

    /// All scripts of a kind, by id.
    pub fn scripts(&self, kind: ScriptKind) -> impl Iterator<Item = &Script> {
        self.scripts.values().filter(move |script| script.kind == kind)
    }

    /// All families, by id.
    pub fn families(&self) -> impl Iterator<Item = &Script> {
        self.scripts(ScriptKind::Family)
    }

    /// The script of that kind and id; else what keeps it away, or "did you mean".
    pub fn script(&self, kind: ScriptKind, id: &str) -> Result<&Script, Vec<Diagnostic>> {
        let key = (kind, id.to_string());
        if let Some(script) = self.scripts.get(&key) {
            return Ok(script);
        }
        if let Some(faults) = self.faulty.get(&key) {
            return Err(faults.clone());
        }
        if let Some(stray) = self.strays.iter().find(|own| own.kind == kind && own.id == id) {
            return Err(vec![stray.fault.clone()]);
        }
        let names: Vec<&str> = self.scripts(kind).map(|script| script.id.as_str()).collect();
        let diagnostic = Diagnostic::error("unknown-script", format!("there is no {} `{id}`", kind.word()));
        Err(vec![match did_you_mean(id, names.iter().copied()) {
            Some(near) => diagnostic.help(format!("did you mean `{near}`?")),
            None => diagnostic.help(format!("there are: {}", names.join(", "))),
        }])
    }

    /// All that keeps scripts of a kind away: for kinds whose scripts take part unasked.
    pub fn faults(&self, kind: ScriptKind) -> impl Iterator<Item = &Diagnostic> {
        let faulty =
            self.faulty.iter().filter(move |((own, _), _)| *own == kind).flat_map(|(_, faults)| faults);
        faulty.chain(self.strays.iter().filter(move |own| own.kind == kind).map(|own| &own.fault))
    }

    /// The ids of all scripts of a kind, those that faults keep away included: asked for by these, [`Library::script`] tells what
    /// is wrong.
    pub fn ids(&self, kind: ScriptKind) -> BTreeSet<&str> {
        let keys = self.scripts.keys().chain(self.faulty.keys());
        let found = keys.filter(|(own, _)| *own == kind).map(|(_, id)| id.as_str());
        found.chain(self.strays.iter().filter(|own| own.kind == kind).map(|own| own.id.as_str())).collect()
    }

    /// A run over this library.
    pub fn run(&self, limits: Limits) -> Run {
        Run::new(&self.parts, limits)
    }

    /// Turns the script positions of a diagnostic into file, line, column and text.
    #[must_use]
    pub fn settle(&self, diagnostic: Diagnostic) -> Diagnostic {
        self.parts.lines.settle(diagnostic)
    }

    /// File, line and column of an origin, as text: `families/swing.rhai:12:5`.
    pub fn locate(&self, origin: Origin) -> Option<String> {
        let at = self.parts.lines.locate(origin)?;
        Some(format!("{}:{}:{}", at.file.shown, at.line, at.column))
    }

    /// Whether the sources still hold the very texts this library was loaded from.
    pub fn is_current(&self, sources: &dyn Sources) -> Result<bool, Diagnostic> {
        let mut now = Vec::new();
        for root in sources.roots() {
            for path in paths(sources, &root)? {
                now.push((root.name.clone(), path.clone(), Arc::from(sources.read(&root.name, &path)?)));
            }
        }
        Ok(now == self.texts)
    }
}

/// All script paths of a root, kinds first, then helpers, each folder sorted.
fn paths(sources: &dyn Sources, root: &RootInfo) -> Result<Vec<String>, Diagnostic> {
    let mut paths = Vec::new();
    for folder in ScriptKind::ALL.map(ScriptKind::folder).into_iter().chain([HELPERS]) {
        let mut listed = sources.list(&root.name, folder)?;
        listed.sort();
        paths.extend(listed.into_iter().map(|name| format!("{folder}/{name}")));
    }
    Ok(paths)
}

/// A file on its way into the library.
struct File {
    /// Index of its root; `None` for a script given by itself.
    root: Option<usize>,
    /// Path below the root without its ending: its module name.
    name: String,
    kind: Option<ScriptKind>,
    trusted: bool,
    /// Whether it is another family than the one that was asked for.
    is_left_out: bool,
    compiled: Option<Compiled>,
    faults: Vec<Diagnostic>,
}

impl File {
    fn is_family(&self, id: &str) -> bool {
        self.kind == Some(ScriptKind::Family) && self.id() == id
    }

    fn id(&self) -> &str {
        self.name.rsplit('/').next().unwrap_or(&self.name)
    }
}

struct Loader<'s> {
    sources: &'s dyn Sources,
    roots: Vec<RootInfo>,
    lines: LineTable,
    files: Vec<File>,
    texts: Vec<(String, String, Arc<str>)>,
    parts: Parts,
    troubles: Vec<Diagnostic>,
    strays: Vec<Stray>,
}

/// How far a file has come in the walk over imports.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Walk {
    New,
    Open,
    Done,
}

impl<'s> Loader<'s> {
    fn new(sources: &'s dyn Sources) -> Self {
        let (roots, lines, parts) = (sources.roots(), LineTable::default(), Parts::default());
        let (files, texts, troubles, strays) = (Vec::new(), Vec::new(), Vec::new(), Vec::new());
        Loader { sources, roots, lines, files, texts, parts, troubles, strays }
    }

    fn load(mut self, loose: Option<LooseScript>, family: Option<&str>) -> (Outcome<Library>, String) {
        let id = loose.as_ref().map_or(String::new(), |file| stem(&file.shown).to_string());
        if let Some(file) = loose {
            self.add(None, stem(&file.shown), Some(file.kind), file.trusted, &file.shown, &file.text);
        }
        for index in 0..self.roots.len() {
            self.read_root(index);
        }
        self.parts.lines = Arc::new(std::mem::take(&mut self.lines));
        self.leave_out(family);
        self.compile_all();
        self.link();
        self.evaluate_all();
        let (scripts, faulty) = self.describe_all();
        let mut diagnostics = self.troubles;
        for fault in self.files.iter().flat_map(|file| &file.faults) {
            // Told with the first file that it keeps away, and not again for each on the way.
            if !diagnostics.iter().any(|known| is_same_fault(known, fault)) {
                diagnostics.push(fault.clone());
            }
        }
        let library = Library { parts: self.parts, scripts, faulty, strays: self.strays, texts: self.texts };
        (Outcome::with(library, diagnostics), id)
    }

    fn read_root(&mut self, index: usize) {
        let root = self.roots[index].clone();
        let paths = match paths(self.sources, &root) {
            Ok(paths) => paths,
            Err(trouble) => return self.troubles.push(trouble),
        };
        for path in paths {
            match self.sources.read(&root.name, &path) {
                Ok(text) => self.add_path(index, &root, &path, &text),
                Err(trouble) => self.stray(kind_of(&path), &path, trouble),
            }
        }
    }

    /// Notes what is wrong with a file that comes to nothing.
    fn stray(&mut self, kind: Option<ScriptKind>, path: &str, trouble: Diagnostic) {
        let id = stem(path).to_string();
        self.strays.extend(kind.map(|kind| Stray { kind, id, fault: trouble.clone() }));
        self.troubles.push(trouble);
    }

    fn add_path(&mut self, index: usize, root: &RootInfo, path: &str, text: &str) {
        self.texts.push((root.name.clone(), path.to_string(), text.into()));
        let shown = format!("{}{path}", root.shown);
        let name = path.strip_suffix(ENDING).unwrap_or(path);
        if let Err(trouble) = check_name(name) {
            return self.stray(kind_of(path), path, trouble.at(Place::Path(shown)));
        }
        self.add(Some(index), name, kind_of(path), root.trusted, &shown, text);
    }

    fn add(
        &mut self,
        root: Option<usize>,
        name: &str,
        kind: Option<ScriptKind>,
        trusted: bool,
        shown: &str,
        text: &str,
    ) {
        let (name, is_left_out) = (name.to_string(), false);
        let mut file = File { root, name, kind, trusted, is_left_out, compiled: None, faults: Vec::new() };
        // A file that is too large still takes a place in the table, so that indices agree; with an empty text.
        let sized = check_size(text).map_err(|trouble| trouble.at(Place::Path(shown.to_string())));
        let kept = if sized.is_ok() { text } else { "" };
        file.faults.extend(sized.err());
        match self.lines.add(shown, kept) {
            Ok(_) => self.files.push(file),
            Err(trouble) => self.stray(kind, shown, trouble),
        }
    }

    /// Leaves out all families but one, where one is asked for and there.
    fn leave_out(&mut self, family: Option<&str>) {
        let Some(family) = family.filter(|id| self.files.iter().any(|file| file.is_family(id))) else {
            return;
        };
        for file in &mut self.files {
            file.is_left_out = file.kind == Some(ScriptKind::Family) && !file.is_family(family);
        }
    }

    /// Compiles all files that are not left out, and what they import.
    fn compile_all(&mut self) {
        let compiler = Compiler::new();
        let mut open: Vec<usize> = (0..self.files.len()).filter(|at| !self.files[*at].is_left_out).collect();
        while let Some(index) = open.pop() {
            if !self.files[index].faults.is_empty() {
                continue;
            }
            match compiler.compile(&self.parts, index) {
                Ok(compiled) => {
                    for (name, _) in &compiled.imports {
                        let imported = self.find(name, self.files[index].root);
                        open.extend(imported.filter(|at| std::mem::take(&mut self.files[*at].is_left_out)));
                    }
                    self.files[index].compiled = Some(compiled);
                }
                Err(faults) => self.files[index].faults = faults,
            }
        }
    }

    /// Finds what each import means: the importing file's own root first, so that nobody can change what another
    /// root's scripts stand on, then the roots in order.
    fn link(&mut self) {
        let mut outlines = Vec::new();
        for index in 0..self.files.len() {
            let Some(compiled) = &self.files[index].compiled else {
                outlines.push(Default::default());
                continue;
            };
            let mut outline = compiled.outline.clone();
            let mut faults = Vec::new();
            for (name, origin) in &compiled.imports {
                match self.find(name, self.files[index].root) {
                    Some(target) => drop(outline.imports.insert(name.clone(), target)),
                    None => faults.push(self.unknown(name, *origin)),
                }
            }
            self.files[index].faults.append(&mut faults);
            outlines.push(outline);
        }
        self.parts.outlines = Arc::new(outlines);
    }

    fn find(&self, name: &str, own_root: Option<usize>) -> Option<usize> {
        let candidates =
            self.files.iter().enumerate().filter(|(_, file)| file.root.is_some() && file.name == name);
        candidates.min_by_key(|(_, file)| (file.root != own_root, file.root)).map(|(index, _)| index)
    }

    fn unknown(&self, name: &str, origin: Origin) -> Diagnostic {
        let names: BTreeSet<&str> = self.files.iter().map(|file| file.name.as_str()).collect();
        let diagnostic = Diagnostic::error("unknown-module", format!("there is no module \"{name}\""));
        let diagnostic = match did_you_mean(name, names) {
            Some(near) => diagnostic.help(format!("did you mean \"{near}\"?")),
            None => diagnostic
                .help(format!("modules are files such as {HELPERS}/feet{ENDING} below a script root")),
        };
        self.parts.lines.settle(diagnostic.at_origin(origin))
    }

    /// Evaluates every file as a module after the ones it imports. A file on a cycle, or importing a faulty one, is
    /// faulty itself.
    fn evaluate_all(&mut self) {
        let mut walk = vec![Walk::New; self.files.len()];
        let mut chain = Vec::new();
        for index in 0..self.files.len() {
            self.visit(index, &mut walk, &mut chain);
        }
    }

    fn visit(&mut self, index: usize, walk: &mut [Walk], chain: &mut Vec<usize>) {
        if walk[index] != Walk::New {
            return;
        }
        walk[index] = Walk::Open;
        chain.push(index);
        let imports = self.files[index].compiled.as_ref().map_or(Vec::new(), |c| c.imports.clone());
        for (name, origin) in imports {
            let Some(target) = self.parts.outlines[index].imports.get(&name).copied() else { continue };
            if walk[target] == Walk::Open {
                self.cycle(index, target, origin, chain);
            } else if chain.len() < MAX_CHAIN {
                self.visit(target, walk, chain);
            }
            if walk[target] == Walk::Done && !self.files[target].faults.is_empty() {
                self.spoiled(index, target, origin);
            }
        }
        chain.pop();
        walk[index] = Walk::Done;
        if self.files[index].faults.is_empty() {
            self.evaluate(index);
        }
    }

    fn cycle(&mut self, index: usize, target: usize, origin: Origin, chain: &[usize]) {
        let from = chain.iter().position(|file| *file == target).unwrap_or(0);
        let names = chain[from..].iter().chain([&target]).map(|file| self.files[*file].name.as_str());
        let message = format!("these files import each other: {}", names.collect::<Vec<_>>().join(" -> "));
        let help = "move what both need into a third file";
        let trouble = Diagnostic::error("import-cycle", message).at_origin(origin).help(help);
        let trouble = self.parts.lines.settle(trouble);
        self.files[index].faults.push(trouble);
    }

    /// What is wrong with an imported file is what is wrong with the one that imports it.
    fn spoiled(&mut self, index: usize, target: usize, origin: Origin) {
        for fault in self.files[target].faults.clone() {
            if self.files[index].faults.iter().any(|known| is_same_fault(known, &fault)) {
                continue;
            }
            let fault = self.parts.lines.settle(fault.with_origin(origin, "imported here"));
            self.files[index].faults.push(fault);
        }
    }

    fn shown(&self, index: usize) -> String {
        self.parts.lines.file(index).map_or(String::new(), |file| file.shown.clone())
    }

    fn evaluate(&mut self, index: usize) {
        let Some(compiled) = &self.files[index].compiled else { return };
        match Run::new(&self.parts, Limits::DESCRIBE).module(&compiled.ast) {
            Ok(module) => {
                let mut modules = self.parts.modules.as_ref().clone();
                modules.insert(index, module);
                self.parts.modules = Arc::new(modules);
            }
            Err(trouble) => {
                let trouble = match trouble.place {
                    None => trouble.at(Place::Path(self.shown(index))),
                    Some(_) => trouble,
                };
                self.files[index].faults.push(trouble);
            }
        }
    }

    /// The items, and what keeps others away. The first root with an id wins, with a note.
    fn describe_all(&mut self) -> (BTreeMap<Key, Script>, BTreeMap<Key, Vec<Diagnostic>>) {
        let mut first: BTreeMap<Key, usize> = BTreeMap::new();
        let (mut scripts, mut faulty) = (BTreeMap::new(), BTreeMap::new());
        for index in 0..self.files.len() {
            let Some(kind) = self.files[index].kind.filter(|_| !self.files[index].is_left_out) else {
                continue;
            };
            let key = (kind, self.files[index].id().to_string());
            if let Some(earlier) = first.get(&key).copied() {
                self.same_name(index, earlier, &key.1);
                continue;
            }
            first.insert(key.clone(), index);
            match self.describe(index, kind) {
                Ok(script) => drop(scripts.insert(key, script)),
                Err(mut faults) => {
                    self.files[index].faults.append(&mut faults);
                    faulty.insert(key, self.files[index].faults.clone());
                }
            }
        }
        (scripts, faulty)
    }

    fn same_name(&mut self, index: usize, earlier: usize, id: &str) {
        let (this, other) = (self.shown(index), self.shown(earlier));
        if self.files[index].root == self.files[earlier].root {
            let trouble = Diagnostic::error("same-name", format!("{this} and {other} are both named `{id}`"));
            let trouble = trouble.help("rename one of them").at(Place::Path(this.clone()));
            return self.stray(self.files[index].kind, &this, trouble);
        }
        let note = Diagnostic::note("same-name", format!("{other} is used in place of {this}"));
        self.troubles.push(note.at(Place::Path(this)));
    }

    /// Runs `describe` of a file without faults so far. The error holds only new faults.
    fn describe(&self, index: usize, kind: ScriptKind) -> Result<Script, Vec<Diagnostic>> {
        let file = &self.files[index];
        let Some(compiled) = file.compiled.as_ref().filter(|_| file.faults.is_empty()) else {
            return Err(Vec::new());
        };
        let shown = self.shown(index);
        let outline = &self.parts.outlines[index];
        let missing = check_contract(kind, &shown, outline);
        if !missing.is_empty() {
            return Err(missing.into_iter().map(|fault| fault.at(Place::Path(shown.clone()))).collect());
        }
        let mut script = Script {
            id: file.id().to_string(),
            kind,
            root: file.root.map_or(RootKind::Project, |root| self.roots[root].kind),
            root_name: file.root.map(|root| self.roots[root].name.clone()),
            shown: shown.clone(),
            trusted: self.trusted(index),
            declared: Arc::default(),
            functions: outline.functions.clone(),
            ast: Arc::new(compiled.ast.clone()),
            rank: file.root,
        };
        let declaration = Declaration::default();
        let run = Run::new(&self.parts, Limits::DESCRIBE);
        let argument = Dynamic::from(declaration.clone());
        drop(run.call(&script, "describe", (argument,)).map_err(|fault| vec![fault])?);
        let declared = declaration.finish(header(&compiled.ast), &self.parts);
        let settled = |fault: Diagnostic| match fault.place {
            None => fault.at(Place::Path(shown.clone())),
            Some(_) => self.parts.lines.settle(fault),
        };
        let declared = declared.map_err(|faults| faults.into_iter().map(settled).collect::<Vec<_>>())?;
        script.declared = Arc::new(declared);
        Ok(script)
    }

    fn trusted(&self, index: usize) -> bool {
        let mut seen = BTreeSet::new();
        let mut open = vec![index];
        while let Some(file) = open.pop() {
            if seen.insert(file) {
                open.extend(self.parts.outlines[file].imports.values());
            }
        }
        seen.into_iter().all(|file| self.files[file].trusted)
    }
}

/// Whether two faults are one, however it was come upon.
fn is_same_fault(a: &Diagnostic, b: &Diagnostic) -> bool {
    (a.code, &a.message, &a.place) == (b.code, &b.message, &b.place)
}

/// Longest chain of imports that is followed: far more than anyone writes, far less than a stack holds.
const MAX_CHAIN: usize = 64;

/// The kind of script that lies in the folder of a path.
fn kind_of(path: &str) -> Option<ScriptKind> {
    let folder = path.split('/').next().unwrap_or("");
    ScriptKind::ALL.into_iter().find(|kind| kind.folder() == folder)
}

fn stem(shown: &str) -> &str {
    let name = shown.rsplit(['/', '\\']).next().unwrap_or(shown);
    name.strip_suffix(ENDING).unwrap_or(name)
}

/// The `//!` header as plain text.
fn header(ast: &AST) -> String {
    let lines = ast.doc().lines().map(|line| line.trim().trim_start_matches("//!").trim());
    lines.collect::<Vec<_>>().join("\n").trim().to_string()
}
