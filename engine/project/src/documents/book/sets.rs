//! Each set of equal parts: its drawing, how one is made, its angled cuts, notches and holes; and the holes that need no marks.

use super::super::cut_list::{HOW_IT_LIES, after, before, step_words};
use super::super::drawings;
use super::super::holes::{DRILLED_ON, bit, bored, how_drilled, numbers, rule_words};
use super::super::page::counted;
use super::super::{Paper, purchase};
use super::cutting::framed;
use super::shapes::{self, bent_table, cut_table};
use super::{heading, list, paragraphs, table_of_words, words};
use slatwork_model::PartSet;
use slatwork_output::book::{Block, Chapter, ListKind};
use slatwork_output::{Sheet, Table};
use slatwork_shop::{CutRow, HoleRow, Work, part_words};

pub(super) fn chapter(paper: &Paper<'_>) -> Chapter {
    let mut blocks = vec![words(HOW_IT_LIES)];
    blocks.extend(rule_words(paper).map(words));
    blocks.push(words("The drawings are smaller here than their scale says: read the figures, measure nothing off the page."));
    blocks.extend(shapes::how_to_read(paper));
    for (set, sheet) in drawings::sets(paper.model).zip(&paper.sheets.parts) {
        blocks.extend(of_set(paper, set, sheet));
    }
    if !paper.plan.holes.drilled.is_empty() {
        blocks.push(heading(DRILLED_ON));
        blocks.extend(how_drilled(paper).into_iter().map(words));
        blocks.push(Block::Table(drilled(paper)));
    }
    super::chapter("sets", "The parts, set by set", blocks)
}

fn of_set(paper: &Paper<'_>, set: &PartSet, sheet: &Sheet) -> Vec<Block> {
    let Some(row) = paper.plan.cut_list.rows.iter().find(|row| row.set == set.id) else { return Vec::new() };
    let size = |length| paper.units.true_text(length);
    let told = format!(
        "{} of {}, {} long, {} wide, {} thick.",
        counted(row.quantity, "piece"),
        purchase::wood(paper, &row.species),
        size(row.length),
        size(row.width),
        size(row.thickness)
    );
    let mut first = vec![heading(format!("{}: {}", set.mark, set.name)), words(told)];
    first.extend(paragraphs(before(row)));
    first.push(Block::Drawing(framed(sheet)));
    let mut blocks = vec![Block::Together(first)];
    let holes: Vec<&HoleRow> = paper.plan.holes.rows.iter().filter(|hole| hole.set == set.id).collect();
    blocks.push(list(ListKind::Numbered, steps(row, !holes.is_empty())));
    blocks.extend(paragraphs(after(paper, row)));
    blocks.extend(bent_table(paper, row).map(Block::Table));
    blocks.extend(cut_table(paper, set).map(Block::Table));
    if !holes.is_empty() {
        blocks.push(Block::Table(hole_table(paper, set, &holes)));
    }
    blocks
}

/// How one is made. Where its holes are the table tells, so that here they are named once.
fn steps(row: &CutRow, has_table: bool) -> Vec<String> {
    let mut is_told = false;
    let mut steps = Vec::new();
    for step in &row.steps {
        if step.work != Work::Bore || !has_table {
            steps.push(step_words(step));
        } else if !is_told {
            is_told = true;
            steps.push(String::from("Bore the holes of the table below, each at its time."));
        }
    }
    steps
}

fn hole_table(paper: &Paper<'_>, set: &PartSet, holes: &[&HoleRow]) -> Table {
    let reading = paper.units.reading();
    let rows = holes.iter().map(|hole| {
        let [end, edge, face] = hole.at.map(|at| at.map_or(String::new(), |at| paper.units.rule_text(at)));
        let mut purpose = reading.purpose_text(&hole.purpose);
        if !hole.turned.is_empty() {
            purpose += &format!("; in {} countersunk from the other side", hole.turned.join(", "));
        }
        vec![
            hole.number.to_string(),
            hole.side.word().to_string(),
            end,
            edge,
            face,
            bored(paper, hole),
            purpose,
            hole.when.clone(),
        ]
    });
    let columns = [
        ("hole", "hole"),
        ("side", "bored from"),
        ("from_end", "from datum end"),
        ("from_edge", "from datum edge"),
        ("from_face", "from back face"),
        ("bore", "bore"),
        ("purpose", "for"),
        ("when", "when"),
    ];
    let each = holes.first().map_or(1, |hole| hole.quantity);
    let each = if each > 1 { format!(", in each of {each}") } else { String::new() };
    table_of_words(paper, "holes", format!("Holes of {}{each}", set.mark), &columns, rows)
}

fn drilled(paper: &Paper<'_>) -> Table {
    let rows = paper.plan.holes.drilled.iter().map(|row| {
        vec![
            row.mark.clone(),
            part_words(&row.parts),
            row.count.to_string(),
            bit(paper, row.diameter),
            paper.units.rule_text(row.depth),
            format!("{} of {} ({})", numbers(&row.holes), part_words(&row.through), row.through_mark),
            paper.units.reading().purpose_text(&row.purpose),
        ]
    });
    let columns = [
        ("mark", "mark"),
        ("part", "part"),
        ("count", "holes"),
        ("drill", "bit"),
        ("depth", "deep"),
        ("through", "through"),
        ("purpose", "for"),
    ];
    table_of_words(paper, "drilled", DRILLED_ON, &columns, rows)
}
