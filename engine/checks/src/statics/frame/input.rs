//! Input that makes no frame, named: every fault of a model is told, not only the first.

use super::element::{Element, axes, span};
use super::model::{Combination, FREEDOMS, Frame, Hold, LoadCase, Member, MemberKind, Spread};
use core::fmt::{self, Display, Formatter};
use slatwork_base::{Diagnostic, Place};
use slatwork_solid::DVec3;

/// Shortest member, metres: a thousandth of a millimetre is no piece of wood, and its stiffness would drown all others.
const SHORTEST: f64 = 1e-6;

/// Greatest modulus, Pa, ten times that of diamond; and greatest area, m2, or moment, m4, where joints count as short stiff bars:
/// beyond, the figure is a slip, and the frame would be blamed for what it drowns (project choice).
const STIFFEST: f64 = 1e13;
const LARGEST: f64 = 1e15;

/// How far a load may stand beyond a member's end, as a share of its length: the rounding of figures read from a file.
const PAST_THE_END: f64 = 1e-9;

/// All faults of a frame but those of its loads; with any, nothing may be solved.
pub(super) fn frame_faults(frame: &Frame) -> Vec<Diagnostic> {
    let mut found = Vec::new();
    if frame.nodes.is_empty() || frame.members.is_empty() {
        let counts = format!("the frame has {} nodes and {} members", frame.nodes.len(), frame.members.len());
        found.push(
            Diagnostic::error("frame-is-empty", counts)
                .help("give at least two nodes and a member between them"),
        );
    }
    for node in frame.nodes.iter().filter(|node| !node.at.is_finite()) {
        found.push(unfit(&format!("node `{}`", node.name), "place", "must be three finite numbers"));
    }
    frame.members.iter().for_each(|member| member_faults(frame, member, &mut found));
    support_faults(frame, &mut found);
    if found.is_empty() {
        lonely_nodes(frame, &mut found);
    }
    found
}

/// The elements of a frame without faults; else the members whose releases leave them loose.
pub(super) fn elements(frame: &Frame) -> Result<Vec<Element>, Vec<Diagnostic>> {
    let (mut elements, mut found) = (Vec::new(), Vec::new());
    for member in &frame.members {
        match Element::new(frame, member) {
            Ok(element) => elements.push(element),
            Err(freedom) => found.push(loose(member, freedom)),
        }
    }
    if found.is_empty() { Ok(elements) } else { Err(found) }
}

pub(super) fn loose(member: &Member, freedom: usize) -> Diagnostic {
    let (name, freedom_name) = (&member.name, FREEDOMS[freedom % 6]);
    let message = format!("the releases of member `{name}` leave it free to move by itself ({freedom_name})");
    Diagnostic::error("member-swings-free", message)
        .at(Place::Named(name.clone()))
        .help(format!("hold {freedom_name} at one of its ends, or make it a truss"))
}

/// What a fault is about, by its name: put into words only where there is a fault.
struct Of<'a>(&'static str, &'a str);

impl Display for Of<'_> {
    fn fmt(&self, out: &mut Formatter) -> fmt::Result {
        let Of(what, name) = self;
        write!(out, "{what} `{name}`")
    }
}

fn unfit(of: &dyn Display, what: &str, why: &str) -> Diagnostic {
    Diagnostic::error("figure-unfit", format!("{what} of {of} {why}"))
}

pub(super) fn unknown(what: &str, index: usize, of: &dyn Display, count: usize) -> Diagnostic {
    Diagnostic::error("name-not-in-frame", format!("{of} names {what} number {index}; there are {count}"))
}

pub(super) fn member_faults(frame: &Frame, member: &Member, found: &mut Vec<Diagnostic>) {
    let of = Of("member", &member.name);
    let before = found.len();
    for end in member.ends.into_iter().filter(|&end| end >= frame.nodes.len()) {
        found.push(unknown("node", end, &of, frame.nodes.len()));
    }
    section_faults(member, &of, found);
    for (name, value) in member.springs.iter().flat_map(|own| FREEDOMS.iter().zip(own)) {
        let Some(value) = *value else { continue };
        if !(value >= 0.0 && value.is_finite()) {
            found.push(unfit(
                &of,
                &format!("end spring {name}"),
                &format!("is {value}; it must be 0 or more"),
            ));
        } else if member.kind != MemberKind::Beam && *name != "ux" {
            let message =
                format!("{of} carries axial force only, yet its end has a spring or release {name}");
            found.push(
                Diagnostic::error("end-spring-idle", message).help("make it a beam, or drop the spring"),
            );
        }
    }
    if !(member.offsets[0].is_finite() && member.offsets[1].is_finite() && member.y_axis.is_finite()) {
        found.push(unfit(&of, "offset or y axis", "must be three finite numbers"));
    }
    if found.len() == before {
        place_faults(frame, member, &of, found);
    }
}

fn section_faults(member: &Member, of: &Of, found: &mut Vec<Diagnostic>) {
    let section = &member.section;
    let mut figures = vec![("E", section.elastic), ("A", section.area)];
    if member.kind == MemberKind::Beam {
        figures.extend([
            ("G", section.shear),
            ("Iy", section.inertia_y),
            ("Iz", section.inertia_z),
            ("J", section.torsion),
        ]);
        figures.extend(section.shear_area_y.map(|area| ("Ay", area)));
        figures.extend(section.shear_area_z.map(|area| ("Az", area)));
    }
    for (name, value) in figures {
        let most = if matches!(name, "E" | "G") { STIFFEST } else { LARGEST };
        if !(value > 0.0 && value.is_finite()) {
            found.push(unfit(of, name, &format!("is {value}; it must be above 0")));
        } else if value > most {
            let why = format!("is {value:e}; it must be at most {most:e}");
            found
                .push(unfit(of, name, &why).help("give it in Pa, m2 or m4: the unit is most likely another"));
        }
    }
}

fn place_faults(frame: &Frame, member: &Member, of: &Of, found: &mut Vec<Diagnostic>) {
    let along = span(frame, member);
    let [start, end] = member.ends.map(|end| &frame.nodes[end].name);
    // Not `<`: figures near the end of their range give a length that is no number.
    if !(along.length() >= SHORTEST && along.length().is_finite()) {
        let message = format!("{of} from `{start}` to `{end}` has no length ({} m)", along.length());
        let help = "give its ends places apart, or leave it out and let its neighbours share one node";
        found.push(Diagnostic::error("member-without-length", message).help(help));
    } else if axes(along, member.y_axis).is_none() {
        let message = format!("the y axis of {of} is zero or lies along it");
        found.push(
            Diagnostic::error("member-axis-unclear", message).help("give the direction of the board's width"),
        );
    }
}

fn support_faults(frame: &Frame, found: &mut Vec<Diagnostic>) {
    let mut seen = vec![false; frame.nodes.len()];
    for support in &frame.supports {
        let Some(seen) = seen.get_mut(support.node) else {
            found.push(unknown("node", support.node, &"a support", frame.nodes.len()));
            continue;
        };
        let of = Of("the support of node", &frame.nodes[support.node].name);
        if std::mem::replace(seen, true) {
            let message = format!("{of} is given twice");
            found.push(
                Diagnostic::error("supported-twice", message)
                    .help("say in one entry all that holds the node"),
            );
        }
        for (name, hold) in FREEDOMS.iter().zip(&support.holds) {
            if let Hold::Spring(value) | Hold::OneSided(value, _) = hold
                && !(*value > 0.0 && value.is_finite())
            {
                found.push(unfit(
                    &of,
                    &format!("stiffness {name}"),
                    &format!("is {value}; it must be above 0"),
                ));
            }
        }
    }
}

/// All faults of load cases on a frame, and of combinations of them; with any, nothing may be solved.
pub(super) fn load_faults(
    frame: &Frame,
    cases: &[LoadCase],
    combinations: &[Combination],
) -> Vec<Diagnostic> {
    let mut found = Vec::new();
    for case in cases {
        let of = Of("load case", &case.name);
        for load in &case.nodal {
            if load.node >= frame.nodes.len() {
                found.push(unknown("node", load.node, &of, frame.nodes.len()));
            } else if !(load.force.is_finite() && load.moment.is_finite()) {
                let of = format!("{of} on node `{}`", frame.nodes[load.node].name);
                found.push(unfit(&of, "a load", "must be finite numbers"));
            }
        }
        for load in &case.members {
            match frame.members.get(load.member) {
                None => found.push(unknown("member", load.member, &of, frame.members.len())),
                Some(member) => spread_faults(frame, member, &load.spread, &of, &mut found),
            }
        }
        for settlement in &case.settlements {
            settlement_faults(frame, settlement.node, settlement.freedom, settlement.moved, &of, &mut found);
        }
    }
    for combination in combinations {
        let of = Of("combination", &combination.name);
        for &(case, factor) in &combination.factors {
            if case >= cases.len() {
                found.push(unknown("load case", case, &of, cases.len()));
            }
            if !factor.is_finite() {
                found.push(unfit(&of, "a factor", "must be a finite number"));
            }
        }
    }
    found
}

fn spread_faults(frame: &Frame, member: &Member, spread: &Spread, case: &Of, found: &mut Vec<Diagnostic>) {
    let of = || format!("{case} on member `{}`", member.name);
    let (from, to, begins, ends) = match *spread {
        Spread::Uniform(load) => (0.0, 0.0, load, load),
        Spread::Point { at, force } => (at, at, force, force),
        Spread::Trapezoid { from, to, begins, ends } => (from, to, begins, ends),
    };
    if ![DVec3::new(from, to, 0.0), begins, ends].iter().all(|own| own.is_finite()) {
        found.push(unfit(&of(), "a load", "must be finite numbers"));
    } else if member.ends.iter().all(|&end| end < frame.nodes.len()) {
        let length = span(frame, member).length();
        let slack = PAST_THE_END * length;
        if from < -slack || to > length + slack || to < from {
            let of = of();
            let message = format!("{of} acts from {from} m to {to} m; the member is {length:.6} m long");
            found.push(
                Diagnostic::error("load-off-the-member", message)
                    .help("measure from the member's start, after its offset"),
            );
        }
    }
}

fn settlement_faults(
    frame: &Frame,
    node: usize,
    freedom: usize,
    moved: f64,
    case: &Of,
    found: &mut Vec<Diagnostic>,
) {
    if node >= frame.nodes.len() || freedom >= FREEDOMS.len() {
        found.push(unknown("node or freedom", node.max(freedom), case, frame.nodes.len()));
        return;
    }
    let (name, freedom_name) = (&frame.nodes[node].name, FREEDOMS[freedom]);
    if !moved.is_finite() {
        found.push(unfit(&format!("{case} at node `{name}`"), "a settlement", "must be a finite number"));
    }
    let holds = frame.supports.iter().find(|own| own.node == node).map(|own| own.holds[freedom]);
    if holds != Some(Hold::Fixed) {
        let message = format!("{case} moves {freedom_name} of node `{name}`, which is not held rigidly");
        found.push(
            Diagnostic::error("settlement-without-support", message)
                .help("fix that freedom, or give a force"),
        );
    }
}

/// Nodes that no member reaches.
fn lonely_nodes(frame: &Frame, found: &mut Vec<Diagnostic>) {
    let mut reached = vec![false; frame.nodes.len()];
    frame.members.iter().flat_map(|own| own.ends).for_each(|end| reached[end] = true);
    for (node, _) in frame.nodes.iter().zip(reached).filter(|(_, reached)| !reached) {
        let message = format!("no member reaches node `{}`", node.name);
        found.push(Diagnostic::error("node-without-member", message).help("join it, or leave it out"));
    }
}

/// Nodes at one place that no member reaches from the other: most often one that should be shared.
pub(super) fn nodes_at_one_place(frame: &Frame) -> Vec<Diagnostic> {
    let mut order: Vec<usize> = (0..frame.nodes.len()).collect();
    order.sort_by(|&a, &b| frame.nodes[a].at.x.total_cmp(&frame.nodes[b].at.x).then(a.cmp(&b)));
    let mut found = Vec::new();
    for (at, &a) in order.iter().enumerate() {
        let place = frame.nodes[a].at;
        let near = order[at + 1..].iter().take_while(|&&b| frame.nodes[b].at.x - place.x < SHORTEST);
        for &b in near.filter(|&&b| frame.nodes[b].at.distance(place) < SHORTEST) {
            let message = format!(
                "nodes `{}` and `{}` lie at one place and are not one",
                frame.nodes[a].name, frame.nodes[b].name
            );
            let help = "if they are joined there, let their members share a node";
            found.push(Diagnostic::warning("nodes-at-one-place", message).help(help));
        }
    }
    found
}
