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

use crate::{Case, Check, Verdict};
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

/// Of verdicts on like things the worst: the highest ratio, what misses before what holds.
fn worst(verdicts: impl IntoIterator<Item = Verdict>) -> Option<Verdict> {
    let rank = |verdict: &Verdict| (u8::from(!verdict.is_fine()), verdict.ratio().unwrap_or(0.0));
    let worse = |one: Verdict, other: Verdict| if rank(&other) > rank(&one) { other } else { one };
    verdicts.into_iter().reduce(worse)
}

/// Slats, back and arms: what people touch.
fn touched<'a>(case: &'a Case) -> impl Iterator<Item = &'a Part> {
    let seat = case.model.seat.iter();
    let all = seat.flat_map(|seat| seat.on.iter().chain(&seat.back).chain(&seat.arms));
    all.map(|id| case.model.part(*id))
}

/// Seat and back as runs of slats, with the word for each.
fn runs<'a>(case: &'a Case) -> impl Iterator<Item = (&'static str, &'a [PartId])> {
    let seat = case.model.seat.iter();
    seat.flat_map(|seat| [("seat", seat.on.as_slice()), ("back", seat.back.as_slice())])
}

fn mm(value: f64) -> String {
    format!("{value:.1} mm")
}
