//! What a builder must know to make a board, read off its shape: holes, sawn ends, arcs, curves.

use crate::drawing::title::{is_inch, label};
use slatwork_base::{Angle, Length, Tape, maths};
use slatwork_solid::{Across, Bounds, DVec2, DVec3, HalfSpace, Hole, Shape, Solid, Tag, Vertex};

/// A hole, positions from the datum corner of the board.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct HoleFact {
    /// The point where it starts, mm in the board's frame.
    pub(crate) at: DVec3,
    /// Which side it is bored into: `face`, `back`, `low edge`, `high edge`, `left end`, `right end`.
    pub(crate) side: &'static str,
    /// Diameters and depths, from the start inward.
    pub(crate) bore: String,
    /// Largest radius, mm.
    pub(crate) radius: f64,
}

impl HoleFact {
    /// Whether it starts on or ends at a wide face, so that it is a circle on the face view.
    pub(crate) fn in_face(&self) -> bool {
        matches!(self.side, "face" | "back")
    }
}

/// All holes of a board, in their order.
pub(crate) fn holes(shape: &Shape, bounds: &Bounds, tape: Tape) -> Vec<HoleFact> {
    shape.holes.iter().map(|hole| hole_fact(hole, bounds, tape)).collect()
}

fn hole_fact(hole: &Hole, bounds: &Bounds, tape: Tape) -> HoleFact {
    let (side, inward) = side_of(hole.direction);
    let wood = bounds.max - bounds.min;
    let through = wood.dot(inward.abs()) / hole.direction.dot(inward).max(1e-6);
    let steps: Vec<String> = hole
        .steps
        .iter()
        .map(|step| {
            let depth = if step.depth >= through - 0.5 {
                String::from("through")
            } else {
                format!("× {} deep", label(tape, step.depth))
            };
            let diameter = bit(step.radius, tape);
            format!("Ø {} {depth}", diameter.strip_suffix(" mm").unwrap_or(&diameter))
        })
        .collect();
    let lean = Angle::rad(maths::acos(hole.direction.dot(inward)));
    let leaning = if lean.as_deg() > 0.05 { format!(", leaning {}", tenths(lean)) } else { String::new() };
    let radius = hole.steps.iter().map(|step| step.radius).fold(0.0, f64::max);
    HoleFact { at: hole.start, side, bore: format!("{}{leaning}", steps.join(", ")), radius }
}

/// The side that a direction enters, and the board's axis into the wood there.
fn side_of(direction: DVec3) -> (&'static str, DVec3) {
    let size = direction.abs();
    let pick = |positive: bool, from_low, from_high| if positive { from_low } else { from_high };
    if size.z >= size.x && size.z >= size.y {
        pick(direction.z > 0.0, ("back", DVec3::Z), ("face", DVec3::NEG_Z))
    } else if size.y >= size.x {
        pick(direction.y > 0.0, ("low edge", DVec3::Y), ("high edge", DVec3::NEG_Y))
    } else {
        pick(direction.x > 0.0, ("left end", DVec3::X), ("right end", DVec3::NEG_X))
    }
}

/// A diameter: bits come in sixty-fourths of an inch, or tenths of a millimetre.
pub(crate) fn bit(radius: f64, tape: Tape) -> String {
    let diameter = Length::mm(2.0 * radius);
    if is_inch(tape) {
        return Tape::Inch64.text(diameter);
    }
    format!("{} mm", crate::number::decimal(diameter.as_mm(), 1))
}

/// An angle to a tenth of a degree: finer than a saw's scale, coarse enough to read.
pub(crate) fn tenths(angle: Angle) -> String {
    angle.rounded_to(0.1).to_string()
}

/// Which end or edge a cut takes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Place {
    LeftEnd,
    RightEnd,
    LowEdge,
    HighEdge,
}

/// A plane sawn off: what to set, and where it is seen.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct CutFact {
    pub(crate) place: Place,
    /// Seen on the wide face: the angle off square; nothing when square.
    pub(crate) mitre: Option<Angle>,
    /// Seen on the edge (for an end) or on the end (for an edge): the saw's tilt; nothing when upright.
    pub(crate) bevel: Option<Angle>,
}

/// Angles below this are square to any saw, degrees.
const SQUARE: f64 = 0.05;

/// The planes that cut a board and leave a face on it, as saw settings. A mitre is the angle to the square cut on the
/// face, a bevel the tilt of the blade.
pub(crate) fn cuts(solid: &Solid) -> Vec<CutFact> {
    let left = |plane: &&HalfSpace| solid.faces().iter().any(|face| face.tag == plane.tag);
    let mut facts: Vec<CutFact> = solid.shape().cuts.iter().filter(left).map(cut).collect();
    facts.sort_by_key(|fact| fact.place);
    facts
}

fn cut(plane: &HalfSpace) -> CutFact {
    let n = plane.normal;
    let end = n.x.abs() >= n.y.abs();
    let place = match (end, n.x > 0.0, n.y > 0.0) {
        (true, false, _) => Place::LeftEnd,
        (true, true, _) => Place::RightEnd,
        (false, _, false) => Place::LowEdge,
        (false, _, true) => Place::HighEdge,
    };
    let off = if end { maths::atan2(n.y.abs(), n.x.abs()) } else { maths::atan2(n.x.abs(), n.y.abs()) };
    let told = |radians: f64| Some(Angle::rad(radians)).filter(|angle| angle.as_deg() > SQUARE);
    CutFact { place, mitre: told(off), bevel: told(maths::asin(n.z.abs())) }
}

/// An arc of the outline.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct ArcFact {
    pub(crate) centre: DVec2,
    pub(crate) radius: f64,
    /// The point half way along.
    pub(crate) middle: DVec2,
    /// Whether the wood lies on the centre's side.
    pub(crate) convex: bool,
}

/// A curve that no single radius describes: points to mark and join with a batten.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct CurveFact {
    /// Points along it, in the plane of the profile.
    pub(crate) points: Vec<DVec2>,
    /// Where one of its arcs goes over into the next: no corner for the builder.
    pub(crate) joints: Vec<DVec2>,
}

/// Radii above this cannot be struck with a trammel in a small shop, mm (common practice, no source).
const TRAMMEL: f64 = 2500.0;
/// A curve of so many arcs is marked by points, not by radii.
const MANY_ARCS: usize = 4;
/// Points along a curve that is marked by them.
const STATIONS: usize = 9;

/// The arcs that are struck with a trammel, and the curves that are marked by points. In the plane of the profile.
pub(crate) fn arcs_and_curves(shape: &Shape) -> (Vec<ArcFact>, Vec<CurveFact>) {
    let (mut arcs, mut curves) = (Vec::new(), Vec::new());
    for run in runs(&shape.profile.vertices) {
        let round: Vec<ArcFact> = run.iter().map(|(vertex, next)| arc(vertex, *next)).collect();
        if run.len() >= MANY_ARCS || round.iter().any(|a| a.radius > TRAMMEL) {
            let joints = run.iter().skip(1).map(|(vertex, _)| vertex.point).collect();
            curves.push(CurveFact { points: stations(&run), joints });
        } else {
            arcs.extend(round);
        }
    }
    (arcs, curves)
}

type Span = (Vertex, DVec2);

/// Neighbouring arcs that one feature made.
fn runs(vertices: &[Vertex]) -> Vec<Vec<Span>> {
    let mut runs: Vec<Vec<Span>> = Vec::new();
    let mut last: Option<(usize, Tag)> = None;
    for (index, vertex) in vertices.iter().enumerate() {
        if vertex.bulge == 0.0 {
            continue;
        }
        let span = (*vertex, vertices[(index + 1) % vertices.len()].point);
        match runs.last_mut() {
            Some(run) if last == Some((index.wrapping_sub(1), vertex.tag)) => run.push(span),
            _ => runs.push(vec![span]),
        }
        last = Some((index, vertex.tag));
    }
    runs
}

fn arc(vertex: &Vertex, next: DVec2) -> ArcFact {
    let (centre, radius) = crate::drawing::wire::circle_of(vertex.point, next, vertex.bulge);
    ArcFact { centre, radius, middle: on_arc(vertex, next, 0.5), convex: vertex.bulge > 0.0 }
}

/// The point of an arc at a share of its length.
fn on_arc(vertex: &Vertex, next: DVec2, share: f64) -> DVec2 {
    let (centre, _) = crate::drawing::wire::circle_of(vertex.point, next, vertex.bulge);
    let angle = 4.0 * maths::atan(vertex.bulge) * share;
    let (sin, cos) = maths::sin_cos(angle);
    let arm = vertex.point - centre;
    centre + DVec2::new(arm.x * cos - arm.y * sin, arm.x * sin + arm.y * cos)
}

/// Points at equal steps along x from one end of a run to the other.
fn stations(run: &[Span]) -> Vec<DVec2> {
    let fine: Vec<DVec2> = run
        .iter()
        .flat_map(|(vertex, next)| (0..=32).map(move |i| on_arc(vertex, *next, f64::from(i) / 32.0)))
        .collect();
    let (Some(first), Some(last)) = (fine.first(), fine.last()) else { return Vec::new() };
    let (left, right) = (first.x.min(last.x), first.x.max(last.x));
    (0..STATIONS)
        .filter_map(|i| {
            let x = left + (right - left) * i as f64 / (STATIONS - 1) as f64;
            let pair = fine.windows(2).find(|p| (p[0].x - x) * (p[1].x - x) <= 0.0)?;
            let run = pair[1].x - pair[0].x;
            let share = if run == 0.0 { 0.0 } else { (x - pair[0].x) / run };
            Some(DVec2::new(x, pair[0].y + (pair[1].y - pair[0].y) * share))
        })
        .collect()
}

/// A point of the profile's plane, in the board's frame and on the face that looks at the reader.
pub(crate) fn in_board(shape: &Shape, point: DVec2) -> DVec3 {
    match shape.across {
        Across::Thickness => DVec3::new(point.x, point.y, shape.high),
        Across::Width => DVec3::new(point.x, shape.low, point.y),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use slatwork_solid::{HoleStep, Tolerance, build};

    fn plane(normal: DVec3, through: DVec3, tag: u32) -> HalfSpace {
        let normal = normal.normalize();
        HalfSpace { normal, offset: normal.dot(through), tag: Tag(tag) }
    }

    #[test]
    fn cuts_become_saw_settings_and_those_that_miss_the_wood_are_left_out() {
        let mut shape = Shape::board(500.0, 90.0, 38.0);
        shape.cuts = vec![
            plane(DVec3::new(1.0, 1.0, 0.0), DVec3::new(450.0, 45.0, 0.0), 16),
            plane(DVec3::new(-1.0, 0.0, 0.25), DVec3::ZERO, 17),
            plane(DVec3::new(-1.0, -1.0, 0.0), DVec3::new(-5.0, 0.0, 0.0), 18),
        ];
        let facts = cuts(&build(&shape, &Tolerance::default()).unwrap());
        assert_eq!(facts.len(), 2);
        assert_eq!(facts[0].place, Place::LeftEnd);
        assert_eq!((facts[0].mitre, facts[0].bevel.map(tenths)), (None, Some(String::from("14°"))));
        assert_eq!(facts[1].place, Place::RightEnd);
        assert_eq!((facts[1].mitre.map(tenths), facts[1].bevel), (Some(String::from("45°")), None));
    }

    #[test]
    fn bores_read_as_bits_and_depths() {
        let bounds = Bounds { min: DVec3::ZERO, max: DVec3::new(500.0, 90.0, 25.4) };
        let steps = vec![
            HoleStep { radius: 4.7625, depth: 6.35 },
            HoleStep { radius: 2.38125, depth: f64::INFINITY },
        ];
        let at = DVec3::new(20.0, 30.0, 25.4);
        let mut hole = Hole { start: at, direction: DVec3::NEG_Z, steps, tag: Tag(16) };
        let fact = hole_fact(&hole, &bounds, Tape::Inch16);
        assert_eq!((fact.side, fact.bore.as_str()), ("face", "Ø 3/8\" × 1/4\" deep, Ø 3/16\" through"));
        hole.direction = DVec3::new(0.0, 1.0, 0.1).normalize();
        let fact = hole_fact(&hole, &bounds, Tape::Mm);
        assert_eq!(
            (fact.side, fact.bore.as_str()),
            ("low edge", "Ø 9.5 × 6 deep, Ø 4.8 through, leaning 5.7°")
        );
    }

    #[test]
    fn a_flat_arc_is_marked_by_points_and_a_round_one_by_its_radius() {
        let mut shape = Shape::board(1000.0, 100.0, 20.0);
        shape.profile.vertices[1].bulge = 1.0;
        shape.profile.vertices[2].bulge = 0.05;
        let (arcs, curves) = arcs_and_curves(&shape);
        assert_eq!(arcs.len(), 1);
        assert!((arcs[0].radius - 50.0).abs() < 1e-9 && arcs[0].convex);
        assert!(arcs[0].middle.distance(DVec2::new(1050.0, 50.0)) < 1e-9);
        assert_eq!(curves.len(), 1);
        assert_eq!(curves[0].points.len(), STATIONS);
        // Rise of an arc of bulge b over a chord c: b c / 2 = 25.
        assert!((curves[0].points[4].y - 125.0).abs() < 0.02, "{:?}", curves[0].points);
    }
}
