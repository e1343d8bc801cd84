//! The variant in figures, for a program: what a row of a batch says, with the findings.

use super::{Files, Paper};
use crate::figures::Figures;
use slatwork_base::Outcome;

pub(super) fn write(paper: &Paper<'_>) -> Outcome<Files> {
    let mut body = paper.body();
    body.insert("figures".into(), Figures::of(paper.model, paper.plan).json());
    Outcome::fine(vec![(String::from("summary.json"), paper.document("summary", body))])
}
