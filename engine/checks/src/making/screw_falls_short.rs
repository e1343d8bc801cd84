//! # What it checks
//! That a fastener reaches far enough into the part that holds it, a bolt through its nut, and a peg through its tenon.
//! # Why
//! A screw with a few turns in the holding piece carries hardly anything; NDS gives it no value at all.
//! # Method and source
//! Penetration, tip included, at least 6 D for a screw or nail and 4 D of lag thread (NDS-2018 12.1.4.6, 12.1.5.6, 12.1.6.5,
//! as held in the timber reference); a bolt at least as long as its grip, washers and nut; a peg through the wood that lies
//! between two cheeks of the other part (trade practice), read along its axis off the parts before they are bored. How deep a
//! peg stands that lies between no cheeks, no rule says.
//! # Example
//! A #8 x 1 in screw through a 3/4 in slat: 6.4 mm in the bearer, where 6 x 4.17 = 25 mm are needed.
//! # Remedy
//! A longer screw or peg, a sunk head, or a thinner outer piece.

use super::{fastenings, finding, words};
use crate::{Case, Check, Look};
use slatwork_base::{Diagnostic, Severity, both_tapes};
use slatwork_catalog::{FastenerKind, Status};
use slatwork_model::joints::{Drive, Fastening, choose, rules};
use slatwork_model::{Joint, Part, PartId};
use slatwork_solid::{Placed, Shape, Solid, along, build};

pub(super) const CHECK: Check = Check {
    fault: "screw-falls-short",
    about: "a fastener reaches far enough into what holds it",
    rates: false,
    look: Look::Finds(
        look,
        &[
            ("penetration, NDS-2018 12.1.4.6, 12.1.5.6, 12.1.6.5", Status::Read),
            ("a nut as thick as 7/8 of its bolt, ASME B18.2.2", Status::FromMemory),
            ("a peg through its tenon", Status::CommonPractice),
        ],
    ),
};

/// Least thread of a lag screw, in diameters (NDS 12.1.4.6).
const LAG_PENETRATION: f64 = 4.0;

fn look(case: &Case) -> Vec<Diagnostic> {
    fastenings(case)
        .filter_map(|(joint, one)| {
            let (last, have, need) = reach(one).or_else(|| through_tenon(case, joint, one))?;
            (have < need - 0.05).then(|| {
                let part = case.model.part(last);
                let longer = one.length.as_mm() + need - have;
                let reached = if have > 0.0 {
                    format!("reaches {} where", both_tapes(have))
                } else {
                    format!("does not reach `{}`, where", part.name)
                };
                let message =
                    format!("the {} {reached} {} are needed", words(case, joint, one), both_tapes(need));
                let or = match one.drive {
                    Drive::Mallet => "",
                    _ => ", sink its head (`sink`), or drive it from the other part (`from`)",
                };
                let help = match longest(one) {
                    Some(most) if longer > most => format!(
                        "`{}` is too thin for it: drive it from the other part (`from`), take a thinner screw, or bolt them",
                        part.name
                    ),
                    _ => format!("take one of {} or more{or}", both_tapes(longer)),
                };
                finding(Severity::Failure, CHECK.fault, message, joint, part).help(help)
            })
        })
        .collect()
}

/// The longest screw or nail whose tip stays inside the part that holds it, mm.
fn longest(one: &Fastening) -> Option<f64> {
    let inside = matches!(one.drive, Drive::Driver | Drive::Hammer);
    one.layers.last().filter(|_| inside).map(|last| last.to - rules::LEAST_WOOD)
}

/// The part that holds a fastener, and what it has there and needs, mm.
fn reach(one: &Fastening) -> Option<(PartId, f64, f64)> {
    let diameter = one.diameter.as_mm();
    let last = one.layers.last()?;
    match (one.kind, one.drive) {
        (FastenerKind::LagScrew, _) => Some((last.part, one.thread_in(last), LAG_PENETRATION * diameter)),
        (_, Drive::Driver | Drive::Hammer) => {
            Some((last.part, one.penetration(), choose::LEAST_PENETRATION * diameter))
        }
        // A nut is about as thick as its bolt (ASME B18.2.2: 7/8 D).
        (FastenerKind::CarriageBolt | FastenerKind::HexBolt, Drive::Wrench) => {
            let through = one.thread.0 >= last.to - 0.5;
            through.then_some((last.part, one.thread.1, last.to + 0.875 * diameter))
        }
        _ => None,
    }
}

/// Wood is looked for this far along a peg, mm: more than any part is long.
const BEYOND: f64 = 3_000.0;

/// The tenon that a peg is driven through, how much of it the peg passes, and how thick it is there, mm: of the last wood that
/// lies between two of another part.
fn through_tenon(case: &Case, joint: &Joint, peg: &Fastening) -> Option<(PartId, f64, f64)> {
    if peg.drive != Drive::Mallet {
        return None;
    }
    let ahead = |id: &PartId| {
        let part = case.model.part(*id);
        let bare = unbored(part);
        let placed = Placed { solid: bare.as_ref().unwrap_or(&part.solid), pose: part.pose };
        let spans = along(&placed, peg.head, peg.head + peg.direction * BEYOND);
        spans.into_iter().map(|(from, to)| (*id, from, to)).collect::<Vec<_>>()
    };
    let mut wood: Vec<(PartId, f64, f64)> = joint.parts.iter().flat_map(ahead).collect();
    wood.sort_by(|a, b| a.1.total_cmp(&b.1));
    let mut between = wood.windows(3).filter(|own| own[0].0 == own[2].0 && own[1].0 != own[0].0);
    let (part, from, to) = between.next_back()?[1];
    Some((part, (peg.length.as_mm().min(to) - from).max(0.0), to - from))
}

/// A part before it is bored, so that a peg's own hole hides no wood.
fn unbored(part: &Part) -> Option<Solid> {
    let bare = Shape { holes: Vec::new(), ..part.shape.clone() };
    build(&bare, &part.solid.tolerance()).ok()
}
