//! Smooth curves kept as arcs: pairs of arcs that meet without a corner, as few as keep within a tolerance.

use crate::curve_fault::CurveFault;
use crate::path::Path;
use crate::segment::{SAME_POINT, Segment, bulge_from_tangent, nearest};
use crate::{DVec2, Tag};

/// Tolerances that a fit accepts, mm: finer than a tenth of a micron is noise, coarser than a centimetre no curve.
const TOLERANCES: core::ops::RangeInclusive<f64> = 1e-4..=10.0;

/// Points of the true curve that each pair of arcs is held against.
const SAMPLES: u32 = 16;

/// Share of the tolerance that the sampled points may use: the rest covers what lies between the samples.
const SAMPLED_SHARE: f64 = 0.95;

/// Most pairs of arcs for one stretch of curve. A five metre batten within a tenth of a micron takes half as many; a
/// stretch that needs more has a corner in all but name.
const MOST_PAIRS: u32 = 256;

/// A point of a curve and its unit direction there.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Ray {
    pub(crate) point: DVec2,
    pub(crate) tangent: DVec2,
}

/// The tolerance, if it is one.
pub(crate) fn checked_tolerance(tolerance: f64) -> Result<f64, CurveFault> {
    if TOLERANCES.contains(&tolerance) { Ok(tolerance) } else { Err(CurveFault::BadTolerance { tolerance }) }
}

/// Two arcs from one ray to another, meeting without a corner; one line where both lie on it.
pub(crate) fn biarc(from: Ray, to: Ray) -> Option<[Segment; 2]> {
    let chord = to.point - from.point;
    let sum = from.tangent + to.tangent;
    // Equal lengths of both end tangents up to the tangent at the joint: a quadratic, written without division by the
    // difference of the tangents, which vanishes for parallel ends.
    let (along, spread) = (chord.dot(sum), 2.0 * (1.0 - from.tangent.dot(to.tangent)));
    let root = (along * along + spread * chord.length_squared()).sqrt();
    let reach = chord.length_squared() / (along + root);
    if !reach.is_finite() || along + root <= 0.0 {
        return None;
    }
    let joint = (from.point + to.point + (from.tangent - to.tangent) * reach) / 2.0;
    let first = bulge_from_tangent(from.tangent, joint - from.point);
    let second = -bulge_from_tangent(-to.tangent, joint - to.point);
    let arc = |start, end, bulge| Segment { start, end, bulge, tag: Tag::default() };
    Some([arc(from.point, joint, first), arc(joint, to.point, second)])
}

/// How far the true curve strays from a pair of arcs between two parameters, mm.
fn deviation(curve: &impl Fn(f64) -> Ray, from: f64, to: f64, arcs: &[Segment]) -> f64 {
    let sample = |i: u32| curve(from + (to - from) * (f64::from(i) + 0.5) / f64::from(SAMPLES)).point;
    let distances = (0..SAMPLES).filter_map(|i| nearest(arcs, sample(i))).map(|(_, foot)| foot.distance);
    distances.fold(0.0, f64::max)
}

/// A pair of arcs for a stretch of a curve, if it keeps the tolerance.
fn fitted(curve: &impl Fn(f64) -> Ray, from: f64, to: f64, tolerance: f64) -> Option<[Segment; 2]> {
    let arcs = biarc(curve(from), curve(to))?;
    // An arc of more than a half circle could hold all samples and still run round the other way.
    if arcs.iter().any(|arc| arc.bulge.abs() > 1.0) {
        return None;
    }
    (deviation(curve, from, to, &arcs) <= tolerance * SAMPLED_SHARE).then_some(arcs)
}

/// A curve as pairs of arcs over equal steps of its parameter, as few as keep the tolerance.
pub(crate) fn fit_evenly(
    curve: impl Fn(f64) -> Ray,
    from: f64,
    to: f64,
    tolerance: f64,
) -> Option<Vec<Segment>> {
    (1..=MOST_PAIRS).find_map(|count| {
        let at = |i: u32| from + (to - from) * f64::from(i) / f64::from(count);
        let pairs: Option<Vec<_>> = (0..count).map(|i| fitted(&curve, at(i), at(i + 1), tolerance)).collect();
        pairs.map(|pairs| pairs.concat())
    })
}

/// Leaves out edges of no length.
pub(crate) fn tidied(segments: Vec<Segment>) -> Vec<Segment> {
    segments.into_iter().filter(|segment| segment.chord().length() > SAME_POINT).collect()
}

/// Directions in which a curve leaves its first point and arrives at its last; `None` lets the batten run free (no
/// curvature at that end). Any length but zero.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct EndDirections {
    /// Direction of travel at the first point.
    pub start: Option<DVec2>,
    /// Direction of travel at the last point.
    pub end: Option<DVec2>,
}

/// A fair curve through points: a cubic spline with continuous curvature over the chord lengths, kept as arcs that meet
/// without a corner, within `tolerance` mm of the spline and exactly through the points.
///
/// # Errors
/// [`CurveFault`]: fewer than two points, neighbours that are the same, numbers that are none, a tolerance out of range,
/// an end direction of no length, a curve too sharp to be fitted.
pub fn through(points: &[DVec2], tolerance: f64, ends: EndDirections) -> Result<Path, CurveFault> {
    let tolerance = checked_tolerance(tolerance)?;
    check_points(points)?;
    let spline = Spline::new(points, checked_direction(ends.start)?, checked_direction(ends.end)?);
    let mut segments = Vec::new();
    for span in 0..points.len() - 1 {
        let arcs = fit_evenly(|t| spline.ray(span, t), 0.0, 1.0, tolerance);
        segments.extend(arcs.ok_or(CurveFault::TooSharp { index: span })?);
    }
    Ok(Path::from_segments(&tidied(segments)))
}

fn check_points(points: &[DVec2]) -> Result<(), CurveFault> {
    if points.len() < 2 {
        return Err(CurveFault::TooFewPoints { count: points.len() });
    }
    if points.iter().any(|point| !point.is_finite()) {
        return Err(CurveFault::NotFinite { what: "point of the curve" });
    }
    let same = points.windows(2).position(|pair| pair[0].distance(pair[1]) <= SAME_POINT);
    same.map_or(Ok(()), |index| Err(CurveFault::SamePoints { index: index + 1 }))
}

fn checked_direction(direction: Option<DVec2>) -> Result<Option<DVec2>, CurveFault> {
    let Some(direction) = direction else { return Ok(None) };
    direction.try_normalize().map(Some).ok_or(CurveFault::NoDirection)
}

/// A cubic spline over the lengths of its chords, with its derivatives at the points.
struct Spline {
    points: Vec<DVec2>,
    slopes: Vec<DVec2>,
}

impl Spline {
    /// Solves for the derivatives at the points that make the second derivative run on over each of them.
    fn new(points: &[DVec2], start: Option<DVec2>, end: Option<DVec2>) -> Self {
        let chords: Vec<f64> = points.windows(2).map(|pair| pair[0].distance(pair[1])).collect();
        let rise: Vec<DVec2> =
            points.windows(2).zip(&chords).map(|(pair, chord)| (pair[1] - pair[0]) / *chord).collect();
        let last = points.len() - 1;
        // Rows of `low m[i-1] + middle m[i] + high m[i+1] = right`.
        let row = |i: usize| match (i, start, end) {
            (0, Some(slope), _) => (0.0, 1.0, 0.0, slope),
            (0, None, _) => (0.0, 2.0, 1.0, rise[0] * 3.0),
            (i, _, Some(slope)) if i == last => (0.0, 1.0, 0.0, slope),
            (i, _, None) if i == last => (1.0, 2.0, 0.0, rise[i - 1] * 3.0),
            (i, _, _) => {
                let (before, after) = (chords[i - 1], chords[i]);
                let right = (rise[i - 1] * after + rise[i] * before) * 3.0;
                (after, 2.0 * (before + after), before, right)
            }
        };
        Spline { points: points.to_vec(), slopes: solve_rows((0..=last).map(row)) }
    }

    /// Point and direction on a span, `t` from 0 to 1.
    fn ray(&self, span: usize, t: f64) -> Ray {
        let (from, to) = (self.points[span], self.points[span + 1]);
        let chord = from.distance(to);
        let (leave, arrive) = (self.slopes[span] * chord, self.slopes[span + 1] * chord);
        let rest = 1.0 - t;
        let point = from * (rest * rest * (1.0 + 2.0 * t))
            + leave * (rest * rest * t)
            + to * (t * t * (3.0 - 2.0 * t))
            - arrive * (t * t * rest);
        let velocity = (to - from) * (6.0 * t * rest)
            + leave * (rest * (1.0 - 3.0 * t))
            + arrive * (t * (3.0 * t - 2.0));
        let exact = if t <= 0.0 {
            from
        } else if t >= 1.0 {
            to
        } else {
            point
        };
        Ray { point: exact, tangent: velocity.normalize_or((to - from) / chord) }
    }
}

/// Solves rows of three by elimination from the top.
fn solve_rows(rows: impl Iterator<Item = (f64, f64, f64, DVec2)>) -> Vec<DVec2> {
    let mut reduced: Vec<(f64, DVec2)> = Vec::new();
    for (low, middle, high, right) in rows {
        let (above, value) = reduced.last().copied().unwrap_or((0.0, DVec2::ZERO));
        let pivot = middle - low * above;
        reduced.push((high / pivot, (right - value * low) / pivot));
    }
    let mut solved: Vec<DVec2> = Vec::with_capacity(reduced.len());
    for (high, value) in reduced.into_iter().rev() {
        let below = solved.last().copied().unwrap_or(DVec2::ZERO);
        solved.push(value - below * high);
    }
    solved.reverse();
    solved
}
