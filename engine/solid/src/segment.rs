//! One edge of an outline or a path: a line or a circular arc between two points.
//!
//! All formulas work in the frame of the chord and stay exact as the arc flattens to a line, so a batten of a hundred
//! metres radius is as safe as a half circle. With the chord's middle as origin, x along the chord (length c), y to its
//! left and bulge b, the circle is `b (x^2 + y^2 - c^2/4) - c (1 - b^2)/2 y = 0`: no centre, no radius, no division.

use slatwork_base::maths::{self, PI};

use crate::{DVec2, Tag};

/// Points nearer to each other than this are the same point, mm. Far above rounding noise at furniture size (1e-12 of
/// some metres), far below anything a saw or a reader of a drawing can tell.
pub const SAME_POINT: f64 = 1e-6;

/// An arc that stands off its chord by less than this is a line, mm: its radius would be more noise than number.
const STRAIGHT: f64 = 1e-9;

/// Largest angle one flat stretch of a flattened arc may turn through, radians: keeps a coarse tolerance from
/// flattening a small circle to nothing.
const LARGEST_TURN: f64 = PI / 4.0;

/// Bound on the stretches of one flattened arc, against a tolerance of nothing.
const MOST_STRETCHES: f64 = 1e5;

/// Below this turn the difference `angle - sin(angle)` is taken from its series, radians: the series' next term is
/// then under 1e-15 of the sum.
const SMALL_TURN: f64 = 0.05;

/// Below this bulge the moment of an arc's cap is integrated, above it the closed form has lost less than three digits.
const SMALL_BULGE: f64 = 0.1;

/// A line or an arc from `start` to `end`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Segment {
    /// First point, mm.
    pub start: DVec2,
    /// Last point, mm.
    pub end: DVec2,
    /// Tangent of a quarter of the angle turned through: 0 for a line, positive turning left.
    pub bulge: f64,
    /// What made it.
    pub tag: Tag,
}

/// The circle an arc lies on, and which part of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Arc {
    /// Centre, mm.
    pub centre: DVec2,
    /// Radius, mm.
    pub radius: f64,
    /// Direction from the centre to the arc's start, radians, counter-clockwise from x.
    pub start_angle: f64,
    /// Angle turned through, radians, positive counter-clockwise.
    pub sweep: f64,
}

/// A box along the axes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Extent {
    /// Smallest x and y, mm.
    pub(crate) low: DVec2,
    /// Largest x and y, mm.
    pub(crate) high: DVec2,
}

impl Extent {
    /// The box of one point.
    pub(crate) fn of(point: DVec2) -> Self {
        Extent { low: point, high: point }
    }

    /// The box around this and a point.
    fn with(self, point: DVec2) -> Self {
        Extent { low: self.low.min(point), high: self.high.max(point) }
    }

    /// The box around both.
    pub(crate) fn joined(self, other: Extent) -> Self {
        Extent { low: self.low.min(other.low), high: self.high.max(other.high) }
    }

    /// Corner to corner, mm.
    pub(crate) fn diagonal(self) -> f64 {
        (self.high - self.low).length()
    }

    /// Whether the two boxes come within `gap` mm of each other.
    fn meets(self, other: Extent, gap: f64) -> bool {
        (self.low - gap).cmple(other.high).all() && (other.low - gap).cmple(self.high).all()
    }

    /// Distance of a point from the box, 0 inside.
    fn distance(self, point: DVec2) -> f64 {
        (self.low - point).max(point - self.high).max(DVec2::ZERO).length()
    }
}

/// A motion of the plane that keeps sizes: a turn, perhaps a mirroring, and a shift.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PlaneMotion {
    /// Where the x direction goes; unit.
    along: DVec2,
    /// Where the origin goes, mm.
    shift: DVec2,
    /// Whether left and right are swapped.
    mirrored: bool,
}

impl PlaneMotion {
    /// Nothing moves.
    pub const NONE: PlaneMotion = PlaneMotion { along: DVec2::X, shift: DVec2::ZERO, mirrored: false };

    /// A shift, mm.
    pub fn shift(by: DVec2) -> Self {
        PlaneMotion { shift: by, ..Self::NONE }
    }

    /// A turn about a point, radians counter-clockwise.
    pub fn turn(about: DVec2, angle: f64) -> Self {
        let along = direction(angle);
        PlaneMotion { along, shift: about - along.rotate(about), mirrored: false }
    }

    /// Puts the origin at `origin` and the x direction along `along` (any length but zero; zero leaves it unturned).
    pub fn frame(origin: DVec2, along: DVec2) -> Self {
        PlaneMotion { along: along.normalize_or(DVec2::X), shift: origin, mirrored: false }
    }

    /// The mirror image in the line through `point` along `along`.
    pub fn mirror(point: DVec2, along: DVec2) -> Self {
        let along = along.normalize_or(DVec2::X);
        let image = along.rotate(along);
        let turned = PlaneMotion { along: image, shift: DVec2::ZERO, mirrored: true };
        PlaneMotion { shift: point - turned.vector(point), ..turned }
    }

    /// Whether left and right are swapped.
    pub fn is_mirrored(self) -> bool {
        self.mirrored
    }

    /// Where a point goes.
    pub fn point(self, point: DVec2) -> DVec2 {
        self.vector(point) + self.shift
    }

    /// Where a direction goes.
    pub fn vector(self, vector: DVec2) -> DVec2 {
        let vector = if self.mirrored { DVec2::new(vector.x, -vector.y) } else { vector };
        self.along.rotate(vector)
    }

    /// This motion, then another.
    #[must_use]
    pub fn then(self, next: PlaneMotion) -> Self {
        PlaneMotion {
            along: next.vector(self.along).normalize_or(DVec2::X),
            shift: next.point(self.shift),
            mirrored: self.mirrored != next.mirrored,
        }
    }

    /// The motion back.
    #[must_use]
    pub fn inverse(self) -> Self {
        let along = if self.mirrored { self.along } else { DVec2::new(self.along.x, -self.along.y) };
        let back = PlaneMotion { along, shift: DVec2::ZERO, mirrored: self.mirrored };
        PlaneMotion { shift: -back.vector(self.shift), ..back }
    }

    /// What becomes of a bulge.
    pub(crate) fn bulge(self, bulge: f64) -> f64 {
        if self.mirrored { -bulge } else { bulge }
    }
}

/// The unit vector at an angle from x, radians.
pub(crate) fn direction(angle: f64) -> DVec2 {
    let (sine, cosine) = maths::sin_cos(angle);
    DVec2::new(cosine, sine)
}

/// The angle of a vector from x, radians.
pub(crate) fn angle_of(vector: DVec2) -> f64 {
    maths::atan2(vector.y, vector.x)
}

/// The angle from one vector to another, radians, positive to the left.
pub(crate) fn angle_between(from: DVec2, to: DVec2) -> f64 {
    maths::atan2(from.perp_dot(to), from.dot(to))
}

/// The bulge of an arc that leaves along `tangent` and whose chord is `chord`.
pub(crate) fn bulge_from_tangent(tangent: DVec2, chord: DVec2) -> f64 {
    maths::tan(angle_between(tangent, chord) / 2.0)
}

/// A point on a segment nearest to another.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Foot {
    /// Part of the segment's length from its start, 0 to 1.
    pub(crate) fraction: f64,
    /// The point.
    pub(crate) point: DVec2,
    /// How far it is.
    pub(crate) distance: f64,
}

/// The curve a segment lies on, as `half_curvature |p|^2 + gradient . p + constant = 0`; the left side is the distance
/// to the right of the curve for points near it.
struct Implicit {
    half_curvature: f64,
    gradient: DVec2,
    constant: f64,
}

impl Segment {
    /// A line.
    pub fn line(start: DVec2, end: DVec2, tag: Tag) -> Self {
        Segment { start, end, bulge: 0.0, tag }
    }

    /// From start to end.
    pub fn chord(&self) -> DVec2 {
        self.end - self.start
    }

    fn chord_length(&self) -> f64 {
        self.chord().length()
    }

    /// Unit vector along the chord; x for a segment of no length.
    fn along(&self) -> DVec2 {
        self.chord().normalize_or(DVec2::X)
    }

    /// Whether it is a line: the arc, if any, stands off the chord by less than a picometre.
    pub fn is_line(&self) -> bool {
        (self.bulge * self.chord_length()).abs() < 2.0 * STRAIGHT
    }

    /// Angle turned through, radians, positive to the left.
    pub fn sweep(&self) -> f64 {
        4.0 * maths::atan(self.bulge)
    }

    /// Height of the arc over its chord, mm; positive when the arc lies to the right of the chord (turns left).
    pub fn sagitta(&self) -> f64 {
        self.bulge * self.chord_length() / 2.0
    }

    /// One over the radius, 1/mm, positive turning left; 0 for a line.
    pub fn curvature(&self) -> f64 {
        if self.is_line() {
            0.0
        } else {
            4.0 * self.bulge / (self.chord_length() * (1.0 + self.bulge * self.bulge))
        }
    }

    /// The circle, or `None` for a line.
    pub fn arc(&self) -> Option<Arc> {
        if self.is_line() {
            return None;
        }
        let radius = 1.0 / self.curvature();
        let centre = self.start + self.tangent(0.0).perp() * radius;
        Some(Arc {
            centre,
            radius: radius.abs(),
            start_angle: angle_of(self.start - centre),
            sweep: self.sweep(),
        })
    }

    /// Length along the curve, mm.
    pub fn length(&self) -> f64 {
        let bulge = self.bulge.abs();
        if self.is_line() {
            return self.chord_length();
        }
        self.chord_length() * (1.0 + bulge * bulge) * maths::atan(bulge) / bulge
    }

    /// The point at a part of the length, 0 at the start and 1 at the end; other values run on along the curve.
    // The ends come back as the very points that were given, to the bit: hence the plain comparisons.
    pub fn point(&self, fraction: f64) -> DVec2 {
        if fraction == 0.0 {
            return self.start;
        }
        if fraction == 1.0 {
            return self.end;
        }
        if self.is_line() {
            return self.start + self.chord() * fraction;
        }
        let half_turn = self.sweep() / 2.0;
        let reach = maths::sin(half_turn * fraction) / maths::sin(half_turn);
        self.start + direction(half_turn * (fraction - 1.0)).rotate(self.chord()) * reach
    }

    /// Unit direction of travel at a part of the length.
    pub fn tangent(&self, fraction: f64) -> DVec2 {
        if self.is_line() {
            return self.along();
        }
        direction(self.sweep() * (fraction - 0.5)).rotate(self.along())
    }

    /// The same curve the other way.
    #[must_use]
    pub fn reversed(&self) -> Self {
        Segment { start: self.end, end: self.start, bulge: -self.bulge, tag: self.tag }
    }

    /// Moved.
    #[must_use]
    pub fn moved(&self, motion: PlaneMotion) -> Self {
        Segment {
            start: motion.point(self.start),
            end: motion.point(self.end),
            bulge: motion.bulge(self.bulge),
            tag: self.tag,
        }
    }

    /// The stretch between two parts of the length.
    #[must_use]
    pub fn part(&self, from: f64, to: f64) -> Self {
        if from == 0.0 && to == 1.0 {
            return *self;
        }
        let bulge = if self.is_line() { 0.0 } else { maths::tan(maths::atan(self.bulge) * (to - from)) };
        Segment { start: self.point(from), end: self.point(to), bulge, tag: self.tag }
    }

    /// The parallel curve at a distance to the left, mm; `None` where an arc would turn inside out.
    pub fn offset(&self, left: f64) -> Option<Self> {
        if 1.0 - self.curvature() * left <= 0.0 {
            return None;
        }
        Some(Segment {
            start: self.start + self.tangent(0.0).perp() * left,
            end: self.end + self.tangent(1.0).perp() * left,
            bulge: self.bulge,
            tag: self.tag,
        })
    }

    /// The smallest box around it, as its lowest and its highest corner, mm.
    pub fn bounds(&self) -> (DVec2, DVec2) {
        let extent = self.extent();
        (extent.low, extent.high)
    }

    /// A box around it that costs no sine: no point of an arc is farther from its chord than the sagitta.
    fn rough_extent(&self) -> Extent {
        let sagitta = self.sagitta().abs();
        Extent { low: self.start.min(self.end) - sagitta, high: self.start.max(self.end) + sagitta }
    }

    /// The smallest box around it.
    pub(crate) fn extent(&self) -> Extent {
        let extent = Extent::of(self.start).with(self.end);
        if self.is_line() {
            return extent;
        }
        let (start, sweep) = (angle_of(self.tangent(0.0)), self.sweep());
        // The tangent's angle lies between -3 and 3 half circles: every quarter turn in there is an outermost point.
        (-6..=6)
            .map(|quarter| (f64::from(quarter) * PI / 2.0 - start) / sweep)
            .filter(|fraction| *fraction > 0.0 && *fraction < 1.0)
            .fold(extent, |extent, fraction| extent.with(self.point(fraction)))
    }

    /// Points from the start on, without the end, so that no chord stands off the arc by more than `chord` mm.
    pub fn flatten(&self, chord: f64) -> Vec<DVec2> {
        let count = self.flat_count(chord);
        (0..count).map(|i| self.point(f64::from(i) / f64::from(count))).collect()
    }

    fn flat_count(&self, chord: f64) -> u32 {
        let share = chord.max(STRAIGHT) * self.curvature().abs() / 2.0;
        if share <= 0.0 {
            return 1;
        }
        let turn = (4.0 * maths::asin(share.min(1.0).sqrt())).min(LARGEST_TURN);
        // A turn that is a whole number of steps must not become one step more by rounding.
        (self.sweep().abs() / turn - 1e-9).ceil().clamp(1.0, MOST_STRETCHES) as u32
    }

    /// Area between chord and arc, mm2, positive when the arc turns left.
    pub fn cap_area(&self) -> f64 {
        if self.is_line() {
            return 0.0;
        }
        let sweep = self.sweep();
        let sine = maths::sin(sweep / 2.0);
        self.chord().length_squared() * angle_less_sine(sweep) / (8.0 * sine * sine)
    }

    /// Area of the cap times the distance of its centroid from the chord, mm3, positive to the right of the chord.
    fn cap_moment(&self) -> f64 {
        let (chord, bulge) = (self.chord_length(), self.bulge.abs());
        if bulge < SMALL_BULGE {
            return cap_moment_integrated(chord, bulge);
        }
        let centre_height = chord * (1.0 - bulge * bulge) / (4.0 * bulge);
        chord * chord * chord / 12.0 - self.cap_area().abs() * centre_height
    }

    /// Area that the segment adds to an outline it is part of, and its first moments, about the origin.
    pub(crate) fn area_moments(&self) -> (f64, DVec2) {
        let triangle = self.start.perp_dot(self.end) / 2.0;
        let moment = (self.start + self.end) * (triangle / 3.0);
        if self.is_line() {
            return (triangle, moment);
        }
        let cap = self.cap_area();
        let away = -self.along().perp() * self.cap_moment();
        (triangle + cap, moment + (self.start + self.end) * (cap / 2.0) + away)
    }

    /// Distance to the left of the whole line or circle the segment lies on, mm.
    pub fn left_distance(&self, point: DVec2) -> f64 {
        let (q, chord, b) = (self.in_chord_frame(point), self.chord_length(), self.bulge);
        if self.is_line() {
            return q.y;
        }
        let implicit = b * (q.length_squared() - chord * chord / 4.0) - chord * (1.0 - b * b) / 2.0 * q.y;
        let scale =
            maths::hypot(b * q.x, chord * (1.0 - b * b) / 4.0 - b * q.y) + chord * (1.0 + b * b) / 4.0;
        -implicit / scale
    }

    /// x along the chord and y to its left, from the chord's middle.
    fn in_chord_frame(&self, point: DVec2) -> DVec2 {
        let from_middle = point - (self.start + self.end) / 2.0;
        let along = self.along();
        DVec2::new(along.dot(from_middle), along.perp_dot(from_middle))
    }

    /// The part of the length at which the curve's normal passes through the point (not limited to 0..1).
    pub(crate) fn fraction_of(&self, point: DVec2) -> f64 {
        let (q, chord, b) = (self.in_chord_frame(point), self.chord_length(), self.bulge);
        if self.is_line() {
            return if chord > 0.0 { 0.5 + q.x / chord } else { 0.0 };
        }
        let turn = maths::atan2(4.0 * b.abs() * q.x, chord * (1.0 - b * b) - 4.0 * b * q.y);
        0.5 + turn / self.sweep().abs()
    }

    /// The nearest point of the segment.
    pub(crate) fn foot(&self, point: DVec2) -> Foot {
        let fraction = self.fraction_of(point);
        let foot = |fraction| {
            let on = self.point(fraction);
            Foot { fraction, point: on, distance: on.distance(point) }
        };
        if (0.0..=1.0).contains(&fraction) {
            return foot(fraction);
        }
        let (first, last) = (foot(0.0), foot(1.0));
        if last.distance < first.distance { last } else { first }
    }

    /// What the segment adds to the winding number about a point.
    fn winds(&self, point: DVec2) -> i32 {
        let left = self.chord().perp_dot(point - self.start);
        let up = self.start.y <= point.y && self.end.y > point.y && left > 0.0;
        let down = self.start.y > point.y && self.end.y <= point.y && left < 0.0;
        i32::from(up) - i32::from(down) + self.cap_winds(point, left)
    }

    fn cap_winds(&self, point: DVec2, left: f64) -> i32 {
        if self.is_line() {
            return 0;
        }
        // On the chord itself, the side must be the one that the crossing rule above takes.
        let chord = self.chord();
        let right = left < 0.0 || (left == 0.0 && (chord.y > 0.0 || (chord.y == 0.0 && chord.x < 0.0)));
        // Up to a half circle, the cap lies beside the chord. A point beyond the chord's end may by rounding seem to lie
        // between the chord and the circle of a nearly straight arc.
        let is_beside = (0.0..=chord.length_squared()).contains(&chord.dot(point - self.start));
        if right == (self.bulge > 0.0) && (is_beside || self.bulge.abs() > 1.0) {
            let is_in_circle = self.left_distance(point) * self.bulge > 0.0;
            return if self.bulge > 0.0 { i32::from(is_in_circle) } else { -i32::from(is_in_circle) };
        }
        0
    }

    /// The curve's equation in coordinates from `origin`.
    fn implicit(&self, origin: DVec2) -> Implicit {
        let middle = (self.start + self.end) / 2.0 - origin;
        let (left, half_curvature) = (self.along().perp(), self.curvature() / 2.0);
        if self.is_line() {
            return Implicit { half_curvature: 0.0, gradient: -left, constant: left.dot(middle) };
        }
        let (b, chord) = (self.bulge, self.chord_length());
        let slope = (1.0 - b * b) / (1.0 + b * b);
        Implicit {
            half_curvature,
            gradient: middle * (-2.0 * half_curvature) - left * slope,
            constant: half_curvature * (middle.length_squared() - chord * chord / 4.0)
                + slope * left.dot(middle),
        }
    }

    /// Points common to the whole curves of two segments, at most two; none where they coincide.
    fn common_points(&self, other: &Segment) -> Vec<DVec2> {
        let origin = (self.start + self.end) / 2.0;
        let (first, second) = (self.implicit(origin), other.implicit(origin));
        let gradient = second.half_curvature * first.gradient - first.half_curvature * second.gradient;
        let constant = second.half_curvature * first.constant - first.half_curvature * second.constant;
        let points = match (self.is_line(), other.is_line()) {
            (true, _) => second.on_line(self.start - origin, self.along()),
            (_, true) => first.on_line(other.start - origin, other.along()),
            _ if gradient.length_squared() <= 0.0 => Vec::new(),
            _ => {
                let on = gradient * (-constant / gradient.length_squared());
                let tighter =
                    if first.half_curvature.abs() > second.half_curvature.abs() { first } else { second };
                tighter.on_line(on, gradient.normalize_or(DVec2::X).perp())
            }
        };
        points.into_iter().map(|point| point + origin).collect()
    }

    /// The first part of the length at which the segment passes over `x`; its ends count within [`SAME_POINT`].
    pub(crate) fn fraction_over(&self, x: f64) -> Option<f64> {
        let mut found: Vec<f64> = [(0.0, self.start), (1.0, self.end)]
            .into_iter()
            .filter(|(_, end)| (end.x - x).abs() <= SAME_POINT)
            .map(|(fraction, _)| fraction)
            .collect();
        let origin = DVec2::new(x, (self.start.y + self.end.y) / 2.0);
        let upright = self.implicit(origin).on_line(DVec2::ZERO, DVec2::Y);
        let on = upright.into_iter().map(|point| self.fraction_of(point + origin));
        found.extend(on.filter(|fraction| (0.0..=1.0).contains(fraction)));
        found.into_iter().min_by(f64::total_cmp)
    }

    /// Where two segments meet, as parts of both lengths: crossings, touching ends, ends of overlaps.
    pub(crate) fn meetings(&self, other: &Segment, same: f64) -> Vec<(f64, f64)> {
        if !self.rough_extent().meets(other.rough_extent(), same) {
            return Vec::new();
        }
        let mut found = Vec::new();
        for (fraction, point) in [(0.0, self.start), (1.0, self.end)] {
            let foot = other.foot(point);
            if foot.distance <= same {
                found.push((fraction, foot.fraction));
            }
        }
        for (fraction, point) in [(0.0, other.start), (1.0, other.end)] {
            let foot = self.foot(point);
            if foot.distance <= same {
                found.push((foot.fraction, fraction));
            }
        }
        for point in self.common_points(other) {
            let (on_self, on_other) = (self.fraction_of(point), other.fraction_of(point));
            let lies_on_both =
                self.left_distance(point).abs() <= same && other.left_distance(point).abs() <= same;
            if lies_on_both && (0.0..=1.0).contains(&on_self) && (0.0..=1.0).contains(&on_other) {
                found.push((on_self, on_other));
            }
        }
        found
    }
}

impl Implicit {
    /// Points of the curve on the line through `point` along the unit vector `along`.
    fn on_line(&self, point: DVec2, along: DVec2) -> Vec<DVec2> {
        let a = self.half_curvature;
        let half_b = self.half_curvature * along.dot(point) + self.gradient.dot(along) / 2.0;
        let c = self.half_curvature * point.length_squared() + self.gradient.dot(point) + self.constant;
        roots(a, half_b, c).into_iter().map(|t| point + along * t).filter(|point| point.is_finite()).collect()
    }
}

/// Real roots of `a t^2 + 2 half_b t + c = 0`, in the form that loses no digits when `a` is tiny.
fn roots(a: f64, half_b: f64, c: f64) -> Vec<f64> {
    let discriminant = half_b * half_b - a * c;
    if discriminant < 0.0 {
        return Vec::new();
    }
    let sum = -(half_b + discriminant.sqrt().copysign(half_b));
    match (a == 0.0, sum == 0.0) {
        (true, true) => Vec::new(),
        (true, false) => vec![c / sum],
        (false, true) => vec![0.0],
        (false, false) => vec![sum / a, c / sum],
    }
}

/// `angle - sin(angle)` without loss of digits.
fn angle_less_sine(angle: f64) -> f64 {
    if angle.abs() > SMALL_TURN {
        return angle - maths::sin(angle);
    }
    let square = angle * angle;
    angle * square / 6.0 * (1.0 - square / 20.0 * (1.0 - square / 42.0 * (1.0 - square / 72.0)))
}

/// First moment of a flat cap about its chord: half the square of its height, integrated by Gauss' rule of five points
/// on each half (exact to rounding for a height that is nearly a parabola).
fn cap_moment_integrated(chord: f64, bulge: f64) -> f64 {
    const RULE: [(f64, f64); 5] = [
        (0.046_910_077_030_668, 0.118_463_442_528_094_5),
        (0.230_765_344_947_158_5, 0.239_314_335_249_683_2),
        (0.5, 0.284_444_444_444_444_4),
        (0.769_234_655_052_841_5, 0.239_314_335_249_683_2),
        (0.953_089_922_969_332, 0.118_463_442_528_094_5),
    ];
    let half_slope = chord * (1.0 - bulge * bulge) / 4.0;
    let height = |x: f64| {
        let under = bulge * (chord * chord / 4.0 - x * x);
        under / (half_slope + (half_slope * half_slope + bulge * under).sqrt())
    };
    let sum: f64 =
        RULE.iter().map(|(at, weight)| weight * height(at * chord / 2.0) * height(at * chord / 2.0)).sum();
    sum * chord / 2.0
}

/// How often closed edges wind about a point; meaningless within rounding of an edge.
pub(crate) fn winding(edges: &[Segment], point: DVec2) -> i32 {
    edges.iter().map(|edge| edge.winds(point)).sum()
}

/// The nearest point of some edges: which edge, and where on it. `None` if there are no edges.
pub(crate) fn nearest(edges: &[Segment], point: DVec2) -> Option<(usize, Foot)> {
    let mut best: Option<(usize, Foot)> = None;
    for (index, edge) in edges.iter().enumerate() {
        let to_beat = best.map_or(f64::INFINITY, |(_, foot)| foot.distance);
        if edge.rough_extent().distance(point) < to_beat {
            let foot = edge.foot(point);
            if foot.distance < to_beat {
                best = Some((index, foot));
            }
        }
    }
    best
}

#[cfg(test)]
mod tests {
    use super::*;

    fn segment(chord: f64, bulge: f64) -> Segment {
        Segment {
            start: DVec2::new(3.0, -2.0),
            end: DVec2::new(3.0 + chord, -2.0),
            bulge,
            tag: Tag::default(),
        }
    }

    /// Area and moment of a cap by many trapezia.
    fn summed(segment: &Segment) -> (f64, f64) {
        let steps = 200_000;
        let points: Vec<DVec2> =
            (0..=steps).map(|i| segment.point(f64::from(i) / f64::from(steps))).collect();
        points.windows(2).fold((0.0, 0.0), |(area, moment), pair| {
            let (a, b) = (pair[0] - segment.start, pair[1] - segment.start);
            let width = b.x - a.x;
            let area_here = -width * (a.y + b.y) / 2.0;
            (area + area_here, moment + width * (a.y * a.y + a.y * b.y + b.y * b.y) / 6.0)
        })
    }

    #[test]
    fn caps_of_all_bulges_have_the_area_and_moment_of_their_sum() {
        for bulge in [0.001, 0.0099, 0.05, 0.099, 0.101, 0.3, 0.9, 1.0, 1.7] {
            let segment = segment(100.0, bulge);
            let (area, moment) = summed(&segment);
            assert!(
                (segment.cap_area() - area).abs() <= 1e-7 * area,
                "{bulge}: {} {area}",
                segment.cap_area()
            );
            let exact = segment.cap_moment();
            assert!((exact - moment).abs() <= 1e-7 * moment.abs(), "{bulge}: {exact} {moment}");
            assert!((segment.reversed().cap_area() + segment.cap_area()).abs() < 1e-9);
        }
    }

    #[test]
    fn nothing_jumps_as_an_arc_flattens_to_a_line() {
        let line = segment(1000.0, 0.0);
        let probe = DVec2::new(400.0, 30.0);
        for bulge in [1e-6, 1e-8, 1e-10, 2.1e-12, 1.9e-12] {
            let arc = segment(1000.0, bulge);
            let near = 1000.0 * bulge + 1e-10;
            assert!((arc.length() - line.length()).abs() < near);
            assert!(arc.point(0.3).distance(line.point(0.3)) < near);
            assert!((arc.left_distance(probe) - line.left_distance(probe)).abs() < near);
            assert!((arc.fraction_of(probe) - line.fraction_of(probe)).abs() < near);
            assert!((arc.cap_area() - 2.0 / 3.0 * 1000.0 * 500.0 * bulge).abs() < 1e-6);
            let crossing =
                arc.meetings(&Segment::line(DVec2::new(400.0, -9.0), probe, Tag::default()), SAME_POINT);
            assert_eq!(crossing.len(), 1, "{bulge}");
            assert!(arc.point(crossing[0].0).distance(DVec2::new(400.0, -2.0)) < near);
        }
    }

    #[test]
    fn an_arc_knows_its_circle() {
        let half = segment(100.0, 1.0).arc().unwrap();
        assert!(half.centre.distance(DVec2::new(53.0, -2.0)) < 1e-12 && (half.radius - 50.0).abs() < 1e-12);
        assert!((half.start_angle.abs() - PI).abs() < 1e-12 && (half.sweep - PI).abs() < 1e-12);
        assert_eq!(segment(100.0, 0.0).arc(), None);
        let (low, high) = segment(100.0, 1.0).bounds();
        assert!(
            low.distance(DVec2::new(3.0, -52.0)) < 1e-12 && high.distance(DVec2::new(103.0, -2.0)) < 1e-12
        );
    }

    #[test]
    fn arcs_meet_where_their_circles_do() {
        // Unit circles about (0, 0) and (1, 0) meet at x = 1/2.
        let ring = |x: f64| Segment {
            start: DVec2::new(x, -1.0),
            end: DVec2::new(x, 1.0),
            bulge: if x > 0.0 { -1.0 } else { 1.0 },
            tag: Tag::default(),
        };
        let meetings = ring(0.0).meetings(&ring(1.0), SAME_POINT);
        let points: Vec<DVec2> = meetings.iter().map(|(fraction, _)| ring(0.0).point(*fraction)).collect();
        assert_eq!(points.len(), 2);
        for point in points {
            assert!((point.x - 0.5).abs() < 1e-12 && (point.y.abs() - 0.75_f64.sqrt()).abs() < 1e-12);
        }
        assert!(ring(0.0).meetings(&ring(3.0), SAME_POINT).is_empty());
    }

    #[test]
    fn a_point_beyond_the_end_of_a_nearly_straight_edge_is_not_under_its_arc() {
        // Found by nudged outlines: coordinates a hair apart, an arc that stands off its chord by some picometres.
        let corner =
            |x, y, bulge| Segment { start: DVec2::new(x, y), end: DVec2::ZERO, bulge, tag: Tag::default() };
        let corners = [
            corner(-49.99977530935884, -6.936901524670675e-5, 0.0),
            corner(-549.9997753093588, 1.0794044194482988e-10, 0.0),
            corner(-549.9997752637101, -299.99999999989205, 3.684604130155938e-11),
            corner(-49.999775309358874, -299.9999999998921, 0.0),
        ];
        let edges: Vec<Segment> =
            (0..4).map(|i| Segment { end: corners[(i + 1) % 4].start, ..corners[i] }).collect();
        for share in [0.1, 0.5, 0.9] {
            let beyond = DVec2::new(-549.9999992354568, -299.99999999989205).lerp(corners[2].start, share);
            assert_eq!(winding(&edges, beyond), 0, "{share}");
        }
        assert_eq!(winding(&edges, DVec2::new(-300.0, -100.0)), 1);
    }

    #[test]
    fn motions_undo_and_follow_one_another() {
        let motion = PlaneMotion::turn(DVec2::new(1.0, 2.0), 0.7)
            .then(PlaneMotion::mirror(DVec2::new(5.0, 0.0), DVec2::new(1.0, 3.0)))
            .then(PlaneMotion::shift(DVec2::new(-4.0, 9.0)));
        let point = DVec2::new(11.0, -6.0);
        assert!(motion.inverse().point(motion.point(point)).distance(point) < 1e-12);
        assert!(motion.then(motion.inverse()).point(point).distance(point) < 1e-12);
        let mirror = PlaneMotion::mirror(DVec2::new(5.0, 0.0), DVec2::Y);
        assert!(mirror.point(DVec2::new(2.0, 1.0)).distance(DVec2::new(8.0, 1.0)) < 1e-12);
    }
}
