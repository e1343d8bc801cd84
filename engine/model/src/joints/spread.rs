//! Where the fasteners of a joint go: a pattern inside the patch, by rule.

use super::rules;
use super::seam::{Seam, centroid};
use crate::Part;
use slatwork_solid::{DVec2, DVec3, along, clip_ring};

/// How many fasteners a kind wants.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Count {
    /// So many.
    Fixed(usize),
    /// Two where the first part is wider than [`TWO_FROM`], else one.
    ByWidth,
    /// Two, or one where two would stand too near to each other, to an end or an edge: see [`Count::least`].
    PairOrOne,
    /// Two, and one more for each further [`PITCH`] of the patch.
    ByLength,
}

/// Slats wider than this get two screws at each bearer (common practice, no source).
pub(crate) const TWO_FROM: f64 = 65.0;

/// Slats up to this width do with one screw where two would split them; a wider one would cup, mm (project choice: a board of
/// nominal 4 in).
const PAIR_FROM: f64 = 90.0;

impl Count {
    /// The same for the thinnest fastener there is, which leaves a narrow slat with one where there is no room for two.
    pub(crate) fn least(self, slat: &Part) -> Count {
        let width = slat.width.as_mm();
        if self == Count::ByWidth && width > TWO_FROM && width < PAIR_FROM { Count::PairOrOne } else { self }
    }
}

/// Farthest apart of fasteners along a lap, mm (common practice, no source).
pub(crate) const PITCH: f64 = 200.0;

/// Pieces that a rib of the patch is tested beyond its side, mm.
const BESIDE: f64 = 1.5;

/// The room for axes in a patch: the hull moved in by the distances that edges and ends ask for.
pub(crate) struct Room {
    ring: Vec<DVec2>,
    /// Grain of the parts in the patch; zero where it is end grain.
    grains: [DVec2; 2],
    /// Grain of the further boards that bolts go through.
    others: Vec<DVec2>,
    diameter: f64,
    /// Keeps off edges and ends as far as is advised.
    pub(crate) as_advised: bool,
}

/// Distances to ends and edges that are tried one after the other, in diameters, until something is left of the patch: those
/// aimed at first, then those advised, then less, ends before edges. What is too short for any end distance keeps off its edges
/// where there is room.
const SMALL_YIELDING: [(f64, f64); 12] = [
    (rules::AIMED_END, 2.5),
    (6.0, 2.5),
    (5.0, 2.5),
    (4.0, 2.5),
    (4.0, 2.0),
    (4.0, 1.5),
    (2.0, 2.5),
    (0.5, 2.5),
    (2.0, 1.5),
    (0.5, 1.5),
    (2.0, 1.0),
    (0.5, 0.5),
];

/// The same for bolts and lag screws.
const LARGE_YIELDING: [(f64, f64); 12] = [
    (rules::AIMED_END, rules::LARGE_AIMED_EDGE),
    (5.0, 4.0),
    (4.0, 4.0),
    (4.0, 3.0),
    (4.0, 2.0),
    (4.0, 1.5),
    (3.0, 1.5),
    (2.0, 1.5),
    (1.0, 4.0),
    (1.0, 1.5),
    (1.0, 1.0),
    (0.3, 0.3),
];

/// The rooms of a joint, that of the greatest distances first; each is only worked out when it is asked for.
pub(crate) struct Rooms<'s> {
    seam: &'s Seam<'s>,
    parts: &'s [Part],
    diameter: f64,
    grains: [DVec2; 2],
    others: Vec<DVec2>,
    sides: Vec<PatchSide>,
    /// Distances that have not been tried yet.
    yielding: &'static [(f64, f64)],
    made: Vec<Room>,
}

impl<'s> Rooms<'s> {
    pub(crate) fn of(seam: &'s Seam<'s>, parts: &'s [Part], diameter: f64) -> Self {
        let flat_grain = |part: &Part| seam.flat_direction(part.pose.matrix3.x_axis).normalize_or_zero();
        let grain = |at: usize| {
            if seam.patch.on_end[at] { DVec2::ZERO } else { flat_grain([seam.first, seam.second][at]) }
        };
        let grains = [grain(0), grain(1)];
        let others = seam.order.also.iter().map(|board| flat_grain(&parts[board.0])).collect();
        let sides = sides(seam, grains);
        let large = diameter >= rules::LARGE - 1e-6;
        let yielding: &[(f64, f64)] = if large { &LARGE_YIELDING } else { &SMALL_YIELDING };
        Rooms { seam, parts, diameter, grains, others, sides, yielding, made: Vec::new() }
    }

    /// One of the rooms; there is always a first one.
    pub(crate) fn get(&mut self, at: usize) -> Option<&Room> {
        while self.made.len() <= at {
            let room = self.next()?;
            self.made.push(room);
        }
        self.made.get(at)
    }

    fn next(&mut self) -> Option<Room> {
        while let [(end, edge), rest @ ..] = self.yielding {
            self.yielding = rest;
            let off = (end * self.diameter, edge * self.diameter);
            let ring = inset(&self.seam.flat, &self.sides, off).and_then(kept_in(self.seam));
            let Some(ring) = ring.and_then(|ring| within_others(ring, self.seam, self.parts, off)) else {
                continue;
            };
            // Nearer to edges than this nothing holds: it is only looked at when there is no room at all.
            let least = rules::least(self.diameter);
            if *end <= least.end && *edge <= least.edge {
                self.yielding = &[];
            }
            let advised = rules::advised(self.diameter);
            return Some(self.room(ring, *end >= advised.end && *edge >= advised.edge));
        }
        self.made.is_empty().then(|| self.room(vec![centroid(&self.seam.flat)], false))
    }

    fn room(&self, ring: Vec<DVec2>, as_advised: bool) -> Room {
        let (grains, others, diameter) = (self.grains, self.others.clone(), self.diameter);
        Room { ring, grains, others, diameter, as_advised }
    }
}

impl Room {
    fn middle(&self) -> DVec2 {
        centroid(&self.ring)
    }

    /// The stretch of a line through `at` that lies in the room, as distances along `direction`.
    fn chord(&self, at: DVec2, direction: DVec2) -> (f64, f64) {
        let (mut low, mut high) = (f64::NEG_INFINITY, f64::INFINITY);
        for index in 0..self.ring.len() {
            let (from, to) = (self.ring[index], self.ring[(index + 1) % self.ring.len()]);
            let outward = -(to - from).perp().normalize_or_zero();
            let (rise, room) = (outward.dot(direction), outward.dot(from - at));
            if rise > 1e-9 {
                high = high.min(room / rise);
            } else if rise < -1e-9 {
                low = low.max(room / rise);
            }
        }
        if self.ring.len() < 3 || low > high { (0.0, 0.0) } else { (low, high) }
    }

    /// The direction of the longest line through the middle, along or across a grain.
    fn longest(&self) -> DVec2 {
        let middle = self.middle();
        let axes = self
            .grains
            .iter()
            .filter(|grain| **grain != DVec2::ZERO)
            .flat_map(|grain| [*grain, grain.perp()]);
        let axes: Vec<DVec2> = axes.chain([DVec2::X, DVec2::Y]).collect();
        let length = |axis: &DVec2| {
            let (low, high) = self.chord(middle, *axis);
            high - low
        };
        // The first of equals, so that a square patch is laid out along the first part's grain.
        let mut best = axes[0];
        for axis in &axes[1..] {
            if length(axis) > length(&best) + 0.01 {
                best = *axis;
            }
        }
        best
    }

    /// How many a rule asks for.
    pub(crate) fn count(&self, seam: &Seam, count: Count) -> usize {
        match count {
            Count::Fixed(count) => count,
            Count::PairOrOne => 2,
            Count::ByWidth if seam.first.width.as_mm() > TWO_FROM => 2,
            Count::ByWidth => 1,
            Count::ByLength => {
                let (low, high) = self.chord(self.middle(), self.longest());
                if high - low < rules::least(self.diameter).in_row * self.diameter {
                    1
                } else {
                    2 + ((high - low) / PITCH).floor() as usize
                }
            }
        }
    }

    /// Patterns of `count` axes to try, the best first: on the longest line, by turns a little to its either side so that no
    /// two share a line of grain; the same with less spread; and both reversed.
    pub(crate) fn patterns(
        &self,
        seam: &Seam,
        count: usize,
        middle_of_piece: DVec3,
    ) -> Box<dyn Iterator<Item = Vec<DVec2>> + '_> {
        let middle = self.middle();
        let along = self.outward(seam, self.longest(), middle_of_piece);
        let across = self.outward(seam, along.perp(), middle_of_piece);
        let (low, high) = self.chord(middle, along);
        let (under, over) = self.chord(middle, across);
        if count == 1 {
            return Box::new(self.singles(middle, (along, low, high), (across, under, over)));
        }
        let stagger = (1.25 * self.diameter).min((over - under) / 2.0);
        let most = (over - under) / 2.0;
        let grid = count == 4 && over - under >= 5.0 * self.diameter && (over - under) * 3.0 > high - low;
        let grid =
            grid.then(|| grid_of(middle, along * ((high - low) / 2.0), across * ((over - under) / 2.0)));
        let line = Line { middle, along, across };
        // In a line of grain they stand to either side of it; across the grain, or in end grain, one line is easier to mark.
        let in_grain = self.grains.iter().any(|grain| grain.dot(along).abs() > IN_GRAIN);
        let sides = if in_grain {
            [stagger, -stagger, 0.0, most, -most]
        } else {
            [0.0, stagger, -stagger, most, -most]
        };
        let zigzags = SPREADS.into_iter().flat_map(move |spread| {
            sides.into_iter().map(move |side| self.zigzag(count, line, spread, side))
        });
        let pairs = (count == 2).then(|| self.corner_pairs(line)).into_iter().flatten();
        Box::new(grid.into_iter().chain(zigzags).chain(pairs))
    }

    /// Two of the room's corners, the farthest apart first: where neither a line nor its staggering parts them enough.
    fn corner_pairs(&self, line: Line) -> Vec<Vec<DVec2>> {
        let corners = &self.ring;
        let pair = |a: usize, b: usize| {
            let step = corners[b] - corners[a];
            let (along, across) = (step.dot(line.along), step.dot(line.across));
            // Of two alike the one that rises with the line comes first, so that mirror images get mirrored pairs.
            let falls = along * across < 0.0;
            (step.length().round(), falls, vec![corners[a], corners[b]])
        };
        let mut pairs: Vec<_> =
            (0..corners.len()).flat_map(|a| (a + 1..corners.len()).map(move |b| pair(a, b))).collect();
        pairs.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
        pairs.into_iter().map(|(_, _, pair)| pair).collect()
    }

    /// Places of a single axis to try: the middle, then along the longest line, then off it.
    fn singles(
        &self,
        middle: DVec2,
        (along, low, high): (DVec2, f64, f64),
        (across, under, over): (DVec2, f64, f64),
    ) -> impl Iterator<Item = Vec<DVec2>> + use<> {
        let mut places = Vec::new();
        for off in shifts(under, over) {
            let at = middle + across * off;
            let (from, to) = self.chord(at, along);
            for by in shifts(low, high) {
                let place = at + along * by.clamp(from.min(to), to.max(from));
                places.push((place.distance(middle), place));
            }
        }
        // Nearest to the middle first; equal ones keep their order.
        places.sort_by(|a, b| a.0.total_cmp(&b.0));
        places.into_iter().map(|(_, place)| vec![place])
    }

    fn zigzag(&self, count: usize, line: Line, (spread, shift): (f64, f64), side: f64) -> Vec<DVec2> {
        let place = |index: usize| {
            let off = if index.is_multiple_of(2) { side } else { -side };
            let at = line.middle + line.across * off;
            let (low, high) = self.chord(at, line.along);
            let half = (high - low) / 2.0;
            let centre = (low + high) / 2.0 + half * shift;
            let share = if count < 2 { 0.0 } else { 2.0 * index as f64 / (count - 1) as f64 - 1.0 };
            at + line.along * (centre + half * spread * share)
        };
        // An odd one in the middle stands on the line, so that the pattern stays symmetric about its centre.
        let middle_one = (!count.is_multiple_of(2) && shift == 0.0).then_some(count / 2);
        (0..count).map(|index| if middle_one == Some(index) { line.middle } else { place(index) }).collect()
    }

    /// The direction or its opposite: to the rear, else up, else away from the middle of the piece; so that mirror images
    /// get mirrored patterns.
    fn outward(&self, seam: &Seam, axis: DVec2, middle_of_piece: DVec3) -> DVec2 {
        let world = seam.patch.along * axis.x + seam.patch.across * axis.y;
        let out = if world.y.abs() > SIDEWAYS {
            world.y
        } else if world.z.abs() > SIDEWAYS {
            world.z
        } else {
            let off = seam.patch.centre.x - middle_of_piece.x;
            if off.abs() > 1.0 { world.x * off } else { world.x }
        };
        if out < 0.0 { -axis } else { axis }
    }

    /// Places near one of a pattern's, in its room, the nearest first: where a fastener goes that would run into something.
    pub(crate) fn beside(&self, seam: &Seam, place: DVec2, middle_of_piece: DVec3) -> Vec<DVec2> {
        let along = self.outward(seam, self.longest(), middle_of_piece);
        let across = self.outward(seam, along.perp(), middle_of_piece);
        // Toward the middle first, so that mirrored patterns stay mirrored.
        let inward = if (self.middle() - place).dot(along) < 0.0 { -along } else { along };
        let step = 0.4 * self.diameter;
        let mut places = Vec::new();
        for by in 1..=MOST_STEPS_BESIDE {
            let by = f64::from(by) * step;
            for way in [inward, -inward, across, -across, inward + across, inward - across] {
                let moved = place + way * by;
                if self.holds(moved) {
                    places.push(moved);
                }
            }
        }
        places
    }

    fn holds(&self, place: DVec2) -> bool {
        self.ring.len() >= 3
            && (0..self.ring.len()).all(|index| {
                let (from, to) = (self.ring[index], self.ring[(index + 1) % self.ring.len()]);
                (to - from).perp_dot(place - from) >= -1e-6
            })
    }

    /// How badly two axes a step apart stand to each other in wood of that grain.
    fn nearness(&self, grain: DVec2, step: DVec2) -> rules::Nearness {
        if grain == DVec2::ZERO {
            return rules::spacing_on_end(self.diameter, step.length());
        }
        rules::spacing(self.diameter, step.dot(grain).abs(), step.perp_dot(grain).abs())
    }

    /// How badly the axes of a pattern stand to each other.
    pub(crate) fn spacing(&self, pattern: &[DVec2]) -> rules::Nearness {
        let mut worst = rules::Nearness::Fine;
        for (index, a) in pattern.iter().enumerate() {
            for b in &pattern[index + 1..] {
                for grain in self.grains.iter().chain(&self.others) {
                    worst = worst.max(self.nearness(*grain, *b - *a));
                }
            }
        }
        worst
    }
}

/// A line that turns from a grain by less than 30 degrees runs with it (cosine).
const IN_GRAIN: f64 = 0.866;

/// How many steps a single fastener is moved from its place in the pattern.
const MOST_STEPS_BESIDE: u8 = 20;

/// The line that a pattern is laid out on.
#[derive(Clone, Copy)]
struct Line {
    middle: DVec2,
    along: DVec2,
    across: DVec2,
}

/// Shares of the room that a pattern takes, and how far it is moved off its middle, in the order they are tried.
const SPREADS: [(f64, f64); 12] = [
    (1.0, 0.0),
    (0.85, 0.0),
    (0.7, 0.0),
    (0.7, 0.3),
    (0.7, -0.3),
    (0.55, 0.0),
    (0.55, 0.45),
    (0.55, -0.45),
    (0.4, 0.0),
    (0.4, 0.6),
    (0.4, -0.6),
    (0.3, 0.0),
];

/// Directions with less of the world's y or z than this run from side to side.
const SIDEWAYS: f64 = 0.3;

/// Places of a single axis to try: the middle, then off it.
fn shifts(low: f64, high: f64) -> [f64; 7] {
    let middle = (low + high) / 2.0;
    let half = (high - low) / 2.0;
    [0.0, 0.35, -0.35, 0.7, -0.7, 1.0, -1.0].map(|share| middle + half * share)
}

fn grid_of(middle: DVec2, along: DVec2, across: DVec2) -> Vec<DVec2> {
    [(-1.0, -1.0), (-1.0, 1.0), (1.0, -1.0), (1.0, 1.0)]
        .map(|(x, y)| middle + along * x + across * y)
        .to_vec()
}

/// What a side of the patch is to the parts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum PatchSide {
    /// Wood of both parts goes on beyond it.
    Open,
    /// An edge of a part.
    Edge,
    /// An end of a part.
    End,
}

/// What each side of the hull is.
fn sides(seam: &Seam, grains: [DVec2; 2]) -> Vec<PatchSide> {
    (0..seam.flat.len())
        .map(|at| {
            let (from, to) = (seam.flat[at], seam.flat[(at + 1) % seam.flat.len()]);
            let outward = -(to - from).perp().normalize_or_zero();
            let beyond = (from + to) / 2.0 + outward * BESIDE;
            let mut side = PatchSide::Open;
            for part in (0..2).filter(|part| !has_wood(seam, *part, beyond)) {
                let is_end = grains[part].dot(outward).abs() > core::f64::consts::FRAC_1_SQRT_2;
                if is_end {
                    side = PatchSide::End;
                } else if side == PatchSide::Open {
                    side = PatchSide::Edge;
                }
            }
            side
        })
        .collect()
}

/// Whether a part has wood under a point of the patch's plane.
fn has_wood(seam: &Seam, part: usize, flat: DVec2) -> bool {
    let point = seam.world(flat);
    let (placed, into) = if part == 0 {
        (seam.first.placed(), -seam.patch.normal)
    } else {
        (seam.second.placed(), seam.patch.normal)
    };
    let (near, far) = (0.5 + seam.patch.gap, 4.0 + seam.patch.gap);
    !along(&placed, point + into * near, point + into * far).is_empty()
}

/// The ring moved in by each side's distance; `None` when nothing is left.
fn inset(ring: &[DVec2], sides: &[PatchSide], (end, edge): (f64, f64)) -> Option<Vec<DVec2>> {
    let mut left = ring.to_vec();
    for at in 0..ring.len() {
        let (from, to) = (ring[at], ring[(at + 1) % ring.len()]);
        let outward = -(to - from).perp().normalize_or_zero();
        let need = match sides[at] {
            PatchSide::Open => 0.0,
            PatchSide::Edge => edge,
            PatchSide::End => end,
        };
        let limit = outward.dot(from) - need;
        left = clip_ring(&left, |point| outward.dot(point) - limit);
        if left.len() < 3 {
            return None;
        }
    }
    Some(left)
}

/// What of a ring stays off the ends of the contact as far as the script asks.
fn kept_in(seam: &Seam) -> impl Fn(Vec<DVec2>) -> Option<Vec<DVec2>> {
    let off = seam.order.inset.map(slatwork_base::Length::as_mm);
    let reach = seam.flat.iter().fold((0.0f64, 0.0f64), |(low, high), at| (low.min(at.x), high.max(at.x)));
    move |ring| {
        let Some(off) = off else { return Some(ring) };
        let left = clip_ring(&ring, |at| at.x - (reach.1 - off));
        let left = clip_ring(&left, |at| (reach.0 + off) - at.x);
        (left.len() > 2).then_some(left)
    }
}

/// An axis of a board lies in the patch when it leaves the patch's plane by less than 45 degrees (cosine).
const IN_PLANE: f64 = core::f64::consts::FRAC_1_SQRT_2;

/// What of a ring lies in the further boards that bolts go through, so far off their ends and edges.
fn within_others(
    mut ring: Vec<DVec2>,
    seam: &Seam,
    parts: &[Part],
    (end, edge): (f64, f64),
) -> Option<Vec<DVec2>> {
    for part in seam.order.also.iter().map(|board| &parts[board.0]) {
        let bounds = part.solid.bounds();
        let axes = part.pose.matrix3;
        for (axis, low, high, off) in [
            (axes.x_axis, bounds.min.x, bounds.max.x, end),
            (axes.y_axis, bounds.min.y, bounds.max.y, edge),
            (axes.z_axis, bounds.min.z, bounds.max.z, edge),
        ] {
            let flat = seam.flat_direction(axis);
            if flat.length() < IN_PLANE {
                continue;
            }
            let base = (seam.patch.centre - part.pose.translation).dot(axis);
            ring = clip_ring(&ring, |at| base + at.dot(flat) - (high - off));
            ring = clip_ring(&ring, |at| low + off - base - at.dot(flat));
        }
    }
    (ring.len() > 2).then_some(ring)
}
