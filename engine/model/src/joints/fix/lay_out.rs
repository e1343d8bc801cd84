//! Laying out: patterns tried one after the other, a fastener set on each axis of each.

use super::axis::Axis;
use crate::joints::rules::Nearness;
use crate::joints::seam::Seam;
use crate::joints::spread::{Count, Room};
use crate::joints::{Fastening, Shop};
use slatwork_base::{Diagnostic, Length, Severity};
use slatwork_solid::DVec2;

/// How good a layout is, and its fasteners.
type LaidOut = Option<(Nearness, Vec<Fastening>)>;

/// A fastener on an axis, its distances to edges and ends not measured yet.
pub(super) struct Tried {
    pub(super) fastening: Fastening,
    /// Where its tip is, mm from the head.
    pub(super) tip: f64,
}

/// Which length of a fastener is tried.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Reach {
    /// By the rule.
    Usual,
    /// The shortest that holds: where the usual one would run into something.
    Least,
}

/// Lays out a pattern and sets a fastener on each of its axes: the first pattern without fault, else the least bad.
pub(super) fn lay_out(
    seam: &Seam,
    shop: &Shop,
    diameter: f64,
    count: Count,
    set: &mut dyn FnMut(&Shop, Axis, Reach) -> Option<Tried>,
) -> Result<(Nearness, Vec<Fastening>), Diagnostic> {
    let rooms = Room::of(seam, shop.parts, diameter);
    let by_rule = rooms[0].count(seam, count).max(1);
    let wanted = seam.order.count.unwrap_or(by_rule);
    let may_drop = seam.order.count.is_none() && seam.order.at.is_empty();
    let mut best: LaidOut = None;
    let mut tries = 0;
    let mut counted = |shop: &Shop, axis: Axis, reach: Reach| {
        tries += 1;
        if tries > MOST_TRIES { None } else { set(shop, axis, reach) }
    };
    let mut number = wanted;
    while number >= 1 {
        for aim in [Nearness::Fine, Nearness::Close, Nearness::Fails] {
            for room in &rooms {
                // Nearer to edges and ends than advised nothing gets better than close.
                let hopeless = aim == Nearness::Fine && !room.as_advised;
                if !hopeless && best.as_ref().is_none_or(|(worst, _)| *worst > aim) {
                    lay_out_in(seam, shop, room, (number, aim), &mut counted, &mut best);
                }
            }
        }
        let failed = best.as_ref().is_none_or(|(worst, _)| *worst == Nearness::Fails);
        if !(failed && may_drop) {
            break;
        }
        number -= 1;
    }
    best.ok_or_else(|| no_room(seam, wanted))
}

/// Tries the patterns of one room whose axes stand so well to each other, and keeps the best so far.
fn lay_out_in(
    seam: &Seam,
    shop: &Shop,
    room: &Room,
    (number, aim): (usize, Nearness),
    set: &mut dyn FnMut(&Shop, Axis, Reach) -> Option<Tried>,
    best: &mut LaidOut,
) {
    let mut patterns = patterns(seam, shop, room, number);
    // The patterns that stand best have been tried in the rooms that may get fine, not in the others.
    let tried = room.as_advised || aim == Nearness::Fails;
    patterns.retain(|pattern| {
        let apart = room.spacing(pattern);
        apart == aim || (apart < aim && !tried)
    });
    for reach in [Reach::Usual, Reach::Least] {
        let mut set_at = |flat: DVec2| Axis::at(seam, flat).and_then(|axis| set(shop, axis, reach));
        for (rank, pattern) in patterns.iter().enumerate() {
            // Only the best patterns are worth mending; a single one is moved by its own patterns.
            let mends = seam.order.at.is_empty() && number > 1 && rank < MENDED;
            let so_far = best.as_ref().map(|(worst, _)| *worst);
            let mender = mends.then_some(room);
            let Some((found, placed)) =
                set_pattern(seam, shop, (pattern, room.spacing(pattern)), mender, so_far, &mut set_at)
            else {
                continue;
            };
            if so_far.is_none_or(|worst| found < worst) {
                *best = Some((found, placed));
            }
            if found <= aim {
                return;
            }
        }
        if best.as_ref().is_some_and(|(worst, _)| *worst < Nearness::Fails) {
            return;
        }
    }
}

/// Sets a fastener on each axis of a pattern, moved a little in the room where it stands badly; `None` where one finds no wood,
/// or stands no better than what there is already.
fn set_pattern(
    seam: &Seam,
    shop: &Shop,
    (pattern, apart): (&[DVec2], Nearness),
    room: Option<&Room>,
    so_far: Option<Nearness>,
    set_at: &mut dyn FnMut(DVec2) -> Option<Tried>,
) -> LaidOut {
    let mut flats = pattern.to_vec();
    let mut placed = Vec::with_capacity(pattern.len());
    let mut worst = apart;
    for index in 0..pattern.len() {
        let mut tried = set_at(flats[index])?;
        let mut found = shop.judge(&mut tried, so_far);
        if let Some(room) = room.filter(|_| found > Nearness::Fine) {
            (found, tried) = nudge(seam, shop, room, (&mut flats, index), (found, tried), set_at);
        }
        worst = worst.max(found);
        if so_far.is_some_and(|so_far| worst >= so_far) {
            return None;
        }
        placed.push(tried.fastening);
    }
    Some((worst, placed))
}

/// How many fasteners are tried for one joint before the best so far is taken: some hundred times what most joints need.
const MOST_TRIES: usize = 1_000;

/// How many of the patterns, the best first, are mended by moving single fasteners.
const MENDED: usize = 5;

/// Moves one fastener of a pattern a little to where it stands better, and no worse to the others.
fn nudge(
    seam: &Seam,
    shop: &Shop,
    room: &Room,
    (flats, index): (&mut [DVec2], usize),
    (mut worst, mut best): (Nearness, Tried),
    set_at: &mut dyn FnMut(DVec2) -> Option<Tried>,
) -> (Nearness, Tried) {
    let apart = room.spacing(flats);
    let from = flats[index];
    let mut kept = from;
    for place in room.beside(seam, from, shop.middle) {
        flats[index] = place;
        if room.spacing(flats) > apart {
            continue;
        }
        let Some(mut moved) = set_at(place) else { continue };
        let found = shop.judge(&mut moved, Some(worst));
        if found < worst {
            (worst, best, kept) = (found, moved, place);
        }
        if worst == Nearness::Fine {
            break;
        }
    }
    flats[index] = kept;
    (worst, best)
}

fn patterns(seam: &Seam, shop: &Shop, room: &Room, count: usize) -> Vec<Vec<DVec2>> {
    if seam.order.at.is_empty() {
        return room.patterns(seam, count, shop.middle);
    }
    let flat = |(along, across): &(Length, Length)| DVec2::new(along.as_mm(), across.as_mm());
    vec![seam.order.at.iter().map(flat).collect()]
}

fn no_room(seam: &Seam, count: usize) -> Diagnostic {
    let (along, across) = seam.patch.extent;
    Diagnostic::new(
        Severity::Failure,
        "pattern-does-not-fit",
        format!(
            "{} of {count} in `{}` finds no wood in both parts: they meet on {along:.0} x {across:.0} mm",
            seam.words(),
            seam.order.kind
        ),
    )
    .at_origin(seam.origin)
    .help(if seam.order.also.is_empty() {
        "ask for fewer, give places that lie in the patch with `at`, or let the parts meet on a larger face"
    } else {
        "name in `also` only boards that lie on the two where they meet, or ask for fewer"
    })
}
