//! Assemblies that are put together alike, as the two ends of a seat: the second is told by the first.

use super::needs::base_name;
use super::words::listed;
use super::{AssemblyStep, PartMove};
use slatwork_model::Model;

/// Steps that repeat an earlier one on another assembly say so, and the earlier one says that it is done again.
pub(crate) fn tell_once(model: &Model, steps: &mut [AssemblyStep]) {
    for index in 1..steps.len() {
        let (before, rest) = steps.split_at_mut(index);
        let step = &mut rest[0];
        let Some(first) = before.iter_mut().find(|first| is_repeated(first, step)) else { continue };
        let other_hand = first.parts.iter().zip(&step.parts).any(|(a, b)| is_other_hand(model, a, b));
        let hand = if other_hand { ", in the other hand" } else { "" };
        let instead = |(a, b): (&PartMove, &PartMove)| format!("`{}` for `{}`", b.name, a.name);
        let pairs: Vec<String> = first.parts.iter().zip(&step.parts).map(instead).collect();
        step.text = vec![format!("Do as in step {}{hand}: {}.", first.number, listed(&pairs))];
        first.text.push(format!("Done again{hand} in step {}.", step.number));
    }
}

/// Whether a step does the same to parts of the same names on another assembly.
fn is_repeated(first: &AssemblyStep, step: &AssemblyStep) -> bool {
    let alike = |(a, b): (&PartMove, &PartMove)| {
        a.does == b.does
            && a.part != b.part
            && a.body.is_none()
            && b.body.is_none()
            && plain(&a.name) == plain(&b.name)
    };
    first.on != step.on
        && plain(&first.on) == plain(&step.on)
        && !step.parts.is_empty()
        && first.parts.len() == step.parts.len()
        && first.parts.iter().zip(&step.parts).all(alike)
        && first.fasteners == step.fasteners
}

fn is_other_hand(model: &Model, one: &PartMove, other: &PartMove) -> bool {
    model.part(one.part).set != model.part(other.part).set
}

/// A name without its number and hand.
fn plain(name: &str) -> String {
    let hands = ["left", "right", "(2)"];
    let words = base_name(name).split(' ').filter(|word| !hands.contains(word));
    words.collect::<Vec<_>>().join(" ")
}
