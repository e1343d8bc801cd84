//! Assemblies that are put together alike, as the two ends of a seat: the second is told by the first.

use super::needs::base_name;
use super::words::listed;
use super::{AssemblyStep, PartMove};
use slatwork_model::{Model, PartId};
use slatwork_solid::DVec3;

/// Places that differ by less are alike, mm.
const ALIKE: f64 = 0.5;

/// Steps that repeat an earlier one on another assembly say so, and the earlier one says that it is done again.
pub(crate) fn tell_once(model: &Model, steps: &mut [AssemblyStep]) {
    for index in 1..steps.len() {
        let (before, step) = (&steps[..index], &steps[index]);
        let mut alike = (0..index).filter(|first| is_repeated(&before[*first], step));
        let repeated = alike.find_map(|first| Some((first, Stands::alike(model, &steps[..=index], first)?)));
        let Some((first, stands)) = repeated else { continue };
        let hand = if stands.in_other_hand { ", in the other hand," } else { "" };
        let instead = |(one, other): (PartId, PartId)| {
            format!("`{}` for `{}`", model.part(other).name, model.part(one).name)
        };
        let pairs: Vec<String> = stands.told.into_iter().map(instead).collect();
        let numbers = (steps[first].number, steps[index].number);
        steps[index].text =
            vec![format!("Do as in step {}{}: {}.", numbers.0, hand.trim_end_matches(','), listed(&pairs))];
        steps[first].text.push(format!("Done again{hand} in step {}.", numbers.1));
    }
}

/// How a repeated step stands to its first.
struct Stands {
    in_other_hand: bool,
    /// Parts that come in and those of their assembly that they are joined to, each with the one that takes its place.
    told: Vec<(PartId, PartId)>,
}

impl Stands {
    /// The last of some steps beside an earlier one; nothing where its parts lie neither as those of the first nor mirrored from
    /// left to right, in which case it is told in full.
    fn alike(model: &Model, steps: &[AssemblyStep], first: usize) -> Option<Stands> {
        let step = steps.last()?;
        let so_far = |upto: usize| -> Vec<PartId> {
            let own = steps[..=upto].iter().filter(|one| one.on == steps[upto].on);
            let mut parts = Vec::new();
            for part in own.flat_map(|one| &one.parts).map(|own| own.part) {
                if !parts.contains(&part) {
                    parts.push(part);
                }
            }
            parts
        };
        let (one, other) = (so_far(first), so_far(steps.len() - 1));
        if one.len() != other.len() {
            return None;
        }
        let pairs: Vec<(PartId, PartId)> = one.into_iter().zip(other).collect();
        let centre = |part: PartId| {
            let part = model.part(part);
            part.pose.transform_point3(part.solid.centroid())
        };
        let (from, from_other) = pairs.first().map(|(one, other)| (centre(*one), centre(*other)))?;
        let lies = |mirrored: DVec3| {
            pairs.iter().all(|(one, other)| {
                ((centre(*one) - from) * mirrored).distance(centre(*other) - from_other) < ALIKE
            })
        };
        let other_kind = pairs.iter().any(|(one, other)| model.part(*one).set != model.part(*other).set);
        let (same, mirrored) = (lies(DVec3::ONE), lies(DVec3::new(-1.0, 1.0, 1.0)));
        if !same && !mirrored {
            return None;
        }
        let comes = |part: &PartId| step.parts.iter().any(|own| own.part == *part);
        let joined = |part: &PartId| {
            let own = model.joints.iter().filter(|joint| joint.parts.contains(part));
            own.flat_map(|joint| &joint.parts).any(&comes)
        };
        let told = pairs.into_iter().filter(|(_, other)| comes(other) || joined(other)).collect();
        Some(Stands { in_other_hand: !same || other_kind, told })
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

/// A name without its number and hand.
fn plain(name: &str) -> String {
    let hands = ["left", "right", "(2)"];
    let words = base_name(name).split(' ').filter(|word| !hands.contains(word));
    words.collect::<Vec<_>>().join(" ")
}
