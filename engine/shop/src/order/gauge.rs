//! The bevel gauge: which angle to hold between two boards that meet out of square, and along which of their edges. Edges are
//! those that the sawn boards have beside the joint, not the lines of their blanks.

use super::words::side_word;
use slatwork_base::{Angle, maths};
use slatwork_model::joints::JointPatch;
use slatwork_model::{FeatureKind, Joint, Model, Part, When};
use slatwork_solid::{Across, DVec2, DVec3, Edge, EdgeKind, Path, segment_distance};

/// A bevel gauge is set to half a degree at best (project choice).
const STEP: f64 = 0.5;

/// Angles nearer than this to square need no bevel gauge, degrees: finer than the tool is set.
const SQUARE: f64 = 0.25;

/// A bevel gauge is not closed further than this, degrees (project choice).
const NARROWEST: f64 = 10.0;

/// Angles that differ by less than this, degrees, are one to whoever chooses between edges: what mirrored parts differ by.
const SAME: f64 = 0.01;

/// No gauge is held along an edge shorter than this, mm: an inch (project choice).
const SHORTEST: f64 = 25.0;

/// An edge lies beside a contact when the blade of a gauge gets there, mm: six inches (project choice).
const BLADE: f64 = 150.0;

/// Edges within this of a contact bound it, mm: contacts close gaps as wide.
const AT_CONTACT: f64 = 0.6;

/// A face lies in the contact when its normal leaves it by less than this (as a cosine).
const IN_CONTACT: f64 = 0.999;

/// Of edges to one side that bound a contact those count that run along it for at least this share of the longest, and half an
/// inch, mm.
const LEAST_SHARE: f64 = 0.5;
const LEAST_ALONG: f64 = 12.0;

/// A board lies along the contact when its grain leaves it by less than this (as a sine: 30 degrees), and an edge is a long one
/// when it leaves the grain by less than the same.
const ALONG: f64 = 0.5;

/// Points nearer than this to a line were sawn to it, mm.
const ON_LINE: f64 = 0.3;

/// An angle to hold, and the words for the edges that it is held between.
pub(crate) struct Held {
    pub(crate) angle: Angle,
    /// "the front edge of `leg`", "the upper edge of `rail`".
    pub(crate) between: [String; 2],
}

/// An edge beside a contact, in the world.
#[derive(Clone)]
struct Beside {
    way: DVec3,
    /// Away from the wood, along the contact.
    out: DVec3,
    /// How long it runs along the contact, mm.
    along: f64,
    /// How far it lies from the contact, mm.
    off: f64,
}

/// The angle to hold with a bevel gauge where two boards meet out of square. `None` where a square serves, or no straight edge
/// lies near.
pub(crate) fn gauge(model: &Model, joint: &Joint) -> Option<Held> {
    let (patch, [first, second]) = (joint.patch.as_ref()?, &joint.parts[..]) else { return None };
    let (one, other) = (model.part(*first), model.part(*second));
    let (all, all_other) = (straight_edges(one, patch), straight_edges(other, patch));
    let (near, near_other) = (nearest(&all), nearest(&all_other));
    let pairs = near.iter().flat_map(|a| near_other.iter().map(move |b| (a, b)));
    // Seen along the edges that lie nearest to square with each other.
    let (a, b) = pairs.reduce(|best, pair| {
        let nearer = off_square(best) - off_square(pair);
        let is_better = nearer > SAME || (nearer > -SAME && first_told(pair) > first_told(best));
        if is_better { pair } else { best }
    })?;
    let degrees = 90.0 - off_square((a, b));
    let needs = 90.0 - degrees > SQUARE && degrees > NARROWEST;
    let between = [edge_words(one, a, &all, patch), edge_words(other, b, &all_other, patch)];
    needs.then(|| Held { angle: as_held(degrees), between })
}

/// As a gauge is set. What lies on a half goes up, whatever the last digits of a part and its mirror image are.
fn as_held(degrees: f64) -> Angle {
    Angle::deg((degrees / STEP + SAME).round() * STEP)
}

/// How far two edges are from square with each other, degrees.
fn off_square((a, b): (&Beside, &Beside)) -> f64 {
    90.0 - maths::atan2(a.way.cross(b.way).length(), a.way.dot(b.way).abs()).to_degrees()
}

/// Of edges that serve as well the upper and the front ones are told.
fn first_told((a, b): (&Beside, &Beside)) -> i64 {
    let rank = |edge: &Beside| (4.0 * edge.out.z - 2.0 * edge.out.y + edge.out.x) * 100.0;
    (rank(a) + rank(b)).round() as i64
}

/// The edges that bound the contact along enough of it; else those nearest to it.
fn nearest(edges: &[Beside]) -> Vec<Beside> {
    let longest = |side: &str| {
        let own = edges.iter().filter(|edge| side_word(edge.out) == side).map(|edge| edge.along);
        own.fold(LEAST_ALONG, f64::max)
    };
    let bounds =
        |edge: &Beside| edge.along >= LEAST_ALONG && edge.along >= LEAST_SHARE * longest(side_word(edge.out));
    let least = edges.iter().map(|edge| edge.off).fold(BLADE, f64::min);
    let is_bound = edges.iter().any(bounds);
    let is_near = |edge: &&Beside| if is_bound { bounds(edge) } else { edge.off < least + AT_CONTACT };
    edges.iter().filter(is_near).cloned().collect()
}

/// Straight edges of a part in the plane of a contact, within reach of it; long ones where the board lies along it.
fn straight_edges(part: &Part, patch: &JointPatch) -> Vec<Beside> {
    let normal = patch.normal;
    let lies = lies_along(part, patch);
    let grain = part.pose.matrix3.x_axis.reject_from_normalized(normal).normalize_or_zero();
    let edges = part.solid.edges().iter().filter(|edge| edge.kind == EdgeKind::Sharp);
    let beside = |edge: &Edge| {
        let [a, b] = [edge.a, edge.b].map(|end| part.pose.transform_point3(end));
        let normals = edge.normals.map(|normal| part.pose.transform_vector3(normal));
        let in_contact = |one: &DVec3| one.dot(normal).abs() > IN_CONTACT;
        let face = normals.iter().position(in_contact)?;
        let is_in_plane =
            [a, b].iter().all(|end| (*end - patch.centre).dot(normal).abs() < AT_CONTACT + patch.gap);
        let way = (b - a).try_normalize()?;
        let is_long = !lies || way.cross(grain).length() < ALONG;
        let out = normals[1 - face].reject_from_normalized(normal).normalize_or_zero();
        let ridge = is_ridge(part, (a + b) / 2.0, out, normals[face]);
        let (along, off) = from_contact([a, b], patch);
        let is_told = is_in_plane && is_long && ridge && a.distance(b) >= SHORTEST && off < BLADE;
        // Last, for there are many edges and few of them lie beside a joint.
        let is_straight = || !is_curved(part, edge) && !is_sawn_later(part, edge);
        (is_told && is_straight()).then_some(Beside { way, out, along, off })
    };
    edges.filter_map(beside).collect()
}

/// Whether a board lies along a contact, not with an end to it.
fn lies_along(part: &Part, patch: &JointPatch) -> bool {
    part.pose.matrix3.x_axis.dot(patch.normal).abs() < ALONG
}

/// Whether there is no wood beside an edge: it is no foot of the wall of a notch.
fn is_ridge(part: &Part, middle: DVec3, out: DVec3, face: DVec3) -> bool {
    let beside = part.pose.inverse().transform_point3(middle + (out - face) * AT_CONTACT);
    let holds = |piece: &slatwork_solid::Piece| {
        piece.planes().iter().all(|plane| plane.normal.dot(beside) <= plane.offset)
    };
    !part.solid.pieces().iter().any(holds)
}

/// A point of a board in the plane of its outline.
fn in_outline(part: &Part, point: DVec3) -> DVec2 {
    match part.shape.across {
        Across::Thickness => point.truncate(),
        Across::Width => DVec2::new(point.x, point.z),
    }
}

/// Whether an edge is a facet of a curve.
fn is_curved(part: &Part, edge: &Edge) -> bool {
    let middle = in_outline(part, (edge.a + edge.b) / 2.0);
    let arcs = part.shape.profile.edges().into_iter().filter(|segment| !segment.is_line());
    arcs.map(|arc| Path::from_segments(&[arc])).any(|arc| is_on(&arc, middle))
}

/// Whether an edge is only there once a line is sawn in place.
fn is_sawn_later(part: &Part, edge: &Edge) -> bool {
    let middle = in_outline(part, (edge.a + edge.b) / 2.0);
    part.features.iter().any(|feature| {
        matches!((&feature.kind, &feature.when), (FeatureKind::Outline { line, .. }, When::InPlace { .. })
            if is_on(line, middle))
    })
}

fn is_on(line: &Path, point: DVec2) -> bool {
    line.project(point).is_some_and(|nearest| nearest.point.distance(point) < ON_LINE)
}

/// How long an edge runs along a contact, and how far it lies from it.
fn from_contact([a, b]: [DVec3; 2], patch: &JointPatch) -> (f64, f64) {
    let corners = &patch.corners;
    let sides = || (0..corners.len()).map(|index| [corners[index], corners[(index + 1) % corners.len()]]);
    let (mut from, mut to) = (0.0_f64, 1.0_f64);
    for [start, end] in sides() {
        let out = (end - start).cross(patch.normal).normalize_or_zero();
        let out = if out.dot(patch.centre - start) > 0.0 { -out } else { out };
        let (at_a, at_b) = (out.dot(a - start) - AT_CONTACT, out.dot(b - start) - AT_CONTACT);
        let cross = at_a / (at_a - at_b);
        match (at_a > 0.0, at_b > 0.0) {
            (true, true) => to = f64::NEG_INFINITY,
            (true, false) => from = from.max(cross),
            (false, true) => to = to.min(cross),
            (false, false) => {}
        }
    }
    if to > from {
        return ((to - from) * a.distance(b), 0.0);
    }
    (0.0, sides().map(|[start, end]| segment_distance(a, b, start, end)).fold(f64::INFINITY, f64::min))
}

/// "the front edge of `leg`"; with another edge to the same side that runs otherwise, "the front edge of `leg` at the joint".
fn edge_words(part: &Part, edge: &Beside, all: &[Beside], patch: &JointPatch) -> String {
    let what = if lies_along(part, patch) { "edge" } else { "side" };
    let is_other = |other: &&Beside| {
        side_word(other.out) == side_word(edge.out)
            && edge.way.cross(other.way).length() > Angle::deg(SQUARE).sin()
    };
    let which = if all.iter().any(|other| is_other(&other)) { " at the joint" } else { "" };
    format!("the {} {what} of `{}`{which}", side_word(edge.out), part.name)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A part and its mirror image differ in the last digits.
    #[test]
    fn what_lies_on_a_half_is_set_alike_on_both_hands() {
        for degrees in [86.25, 86.25 - 1e-12, 86.25 + 1e-12] {
            assert_eq!(as_held(degrees), Angle::deg(86.5), "{degrees}");
        }
        assert_eq!(as_held(86.2), Angle::deg(86.0));
    }
}
