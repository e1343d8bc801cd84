//! Setting fasteners: each where the pattern says, through the layers that are there, with the holes it needs.

use super::choose::{self, ScrewLength};
use super::data::{Bore, Extra, Fastening, HeadSeat, Layer, Metal};
use super::rules::{self, BOLT_PLAY, GLUE_ROOM, LEAD_IN, Nearness};
use super::seam::Seam;
use super::spread::{Count, Room};
use super::{Drive, Fixed, Shop};
use crate::{Part, When};
use slatwork_base::{Angle, Diagnostic, Length, Severity, maths};
use slatwork_catalog::{Catalogue, DrillSizes, Fastener, FastenerKind};
use slatwork_solid::{DVec2, DVec3, Hole, HoleStep, Tag, along, segment_distance};

/// Layers are looked for this far to either side of the seam, mm: more than any part is wide.
const REACH: f64 = 600.0;

/// Room beside a head or nut for fingers and a socket, mm (common practice, no source: 5 mm over the corners of a nut).
const BESIDE_HEAD: f64 = 5.0;

/// Room outside the wood for a head, or for a washer and nut, mm: the thickest of them up to 3/8 in.
const HEAD_ROOM: f64 = 12.0;

/// A layer ends at the seam when it ends within this of it, mm: contact, and the gap under a seated part.
const AT_SEAM: f64 = 2.0;

/// The two layers along an axis: mm from the seam, negative in the first part.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Axis {
    point: DVec3,
    direction: DVec3,
    /// Where the axis enters the first part.
    outer: f64,
    /// Where it enters and leaves the second.
    inner: (f64, f64),
}

impl Axis {
    pub(crate) fn at(seam: &Seam, flat: DVec2) -> Option<Self> {
        let point = seam.world(flat);
        let direction = seam.patch.normal;
        let span = |part: &Part| along(&part.placed(), point - direction * REACH, point + direction * REACH);
        let near = |value: f64| (value - REACH).abs() <= AT_SEAM + seam.patch.gap;
        let outer = span(seam.first).into_iter().find(|layer| near(layer.1))?;
        let inner = span(seam.second).into_iter().find(|layer| near(layer.0))?;
        Some(Axis { point, direction, outer: outer.0 - REACH, inner: (inner.0 - REACH, inner.1 - REACH) })
    }

    /// Thickness of the first part and the gap behind it.
    fn thickness(&self) -> f64 {
        self.inner.0.max(0.0) - self.outer
    }

    fn holding(&self) -> f64 {
        self.inner.1 - self.inner.0
    }

    fn world(&self, at: f64) -> DVec3 {
        self.point + self.direction * at
    }
}

/// How good a layout is, and its fasteners.
type LaidOut = Option<(Nearness, Vec<Fastening>)>;

/// Which length of a fastener is tried.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Reach {
    /// By the rule.
    Usual,
    /// The shortest that holds: where the usual one would run into something.
    Least,
}

/// Lays out a pattern and sets a fastener on each of its axes: the first pattern without fault, else the least bad.
fn lay_out(
    seam: &Seam,
    shop: &Shop,
    diameter: f64,
    count: Count,
    set: &mut dyn FnMut(&Shop, Axis, Reach) -> Option<Fastening>,
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
    set: &mut dyn FnMut(&Shop, Axis, Reach) -> Option<Fastening>,
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
    set_at: &mut dyn FnMut(DVec2) -> Option<Fastening>,
) -> LaidOut {
    let mut flats = pattern.to_vec();
    let mut placed = Vec::with_capacity(pattern.len());
    let mut worst = apart;
    for index in 0..pattern.len() {
        let mut fastening = set_at(flats[index])?;
        let mut found = shop.judge(&fastening);
        if let Some(room) = room.filter(|_| found > Nearness::Fine) {
            (found, fastening) = nudge(seam, shop, room, (&mut flats, index), (found, fastening), set_at);
        }
        worst = worst.max(found);
        if so_far.is_some_and(|so_far| worst >= so_far) {
            return None;
        }
        placed.push(fastening);
    }
    Some((worst, placed))
}

/// The first of several fasteners that is no thicker than the joints of one statement may have, else the thinnest.
fn allowed<'f>(shop: &Shop, fasteners: &[&'f Fastener]) -> Result<&'f Fastener, Diagnostic> {
    let thin_enough = |fastener: &&&Fastener| fastener.diameter.as_mm() <= shop.thickest + 1e-6;
    let found = fasteners.iter().find(thin_enough).or_else(|| fasteners.last());
    found
        .copied()
        .ok_or_else(|| Diagnostic::error("unknown-fastener", "the catalogue has no fastener for this joint"))
}

/// Whether a thinner one than the chosen may still be tried.
fn thinner(fasteners: &[&Fastener], chosen: &Fastener) -> bool {
    fasteners.iter().any(|fastener| fastener.diameter < chosen.diameter)
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
    (mut worst, mut best): (Nearness, Fastening),
    set_at: &mut dyn FnMut(DVec2) -> Option<Fastening>,
) -> (Nearness, Fastening) {
    let apart = room.spacing(flats);
    let from = flats[index];
    let mut kept = from;
    for place in room.beside(seam, from, shop.middle) {
        flats[index] = place;
        if room.spacing(flats) > apart {
            continue;
        }
        let Some(moved) = set_at(place) else { continue };
        let found = shop.judge(&moved);
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

impl Shop<'_> {
    /// How badly a fastener stands to edges, ends and what is already in the wood.
    fn judge(&self, fastening: &Fastening) -> Nearness {
        let diameter = fastening.diameter.as_mm();
        let layers = fastening
            .layers
            .iter()
            .map(|layer| rules::edge(diameter, layer.edge).max(rules::end(diameter, layer.end)));
        let worst = layers.fold(Nearness::Fine, Nearness::max).max(holding(fastening));
        let clashes = worst < Nearness::Fails && (self.meets(fastening) || self.is_covered(fastening));
        if clashes { Nearness::Fails } else { worst }
    }

    /// Whether another part stands where a bolt's head or its nut has to sit.
    fn is_covered(&self, fastening: &Fastening) -> bool {
        if fastening.drive != Drive::Wrench {
            return false;
        }
        let direction = fastening.direction;
        let radius = fastening.head_diameter.as_mm() / 2.0 + BESIDE_HEAD;
        let far = fastening.layers.iter().map(|layer| layer.to).fold(0.0, f64::max);
        let others = |part: &Part| fastening.layers.iter().all(|layer| layer.part != part.id);
        let head = fastening.sunk() == 0.0 && self.fills(&others, fastening.head, -direction, radius);
        let nut = fastening.head + direction * far;
        head || (fastening.takes_nut() && self.fills(&others, nut, direction, radius))
    }

    /// Whether wood of such parts fills the room of a head from a point outward.
    fn fills(&self, counts: &dyn Fn(&Part) -> bool, from: DVec3, way: DVec3, radius: f64) -> bool {
        let one = way.any_orthonormal_vector();
        let other = way.cross(one);
        let (near, far) = (from + way * 0.5, from + way * HEAD_ROOM);
        let (low, high) = (near.min(far) - radius, near.max(far) + radius);
        self.parts.iter().zip(&self.boxes).any(|(part, bounds)| {
            bounds.max.cmpge(low).all()
                && bounds.min.cmple(high).all()
                && counts(part)
                && [DVec3::ZERO, one, -one, other, -other].iter().any(|arm| {
                    let arm = *arm * radius;
                    !along(&part.placed(), near + arm, far + arm).is_empty()
                })
        })
    }

    /// Whether a fastener comes nearer than 3 mm of wood to one that is set, or to a hole.
    fn meets(&self, fastening: &Fastening) -> bool {
        let radius = fastening.diameter.as_mm() / 2.0;
        self.taken.iter().any(|rod| {
            let clear = rod.radius + radius + rules::LEAST_WOOD;
            rod.near(fastening.head, fastening.tip, clear)
                && segment_distance(rod.from, rod.to, fastening.head, fastening.tip) < clear
        })
    }

    /// Remembers where metal is.
    fn take(&mut self, placed: &[Fastening]) {
        self.taken.extend(placed.iter().map(|fastening| {
            super::Rod::new(fastening.head, fastening.tip, fastening.diameter.as_mm() / 2.0)
        }));
    }
}

/// Whether a driven fastener reaches far enough into what holds it, and not out of it.
fn holding(fastening: &Fastening) -> Nearness {
    let driven = matches!(fastening.drive, Drive::Driver | Drive::Hammer);
    let Some(last) = fastening.layers.last().filter(|_| driven) else { return Nearness::Fine };
    let short = fastening.penetration() < choose::LEAST_PENETRATION * fastening.diameter.as_mm() - 0.05;
    let out = last.to - fastening.length.as_mm() < rules::LEAST_WOOD - 0.01;
    if short || out { Nearness::Fails } else { Nearness::Fine }
}

/// A layer of wood along an axis, from the head, with its distances to edges and ends.
pub(crate) fn layer(part: &Part, head: DVec3, direction: DVec3, (from, to): (f64, f64), tip: f64) -> Layer {
    let axes = [part.pose.matrix3.x_axis, part.pose.matrix3.y_axis, part.pose.matrix3.z_axis];
    let lean = axes[0].dot(direction).abs().min(1.0);
    // Distances are measured along the face that the axis goes through, not square to the axis: a leaning axis would else look
    // out of the face.
    let across = if axes[1].dot(direction).abs() > axes[2].dot(direction).abs() { 2 } else { 1 };
    let along_grain = lean > ALONG_GRAIN;
    let (one, other) = if along_grain { (axes[1], axes[2]) } else { (axes[0], axes[across]) };
    let (mut end, mut edge) = (f64::INFINITY, f64::INFINITY);
    let stop = to.min(tip);
    let reach = stop - from;
    let inside = (reach * 0.15).min(2.0);
    let free = |depth: f64, ray: DVec3| {
        let point = head + direction * depth;
        let span = along(&part.placed(), point, point + ray * FARTHEST).first().copied();
        let free = span.map_or(0.0, |span| if span.0 < 0.1 { span.1 } else { 0.0 });
        if free >= FARTHEST - 0.1 { f64::INFINITY } else { free }
    };
    // Just under the face the rays run along that face, and only across the grain: under a sawn curve the grain soon runs out of
    // the surface, which is no end of the board.
    if let Some(side) = direction.cross(axes[0]).try_normalize() {
        edge = edge.min(free(from + inside, side)).min(free(from + inside, -side));
    }
    for depth in [from + reach * 0.3, stop - inside] {
        for turn in 0..8 {
            let (sine, cosine) = (EIGHTHS[(turn + 6) % 8], EIGHTHS[turn]);
            let found = free(depth, one * cosine + other * sine);
            if turn % 4 == 0 && !along_grain {
                end = end.min(found);
            } else {
                edge = edge.min(found);
            }
        }
    }
    Layer { part: part.id, from, to, grain: Angle::rad(maths::acos(lean)), end, edge }
}

/// Cosines of the eight eighths of a turn.
const EIGHTHS: [f64; 8] = {
    const H: f64 = core::f64::consts::FRAC_1_SQRT_2;
    [1.0, H, 0.0, -H, -1.0, -H, 0.0, H]
};

/// An axis that leans from the grain by less than 45 degrees sits in end grain (cosine).
const ALONG_GRAIN: f64 = core::f64::consts::FRAC_1_SQRT_2;

/// Edges and ends farther away than this do not matter, mm.
const FARTHEST: f64 = 150.0;

/// A bore in a part, from a world point.
fn bore(part: &Part, start: DVec3, direction: DVec3, steps: Vec<HoleStep>, what: String, when: When) -> Bore {
    let hole = Hole {
        start: part.pose.inverse().transform_point3(start),
        direction: part.pose.matrix3.transpose() * direction,
        steps,
        tag: Tag(0),
    };
    Bore { part: part.id, hole, what, when, countersink: None, in_solid: true }
}

/// A bore drilled on through the hole of another part: too small to weaken the wood, it stays out of the solid.
fn pilot(
    holding: &Part,
    through: &Part,
    from: DVec3,
    direction: DVec3,
    diameter: Length,
    depth: f64,
    what: String,
) -> Bore {
    let steps = vec![HoleStep { radius: diameter.as_mm() / 2.0, depth: depth + LEAD_IN }];
    let when = When::Through { part: through.name.clone() };
    Bore { in_solid: false, ..bore(holding, from - direction * LEAD_IN, direction, steps, what, when) }
}

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
        FastenerKind::Nail => vec![nail(shop, seam, outer)?],
        _ => choose::screws(shop.catalogue, seam, kind, (outer, holding))?,
    };
    let fastener = allowed(shop, &candidates)?;
    let metal = choose::metal(shop.catalogue, &[seam.first, seam.second], fastener.kind);
    let drills = choose::drills(shop.catalogue, fastener);
    let mut set = |_: &Shop, axis: Axis, reach: Reach| screw_at(seam, (fastener, drills, reach), metal, axis);
    let (worst, mut placed) = lay_out(seam, shop, fastener.diameter.as_mm(), count, &mut set)?;
    for screw in &mut placed {
        screw.bores = screw_bores(seam, shop, (fastener, drills), screw);
    }
    shop.take(&placed);
    let may_thin = thinner(&candidates, fastener);
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
    let bored = placed.iter().find_map(|fastening| match fastening.seat {
        HeadSeat::Counterbored { diameter, plugged: true, .. } => Some(diameter),
        _ => None,
    })?;
    let plug = catalogue.fasteners().find(|own| own.kind == FastenerKind::Plug && own.diameter >= bored)?;
    Some(Extra { item: plug.id.clone(), count: placed.len(), length: None, metal: Metal::Wood })
}

/// The nail for a seam: what the script names, else the shortest that reaches two thirds into the holding piece.
fn nail<'c>(shop: &Shop<'c>, seam: &Seam, outer: f64) -> Result<&'c Fastener, Diagnostic> {
    if let Some(id) = &seam.order.fastener {
        return choose::named(shop.catalogue, seam, id, &[FastenerKind::Nail, FastenerKind::FinishNail]);
    }
    let nails = || shop.catalogue.fasteners().filter(|fastener| fastener.kind == FastenerKind::Nail);
    let reaches = |nail: &&Fastener| nail.lengths.last().is_some_and(|length| length.as_mm() >= 2.5 * outer);
    nails().find(reaches).or_else(|| nails().last()).ok_or_else(|| {
        Diagnostic::error("unknown-fastener", "the catalogue has no nails").at_origin(seam.origin)
    })
}

/// A screw or nail on an axis, its holes not bored yet.
fn screw_at(
    seam: &Seam,
    (fastener, drills, reach): (&Fastener, Option<&DrillSizes>, Reach),
    metal: Metal,
    axis: Axis,
) -> Option<Fastening> {
    let order = seam.order;
    let sink = if order.plug { PLUG_DEPTH } else { order.sink.map_or(0.0, Length::as_mm) };
    let ScrewLength { length, sunk } = match order.length {
        Some(length) => ScrewLength { length, sunk: sink },
        None => {
            let least = reach == Reach::Least;
            choose::screw_length(fastener, axis.thickness(), axis.holding(), sink, least)?
        }
    };
    let head = axis.world(axis.outer + sunk);
    let direction = axis.direction;
    let tip = length.as_mm();
    let seam_at = -axis.outer - sunk;
    let entry = seam_at + axis.inner.0;
    let outer = layer(seam.first, head, direction, (0.0, seam_at), tip);
    let inner = layer(seam.second, head, direction, (entry, entry + axis.holding()), tip);
    let head_diameter = fastener.head_diameter().unwrap_or(fastener.diameter);
    let seat = if sunk > 0.0 {
        let table = drills.and_then(|drills| drills.counterbore);
        let hex = fastener.kind == FastenerKind::LagScrew;
        let diameter = table.filter(|_| !hex).unwrap_or_else(|| socket_bore(head_diameter));
        HeadSeat::Counterbored { diameter, depth: Length::mm(sunk), plugged: order.plug }
    } else if is_nail(fastener) || fastener.kind == FastenerKind::LagScrew {
        HeadSeat::Proud
    } else {
        HeadSeat::Countersunk { diameter: head_diameter }
    };
    Some(Fastening {
        item: fastener.id.clone(),
        kind: fastener.kind,
        diameter: fastener.diameter,
        length,
        head_diameter,
        metal,
        head,
        direction,
        tip: head + direction * tip,
        layers: vec![outer, inner],
        thread: thread(fastener, tip),
        seat,
        drive: match fastener.kind {
            FastenerKind::Nail | FastenerKind::FinishNail => Drive::Hammer,
            FastenerKind::LagScrew => Drive::Wrench,
            _ => Drive::Driver,
        },
        bores: Vec::new(),
    })
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
        steps.push(HoleStep { radius: diameter.as_mm() / 2.0, depth: sunk + LEAD_IN });
    }
    steps.push(HoleStep { radius: clearance.as_mm() / 2.0, depth: sunk + outer.to + LEAD_IN + THROUGH });
    let what = if nail { format!("pilot for {name}") } else { format!("clearance for {name}") };
    let start = screw.head - screw.direction * (sunk + LEAD_IN);
    let mut through = bore(seam.first, start, screw.direction, steps, what, When::AtBench);
    if let HeadSeat::Countersunk { diameter } = screw.seat {
        through.countersink = Some(diameter);
    }
    let depth = (screw.length.as_mm() - inner.from).min(inner.to - inner.from).max(1.0);
    let size = choose::pilot(shop.catalogue, fastener, seam.second, inner.end);
    let entry = screw.head + screw.direction * inner.from;
    let what = format!("pilot for {name}");
    vec![through, pilot(seam.second, seam.first, entry, screw.direction, size, depth, what)]
}

/// Depth of a plugged counterbore, mm: 5/16 in (trade practice 6 to 10 mm; common practice, no source).
const PLUG_DEPTH: f64 = 7.937_5;

/// Bits run this far out of the far side, mm.
const THROUGH: f64 = 0.5;

/// A counterbore that takes a socket over a hex head: across the corners and 5 mm (common practice, no source), in
/// sixteenths of an inch.
fn socket_bore(across_flats: Length) -> Length {
    let corners = across_flats.as_mm() * 2.0 / 3f64.sqrt() + 5.0;
    Length::mm(rules::next_bit(corners))
}

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

/// Sets bolts through both parts, with washers and nuts.
pub(crate) fn bolts(seam: &Seam, shop: &mut Shop, count: Count) -> Result<Fixed, Diagnostic> {
    let candidates = choose::bolts(shop.catalogue, seam)?;
    let fastener = allowed(shop, &candidates)?;
    let metal = choose::metal(shop.catalogue, &[seam.first, seam.second], fastener.kind);
    let stack = stack_of(shop, fastener);
    let (washer, nut) = (shop.washer(fastener), shop.nut(fastener));
    let mut set =
        |shop: &Shop, axis: Axis, _: Reach| bolt_at(seam, shop, (fastener, nut), metal, stack, axis);
    let (worst, mut placed) = lay_out(seam, shop, fastener.diameter.as_mm(), count, &mut set)?;
    let drills = choose::drills(shop.catalogue, fastener);
    for bolt in &mut placed {
        bolt.bores = bolt_bores(shop, (fastener, drills), bolt);
    }
    shop.take(&placed);
    let may_thin = thinner(&candidates, fastener);
    let carriage = fastener.kind == FastenerKind::CarriageBolt;
    let mut extras = Vec::new();
    let each = |item: Option<&Fastener>, per: usize| {
        item.map(|item| Extra { item: item.id.clone(), count: per * placed.len(), length: None, metal })
    };
    extras.extend(each(washer, if carriage { 1 } else { 2 }));
    extras.extend(each(nut, 1));
    Ok(Fixed { fastenings: placed, glue: false, extras, worst, may_thin })
}

/// Thickness of a bolt's washers, and of its nut, mm.
fn stack_of(shop: &Shop, fastener: &Fastener) -> (f64, f64) {
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
) -> Option<Fastening> {
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
    let layers: Vec<Layer> = stack
        .iter()
        .map(|(part, from, to)| {
            layer(part, head, direction, (from_head(*from).max(0.0), from_head(*to)), tip)
        })
        .collect();
    let nut_corners = nut_of.and_then(Fastener::head_diameter).unwrap_or(fastener.diameter);
    let head_diameter = fastener.head_diameter().unwrap_or(fastener.diameter);
    let seat = if sunk > 0.0 {
        HeadSeat::Counterbored {
            diameter: socket_bore(head_diameter),
            depth: Length::mm(sunk),
            plugged: false,
        }
    } else {
        HeadSeat::Proud
    };
    Some(Fastening {
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
        layers,
        thread: (grip, tip),
        seat,
        drive: Drive::Wrench,
    })
}

/// The holes of a bolt: the outermost part is bored at the bench, the others are drilled on through it.
fn bolt_bores(
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
            steps.push(HoleStep { radius: diameter.as_mm() / 2.0, depth: sunk + LEAD_IN });
            from -= sunk;
        }
        steps.push(HoleStep { radius, depth: layer.to - from + LEAD_IN + THROUGH });
        let through = When::Through { part: outermost.name.clone() };
        let when = if index == 0 { When::AtBench } else { through };
        let start = bolt.head + direction * (from - LEAD_IN);
        bore(&shop.parts[layer.part.0], start, direction, steps, what.clone(), when)
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

/// Sets dowels, half in either part.
pub(crate) fn dowels(seam: &Seam, shop: &mut Shop, count: Count) -> Result<Fixed, Diagnostic> {
    let fastener = match &seam.order.fastener {
        Some(id) => choose::named(shop.catalogue, seam, id, &[FastenerKind::Dowel])?,
        None => dowel_by_rule(shop, seam)?,
    };
    let diameter = fastener.diameter.as_mm();
    let mut set = |_: &Shop, axis: Axis, _: Reach| dowel_at(seam, fastener, axis);
    let (worst, placed) = lay_out(seam, shop, diameter, count, &mut set)?;
    shop.take(&placed);
    Ok(Fixed { fastenings: placed, glue: true, worst, ..Fixed::default() })
}

/// A third of the thinner piece, the next dowel down to half of it (common practice, no source).
fn dowel_by_rule<'c>(shop: &Shop<'c>, seam: &Seam) -> Result<&'c Fastener, Diagnostic> {
    let thinner = seam.first.thickness.min(seam.second.thickness).as_mm();
    let dowels = || shop.catalogue.fasteners().filter(|fastener| fastener.kind == FastenerKind::Dowel);
    let fits = |dowel: &&Fastener| dowel.diameter.as_mm() <= thinner / 2.0 + 0.01;
    let by_rule = dowels().find(|dowel| dowel.diameter.as_mm() >= thinner / 3.0 - 0.01 && fits(dowel));
    by_rule.or_else(|| dowels().filter(fits).last()).or_else(|| dowels().next()).ok_or_else(|| {
        Diagnostic::error("unknown-fastener", "the catalogue has no dowels").at_origin(seam.origin)
    })
}

fn dowel_at(seam: &Seam, fastener: &Fastener, axis: Axis) -> Option<Fastening> {
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
    let outer = layer(seam.first, head, direction, (0.0, seam_at), tip);
    let inner = layer(seam.second, head, direction, (seam_at, seam_at + axis.holding()), tip);
    let depth = half(&length) + GLUE_ROOM;
    let what = format!("dowel {}", fastener.size);
    let step = vec![HoleStep { radius: fastener.diameter.as_mm() / 2.0, depth: depth + LEAD_IN }];
    let from = |part: &Part, direction: DVec3, when: When| {
        bore(part, axis.world(0.0) - direction * LEAD_IN, direction, step.clone(), what.clone(), when)
    };
    let marked = When::MarkedFrom { parts: vec![seam.first.name.clone()] };
    Some(Fastening {
        item: fastener.id.clone(),
        kind: fastener.kind,
        diameter: fastener.diameter,
        length,
        head_diameter: Length::ZERO,
        metal: Metal::Wood,
        head,
        direction,
        tip: head + direction * tip,
        layers: vec![outer, inner],
        thread: (0.0, 0.0),
        seat: HeadSeat::Proud,
        drive: Drive::Hand,
        bores: vec![from(seam.first, -direction, When::AtBench), from(seam.second, direction, marked)],
    })
}

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
