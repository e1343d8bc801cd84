//! [`Brep`]: the planar faces of a body, from the sides of its pieces.
//!
//! The sides in one plane, with the directions of their edges, add up to the border of what is wood on one side only:
//! where two sides meet, their edges cancel, and so do sides that look at each other. Nothing is computed but the places
//! where sides of opposite pieces cross, so the corners keep their bits.

use crate::body::Body;
use crate::flat::{Frame, contains};
use crate::piece::INNER;
use crate::rings::{Border, nest, trace};
use crate::tolerance::WELD;
use crate::weld::Welded;
use crate::{DVec2, DVec3, Tag};

/// Faces over common corners.
#[derive(Clone, Debug, Default)]
pub(crate) struct Brep {
    pub(crate) vertices: Vec<DVec3>,
    pub(crate) faces: Vec<RawFace>,
}

/// A planar face in one piece: the outer ring first, then the inner ones.
#[derive(Clone, Debug)]
pub(crate) struct RawFace {
    pub(crate) normal: DVec3,
    pub(crate) offset: f64,
    pub(crate) tag: Tag,
    pub(crate) rings: Vec<Vec<u32>>,
}

/// A side of a piece, as corners of the brep.
struct Sheet {
    plane: u32,
    flipped: bool,
    tag: Tag,
    corners: Vec<u32>,
}

/// A stretch of a sheet's border, from the lower to the higher corner or back.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Stretch {
    low: u32,
    high: u32,
    forward: bool,
    flipped: bool,
    tag: Tag,
}

impl Brep {
    /// The faces of a body; `None` when they do not close.
    pub(crate) fn new(body: &Body) -> Option<Self> {
        let (welded, sheets) = sheets(body);
        let splits = Splits::new(&welded, &sheets);
        let mut faces = Vec::new();
        for group in sheets.chunk_by(|a, b| a.plane == b.plane) {
            Group { body, welded: &welded, splits: &splits, sheets: group }.faces(&mut faces)?;
        }
        let mut brep = Brep { vertices: welded.points, faces };
        brep.drop_flat_corners();
        brep.is_closed().then_some(brep)
    }

    /// Takes out corners that only two edges in line meet at: what is left of inner divisions.
    fn drop_flat_corners(&mut self) {
        let mut around = Neighbours::new(self.vertices.len());
        for ring in self.faces.iter().flat_map(|face| &face.rings) {
            for (from, to) in edges_of(ring) {
                around.note(from, to);
            }
        }
        let gone: Vec<bool> =
            (0..self.vertices.len() as u32).map(|at| around.bypass(at, &self.vertices)).collect();
        for ring in self.faces.iter_mut().flat_map(|face| &mut face.rings) {
            ring.retain(|&corner| !gone[corner as usize]);
        }
    }

    /// Whether every edge is met by as many in the other direction.
    fn is_closed(&self) -> bool {
        let rings = || self.faces.iter().flat_map(|face| &face.rings);
        if rings().any(|ring| ring.len() < 3) {
            return false;
        }
        let mut edges: Vec<(u32, u32, i32)> = Vec::new();
        for (from, to) in rings().flat_map(|ring| edges_of(ring)) {
            edges.push((from.min(to), from.max(to), if from < to { 1 } else { -1 }));
        }
        edges.sort_unstable();
        edges
            .chunk_by(|a, b| (a.0, a.1) == (b.0, b.1))
            .all(|run| run.iter().map(|edge| edge.2).sum::<i32>() == 0)
    }
}

/// The directed edges of a ring.
pub(crate) fn edges_of(ring: &[u32]) -> impl Iterator<Item = (u32, u32)> {
    ring.iter().copied().zip(ring.iter().copied().cycle().skip(1))
}

/// Up to two neighbours of each corner; a corner with more is a true one.
struct Neighbours {
    of: Vec<[u32; 2]>,
    many: Vec<bool>,
}

const NONE: u32 = u32::MAX;

impl Neighbours {
    fn new(count: usize) -> Self {
        Neighbours { of: vec![[NONE; 2]; count], many: vec![false; count] }
    }

    fn note(&mut self, a: u32, b: u32) {
        for (at, other) in [(a as usize, b), (b as usize, a)] {
            if self.of[at].contains(&other) {
                continue;
            }
            match self.of[at].iter().position(|&slot| slot == NONE) {
                Some(free) => self.of[at][free] = other,
                None => self.many[at] = true,
            }
        }
    }

    /// Joins the two neighbours of a flat corner to each other; whether it was flat.
    fn bypass(&mut self, at: u32, points: &[DVec3]) -> bool {
        let [a, b] = self.of[at as usize];
        if self.many[at as usize] || a == NONE || b == NONE {
            return false;
        }
        let [before, here, after] = [a, at, b].map(|corner| points[corner as usize]);
        let span = after - before;
        let off = (here - before).cross(span).length() / span.length();
        let between = (here - before).dot(span) > 0.0 && (here - after).dot(span) < 0.0;
        if !between || off > WELD {
            return false;
        }
        for (end, other) in [(a, b), (b, a)] {
            for slot in &mut self.of[end as usize] {
                if *slot == at {
                    *slot = other;
                }
            }
        }
        true
    }
}

fn sheets(body: &Body) -> (Welded, Vec<Sheet>) {
    let points: Vec<DVec3> = body.pieces.iter().flat_map(|piece| piece.vertices().iter().copied()).collect();
    let (mut welded, mut places) = Welded::new(&points);
    let mut sheets = collect(body, &places);
    let crossings = crossings(body, &welded, &sheets);
    if !crossings.is_empty() {
        let all: Vec<DVec3> = points.iter().copied().chain(crossings).collect();
        (welded, places) = Welded::new(&all);
        sheets = collect(body, &places);
    }
    (welded, sheets)
}

fn collect(body: &Body, places: &[u32]) -> Vec<Sheet> {
    let mut sheets = Vec::with_capacity(body.pieces.len() * 6);
    let mut base = 0;
    for piece in &body.pieces {
        for (index, (half, corners)) in piece.faces().enumerate() {
            let origin = piece.origins()[index];
            let tag = match half.tag {
                INNER => body.name_of(origin.plane, origin.flipped).unwrap_or(INNER),
                tag => tag,
            };
            let mut corners: Vec<u32> =
                corners.iter().map(|&corner| places[base + corner as usize]).collect();
            corners.dedup();
            if corners.len() > 1 && corners.first() == corners.last() {
                corners.pop();
            }
            if corners.len() >= 3 {
                sheets.push(Sheet { plane: origin.plane, flipped: origin.flipped, tag, corners });
            }
        }
        base += piece.vertices().len();
    }
    sheets.sort_by_key(|sheet| sheet.plane);
    sheets
}

/// Where borders of sheets that look at each other cross away from any corner.
fn crossings(body: &Body, welded: &Welded, sheets: &[Sheet]) -> Vec<DVec3> {
    let mut found = Vec::new();
    for group in sheets.chunk_by(|a, b| a.plane == b.plane) {
        let frame = Frame::new(body.planes.normal(group[0].plane), body.planes.offset(group[0].plane));
        let (against, with): (Vec<_>, Vec<_>) = group.iter().partition(|sheet| sheet.flipped);
        for (one, other) in with.iter().flat_map(|one| against.iter().map(move |other| (one, other))) {
            for (a, b) in edges_of(&one.corners) {
                for (c, d) in edges_of(&other.corners) {
                    if a != c && a != d && b != c && b != d {
                        found.extend(crossing(
                            &frame,
                            [a, b, c, d].map(|corner| welded.points[corner as usize]),
                        ));
                    }
                }
            }
        }
    }
    found
}

/// The crossing of the edges a-b and c-d when it is well inside both.
fn crossing(frame: &Frame, [a, b, c, d]: [DVec3; 4]) -> Option<DVec3> {
    let [fa, fb, fc, fd] = [a, b, c, d].map(|point| frame.flat(point));
    let off = |p: DVec2, q: DVec2, r: DVec2| (q - p).perp_dot(r - p) / (q - p).length();
    let (low, high) = (off(fa, fb, fc), off(fa, fb, fd));
    if low.abs() < WELD || high.abs() < WELD || low * high > 0.0 {
        return None;
    }
    let (left, right) = (off(fc, fd, fa), off(fc, fd, fb));
    if left.abs() < WELD || right.abs() < WELD || left * right > 0.0 {
        return None;
    }
    Some(c + (d - c) * (low / (low - high)))
}

/// For every edge of a sheet, the corners that lie on it.
struct Splits {
    /// (lower corner, higher corner, first, end) in order; the range is into `inside`.
    edges: Vec<(u32, u32, u32, u32)>,
    inside: Vec<u32>,
}

impl Splits {
    fn new(welded: &Welded, sheets: &[Sheet]) -> Self {
        let pairs = sheets.iter().flat_map(|sheet| edges_of(&sheet.corners));
        let mut keys: Vec<(u32, u32)> = pairs.map(|(a, b)| (a.min(b), a.max(b))).collect();
        keys.sort_unstable();
        keys.dedup();
        let mut splits = Splits { edges: Vec::new(), inside: Vec::new() };
        let mut found = Vec::new();
        for (low, high) in keys {
            found.clear();
            welded.on_edge(low, high, &mut found);
            if !found.is_empty() {
                let first = splits.inside.len() as u32;
                splits.inside.extend(found.iter().map(|entry| entry.1));
                splits.edges.push((low, high, first, splits.inside.len() as u32));
            }
        }
        splits
    }

    fn on(&self, low: u32, high: u32) -> &[u32] {
        match self.edges.binary_search_by_key(&(low, high), |edge| (edge.0, edge.1)) {
            Ok(place) => &self.inside[self.edges[place].2 as usize..self.edges[place].3 as usize],
            Err(_) => &[],
        }
    }
}

/// The sheets in one plane.
struct Group<'a> {
    body: &'a Body,
    welded: &'a Welded,
    splits: &'a Splits,
    sheets: &'a [Sheet],
}

/// What lies on either side of a stretch, seen against the plane's normal from its lower to its higher corner: 1 where a
/// face looks along the normal, -1 against it, 0 where there is none.
struct Sides {
    left: i32,
    right: i32,
}

impl Group<'_> {
    fn faces(&self, faces: &mut Vec<RawFace>) -> Option<()> {
        let stretches = self.stretches();
        let plane = self.sheets[0].plane;
        let (normal, offset) = (self.body.planes.normal(plane), self.body.planes.offset(plane));
        let frame = Frame::new(normal, offset);
        let borders = self.borders(&stretches, &frame);
        for flipped in [false, true] {
            let frame = if flipped { frame.turned() } else { frame };
            let sign = if flipped { -1.0 } else { 1.0 };
            let chosen: Vec<Border> =
                borders.iter().filter(|entry| entry.0 == flipped).map(|entry| entry.1).collect();
            if chosen.is_empty() {
                continue;
            }
            let rings = trace(&chosen, &|corner| frame.flat(self.welded.points[corner as usize]))?;
            for nest in nest(rings, &|corner| self.flat(&frame, corner)) {
                let known = nest.tag.filter(|tag| *tag != INNER);
                let tag = known.unwrap_or_else(|| self.tag_over(&nest.points, &frame, flipped));
                faces.push(RawFace { normal: normal * sign, offset: offset * sign, tag, rings: nest.rings });
            }
        }
        Some(())
    }

    fn stretches(&self) -> Vec<Stretch> {
        let mut stretches = Vec::with_capacity(self.sheets.len() * 6);
        for sheet in self.sheets {
            for (from, to) in edges_of(&sheet.corners) {
                let (low, high) = (from.min(to), from.max(to));
                let mut at = low;
                let inside = self.splits.on(low, high).iter().copied();
                for next in inside.chain([high]) {
                    let forward = (at < next) == (from < to);
                    let (low, high) = (at.min(next), at.max(next));
                    stretches.push(Stretch { low, high, forward, flipped: sheet.flipped, tag: sheet.tag });
                    at = next;
                }
            }
        }
        stretches.sort_unstable();
        stretches
    }

    /// The borders of the faces that look along the normal (false) and against it (true).
    fn borders(&self, stretches: &[Stretch], frame: &Frame) -> Vec<(bool, Border)> {
        let runs: Vec<&[Stretch]> = stretches.chunk_by(|a, b| (a.low, a.high) == (b.low, b.high)).collect();
        let mixed = self.sheets.iter().any(|sheet| sheet.flipped != self.sheets[0].flipped);
        let net: Vec<(DVec2, DVec2, i32)> = if mixed { self.net(&runs, frame) } else { Vec::new() };
        let mut borders = Vec::new();
        for run in runs {
            let Some(sides) =
                (if mixed { self.sides_by_winding(run, &net, frame) } else { sides_alone(run) })
            else {
                continue;
            };
            note_borders(run, &sides, &mut borders);
        }
        borders
    }

    fn flat(&self, frame: &Frame, corner: u32) -> DVec2 {
        frame.flat(self.welded.points[corner as usize])
    }

    /// The stretches that do not cancel.
    fn net(&self, runs: &[&[Stretch]], frame: &Frame) -> Vec<(DVec2, DVec2, i32)> {
        let left_over = |run: &&[Stretch]| {
            let count = net_of(run);
            (count != 0).then(|| (self.flat(frame, run[0].low), self.flat(frame, run[0].high), count))
        };
        runs.iter().filter_map(left_over).collect()
    }

    /// What lies right of a stretch is how often the left-over borders wind round it; left of it, its own count more.
    fn sides_by_winding(&self, run: &[Stretch], net: &[(DVec2, DVec2, i32)], frame: &Frame) -> Option<Sides> {
        let own = net_of(run);
        if own == 0 && !has_seam(run) {
            return None;
        }
        let (a, b) = (self.flat(frame, run[0].low), self.flat(frame, run[0].high));
        // Off the middle, so that the ray meets no corner of a regular shape.
        let from = a.lerp(b, 0.518_273);
        let right = winding_right_of(from, b - a, net);
        Some(Sides { left: right + own, right })
    }

    /// The tag of a sheet under the middle of a ring's first edge.
    fn tag_over(&self, ring: &[DVec2], frame: &Frame, flipped: bool) -> Tag {
        let probe = ring[0].lerp(ring[1], 0.5) + (ring[1] - ring[0]).perp() * 1e-6;
        let over = |sheet: &&Sheet| {
            let corners: Vec<DVec2> = sheet.corners.iter().map(|&corner| self.flat(frame, corner)).collect();
            sheet.flipped == flipped && contains(&corners, probe)
        };
        let tags = || self.sheets.iter().filter(over).map(|sheet| sheet.tag);
        tags().find(|tag| *tag != INNER).or_else(|| self.nearest_name(flipped)).unwrap_or(INNER)
    }

    /// A face that came to light through a plane that only divided: named after the wall that lies nearest beside it.
    fn nearest_name(&self, flipped: bool) -> Option<Tag> {
        self.body.name_near(self.sheets[0].plane, flipped)
    }
}

fn net_of(run: &[Stretch]) -> i32 {
    run.iter().map(|stretch| if stretch.forward { 1 } else { -1 }).sum()
}

/// Whether sheets of one side but different tags meet here.
fn has_seam(run: &[Stretch]) -> bool {
    let first =
        |flipped, forward| run.iter().find(|s| s.flipped == flipped && s.forward == forward).map(|s| s.tag);
    [false, true].into_iter().any(|flipped| {
        let (one, other) = (first(flipped, true), first(flipped, false));
        one.is_some() && other.is_some() && one != other
    })
}

/// When all sheets of the plane look one way.
fn sides_alone(run: &[Stretch]) -> Option<Sides> {
    if net_of(run) == 0 && !has_seam(run) {
        return None;
    }
    let flipped = run[0].flipped;
    let value = if flipped { -1 } else { 1 };
    let present = |forward: bool| if run.iter().any(|s| s.forward == forward) { value } else { 0 };
    // A flipped sheet runs clockwise: what it covers lies right of its forward edges.
    Some(Sides { left: present(!flipped), right: present(flipped) })
}

/// The borders that a stretch is for the faces beside it.
fn note_borders(run: &[Stretch], sides: &Sides, borders: &mut Vec<(bool, Border)>) {
    let (low, high) = (run[0].low, run[0].high);
    for flipped in [false, true] {
        let value = if flipped { -1 } else { 1 };
        let tag =
            |forward: bool| run.iter().find(|s| s.flipped == flipped && s.forward == forward).map(|s| s.tag);
        // A border has its face on the left as seen from the side the face looks to.
        let (forward_has, back_has) = match flipped {
            false => (sides.left == value, sides.right == value),
            true => (sides.right == value, sides.left == value),
        };
        let (one, other) = (tag(true), tag(false));
        let differ = one.is_some() && other.is_some() && one != other;
        if forward_has && (!back_has || differ) {
            borders.push((flipped, Border { from: low, to: high, tag: one }));
        }
        if back_has && (!forward_has || differ) {
            borders.push((flipped, Border { from: high, to: low, tag: other }));
        }
    }
}

/// How often the borders wind round a point just right of an edge: crossings of the ray that leaves to the right.
fn winding_right_of(from: DVec2, direction: DVec2, net: &[(DVec2, DVec2, i32)]) -> i32 {
    let ray = -direction.perp().normalize();
    let across = ray.perp();
    net.iter()
        .map(|&(a, b, count)| {
            let (a, b) = (a - from, b - from);
            let (a_off, b_off) = (a.dot(across), b.dot(across));
            if (a_off < 0.0) == (b_off < 0.0) {
                return 0;
            }
            let reach = a.dot(ray) + (b - a).dot(ray) * (a_off / (a_off - b_off));
            let sign = if b_off > a_off { 1 } else { -1 };
            if reach > WELD / 2.0 { sign * count } else { 0 }
        })
        .sum()
}
