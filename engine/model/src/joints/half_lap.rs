//! Half lap: two boards let into one another by half, glued and bolted or screwed.

use super::spread::Count;
use super::{Fixed, JointKind, Meets, Seam, Shop, fix};
use crate::Bench;
use slatwork_base::Diagnostic;
use slatwork_catalog::FastenerKind;

pub(super) const KIND: JointKind = JointKind {
    name: "half lap",
    about: "Two boards that cross or meet in one plane are each cut away by half where they overlap, glued, and bolted \
            through, or screwed where a half is thick enough. Place them so that they overlap; the joint cuts both.",
    verb: "glue and bolt",
    cut: Some(Bench::half_lap),
    fasten: Some(fasten),
    meets: Meets::Face,
};

fn fasten(seam: &Seam, shop: &mut Shop) -> Result<Fixed, Diagnostic> {
    // Half of a board is mostly too thin to hold a screw: then bolts go through.
    let thin = seam.second.thickness.as_mm() / 2.0 < LEAST_FOR_SCREWS;
    let named = seam.order.fastener.as_ref().and_then(|id| shop.catalogue.find_fastener_by_id(id));
    let is_bolt = |kind| matches!(kind, FastenerKind::CarriageBolt | FastenerKind::HexBolt);
    let bolted = named.map_or(thin, |fastener| is_bolt(fastener.kind));
    let fixed = if bolted {
        fix::bolts(seam, shop, Count::Fixed(2))?
    } else {
        fix::screws(seam, shop, FastenerKind::WoodScrew, Count::Fixed(2))?
    };
    Ok(Fixed { glue: true, ..fixed })
}

/// Thinnest half that holds a #8 screw, mm: 6 diameters (NDS 12.1.5.6) and 3 mm beyond the tip.
const LEAST_FOR_SCREWS: f64 = 28.0;
