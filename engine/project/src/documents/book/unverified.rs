//! Figures that nobody has verified, and what rests on them.

use super::super::{Paper, price};
use super::{heading, paragraphs, table_of_words, words};
use crate::Judged;
use indexmap::IndexMap;
use slatwork_catalog::Status;
use slatwork_output::Table;
use slatwork_output::book::{Block, Chapter};

pub(super) fn chapter(paper: &Paper<'_>, judged: &Judged) -> Chapter {
    let mut blocks = vec![words(
        "These figures and rules were recalled, are what shops do, or were settled by this project. Nothing here was tested. Whoever \
         relies on a check verifies what it rests on.",
    )];
    blocks.push(Block::Table(soft(paper, judged)));
    if let Ok(rating) = &judged.rating
        && !rating.estimates.is_empty()
    {
        blocks.push(heading("What the rating rests on"));
        let rows = rating.estimates.iter().map(|own| vec![own.text.clone(), own.status.word().to_string()]);
        let columns = [("source", "figure or rule"), ("status", "how it was come by")];
        blocks.push(Block::Table(table_of_words(
            paper,
            "estimates",
            "Estimates of the rating",
            &columns,
            rows,
        )));
    }
    let demo = price::demo_words(&paper.plan.price);
    if demo.is_some() {
        blocks.push(heading("Prices and times"));
        blocks.extend(paragraphs(demo));
    }
    super::chapter("unverified", "Unverified figures", blocks)
}

/// Each once, with the checks that rest on it.
fn soft(paper: &Paper<'_>, judged: &Judged) -> Table {
    let mut by_source: IndexMap<(Status, &str), Vec<&str>> = IndexMap::new();
    for verdict in &judged.verdicts {
        for source in verdict.sources.iter().filter(|own| !own.status.is_firm()) {
            let checks = by_source.entry((source.status, &source.text)).or_default();
            if !checks.contains(&verdict.check) {
                checks.push(verdict.check);
            }
        }
    }
    by_source.sort_by(|a, _, b, _| a.cmp(b));
    let rows = by_source
        .into_iter()
        .map(|((status, text), checks)| vec![text.to_string(), status.word().to_string(), checks.join(", ")]);
    let columns = [
        ("source", "figure or rule"),
        ("status", "how it was come by"),
        ("checks", "checks that rest on it"),
    ];
    table_of_words(paper, "unverified", "What the checks rest on and nobody has verified", &columns, rows)
}
