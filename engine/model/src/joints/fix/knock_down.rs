//! Knock-down bolts: into threaded inserts or barrel nuts.

use super::axis::{Axis, REACH};
use super::bore::{THROUGH, bore};
use super::lay_out::{Reach, Tried, lay_out};
use super::layer::both;
use crate::When;
use crate::joints::choose;
use crate::joints::rules::{self, BOLT_PLAY};
use crate::joints::seam::Seam;
use crate::joints::spread::Count;
use crate::joints::{Bore, Drive, Extra, Fastening, Fixed, HeadSeat, Metal, Shop};
use slatwork_base::{Diagnostic, Length};
use slatwork_catalog::{Fastener, FastenerKind};
use slatwork_solid::{HoleStep, along};

/// Sets bolts through the first part into threaded inserts in the second, or into barrel nuts where they would sit in its end
/// grain, so that the piece comes apart again.
pub(crate) fn knock_down(seam: &Seam, shop: &mut Shop, count: Count) -> Result<Fixed, Diagnostic> {
    let taken = Taken::choose(seam, shop)?;
    let set = |_: &Shop, axis: Axis, _: Reach| taken.at(seam, axis);
    let (worst, placed) = lay_out(seam, shop, taken.bolt.diameter.as_mm(), count, &set)?;
    shop.take(&placed);
    let each = |item: &Fastener| Extra {
        item: item.id.clone(),
        count: placed.len(),
        length: None,
        metal: taken.metal,
    };
    let extras = [Some(taken.by), taken.washer].into_iter().flatten().map(each).collect();
    Ok(Fixed { fastenings: placed, extras, worst, ..Fixed::default() })
}

/// A bolt and what takes it in the second part.
struct Taken<'c> {
    bolt: &'c Fastener,
    /// A threaded insert or a barrel nut.
    by: &'c Fastener,
    washer: Option<&'c Fastener>,
    metal: Metal,
    /// Radius of the hole that the bolt goes through, mm.
    radius: f64,
}

/// From the joint to the middle of a barrel nut, mm: long enough in the end grain not to tear out (common practice, no source).
const TO_BARREL: f64 = 40.0;

/// Holes for bolts run this far beyond their tips, mm.
const BEYOND_TIP: f64 = 2.0;

impl<'c> Taken<'c> {
    fn choose(seam: &Seam, shop: &Shop<'c>) -> Result<Self, Diagnostic> {
        let kinds = [FastenerKind::HexBolt, FastenerKind::CarriageBolt];
        let bolt = match &seam.order.fastener {
            Some(id) => choose::named(shop.catalogue, seam, id, &kinds)?,
            None => shop
                .catalogue
                .fastener(FastenerKind::HexBolt, "1/4")
                .map_err(|fault| fault.at_origin(seam.origin))?,
        };
        let barrel = seam.patch.on_end[1];
        let kind = if barrel { FastenerKind::BarrelNut } else { FastenerKind::ThreadedInsert };
        let by = shop
            .catalogue
            .fastener(kind, &bolt.size)
            .map_err(|fault| fault.at_origin(seam.origin).help("knock-down bolts come in 1/4 and 5/16 in"))?;
        let metal = choose::metal(shop.catalogue, &[seam.first, seam.second], bolt.kind);
        let drills = choose::drills(shop.catalogue, bolt);
        let radius = drills.map_or(bolt.diameter + BOLT_PLAY, |drills| drills.clearance).as_mm() / 2.0;
        Ok(Taken { bolt, by, washer: shop.washer(bolt), metal, radius })
    }

    fn outer_diameter(&self) -> Length {
        self.by.dim("outer_diameter").unwrap_or(self.bolt.diameter)
    }

    /// Length of a threaded insert, mm.
    fn insert(&self) -> f64 {
        self.by.lengths.first().map_or(12.0, |length| length.as_mm())
    }

    fn is_barrel(&self) -> bool {
        self.by.kind == FastenerKind::BarrelNut
    }

    /// The bolt on an axis.
    fn at(&self, seam: &Seam, axis: Axis) -> Option<Tried> {
        let bolt = self.bolt;
        let washer = self.washer.and_then(|washer| washer.dim("thickness")).map_or(0.0, Length::as_mm);
        let seam_at = -axis.outer;
        let entry = seam_at + axis.inner.0;
        // The bolt reaches through the whole insert, or past the middle of the barrel nut.
        let past_barrel = TO_BARREL + self.outer_diameter().as_mm() / 2.0;
        let needs = if self.is_barrel() { past_barrel } else { self.insert() };
        let least = seam_at + washer + needs;
        let most = seam_at + washer + axis.holding() - rules::LEAST_WOOD;
        let sold = bolt.lengths.iter().find(|length| length.as_mm() >= least && length.as_mm() <= most);
        let length = seam.order.length.or_else(|| sold.copied())?;
        let tip = length.as_mm() - washer;
        let (head, direction) = (axis.world(axis.outer), axis.direction);
        let layers = both(seam, direction, seam_at, (entry, entry + axis.holding()));
        let fastening = Fastening {
            item: bolt.id.clone(),
            kind: bolt.kind,
            diameter: bolt.diameter,
            length,
            head_diameter: bolt.head_diameter().unwrap_or(bolt.diameter),
            metal: self.metal,
            head,
            direction,
            tip: head + direction * tip,
            layers,
            thread: (entry, tip),
            seat: HeadSeat::Proud,
            drive: Drive::Wrench,
            bores: Vec::new(),
        };
        let bores = self.bores(seam, &fastening, (seam_at, entry, tip))?;
        Some(Tried { fastening: Fastening { bores, ..fastening }, tip })
    }

    /// The holes of a bolt; `None` where a barrel nut finds no wood. From the head: to the seam, to the second part, to the tip.
    fn bores(
        &self,
        seam: &Seam,
        bolt: &Fastening,
        (seam_at, entry, tip): (f64, f64, f64),
    ) -> Option<Vec<Bore>> {
        let (head, direction) = (bolt.head, bolt.direction);
        let what = format!("{} bolt {}", self.bolt.size, bolt.length);
        let through = step(self.radius, seam_at + THROUGH);
        let clearance = bore(seam.first, head, direction, through, what.clone(), When::AtBench);
        let from = head + direction * entry;
        let marked = When::MarkedFrom { parts: vec![seam.first.name.clone()] };
        if self.is_barrel() {
            let deep = step(self.radius, tip - entry + BEYOND_TIP);
            let into = bore(seam.second, from, direction, deep, what, marked);
            return Some(vec![clearance, into, self.cross_bore(seam, bolt, entry)?]);
        }
        let hole = self.by.dim("hole_diameter").unwrap_or_else(|| self.outer_diameter()).as_mm() / 2.0;
        let deep = step(hole, (tip - entry).max(self.insert()) + BEYOND_TIP);
        let what = format!("threaded insert {}", self.by.size);
        Some(vec![clearance, bore(seam.second, from, direction, deep, what, marked)])
    }

    /// The hole of a barrel nut, from the face of the second part.
    fn cross_bore(&self, seam: &Seam, bolt: &Fastening, entry: f64) -> Option<Bore> {
        let part = seam.second;
        let face = part.pose.matrix3.z_axis;
        let middle = bolt.head + bolt.direction * (entry + TO_BARREL);
        let thickness = along(&part.placed(), middle, middle + face * REACH).first().map(|span| span.1)?;
        let mouth = middle + face * thickness;
        let half = self.by.lengths.first().map_or(6.5, |length| length.as_mm() / 2.0);
        let cross = step(self.outer_diameter().as_mm() / 2.0, thickness + half);
        // It lies on another face than the one the bolt's hole is marked on.
        Some(bore(part, mouth, -face, cross, String::from("barrel nut"), When::AtBench))
    }
}

/// One bore of that radius and depth.
fn step(radius: f64, depth: f64) -> Vec<HoleStep> {
    vec![HoleStep { radius, depth }]
}
