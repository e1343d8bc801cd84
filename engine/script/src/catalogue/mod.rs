//! The words of `items(c)`: a user's own entries, laid over the catalogue below them.
//!
//! A value that cannot be is refused at once, at its script line. Names of sections and woods are looked up when the
//! whole file has been read, so that entries may stand in any order; what is not found is then told at the line of
//! the entry that named it. Only `like:` must name what stands above it, or in a catalogue below.

mod boards;
mod form;
mod metal;
mod prices;
mod shop;
mod woods;

use crate::host::{HostResult, origin, raise};
use crate::kind::ScriptKind;
use crate::library::{Library, Script};
use crate::modules::Subject;
use crate::sandbox::Limits;
use form::Form;
use rhai::NativeCallContext;
use slatwork_base::{Diagnostic, Origin, Outcome, Place};
use slatwork_catalog::{Catalogue, Item, Overlay};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

/// Most entries of one catalogue: far more than a yard stocks, and few enough to lay in a moment.
const MOST_ENTRIES: usize = 4096;

/// What `items` fills; the script holds it as `c`.
#[derive(Clone, Debug)]
pub(crate) struct Entries(Arc<Mutex<Draft>>);

#[derive(Debug)]
struct Draft {
    /// What the entries are laid over, and what `like:` looks into after them.
    below: Arc<Catalogue>,
    /// Where entries come from that do not say it themselves.
    source: String,
    items: Vec<(Item, Origin)>,
}

impl Entries {
    fn over(below: Arc<Catalogue>, source: &str) -> Entries {
        Entries(Arc::new(Mutex::new(Draft { below, source: source.to_string(), items: Vec::new() })))
    }

    fn draft(&self) -> MutexGuard<'_, Draft> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn add(&self, ctx: &NativeCallContext, item: Item) -> HostResult<()> {
        let mut draft = self.draft();
        if draft.items.len() == MOST_ENTRIES {
            let message = format!("there are more than {MOST_ENTRIES} entries in this catalogue");
            return Err(raise(ctx, Diagnostic::error("too-many-entries", message)));
        }
        draft.items.push((item, origin(ctx)));
        Ok(())
    }

    fn below(&self) -> Arc<Catalogue> {
        Arc::clone(&self.draft().below)
    }

    /// The last own entry that `pick` finds: what `like:` may name before the catalogue below is asked.
    fn own<T: Clone>(&self, pick: impl Fn(&Item) -> Option<&T>) -> Option<T> {
        self.draft().items.iter().rev().find_map(|(item, _)| pick(item)).cloned()
    }

    fn lay(&self) -> Outcome<Arc<Catalogue>> {
        let (below, items) = {
            let mut draft = self.draft();
            (Arc::clone(&draft.below), std::mem::take(&mut draft.items))
        };
        if items.is_empty() {
            return Outcome::fine(below);
        }
        let mut overlay = Overlay::default();
        for (item, origin) in items {
            overlay.add_at(item, Place::Script(origin));
        }
        let mut outcome = below.overlay(overlay).map(Arc::new);
        outcome.diagnostics.sort_by_key(line_of);
        outcome
    }
}

/// Line and column, so that troubles are told from top to bottom.
fn line_of(trouble: &Diagnostic) -> Origin {
    match trouble.place {
        Some(Place::Script(origin)) => origin,
        _ => Origin::NOWHERE,
    }
}

/// The catalogue scripts in the order in which they are laid: those of the last root first, within a root by name,
/// one given by itself last of all. A later one wins over an earlier one.
pub fn catalogue_scripts(library: &Library) -> Vec<&Script> {
    let mut scripts: Vec<&Script> = library.scripts(ScriptKind::Catalogue).collect();
    scripts.sort_by_key(|script| (std::cmp::Reverse(script.rank), script.shown.as_str()));
    scripts
}

/// A catalogue with the entries of one script laid over it. Any error leaves no catalogue; all that can be told at
/// once are told, with file and line.
pub fn overlay_catalogue(
    library: &Library,
    script: &Script,
    below: &Arc<Catalogue>,
) -> Outcome<Arc<Catalogue>> {
    let entries = Entries::over(Arc::clone(below), &script.shown);
    let run = library.run(Limits::BUILD);
    let mut outcome = match run.call(script, "items", (entries.clone(),)) {
        Ok(_) => entries.lay(),
        Err(fault) => Outcome::failed(fault),
    };
    outcome.diagnostics.extend(run.printed());
    outcome.diagnostics = outcome.diagnostics.into_iter().map(|fault| library.settle(fault)).collect();
    outcome
}

/// A catalogue with every catalogue script of a library laid over it, in the order of [`catalogue_scripts`]. A faulty
/// script is an error: to go on without it would buy the wrong boards.
pub fn overlay_catalogues(library: &Library, below: &Arc<Catalogue>) -> Outcome<Arc<Catalogue>> {
    let faults: Vec<Diagnostic> = library.faults(ScriptKind::Catalogue).cloned().collect();
    if !faults.is_empty() {
        return Outcome { value: None, diagnostics: faults };
    }
    let lay = |outcome: Outcome<Arc<Catalogue>>, script| {
        outcome.then(|catalogue| overlay_catalogue(library, script, &catalogue))
    };
    catalogue_scripts(library).into_iter().fold(Outcome::fine(Arc::clone(below)), lay)
}

/// The words about a user's own catalogue.
pub(crate) fn subject() -> Subject {
    let mut subject = Subject::new(
        "Catalogue",
        "The words of `items(c)` in catalogues/*.rhai: own sections and woods, what the yard stocks, what lies on the \
         rack, the tools of the shop, what the tape says, and what all costs. An entry replaces one of the same name in the catalogues \
         below. Entries may stand in any order; only `like:` names what stands above it or below the file. Every entry \
         also takes `source:` (a text; without one it is the file), `status:` (measured, read, derived, stated, from \
         memory, common practice, project choice, demo; without one it is stated) and `except: #{ figure: status }` \
         for figures that stand otherwise.",
    );
    subject.type_word::<Entries>("catalogue");
    boards::words(&mut subject);
    woods::words(&mut subject);
    metal::words(&mut subject);
    prices::words(&mut subject);
    shop::words(&mut subject);
    subject
}
