//! Whether the piece fits wet and dry, lasts outdoors, and neither traps nor hurts anybody.
//!
//! `movement.rs` tells how a board swells and shrinks between the bench and the moistures of the place.

mod cross_grain;
mod end_grain_on_ground;
mod finger_trap;
mod gap_closes;
mod glue_too_weak;
mod hardware_coat;
mod head_trap;
mod metal_unfit;
mod metals_mixed;
mod movement;
mod preservative_unfit;
mod rot;
mod run_swells;
mod sharp_edge;
mod water_stands;

use crate::verdict::worst;
use crate::{Case, Check, Verdict};
use slatwork_base::Severity;
use slatwork_catalog::Status;
use slatwork_model::{Part, PartId};

pub(crate) const ALL: [&Check; 14] = [
    &run_swells::CHECK,
    &gap_closes::CHECK,
    &cross_grain::CHECK,
    &water_stands::CHECK,
    &end_grain_on_ground::CHECK,
    &rot::CHECK,
    &metal_unfit::CHECK,
    &metals_mixed::CHECK,
    &hardware_coat::CHECK,
    &glue_too_weak::CHECK,
    &preservative_unfit::CHECK,
    &finger_trap::CHECK,
    &head_trap::CHECK,
    &sharp_edge::CHECK,
];

/// Slats, back and arms: what people touch.
fn touched<'a>(case: &'a Case) -> impl Iterator<Item = &'a Part> {
    let seat = case.model.seat.iter();
    let all = seat.flat_map(|seat| seat.on.iter().chain(&seat.back).chain(&seat.arms));
    all.map(|id| case.model.part(*id))
}

/// What traps children is not looked for where only adults use the piece.
fn only_adults(fault: &'static str) -> Vec<Verdict> {
    let verdict = Verdict::yes_or_no(fault, true, Severity::Warning).told("only adults use it, as stated");
    vec![verdict.after("who uses it, of the site", Status::Stated)]
}

/// Seat and back as runs of slats, with the word for each.
fn runs<'a>(case: &'a Case) -> impl Iterator<Item = (&'static str, &'a [PartId])> {
    let seat = case.model.seat.iter();
    seat.flat_map(|seat| [("seat", seat.on.as_slice()), ("back", seat.back.as_slice())])
}
