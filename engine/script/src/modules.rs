//! The words a script may use: subjects, each a Rhai module filled with documented functions.
//!
//! A subject registers a function together with its signature and its documentation, so that the reference,
//! the "did you mean" list and the engine can never tell three different stories.

use crate::{bench, catalogue, declare, lists, measures, numbers, text};
use rhai::{FuncRegistration, Module, RhaiNativeFunc, Shared, Variant};
use std::sync::OnceLock;

/// The subjects in the order the reference shows them. A further room of words is one more line here.
const SUBJECTS: &[fn() -> Subject] = &[
    measures::subject,
    numbers::subject,
    lists::subject,
    text::subject,
    declare::subject,
    bench::lay_subject,
    bench::relate_subject,
    bench::lines_subject,
    bench::operate_subject,
    bench::joints_subject,
    catalogue::subject,
];

/// What a documented entry is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum EntryKind {
    /// Called with parentheses, as `name(a, b)` or `a.name(b)`.
    Function,
    /// Read as `a.name`.
    Property,
    /// Written as `a.name = b`.
    Setter,
}

/// One documented word.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Entry {
    /// How it is used.
    pub kind: EntryKind,
    /// The word itself.
    pub name: String,
    /// As shown: `round_to(length: length, step: length) -> length`.
    pub signature: String,
    /// Type word of each argument, in order; the first is what stands before the point in `a.name(..)`.
    pub arguments: Vec<String>,
    /// What it does, in which units, what it refuses.
    pub about: String,
    /// One line that uses it.
    pub example: String,
}

/// Marks the example line in a documentation text.
const EXAMPLE: &str = "Example:";

impl Entry {
    fn new(kind: EntryKind, signature: &str, doc: &str) -> Self {
        let (head, tail) = signature.split_once('(').unwrap_or((signature, ""));
        let inside = tail.rsplit_once(')').map_or("", |(inside, _)| inside);
        let arguments = inside.split(',').filter(|a| !a.trim().is_empty());
        let (about, example) = doc.rsplit_once(EXAMPLE).unwrap_or((doc, ""));
        Entry {
            kind,
            name: head.trim().to_string(),
            signature: signature.to_string(),
            arguments: arguments.map(|a| a.rsplit(':').next().unwrap_or(a).trim().to_string()).collect(),
            about: about.split_whitespace().collect::<Vec<_>>().join(" "),
            example: example.trim().trim_matches('`').to_string(),
        }
    }
}

/// A module under construction.
#[derive(Debug)]
pub struct Subject {
    name: &'static str,
    about: &'static str,
    module: Module,
    entries: Vec<Entry>,
}

/// A finished subject: what the engine registers and what the reference prints.
#[derive(Debug)]
pub struct HostModule {
    /// Heading in the reference.
    pub name: &'static str,
    /// What the subject is about, and rules common to its functions.
    pub about: &'static str,
    /// The functions.
    pub module: Shared<Module>,
    /// The documentation, in the order of registration.
    pub entries: Vec<Entry>,
}

impl Subject {
    /// An empty subject with its heading and introduction.
    pub fn new(name: &'static str, about: &'static str) -> Self {
        Subject { name, about, module: Module::new(), entries: Vec::new() }
    }

    /// Gives a type its trade word, as it appears in messages.
    pub fn type_word<T: Variant + Clone>(&mut self, word: &str) {
        self.module.set_custom_type::<T>(word);
    }

    /// A function, also callable as a method of its first argument. The signature is written as in the reference,
    /// `name(argument: type, ..) -> type`; the documentation ends with a line `Example: ..`.
    pub fn function<A: 'static, const N: usize, const X: bool, R, const F: bool, FUNC>(
        &mut self,
        signature: &str,
        doc: &str,
        function: FUNC,
    ) where
        R: Variant + Clone,
        FUNC: RhaiNativeFunc<A, N, X, R, F> + Send + Sync + 'static,
    {
        let entry = Entry::new(EntryKind::Function, signature, doc);
        self.set(FuncRegistration::new(entry.name.as_str()), &entry, function);
        self.entries.push(entry);
    }

    /// A readable property. The signature is `name(owner: type) -> type`.
    pub fn property<A: 'static, const N: usize, const X: bool, R, const F: bool, FUNC>(
        &mut self,
        signature: &str,
        doc: &str,
        function: FUNC,
    ) where
        R: Variant + Clone,
        FUNC: RhaiNativeFunc<A, N, X, R, F> + Send + Sync + 'static,
    {
        let entry = Entry::new(EntryKind::Property, signature, doc);
        self.set(FuncRegistration::new_getter(&entry.name), &entry, function);
        self.entries.push(entry);
    }

    /// A writable property. The signature is `name(owner: type, value: type)`.
    pub fn setter<A: 'static, const N: usize, const X: bool, R, const F: bool, FUNC>(
        &mut self,
        signature: &str,
        doc: &str,
        function: FUNC,
    ) where
        R: Variant + Clone,
        FUNC: RhaiNativeFunc<A, N, X, R, F> + Send + Sync + 'static,
    {
        let entry = Entry::new(EntryKind::Setter, signature, doc);
        self.set(FuncRegistration::new_setter(&entry.name), &entry, function);
        self.entries.push(entry);
    }

    /// Documents a word that the language itself has.
    pub fn known(&mut self, signature: &str, doc: &str) {
        self.entries.push(Entry::new(EntryKind::Function, signature, doc));
    }

    /// A further form of a word already documented (another argument type), or an operator: registered without
    /// an entry of its own.
    pub fn form<A: 'static, const N: usize, const X: bool, R, const F: bool, FUNC>(
        &mut self,
        name: &str,
        function: FUNC,
    ) where
        R: Variant + Clone,
        FUNC: RhaiNativeFunc<A, N, X, R, F> + Send + Sync + 'static,
    {
        FuncRegistration::new(name).in_global_namespace().set_into_module(&mut self.module, function);
    }

    /// A further owner of a readable property already documented.
    pub fn property_form<A: 'static, const N: usize, const X: bool, R, const F: bool, FUNC>(
        &mut self,
        name: &str,
        function: FUNC,
    ) where
        R: Variant + Clone,
        FUNC: RhaiNativeFunc<A, N, X, R, F> + Send + Sync + 'static,
    {
        FuncRegistration::new_getter(name).set_into_module(&mut self.module, function);
    }

    /// What `owner[index]`, and `owner.name` for a name that is no property, give.
    pub fn index<A: 'static, const N: usize, const X: bool, R, const F: bool, FUNC>(&mut self, function: FUNC)
    where
        R: Variant + Clone,
        FUNC: RhaiNativeFunc<A, N, X, R, F> + Send + Sync + 'static,
    {
        FuncRegistration::new_index_getter().set_into_module(&mut self.module, function);
    }

    fn set<A: 'static, const N: usize, const X: bool, R, const F: bool, FUNC>(
        &mut self,
        registration: FuncRegistration,
        entry: &Entry,
        function: FUNC,
    ) where
        R: Variant + Clone,
        FUNC: RhaiNativeFunc<A, N, X, R, F> + Send + Sync + 'static,
    {
        registration
            .in_global_namespace()
            .with_params_info(&entry.arguments)
            .with_comments([format!("/// {}", entry.about)])
            .set_into_module(&mut self.module, function);
    }

    fn finish(mut self) -> HostModule {
        self.module.build_index();
        HostModule {
            name: self.name,
            about: self.about,
            module: Shared::new(self.module),
            entries: self.entries,
        }
    }
}

/// All subjects, built once a process.
pub fn host_modules() -> &'static [HostModule] {
    static MODULES: OnceLock<Vec<HostModule>> = OnceLock::new();
    MODULES.get_or_init(|| {
        // Closure names and function keys must be the same in every process, and nothing may be hashed before.
        crate::sandbox::fix_hashing();
        SUBJECTS.iter().map(|subject| subject().finish()).collect()
    })
}

/// Every documented entry.
pub(crate) fn entries() -> impl Iterator<Item = &'static Entry> {
    host_modules().iter().flat_map(|module| module.entries.iter())
}
