//! The steps of assembly, and the piece to turn round as it grows.

use super::super::page::counted;
use super::super::steps::{HOW_TO_READ, marks_words};
use super::super::{Paper, model};
use super::cutting::framed;
use super::{cover, heading, list, standing, words};
use slatwork_model::PartId;
use slatwork_output::Figure;
use slatwork_output::book::{Block, Chapter, Drawing, DrawingPlace, ListKind, ModelView};
use slatwork_shop::{AssemblyStep, Does};
use slatwork_solid::{DVec3, EdgeKind};

pub(super) fn chapter(paper: &Paper<'_>) -> Chapter {
    let assembly = paper.assembly;
    let mut blocks = vec![Block::Model(Box::new(turned(paper))), Block::Drawing(exploded(paper))];
    if !assembly.said.is_empty() {
        blocks.push(heading("The maker's words"));
        blocks.push(list(ListKind::Plain, assembly.said.iter().cloned()));
    }
    blocks.push(heading("Before you begin"));
    blocks.extend(HOW_TO_READ.into_iter().map(words));
    blocks.push(words(marks_words(paper)));
    blocks.extend(assembly.steps.iter().flat_map(|own| step(paper, own)));
    blocks.extend(standing::blocks(paper));
    super::chapter("assembly", "Putting it together", blocks)
}

/// The drawing of a step: new parts, the way they come, their fasteners.
fn step_drawing(paper: &Paper<'_>, step: &AssemblyStep) -> Option<Drawing> {
    let at = paper.assembly.steps.iter().position(|own| own.number == step.number)?;
    let mut sheet = paper.sheets.steps.get(at)?.clone();
    // The chapter's own heading stands above it.
    sheet.items.retain(|item| !matches!(&item.figure, Figure::Text(text) if text.bold));
    Some(Drawing { sheet, caption: String::new(), place: DrawingPlace::Cropped })
}

/// Every part moved out along the way it comes in.
fn exploded(paper: &Paper<'_>) -> Drawing {
    Drawing {
        caption: String::from("Taken apart: every part moved out along the way it comes in."),
        ..framed(&paper.sheets.exploded)
    }
}

fn step(paper: &Paper<'_>, step: &AssemblyStep) -> Vec<Block> {
    let mut blocks = vec![heading(format!("{}. {}", step.number, step.title))];
    blocks.extend(step_drawing(paper, step).map(Block::Drawing));
    blocks.push(list(ListKind::ToTick, step.text.iter().cloned()));
    if !step.tools.is_empty() {
        blocks.push(words(format!("Tools: {}.", step.tools.join(", "))));
    }
    if step.clamps > 0 || step.cure_minutes > 0 {
        blocks.push(words(clamped(step)));
    }
    if !step.checks.is_empty() {
        let checks = step.checks.iter().map(|check| format!("Check: {check}"));
        blocks.push(list(ListKind::ToTick, checks));
    }
    vec![Block::Together(blocks)]
}

/// How many clamps, for how long.
fn clamped(step: &AssemblyStep) -> String {
    let (hours, minutes) = (step.cure_minutes / 60, step.cure_minutes % 60);
    let spans = [(hours, "hour"), (minutes, "minute")].into_iter().filter(|own| own.0 > 0);
    let cure: Vec<String> = spans.map(|(count, one)| counted(count, one)).collect();
    let cure = cure.join(" ");
    format!("Clamps: {}; left in them for {cure} before the next step.", step.clamps)
}

/// The piece in three dimensions, each part with the step that brings it in to stay.
fn turned(paper: &Paper<'_>) -> ModelView {
    let sets = paper.model.sets.iter().filter_map(|set| set.parts.first());
    let scene = model::scene(paper);
    let parts = paper.model.sets.iter().flat_map(|set| &set.parts);
    ModelView {
        lines: sets.map(|id| lines(paper, *id)).collect(),
        steps: paper.assembly.steps.iter().map(|step| step.title.replace('`', "")).collect(),
        from_step: parts.map(|id| stands_from(paper, *id)).collect(),
        still: cover::picture(paper),
        scene,
    }
}

/// The first step in which a part is laid or comes in; parts that no step names stand from the first.
fn stands_from(paper: &Paper<'_>, part: PartId) -> usize {
    let stays = |does: Does| matches!(does, Does::Laid | Does::ComesIn);
    let brings = |step: &&AssemblyStep| step.parts.iter().any(|own| own.part == part && stays(own.does));
    paper.assembly.steps.iter().find(brings).map_or(1, |step| step.number)
}

/// Creases and rims of a part.
fn lines(paper: &Paper<'_>, id: PartId) -> Vec<[DVec3; 2]> {
    let edges = paper.model.part(id).solid.edges().iter();
    edges.filter(|edge| edge.kind != EdgeKind::Smooth).map(|edge| [edge.a, edge.b]).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_hour_is_told_as_one() {
        let told =
            |cure_minutes| clamped(&AssemblyStep { clamps: 2, cure_minutes, ..AssemblyStep::default() });
        assert_eq!(told(60), "Clamps: 2; left in them for 1 hour before the next step.");
        assert_eq!(told(45), "Clamps: 2; left in them for 45 minutes before the next step.");
        assert_eq!(told(150), "Clamps: 2; left in them for 2 hours 30 minutes before the next step.");
    }
}
