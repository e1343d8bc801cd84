//! Laying out: patterns tried one after the other, a fastener set on each axis of each.

use super::axis::Axis;
use crate::joints::image::Likely;
use crate::joints::rules::Nearness;
use crate::joints::seam::Seam;
use crate::joints::spread::{Count, Room, Rooms};
use crate::joints::{Fastening, Shop};
use slatwork_base::{Diagnostic, Length, Severity, both_tapes};
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

/// Sets a fastener on an axis, if it finds wood there.
type SetOn<'s> = dyn Fn(&Shop, Axis, Reach) -> Option<Tried> + 's;

/// Lays out a pattern and sets a fastener on each of its axes: the first pattern without fault, else the least bad.
pub(super) fn lay_out(
    seam: &Seam,
    shop: &Shop,
    diameter: f64,
    count: Count,
    set: &SetOn,
) -> Result<(Nearness, Vec<Fastening>), Diagnostic> {
    let mut rooms = Rooms::of(seam, shop.parts, diameter);
    let wanted = seam
        .order
        .count
        .unwrap_or_else(|| rooms.get(0).map_or(1, |largest| largest.count(seam, count)).max(1));
    let may_drop = seam.order.count.is_none() && seam.order.at.is_empty();
    // One screw that does not split a narrow slat is better than two that may. Other joints need their number.
    let worth_dropping = if count == Count::PairOrOne { Nearness::Close } else { Nearness::Fails };
    let mut search = Search { seam, shop, set, tries: 0, suspect: 0, best: None };
    if let Some(found) = rooms.get(0).and_then(|room| search.as_on_the_other_side(room, diameter)) {
        return Ok(found);
    }
    for number in (1..=wanted).rev() {
        search.with_number(&mut rooms, number);
        let drops = search.least_bad().is_none_or(|worst| worst >= worth_dropping);
        if !(drops && may_drop) {
            break;
        }
    }
    search.best.ok_or_else(|| no_room(seam, wanted))
}

/// How many fasteners are tried for one joint before the best so far is taken: some hundred times what most joints need.
const MOST_TRIES: usize = 1_000;

/// Diameters that differ by less are one, mm.
const SAME_DIAMETER: f64 = 1e-3;

/// How many of the patterns, the best first, are mended by moving single fasteners.
const MENDED: usize = 5;

/// The search for a layout.
struct Search<'s> {
    seam: &'s Seam<'s>,
    shop: &'s Shop<'s>,
    set: &'s SetOn<'s>,
    /// Fasteners tried so far.
    tries: usize,
    /// Where the last one that stood badly had too little wood: where the next one will most likely have too little as well.
    suspect: usize,
    /// The best so far.
    best: LaidOut,
}

impl Search<'_> {
    /// How bad the best layout so far is.
    fn least_bad(&self) -> Option<Nearness> {
        self.best.as_ref().map(|(worst, _)| *worst)
    }

    /// The layout of the same joint on the other side of the piece, mirrored, where it stands as well here.
    fn as_on_the_other_side(&mut self, room: &Room, diameter: f64) -> LaidOut {
        let alike = |likely: &&Likely| (likely.diameter - diameter).abs() < SAME_DIAMETER;
        let likely = self.shop.likely.as_ref().filter(alike).filter(|_| self.seam.order.at.is_empty())?;
        let flats: Vec<DVec2> =
            likely.axes.iter().map(|(point, direction)| self.seam.flat(*point, *direction)).collect();
        let apart = room.spacing(&flats);
        [Reach::Usual, Reach::Least].into_iter().find_map(|reach| {
            self.set_pattern(flats.clone(), apart, None, reach).filter(|(worst, _)| *worst <= likely.worst)
        })
    }

    /// Whether there is a layout that is as good as aimed at.
    fn has(&self, aim: Nearness) -> bool {
        self.least_bad().is_some_and(|worst| worst <= aim)
    }

    /// Tries patterns of so many axes, first for the best that can be had.
    fn with_number(&mut self, rooms: &mut Rooms, number: usize) {
        for aim in [Nearness::Fine, Nearness::Close, Nearness::Fails] {
            let mut at = 0;
            while let Some(room) = rooms.get(at) {
                // Nearer to edges and ends than advised, as all rooms from there on are, nothing gets better than close.
                let hopeless = aim == Nearness::Fine && !room.as_advised;
                if hopeless || self.has(aim) {
                    break;
                }
                self.in_room(room, number, aim);
                at += 1;
            }
        }
    }

    /// Tries the patterns of one room whose axes stand so well to each other, and keeps the best so far.
    fn in_room(&mut self, room: &Room, number: usize, aim: Nearness) {
        // The patterns that stand best have been tried in the rooms that may get fine, not in the others.
        let tried = room.as_advised || aim == Nearness::Fails;
        let fits = |apart: Nearness| apart == aim || (apart < aim && !tried);
        for reach in [Reach::Usual, Reach::Least] {
            let patterns = self.patterns(room, number).map(|pattern| (room.spacing(&pattern), pattern));
            for (rank, (apart, pattern)) in patterns.filter(|(apart, _)| fits(*apart)).enumerate() {
                // Only the best patterns are worth mending; a single one is moved by its own patterns.
                let mends = self.seam.order.at.is_empty() && number > 1 && rank < MENDED;
                let mender = mends.then_some(room);
                if let Some(found) = self.set_pattern(pattern, apart, mender, reach) {
                    self.best = Some(found);
                }
                if self.has(aim) {
                    return;
                }
            }
            if self.least_bad().is_some_and(|worst| worst < Nearness::Fails) {
                return;
            }
        }
    }

    fn patterns<'r>(&self, room: &'r Room, count: usize) -> Box<dyn Iterator<Item = Vec<DVec2>> + 'r> {
        if self.seam.order.at.is_empty() {
            return room.patterns(self.seam, count, self.shop.middle);
        }
        let flat = |(along, across): &(Length, Length)| DVec2::new(along.as_mm(), across.as_mm());
        Box::new(std::iter::once(self.seam.order.at.iter().map(flat).collect()))
    }

    /// Sets a fastener on each axis of a pattern, moved a little in the room where it stands badly; `None` where one finds no
    /// wood, or stands no better than what there is already.
    fn set_pattern(
        &mut self,
        mut flats: Vec<DVec2>,
        apart: Nearness,
        mender: Option<&Room>,
        reach: Reach,
    ) -> LaidOut {
        let so_far = self.least_bad();
        let mut placed = Vec::with_capacity(flats.len());
        let mut worst = apart;
        for index in 0..flats.len() {
            let tried = self.set_at(flats[index], reach)?;
            let (mut found, mut fastening) = self.judge(tried, so_far);
            if let Some(room) = mender.filter(|_| found > Nearness::Fine) {
                (found, fastening) = self.nudge(room, (&mut flats, index), (found, fastening), reach);
            }
            worst = worst.max(found);
            if so_far.is_some_and(|so_far| worst >= so_far) {
                return None;
            }
            placed.push(fastening);
        }
        Some((worst, placed))
    }

    /// Sets a fastener at a place of the patch.
    fn set_at(&mut self, flat: DVec2, reach: Reach) -> Option<Tried> {
        let axis = Axis::at(self.seam, flat)?;
        self.tries += 1;
        if self.tries > MOST_TRIES { None } else { (self.set)(self.shop, axis, reach) }
    }

    /// How badly a fastener stands; its distances are only known when it is better than `useless`.
    fn judge(&mut self, mut tried: Tried, useless: Option<Nearness>) -> (Nearness, Fastening) {
        let found = self.shop.judge(&mut tried, useless, &mut self.suspect);
        (found, tried.fastening)
    }

    /// Moves one fastener of a pattern a little to where it stands better, and no worse to the others.
    fn nudge(
        &mut self,
        room: &Room,
        (flats, index): (&mut [DVec2], usize),
        (mut worst, mut best): (Nearness, Fastening),
        reach: Reach,
    ) -> (Nearness, Fastening) {
        let apart = room.spacing(flats);
        let from = flats[index];
        let mut kept = from;
        for place in room.beside(self.seam, from, self.shop.middle) {
            flats[index] = place;
            if room.spacing(flats) > apart {
                continue;
            }
            let Some(moved) = self.set_at(place, reach) else { continue };
            let (found, moved) = self.judge(moved, Some(worst));
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
}

fn no_room(seam: &Seam, count: usize) -> Diagnostic {
    let (along, across) = seam.patch.extent;
    Diagnostic::new(
        Severity::Failure,
        "pattern-does-not-fit",
        format!(
            "{}: {count} of a joint `{}` find no wood in both parts, which meet on {} x {}",
            seam.words(),
            seam.order.kind,
            both_tapes(along),
            both_tapes(across)
        ),
    )
    .at_origin(seam.origin)
    .help(if seam.order.also.is_empty() {
        "ask for fewer, give places that lie in the patch with `at`, or let the parts meet on a larger face"
    } else {
        "name in `also` only boards that lie on the two where they meet, or ask for fewer"
    })
}
