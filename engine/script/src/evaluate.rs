//! A family with values set becomes a finished model.

use crate::bench::Job;
use crate::kind::ScriptKind;
use crate::library::{Library, Script};
use crate::parameters::Parameters;
use crate::sandbox::Limits;
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
    let job = Job::new(bench);
    let run = library.run(Limits::BUILD);
    let built = run.call(script, "build", (job.clone(), parameters.clone()));
    let printed = run.printed();
    let mut outcome = match built {
        Ok(_) => job.finish(),
        Err(diagnostic) => Outcome::failed(diagnostic),
    };
    if let Some(model) = &mut outcome.value {
        model.findings =
            std::mem::take(&mut model.findings).into_iter().map(|finding| library.settle(finding)).collect();
    }
    outcome.diagnostics.extend(printed);
    settled(library, outcome)
}

/// Wood of boards that name none, until the script says `job.wood(..)`.
const DEFAULT_WOOD: &str = "white oak";

fn settled(library: &Library, outcome: Outcome<Model>) -> Outcome<Model> {
    let diagnostics: Vec<Diagnostic> = outcome.diagnostics.into_iter().map(|d| library.settle(d)).collect();
    Outcome { value: outcome.value, diagnostics }
}
