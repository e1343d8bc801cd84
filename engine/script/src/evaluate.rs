//! A family with values set becomes a finished model.

use crate::bench::{Job, ScriptedJoint};
use crate::kind::ScriptKind;
use crate::library::{Library, Script};
use crate::parameters::{Parameters, Value};
use crate::sandbox::{Limits, Run};
use slatwork_base::{Diagnostic, Outcome};
use slatwork_catalog::Catalogue;
use slatwork_model::{Bench, Model, People, Site};
use std::sync::Arc;

/// What a build is given beside the values of its parameters.
#[derive(Clone, Debug)]
pub struct Inputs {
    /// The catalogue in force.
    pub catalogue: Arc<Catalogue>,
    /// The place.
    pub site: Site,
    /// The people.
    pub people: People,
}

/// Builds a family with texts set for some of its parameters, `("width", "5ft")`. Diagnostics come with their places settled
/// to files and lines; an error keeps the model from being made.
pub fn evaluate(
    library: &Library,
    family: &str,
    settings: &[(String, String)],
    inputs: &Inputs,
) -> Outcome<Model> {
    let script = match library.script(ScriptKind::Family, family) {
        Ok(script) => script,
        Err(diagnostics) => return Outcome { value: None, diagnostics },
    };
    script.declared.read(None, settings).then(|parameters| build(library, script, &parameters, inputs))
}

/// Builds a family with checked values.
pub fn build(library: &Library, script: &Script, parameters: &Parameters, inputs: &Inputs) -> Outcome<Model> {
    let laid = lay(library, script, parameters, inputs);
    let Some(bench) = laid.value else { return Outcome { value: None, diagnostics: laid.diagnostics } };
    let mut outcome = bench.finish();
    if let Some(model) = &mut outcome.value {
        model.findings =
            std::mem::take(&mut model.findings).into_iter().map(|finding| library.settle(finding)).collect();
    }
    outcome = settled(library, outcome);
    outcome.diagnostics.extend(laid.diagnostics);
    outcome
}

/// Runs the script of a family with checked values: the bench with everything laid and joined, nothing finished yet.
pub fn lay(library: &Library, script: &Script, parameters: &Parameters, inputs: &Inputs) -> Outcome<Bench> {
    let refusals = parameters.refusals();
    if !refusals.is_empty() {
        return settled(library, Outcome { value: None, diagnostics: refusals });
    }
    let title = script.declared.title.as_str();
    let bench = Bench::new(
        Arc::clone(&inputs.catalogue),
        title,
        DEFAULT_WOOD,
        inputs.site.clone(),
        inputs.people.clone(),
    );
    // Those that faults keep away too: what is wrong with them is told when they are to be made.
    let kinds = library.ids(ScriptKind::Joint).into_iter().map(joint_name).collect();
    let job = Job::new(bench, kinds);
    let run = library.run(Limits::BUILD);
    let built = run.call(script, "build", (job.clone(), parameters.clone()));
    let built = built.and_then(|_| make_joints(library, &run, &job));
    let printed = run.printed();
    let mut outcome = match built {
        Ok(()) => job.take(),
        Err(diagnostic) => Outcome::failed(diagnostic),
    };
    outcome.diagnostics.extend(printed);
    settled(library, outcome)
}

/// The name of a scripted kind of joint: its file's, with blanks.
pub(crate) fn joint_name(id: &str) -> String {
    id.replace('_', " ")
}

/// Lets the scripts of joints do their work, in the order that the family joined.
fn make_joints(library: &Library, run: &Run, job: &Job) -> Result<(), Diagnostic> {
    while let Some(joint) = job.next_scripted() {
        make_joint(library, run, job, &joint).map_err(|fault| {
            fault.with_origin(joint.origin, format!("joint `{}` asked for here", joint.kind))
        })?;
        job.check_whole(&joint)?;
    }
    Ok(())
}

fn make_joint(library: &Library, run: &Run, job: &Job, joint: &ScriptedJoint) -> Result<(), Diagnostic> {
    let script = library.script(ScriptKind::Joint, &joint.kind.replace(' ', "_")).map_err(|faults| {
        faults.into_iter().next().unwrap_or_else(|| Diagnostic::error("no-script", "gone"))
    })?;
    let mut values = Vec::with_capacity(joint.options.len());
    for (key, value) in &joint.options {
        let declared = script.declared.parameter(key).map_err(|fault| Diagnostic {
            message: format!("joint `{}` has no option `{key}`", joint.kind),
            ..fault
        })?;
        let value = Value::from_script(declared.kind, value).ok_or_else(|| {
            let kind = crate::host::with_article(declared.kind.word());
            Diagnostic::error("wrong-parameter-kind", format!("`{key}` of joint `{}` is {kind}", joint.kind))
        })?;
        values.push((key.to_string(), value));
    }
    let chosen = script.declared.choose(None, &values);
    let options = chosen.value.ok_or_else(|| {
        let fault = chosen.diagnostics.into_iter().next();
        fault.unwrap_or_else(|| Diagnostic::error("wrong-parameter-kind", "the options do not go together"))
    })?;
    if let Some(refusal) = options.refusals().into_iter().next() {
        return Err(refusal);
    }
    let given = run.call(script, "cut", (job.clone(), joint.a.clone(), joint.b.clone(), options))?;
    // What a call of the bench gives back (a board, nothing) may well stand last; anything else was meant to say something.
    let says_something =
        given.is_string() || given.is_int() || given.is_float() || given.is_array() || given.is_map();
    if !says_something {
        return Ok(());
    }
    Err(Diagnostic::error(
        "joint-gives-a-value",
        format!(
            "`cut` of joint `{}` ends with {}, and nothing is read from it",
            joint.kind,
            crate::host::with_article(crate::errors::plain_type(given.type_name()))
        ),
    )
    .help("a joint works on the boards by what it calls: end `cut` with a call or with `()`"))
}

/// Wood of boards that name none, until the script says `job.wood(..)`.
const DEFAULT_WOOD: &str = "white oak";

fn settled<T>(library: &Library, outcome: Outcome<T>) -> Outcome<T> {
    let diagnostics: Vec<Diagnostic> = outcome.diagnostics.into_iter().map(|d| library.settle(d)).collect();
    Outcome { value: outcome.value, diagnostics }
}
