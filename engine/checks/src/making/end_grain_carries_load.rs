//! # What it checks
//! That no screw or nail in end grain is pulled along its axis by what the part carries.
//! # Why
//! Threads in end grain tear out; NDS allows screws and nails no withdrawal load there at all.
//! # Method and source
//! NDS-2018 12.2.2.3 and 12.2.3.3 (no withdrawal from end grain; lag screws 0.75 of side grain). Loads: what is sat on is
//! pressed down, a back is pressed to the rear, what an eye goes through is pulled up.
//! # Example
//! A rail that hangs by an eye and is screwed upward into the end of a post.
//! # Remedy
//! Bolt it, let it in, or turn the joint so that the screw is loaded across its axis.

use super::{fastenings, finding, words};
use crate::{Case, Check, Look};
use slatwork_base::{Angle, Diagnostic, Severity};
use slatwork_catalog::{FastenerKind, Status};
use slatwork_model::joints::{Drive, Fastening};
use slatwork_model::{Joint, PartId};
use slatwork_solid::DVec3;

pub(super) const CHECK: Check = Check {
    fault: "end-grain-carries-load",
    about: "no screw in end grain is pulled along its axis",
    rates: false,
    look: Look::Finds(
        look,
        &[
            ("withdrawal from end grain, NDS-2018 12.2.2.3, 12.2.3.3", Status::Read),
            ("which way each part is loaded", Status::ProjectChoice),
        ],
    ),
};

/// An axis nearer to the grain than this is in end grain.
const END_GRAIN: Angle = Angle::deg(45.0);

/// A load counts as a pull when so much of it goes along the axis (cosine of 60 degrees).
const PULL: f64 = 0.5;

fn look(case: &Case) -> Vec<Diagnostic> {
    fastenings(case)
        .filter_map(|(joint, one)| {
            let last = one.layers.last()?;
            let held =
                matches!(one.drive, Drive::Driver | Drive::Hammer) || one.kind == FastenerKind::LagScrew;
            if !held || last.grain > END_GRAIN || !is_pulled(case, joint, one) {
                return None;
            }
            let part = case.model.part(last.part);
            let message = format!(
                "the {} sits in the end grain of `{}` and is pulled along its axis",
                words(case, joint, one),
                part.name
            );
            Some(
                finding(Severity::Failure, CHECK.fault, message, joint, part).help(
                    "bolt it, let it in, or turn the joint so that the screw is loaded across its axis",
                ),
            )
        })
        .collect()
}

/// Whether the load on either part pulls the fastened one off the one that holds.
fn is_pulled(case: &Case, joint: &Joint, one: &Fastening) -> bool {
    let [first, .., second] = joint.parts[..] else { return false };
    // The first part is pulled off against the screw's direction, the second along it.
    loads(case, first).any(|load| -load.dot(one.direction) > PULL)
        || loads(case, second).any(|load| load.dot(one.direction) > PULL)
}

/// Directions in which a part is loaded.
fn loads(case: &Case, part: PartId) -> impl Iterator<Item = DVec3> {
    let seat = case.model.seat.as_ref();
    let among =
        |list: fn(&slatwork_model::Seat) -> &Vec<PartId>| seat.is_some_and(|seat| list(seat).contains(&part));
    let hung = case
        .model
        .hanging
        .as_ref()
        .is_some_and(|hanging| hanging.suspensions.iter().any(|suspension| suspension.part == part));
    let carried = [
        (among(|seat| &seat.on), DVec3::NEG_Z),
        (among(|seat| &seat.back), DVec3::Y),
        (among(|seat| &seat.arms), DVec3::NEG_Z),
        (hung, DVec3::Z),
    ];
    carried.into_iter().filter_map(|(is, load)| is.then_some(load))
}
