//! A frame in words.

use crate::Units;
use crate::calc::sheet::{CALCULATED, Sheet, degrees};
use slatwork_base::Diagnostic;
use slatwork_checks::statics::frame::{Answer, FREEDOMS, Frame, Solution};

const MM: f64 = 1e3;
/// A support that gives less, N or N m, is not told of.
const NOTHING: f64 = 1e-3;
/// The places of the forces and of the moments in six of both.
const FORCES: core::ops::Range<usize> = 0..3;
const MOMENTS: core::ops::Range<usize> = 3..6;

pub(in crate::calc) fn frame(frame: &Frame, answers: &[Answer], units: Units) -> String {
    let counts = format!("A frame of {} members between {} nodes", frame.members.len(), frame.nodes.len());
    let mut sheet = Sheet::new(units, &counts);
    for answer in answers {
        sheet.part(&format!("Under {}", answer.combination));
        match &answer.outcome {
            Ok(solution) => stands(&mut sheet, frame, solution),
            Err(troubles) => falls(&mut sheet, troubles),
        }
    }
    sheet.part(CALCULATED);
    sheet.finish()
}

fn falls(sheet: &mut Sheet, troubles: &[Diagnostic]) {
    sheet.row("it does NOT stand", troubles.first().map_or("", |trouble| trouble.message.as_str()));
}

fn stands(sheet: &mut Sheet, frame: &Frame, own: &Solution) {
    moves(sheet, frame, own);
    let holding = |values: &[f64; 6]| values.iter().any(|value| value.abs() > NOTHING);
    for (support, values) in frame.supports.iter().zip(own.reactions.iter()).filter(|own| holding(&own.1)) {
        let words = vector(&values, |value| sheet.force(value));
        sheet.row(&format!("support {} gives", frame.nodes[support.node].name), words);
    }
    for (member, values) in frame.members.iter().zip(own.end_forces.iter()) {
        let words = member_words(sheet, &values);
        sheet.row(&format!("member {}", member.name), words);
    }
    for &member in &own.slack {
        sheet.row(&format!("wire {}", frame.members[member].name), "hangs loose");
    }
    for &(node, freedom) in &own.open {
        sheet.row(
            &format!("support {}", frame.nodes[node].name),
            format!("has lifted in {}", FREEDOMS[freedom]),
        );
    }
}

/// The node that moves most.
fn moves(sheet: &mut Sheet, frame: &Frame, own: &Solution) {
    let nodes = frame.nodes.iter().zip(own.displacements.iter());
    let far = |values: &[f64; 6]| length(&values[FORCES]);
    let Some((node, values)) = nodes.max_by(|a, b| far(&a.1).total_cmp(&far(&b.1))) else { return };
    let each = vector(&values, |value| sheet.fine(value * MM));
    let turn = degrees(length(&values[MOMENTS]).to_degrees());
    sheet.row("moves most", format!("node {}: {each}; turned {turn}", node.name));
}

/// A force that reads as 0 N presses nothing: its sign is rounding.
const HALF_A_NEWTON: f64 = 0.5;

/// What the frame's member bears: along it, across it, bent, twisted, the greater of both ends.
fn member_words(sheet: &Sheet, values: &[f64; 12]) -> String {
    let along = -values[0];
    let word = if along > -HALF_A_NEWTON { "pulled" } else { "pressed" };
    let ends = || values.chunks_exact(6);
    let shear = ends().map(|end| length(&end[1..3])).fold(0.0, f64::max);
    let bend = ends().map(|end| length(&end[4..6])).fold(0.0, f64::max);
    format!(
        "{word} {}, sheared {}, bent {}",
        sheet.force(along.abs()),
        sheet.force(shear),
        sheet.moment(bend)
    )
}

fn vector(values: &[f64; 6], shown: impl Fn(f64) -> String) -> String {
    let axes = ["x", "y", "z"].iter().zip(&values[FORCES]);
    axes.map(|(axis, value)| format!("{axis} {}", shown(*value))).collect::<Vec<_>>().join(", ")
}

fn length(values: &[f64]) -> f64 {
    values.iter().map(|value| value * value).sum::<f64>().sqrt()
}
