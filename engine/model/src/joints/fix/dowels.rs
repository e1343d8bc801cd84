//! Dowels: half in either part.

use super::axis::Axis;
use super::bore::bore;
use super::lay_out::{Reach, Tried, lay_out};
use super::layer::both;
use crate::joints::choose;
use crate::joints::rules::{self, GLUE_ROOM};
use crate::joints::seam::Seam;
use crate::joints::spread::Count;
use crate::joints::{Bore, Drive, Fastening, Fixed, HeadSeat, Metal, Shop};
use crate::{Part, When};
use slatwork_base::{Diagnostic, Length};
use slatwork_catalog::{Fastener, FastenerKind};
use slatwork_solid::{DVec3, HoleStep};

/// Sets dowels, half in either part.
pub(crate) fn dowels(seam: &Seam, shop: &mut Shop, count: Count) -> Result<Fixed, Diagnostic> {
    let fastener = match &seam.order.fastener {
        Some(id) => choose::named(shop.catalogue, seam, id, &[FastenerKind::Dowel])?,
        None => dowel_by_rule(shop, seam)?,
    };
    let diameter = fastener.diameter.as_mm();
    let set = |_: &Shop, axis: Axis, _: Reach| dowel_at(seam, fastener, axis);
    let (worst, placed) = lay_out(seam, shop, diameter, count, &set)?;
    shop.take(&placed);
    Ok(Fixed { fastenings: placed, glue: true, worst, ..Fixed::default() })
}

/// The thickest dowel that is no more than a third of the thinner piece, so that as much wood stands on either side of it
/// (common practice, no source); the thinnest there is in thin pieces.
fn dowel_by_rule<'c>(shop: &Shop<'c>, seam: &Seam) -> Result<&'c Fastener, Diagnostic> {
    let thinner = seam.first.thickness.min(seam.second.thickness).as_mm();
    let dowels = || shop.catalogue.fasteners().filter(|fastener| fastener.kind == FastenerKind::Dowel);
    let thickness = |dowel: &&Fastener| dowel.diameter;
    let by_rule =
        dowels().filter(|dowel| dowel.diameter.as_mm() <= thinner / 3.0 + 0.01).max_by_key(thickness);
    by_rule.or_else(|| dowels().min_by_key(thickness)).ok_or_else(|| {
        Diagnostic::error("unknown-fastener", "the catalogue has no dowels").at_origin(seam.origin)
    })
}

/// A dowel on an axis, its holes not bored yet.
fn dowel_at(seam: &Seam, fastener: &Fastener, axis: Axis) -> Option<Tried> {
    let room = |depth: f64| depth - rules::LEAST_WOOD - GLUE_ROOM;
    let (first, second) = (room(axis.thickness()), room(axis.holding()));
    let half = |length: &Length| length.as_mm() / 2.0;
    let asked = seam.order.length;
    let fits = |length: &&Length| half(length) <= first.min(second);
    let length = asked.or_else(|| fastener.lengths.iter().rfind(fits).copied())?;
    let direction = axis.direction;
    let head = axis.world(-half(&length));
    let tip = length.as_mm();
    let seam_at = half(&length);
    let layers = both(seam, direction, seam_at, (seam_at, seam_at + axis.holding()));
    let fastening = Fastening {
        item: fastener.id.clone(),
        kind: fastener.kind,
        diameter: fastener.diameter,
        length,
        head_diameter: Length::ZERO,
        metal: Metal::Wood,
        head,
        direction,
        tip: head + direction * tip,
        layers,
        thread: (0.0, 0.0),
        seat: HeadSeat::Proud,
        drive: Drive::Hand,
        bores: dowel_bores(seam, fastener, &axis, seam_at + GLUE_ROOM),
    };
    Some(Tried { fastening, tip })
}

/// The holes of a dowel, so deep in either part.
fn dowel_bores(seam: &Seam, fastener: &Fastener, axis: &Axis, depth: f64) -> Vec<Bore> {
    let what = format!("dowel {}", fastener.size);
    let step = vec![HoleStep { radius: fastener.diameter.as_mm() / 2.0, depth }];
    let from = |part: &Part, direction: DVec3, when: When| {
        bore(part, axis.world(0.0), direction, step.clone(), what.clone(), when)
    };
    let marked = When::MarkedFrom { parts: vec![seam.first.name.clone()] };
    vec![from(seam.first, -axis.direction, When::AtBench), from(seam.second, axis.direction, marked)]
}
