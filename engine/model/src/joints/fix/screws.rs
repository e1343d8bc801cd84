//! Screws and nails: from the first part into the second.

use super::axis::Axis;
use super::bore::{THROUGH, bore, pilot, socket_bore};
use super::lay_out::{Reach, Tried, lay_out};
use super::layer::both;
use crate::When;
use crate::joints::choose::{self, ScrewLength};
use crate::joints::rules::LEAST_WOOD;
use crate::joints::seam::Seam;
use crate::joints::spread::Count;
use crate::joints::{Bore, Drive, Extra, Fastening, Fixed, HeadSeat, Metal, Shop};
use core::f64::consts::FRAC_1_SQRT_2;
use slatwork_base::{Diagnostic, Length};
use slatwork_catalog::{Catalogue, DrillSizes, Fastener, FastenerKind};
use slatwork_solid::{DVec2, DVec3, HoleStep};

/// Sets screws or nails from the first part into the second.
pub(crate) fn screws(
    seam: &Seam,
    shop: &mut Shop,
    kind: FastenerKind,
    count: Count,
) -> Result<Fixed, Diagnostic> {
    let middle = Axis::at(seam, DVec2::ZERO);
    let outer = middle.map_or(seam.first.thickness.as_mm(), |axis| axis.thickness());
    let holding = middle.map_or(f64::INFINITY, |axis| axis.holding());
    let candidates = match kind {
        FastenerKind::Nail => vec![nail(shop, seam, (outer, holding))?],
        _ => choose::screws(shop.catalogue, seam, kind, (outer, holding))?,
    };
    let fastener = choose::allowed(&candidates, shop.thickest)?;
    let metal = choose::metal(shop.catalogue, &[seam.first, seam.second], fastener.kind);
    let drills = choose::drills(shop.catalogue, fastener);
    let may_thin = choose::thinner(&candidates, fastener);
    let count = if may_thin { count } else { count.least(seam.first) };
    let set = |_: &Shop, axis: Axis, reach: Reach| screw_at(seam, (fastener, drills, reach), metal, axis);
    let (worst, mut placed) = lay_out(seam, shop, fastener.diameter.as_mm(), count, &set)?;
    for screw in &mut placed {
        screw.bores = screw_bores(seam, shop, (fastener, drills), screw);
    }
    shop.take(&placed);
    let mut extras: Vec<Extra> = plugs(shop.catalogue, &placed).into_iter().collect();
    if fastener.kind == FastenerKind::LagScrew {
        let washer = shop.washer(fastener);
        extras.extend(washer.map(|washer| Extra {
            item: washer.id.clone(),
            count: placed.len(),
            length: None,
            metal,
        }));
    }
    Ok(Fixed { fastenings: placed, glue: false, extras, worst, may_thin })
}

/// The plugs that close the counterbores of one joint, which are all alike.
fn plugs(catalogue: &Catalogue, placed: &[Fastening]) -> Option<Extra> {
    let plugged = |fastening: &Fastening| match fastening.seat {
        HeadSeat::Counterbored { diameter, plugged: true, .. } => Some(diameter),
        _ => None,
    };
    let bored = placed.iter().find_map(plugged)?;
    let count = placed.iter().filter_map(plugged).count();
    let plug = catalogue.fasteners().find(|own| own.kind == FastenerKind::Plug && own.diameter >= bored)?;
    Some(Extra { item: plug.id.clone(), count, length: None, metal: Metal::Wood })
}

/// The nail for a seam: what the script names, else the shortest two and a half times as long as the outer piece is thick (common
/// practice, no source), or the longest that stays inside the piece that holds it.
fn nail<'c>(shop: &Shop<'c>, seam: &Seam, (outer, holding): (f64, f64)) -> Result<&'c Fastener, Diagnostic> {
    if let Some(id) = &seam.order.fastener {
        return choose::named(shop.catalogue, seam, id, &[FastenerKind::Nail, FastenerKind::FinishNail]);
    }
    let nails = || shop.catalogue.fasteners().filter(|fastener| fastener.kind == FastenerKind::Nail);
    let long = |nail: &Fastener| nail.lengths.last().map_or(0.0, |length| length.as_mm());
    let stays = |nail: &&Fastener| long(nail) <= outer + holding - LEAST_WOOD;
    let longest = |a: &&Fastener, b: &&Fastener| long(a).total_cmp(&long(b));
    let by_rule = nails().filter(|nail| long(nail) >= 2.5 * outer).min_by(longest).filter(stays);
    by_rule.or_else(|| nails().filter(stays).max_by(longest)).or_else(|| nails().min_by(longest)).ok_or_else(
        || Diagnostic::error("unknown-fastener", "the catalogue has no nails").at_origin(seam.origin),
    )
}

/// A screw or nail on an axis, its holes not bored yet.
fn screw_at(
    seam: &Seam,
    (fastener, drills, reach): (&Fastener, Option<&DrillSizes>, Reach),
    metal: Metal,
    axis: Axis,
) -> Option<Tried> {
    let ScrewLength { length, sunk } = length_on(seam, fastener, reach, &axis)?;
    let head = axis.world(axis.outer + sunk);
    let direction = axis.direction;
    let tip = length.as_mm();
    let seam_at = -axis.outer - sunk;
    let entry = seam_at + axis.inner.0;
    let layers = both(seam, direction, seam_at, (entry, entry + axis.holding()));
    let head_diameter = fastener.head_diameter().unwrap_or(fastener.diameter);
    let fastening = Fastening {
        item: fastener.id.clone(),
        kind: fastener.kind,
        diameter: fastener.diameter,
        length,
        head_diameter,
        metal,
        head,
        direction,
        tip: head + direction * tip,
        layers,
        thread: thread(fastener, tip),
        seat: head_seat(seam, (fastener, drills), head_diameter, (sunk, direction)),
        drive: match fastener.kind {
            FastenerKind::Nail | FastenerKind::FinishNail => Drive::Hammer,
            FastenerKind::LagScrew => Drive::Wrench,
            _ => Drive::Driver,
        },
        bores: Vec::new(),
    };
    Some(Tried { fastening, tip })
}

/// The length that the script names, else the one for the wood on the axis.
fn length_on(seam: &Seam, fastener: &Fastener, reach: Reach, axis: &Axis) -> Option<ScrewLength> {
    let order = seam.order;
    let sink = if order.plug { PLUG_DEPTH } else { order.sink.map_or(0.0, Length::as_mm) };
    match order.length {
        Some(length) => Some(ScrewLength { length, sunk: sink }),
        None => {
            let least = reach == Reach::Least;
            // An open pocket that faces up holds water: rather a little less thread, else sunk deep enough for a plug.
            let up = order.sink.is_none() && faces_up(axis.direction);
            let sunk_from =
                |sink| choose::screw_length(fastener, axis.thickness(), axis.holding(), sink, (least, up));
            let found = sunk_from(sink)?;
            let holds_water = up && found.sunk > 0.0;
            let leaves_enough = |own: &ScrewLength| axis.thickness() - own.sunk >= choose::UNDER_HEAD;
            let plugged = if holds_water { sunk_from(PLUG_DEPTH).filter(leaves_enough) } else { None };
            Some(plugged.unwrap_or(found))
        }
    }
}

/// Whether a head that is driven this way looks up: half of it or more.
fn faces_up(direction: DVec3) -> bool {
    direction.z < -FRAC_1_SQRT_2
}

/// How the head of a screw or nail sits that is sunk so deep, mm.
fn head_seat(
    seam: &Seam,
    (fastener, drills): (&Fastener, Option<&DrillSizes>),
    head_diameter: Length,
    (sunk, direction): (f64, DVec3),
) -> HeadSeat {
    let hex = fastener.kind == FastenerKind::LagScrew;
    if sunk > 0.0 {
        let table = drills.and_then(|drills| drills.counterbore);
        let diameter = table.filter(|_| !hex).unwrap_or_else(|| socket_bore(head_diameter));
        // Heads that a script sinks without asking for plugs stay open.
        let by_rule = !hex && seam.order.sink.is_none() && sunk >= PLUG_DEPTH && faces_up(direction);
        let plugged = seam.order.plug || by_rule;
        HeadSeat::Counterbored { diameter, depth: Length::mm(sunk), plugged }
    } else if is_nail(fastener) || hex {
        HeadSeat::Proud
    } else {
        HeadSeat::Countersunk { diameter: head_diameter }
    }
}

fn is_nail(fastener: &Fastener) -> bool {
    matches!(fastener.kind, FastenerKind::Nail | FastenerKind::FinishNail)
}

/// The clearance hole of a screw in the first part, and its pilot in the second.
fn screw_bores(
    seam: &Seam,
    shop: &Shop,
    (fastener, drills): (&Fastener, Option<&DrillSizes>),
    screw: &Fastening,
) -> Vec<Bore> {
    let nail = is_nail(fastener);
    let name = format!("{} {}", fastener.size, short_word(fastener.kind));
    let clearance = match (nail, drills) {
        (false, Some(drills)) => drills.clearance,
        (false, None) => fastener.diameter + Length::sixty_fourths(1),
        (true, _) => choose::pilot(shop.catalogue, fastener, seam.first, 0.0),
    };
    let (outer, inner, sunk) = (&screw.layers[0], &screw.layers[1], screw.sunk());
    let mut steps = Vec::new();
    if let HeadSeat::Counterbored { diameter, .. } = screw.seat {
        steps.push(HoleStep { radius: diameter.as_mm() / 2.0, depth: sunk });
    }
    steps.push(HoleStep { radius: clearance.as_mm() / 2.0, depth: sunk + outer.to + THROUGH });
    let what = if nail { format!("pilot for {name}") } else { format!("clearance for {name}") };
    let mouth = screw.head - screw.direction * sunk;
    let mut through = bore(seam.first, mouth, screw.direction, steps, what, When::AtBench);
    if let HeadSeat::Countersunk { diameter } = screw.seat {
        through.countersink = Some(diameter);
    }
    let depth = (screw.length.as_mm() - inner.from).min(inner.to - inner.from).max(1.0);
    let size = choose::pilot(shop.catalogue, fastener, seam.second, inner.end);
    let entry = screw.head + screw.direction * inner.from;
    // Wider there, so that the end does not split: two drills for one screw are told apart.
    let wider = size > choose::pilot(shop.catalogue, fastener, seam.second, f64::INFINITY);
    let what = format!("pilot{} for {name}", if wider { " near an end" } else { "" });
    vec![through, pilot(seam.second, seam.first, entry, screw.direction, size, depth, what)]
}

/// Depth of a plugged counterbore, mm: 5/16 in (trade practice 6 to 10 mm; common practice, no source).
const PLUG_DEPTH: f64 = 7.937_5;

fn short_word(kind: FastenerKind) -> &'static str {
    match kind {
        FastenerKind::WoodScrew | FastenerKind::DeckScrew => "screw",
        FastenerKind::LagScrew => "lag screw",
        FastenerKind::CarriageBolt | FastenerKind::HexBolt => "bolt",
        FastenerKind::Nail | FastenerKind::FinishNail => "nail",
        other => other.word(),
    }
}

/// Where the thread runs, mm from the head: two thirds of a wood screw (NDS Appendix L: at least two thirds of the length),
/// half and half an inch of a lag screw (ASME B18.2.1), all of a nail.
fn thread(fastener: &Fastener, length: f64) -> (f64, f64) {
    let threaded = match fastener.kind {
        FastenerKind::WoodScrew | FastenerKind::DeckScrew => {
            (length * 2.0 / 3.0).max(4.0 * fastener.diameter.as_mm()).min(length)
        }
        FastenerKind::LagScrew => (length / 2.0 + 12.7).min(152.4).min(length),
        _ => length,
    };
    (length - threaded, length)
}
