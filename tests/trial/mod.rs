//! A small piece of which title, part and step say what they are told to: for papers that must stand any words.

use slatwork::{Dossier, Kind, Memory, Request, build, with_stack};

/// A paper of the piece that says `words` (as they stand in a script, between quotes); nothing where they are refused, which takes
/// a reason that is no fault of the program.
pub(crate) fn trial(words: &str, kind: Kind) -> Option<Dossier> {
    let script = format!(
        "fn describe(f) {{ f.title = \"Trial {words}\"; }}\n\
         fn build(job, p) {{\n\
             let low = job.board(\"low {words}\", #{{ stock: \"2x4\", length: 24.inch }});\n\
             low.lie(\"up\", \"left\");\n\
             job.step(\"Mind {words}\");\n\
         }}\n"
    );
    let world = Memory::of([("families/trial.rhai", script.as_str())]);
    let request = Request { only: vec![kind], ..Request::new("trial") };
    let outcome = with_stack(|| build(&world, &request)).expect("a thread");
    let found = &outcome.diagnostics;
    assert!(outcome.value.is_some() || !found.is_empty(), "{words}: nothing and no reason");
    assert!(found.iter().all(|own| own.code != "book-not-set"), "{words}: {found:?}");
    outcome.value
}
