//! Open paths of lines and arcs: curves to cut along, to lay slats on, to set out.

use crate::curve_fault::CurveFault;
use crate::fit::tidied;
use crate::segment::{Extent, Foot, PlaneMotion, SAME_POINT, Segment, nearest};
use crate::{DVec2, Tag, Vertex};

/// An open path of lines and arcs.
///
/// Each vertex carries the bulge and the tag of the edge that leaves it; those of the last vertex are not used. A path
/// made by this room has at least two vertices; one without answers every question with zeros.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Path {
    /// Points in order, mm.
    pub vertices: Vec<Vertex>,
}

/// The point of a path nearest to some other point.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Nearest {
    /// The point on the path, mm.
    pub point: DVec2,
    /// Arc length from the path's start, mm.
    pub position: f64,
    /// Distance between the two points, mm.
    pub distance: f64,
    /// The same distance, negative if the other point lies to the right of the path.
    pub left: f64,
}

impl Path {
    /// A straight line.
    pub fn line(from: DVec2, to: DVec2) -> Self {
        Path::from_segments(&[Segment::line(from, to, Tag::default())])
    }

    /// A path of straight lines through points.
    pub fn lines(points: &[DVec2]) -> Self {
        let vertices = points.iter().map(|&point| Vertex { point, bulge: 0.0, tag: Tag::default() });
        Path { vertices: vertices.collect() }
    }

    /// An arc from one point to another; bulge as in [`Vertex`].
    pub fn arc(from: DVec2, to: DVec2, bulge: f64) -> Self {
        Path::from_segments(&[Segment { start: from, end: to, bulge, tag: Tag::default() }])
    }

    /// A path of segments, each of which begins where the one before ends.
    pub fn from_segments(segments: &[Segment]) -> Self {
        let vertex = |s: &Segment| Vertex { point: s.start, bulge: s.bulge, tag: s.tag };
        let last = segments.last().map(|s| Vertex { point: s.end, bulge: 0.0, tag: s.tag });
        Path { vertices: segments.iter().map(vertex).chain(last).collect() }
    }

    /// The lines and arcs in order.
    pub fn segments(&self) -> Vec<Segment> {
        self.each_segment().collect()
    }

    fn each_segment(&self) -> impl Iterator<Item = Segment> {
        self.vertices.windows(2).map(|pair| Segment {
            start: pair[0].point,
            end: pair[1].point,
            bulge: pair[0].bulge,
            tag: pair[0].tag,
        })
    }

    /// First point.
    pub fn start(&self) -> DVec2 {
        self.vertices.first().map_or(DVec2::ZERO, |vertex| vertex.point)
    }

    /// Last point.
    pub fn end(&self) -> DVec2 {
        self.vertices.last().map_or(DVec2::ZERO, |vertex| vertex.point)
    }

    /// Length along the path, mm.
    pub fn length(&self) -> f64 {
        self.each_segment().map(|segment| segment.length()).sum()
    }

    /// The segment at an arc position, and the part of that segment's length. Positions beyond the ends give the ends.
    fn locate(&self, position: f64) -> Option<(Segment, f64)> {
        let mut left = position.max(0.0);
        for segment in self.each_segment() {
            let length = segment.length();
            if left <= length && length > 0.0 {
                return Some((segment, left / length));
            }
            left -= length;
        }
        self.each_segment().last().map(|segment| (segment, 1.0))
    }

    /// The point at an arc length from the start, mm; limited to the path's ends.
    pub fn point_at(&self, position: f64) -> DVec2 {
        self.locate(position).map_or(self.start(), |(segment, fraction)| segment.point(fraction))
    }

    /// Unit direction of travel at an arc length from the start; at a corner, that of the edge arriving.
    pub fn tangent_at(&self, position: f64) -> DVec2 {
        self.locate(position).map_or(DVec2::X, |(segment, fraction)| segment.tangent(fraction))
    }

    /// Unit direction of travel at the start.
    pub fn tangent_at_start(&self) -> DVec2 {
        self.segments().first().map_or(DVec2::X, |segment| segment.tangent(0.0))
    }

    /// Unit direction of travel at the end.
    pub fn tangent_at_end(&self) -> DVec2 {
        self.segments().last().map_or(DVec2::X, |segment| segment.tangent(1.0))
    }

    /// One over the radius at an arc length from the start, 1/mm, positive turning left.
    pub fn curvature_at(&self, position: f64) -> f64 {
        self.locate(position).map_or(0.0, |(segment, _)| segment.curvature())
    }

    /// The same path walked the other way.
    #[must_use]
    pub fn reversed(&self) -> Self {
        Path::from_segments(&self.segments().iter().rev().map(Segment::reversed).collect::<Vec<_>>())
    }

    /// Moved, turned, perhaps mirrored.
    #[must_use]
    pub fn transformed(&self, motion: PlaneMotion) -> Self {
        let moved =
            |v: &Vertex| Vertex { point: motion.point(v.point), bulge: motion.bulge(v.bulge), tag: v.tag };
        Path { vertices: self.vertices.iter().map(moved).collect() }
    }

    /// The smallest box around the path, as its lowest and its highest corner, mm.
    pub fn bounds(&self) -> (DVec2, DVec2) {
        let extent = self.extent();
        (extent.low, extent.high)
    }

    pub(crate) fn extent(&self) -> Extent {
        let segments = self.segments();
        segments.iter().map(Segment::extent).fold(Extent::of(self.start()), Extent::joined)
    }

    /// Where the path first passes over `x`, if it does: the segment and the part of its length.
    fn over(&self, x: f64) -> Option<(Segment, f64)> {
        self.segments()
            .into_iter()
            .find_map(|segment| segment.fraction_over(x).map(|fraction| (segment, fraction)))
    }

    /// Height at `x`, mm, for a path that never goes back in x (else the first height along the path).
    pub fn y_at(&self, x: f64) -> Option<f64> {
        self.over(x).map(|(segment, fraction)| segment.point(fraction).y)
    }

    /// dy/dx at `x`; `None` beyond the ends or where the path is upright. At a corner, that of the edge arriving.
    pub fn slope_at(&self, x: f64) -> Option<f64> {
        let (segment, fraction) = self.over(x)?;
        let tangent = segment.tangent(fraction);
        (tangent.x != 0.0).then(|| tangent.y / tangent.x)
    }

    /// The nearest point of the path; `None` for a path without edges.
    pub fn project(&self, point: DVec2) -> Option<Nearest> {
        let segments = self.segments();
        let (index, foot) = nearest(&segments, point)?;
        let before: f64 = segments[..index].iter().map(Segment::length).sum();
        let position = before + foot.fraction * segments[index].length();
        let left = foot.distance.copysign(left_of(&segments, index, &foot, point));
        Some(Nearest { point: foot.point, position, distance: foot.distance, left })
    }

    /// The path with straight lines along its end tangents added, `by` mm at each end.
    #[must_use]
    pub fn extended(&self, by: f64) -> Self {
        self.extended_at_start(by).extended_at_end(by)
    }

    /// The path with a straight line along its end tangent added.
    #[must_use]
    pub fn extended_at_end(&self, by: f64) -> Self {
        let (Some(last), true) = (self.segments().last().copied(), by > 0.0) else { return self.clone() };
        let mut segments = self.segments();
        segments.push(Segment::line(last.end, last.end + last.tangent(1.0) * by, last.tag));
        Path::from_segments(&segments)
    }

    /// The path with a straight line along its first tangent added before it.
    #[must_use]
    pub fn extended_at_start(&self, by: f64) -> Self {
        self.reversed().extended_at_end(by).reversed()
    }

    /// All edges with one tag.
    #[must_use]
    pub fn with_tag(&self, tag: Tag) -> Self {
        Path { vertices: self.vertices.iter().map(|vertex| Vertex { tag, ..*vertex }).collect() }
    }

    /// The stretch between two arc positions, mm, each limited to the path; reversed if `from` is beyond `to`.
    #[must_use]
    pub fn between(&self, from: f64, to: f64) -> Self {
        if from > to {
            return self.between(to, from).reversed();
        }
        let (mut walked, mut kept) = (0.0, Vec::new());
        for segment in self.segments() {
            let length = segment.length();
            let limited = |position: f64| ((position - walked) / length).clamp(0.0, 1.0);
            if length > 0.0 && limited(to) > limited(from) {
                kept.push(segment.part(limited(from), limited(to)));
            }
            walked += length;
        }
        Path::from_segments(&kept)
    }

    /// This path and then another that begins where it ends.
    ///
    /// # Errors
    /// [`CurveFault::Gap`] if the other begins elsewhere.
    pub fn join(&self, other: &Path) -> Result<Path, CurveFault> {
        let gap = self.end().distance(other.start());
        if gap.is_nan() || gap > SAME_POINT {
            return Err(CurveFault::Gap { gap });
        }
        let mut segments = self.segments();
        segments.extend(other.segments());
        Ok(Path::from_segments(&segments))
    }

    /// Points along the path, both ends included, so that no chord stands off by more than `chord` mm.
    pub fn flatten(&self, chord: f64) -> Vec<DVec2> {
        let mut points: Vec<DVec2> =
            self.segments().iter().flat_map(|segment| segment.flatten(chord)).collect();
        points.push(self.end());
        points
    }

    /// Whether the path crosses or touches itself.
    pub fn self_crosses(&self) -> bool {
        edges_cross(&self.segments(), false)
    }

    /// The parallel curve at a distance to the left (negative: to the right), mm: arcs stay arcs; an outer corner is
    /// bridged by an arc about it, an inner corner is trimmed.
    ///
    /// # Errors
    /// [`CurveFault::OffsetTooFar`] where an arc is tighter than the distance or the edges at an inner corner are too
    /// short, or where the parallel curve would cross itself.
    pub fn offset(&self, distance: f64) -> Result<Path, CurveFault> {
        let fault = CurveFault::OffsetTooFar { distance };
        if !distance.is_finite() {
            return Err(fault);
        }
        let mut moved: Vec<Segment> = Vec::new();
        for segment in self.segments() {
            let next = segment.offset(distance).ok_or(fault)?;
            connect(&mut moved, segment.start, distance, next).ok_or(fault)?;
        }
        let path = Path::from_segments(&moved);
        if path.self_crosses() { Err(fault) } else { Ok(path) }
    }
}

/// Adds the next edge of a parallel curve behind those already moved: straight on, by an arc about the old corner, or
/// trimmed against the edge before. `None` if an inner corner cannot be trimmed.
fn connect(moved: &mut Vec<Segment>, corner: DVec2, distance: f64, mut next: Segment) -> Option<()> {
    if let Some(before) = moved.last_mut() {
        let turn = before.tangent(1.0).perp_dot(next.tangent(0.0));
        if before.end.distance(next.start) <= SAME_POINT {
            next.start = before.end;
        } else if turn * distance > 0.0 {
            let meetings = before.meetings(&next, SAME_POINT);
            let (on_before, on_next) = *meetings.iter().max_by(|a, b| a.0.total_cmp(&b.0))?;
            *before = before.part(0.0, on_before);
            next = next.part(on_next, 1.0);
            next.start = before.end;
        } else {
            let tangent = if distance > 0.0 { -1.0 } else { 1.0 } * (before.end - corner).perp();
            let bulge = crate::segment::bulge_from_tangent(tangent, next.start - before.end);
            let arc = Segment { start: before.end, end: next.start, bulge, tag: next.tag };
            moved.push(arc);
        }
    }
    moved.push(next);
    Some(())
}

/// Positive if a point lies to the left of a path, judged at its foot; at a corner, by both edges.
fn left_of(segments: &[Segment], index: usize, foot: &Foot, point: DVec2) -> f64 {
    let here = segments[index];
    let neighbour = match foot.fraction {
        f if f <= 0.0 && index > 0 => Some(segments[index - 1].tangent(1.0)),
        f if f >= 1.0 && index + 1 < segments.len() => Some(segments[index + 1].tangent(0.0)),
        _ => None,
    };
    let tangent = here.tangent(foot.fraction) + neighbour.unwrap_or(DVec2::ZERO);
    tangent.perp_dot(point - foot.point)
}

/// Whether edges of a chain, closed or open, meet anywhere but at the corners between neighbours.
pub(crate) fn edges_cross(edges: &[Segment], closed: bool) -> bool {
    let edges = tidied(edges.to_vec());
    let count = edges.len();
    (0..count).any(|i| {
        (i + 1..count).any(|j| {
            let mut corners = Vec::new();
            if j == i + 1 {
                corners.push(edges[i].end);
            }
            if closed && (j + 1) % count == i {
                corners.push(edges[j].end);
            }
            pair_crosses(&edges[i], &edges[j], &corners)
        })
    })
}

/// Whether two edges meet away from the corners they share. Edges folded back onto each other meet in their whole
/// length: then some meeting, or a point beside the shared corner, lies on both.
fn pair_crosses(first: &Segment, second: &Segment, corners: &[DVec2]) -> bool {
    let is_corner = |point: DVec2| corners.iter().any(|corner| corner.distance(point) <= 10.0 * SAME_POINT);
    let meetings = first.meetings(second, SAME_POINT);
    if meetings.iter().any(|(fraction, _)| !is_corner(first.point(*fraction))) {
        return true;
    }
    // Two edges that share both corners and lie on each other meet in no other end.
    let middle = second.foot(first.point(0.5));
    corners.len() == 2 && middle.distance <= SAME_POINT
}
