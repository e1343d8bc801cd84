//! The command line: arguments, printing, exit codes. Each verb is one file in `verbs/` and one line in [`Verb`].
//!
//! This room must not know how anything is computed.
//!
//! | file | what |
//! |---|---|
//! | `arguments.rs` | [`Arguments`]: the common options and the verbs |
//! | `exit.rs` | [`Exit`]: what the program's exit codes mean |
//! | `terminal.rs` | printing: results to standard output, diagnostics to standard error |
//! | `outside.rs` | environment, clock and Ctrl-C: the user's folder, whether a bar is due |
//! | `verbs/` | one verb a file |

mod arguments;
mod exit;
mod outside;
mod terminal;
mod verbs;

pub use arguments::{Arguments, Verb};
pub use exit::Exit;

use clap::{CommandFactory, Parser};
use mimalloc::MiMalloc;
use slatwork_base::Diagnostic;
use slatwork_project::memory::{Counting, counting};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::process::ExitCode;
use terminal::Terminal;

/// Counts what each thread holds: the fence against scripts that grow without end. Under the system's allocator a design took a
/// sixth longer, much of it in pages that every new thread asked for bit by bit.
#[global_allocator]
static MEMORY: Counting<MiMalloc> = counting(MiMalloc);

/// Runs the program on the arguments of its process.
pub fn main() -> ExitCode {
    let arguments = Arguments::parse();
    arguments.common.color.write_global();
    outside::quiet_panics();
    let terminal = Terminal::new(arguments.common.format);
    let exit = match catch_unwind(AssertUnwindSafe(|| verbs::run(&arguments, &terminal))) {
        Ok(Ok(exit)) => exit,
        Ok(Err(stopped)) => terminal.stopped(&stopped),
        Err(_) => terminal.stopped(&[own_fault()]),
    };
    exit.into()
}

/// The program's arguments as a tree: for completions, the manual and its tests.
pub fn command() -> clap::Command {
    Arguments::command()
}

/// A fault of the program itself.
fn own_fault() -> Diagnostic {
    Diagnostic::error("program-failed", format!("the program itself failed: {}", outside::last_panic()))
        .help("this is a fault of the program, not of your design: please report it with the command and the script")
}
