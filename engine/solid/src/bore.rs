//! Holes as true cylinders between planar faces, where the hole rule allows it.
//!
//! A hole is kept as a cylinder when no edge of the board and no other hole comes within its radius along the whole
//! bore: then its rims lie strictly inside the faces that the axis pierces, and nothing else is touched. A rim on a
//! face that the axis meets at a slant is an ellipse.

use slatwork_base::maths;

use crate::brep::{Brep, RawFace, edges_of};
use crate::flat::{Frame, contains};
use crate::measure::{Bar, BarEnd};
use crate::tolerance::{HOLE_MARGIN, WELD};
use crate::{DVec2, DVec3, Hole, Tag, Wall};

/// Axes flatter than this to a face never count as piercing it (as a sine).
const GRAZING: f64 = 1e-6;

/// One stretch of a hole in wood: its wall and the two rings that end it, counter-clockwise about the direction.
#[derive(Clone, Debug)]
pub(crate) struct Tube {
    pub(crate) wall: Wall,
    pub(crate) from: Vec<u32>,
    pub(crate) to: Vec<u32>,
    pub(crate) bar: Bar,
}

/// Bores all holes into the faces. `None`, and the faces untouched, when a hole breaks the rule.
pub(crate) fn bore(brep: &mut Brep, holes: &[Hole], sides: usize) -> Option<Vec<Tube>> {
    let edges = straight_edges(brep);
    let grow = equal_area(sides);
    let mut runs = Vec::new();
    for hole in holes.iter().filter(|hole| !hole.steps.is_empty()) {
        runs.push(Run::find(hole, brep, &edges, grow)?);
    }
    if runs.iter().enumerate().any(|(index, one)| runs[index + 1..].iter().any(|other| one.meets(other))) {
        return None;
    }
    let mut borer = Borer { brep, circle: circle(sides), tubes: Vec::new() };
    runs.iter().for_each(|run| borer.run(run));
    Some(borer.tubes)
}

/// The factor on the radius that gives a polygon the area of the circle.
pub(crate) fn equal_area(sides: usize) -> f64 {
    let step = 2.0 * maths::PI / sides as f64;
    (step / maths::sin(step)).sqrt()
}

/// The corners of a regular polygon of radius 1.
pub(crate) fn circle(sides: usize) -> Vec<DVec2> {
    let corner = |index: usize| {
        let (sine, cosine) = maths::sin_cos(2.0 * maths::PI * index as f64 / sides as f64);
        DVec2::new(cosine, sine)
    };
    (0..sides).map(corner).collect()
}

fn straight_edges(brep: &Brep) -> Vec<(DVec3, DVec3)> {
    let mut keys: Vec<(u32, u32)> = brep
        .faces
        .iter()
        .flat_map(|face| &face.rings)
        .flat_map(|ring| edges_of(ring))
        .filter(|(a, b)| a < b)
        .collect();
    keys.sort_unstable();
    keys.dedup();
    keys.iter().map(|&(a, b)| (brep.vertices[a as usize], brep.vertices[b as usize])).collect()
}

/// Where a stretch of a hole ends: on a plane that the axis meets at `at`.
#[derive(Clone, Copy, Debug)]
struct Stop {
    at: f64,
    normal: DVec3,
    /// The face pierced; none for a shoulder or a bottom.
    face: Option<usize>,
    /// How far the rim reaches before and beyond `at`.
    slant: f64,
}

/// A stretch of one radius in wood.
#[derive(Clone, Copy, Debug)]
struct Stretch {
    radius: f64,
    from: Stop,
    to: Stop,
}

/// A hole as it runs through the wood.
struct Run {
    start: DVec3,
    direction: DVec3,
    tag: Tag,
    grow: f64,
    stretches: Vec<Stretch>,
}

impl Run {
    fn find(hole: &Hole, brep: &Brep, edges: &[(DVec3, DVec3)], grow: f64) -> Option<Self> {
        let direction = hole.direction.try_normalize()?;
        let mut run = Run { start: hole.start, direction, tag: hole.tag, grow, stretches: Vec::new() };
        let depth = hole.steps.iter().map(|step| step.depth).fold(0.0, f64::max);
        let pierced = run.pierced(brep);
        let layers = layers(&pierced, depth)?;
        for (enter, leave) in &layers {
            run.layer(hole, *enter, *leave, depth)?;
        }
        let reach = layers.first().map_or(0.0, |layer| layer.0.slant_of(hole, grow)).max(0.0);
        run.is_free(hole, brep, edges, (reach, depth)).then_some(run)
    }

    /// The faces that the axis pierces, in order.
    fn pierced(&self, brep: &Brep) -> Vec<Pierced> {
        let mut found = Vec::new();
        for (index, face) in brep.faces.iter().enumerate() {
            let lean = face.normal.dot(self.direction);
            if lean.abs() < GRAZING {
                continue;
            }
            let at = (face.offset - face.normal.dot(self.start)) / lean;
            let frame = Frame::new(face.normal, face.offset);
            let point = frame.flat(self.start + self.direction * at);
            let inside = |ring: &Vec<u32>| {
                let corners: Vec<DVec2> =
                    ring.iter().map(|&c| frame.flat(brep.vertices[c as usize])).collect();
                contains(&corners, point)
            };
            if inside(&face.rings[0]) && !face.rings[1..].iter().any(inside) {
                found.push(Pierced { at, normal: face.normal, face: index, lean });
            }
        }
        found.sort_by(|a, b| a.at.total_cmp(&b.at).then(a.face.cmp(&b.face)));
        found
    }

    /// Adds the stretches of one layer of wood.
    fn layer(&mut self, hole: &Hole, enter: Pierced, leave: Pierced, depth: f64) -> Option<()> {
        let mut from = None;
        let mut passed = f64::NEG_INFINITY;
        for step in &hole.steps {
            let radius = step.radius * self.grow;
            let ends = step.depth.min(depth);
            if ends <= passed || step.radius <= 0.0 {
                return None;
            }
            passed = ends;
            let entry = enter.stop(radius);
            if ends < entry.at - entry.slant - HOLE_MARGIN {
                continue;
            }
            let begin = match from {
                None => entry,
                Some(stop) => stop,
            };
            if ends < entry.at + entry.slant + HOLE_MARGIN {
                return None;
            }
            let exit = leave.stop(radius);
            if ends >= exit.at + exit.slant {
                self.stretches.push(Stretch { radius, from: begin, to: exit });
                return Some(());
            }
            if ends > exit.at - exit.slant - HOLE_MARGIN {
                return None;
            }
            let shoulder = Stop { at: ends, normal: self.direction, face: None, slant: 0.0 };
            self.stretches.push(Stretch { radius, from: begin, to: shoulder });
            from = Some(Stop { normal: -self.direction, ..shoulder });
        }
        Some(())
    }

    /// Whether no edge of the board comes within the bore, and no face cuts a corner off one of its flat ends.
    fn is_free(
        &self,
        hole: &Hole,
        brep: &Brep,
        edges: &[(DVec3, DVec3)],
        (reach, depth): (f64, f64),
    ) -> bool {
        let mut from = -reach - HOLE_MARGIN;
        hole.steps.iter().all(|step| {
            let to = step.depth.min(depth) + HOLE_MARGIN;
            let clear = step.radius * self.grow + HOLE_MARGIN;
            let slab = (from, to);
            from = step.depth - HOLE_MARGIN;
            edges.iter().all(|&(a, b)| !self.edge_within(a, b, slab, clear))
                && [slab.0, slab.1].iter().all(|&end| !end.is_finite() || !self.end_is_cut(end, clear, brep))
        })
    }

    /// Whether a face passes through the disc across the bore at a depth. Without an edge near, a face that does covers
    /// all of the disc's chord, so one point of that tells.
    fn end_is_cut(&self, at: f64, radius: f64, brep: &Brep) -> bool {
        let centre = self.start + self.direction * at;
        brep.faces.iter().any(|face| {
            let lean = face.normal.dot(self.direction);
            let tilt = (1.0 - lean * lean).max(0.0).sqrt();
            let room = face.offset - face.normal.dot(centre);
            if room.abs() >= radius * tilt {
                return false;
            }
            let across = (face.normal - self.direction * lean) / tilt;
            covers(brep, face, centre + across * (room / tilt))
        })
    }

    /// Whether the part of an edge that lies between two depths comes nearer to the axis than `clear`.
    fn edge_within(&self, a: DVec3, b: DVec3, slab: (f64, f64), clear: f64) -> bool {
        let (a, b) = (a - self.start, b - self.start);
        let (a_at, b_at) = (a.dot(self.direction), b.dot(self.direction));
        let (a_off, b_off) = (a - self.direction * a_at, b - self.direction * b_at);
        let (mut low, mut high) = (0.0_f64, 1.0_f64);
        let rise = b_at - a_at;
        if rise.abs() < WELD {
            if a_at.max(b_at) < slab.0 || a_at.min(b_at) > slab.1 {
                return false;
            }
        } else {
            let (one, other) = ((slab.0 - a_at) / rise, (slab.1 - a_at) / rise);
            low = low.max(one.min(other));
            high = high.min(one.max(other));
            if low > high {
                return false;
            }
        }
        let span = b_off - a_off;
        let nearest = (-a_off.dot(span) / span.length_squared().max(f64::MIN_POSITIVE)).clamp(low, high);
        (a_off + span * nearest).length_squared() < clear * clear
    }

    /// Whether two holes come together anywhere.
    fn meets(&self, other: &Run) -> bool {
        self.stretches.iter().any(|one| other.stretches.iter().any(|two| self.stretch_meets(one, other, two)))
    }

    fn stretch_meets(&self, one: &Stretch, other: &Run, two: &Stretch) -> bool {
        let clear = one.radius + two.radius + HOLE_MARGIN;
        let ends = |run: &Run, stretch: &Stretch| {
            let (from, to) = (stretch.from.at - stretch.from.slant, stretch.to.at + stretch.to.slant);
            (run.start + run.direction * from, run.start + run.direction * to)
        };
        let ((a, b), (c, d)) = (ends(self, one), ends(other, two));
        if self.direction.cross(other.direction).length_squared() < GRAZING * GRAZING {
            // Side by side or one behind the other.
            let along = |point: DVec3| (point - a).dot(self.direction);
            let (low, high) = (along(c).min(along(d)), along(c).max(along(d)));
            let apart = low > along(b) + HOLE_MARGIN || high < -HOLE_MARGIN;
            let arm = c - a;
            let beside = (arm - self.direction * arm.dot(self.direction)).length();
            return !apart && beside < clear;
        }
        segment_distance(a, b, c, d) < clear
    }
}

/// Whether a point in the plane of a face lies on the face.
fn covers(brep: &Brep, face: &RawFace, point: DVec3) -> bool {
    let frame = Frame::new(face.normal, face.offset);
    let point = frame.flat(point);
    let inside = |ring: &Vec<u32>| {
        let corners: Vec<DVec2> =
            ring.iter().map(|&corner| frame.flat(brep.vertices[corner as usize])).collect();
        contains(&corners, point)
    };
    inside(&face.rings[0]) && !face.rings[1..].iter().any(inside)
}

#[derive(Clone, Copy, Debug)]
struct Pierced {
    at: f64,
    normal: DVec3,
    face: usize,
    /// Cosine of the angle between normal and axis; negative where the axis enters the wood.
    lean: f64,
}

impl Pierced {
    fn stop(&self, radius: f64) -> Stop {
        Stop { at: self.at, normal: self.normal, face: Some(self.face), slant: self.slant(radius) }
    }

    fn slant(&self, radius: f64) -> f64 {
        radius * (1.0 - self.lean * self.lean).max(0.0).sqrt() / self.lean.abs()
    }

    /// How far before the hole's start its first rim may reach.
    fn slant_of(&self, hole: &Hole, grow: f64) -> f64 {
        hole.steps.first().map_or(0.0, |step| self.slant(step.radius * grow)) - self.at
    }
}

/// The layers of wood between 0 and `depth`; `None` when the way in and out is not clear, or the start lies inside wood.
fn layers(pierced: &[Pierced], depth: f64) -> Option<Vec<(Pierced, Pierced)>> {
    let mut layers = Vec::new();
    for pair in pierced.chunks(2) {
        let [enter, leave] = pair else { return None };
        if enter.lean >= 0.0 || leave.lean <= 0.0 {
            return None;
        }
        if leave.at < WELD || enter.at > depth {
            continue;
        }
        if enter.at < -WELD {
            return None;
        }
        layers.push((*enter, *leave));
    }
    Some(layers)
}

/// Least distance between two segments, mm.
pub fn segment_distance(a: DVec3, b: DVec3, c: DVec3, d: DVec3) -> f64 {
    let (u, v, w) = (b - a, d - c, a - c);
    let (uu, uv, vv, uw, vw) = (u.dot(u), u.dot(v), v.dot(v), u.dot(w), v.dot(w));
    let unit = |value: f64| value.clamp(0.0, 1.0);
    let divide = |over: f64, under: f64| if under > f64::MIN_POSITIVE { over / under } else { 0.0 };
    let bend = uu * vv - uv * uv;
    // Nearly parallel segments have their least distance at an end; the clamps below find it.
    let first = if bend > 1e-12 * uu * vv { unit((uv * vw - vv * uw) / bend) } else { 0.0 };
    let second = unit(divide(uv * first + vw, vv));
    let first = unit(divide(uv * second - uw, uu));
    let distance = |s: f64, t: f64| (w + u * s - v * t).length();
    let mut least = distance(first, second);
    for (s, t) in [(0.0, unit(divide(vw, vv))), (1.0, unit(divide(uv + vw, vv)))] {
        least = least.min(distance(s, t));
    }
    for (s, t) in [(unit(divide(-uw, uu)), 0.0), (unit(divide(uv - uw, uu)), 1.0)] {
        least = least.min(distance(s, t));
    }
    least
}

struct Borer<'a> {
    brep: &'a mut Brep,
    circle: Vec<DVec2>,
    tubes: Vec<Tube>,
}

impl Borer<'_> {
    fn run(&mut self, run: &Run) {
        let mut shoulder: Option<Vec<u32>> = None;
        for stretch in &run.stretches {
            let from = self.ring(run, stretch.radius, &stretch.from);
            let to = self.ring(run, stretch.radius, &stretch.to);
            match stretch.from.face {
                Some(face) => self.brep.faces[face].rings.push(from.clone()),
                None => self.step(run, &stretch.from, shoulder.take(), &from),
            }
            match stretch.to.face {
                Some(face) => self.brep.faces[face].rings.push(to.iter().rev().copied().collect()),
                None => shoulder = Some(to.clone()),
            }
            self.tubes.push(tube(run, stretch, from, to));
        }
        if let (Some(ring), Some(last)) = (shoulder, run.stretches.last()) {
            self.floor(run, last.to.at, vec![ring.into_iter().rev().collect()]);
        }
    }

    /// Corners of a rim, counter-clockwise about the direction.
    fn ring(&mut self, run: &Run, radius: f64, stop: &Stop) -> Vec<u32> {
        let across = run.direction.any_orthonormal_vector();
        let up = run.direction.cross(across);
        let lean = stop.normal.dot(run.direction);
        let middle = run.start + run.direction * stop.at;
        let first = self.brep.vertices.len() as u32;
        for corner in &self.circle {
            let arm = (across * corner.x + up * corner.y) * radius;
            self.brep.vertices.push(middle + arm - run.direction * (stop.normal.dot(arm) / lean));
        }
        (first..self.brep.vertices.len() as u32).collect()
    }

    /// The ring-shaped face where a hole narrows.
    fn step(&mut self, run: &Run, stop: &Stop, shoulder: Option<Vec<u32>>, inner: &[u32]) {
        let Some(outer) = shoulder else { return };
        self.floor(run, stop.at, vec![outer.into_iter().rev().collect(), inner.to_vec()]);
    }

    fn floor(&mut self, run: &Run, at: f64, rings: Vec<Vec<u32>>) {
        let normal = -run.direction;
        let offset = normal.dot(run.start + run.direction * at);
        self.brep.faces.push(RawFace { normal, offset, tag: run.tag, rings });
    }
}

fn tube(run: &Run, stretch: &Stretch, from: Vec<u32>, to: Vec<u32>) -> Tube {
    let radius = stretch.radius / run.grow;
    let slope = |stop: &Stop| {
        let lean = stop.normal.dot(run.direction);
        (run.direction * lean - stop.normal) / lean
    };
    let end = |stop: &Stop| BarEnd { at: stop.at, slope: slope(stop) };
    let wall = Wall {
        start: run.start + run.direction * stretch.from.at,
        end: run.start + run.direction * stretch.to.at,
        direction: run.direction,
        end_normals: [stretch.from.normal, stretch.to.normal],
        radius,
        tag: run.tag,
    };
    let bar = Bar {
        start: run.start,
        direction: run.direction,
        radius,
        from: end(&stretch.from),
        to: end(&stretch.to),
    };
    Tube { wall, from, to, bar }
}
