//! What an outline measures, and the same outline moved, rounded, flattened, questioned.

use crate::curve_fault::CurveFault;
use crate::fit::tidied;
use crate::path::{Path, edges_cross};
use crate::segment::{Extent, PlaneMotion, SAME_POINT, Segment, bulge_from_tangent, nearest, winding};
use crate::{DVec2, Profile, Tag, Vertex};

/// Steps of the search for the largest radius that fits a corner: halves the doubt each time, to well below a micron.
const RADIUS_STEPS: u32 = 48;

impl Profile {
    /// An outline of edges, each of which begins where the one before ends; the last ends where the first begins.
    pub fn from_segments(edges: &[Segment]) -> Self {
        let vertex = |edge: &Segment| Vertex { point: edge.start, bulge: edge.bulge, tag: edge.tag };
        Profile { vertices: edges.iter().map(vertex).collect() }
    }

    /// A circle of two half-circle edges.
    pub fn circle(centre: DVec2, radius: f64, tag: Tag) -> Self {
        let vertex = |x| Vertex { point: centre + DVec2::new(x, 0.0), bulge: 1.0, tag };
        Profile { vertices: vec![vertex(radius), vertex(-radius)] }
    }

    /// The edge that leaves a corner; indices run on round the outline. `None` for an outline without corners.
    pub fn edge(&self, index: usize) -> Option<Segment> {
        let count = self.vertices.len();
        let from = self.vertices.get(index.checked_rem(count)?)?;
        let to = self.vertices.get((index + 1).checked_rem(count)?)?;
        Some(Segment { start: from.point, end: to.point, bulge: from.bulge, tag: from.tag })
    }

    /// All edges in order.
    pub fn edges(&self) -> Vec<Segment> {
        (0..self.vertices.len()).filter_map(|index| self.edge(index)).collect()
    }

    /// Area, mm2; negative for a clockwise outline.
    pub fn area(&self) -> f64 {
        self.area_and_moment().0
    }

    /// Centre of area; the origin for an outline of no area.
    pub fn centroid(&self) -> DVec2 {
        let (area, moment) = self.area_and_moment();
        let base = self.vertices.first().map_or(DVec2::ZERO, |vertex| vertex.point);
        if area == 0.0 { base } else { base + moment / area }
    }

    /// Area and its first moments about the first corner, where they lose no digits to a far origin.
    fn area_and_moment(&self) -> (f64, DVec2) {
        let base = self.vertices.first().map_or(DVec2::ZERO, |vertex| vertex.point);
        self.edges().iter().fold((0.0, DVec2::ZERO), |(area, moment), edge| {
            let (more_area, more_moment) = edge.moved(PlaneMotion::shift(-base)).area_moments();
            (area + more_area, moment + more_moment)
        })
    }

    /// The smallest box around the outline, as its lowest and its highest corner, mm.
    pub fn bounds(&self) -> (DVec2, DVec2) {
        let extent = self.extent();
        (extent.low, extent.high)
    }

    pub(crate) fn extent(&self) -> Extent {
        let first = self.vertices.first().map_or(DVec2::ZERO, |vertex| vertex.point);
        self.edges().iter().map(Segment::extent).fold(Extent::of(first), Extent::joined)
    }

    /// Length of the outline, mm.
    pub fn length(&self) -> f64 {
        self.edges().iter().map(Segment::length).sum()
    }

    /// Whether the inside is to the left.
    pub fn is_counter_clockwise(&self) -> bool {
        self.area() > 0.0
    }

    /// The outline walked the other way round, from the same corner.
    #[must_use]
    pub fn reversed(&self) -> Self {
        let edges: Vec<Segment> = self.edges().iter().rev().map(Segment::reversed).collect();
        Profile::from_segments(&edges)
    }

    /// Moved and turned; a mirrored outline is also walked the other way, so that it stays counter-clockwise.
    #[must_use]
    pub fn transformed(&self, motion: PlaneMotion) -> Self {
        let edges: Vec<Segment> = self.edges().iter().map(|edge| edge.moved(motion)).collect();
        let moved = Profile::from_segments(&edges);
        if motion.is_mirrored() { moved.reversed() } else { moved }
    }

    /// Whether a point is inside; either answer for one within rounding of the outline (ask [`Profile::distance`]).
    pub fn contains(&self, point: DVec2) -> bool {
        winding(&self.edges(), point) != 0
    }

    /// Distance of a point from the outline, mm, inside or outside alike; infinite for an outline without edges.
    pub fn distance(&self, point: DVec2) -> f64 {
        nearest(&self.edges(), point).map_or(f64::INFINITY, |(_, foot)| foot.distance)
    }

    /// Whether the outline crosses or touches itself.
    pub fn self_crosses(&self) -> bool {
        edges_cross(&self.edges(), true)
    }

    /// Corners of a polygon no side of which stands off its arc by more than `chord` mm, each with the tag of the edge
    /// that its side belongs to.
    pub fn flatten(&self, chord: f64) -> Vec<(DVec2, Tag)> {
        let flat = |edge: Segment| edge.flatten(chord).into_iter().map(move |point| (point, edge.tag));
        self.edges().into_iter().flat_map(flat).collect()
    }

    /// The outline from one corner to another, as a path.
    pub fn path_between(&self, from: usize, to: usize) -> Path {
        let count = self.vertices.len().max(1);
        let steps = (to % count + count - from % count) % count;
        let edges: Vec<Segment> = (0..steps).filter_map(|step| self.edge(from + step)).collect();
        Path::from_segments(&edges)
    }

    /// The stretch taken up by straight edges that lie on a line, as positions along `direction` (unit) from `point`,
    /// mm: the length of a sawn end, say. `None` if no edge lies within [`SAME_POINT`] of the line.
    pub fn edges_on(&self, point: DVec2, direction: DVec2) -> Option<(f64, f64)> {
        let direction = direction.normalize_or(DVec2::X);
        let is_on = |end: DVec2| direction.perp_dot(end - point).abs() <= SAME_POINT;
        let lies = |edge: &Segment| edge.is_line() && is_on(edge.start) && is_on(edge.end);
        let ends = self.edges().into_iter().filter(lies).flat_map(|edge| [edge.start, edge.end]);
        let positions = ends.map(|end| direction.dot(end - point));
        positions.fold(None, |span, at| {
            Some(span.map_or((at, at), |(low, high): (f64, f64)| (low.min(at), high.max(at))))
        })
    }

    /// The stretches of a line inside the outline, in order, as positions along `direction` from `point`, mm. Stretches
    /// that run on the outline itself do not count.
    pub fn stretches_inside(&self, point: DVec2, direction: DVec2) -> Vec<(f64, f64)> {
        let direction = direction.normalize_or(DVec2::X);
        let box_of = self.extent();
        let reach = box_of.diagonal() + point.distance(box_of.low) + 1.0;
        let line = Segment::line(point - direction * reach, point + direction * reach, Tag::default());
        let edges = self.edges();
        let meetings = edges.iter().flat_map(|edge| line.meetings(edge, SAME_POINT));
        let mut at: Vec<f64> = meetings.map(|(fraction, _)| (2.0 * fraction - 1.0) * reach).collect();
        at.sort_by(f64::total_cmp);
        join_stretches(at.windows(2).map(|pair| (pair[0], pair[1])).filter(|&(from, to)| {
            let middle = point + direction * ((from + to) / 2.0);
            to - from > SAME_POINT && winding(&edges, middle) != 0 && self.distance(middle) > SAME_POINT
        }))
    }

    /// The outline with one corner rounded; the new arc gets `tag`. Corners behind it move up by one; an edge that the
    /// arc uses up is left out.
    ///
    /// # Errors
    /// [`CurveFault::RadiusTooLarge`] with the most that fits, [`CurveFault::NoCorner`] where the edges run on
    /// smoothly, [`CurveFault::NotFinite`] for a radius that is none.
    pub fn filleted(&self, corner: usize, radius: f64, tag: Tag) -> Result<Profile, CurveFault> {
        let count = self.vertices.len();
        if corner >= count {
            return Err(CurveFault::NoCorner { index: corner });
        }
        let mut edges = self.edges();
        let before = (corner + count - 1) % count;
        let [first, arc, second] = round_corner(&edges[before], &edges[corner], corner, radius, tag)?;
        edges[before] = first;
        edges[corner] = second;
        edges.insert(corner, arc);
        Ok(Profile::from_segments(&tidied(edges)))
    }
}

impl Path {
    /// The path with one inner corner rounded (1 is the first); the new arc gets `tag`.
    ///
    /// # Errors
    /// As [`Profile::filleted`]; the path's ends are no corners.
    pub fn filleted(&self, corner: usize, radius: f64, tag: Tag) -> Result<Path, CurveFault> {
        let mut segments = self.segments();
        if corner == 0 || corner >= segments.len() {
            return Err(CurveFault::NoCorner { index: corner });
        }
        let [first, arc, second] =
            round_corner(&segments[corner - 1], &segments[corner], corner, radius, tag)?;
        segments[corner - 1] = first;
        segments[corner] = second;
        segments.insert(corner, arc);
        Ok(Path::from_segments(&tidied(segments)))
    }
}

/// Runs stretches that touch into one.
fn join_stretches(stretches: impl Iterator<Item = (f64, f64)>) -> Vec<(f64, f64)> {
    stretches.fold(Vec::new(), |mut joined: Vec<(f64, f64)>, (from, to)| {
        match joined.last_mut() {
            Some(last) if from - last.1 <= SAME_POINT => last.1 = to,
            _ => joined.push((from, to)),
        }
        joined
    })
}

/// A corner whose arc would be shorter than this is smooth already, mm: half of what a fair curve may be off.
const LEAST_ROUNDING: f64 = 0.01;

/// The two edges at a corner shortened, with the arc between them.
fn round_corner(
    before: &Segment,
    after: &Segment,
    index: usize,
    radius: f64,
    tag: Tag,
) -> Result<[Segment; 3], CurveFault> {
    if !radius.is_finite() {
        return Err(CurveFault::NotFinite { what: "radius" });
    }
    let turn = before.tangent(1.0).perp_dot(after.tangent(0.0));
    if radius <= 0.0 || turn.abs() * radius < LEAST_ROUNDING {
        return Err(CurveFault::NoCorner { index });
    }
    fit_corner(before, after, turn, radius, tag).ok_or_else(|| {
        let most = largest_radius(before, after, turn, radius);
        CurveFault::RadiusTooLarge { radius, most: (most * 10.0).floor() / 10.0 }
    })
}

/// The rounded corner, if the radius fits: the arc's centre is where both edges, moved inward by the radius, meet.
fn fit_corner(before: &Segment, after: &Segment, turn: f64, radius: f64, tag: Tag) -> Option<[Segment; 3]> {
    let inward = radius.copysign(turn);
    let (moved_before, moved_after) = (before.offset(inward)?, after.offset(inward)?);
    let meetings = moved_before.meetings(&moved_after, SAME_POINT);
    // The meeting nearest to the corner is the fillet; a farther one belongs to another crossing of curved edges.
    let (on_before, on_after) = meetings.into_iter().max_by(|a, b| (a.0 - a.1).total_cmp(&(b.0 - b.1)))?;
    let (first, second) = (before.part(0.0, on_before), after.part(on_after, 1.0));
    let bulge = bulge_from_tangent(before.tangent(on_before), second.start - first.end);
    let arc = Segment { start: first.end, end: second.start, bulge, tag };
    (arc.length() > SAME_POINT).then_some([first, arc, second])
}

/// The largest radius that fits, by halving.
fn largest_radius(before: &Segment, after: &Segment, turn: f64, too_large: f64) -> f64 {
    let (mut fits, mut does_not) = (0.0, too_large);
    for _ in 0..RADIUS_STEPS {
        let middle = (fits + does_not) / 2.0;
        if fit_corner(before, after, turn, middle, Tag::default()).is_some() {
            fits = middle;
        } else {
            does_not = middle;
        }
    }
    fits
}
