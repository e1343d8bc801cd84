//! Holes on a template: a circle and a cross, the number of the hole list and the bit.

use super::pattern::{PatternOf, circle, letter};
use super::room::Room;
use super::stroke::Window;
use super::{Block, Template};
use crate::drawing::{HoleMark, Plane, rule};
use crate::sheet::{Figure, Item, LineClass};
use slatwork_base::Length;
use slatwork_shop::{Along, HoleRow, bit_text, is_square};
use slatwork_solid::{DVec2, DVec3};

/// The time that goes without saying.
const AT_BENCH: &str = "at the bench";
/// The arms of a cross reach so far beyond the circle, mm.
const ARM_BEYOND: f64 = 2.0;
/// Half an arm of a cross by itself, mm.
const LONE_ARM: f64 = 4.0;
/// What a seam through a hole weighs.
const HOLE_WEIGHT: f64 = 2.0;

/// Whether a hole is bored in place or through another part.
pub(crate) fn is_late(row: &HoleRow) -> bool {
    row.when != AT_BENCH
}

/// The box that the hole list measures in.
fn box_of(of: &PatternOf<'_>) -> DVec3 {
    let bounds = of.solid.bounds();
    bounds.max - bounds.min
}

/// A hole that is drawn: its row, its middle on the template, how far it reaches, and whether it starts on the side shown.
pub(crate) type Drawn<'a> = (&'a HoleRow, DVec2, f64, bool);

/// Draws the holes that run into or out of the side shown.
pub(crate) fn draw<'a>(
    template: &mut Template,
    of: &PatternOf<'a>,
    plane: &Plane<'_>,
    shift: DVec2,
) -> Vec<Drawn<'a>> {
    let along = if plane.toward.z == 0.0 { Along::Width } else { Along::Thickness };
    let shown = of.holes.iter().filter(|row| row.side.along == along);
    let mut drawn = Vec::new();
    for row in shown {
        let mark = HoleMark::of(row, box_of(of));
        let centre = plane.flat(of.solid.bounds().min + mark.at) + shift;
        let is_near = row.side.high == (along == Along::Thickness);
        let reach = draw_one(template, row, centre, is_near);
        template.clear.push((Window::round(centre, reach + 1.0), HOLE_WEIGHT));
        drawn.push((row, centre, reach, is_near));
    }
    drawn
}

/// Puts number and bit beside each hole.
pub(crate) fn label_all(template: &mut Template, room: &mut Room, of: &PatternOf<'_>, drawn: &[Drawn<'_>]) {
    for (row, centre, reach, is_near) in drawn.iter().copied() {
        let class = if is_late(row) { LineClass::Hidden } else { LineClass::Mark };
        let near = centre + DVec2::new(reach + 8.0, reach + 2.5);
        letter(template, room, near, 2.2, &label(row, of, is_near), class);
    }
}

/// Circle and cross; tells how far they reach from the centre.
fn draw_one(template: &mut Template, row: &HoleRow, centre: DVec2, is_near: bool) -> f64 {
    let is_square = is_square(row.lean_total);
    // A leaning hole comes out elsewhere than it goes in.
    let is_through = is_square && row.bores.last().is_some_and(|bore| bore.to.is_none());
    let class = match (is_late(row), is_near || is_through) {
        (true, _) => LineClass::Hidden,
        (false, true) => LineClass::Drill,
        (false, false) => LineClass::Mark,
    };
    let mut widest: f64 = 0.0;
    if is_square {
        for bore in &row.bores {
            let radius = bore.diameter.as_mm() / 2.0;
            template.items.push(circle(class, centre, radius));
            widest = widest.max(radius);
        }
        if let Some(sink) = row.countersink.filter(|_| is_near) {
            let class = if is_late(row) { LineClass::Hidden } else { LineClass::Mark };
            template.items.push(circle(class, centre, sink.as_mm() / 2.0));
        }
    }
    let arm = if widest > 0.0 { widest + ARM_BEYOND } else { LONE_ARM };
    for way in [DVec2::X, DVec2::Y] {
        let figure = Figure::Line { from: centre - way * arm, to: centre + way * arm };
        template.items.push(Item { class, figure });
    }
    arm.max(row.countersink.map_or(0.0, |sink| sink.as_mm() / 2.0))
}

/// `3 Ø 13/32"`, and what a bit does not say.
fn label(row: &HoleRow, of: &PatternOf<'_>, is_near: bool) -> String {
    let bits: Vec<String> = row.bores.iter().map(|bore| bit_text(bore.diameter, of.tape)).collect();
    let mut label = format!("{} Ø {}", row.number, bits.join(", "));
    match (is_square(row.lean_total), is_near) {
        (true, true) => {}
        (true, false) => label += " from behind",
        (false, true) => label += " leans",
        (false, false) => label += " leans; mark it behind",
    }
    if is_late(row) {
        label += " later";
    }
    label
}

/// The holes in a table: where, what bit, what for and when.
pub(crate) fn table(of: &PatternOf<'_>) -> Vec<Block> {
    if of.holes.is_empty() {
        return Vec::new();
    }
    let marks: Vec<HoleMark> = of.holes.iter().map(|row| HoleMark::of(row, box_of(of))).collect();
    let facts = crate::drawing::holes(&marks, of.solid.bounds().min, of.tape);
    let place = |at: Option<Length>| at.map_or(String::new(), |at| rule(of.tape).text(at));
    let rows = of.holes.iter().zip(&facts).map(|(row, fact)| {
        let mut bore = fact.bore.clone();
        if let Some(sink) = &fact.countersink {
            bore += &format!(", countersunk {sink}");
        }
        let [end, edge, face] = row.at;
        let number = row.number.to_string();
        vec![number, row.side.word().into(), place(end), place(edge), place(face), bore, fact.purpose.clone()]
    });
    let head =
        ["no.", "from", "datum end", "datum edge", "back face", "bore", "for"].map(String::from).to_vec();
    let heading = Block::Heading(String::from("Holes, numbered as in the hole list"));
    vec![heading, without_bare_columns(head, rows.collect())]
}

/// A table without columns in which nothing stands.
fn without_bare_columns(head: Vec<String>, rows: Vec<Vec<String>>) -> Block {
    let is_used: Vec<bool> = (0..head.len()).map(|i| rows.iter().any(|row| !row[i].is_empty())).collect();
    let used = |cells: Vec<String>| {
        cells.into_iter().zip(&is_used).filter_map(|(cell, used)| used.then_some(cell)).collect::<Vec<_>>()
    };
    Block::Table { head: used(head), rows: rows.into_iter().map(used).collect() }
}
