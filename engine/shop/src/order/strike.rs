//! Striking a line over parts that stand: the straight it is set off from, and the figures that mark it.

use super::words::{listed, names};
use crate::words::Reading;
use slatwork_base::Length;
use slatwork_model::{FeatureKind, Model, Part};
use slatwork_solid::{DVec2, DVec3, Path};

/// The line is set off at this many places of the straight, its ends left out: every eighth.
const EIGHTHS: usize = 8;

/// A line is followed to this, mm: finer than a pencil.
const PENCIL: f64 = 0.05;

/// Corners this near to the line, mm, were sawn by it.
const ON_LINE: f64 = 0.3;

/// What turns inward by more than this (as a slope) is an end and no edge any more: no end is mitred beyond 45 degrees.
const END: f64 = 1.0;

/// What departs by less than this, mm, from a straight or a circle is one: half a sixteenth of an inch.
const FAIR: f64 = 0.8;

/// A sawn corner of the outermost part on one side.
struct Corner<'a> {
    part: &'a Part,
    /// In board axes.
    local: DVec3,
    /// Along the chord and towards the waste.
    flat: DVec2,
}

/// The line over the parts it trims.
struct Struck<'a> {
    first: Corner<'a>,
    last: Corner<'a>,
    points: Vec<DVec2>,
    /// The way of the chord, in the world.
    way: DVec3,
}

/// How a line is struck over these parts, a sentence each; nothing where it is no line across several parts.
pub(crate) fn struck(model: &Model, what: &str, parts: &[usize], reading: Reading) -> Option<Vec<String>> {
    let struck = Struck::new(model, what, parts)?;
    let text = |value: f64| reading.text(Length::mm(value));
    let chord = (struck.last.flat - struck.first.flat).length();
    let (first, last) = (struck.edge(&struck.first)?, struck.edge(&struck.last)?);
    let (one, other) = (struck.first.name(), struck.last.name());
    let (low, high) = (text(first), text(last));
    let marks = if low == high {
        format!("{low} along the outer edges of {one} and {other}")
    } else {
        format!("{low} along the outer edge of {one} and {high} along that of {other}")
    };
    let straight = format!(
        "Measure {marks}, from the outer corners of their other ends, and strike a straight from mark to mark, {} long.",
        text(chord)
    );
    let over = names(model, parts);
    let heights = struck.heights();
    let line = match (struck.rise(&heights), struck.radius(&heights)) {
        (None, _) => format!("The {what} is this straight over {over}."),
        (Some(rise), Some(radius)) => format!(
            "The {what} is an arc over it, {} high in the middle, of {} radius: swing it with a trammel, or spring a lath \
             through its ends and the middle.",
            text(rise),
            text(radius)
        ),
        (Some(_), None) => format!(
            "Set the {what} off square to it at every eighth of its length: {}; spring a batten through the marks and draw \
             along it.",
            listed(&heights.iter().map(|height| text(*height)).collect::<Vec<_>>())
        ),
    };
    Some(vec![straight, line])
}

impl<'a> Struck<'a> {
    fn new(model: &'a Model, what: &str, parts: &[usize]) -> Option<Self> {
        let first = &model.parts[*parts.first()?];
        let line = line_of(first, what)?;
        let in_world = |point: DVec2| first.pose.transform_point3(point.extend(0.0));
        let way = (in_world(line.end()) - in_world(line.start())).normalize_or_zero();
        let across = first.pose.matrix3.z_axis.cross(way);
        // Wood that stays lies on the other side of the line than the waste.
        let middle = in_world(line.point_at(line.length() / 2.0));
        let up = if across.dot(middle - first.pose.translation) < 0.0 { -across } else { across };
        let flat = |point: DVec3| DVec2::new(way.dot(point), up.dot(point));
        let points: Vec<DVec2> =
            line.flatten(PENCIL).into_iter().map(|point| flat(in_world(point))).collect();
        let mut corners: Vec<Corner> = Vec::new();
        for &part in parts {
            let part = &model.parts[part];
            for local in part.solid.pieces().iter().flat_map(|piece| piece.vertices()) {
                let flat = flat(part.pose.transform_point3(*local));
                if height_at(&points, flat.x).is_some_and(|height| (height - flat.y).abs() < ON_LINE) {
                    corners.push(Corner { part, local: *local, flat });
                }
            }
        }
        corners.sort_by(|a, b| a.flat.x.total_cmp(&b.flat.x));
        let last = corners.pop()?;
        let first = corners.into_iter().next()?;
        (last.part.id != first.part.id).then_some(Struck { first, last, points, way })
    }

    /// The length of the outer edge that a corner ends, down to the other end of its part.
    fn edge(&self, corner: &Corner) -> Option<f64> {
        let outer = if std::ptr::eq(corner, &self.first) { -self.way } else { self.way };
        let outer = corner.part.pose.matrix3.transpose() * outer;
        let on_face = |other: &&DVec3| (other.z - corner.local.z).abs() < ON_LINE;
        let corners = corner.part.solid.pieces().iter().flat_map(|piece| piece.vertices());
        let corners: Vec<DVec2> = corners.filter(on_face).map(|other| other.truncate()).collect();
        let middle = corners.iter().sum::<DVec2>() / corners.len() as f64;
        let down = DVec2::new((middle.x - corner.local.x).signum(), 0.0);
        outer_edge(&corners, corner.local.truncate(), down, DVec2::new(0.0, outer.y.signum()))
    }

    /// Heights over the straight at its eighths, the ends left out, mm.
    fn heights(&self) -> Vec<f64> {
        let at = |eighth: usize| {
            let on_chord = self.first.flat.lerp(self.last.flat, eighth as f64 / EIGHTHS as f64);
            height_at(&self.points, on_chord.x).map(|height| height - on_chord.y)
        };
        (1..EIGHTHS).filter_map(at).collect()
    }

    /// The height in the middle; `None` for a straight.
    fn rise(&self, heights: &[f64]) -> Option<f64> {
        let is_curved = heights.iter().any(|height| height.abs() > FAIR);
        heights.get(EIGHTHS / 2 - 1).copied().filter(|_| is_curved)
    }

    /// The radius of a line that is a circle.
    fn radius(&self, heights: &[f64]) -> Option<f64> {
        let half = (self.last.flat - self.first.flat).length() / 2.0;
        let rise = self.rise(heights)?;
        let radius = (half * half + rise * rise) / (2.0 * rise);
        let is_round = heights.iter().enumerate().all(|(index, height)| {
            let out = half * (1.0 - (index + 1) as f64 * 2.0 / EIGHTHS as f64);
            ((radius * radius - out * out).max(0.0).sqrt() - (radius - rise) - height).abs() < FAIR
        });
        is_round.then_some(radius)
    }
}

impl Corner<'_> {
    fn name(&self) -> String {
        format!("`{}`", self.part.name)
    }
}

/// How far it is from one corner of an outline down the edge that lies outermost, round its own corners, to where an end of the
/// board turns inward; `None` where nothing lies further down.
fn outer_edge(corners: &[DVec2], from: DVec2, down: DVec2, out: DVec2) -> Option<f64> {
    let (mut at, mut length) = (from, 0.0);
    loop {
        let leans = |to: DVec2| (to - at).dot(out) / (to - at).dot(down);
        let further = corners.iter().copied().filter(|to| (to - at).dot(down) > ON_LINE);
        // The outermost way on; of corners in one line the farthest.
        let next = further.filter(|to| leans(*to) > -END).max_by(|a, b| leans(*a).total_cmp(&leans(*b)));
        let Some(next) = next else { return (length > 0.0).then_some(length) };
        length += next.distance(at);
        at = next;
    }
}

fn line_of<'a>(part: &'a Part, what: &str) -> Option<&'a Path> {
    part.features.iter().find_map(|feature| match &feature.kind {
        FeatureKind::Outline { line, what: own } if own == what => Some(line),
        _ => None,
    })
}

fn height_at(points: &[DVec2], along: f64) -> Option<f64> {
    points.windows(2).find_map(|pair| {
        let (a, b) = (pair[0], pair[1]);
        (a.x.min(b.x) <= along && along <= a.x.max(b.x) && (b.x - a.x).abs() > 0.0)
            .then(|| a.y + (b.y - a.y) * (along - a.x) / (b.x - a.x))
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use slatwork_base::maths;

    /// A slat 80 wide, its outer (far) edge 10 narrower at the foot, the foot mitred one way and the other: along the edge
    /// from (800, 80) to (20, 70), or to (0, 70), never across to the inner corner of the foot.
    #[test]
    fn an_edge_is_measured_to_its_own_corner_of_a_mitred_foot() {
        let slat = |outer: f64, inner: f64| {
            let corners = [(850.0, 0.0), (800.0, 80.0), (outer, 70.0), (inner, 0.0)].map(DVec2::from);
            outer_edge(&corners, corners[1], DVec2::NEG_X, DVec2::Y).expect("an edge")
        };
        assert!((slat(20.0, 0.0) - maths::hypot(780.0, 10.0)).abs() < 1e-9);
        assert!((slat(0.0, 20.0) - maths::hypot(800.0, 10.0)).abs() < 1e-9);
    }

    /// An edge that bends on its way is followed round the bend: 300 to it, then (300, 40).
    #[test]
    fn a_bent_edge_is_measured_round_its_bend() {
        let corners = [(600.0, 0.0), (600.0, 90.0), (300.0, 90.0), (0.0, 50.0), (0.0, 0.0)].map(DVec2::from);
        let edge = outer_edge(&corners, corners[1], DVec2::NEG_X, DVec2::Y).expect("an edge");
        assert!((edge - 300.0 - maths::hypot(300.0, 40.0)).abs() < 1e-9, "{edge}");
    }
}
