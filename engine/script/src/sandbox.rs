//! One run of a script: a fresh engine with its limits, its fence of time and memory, and its printed notes.
//!
//! **A run never leaves more than [`Limits`] allow**, whatever the script does; a panic in a host function becomes
//! a diagnostic. The one thing no limit catches is a closure that holds itself (a known leak of the engine): such
//! scripts belong in a process of their own, as all untrusted ones do.

use crate::errors;
use crate::host::origin;
use crate::library::Script;
use crate::memory;
use crate::modules::host_modules;
use crate::parts::Parts;
use crate::resolver::Resolver;
use rhai::packages::{
    ArithmeticPackage, BasicArrayPackage, BasicFnPackage, BasicIteratorPackage, BasicMapPackage,
    BasicStringPackage, LogicPackage, MoreStringPackage, Package,
};
use rhai::{
    AST, CallFnOptions, Dynamic, Engine, EvalAltResult, FuncArgs, Module, NativeCallContext,
    OptimizationLevel, Scope, Shared,
};
use slatwork_base::{Diagnostic, Place};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::atomic::{AtomicIsize, AtomicU64, Ordering};
use std::sync::{Arc, Mutex, OnceLock, PoisonError};
use std::time::{Duration, Instant};

/// Longest text, in bytes. Small, so that one `replace` of each byte by a whole text still stays within 16 MiB.
pub(crate) const MAX_TEXT: usize = 4096;
/// Most values in one list, nested ones counted: each checked operation walks the list.
const MAX_LIST: usize = 4096;
/// Most entries in one map, nested ones counted.
const MAX_MAP: usize = 256;
/// Most variables at once, and most functions of one file.
const MAX_NAMES: usize = 512;
/// Most modules one run may import.
const MAX_MODULES: usize = 32;
/// Deepest nesting of calls.
const MAX_CALLS: usize = 32;
/// Deepest nesting of expressions at the top of a file, and in functions.
const MAX_DEPTH: (usize, usize) = (48, 32);
/// Most bytes of printed notes; what follows is dropped and said so.
const MAX_PRINTED: usize = 1 << 20;
/// What a note costs beside its text, so that empty ones are bounded too.
const NOTE_BYTES: usize = 64;
/// How many operations pass between two looks at the clock: a look costs as much as several operations.
const CLOCK_EVERY: u64 = 1024;

/// Stack that the limits above need in the worst case found: showing or comparing a list nested 4,000 deep
/// overflowed 4 MiB and passed with 8, nested brackets round a recursive call need half of that; twice as much, to
/// be safe. **Give it to every thread that runs scripts**: an overflow cannot be caught. Untouched stack costs nothing.
pub const STACK_BYTES: usize = 16 << 20;

/// Unoptimised programs run scripts and host functions some twenty times slower, and must not stop honest ones.
const PATIENCE: u64 = if cfg!(debug_assertions) { 20 } else { 1 };

/// What one run may use.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Limits {
    /// Engine operations; the same script stops at the same one everywhere.
    pub operations: u64,
    /// Wall clock, the last fence.
    pub time: Duration,
    /// Bytes held at once by the running thread, over what it held before.
    pub memory: usize,
}

impl Limits {
    /// For `build` and whatever else does the work.
    pub const BUILD: Limits =
        Limits { operations: 2_000_000, time: Duration::from_millis(1000 * PATIENCE), memory: 64 << 20 };
    /// For `describe` and the tops of files, which declare and do not work.
    pub const DESCRIBE: Limits =
        Limits { operations: 100_000, time: Duration::from_millis(50 * PATIENCE), memory: 16 << 20 };
    /// For a condition in one line.
    pub const CONDITION: Limits =
        Limits { operations: 10_000, time: Duration::from_millis(50 * PATIENCE), memory: 4 << 20 };
}

/// Watches time and memory of a run.
#[derive(Debug)]
struct Fence {
    limits: Limits,
    made: Instant,
    /// Nanoseconds after `made` at which the running call must end.
    end: AtomicU64,
    /// Live bytes of the thread when the running call began, and the most since, less that.
    floor: AtomicIsize,
    peak: AtomicIsize,
}

/// Why a fence stopped a run; travels as the token of the engine's "terminated" error.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Stop {
    Time,
    Memory,
}

#[expect(
    clippy::disallowed_methods,
    reason = "the last fence of a script is the one place here that sees a clock"
)]
fn now() -> Instant {
    Instant::now()
}

impl Fence {
    fn new(limits: Limits) -> Self {
        let (end, floor, peak) = (AtomicU64::new(u64::MAX), AtomicIsize::new(0), AtomicIsize::new(0));
        Fence { limits, made: now(), end, floor, peak }
    }

    fn begin(&self) {
        let end = (now() - self.made + self.limits.time).as_nanos();
        self.end.store(u64::try_from(end).unwrap_or(u64::MAX), Ordering::Relaxed);
        self.floor.store(memory::live_bytes(), Ordering::Relaxed);
    }

    fn check(&self, operations: u64) -> Option<Stop> {
        let held = memory::live_bytes() - self.floor.load(Ordering::Relaxed);
        if held > self.peak.load(Ordering::Relaxed) {
            self.peak.store(held, Ordering::Relaxed);
            if held.unsigned_abs() > self.limits.memory {
                return Some(Stop::Memory);
            }
        }
        if !operations.is_multiple_of(CLOCK_EVERY) {
            return None;
        }
        let late = (now() - self.made).as_nanos() > u128::from(self.end.load(Ordering::Relaxed));
        late.then_some(Stop::Time)
    }
}

/// What a script printed.
#[derive(Debug, Default)]
struct Printed {
    notes: Vec<Diagnostic>,
    bytes: usize,
}

type Notes = Arc<Mutex<Printed>>;

/// One run: an engine of its own, so that it has its own deadline and notes and shares no lock with other runs.
pub struct Run {
    engine: Engine,
    fence: Arc<Fence>,
    printed: Notes,
    parts: Parts,
}

impl core::fmt::Debug for Run {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        f.debug_struct("Run").field("limits", &self.fence.limits).finish_non_exhaustive()
    }
}

impl Run {
    /// A run over the modules and lines of a library.
    pub(crate) fn new(parts: &Parts, limits: Limits) -> Run {
        let fence = Arc::new(Fence::new(limits));
        let printed = Notes::default();
        let mut engine = bare_engine();
        engine.set_max_operations(limits.operations);
        engine.set_module_resolver(Resolver::new(parts));
        let watch = Arc::clone(&fence);
        engine.on_progress(move |operations| watch.check(operations).map(Dynamic::from));
        engine.set_default_tag(Dynamic::from(Arc::clone(&printed)));
        Run { engine, fence, printed, parts: parts.clone() }
    }

    /// Calls a function of a script. Errors come with their places settled to files and lines.
    ///
    /// **Take the value as it comes**: the last expression of a script function is its value even where a builder
    /// wrote it as a statement.
    pub fn call(
        &self,
        script: &Script,
        function: &str,
        arguments: impl FuncArgs,
    ) -> Result<Dynamic, Diagnostic> {
        self.call_with(script, function, arguments, Dynamic::UNIT)
    }

    /// As [`Run::call`], with a state that host functions read by `NativeCallContext::tag`.
    pub fn call_with(
        &self,
        script: &Script,
        function: &str,
        arguments: impl FuncArgs,
        state: Dynamic,
    ) -> Result<Dynamic, Diagnostic> {
        self.guarded(|engine| {
            let options = CallFnOptions::new().with_tag(state);
            engine.call_fn_with_options::<Dynamic>(
                options,
                &mut Scope::new(),
                &script.ast,
                function,
                arguments,
            )
        })
        // The engine does not say where it was stopped; what it was doing is told by the function it was to run.
        .map_err(|fault| match fault.place {
            None => {
                self.parts.lines.settle(fault.at_origin(self.parts.lines.function(&script.shown, function)))
            }
            Some(_) => fault,
        })
    }

    /// Evaluates a compiled file or expression with the variables of `scope`.
    pub(crate) fn evaluate(&self, ast: &AST, scope: &mut Scope<'_>) -> Result<Dynamic, Diagnostic> {
        self.guarded(|engine| engine.eval_ast_with_scope::<Dynamic>(scope, ast))
    }

    /// Evaluates the top of a file and keeps its functions, constants and imports as a module.
    pub(crate) fn module(&self, ast: &AST) -> Result<Shared<Module>, Diagnostic> {
        self.guarded(|engine| Module::eval_ast_as_new(Scope::new(), ast, engine).map(Shared::new))
    }

    fn guarded<T>(
        &self,
        work: impl FnOnce(&Engine) -> Result<T, Box<EvalAltResult>>,
    ) -> Result<T, Diagnostic> {
        self.fence.begin();
        match catch_unwind(AssertUnwindSafe(|| work(&self.engine))) {
            Ok(Ok(value)) => Ok(value),
            Ok(Err(error)) => Err(errors::explain(*error, &self.parts, &self.fence.limits)),
            Err(_) => Err(Diagnostic::error("host-panic", "the program itself failed in this script")
                .help("this is a fault of the program, not of the script: please report it with the script")),
        }
    }

    /// What the script printed, as notes at their script lines.
    pub fn printed(&self) -> Vec<Diagnostic> {
        let printed = self.printed.lock().unwrap_or_else(PoisonError::into_inner);
        printed.notes.iter().cloned().map(|note| self.parts.lines.settle(note)).collect()
    }

    /// The most bytes that a call of this run has held at once; 0 where the program does not count memory.
    pub fn peak_bytes(&self) -> usize {
        self.fence.peak.load(Ordering::Relaxed).unsigned_abs()
    }
}

/// An engine with every word a script may use, and no limits of time, memory or operations yet.
pub(crate) fn bare_engine() -> Engine {
    let host = host_modules();
    let mut engine = Engine::new_raw();
    for package in packages() {
        engine.register_global_module(package.clone());
    }
    for module in host {
        engine.register_global_module(module.module.clone());
    }
    engine.set_optimization_level(OptimizationLevel::None);
    engine.set_strict_variables(true);
    engine.set_fail_on_invalid_map_property(true);
    engine.set_max_call_levels(MAX_CALLS);
    engine.set_max_expr_depths(MAX_DEPTH.0, MAX_DEPTH.1);
    engine.set_max_string_size(MAX_TEXT);
    engine.set_max_array_size(MAX_LIST);
    engine.set_max_map_size(MAX_MAP);
    engine.set_max_variables(MAX_NAMES);
    engine.set_max_functions(MAX_NAMES);
    engine.set_max_modules(MAX_MODULES);
    // `eval` runs text that no position names; `**` on floats asks the platform for its power function.
    for symbol in ["eval", "**", "**="] {
        engine.disable_symbol(symbol);
    }
    engine
}

/// Rhai's own words: no sleep, no clock, no exit, no platform mathematics.
pub(crate) fn packages() -> &'static [Shared<Module>] {
    static PACKAGES: OnceLock<Vec<Shared<Module>>> = OnceLock::new();
    PACKAGES.get_or_init(|| {
        fix_hashing();
        vec![
            ArithmeticPackage::new().as_shared_module(),
            BasicStringPackage::new().as_shared_module(),
            BasicIteratorPackage::new().as_shared_module(),
            BasicFnPackage::new().as_shared_module(),
            LogicPackage::new().as_shared_module(),
            BasicArrayPackage::new().as_shared_module(),
            BasicMapPackage::new().as_shared_module(),
            MoreStringPackage::new().as_shared_module(),
        ]
    })
}

/// Gives Rhai its hashing seed, once a process: otherwise closures are named anew in every run and the names leak
/// into messages. A seed that an embedding program has set before is kept.
pub(crate) fn fix_hashing() {
    /// Any figures do, as long as they are not all zero and never change.
    const SEED: [u64; 4] = [0x736c_6174, 0x776f_726b, 0x6c61_6b65, 0x7065_6772];
    static FIXED: OnceLock<()> = OnceLock::new();
    FIXED.get_or_init(|| rhai::config::hashing::set_hashing_seed(Some(SEED)).unwrap_or_default());
}

/// Adds what a script prints to the notes of its run, which hang on the run's engine.
pub(crate) fn note(ctx: &NativeCallContext, text: &str) -> Result<(), Diagnostic> {
    let Some(printed) = ctx.engine().default_tag().clone().try_cast::<Notes>() else { return Ok(()) };
    let mut printed = printed.lock().unwrap_or_else(PoisonError::into_inner);
    printed.bytes += text.len() + NOTE_BYTES;
    if printed.bytes > MAX_PRINTED {
        return Err(Diagnostic::error("prints-too-much", "the script prints more than 1 MiB"));
    }
    printed.notes.push(Diagnostic::note("printed", text).at_origin(origin(ctx)));
    Ok(())
}

/// Runs `work` on a thread with the stack that scripts need, and waits for it.
pub fn with_stack<T: Send>(work: impl FnOnce() -> T + Send) -> Result<T, Diagnostic> {
    let failed =
        |what: &str| Diagnostic::error("no-thread", what.to_string()).at(Place::Named("script".into()));
    std::thread::scope(|scope| {
        let thread = std::thread::Builder::new().name("script".into()).stack_size(STACK_BYTES);
        let work = || {
            make_room();
            work()
        };
        let running = thread
            .spawn_scoped(scope, work)
            .map_err(|error| failed(&format!("no thread could be started for the script: {error}")))?;
        running.join().map_err(|_| failed("the program itself failed while running a script"))
    })
}

/// Takes memory once and gives it back, so that the thread's heap has it at hand. Else some allocators ask the system for every
/// page of it by itself, and give large blocks back to it each time; nothing of it is touched here.
fn make_room() {
    for bytes in ROOM {
        drop(std::hint::black_box(Vec::<u8>::with_capacity(bytes)));
    }
}

/// The first, larger block tells an allocator that such blocks come and go; the second then stays in the heap.
const ROOM: [usize; 2] = [16 << 20, 12 << 20];
