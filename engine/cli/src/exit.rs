//! What the exit codes mean; decided here and nowhere else.

use slatwork_base::{Diagnostic, Severity};
use std::process::ExitCode;

/// How a run of the program ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Exit {
    /// All is well.
    Fine,
    /// Built, but something fails a check.
    Fails,
    /// Cannot be built, or cannot be done. Wrong usage ends so too.
    CannotBuild,
}

impl Exit {
    /// The worst that these diagnostics mean.
    pub fn of(diagnostics: &[Diagnostic]) -> Exit {
        match diagnostics.iter().map(|diagnostic| diagnostic.severity).max() {
            Some(Severity::Error) => Exit::CannotBuild,
            Some(Severity::Failure) => Exit::Fails,
            Some(Severity::Warning | Severity::Note) | None => Exit::Fine,
        }
    }
}

impl From<Exit> for ExitCode {
    fn from(exit: Exit) -> ExitCode {
        ExitCode::from(match exit {
            Exit::Fine => 0,
            Exit::Fails => 1,
            Exit::CannotBuild => 2,
        })
    }
}
