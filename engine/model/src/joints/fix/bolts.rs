//! Bolts: right through both parts, with washers and nuts.

use super::axis::{AT_SEAM, Axis, REACH};
use super::bore::{THROUGH, bore, socket_bore};
use super::lay_out::{Reach, Tried, lay_out};
use super::layer::unmeasured;
use crate::joints::choose;
use crate::joints::rules::BOLT_PLAY;
use crate::joints::seam::Seam;
use crate::joints::spread::Count;
use crate::joints::{Bore, Drive, Extra, Fastening, Fixed, HeadSeat, Metal, Shop};
use crate::{Part, When};
use slatwork_base::{Diagnostic, Length};
use slatwork_catalog::{DrillSizes, Fastener, FastenerKind};
use slatwork_solid::{HoleStep, along};

/// Sets bolts through both parts, with washers and nuts.
pub(crate) fn bolts(seam: &Seam, shop: &mut Shop, count: Count) -> Result<Fixed, Diagnostic> {
    let candidates = choose::bolts(shop.catalogue, seam)?;
    let fastener = choose::allowed(&candidates, shop.thickest)?;
    let metal = choose::metal(shop.catalogue, &[seam.first, seam.second], fastener.kind);
    let stack = stack_of(shop, fastener);
    let nut = shop.nut(fastener);
    let set = |shop: &Shop, axis: Axis, _: Reach| bolt_at(seam, shop, (fastener, nut), metal, stack, axis);
    let (worst, mut placed) = lay_out(seam, shop, fastener.diameter.as_mm(), count, &set)?;
    let drills = choose::drills(shop.catalogue, fastener);
    for bolt in &mut placed {
        bolt.bores = bolt_bores(shop, (fastener, drills), bolt);
    }
    shop.take(&placed);
    let may_thin = choose::thinner(&candidates, fastener);
    let extras = extras_of(shop, fastener, &placed);
    Ok(Fixed { fastenings: placed, glue: false, extras, worst, may_thin })
}

/// The washers and nuts of bolts.
pub(super) fn extras_of(shop: &Shop, fastener: &Fastener, placed: &[Fastening]) -> Vec<Extra> {
    let carriage = fastener.kind == FastenerKind::CarriageBolt;
    let Some(metal) = placed.first().map(|bolt| bolt.metal) else { return Vec::new() };
    let each = |item: Option<&Fastener>, per: usize| {
        item.map(|item| Extra { item: item.id.clone(), count: per * placed.len(), length: None, metal })
    };
    let washers = each(shop.washer(fastener), if carriage { 1 } else { 2 });
    washers.into_iter().chain(each(shop.nut(fastener), 1)).collect()
}

/// Thickness of a bolt's washers, and of its nut, mm.
pub(super) fn stack_of(shop: &Shop, fastener: &Fastener) -> (f64, f64) {
    let thick =
        |item: Option<&Fastener>| item.and_then(|item| item.dim("thickness")).map_or(0.0, Length::as_mm);
    let sides = if fastener.kind == FastenerKind::CarriageBolt { 1.0 } else { 2.0 };
    (thick(shop.washer(fastener)) * sides, thick(shop.nut(fastener)))
}

/// A bolt on an axis, its holes not bored yet.
fn bolt_at(
    seam: &Seam,
    shop: &Shop,
    (fastener, nut_of): (&Fastener, Option<&Fastener>),
    metal: Metal,
    (washers, nut): (f64, f64),
    axis: Axis,
) -> Option<Tried> {
    let sunk = seam.order.sink.map_or(0.0, Length::as_mm);
    let stack = stack_along(seam, shop, &axis)?;
    let (start, end) = stack
        .iter()
        .fold((axis.outer, axis.inner.1), |(low, high), (_, from, to)| (low.min(*from), high.max(*to)));
    let grip = end - start - sunk;
    let length = match seam.order.length {
        Some(length) => length,
        None => choose::bolt_length(fastener, grip, washers, nut)?,
    };
    let carriage = fastener.kind == FastenerKind::CarriageBolt;
    let under_head = if carriage { 0.0 } else { washers / 2.0 };
    let direction = axis.direction;
    let head = axis.world(start + sunk);
    let tip = length.as_mm() - under_head;
    let from_head = |at: f64| at - start - sunk;
    let layer = |(part, from, to): &(&Part, f64, f64)| {
        unmeasured(part, direction, (from_head(*from).max(0.0), from_head(*to)))
    };
    let nut_corners = nut_of.and_then(Fastener::head_diameter).unwrap_or(fastener.diameter);
    let head_diameter = fastener.head_diameter().unwrap_or(fastener.diameter);
    let fastening = Fastening {
        item: fastener.id.clone(),
        kind: fastener.kind,
        diameter: fastener.diameter,
        length,
        head_diameter: head_diameter.max(Length::mm(nut_corners.as_mm() * 2.0 / 3f64.sqrt())),
        metal,
        head,
        direction,
        tip: head + direction * tip,
        bores: Vec::new(),
        layers: stack.iter().map(layer).collect(),
        thread: (grip, tip),
        seat: head_seat(head_diameter, sunk),
        drive: Drive::Wrench,
    };
    Some(Tried { fastening, tip })
}

/// How a bolt's head sits that is sunk so deep, mm.
fn head_seat(head_diameter: Length, sunk: f64) -> HeadSeat {
    if sunk > 0.0 {
        let diameter = socket_bore(head_diameter);
        HeadSeat::Counterbored { diameter, depth: Length::mm(sunk), plugged: false }
    } else {
        HeadSeat::Proud
    }
}

/// The holes of a bolt: the outermost part is bored at the bench, the others are drilled on through it.
pub(super) fn bolt_bores(
    shop: &Shop,
    (fastener, drills): (&Fastener, Option<&DrillSizes>),
    bolt: &Fastening,
) -> Vec<Bore> {
    let radius = drills.map_or(fastener.diameter + BOLT_PLAY, |drills| drills.clearance).as_mm() / 2.0;
    let what = format!("{} {} {}", fastener.size, fastener.kind.word(), bolt.length);
    let (direction, sunk) = (bolt.direction, bolt.sunk());
    let outermost = &shop.parts[bolt.layers[0].part.0];
    let bored = bolt.layers.iter().enumerate().map(|(index, layer)| {
        let mut steps = Vec::new();
        let mut from = layer.from;
        if let (HeadSeat::Counterbored { diameter, .. }, 0) = (bolt.seat, index) {
            steps.push(HoleStep { radius: diameter.as_mm() / 2.0, depth: sunk });
            from -= sunk;
        }
        steps.push(HoleStep { radius, depth: layer.to - from + THROUGH });
        let through = When::Through { part: outermost.name.clone() };
        let when = if index == 0 { When::AtBench } else { through };
        let mouth = bolt.head + direction * from;
        bore(&shop.parts[layer.part.0], mouth, direction, steps, what.clone(), when)
    });
    bored.collect()
}

/// The parts a bolt goes through and where, mm from the seam, from the head on: both of the joint, and those the script names
/// that lie on them.
fn stack_along<'a>(seam: &Seam<'a>, shop: &Shop<'a>, axis: &Axis) -> Option<Vec<(&'a Part, f64, f64)>> {
    let mut stack = vec![(seam.first, axis.outer, 0.0), (seam.second, axis.inner.0, axis.inner.1)];
    for board in &seam.order.also {
        let part = &shop.parts[board.0];
        let span =
            along(&part.placed(), axis.world(-REACH), axis.world(REACH)).into_iter().find(|(from, to)| {
                let (from, to) = (from - REACH, to - REACH);
                (to - axis.outer).abs() < AT_SEAM || (from - axis.inner.1).abs() < AT_SEAM
            })?;
        stack.push((part, span.0 - REACH, span.1 - REACH));
    }
    stack.sort_by(|a, b| a.1.total_cmp(&b.1));
    Some(stack)
}
