//! Which fastener: gauge by the pieces, length by the layers, metal by the wood, drills by its hardness.

use super::data::Metal;
use super::rules;
use super::seam::Seam;
use crate::Part;
use slatwork_base::{Diagnostic, Length};
use slatwork_catalog::{Catalogue, DrillSizes, Fastener, FastenerKind, Species};

/// Least thread in the holding piece that is enough whatever the length, mm: 1 in (common practice, no source).
pub const ENOUGH_THREAD: f64 = 25.0;

/// Share of the length that belongs in the holding piece (common practice, no source).
pub const HOLDING_SHARE: f64 = 2.0 / 3.0;

/// Least penetration for a load across the axis, in diameters, tip included (NDS 12.1.5.6 for screws, 12.1.6.5 for nails).
pub const LEAST_PENETRATION: f64 = 6.0;

/// Wood left under the head of a counterbored screw, mm (common practice, no source).
pub const UNDER_HEAD: f64 = 12.0;

/// Nearer to an end than this a pilot is drilled at its edge size, mm (common practice, no source).
pub const NEAR_END: f64 = 75.0;

/// Counterbores come in steps of this, mm: 1/8 in on a depth stop (common practice, no source).
const BORE_STEP: f64 = 3.175;

/// Specific gravity above which the hardwood drills are taken (NDS 12.1.5: limits of the pilot rules).
const HARD: f64 = 0.5;

/// Thickest outer piece for each gauge of wood screw, mm (common practice, no source).
const GAUGES: [(f64, &str); 4] = [(13.0, "#6"), (27.0, "#8"), (45.0, "#10"), (f64::INFINITY, "#12")];

/// Smallest gauge that is set in furniture here.
const SMALLEST: &str = "#6";

/// The screws to try for a seam, the best first: what the script names; else by the thickness of the outer piece, no thicker
/// than the narrower piece bears on both sides and than reaches 6 diameters into the holding one, then the thinner ones.
pub(crate) fn screws<'c>(
    catalogue: &'c Catalogue,
    seam: &Seam,
    kind: FastenerKind,
    (outer, holding): (f64, f64),
) -> Result<Vec<&'c Fastener>, Diagnostic> {
    if let Some(id) = &seam.order.fastener {
        let kinds = [kind, FastenerKind::WoodScrew, FastenerKind::DeckScrew, FastenerKind::LagScrew];
        return Ok(vec![named(catalogue, seam, id, &kinds)?]);
    }
    let place = GAUGES.iter().position(|(most, _)| outer <= *most).unwrap_or(GAUGES.len() - 1);
    let room = seam.patch.extent.0.min(seam.patch.extent.1);
    let fits = |size: &str| {
        let found = catalogue.find_fastener(kind, size)?;
        let diameter = found.diameter.as_mm();
        let holds = LEAST_PENETRATION * diameter + rules::LEAST_WOOD <= holding;
        let fine = holds && 2.0 * rules::SMALL_ADVISED.edge * diameter <= room;
        fine.then_some(found)
    };
    let by_rule: Vec<&Fastener> = GAUGES[..=place].iter().rev().filter_map(|(_, size)| fits(size)).collect();
    if by_rule.is_empty() {
        let smallest = catalogue.fastener(kind, SMALLEST).map_err(|fault| fault.at_origin(seam.origin))?;
        return Ok(vec![smallest]);
    }
    Ok(by_rule)
}

/// The bolts to try for a seam, the best first: what the script names; else 3/8 in, 5/16 in where the thinner piece is under
/// 30 mm (common practice, no source), then the thinner ones.
pub(crate) fn bolts<'c>(catalogue: &'c Catalogue, seam: &Seam) -> Result<Vec<&'c Fastener>, Diagnostic> {
    if let Some(id) = &seam.order.fastener {
        return Ok(vec![named(catalogue, seam, id, &[FastenerKind::CarriageBolt, FastenerKind::HexBolt])?]);
    }
    let thinner = seam.first.thickness.min(seam.second.thickness).as_mm();
    let sizes = if thinner < 30.0 { &BOLTS[1..] } else { &BOLTS[..] };
    let found: Result<Vec<&Fastener>, Diagnostic> =
        sizes.iter().map(|size| catalogue.fastener(FastenerKind::CarriageBolt, size)).collect();
    found.map_err(|fault| fault.at_origin(seam.origin))
}

/// Bolts of laps, the usual one first.
const BOLTS: [&str; 3] = ["3/8", "5/16", "1/4"];

/// The first of several fasteners that is no thicker than the joints of one statement may have, else the thinnest.
pub(crate) fn allowed<'f>(fasteners: &[&'f Fastener], thickest: f64) -> Result<&'f Fastener, Diagnostic> {
    let thin_enough = |fastener: &&&Fastener| fastener.diameter.as_mm() <= thickest + 1e-6;
    let found = fasteners.iter().find(thin_enough).or_else(|| fasteners.last());
    found
        .copied()
        .ok_or_else(|| Diagnostic::error("unknown-fastener", "the catalogue has no fastener for this joint"))
}

/// Whether a thinner one than the chosen may still be tried.
pub(crate) fn thinner(fasteners: &[&Fastener], chosen: &Fastener) -> bool {
    fasteners.iter().any(|fastener| fastener.diameter < chosen.diameter)
}

/// A fastener by the id the script gives, of one of the kinds that the joint takes.
pub(crate) fn named<'c>(
    catalogue: &'c Catalogue,
    seam: &Seam,
    id: &str,
    kinds: &[FastenerKind],
) -> Result<&'c Fastener, Diagnostic> {
    let found = catalogue.fastener_by_id(id).map_err(|fault| fault.at_origin(seam.origin))?;
    if kinds.contains(&found.kind) {
        return Ok(found);
    }
    let mut words: Vec<&str> = kinds.iter().map(|kind| kind.word()).collect();
    words.dedup();
    Err(Diagnostic::error(
        "wrong-fastener",
        format!(
            "`{id}` is a {}, and a joint `{}` takes a {}",
            found.kind.word(),
            seam.order.kind,
            words.join(" or ")
        ),
    )
    .at_origin(seam.origin)
    .help("name another fastener, or leave it out and let the rule choose"))
}

/// A length for a screw, and how deep its head is sunk below the surface for it, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct ScrewLength {
    pub(crate) length: Length,
    pub(crate) sunk: f64,
}

/// The length of a screw through `outer` mm (gap included) into `holding` mm: the shortest with two thirds of it in the
/// holding piece; else the longest with enough thread there; else the same with its head sunk. The tip stays 3 mm from the
/// far face. When nothing fits, the nearest that does not break out. With `least` the shortest that holds, whatever its share.
/// With `flush` heads stay at `sink` wherever a length holds as NDS asks.
pub(crate) fn screw_length(
    fastener: &Fastener,
    outer: f64,
    holding: f64,
    sink: f64,
    (least, flush): (bool, bool),
) -> Option<ScrewLength> {
    let diameter = fastener.diameter.as_mm();
    let stays = |length: &Length, outer: f64| holding - (length.as_mm() - outer) >= rules::LEAST_WOOD;
    let share =
        |length: &Length, outer: f64| (length.as_mm() - outer) >= HOLDING_SHARE * length.as_mm() - 1e-6;
    let holds = |length: &Length, outer: f64, strict: bool| {
        let thread = length.as_mm() - outer;
        let enough = thread >= ENOUGH_THREAD || share(length, outer);
        thread >= LEAST_PENETRATION * diameter && (enough || !strict)
    };
    let fits = |outer: f64, strict: bool| {
        let sound = || {
            fastener.lengths.iter().filter(move |length| stays(length, outer) && holds(length, outer, strict))
        };
        let shared = sound().find(|length| least || share(length, outer));
        shared.or_else(|| sound().next_back()).copied()
    };
    let deepest = (outer - UNDER_HEAD).max(sink);
    let steps = ((deepest - sink) / BORE_STEP).floor().max(0.0) as usize;
    let sunk = || (0..=steps).map(|step| sink + BORE_STEP * step as f64);
    let search = |strict: bool| {
        sunk().find_map(|sunk| Some(ScrewLength { length: fits(outer - sunk, strict)?, sunk }))
    };
    // In thin pieces what NDS asks for is enough.
    let at_sink = || fits(outer - sink, true).or_else(|| fits(outer - sink, false));
    let kept_flush = flush.then(at_sink).flatten().map(|length| ScrewLength { length, sunk: sink });
    kept_flush.or_else(|| search(true)).or_else(|| search(false)).or_else(|| {
        let through = fastener.lengths.iter().filter(|length| length.as_mm() > outer - sink);
        let near = through.clone().rfind(|length| stays(length, outer - sink));
        let length = near.or_else(|| through.clone().next()).or_else(|| fastener.lengths.last())?;
        Some(ScrewLength { length: *length, sunk: sink })
    })
}

/// The shortest bolt that reaches through `grip` mm, its washers and its nut.
pub(crate) fn bolt_length(fastener: &Fastener, grip: f64, washers: f64, nut: f64) -> Option<Length> {
    let need = grip + washers + nut + rules::BEYOND_NUT;
    fastener.lengths.iter().find(|length| length.as_mm() >= need).or_else(|| fastener.lengths.last()).copied()
}

/// Metal for a fastener between two parts: stainless where either wood is tannic; else hot-dip galvanized, and coated for
/// driven screws, whose recess a dipped coating fills (USFS and FPL notes on fasteners outdoors).
pub(crate) fn metal(catalogue: &Catalogue, parts: &[&Part], kind: FastenerKind) -> Metal {
    let tannic =
        parts.iter().filter_map(|part| catalogue.species(&part.species).ok()).any(|wood| wood.tannic);
    match kind {
        FastenerKind::Dowel | FastenerKind::Plug => Metal::Wood,
        _ if tannic => Metal::Stainless,
        FastenerKind::WoodScrew | FastenerKind::DeckScrew => Metal::Coated,
        _ => Metal::Galvanized,
    }
}

/// The drills for a fastener; a kind that has no table of its own takes that of the wood screw of its size.
pub(crate) fn drills<'c>(catalogue: &'c Catalogue, fastener: &Fastener) -> Option<&'c DrillSizes> {
    let own = catalogue.find_drill(fastener.kind, &fastener.size);
    own.or_else(|| catalogue.find_drill(FastenerKind::WoodScrew, &fastener.size))
}

/// Whether a part is drilled as hardwood.
pub(crate) fn is_hard(catalogue: &Catalogue, part: &Part) -> bool {
    catalogue.species(&part.species).is_ok_and(|wood: &Species| wood.connection_gravity() > HARD)
}

/// Diameter of the pilot for a fastener in a part, nearer to its end than [`NEAR_END`] or not.
pub(crate) fn pilot(catalogue: &Catalogue, fastener: &Fastener, part: &Part, end: f64) -> Length {
    let hard = is_hard(catalogue, part);
    let Some(drill) = drills(catalogue, fastener) else { return pilot_by_rule(fastener, hard) };
    let (plain, edge) = if hard {
        (drill.pilot_hardwood, drill.edge_pilot_hardwood)
    } else {
        (drill.pilot_softwood, drill.edge_pilot_softwood)
    };
    if end < NEAR_END { edge.unwrap_or(plain) } else { plain }
}

/// A pilot without a table: 90 % of the root in hardwood, 70 % in softwood (Wood Handbook chapter 8, p. 8-10); of a nail 90 %
/// and 75 % of its shank (NDS 12.1.6.2). These are the most, so that the next smaller drill is taken, of those 1/64 in apart.
fn pilot_by_rule(fastener: &Fastener, hard: bool) -> Length {
    let nail = matches!(fastener.kind, FastenerKind::Nail | FastenerKind::FinishNail);
    let of = fastener.root_diameter().filter(|_| !nail).unwrap_or(fastener.diameter);
    let share = match (nail, hard) {
        (_, true) => 0.9,
        (true, false) => 0.75,
        (false, false) => 0.7,
    };
    let drills = Length::mm(of.as_mm() * share).as_nm() / Length::sixty_fourths(1).as_nm();
    Length::sixty_fourths(drills.max(1))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 90 % and 75 % of the shank, the next smaller 64th: 0.131 in is 8.38 of them, so 7 in hardwood and 6 in softwood.
    #[test]
    fn every_nail_has_a_drill_that_can_be_bought_and_is_no_larger_than_the_rule() {
        let rows = [
            ("6d", 6, 5),
            ("8d", 7, 6),
            ("10d", 8, 7),
            ("12d", 8, 7),
            ("16d", 9, 7),
            ("20d", 11, 9),
            ("15 gauge", 4, 3),
            ("16 gauge", 3, 3),
            ("18 gauge", 2, 2),
        ];
        let is_nail = |own: &&Fastener| matches!(own.kind, FastenerKind::Nail | FastenerKind::FinishNail);
        for nail in Catalogue::shared().fasteners().filter(is_nail) {
            let row = rows.iter().find(|row| row.0 == nail.size);
            let (_, hard, soft) = row.unwrap_or_else(|| panic!("no row for {}", nail.id));
            assert_eq!(pilot_by_rule(nail, true), Length::sixty_fourths(*hard), "{}", nail.id);
            assert_eq!(pilot_by_rule(nail, false), Length::sixty_fourths(*soft), "{}", nail.id);
        }
    }
}
