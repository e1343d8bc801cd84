//! Knock-down bolts: into threaded inserts or barrel nuts.

use super::axis::{Axis, REACH};
use super::bore::{THROUGH, bore};
use super::lay_out::{Reach, lay_out};
use super::layer;
use crate::When;
use crate::joints::choose;
use crate::joints::rules::{self, BOLT_PLAY, LEAD_IN};
use crate::joints::seam::Seam;
use crate::joints::spread::Count;
use crate::joints::{Drive, Extra, Fastening, Fixed, HeadSeat, Metal, Shop};
use slatwork_base::{Diagnostic, Length};
use slatwork_catalog::{Fastener, FastenerKind};
use slatwork_solid::{HoleStep, along};

/// Sets bolts through the first part into threaded inserts in the second, or into barrel nuts where they would sit in its end
/// grain, so that the piece comes apart again.
pub(crate) fn knock_down(seam: &Seam, shop: &mut Shop, count: Count) -> Result<Fixed, Diagnostic> {
    let kinds = [FastenerKind::HexBolt, FastenerKind::CarriageBolt];
    let fastener = match &seam.order.fastener {
        Some(id) => choose::named(shop.catalogue, seam, id, &kinds)?,
        None => shop
            .catalogue
            .fastener(FastenerKind::HexBolt, "1/4")
            .map_err(|fault| fault.at_origin(seam.origin))?,
    };
    let barrel = seam.patch.on_end[1];
    let kind = if barrel { FastenerKind::BarrelNut } else { FastenerKind::ThreadedInsert };
    let taker = shop
        .catalogue
        .fastener(kind, &fastener.size)
        .map_err(|fault| fault.at_origin(seam.origin).help("knock-down bolts come in 1/4 and 5/16 in"))?;
    let metal = choose::metal(shop.catalogue, &[seam.first, seam.second], fastener.kind);
    let washer = shop.washer(fastener);
    let diameter = fastener.diameter.as_mm();
    let mut set = |shop: &Shop, axis: Axis, _: Reach| {
        let under = washer.and_then(|washer| washer.dim("thickness")).map_or(0.0, Length::as_mm);
        knock_down_at(seam, shop, (fastener, taker), metal, under, axis)
    };
    let (worst, placed) = lay_out(seam, shop, diameter, count, &mut set)?;
    shop.take(&placed);
    let mut extras = vec![Extra { item: taker.id.clone(), count: placed.len(), length: None, metal }];
    extras.extend(washer.map(|washer| Extra {
        item: washer.id.clone(),
        count: placed.len(),
        length: None,
        metal,
    }));
    Ok(Fixed { fastenings: placed, extras, worst, ..Fixed::default() })
}

/// From the joint to the middle of a barrel nut, mm: long enough in the end grain not to tear out (common practice, no source).
const TO_BARREL: f64 = 40.0;

fn knock_down_at(
    seam: &Seam,
    shop: &Shop,
    (fastener, taker): (&Fastener, &Fastener),
    metal: Metal,
    washer: f64,
    axis: Axis,
) -> Option<Fastening> {
    let direction = axis.direction;
    let head = axis.world(axis.outer);
    let seam_at = -axis.outer;
    let entry = seam_at + axis.inner.0;
    let barrel = taker.kind == FastenerKind::BarrelNut;
    let outer_diameter = taker.dim("outer_diameter").unwrap_or(fastener.diameter);
    // The bolt reaches through the whole insert, or past the middle of the barrel nut.
    let insert = taker.lengths.first().map_or(12.0, |length| length.as_mm());
    let needs = if barrel { TO_BARREL + outer_diameter.as_mm() / 2.0 } else { insert };
    let least = seam_at + washer + needs;
    let most = seam_at + washer + axis.holding() - rules::LEAST_WOOD;
    let asked = seam.order.length;
    let sold = fastener.lengths.iter().find(|length| length.as_mm() >= least && length.as_mm() <= most);
    let length = asked.or_else(|| sold.copied())?;
    let tip = length.as_mm() - washer;
    let drills = choose::drills(shop.catalogue, fastener);
    let radius = drills.map_or(fastener.diameter + BOLT_PLAY, |drills| drills.clearance).as_mm() / 2.0;
    let what = format!("{} bolt {}", fastener.size, length);
    let step = |radius: f64, depth: f64| vec![HoleStep { radius, depth: depth + LEAD_IN }];
    let outer = layer(seam.first, head, direction, (0.0, seam_at), tip);
    let inner = layer(seam.second, head, direction, (entry, entry + axis.holding()), tip);
    let clearance = bore(
        seam.first,
        head - direction * LEAD_IN,
        direction,
        step(radius, seam_at + THROUGH),
        what.clone(),
        When::AtBench,
    );
    let from = head + direction * (entry - LEAD_IN);
    let marked = When::MarkedFrom { parts: vec![seam.first.name.clone()] };
    let mut bores = vec![clearance];
    if barrel {
        let deep = tip - entry + 2.0;
        bores.push(bore(seam.second, from, direction, step(radius, deep), what, marked.clone()));
        let face = seam.second.pose.matrix3.z_axis;
        let middle = head + direction * (entry + TO_BARREL);
        let thickness =
            along(&seam.second.placed(), middle, middle + face * REACH).first().map(|span| span.1)?;
        let start = middle + face * (thickness + LEAD_IN);
        let half = taker.lengths.first().map_or(6.5, |length| length.as_mm() / 2.0);
        let cross = step(outer_diameter.as_mm() / 2.0, thickness + half);
        bores.push(bore(seam.second, start, -face, cross, String::from("barrel nut"), marked));
    } else {
        let hole = taker.dim("hole_diameter").unwrap_or(outer_diameter).as_mm() / 2.0;
        let deep = (tip - entry).max(insert) + 2.0;
        let what = format!("threaded insert {}", taker.size);
        bores.push(bore(seam.second, from, direction, step(hole, deep), what, marked));
    }
    Some(Fastening {
        item: fastener.id.clone(),
        kind: fastener.kind,
        diameter: fastener.diameter,
        length,
        head_diameter: fastener.head_diameter().unwrap_or(fastener.diameter),
        metal,
        head,
        direction,
        tip: head + direction * tip,
        layers: vec![outer, inner],
        thread: (entry, tip),
        seat: HeadSeat::Proud,
        drive: Drive::Wrench,
        bores,
    })
}
