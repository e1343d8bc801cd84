//! The hole list: every hole, where to mark it and how to bore it.

use super::cut_list::HOW_IT_LIES;
use super::page::{Page, counted};
use super::{Files, Paper};
use slatwork_base::{Angle, Length, Outcome, Tape};
use slatwork_shop::{
    Along, BoardSide, BoreStep, CutRow, HoleRow, as_set, bit_text, is_square, part_words, sink_text,
};

pub(super) fn write(paper: &Paper<'_>) -> Outcome<Files> {
    let text = text(paper).into_bytes();
    let tables = paper.table_files("holes", vec![paper.plan.holes_table(), paper.plan.drilled_table()]);
    tables.map(|files| [vec![("holes.txt".into(), text)], files].concat())
}

fn text(paper: &Paper<'_>) -> String {
    let mut page = paper.page("holes");
    rule_words(paper).into_iter().for_each(|words| page.line(words));
    page.line(HOW_IT_LIES);
    if paper.plan.holes.rows.is_empty() {
        page.blank();
        page.line("There are no holes.");
    }
    let mut mark = "";
    for hole in &paper.plan.holes.rows {
        if hole.mark != mark {
            mark = &hole.mark;
            let row = paper.plan.cut_list.rows.iter().find(|row| row.mark == mark);
            let name = row.map_or("", |row| &row.name);
            let each = match hole.quantity {
                1 => String::new(),
                count => format!(", in each of {count}"),
            };
            page.heading(&format!("{mark}  {name}{each}"), '-');
            if let Some(parts) = row.and_then(CutRow::told_parts) {
                page.wrapped("", &format!("For {parts}."));
            }
        }
        hole_words(&mut page, paper, hole);
    }
    drilled_words(&mut page, paper);
    page.finish()
}

/// Pilots that need no marks.
fn drilled_words(page: &mut Page, paper: &Paper<'_>) {
    if paper.plan.holes.drilled.is_empty() {
        return;
    }
    page.heading(DRILLED_ON, '-');
    how_drilled(paper).into_iter().for_each(|words| page.line(words));
    for row in &paper.plan.holes.drilled {
        page.wrapped(
            &format!("{:>3}  ", row.mark),
            &format!(
                "{}: {}, {}, {} deep, through {} of {} ({}); {}.",
                part_words(&row.parts),
                counted(row.count, "hole"),
                bit(paper, row.diameter),
                paper.units.rule_text(row.depth),
                numbers(&row.holes),
                part_words(&row.through),
                row.through_mark,
                paper.units.reading().purpose_text(&row.purpose)
            ),
        );
    }
}

/// What those holes are called.
pub(super) const DRILLED_ON: &str = "Drilled on through other parts, in place";

/// How holes without marks are drilled.
pub(super) fn how_drilled(paper: &Paper<'_>) -> Vec<&'static str> {
    let near_end = paper.plan.holes.drilled.iter().any(|row| row.purpose.contains("near an end"));
    let wider =
        near_end.then_some("A pilot near the end of a board is wider, so that the end does not split.");
    [
        "Hold the two together; the hole in the one guides the drill into the other.",
        "Depths are from the face where the two meet.",
    ]
    .into_iter()
    .chain(wider)
    .collect()
}

/// With what holes are marked, where that is finer than the tape.
pub(super) fn rule_words(paper: &Paper<'_>) -> Option<&'static str> {
    (paper.units.rule() == Tape::Inch32)
        .then_some("Holes are marked with a steel rule, to the nearest 1/32\".")
}

/// "hole 3", "holes 3, 4, 7".
pub(super) fn numbers(holes: &[usize]) -> String {
    let all: Vec<String> = holes.iter().map(usize::to_string).collect();
    format!("hole{} {}", if all.len() == 1 { "" } else { "s" }, all.join(", "))
}

fn hole_words(page: &mut Page, paper: &Paper<'_>, hole: &HoleRow) {
    let places: Vec<String> = Along::ALL
        .into_iter()
        .zip(hole.at)
        .filter_map(|(along, at)| {
            Some(format!(
                "{} from the {}",
                paper.units.rule_text(at?),
                BoardSide { along, high: false }.word()
            ))
        })
        .collect();
    page.wrapped(
        &format!("{:>3}. ", hole.number),
        &format!("From the {}, {}: {}.", hole.side.word(), places.join(", "), bored(paper, hole)),
    );
    page.wrapped(
        "     ",
        &format!("{}; {}.", purpose_words(&paper.units.reading().purpose_text(&hole.purpose)), hole.when),
    );
    if !hole.turned.is_empty() {
        page.wrapped("     ", &format!("In {}, countersunk from the other side.", hole.turned.join(", ")));
    }
}

/// How it is bored: bits and depths, sunk how wide, leaning where.
pub(super) fn bored(paper: &Paper<'_>, hole: &HoleRow) -> String {
    let start = hole.bores.first().map_or(Length::ZERO, |bore| bore.from);
    let bores: Vec<String> = hole.bores.iter().map(|bore| bore_words(paper, bore, start)).collect();
    format!("{}{}{}", bores.join(", then "), sink(paper, hole), lean(hole))
}

/// "For eye bolt 5/8", "Clearance for #10 screw", "Pilot for 20d nail".
fn purpose_words(purpose: &str) -> String {
    match (purpose.strip_prefix("clearance"), purpose.strip_prefix("pilot")) {
        (Some(rest), _) => format!("Clearance{rest}"),
        (_, Some(rest)) => format!("Pilot{rest}"),
        _ => format!("For {purpose}"),
    }
}

fn bore_words(paper: &Paper<'_>, bore: &BoreStep, start: Length) -> String {
    let size = bit(paper, bore.diameter);
    match bore.to {
        Some(to) => format!("{size} to {} deep", paper.units.rule_text(to - start)),
        None => format!("{size} through"),
    }
}

/// ", countersunk to 3/8 in wide".
fn sink(paper: &Paper<'_>, hole: &HoleRow) -> String {
    hole.countersink
        .map_or(String::new(), |wide| format!(", countersunk {} wide", sink_text(wide, paper.units.tape())))
}

pub(super) fn bit(paper: &Paper<'_>, diameter: Length) -> String {
    bit_text(diameter, paper.units.tape())
}

fn lean(hole: &HoleRow) -> String {
    let words = |(along, lean): (Along, Option<Angle>)| {
        let lean = lean.filter(|lean| !is_square(*lean))?;
        Some(format!(
            "{} toward the {}",
            as_set(lean.abs()),
            BoardSide { along, high: lean.as_deg() > 0.0 }.word()
        ))
    };
    let leans: Vec<String> = Along::ALL.into_iter().zip(hole.lean).filter_map(words).collect();
    if leans.is_empty() { String::new() } else { format!(", leaning {}", leans.join(" and ")) }
}
