//! What the program takes from around it: the user's folder, the message of a panic, the clock of a progress bar, Ctrl-C.

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use signal_hook::consts::SIGINT;
use slatwork_base::Diagnostic;
use slatwork_project::read_whole;
use std::cell::RefCell;
use std::fmt::Display;
use std::io::IsTerminal;
use std::path::PathBuf;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::{Duration, Instant};

/// The folder of the user's own scripts: `slatwork` in the folder where programs keep what is the user's.
pub(crate) fn user_root() -> Option<String> {
    let folder = |name: &str| std::env::var_os(name).filter(|value| !value.is_empty()).map(PathBuf::from);
    let home = || folder("HOME").map(|home| home.join(".config"));
    let base = folder("XDG_CONFIG_HOME").or_else(|| folder("APPDATA")).or_else(home)?;
    let root = base.join("slatwork");
    root.is_dir().then(|| root.to_str().map(String::from)).flatten()
}

/// Whether the current folder holds scripts by the names of their folders.
pub(crate) fn is_project(kinds: &[&str]) -> bool {
    kinds.iter().any(|kind| std::path::Path::new(kind).is_dir())
}

/// All of standard input.
pub(crate) fn standard_input() -> Result<String, Diagnostic> {
    read_whole(std::io::stdin().lock(), STANDARD_INPUT)
}

/// What standard input is called in a message.
pub(crate) const STANDARD_INPUT: &str = "standard input";

static LAST_PANIC: Mutex<String> = Mutex::new(String::new());

/// Keeps a panic's message and place for the report instead of printing it.
pub(crate) fn quiet_panics() {
    std::panic::set_hook(Box::new(|panic| {
        *LAST_PANIC.lock().unwrap_or_else(PoisonError::into_inner) = panic.to_string().replace('\n', " ");
    }));
}

/// What the last panic said.
pub(crate) fn last_panic() -> String {
    LAST_PANIC.lock().unwrap_or_else(PoisonError::into_inner).clone()
}

/// A bar for work that takes longer than a moment, on a terminal only.
pub(crate) struct Bar {
    began: Instant,
    bar: RefCell<Option<ProgressBar>>,
    wanted: bool,
}

/// Work shorter than this shows no bar.
const A_MOMENT: Duration = Duration::from_millis(500);

impl Bar {
    #[expect(clippy::disallowed_methods, reason = "a progress bar is a matter of time")]
    pub(crate) fn new() -> Bar {
        Bar { began: Instant::now(), bar: RefCell::default(), wanted: std::io::stderr().is_terminal() }
    }

    /// Shows how far the work is.
    pub(crate) fn show(&self, done: u64, total: Option<u64>) {
        if self.is_due() {
            self.bar.borrow_mut().get_or_insert_with(|| new_bar(total)).set_position(done);
        }
    }

    /// Says how far work is that nobody can count beforehand.
    pub(crate) fn say(&self, words: &dyn Display) {
        if self.is_due() {
            let mut bar = self.bar.borrow_mut();
            let bar = bar.get_or_insert_with(new_spinner);
            bar.set_message(words.to_string());
            bar.tick();
        }
    }

    fn is_due(&self) -> bool {
        self.wanted && self.began.elapsed() >= A_MOMENT
    }

    /// Takes the bar away.
    pub(crate) fn done(&self) {
        if let Some(bar) = self.bar.borrow_mut().take() {
            bar.finish_and_clear();
        }
    }
}

fn new_spinner() -> ProgressBar {
    let bar = ProgressBar::no_length();
    bar.set_draw_target(ProgressDrawTarget::stderr());
    let words = "{spinner} {wide_msg} Ctrl-C takes it";
    ProgressStyle::with_template(words).map_or(bar.clone(), |style| bar.with_style(style))
}

fn new_bar(total: Option<u64>) -> ProgressBar {
    let bar = match total {
        Some(total) => ProgressBar::new(total),
        None => ProgressBar::no_length(),
    };
    bar.set_draw_target(ProgressDrawTarget::stderr());
    let words = if total.is_some() {
        "{wide_bar} {pos} of {len} variants, {eta} to go"
    } else {
        "{spinner} {pos} variants"
    };
    // A template that does not parse leaves the plain bar.
    ProgressStyle::with_template(words).map_or(bar.clone(), |style| bar.with_style(style))
}

/// Ctrl-C as a wish that a search end with what it has.
pub(crate) struct Interrupt(Arc<AtomicBool>);

/// The exit code of a program that Ctrl-C ended, as shells have it: 128 and the number of the signal.
const INTERRUPTED: i32 = 128 + SIGINT;

impl Interrupt {
    /// From here on the first Ctrl-C raises a flag, and a second ends the program.
    pub(crate) fn taken() -> Interrupt {
        let flag = Arc::new(AtomicBool::new(false));
        // In this order, so that the first Ctrl-C finds the flag still down. Where no handler can be set, Ctrl-C ends the program
        // as ever.
        if signal_hook::flag::register_conditional_shutdown(SIGINT, INTERRUPTED, Arc::clone(&flag)).is_ok() {
            drop(signal_hook::flag::register(SIGINT, Arc::clone(&flag)));
        }
        Interrupt(flag)
    }

    /// Whether there was one.
    pub(crate) fn is_there(&self) -> bool {
        self.0.load(Ordering::Relaxed)
    }
}
