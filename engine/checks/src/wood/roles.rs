//! Which board is what: told from the seat, the feet and the joints.

use crate::framing::{Analysis, Ground};
use slatwork_model::PartId;

/// What a board does.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Role {
    /// People sit on it.
    Slat,
    /// Slats lie on it.
    Bearer,
    /// It stands on the ground and carries no slats.
    Leg,
    /// People lean on it, or it carries what they lean on.
    Back,
    /// Arms rest on it.
    Arm,
    /// Everything else.
    Rail,
}

/// The role of a part; the first that fits.
pub(super) fn role(analysis: &Analysis, part: PartId) -> Role {
    let Some(seat) = &analysis.model.seat else { return Role::Rail };
    let tied_to = |parts: &[PartId]| {
        let ends = analysis.ties().iter().filter(|tie| tie.parts.contains(&part));
        ends.flat_map(|tie| tie.parts).any(|other| other != part && parts.contains(&other))
    };
    let stands = matches!(&analysis.models[0].framing.ground, Ground::Feet(feet) if feet.iter().any(|foot| foot.part == part));
    if seat.on.contains(&part) {
        Role::Slat
    } else if seat.arms.contains(&part) {
        Role::Arm
    } else if seat.back.contains(&part) {
        Role::Back
    } else if tied_to(&seat.on) {
        Role::Bearer
    } else if stands {
        Role::Leg
    } else if tied_to(&seat.back) {
        Role::Back
    } else {
        Role::Rail
    }
}

/// All parts of a role, in the order of the model.
pub(super) fn parts(analysis: &Analysis, wanted: Role) -> Vec<PartId> {
    let all = analysis.model.parts.iter().map(|part| part.id);
    all.filter(|part| role(analysis, *part) == wanted).collect()
}
