//! What a builder must know to make a board, read off its shape: holes, sawn ends, arcs, curves.

use crate::drawing::title::label;
use slatwork_base::{Angle, Length, Tape, maths};
use slatwork_shop::{Along, BoardSide, BoreStep, HoleRow, Reading, as_set, bit_text, is_square, sink_text};
use slatwork_solid::{Across, DVec2, DVec3, HalfSpace, Shape, Solid, Tag, Vertex};

/// A hole as it is marked and bored.
#[derive(Clone, Debug, PartialEq)]
pub struct HoleMark {
    /// Its number in the hole list.
    pub number: usize,
    /// The side it is marked on and bored from.
    pub side: BoardSide,
    /// The middle of its mouth on that side of the finished box, mm from the datum corner.
    pub at: DVec3,
    /// Stretches from the outside in.
    pub bores: Vec<BoreStep>,
    /// Diameter of a countersink at its mouth.
    pub countersink: Option<Length>,
    /// Names of parts that are turned over, so that it is countersunk from the other side in them.
    pub turned: Vec<String>,
    /// Lean from square to the side.
    pub lean: Angle,
    /// What for, and when.
    pub purpose: String,
}

impl HoleMark {
    /// A hole of the hole list on a finished box of the given size, mm.
    pub fn of(row: &HoleRow, size: DVec3) -> HoleMark {
        let closed = |index: usize| if row.side.high { size[index] } else { 0.0 };
        let at = |index: usize| row.at[index].map_or(closed(index), Length::as_mm);
        let late = if row.when == AT_BENCH { String::new() } else { format!("; {}", row.when) };
        HoleMark {
            number: row.number,
            side: row.side,
            at: DVec3::new(at(0), at(1), at(2)),
            bores: row.bores.clone(),
            countersink: row.countersink,
            turned: row.turned.clone(),
            lean: row.lean_total,
            purpose: format!("{}{late}", row.purpose),
        }
    }
}

/// The time that goes without saying.
const AT_BENCH: &str = "at the bench";

/// A hole, with what to bore in words.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct HoleFact {
    pub(crate) number: usize,
    /// The middle of its mouth, mm in the board's frame.
    pub(crate) at: DVec3,
    /// Which side it is bored into.
    pub(crate) side: BoardSide,
    /// Diameters and depths, from the mouth inward.
    pub(crate) bore: String,
    /// Diameter of a countersink.
    pub(crate) countersink: Option<String>,
    /// Parts in which that is on the other side.
    pub(crate) turned: Vec<String>,
    /// Largest radius, mm.
    pub(crate) radius: f64,
    pub(crate) purpose: String,
}

impl HoleFact {
    /// Whether its mouth is in a wide face, so that it is a circle on the face view.
    pub(crate) fn in_face(&self) -> bool {
        self.side.along == Along::Thickness
    }
}

/// All holes of a board whose datum corner stands at `corner`, in their order.
pub(crate) fn holes(marks: &[HoleMark], corner: DVec3, tape: Tape) -> Vec<HoleFact> {
    marks.iter().map(|mark| hole_fact(mark, corner, tape)).collect()
}

fn hole_fact(mark: &HoleMark, corner: DVec3, tape: Tape) -> HoleFact {
    let start = mark.bores.first().map_or(Length::ZERO, |bore| bore.from);
    let mut steps: Vec<String> = mark
        .bores
        .iter()
        .map(|bore| {
            let depth = match bore.to {
                None => String::from("through"),
                Some(to) => format!("× {} deep", label(rule(tape), (to - start).as_mm())),
            };
            format!("{} {depth}", bore_size(bore.diameter, tape))
        })
        .collect();
    if !is_square(mark.lean) {
        steps.push(format!("leaning {}", as_set(mark.lean)));
    }
    let radius = mark.bores.iter().map(|bore| bore.diameter.as_mm() / 2.0).fold(0.0, f64::max);
    HoleFact {
        number: mark.number,
        at: corner + mark.at,
        side: mark.side,
        bore: steps.join(", "),
        countersink: mark.countersink.map(|diameter| as_diameter(&sink_text(diameter, tape), tape)),
        turned: mark.turned.clone(),
        radius,
        purpose: mark.purpose.clone(),
    }
}

fn bore_size(diameter: Length, tape: Tape) -> String {
    as_diameter(&bit_text(diameter, tape), tape)
}

fn as_diameter(size: &str, tape: Tape) -> String {
    format!("Ø {}", size.strip_suffix(" mm").filter(|_| !tape.is_inch()).unwrap_or(size))
}

/// The rule that holes are marked with.
pub(crate) fn rule(tape: Tape) -> Tape {
    Reading::from(tape).rule()
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
    pub(crate) mitre: Option<Setting>,
    /// Seen on the edge (for an end) or on the end (for an edge): the saw's tilt; nothing when upright.
    pub(crate) bevel: Option<Setting>,
}

/// An angle off square.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Setting {
    /// As a saw is set.
    pub(crate) angle: Angle,
    /// Run over rise of the line that it leaves on that side of the board, for who marks it.
    pub(crate) slope: f64,
}

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
    let place = match plane.tag {
        Tag::LOW_END => Place::LeftEnd,
        Tag::HIGH_END => Place::RightEnd,
        Tag::LOW_EDGE => Place::LowEdge,
        Tag::HIGH_EDGE => Place::HighEdge,
        _ => looking(n),
    };
    let end = matches!(place, Place::LeftEnd | Place::RightEnd);
    let (square, along) = if end { (n.x.abs(), n.y.abs()) } else { (n.y.abs(), n.x.abs()) };
    let told = |radians: f64, run: f64| {
        let angle = as_set(Angle::rad(radians));
        (!is_square(angle)).then(|| Setting { angle, slope: run / square })
    };
    let mitre = told(maths::atan2(along, square), along);
    // The blade tilts from its own line, which with a mitre is not square to the edge.
    CutFact { place, mitre, bevel: told(maths::asin(n.z.abs()), n.z.abs()) }
}

/// The end or edge that looks most nearly that way.
fn looking(normal: DVec3) -> Place {
    match (normal.x.abs() >= normal.y.abs(), normal.x > 0.0, normal.y > 0.0) {
        (true, false, _) => Place::LeftEnd,
        (true, true, _) => Place::RightEnd,
        (false, _, false) => Place::LowEdge,
        (false, _, true) => Place::HighEdge,
    }
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

/// Points at equal steps from one end of a run to the other, along the board or across it, whichever way it runs farther.
fn stations(run: &[Span]) -> Vec<DVec2> {
    let fine: Vec<DVec2> = run
        .iter()
        .flat_map(|(vertex, next)| (0..=32).map(move |i| on_arc(vertex, *next, f64::from(i) / 32.0)))
        .collect();
    let (Some(first), Some(last)) = (fine.first(), fine.last()) else { return Vec::new() };
    let axis = (*last - *first).abs().max_position();
    let (low, high) = (first[axis].min(last[axis]), first[axis].max(last[axis]));
    (0..STATIONS)
        .filter_map(|i| {
            let at = low + (high - low) * i as f64 / (STATIONS - 1) as f64;
            let pair = fine.windows(2).find(|p| (p[0][axis] - at) * (p[1][axis] - at) <= 0.0)?;
            let run = pair[1][axis] - pair[0][axis];
            Some(pair[0].lerp(pair[1], if run == 0.0 { 0.0 } else { (at - pair[0][axis]) / run }))
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
    use slatwork_solid::{Tolerance, build};

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
        assert_eq!(
            (facts[0].mitre, facts[0].bevel.map(|own| own.angle.to_string())),
            (None, Some(String::from("14°")))
        );
        assert_eq!(facts[1].place, Place::RightEnd);
        assert_eq!(
            (facts[1].mitre.map(|own| own.angle.to_string()), facts[1].bevel),
            (Some(String::from("45°")), None)
        );
        let slopes = [facts[0].bevel, facts[1].mitre].map(|own| own.map_or(0.0, |own| own.slope));
        assert!((slopes[0] - 0.25).abs() < 1e-9 && (slopes[1] - 1.0).abs() < 1e-9, "{slopes:?}");
    }

    /// By hand: of a plane that leans alike in all three directions each side of the board shows a line of 45 degrees, though
    /// the blade tilts by asin(1 / sqrt 3), 35.3 degrees.
    #[test]
    fn a_compound_cut_is_marked_on_each_side_by_its_own_line() {
        let mut shape = Shape::board(500.0, 90.0, 38.0);
        shape.cuts = vec![plane(DVec3::ONE, DVec3::new(450.0, 45.0, 19.0), 16)];
        let facts = cuts(&build(&shape, &Tolerance::default()).unwrap());
        let told =
            [facts[0].mitre, facts[0].bevel].map(|own| own.map(|own| (own.angle.to_string(), own.slope)));
        let [Some((mitre, across)), Some((bevel, along))] = told else { panic!("{facts:?}") };
        assert_eq!((mitre.as_str(), bevel.as_str()), ("45°", "35.3°"));
        assert!((across - 1.0).abs() < 1e-9 && (along - 1.0).abs() < 1e-9, "{across} {along}");
    }

    #[test]
    fn an_end_stays_an_end_however_steeply_it_is_cut() {
        let mut shape = Shape::board(500.0, 90.0, 38.0);
        let steep = plane(DVec3::new(1.0, 3f64.sqrt(), 0.0), DVec3::new(500.0, 0.0, 0.0), 0);
        shape.cuts = vec![HalfSpace { tag: Tag::HIGH_END, ..steep }];
        let facts = cuts(&build(&shape, &Tolerance::default()).unwrap());
        let told = (facts[0].place, facts[0].mitre.map(|own| own.angle.to_string()));
        assert_eq!(told, (Place::RightEnd, Some(String::from("60°"))));
    }

    #[test]
    fn bores_read_as_bits_and_depths() {
        let bore = |mm: f64, from: f64, to: Option<f64>| BoreStep {
            diameter: Length::mm(mm),
            from: Length::mm(from),
            to: to.map(Length::mm),
        };
        let mut mark = HoleMark {
            number: 1,
            side: BoardSide { along: Along::Thickness, high: true },
            at: DVec3::new(20.0, 30.0, 25.4),
            bores: vec![bore(9.525, 0.0, Some(6.35)), bore(4.7625, 6.35, None)],
            countersink: None,
            turned: Vec::new(),
            lean: Angle::ZERO,
            purpose: String::from("screw"),
        };
        let fact = hole_fact(&mark, DVec3::ZERO, Tape::Inch16);
        assert!(fact.in_face());
        assert_eq!(fact.bore, "Ø 3/8\" × 1/4\" deep, Ø 3/16\" through");
        mark.side = BoardSide { along: Along::Width, high: false };
        mark.lean = Angle::deg(5.71);
        mark.countersink = Some(Length::mm(10.0));
        let fact = hole_fact(&mark, DVec3::ZERO, Tape::Mm);
        assert!(!fact.in_face());
        assert_eq!(fact.bore, "Ø 9.5 × 6 deep, Ø 4.8 through, leaning 5.7°");
        assert_eq!(fact.countersink.as_deref(), Some("Ø 10"));
    }

    #[test]
    fn a_curve_across_an_end_is_marked_by_points_across_it() {
        let mut shape = Shape::board(1000.0, 100.0, 20.0);
        shape.profile.vertices[1].bulge = 0.004;
        let (_, curves) = arcs_and_curves(&shape);
        let across: Vec<f64> = curves[0].points.iter().map(|point| point.y).collect();
        assert_eq!(across.len(), STATIONS);
        assert!(across.windows(2).all(|pair| (pair[1] - pair[0] - 12.5).abs() < 1e-9), "{across:?}");
        // Rise of an arc of bulge b over a chord c: b c / 2.
        assert!((curves[0].points[4].x - 1000.2).abs() < 1e-6, "{:?}", curves[0].points);
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
