//! The arguments.

use crate::verbs;
use clap::{Args, Parser, Subcommand, ValueEnum};
use slatwork_project::{Disk, RootKind, ScriptKind, Units};

/// Scripted seats for the yard, the porch and the harbour fair: from a family in a script to exact parts, a bill, a cut
/// list, boards to buy, drawings and a model.
#[derive(Debug, Parser)]
#[command(name = "slatwork", version, propagate_version = true, max_term_width = 100)]
#[command(after_help = "Lengths are written as on the bench: 5ft, 60in, 3-1/2in, 5ft 2-1/2in, 1520mm.\n\
Exit codes: 0 all is well, 1 something fails a check, 2 it cannot be built.")]
pub struct Arguments {
    /// What all verbs share.
    #[command(flatten)]
    pub common: Common,
    /// What to do.
    #[command(subcommand)]
    pub verb: Verb,
}

/// What to do.
#[derive(Debug, Subcommand)]
pub enum Verb {
    /// Make one design: its papers, drawings and model
    Build(verbs::build::Build),
    /// Put one design under every check
    Check(verbs::check::Check),
    /// Make many variants of a design, one row each
    Batch(verbs::batch::Batch),
    /// Answer one shop question: fastener, beam, curve, hang and so on
    ///
    /// The common questions are asked by flags; all of a question can be written in a JSON file, over which the flags go.
    /// Each kind's --help shows the keys of its file.
    Calc(Box<verbs::calc::Calc>),
    /// List what there is to choose from
    List(verbs::list::List),
    /// Begin a new script from a small working one
    New(verbs::new::New),
    /// Explain a diagnostic, or print a JSON Schema
    Explain(verbs::explain::Explain),
    /// The words that scripts may use
    Reference(verbs::reference::Reference),
    /// Completions for a shell
    Completions(verbs::completions::Completions),
    /// The manual page
    Man(verbs::man::Man),
}

/// What all verbs share.
#[derive(Debug, Args)]
#[command(next_help_heading = "Common options")]
pub struct Common {
    /// How results are printed; for `batch`, text is CSV and json is a JSON object a line
    #[arg(long, global = true, value_enum, default_value_t, hide_possible_values = false)]
    pub format: Format,
    /// Measures of papers and lists
    #[arg(long, global = true, value_enum, default_value_t)]
    pub units: Measures,
    /// Folder with your own scripts in families/, joints/, checks/, catalogues/, reports/, lib/; without it the current
    /// folder, when it has such folders
    #[arg(long, global = true, value_name = "DIR")]
    pub root: Option<String>,
    /// A folder whose scripts you trust; reserved for when scripts from elsewhere run in a process of their own
    #[arg(long, global = true, value_name = "DIR")]
    pub trust: Vec<String>,
    /// Colour of diagnostics; NO_COLOR is honoured
    #[arg(long, global = true, value_enum, default_value_t)]
    pub color: Colour,
}

/// How results are printed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub enum Format {
    /// For a person.
    #[default]
    Text,
    /// For a program.
    Json,
}

/// Measures of papers and lists.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub enum Measures {
    /// Inches, to a sixteenth.
    #[default]
    In,
    /// Whole millimetres.
    Mm,
    /// Inches with millimetres beside them.
    Both,
}

impl From<Measures> for Units {
    fn from(measures: Measures) -> Units {
        match measures {
            Measures::In => Units::Inch,
            Measures::Mm => Units::Mm,
            Measures::Both => Units::Both,
        }
    }
}

/// When to colour.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub enum Colour {
    /// On a terminal.
    #[default]
    Auto,
    /// Always.
    Always,
    /// Never.
    Never,
}

impl Colour {
    /// Makes this the choice for all that is printed.
    pub(crate) fn write_global(self) {
        match self {
            Colour::Auto => anstream::ColorChoice::Auto,
            Colour::Always => anstream::ColorChoice::Always,
            Colour::Never => anstream::ColorChoice::Never,
        }
        .write_global();
    }
}

impl Common {
    /// The disk with the roots: the project's, then the user's.
    pub(crate) fn world(&self) -> Disk {
        let mut disk = Disk::new();
        if let Some(root) = self.project_root() {
            disk = disk.with_root(root, RootKind::Project, self.trusts(root));
        }
        if let Some(root) = crate::outside::user_root() {
            let trusted = self.trusts(&root);
            disk = disk.with_root(&root, RootKind::User, trusted);
        }
        disk
    }

    /// The disk with the project's root, also where it holds nothing yet.
    pub(crate) fn world_to_begin_in(&self) -> Disk {
        let root = self.root.as_deref().unwrap_or(HERE);
        Disk::new().with_root(root, RootKind::Project, self.trusts(root))
    }

    fn project_root(&self) -> Option<&str> {
        let here = || crate::outside::is_project(&ScriptKind::ALL.map(ScriptKind::folder)).then_some(HERE);
        self.root.as_deref().or_else(here)
    }

    fn trusts(&self, root: &str) -> bool {
        self.trust.iter().any(|own| own.trim_end_matches('/') == root.trim_end_matches('/'))
    }
}

/// The current folder.
const HERE: &str = ".";
