//! A board pressed across its grain by another that is screwed to it.

use super::{ACROSS, Hand, INCH, POUND, WET_ACROSS, situations};
use slatwork::checks::Verdict;
use slatwork::checks::framing::{Analysis, Tie, TieForces};

/// What presses on the contact, N: what lies on it, and what its screws pull against about the edge that stays closed.
fn press(tie: &Tie, forces: &TieForces) -> f64 {
    let lies = (-forces[0]).max(0.0);
    let pried = |axis: usize, moment: f64| {
        let about = |edge: f64| {
            let levers: Vec<f64> = tie.places.iter().map(|place| (place[axis] - edge).abs()).collect();
            let square: f64 = levers.iter().map(|lever| lever * lever).sum();
            (moment.abs() - lies * edge.abs()).max(0.0) * levers.iter().sum::<f64>() / square
        };
        about(tie.extent[axis][0]).max(about(tie.extent[axis][1]))
    };
    lies + pried(0, forces[5]) + pried(1, forces[4])
}

/// The first part of a verdict under the second.
pub(super) fn of(analysis: &Analysis, verdict: &Verdict) -> Hand {
    let [part, other] = [0, 1].map(|at| analysis.model.part(verdict.parts[at]));
    let between = |tie: &Tie| verdict.parts.iter().all(|part| tie.parts.contains(part));
    let mut worst: Option<Hand> = None;
    for model in &analysis.models {
        for (index, tie) in model.framing.ties.iter().enumerate().filter(|(_, tie)| between(tie)) {
            for situation in situations(analysis, verdict) {
                let forces = model.tie_forces(index, situation).expect("it stands");
                let hand =
                    pressed(analysis, tie, &forces, [part.name.as_str(), other.name.as_str()], part.id);
                if worst.as_ref().is_none_or(|worst| hand.ratio > worst.ratio) {
                    worst = Some(hand);
                }
            }
        }
    }
    worst.expect("a contact")
}

fn pressed(
    analysis: &Analysis,
    tie: &Tie,
    forces: &TieForces,
    names: [&str; 2],
    id: slatwork::model::PartId,
) -> Hand {
    let part = analysis.model.part(id);
    let grain = part.pose.matrix3.x_axis;
    assert!(tie.axes[0].dot(grain).abs() < 0.05, "pressed square to its grain");
    let press = press(tie, forces);
    let sides = [(0, forces[5]), (1, forces[4])].map(|(axis, moment)| {
        let [low, high] = tie.extent[axis];
        let near = low.abs().min(high.abs());
        ((2.0 * (near - moment.abs() / press)).max((high - low) / 3.0), high - low)
    });
    let patch = analysis.model.joints[tie.joint].patch.as_ref().expect("they meet");
    let fill = (patch.area / (patch.extent.0 * patch.extent.1)).min(1.0);
    let area = sides[0].0 * sides[1].0 * fill / INCH / INCH;
    let long = (0..2).map(|axis| tie.axes[axis + 1].dot(grain).abs() * sides[axis].1).sum::<f64>();
    let along: Vec<f64> = (0..4)
        .map(|corner| {
            let (u, v) = (tie.extent[0][corner % 2], tie.extent[1][corner / 2]);
            part.pose.inverse().transform_point3(tie.at + tie.axes[1] * u + tie.axes[2] * v).x
        })
        .collect();
    let (low, high) = along.iter().fold((f64::MAX, f64::MIN), |(low, high), x| (low.min(*x), high.max(*x)));
    let bounds = part.solid.bounds();
    let from_end = (low - bounds.min.x).min(bounds.max.x - high);
    let inches = long / INCH;
    let factor = if from_end < 3.0 * INCH || inches >= 6.0 { 1.0 } else { (inches + 0.375) / inches };
    let species = part.species.replace('_', " ");
    let known = ACROSS.iter().find(|own| own.0 == species).map(|own| own.1 * WET_ACROSS);
    // What no table lists is reckoned from clear wood by the program.
    let reckoned = || analysis.models[0].framing.timbers.of(id).edge.across.value() / 0.006_894_757;
    let across = known.unwrap_or_else(reckoned);
    let stress = press / POUND / area;
    Hand {
        kind: "A board pressed across its grain",
        ratio: stress / (across * factor),
        place: format!("`{}` under `{}`", names[0], names[1]),
        lines: vec![
            format!(
                "pressed by {press:.0} N = {:.0} lb: what lies on the joint by the frame, and what its screws pull against as it is pried",
                press / POUND
            ),
            format!(
                "of the contact of {:.2} by {:.2} in bear {:.2} by {:.2} in: the sides less twice the eccentricity, at least a third (project choice)",
                sides[0].1 / INCH,
                sides[1].1 / INCH,
                sides[0].0 / INCH,
                sides[1].0 / INCH
            ),
            format!("fc = {stress:.0} psi"),
            format!(
                "Fc' Cb = {across:.0} x {factor:.3} = {:.0} psi: {species} No.2, wet; {inches:.2} in along the grain (NDS Supplement Tables 4A and 4B, NDS 3.10.4)",
                across * factor
            ),
        ],
    }
}
