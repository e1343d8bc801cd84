//! What the tests of this room share: a library out of texts, and one expression evaluated in a family.
#![allow(dead_code, reason = "each test file uses its own part of this module")]

use rhai::Dynamic;
use slatwork_base::{Diagnostic, Outcome};
use slatwork_script::caret::{Dress, report};
use slatwork_script::{Library, Limits, RootInfo, RootKind, ScriptKind, Texts, with_stack};

/// A root for tests.
pub(crate) fn root(name: &str, kind: RootKind) -> RootInfo {
    RootInfo { name: name.to_string(), kind, shown: String::new(), trusted: true }
}

/// A library of one built-in root.
pub(crate) fn load(files: &[(&str, &str)]) -> Outcome<Library> {
    Library::load(&Texts::default().with_root(root("built-in", RootKind::BuiltIn), files.iter().copied()))
}

/// A library that must be without fault.
pub(crate) fn library(files: &[(&str, &str)]) -> Library {
    let outcome = load(files);
    assert!(outcome.diagnostics.is_empty(), "{}", plain(&outcome.diagnostics));
    outcome.value.expect("a library without fault")
}

/// Diagnostics as the user sees them.
pub(crate) fn plain(diagnostics: &[Diagnostic]) -> String {
    report(diagnostics, Dress::Plain)
}

/// What loading these files complains of.
pub(crate) fn complaints(files: &[(&str, &str)]) -> String {
    plain(&load(files).diagnostics)
}

/// The text of a family whose `build` has this body.
pub(crate) fn family(body: &str) -> String {
    format!("fn describe(f) {{ f.title = \"Test\"; }}\nfn build(job, p) {{\n{body}\n}}\n")
}

/// Runs `build` of the family `t` and shows its value as a script would print it.
pub(crate) fn build(library: &Library) -> Result<String, Diagnostic> {
    let script = library.script(ScriptKind::Family, "t").map_err(|faults| faults[0].clone())?;
    let parameters = Dynamic::from(script.declared.defaults());
    let run = library.run(Limits::BUILD);
    run.call(script, "build", (Dynamic::UNIT, parameters)).map(|value| shown(&value))
}

fn shown(value: &Dynamic) -> String {
    let measures = [
        value.clone().try_cast::<slatwork_base::Length>().map(|m| m.to_string()),
        value.clone().try_cast::<slatwork_base::Angle>().map(|m| m.to_string()),
        value.clone().try_cast::<slatwork_base::Area>().map(|m| m.to_string()),
        value.clone().try_cast::<slatwork_script::Mass>().map(|m| m.to_string()),
    ];
    measures.into_iter().flatten().next().unwrap_or_else(|| value.to_string())
}

/// The value of some statements, as text.
pub(crate) fn value(body: &str) -> String {
    evaluate(body).unwrap_or_else(|fault| panic!("{}", plain(&[fault])))
}

/// The value of some statements, or the fault, on a stack fit for scripts.
pub(crate) fn evaluate(body: &str) -> Result<String, Diagnostic> {
    let text = family(body);
    with_stack(|| {
        let outcome = load(&[("families/t.rhai", text.as_str())]);
        match outcome.diagnostics.into_iter().next() {
            Some(fault) => Err(fault),
            None => build(&outcome.value.expect("a library")),
        }
    })
    .expect("a thread")
}

/// The fault of some statements, as the user sees it.
pub(crate) fn fault(body: &str) -> String {
    match evaluate(body) {
        Ok(value) => panic!("no fault, but the value {value}"),
        Err(fault) => plain(&[fault]),
    }
}

/// The name of the fault of some statements.
pub(crate) fn code(body: &str) -> &'static str {
    evaluate(body).expect_err("a fault").code
}
