//! Why a frame cannot stand: what moves, which way, and what drives it.

use super::element::motion;
use super::loading::Loading;
use super::model::{FREEDOMS, Frame};
use super::sides::Sides;
use super::structure::{OneSided, Structure};
use slatwork_base::{Diagnostic, Place};
use slatwork_solid::DVec3;

/// A direction is called by its axis when this share of it lies along: about eight degrees.
const ALONG_AN_AXIS: f64 = 0.99;

/// Nodes that move at least this share of the greatest movement are named with it.
const MOVES_WITH_IT: f64 = 0.3;

/// Most names in one list: beyond, nobody reads.
const MOST_NAMES: usize = 5;

/// Movement by turning below this share of all movement is no turning: rounding of free motions.
const HARDLY: f64 = 1e-6;

/// Free motions told apart at most.
const MOST_MOTIONS: usize = 3;

/// How all nodes move and turn.
pub(super) type Motion = [Sides<1>];

fn by_node(free: &Motion) -> (Vec<DVec3>, Vec<DVec3>) {
    let nodes = 0..free.len() / 6;
    nodes.map(|node| motion(free, node)).map(|(moved, turned)| (moved.of(0), turned.of(0))).unzip()
}

/// The whole frame moves without resistance in each of these ways.
pub(super) fn mechanisms(frame: &Frame, motions: &[Vec<Sides<1>>]) -> Vec<Diagnostic> {
    motions.iter().take(MOST_MOTIONS).map(|motion| mechanism(frame, motion)).collect()
}

fn mechanism(frame: &Frame, free: &Motion) -> Diagnostic {
    let (moves, turns) = by_node(free);
    let size = size(frame);
    let (mover, far) = longest(&moves);
    let (turner, turn) = longest(&turns);
    let (node, message) = if far > HARDLY * turn * size {
        let name = &frame.nodes[mover].name;
        let own = format!("nothing keeps node `{name}` from moving along {}", direction(moves[mover]));
        let others =
            (0..moves.len()).filter(|&node| node != mover && moves[node].length() >= MOVES_WITH_IT * far);
        (name, own + &with_it(frame, others))
    } else {
        let name = &frame.nodes[turner].name;
        let own = format!("nothing keeps node `{name}` from turning about {}", direction(turns[turner]));
        let others =
            (0..turns.len()).filter(|&node| node != turner && turns[node].length() >= MOVES_WITH_IT * turn);
        (name, own + &with_it(frame, others))
    };
    Diagnostic::error("frame-is-a-mechanism", message)
        .at(Place::Named(node.clone()))
        .help("hold it, brace it, or let a joint take moment there")
}

fn with_it(frame: &Frame, others: impl Iterator<Item = usize>) -> String {
    let others: Vec<usize> = others.collect();
    match others.len() {
        0 => String::new(),
        1 => format!("; {} moves with it", names(frame, &others)),
        _ => format!("; {} move with it", names(frame, &others)),
    }
}

/// Names in back-ticks.
fn names(frame: &Frame, nodes: &[usize]) -> String {
    let mut shown: Vec<String> =
        nodes.iter().take(MOST_NAMES).map(|&node| format!("`{}`", frame.nodes[node].name)).collect();
    if nodes.len() > MOST_NAMES {
        shown.push(format!("{} more", nodes.len() - MOST_NAMES));
    }
    let last = shown.pop().unwrap_or_default();
    if shown.is_empty() { last } else { format!("{} and {last}", shown.join(", ")) }
}

fn direction(along: DVec3) -> String {
    let unit = along.normalize_or_zero();
    let axis = unit.to_array().iter().position(|part| part.abs() >= ALONG_AN_AXIS);
    axis.map_or_else(
        || format!("({:.2}, {:.2}, {:.2})", unit.x, unit.y, unit.z),
        |axis| ["x", "y", "z"][axis].to_string(),
    )
}

fn longest(vectors: &[DVec3]) -> (usize, f64) {
    let lengths = vectors.iter().map(|own| own.length()).enumerate();
    lengths.fold((0, 0.0), |best, own| if own.1 > best.1 { own } else { best })
}

/// Diagonal of the box round all nodes.
pub(super) fn size(frame: &Frame) -> f64 {
    let low = frame.nodes.iter().fold(DVec3::INFINITY, |low, node| low.min(node.at));
    let high = frame.nodes.iter().fold(DVec3::NEG_INFINITY, |high, node| high.max(node.at));
    (high - low).length()
}

/// What loads do on a motion: with it and against it, each load by its parts.
pub(super) fn work(structure: &Structure, loading: &Loading<1>, free: &Motion) -> (f64, f64) {
    let mut parts = Vec::new();
    let motion = |node: usize| {
        let (moved, turned) = motion(free, node);
        (moved.of(0), turned.of(0))
    };
    for (&[factor], load) in loading.nodal() {
        let (moved, turned) = motion(load.node);
        parts.extend((load.force * factor * moved).to_array());
        parts.extend((load.moment * factor * turned).to_array());
    }
    for (&[factor], load) in loading.members() {
        let element = &structure.elements[load.member];
        let ends = element.brought(&load.ends.map(|own| own * factor));
        let work = element.nodes.iter().zip(ends).map(|(&node, [force, moment])| {
            let (moved, turned) = motion(node);
            force.dot(moved) + moment.dot(turned)
        });
        parts.push(work.sum());
    }
    let sum = |sign: f64| parts.iter().map(|part| (part * sign).max(0.0)).sum::<f64>();
    (sum(1.0), sum(-1.0))
}

/// What only pushes or pulls has let go, and the loads drive the frame away.
pub(super) fn tips(
    frame: &Frame,
    structure: &Structure,
    loading: &Loading<1>,
    active: &[bool],
    free: &Motion,
) -> Diagnostic {
    let (with, against) = work(structure, loading, free);
    let (with, against) = (with.max(against), with.min(against));
    let (moves, turns) = by_node(free);
    let (far, (turner, turn)) = (longest(&moves).1, longest(&turns));
    let pressed = one_sided(frame, structure, active, true);
    let released = one_sided(frame, structure, active, false);
    let turning = turn * size(frame) > 0.5 * far;
    let (how, unit, scale) = if turning {
        (format!("turns over about {}", direction(turns[turner])), "N.m", turn)
    } else {
        (format!("moves off along {}", direction(moves[longest(&moves).0])), "N", far)
    };
    let on = if pressed.is_empty() { String::new() } else { format!(" on {}", pressed.join(", ")) };
    let message = format!(
        "the frame {how}{on}: the loads drive it with {:.1} {unit} and hold it back with {:.1} {unit}, once {} let go",
        with / scale,
        against / scale,
        released.join(", "),
    );
    Diagnostic::error("frame-tips", message)
        .help("widen its stand, bring the load nearer, weigh it down, or tie it")
}

/// One-sided items that hold, or that have let go, in words.
pub(super) fn one_sided(frame: &Frame, structure: &Structure, active: &[bool], which: bool) -> Vec<String> {
    let own = structure.one_sided.iter().zip(active).filter(|(_, active)| **active == which);
    own.map(|(item, _)| match item {
        OneSided::Wire(member) => format!("`{}`", frame.members[*member].name),
        OneSided::Contact(spring, _) => {
            let freedom = structure.springs[*spring].freedom;
            format!("`{}` ({})", frame.nodes[freedom / 6].name, FREEDOMS[freedom % 6])
        }
    })
    .collect()
}

/// A moment acts on a node where every bar is released about it.
pub(super) fn moment_on_a_hinge(frame: &Frame, freedom: usize, moment: f64) -> Diagnostic {
    let (name, about) = (&frame.nodes[freedom / 6].name, ["x", "y", "z"][freedom % 3]);
    let message = format!(
        "{moment:.1} N.m turn node `{name}` about {about}, and no member there takes moment about it"
    );
    Diagnostic::error("frame-is-a-mechanism", message)
        .at(Place::Named(name.clone()))
        .help("put the moment on a node whose members take it, or make a joint there that does")
}
