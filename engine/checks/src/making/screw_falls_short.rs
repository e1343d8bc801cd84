//! # What it checks
//! That a fastener reaches far enough into the part that holds it, and a bolt through its nut.
//! # Why
//! A screw with a few turns in the holding piece carries hardly anything; NDS gives it no value at all.
//! # Method and source
//! Penetration, tip included, at least 6 D for a screw or nail and 4 D of lag thread (NDS-2018 12.1.4.6, 12.1.5.6, 12.1.6.5,
//! as held in the timber reference); a bolt at least as long as its grip, washers and nut.
//! # Example
//! A #8 x 1 in screw through a 3/4 in slat: 6.4 mm in the bearer, where 6 x 4.17 = 25 mm are needed.
//! # Remedy
//! A longer screw, a sunk head, or a thinner outer piece.

use super::{fastenings, finding, mm, words};
use crate::{Case, Check, Look};
use slatwork_base::{Diagnostic, Severity};
use slatwork_catalog::{FastenerKind, Status};
use slatwork_model::joints::{Drive, Fastening, choose};

pub(super) const CHECK: Check = Check {
    fault: "screw-falls-short",
    about: "a fastener reaches far enough into what holds it",
    rates: false,
    look: Look::Finds(
        look,
        &[
            ("penetration, NDS-2018 12.1.4.6, 12.1.5.6, 12.1.6.5", Status::Read),
            ("a nut as thick as 7/8 of its bolt, ASME B18.2.2", Status::FromMemory),
        ],
    ),
};

/// Least thread of a lag screw, in diameters (NDS 12.1.4.6).
const LAG_PENETRATION: f64 = 4.0;

fn look(case: &Case) -> Vec<Diagnostic> {
    fastenings(case)
        .filter_map(|(joint, one)| {
            let (have, need) = reach(one)?;
            (have < need - 0.05).then(|| {
                let last = one.layers.last().map_or(joint.parts[0], |layer| layer.part);
                let part = case.model.part(last);
                let longer = one.length.as_mm() + need - have;
                let message = format!(
                    "the {} reaches {} where {} are needed",
                    words(case, joint, one),
                    mm(have),
                    mm(need)
                );
                finding(Severity::Failure, CHECK.fault, message, joint, part).help(format!(
                    "take one of {} or more, sink its head (`sink`), or drive it from the other part (`from`)",
                    mm(longer)
                ))
            })
        })
        .collect()
}

/// What a fastener has and needs, mm.
fn reach(one: &Fastening) -> Option<(f64, f64)> {
    let diameter = one.diameter.as_mm();
    match (one.kind, one.drive) {
        (FastenerKind::LagScrew, _) => {
            let last = one.layers.last()?;
            Some((one.thread_in(last), LAG_PENETRATION * diameter))
        }
        (_, Drive::Driver | Drive::Hammer) => Some((one.penetration(), choose::LEAST_PENETRATION * diameter)),
        // A nut is about as thick as its bolt (ASME B18.2.2: 7/8 D).
        (FastenerKind::CarriageBolt | FastenerKind::HexBolt, Drive::Wrench) => {
            let grip = one.layers.last()?.to;
            let through = one.thread.0 >= grip - 0.5;
            through.then_some((one.thread.1, grip + 0.875 * diameter))
        }
        _ => None,
    }
}
