//! The script host: families, joints, checks, catalogues and reports written in Rhai, run inside fences.
//!
//! **A script cannot reach anything but the words given to it**: no file, no clock, no other run. Its text comes
//! through [`Sources`], and it runs within [`Limits`] of steps, time and memory. Every error names file, line and
//! word.
//!
//! This room must not know the disk, the command line, drawings or shop papers.
//!
//! | file | what |
//! |---|---|
//! | `sources.rs` | the door through which script texts come; the grammar of module names |
//! | `library.rs` | all scripts of all roots, compiled, linked, described |
//! | `kind.rs` | the kinds of script and the functions each must have |
//! | `outline.rs` | compiling one file; what may stand at its top |
//! | `parts.rs` | what a run shares with its library |
//! | `resolver.rs` | imports, looked up among what was loaded |
//! | `sandbox.rs` | one run: engine, limits, fence, printed notes |
//! | `memory.rs` | live bytes of the running thread |
//! | `origin.rs` | from a line over all files back to file, line and word |
//! | `errors.rs` | engine errors in words, with "did you mean" |
//! | `caret.rs` | diagnostics as text with a caret |
//! | `modules.rs` | subjects of host functions with their documentation |
//! | `host.rs` | raising, origins and option maps for host functions |
//! | `measures.rs`, `numbers.rs`, `lists.rs`, `text.rs` | the words about values |
//! | `declare.rs` | the words of `describe` |
//! | `parameters.rs` | declared parameters and the checked values of a variant |
//! | `condition.rs` | one-line conditions |
//! | `bench/` | the words of `build`: boards, relations, operations |
//! | `catalogue/` | the words of `items`: own entries, laid over a catalogue |
//! | `evaluate.rs` | a family with values set becomes a finished model |
//! | `reference.rs` | the reference of all words, as text, JSON and HTML |

mod bench;
pub mod caret;
mod catalogue;
mod condition;
mod declare;
mod errors;
mod evaluate;
mod host;
mod kind;
mod library;
mod lists;
mod measures;
pub mod memory;
mod modules;
mod numbers;
mod origin;
mod outline;
mod parameters;
mod parts;
pub mod reference;
mod resolver;
mod sandbox;
mod sources;
mod text;

pub use catalogue::{catalogue_scripts, overlay_catalogue, overlay_catalogues};
pub use condition::Condition;
pub use evaluate::{Inputs, build, evaluate, lay};
pub use host::{HostResult, Options, origin, origin_of, raise, raise_at, type_word};
pub use kind::{Contract, HELPERS, ScriptKind};
pub use library::{Library, LooseScript, Script};
pub use measures::Mass;
pub use modules::{Entry, EntryKind, HostModule, Subject, host_modules};
pub use origin::{LineTable, Located, MOST_LINES, SourceFile};
pub use parameters::{Declared, Parameter, ParameterKind, Parameters, Preset, Requirement, Value};
pub use sandbox::{Limits, Run, STACK_BYTES, with_stack};
pub use sources::{ENDING, RootInfo, RootKind, Sources, Texts, check_name};
