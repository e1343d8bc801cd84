//! The variant in figures, for a program: what a row of a batch says, with the findings; of what hangs, what its hooks bear.

use super::{Files, Paper};
use crate::figures::Figures;
use crate::judged::hooks_json;
use serde_json::Value;
use slatwork_base::Outcome;

pub(super) fn write(paper: &Paper<'_>) -> Outcome<Files> {
    let mut body = paper.body();
    body.insert("figures".into(), Figures::of(paper.model, paper.plan).json());
    let told = paper.handed.and_then(|handed| handed.as_ref().ok());
    body.insert("hooks".into(), told.map_or(Value::Null, hooks_json));
    Outcome::fine(vec![(String::from("summary.json"), paper.document("summary", body))])
}
