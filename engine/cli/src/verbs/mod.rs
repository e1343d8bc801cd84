//! The verbs, one a file.

pub(crate) mod batch;
pub(crate) mod build;
pub(crate) mod calc;
pub(crate) mod check;
pub(crate) mod completions;
pub(crate) mod design;
pub(crate) mod explain;
pub(crate) mod list;
pub(crate) mod man;
pub(crate) mod new;
pub(crate) mod reference;

use crate::terminal::{Stopped, Terminal};
use crate::{Arguments, Exit, Verb};

/// Does what is asked.
pub(crate) fn run(arguments: &Arguments, terminal: &Terminal) -> Result<Exit, Stopped> {
    let common = &arguments.common;
    match &arguments.verb {
        Verb::Build(verb) => verb.run(common, terminal),
        Verb::Check(verb) => verb.run(common, terminal),
        Verb::Batch(verb) => verb.run(common, terminal),
        Verb::Calc(verb) => verb.run(common, terminal),
        Verb::List(verb) => verb.run(common, terminal),
        Verb::New(verb) => verb.run(common, terminal),
        Verb::Explain(verb) => verb.run(terminal),
        Verb::Reference(verb) => verb.run(common, terminal),
        Verb::Completions(verb) => verb.run(terminal),
        Verb::Man(verb) => verb.run(terminal),
    }
}
