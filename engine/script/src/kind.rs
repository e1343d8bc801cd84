//! The kinds of script, each a folder with the functions its files must have.

/// What a script file is, by the folder it lies in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum ScriptKind {
    /// A piece of furniture in all its variants.
    Family,
    /// A way of joining parts.
    Joint,
    /// A question put to a finished design.
    Check,
    /// Things that can be bought.
    Catalogue,
    /// A document.
    Report,
}

/// A function of a kind's contract.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Contract {
    /// Its name.
    pub name: &'static str,
    /// Its arguments, as they are called in messages.
    pub arguments: &'static [&'static str],
    /// Whether a file without it is refused.
    pub needed: bool,
}

const fn needed(name: &'static str, arguments: &'static [&'static str]) -> Contract {
    Contract { name, arguments, needed: true }
}

const fn optional(name: &'static str, arguments: &'static [&'static str]) -> Contract {
    Contract { name, arguments, needed: false }
}

impl ScriptKind {
    /// All kinds, in the order users see them.
    pub const ALL: [ScriptKind; 5] =
        [ScriptKind::Family, ScriptKind::Joint, ScriptKind::Check, ScriptKind::Catalogue, ScriptKind::Report];

    /// The folder of its files below a root.
    pub fn folder(self) -> &'static str {
        match self {
            ScriptKind::Family => "families",
            ScriptKind::Joint => "joints",
            ScriptKind::Check => "checks",
            ScriptKind::Catalogue => "catalogues",
            ScriptKind::Report => "reports",
        }
    }

    /// One of them, in messages.
    pub fn word(self) -> &'static str {
        match self {
            ScriptKind::Family => "family",
            ScriptKind::Joint => "joint",
            ScriptKind::Check => "check",
            ScriptKind::Catalogue => "catalogue",
            ScriptKind::Report => "report",
        }
    }

    /// The functions that the program calls.
    pub fn contract(self) -> &'static [Contract] {
        const FAMILY: &[Contract] = &[
            needed("describe", &["f"]),
            needed("build", &["job", "p"]),
            optional("check", &["job", "p", "report"]),
        ];
        const JOINT: &[Contract] = &[
            needed("describe", &["j"]),
            needed("cut", &["job", "a", "b", "o"]),
            optional("strength", &["job", "joint", "load"]),
        ];
        const CHECK: &[Contract] = &[needed("describe", &["c"]), needed("run", &["job", "report"])];
        const CATALOGUE: &[Contract] = &[needed("describe", &["c"]), needed("items", &["c"])];
        const REPORT: &[Contract] = &[needed("describe", &["r"]), needed("render", &["job", "out"])];
        match self {
            ScriptKind::Family => FAMILY,
            ScriptKind::Joint => JOINT,
            ScriptKind::Check => CHECK,
            ScriptKind::Catalogue => CATALOGUE,
            ScriptKind::Report => REPORT,
        }
    }
}

/// The folder of helper modules, which are only ever imported.
pub const HELPERS: &str = "lib";
