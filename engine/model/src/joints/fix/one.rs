//! One fastener on an axis that the script gives, whichever way that runs through the two parts.

use super::bolts::{bolt_bores, extras_of, stack_of};
use super::bore::{THROUGH, bore};
use super::lay_out::Tried;
use super::layer::unmeasured;
use crate::joints::rules::GLUE_ROOM;
use crate::joints::seam::Seam;
use crate::joints::{Bore, Drive, Fastening, Fixed, HeadSeat, Shop, choose};
use crate::{Part, When};
use slatwork_base::{Diagnostic, Length, Severity};
use slatwork_catalog::{Fastener, FastenerKind};
use slatwork_solid::{DVec3, HoleStep, along};

/// What can be set on any axis: pegs of dowel, and bolts.
const KINDS: [FastenerKind; 3] = [FastenerKind::Dowel, FastenerKind::CarriageBolt, FastenerKind::HexBolt];

/// Wood is looked for this far along the axis, mm: more than any part is long.
const REACH: f64 = 3_000.0;

/// Wood that starts within this behind the place the script gives is where the fastener enters, mm: rounding of turned groups.
const AT_FACE: f64 = 0.5;

/// A stock length this much longer than the wood still counts as that long, mm: rounding of lengths.
const AS_LONG: f64 = 0.01;

/// A layer of wood: the part, and where it begins and ends, mm from the head.
type Wood<'a> = (&'a Part, f64, f64);

/// Sets the fastener that a script names where it says.
pub(crate) fn one(seam: &Seam, shop: &mut Shop) -> Result<Fixed, Diagnostic> {
    let (Some(id), Some((head, direction))) = (&seam.order.fastener, seam.order.axis) else {
        let fault = Diagnostic::error("no-such-spot", "a single fastener wants to be told what and where");
        return Err(fault.at_origin(seam.origin).help(
            "give `fastener`, and `spot: #{ on: a side, from: [[side, distance], [side, distance]] }`",
        ));
    };
    let fastener = choose::named(shop.catalogue, seam, id, &KINDS)?;
    let wood = wood_along(seam, shop, head, direction).ok_or_else(|| no_wood(seam))?;
    let grip = wood.iter().map(|own| own.2).fold(0.0, f64::max);
    let peg = fastener.kind == FastenerKind::Dowel;
    let length = match seam.order.length {
        Some(length) => length,
        None if peg => peg_length(fastener, grip).ok_or_else(|| no_wood(seam))?,
        None => bolt_length(shop, fastener, grip).ok_or_else(|| no_wood(seam))?,
    };
    let mut tried = tried(seam, shop, fastener, (head, direction, length), &wood);
    let worst = shop.judge(&mut tried, None, &mut 0);
    let mut fastening = tried.fastening;
    fastening.bores = if peg {
        peg_bores(shop, fastener, &fastening, grip)
    } else {
        bolt_bores(shop, (fastener, choose::drills(shop.catalogue, fastener)), &fastening)
    };
    let placed = vec![fastening];
    shop.take(&placed);
    let extras = if peg { Vec::new() } else { extras_of(shop, fastener, &placed) };
    Ok(Fixed { fastenings: placed, extras, worst, ..Fixed::default() })
}

/// The wood of both parts, and of those named beside them, from where the axis enters; `None` where it misses one of the two.
fn wood_along<'a>(seam: &Seam<'a>, shop: &Shop<'a>, head: DVec3, direction: DVec3) -> Option<Vec<Wood<'a>>> {
    let also = seam.order.also.iter().map(|board| &shop.parts[board.0]);
    let mut wood: Vec<Wood> = Vec::new();
    for part in [seam.first, seam.second].into_iter().chain(also) {
        let spans = along(&part.placed(), head - direction, head + direction * REACH);
        let ahead = spans.into_iter().map(|(from, to)| (part, (from - 1.0).max(0.0), to - 1.0));
        wood.extend(ahead.filter(|(_, from, to)| to > from));
    }
    wood.sort_by(|a, b| a.1.total_cmp(&b.1));
    let crosses = |part: &Part| wood.iter().any(|own| own.0.id == part.id);
    let enters = wood.first().is_some_and(|own| own.1 <= AT_FACE);
    (enters && crosses(seam.first) && crosses(seam.second)).then_some(wood)
}

/// The longest peg that does not stand out of the wood, else the shortest there is, to be sawn flush.
fn peg_length(fastener: &Fastener, grip: f64) -> Option<Length> {
    let inside = |length: &&Length| length.as_mm() <= grip + AS_LONG;
    fastener.lengths.iter().rfind(inside).or_else(|| fastener.lengths.first()).copied()
}

fn bolt_length(shop: &Shop, fastener: &Fastener, grip: f64) -> Option<Length> {
    let (washers, nut) = stack_of(shop, fastener);
    choose::bolt_length(fastener, grip, washers, nut)
}

fn tried(
    seam: &Seam,
    shop: &Shop,
    fastener: &Fastener,
    (head, direction, length): (DVec3, DVec3, Length),
    wood: &[Wood],
) -> Tried {
    let peg = fastener.kind == FastenerKind::Dowel;
    let tip = length.as_mm();
    let grip = wood.iter().map(|own| own.2).fold(0.0, f64::max);
    let reached = wood.iter().filter(|own| own.1 < tip);
    let head_diameter =
        if peg { Length::ZERO } else { fastener.head_diameter().unwrap_or(fastener.diameter) };
    let fastening = Fastening {
        item: fastener.id.clone(),
        kind: fastener.kind,
        diameter: fastener.diameter,
        length,
        head_diameter,
        metal: choose::metal(shop.catalogue, &[seam.first, seam.second], fastener.kind),
        head,
        direction,
        tip: head + direction * tip,
        layers: reached.map(|(part, from, to)| unmeasured(part, direction, (*from, *to))).collect(),
        thread: if peg { (0.0, 0.0) } else { (grip, tip) },
        seat: HeadSeat::Proud,
        drive: if peg { Drive::Mallet } else { Drive::Wrench },
        bores: Vec::new(),
    };
    Tried { fastening, tip }
}

/// The holes of a peg: the part it enters is bored at the bench, the rest through it once the joint stands.
fn peg_bores(shop: &Shop, fastener: &Fastener, peg: &Fastening, grip: f64) -> Vec<Bore> {
    let (direction, long) = (peg.direction, peg.length.as_mm());
    // A peg as long as the wood goes through; a shorter one stops in its hole.
    let through = long + AS_LONG >= grip;
    let deep = if through { grip + THROUGH } else { long + GLUE_ROOM };
    let steps = vec![HoleStep { radius: fastener.diameter.as_mm() / 2.0, depth: deep }];
    let mut parts: Vec<&Part> = Vec::new();
    for layer in &peg.layers {
        let part = &shop.parts[layer.part.0];
        parts.extend((!parts.iter().any(|own| own.id == part.id)).then_some(part));
    }
    let what = format!("peg {}", fastener.size);
    let guide = parts.first().map_or_else(String::new, |part| part.name.clone());
    let when = |index: usize| {
        if index == 0 { When::AtBench } else { When::Through { part: guide.clone() } }
    };
    let bored = |(index, part): (usize, &&Part)| {
        bore(part, peg.head, direction, steps.clone(), what.clone(), when(index))
    };
    parts.iter().enumerate().map(bored).collect()
}

fn no_wood(seam: &Seam) -> Diagnostic {
    let message = format!("{}: the fastener does not go through both where the script sets it", seam.words());
    Diagnostic::new(Severity::Failure, "pattern-does-not-fit", message)
        .at_origin(seam.origin)
        .help("`spot` gives the side it enters by and its distances inside two other sides: let it cross both boards")
}
