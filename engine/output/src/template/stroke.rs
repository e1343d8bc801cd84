//! Figures as single lines and arcs: cut off at a rectangle, broken into dashes, measured.

use crate::drawing::circle_of;
use crate::sheet::{Corner, Figure};
use slatwork_base::maths;
use slatwork_solid::DVec2;

/// A box along the axes, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Window {
    /// Lower left corner.
    pub low: DVec2,
    /// Upper right corner.
    pub high: DVec2,
}

impl Window {
    /// A box from its corners.
    pub fn new(low: DVec2, high: DVec2) -> Self {
        Window { low, high }
    }

    /// A square round a point, `half` to each side.
    pub fn round(centre: DVec2, half: f64) -> Self {
        Window { low: centre - DVec2::splat(half), high: centre + DVec2::splat(half) }
    }

    /// Width and height.
    pub fn size(self) -> DVec2 {
        self.high - self.low
    }

    /// Whether two boxes share more than a border.
    pub fn meets(self, other: Window) -> bool {
        self.low.cmplt(other.high).all() && other.low.cmplt(self.high).all()
    }

    /// Whether another box lies within this one.
    pub fn holds(self, other: Window) -> bool {
        self.low.cmple(other.low).all() && other.high.cmple(self.high).all()
    }

    /// The box round both.
    #[must_use]
    pub fn joined(self, other: Window) -> Self {
        Window { low: self.low.min(other.low), high: self.high.max(other.high) }
    }
}

/// A line or an arc.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Stroke {
    /// A straight line.
    Line {
        /// One end, mm.
        from: DVec2,
        /// The other end, mm.
        to: DVec2,
    },
    /// An arc, or with a whole turn a circle.
    Arc {
        /// Centre, mm.
        centre: DVec2,
        /// Radius, mm.
        radius: f64,
        /// Direction of its first end, radians.
        start: f64,
        /// Angle swept, radians, positive to the left.
        sweep: f64,
    },
}

/// Angles and lengths shorter than this are nothing: a ten-thousandth of a pencil line.
const NOTHING: f64 = 1e-9;

impl Stroke {
    /// The edge of a polyline that leaves a corner.
    pub fn of_edge(corner: Corner, next: DVec2) -> Self {
        if corner.bulge == 0.0 {
            return Stroke::Line { from: corner.point, to: next };
        }
        let (centre, radius) = circle_of(corner.point, next, corner.bulge);
        let arm = corner.point - centre;
        let (start, sweep) = (maths::atan2(arm.y, arm.x), 4.0 * maths::atan(corner.bulge));
        Stroke::Arc { centre, radius, start, sweep }
    }

    /// The lines and arcs of a figure; nothing of lettering, discs and what is only paper.
    pub fn of(figure: &Figure) -> Vec<Stroke> {
        match figure {
            Figure::Line { from, to } | Figure::Tick { from, to } => {
                vec![Stroke::Line { from: *from, to: *to }]
            }
            Figure::Arc { centre, radius, start, sweep } => {
                vec![Stroke::Arc { centre: *centre, radius: *radius, start: *start, sweep: *sweep }]
            }
            Figure::Circle { centre, radius } => {
                vec![Stroke::Arc { centre: *centre, radius: *radius, start: 0.0, sweep: 2.0 * maths::PI }]
            }
            Figure::Polyline { corners, closed } => {
                let count = if *closed { corners.len() } else { corners.len().saturating_sub(1) };
                let edge = |i: usize| Stroke::of_edge(corners[i], corners[(i + 1) % corners.len()].point);
                (0..count).map(edge).collect()
            }
            _ => Vec::new(),
        }
    }

    /// As a figure.
    pub fn figure(self) -> Figure {
        match self {
            Stroke::Line { from, to } => Figure::Line { from, to },
            Stroke::Arc { centre, radius, sweep, .. } if sweep.abs() > 2.0 * maths::PI - NOTHING => {
                Figure::Circle { centre, radius }
            }
            Stroke::Arc { centre, radius, start, sweep } => Figure::Arc { centre, radius, start, sweep },
        }
    }

    /// Its length, mm.
    pub fn length(self) -> f64 {
        match self {
            Stroke::Line { from, to } => from.distance(to),
            Stroke::Arc { radius, sweep, .. } => radius * sweep.abs(),
        }
    }

    /// The point at a share of its length.
    pub fn point(self, share: f64) -> DVec2 {
        match self {
            Stroke::Line { from, to } => from.lerp(to, share),
            Stroke::Arc { centre, radius, start, sweep } => {
                let (sine, cosine) = maths::sin_cos(start + sweep * share);
                centre + DVec2::new(cosine, sine) * radius
            }
        }
    }

    /// The part between two shares of its length.
    #[must_use]
    pub fn between(self, from: f64, to: f64) -> Self {
        match self {
            Stroke::Line { .. } => Stroke::Line { from: self.point(from), to: self.point(to) },
            Stroke::Arc { centre, radius, start, sweep } => {
                Stroke::Arc { centre, radius, start: start + sweep * from, sweep: sweep * (to - from) }
            }
        }
    }

    /// Moved by a shift.
    #[must_use]
    pub fn moved(self, by: DVec2) -> Self {
        match self {
            Stroke::Line { from, to } => Stroke::Line { from: from + by, to: to + by },
            Stroke::Arc { centre, radius, start, sweep } => {
                Stroke::Arc { centre: centre + by, radius, start, sweep }
            }
        }
    }

    /// Its mirror image in the upright line at an x.
    #[must_use]
    pub fn mirrored(self, x: f64) -> Self {
        let image = |point: DVec2| DVec2::new(2.0 * x - point.x, point.y);
        match self {
            Stroke::Line { from, to } => Stroke::Line { from: image(from), to: image(to) },
            Stroke::Arc { centre, radius, start, sweep } => {
                Stroke::Arc { centre: image(centre), radius, start: maths::PI - start, sweep: -sweep }
            }
        }
    }

    /// How far a point is from it, mm.
    pub fn distance(self, point: DVec2) -> f64 {
        match self {
            Stroke::Line { from, to } => {
                let way = to - from;
                let share = (point - from).dot(way) / way.length_squared().max(f64::MIN_POSITIVE);
                point.distance(from.lerp(to, share.clamp(0.0, 1.0)))
            }
            Stroke::Arc { centre, radius, start, sweep } => {
                let arm = point - centre;
                let turned = (maths::atan2(arm.y, arm.x) - start) * sweep.signum();
                if turned.rem_euclid(2.0 * maths::PI) <= sweep.abs() {
                    return (arm.length() - radius).abs();
                }
                point.distance(self.point(0.0)).min(point.distance(self.point(1.0)))
            }
        }
    }

    /// Whether all of it lies on another within `gap` mm.
    pub fn lies_on(self, other: Stroke, gap: f64) -> bool {
        [0.0, 0.25, 0.5, 0.75, 1.0].iter().all(|share| other.distance(self.point(*share)) <= gap)
    }

    /// The box round it.
    pub fn bounds(self) -> Window {
        let ends = [self.point(0.0), self.point(1.0)];
        let mut window = Window::new(ends[0].min(ends[1]), ends[0].max(ends[1]));
        if let Stroke::Arc { centre, radius, start, sweep } = self {
            for quarter in 0..4 {
                let angle = maths::PI / 2.0 * f64::from(quarter);
                if ((angle - start) * sweep.signum()).rem_euclid(2.0 * maths::PI) <= sweep.abs() {
                    let (sine, cosine) = maths::sin_cos(angle);
                    let point = centre + DVec2::new(cosine, sine) * radius;
                    window = Window::new(window.low.min(point), window.high.max(point));
                }
            }
        }
        window
    }

    /// The parts of it inside a box, its border included.
    pub fn within(self, window: Window) -> Vec<Stroke> {
        if window.holds(self.bounds()) {
            return vec![self];
        }
        let mut shares = vec![0.0, 1.0];
        for axis in [0, 1] {
            for level in [window.low[axis], window.high[axis]] {
                self.crossings(axis, level, &mut shares);
            }
        }
        shares.sort_by(f64::total_cmp);
        let inside = |pair: &&[f64]| {
            let middle = self.point((pair[0] + pair[1]) / 2.0);
            (pair[1] - pair[0]) * self.length() > NOTHING
                && window.low.cmple(middle + NOTHING).all()
                && middle.cmple(window.high + NOTHING).all()
        };
        let mut parts: Vec<(f64, f64)> = Vec::new();
        for pair in shares.windows(2).filter(inside) {
            match parts.last_mut() {
                Some(last) if last.1 == pair[0] => last.1 = pair[1],
                _ => parts.push((pair[0], pair[1])),
            }
        }
        parts.into_iter().map(|(from, to)| self.between(from, to)).collect()
    }

    /// Shares of its length at which one coordinate has a value.
    fn crossings(self, axis: usize, level: f64, shares: &mut Vec<f64>) {
        match self {
            Stroke::Line { from, to } => {
                let share = (level - from[axis]) / (to[axis] - from[axis]);
                if share.is_finite() && 0.0 < share && share < 1.0 {
                    shares.push(share);
                }
            }
            Stroke::Arc { centre, radius, start, sweep } => {
                let off = (level - centre[axis]) / radius;
                if off.abs() > 1.0 {
                    return;
                }
                let angle = if axis == 0 { maths::acos(off) } else { maths::asin(off) };
                let other = if axis == 0 { -angle } else { maths::PI - angle };
                for at in [angle, other] {
                    let turned = ((at - start) * sweep.signum()).rem_euclid(2.0 * maths::PI);
                    let share = turned / sweep.abs();
                    if 0.0 < share && share < 1.0 {
                        shares.push(share);
                    }
                }
            }
        }
    }

    /// Broken into dashes, for files whose readers know only whole lines; a dash at either end.
    pub fn dashes(self) -> Vec<Stroke> {
        let (dash, gap) = (3.0, 1.8);
        let length = self.length();
        let count = ((length - dash) / (dash + gap)).round().max(0.0);
        if count < 1.0 {
            return vec![self];
        }
        // The dash and gap that fill the length: count + 1 dashes and count gaps.
        let scale = length / (count * (dash + gap) + dash);
        let (dash, pitch) = (dash * scale / length, (dash + gap) * scale / length);
        (0..=count as u32)
            .map(|i| {
                let from = f64::from(i) * pitch;
                self.between(from, (from + dash).min(1.0))
            })
            .collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_circle_is_cut_off_at_a_box() {
        let circle = Stroke::of(&Figure::Circle { centre: DVec2::ZERO, radius: 10.0 })[0];
        let window = Window::new(DVec2::new(0.0, -20.0), DVec2::new(20.0, 20.0));
        let inside: f64 = circle.within(window).into_iter().map(Stroke::length).sum();
        assert!((inside - 10.0 * maths::PI).abs() < 1e-9, "{inside}");
        assert_eq!(circle.within(Window::round(DVec2::new(50.0, 0.0), 5.0)), []);
        assert_eq!(circle.bounds(), Window::new(DVec2::splat(-10.0), DVec2::splat(10.0)));
    }

    #[test]
    fn lines_are_cut_off_and_keep_what_is_on_the_border() {
        let line = Stroke::Line { from: DVec2::new(-5.0, 0.0), to: DVec2::new(15.0, 0.0) };
        let window = Window::new(DVec2::ZERO, DVec2::splat(10.0));
        let parts = line.within(window);
        assert_eq!(parts, [Stroke::Line { from: DVec2::ZERO, to: DVec2::new(10.0, 0.0) }]);
    }

    #[test]
    fn dashes_begin_and_end_with_the_line() {
        let line = Stroke::Line { from: DVec2::ZERO, to: DVec2::new(100.0, 0.0) };
        let dashes = line.dashes();
        assert_eq!(dashes[0].point(0.0), DVec2::ZERO);
        assert!(dashes[dashes.len() - 1].point(1.0).distance(DVec2::new(100.0, 0.0)) < 1e-9);
        let inked: f64 = dashes.into_iter().map(Stroke::length).sum();
        assert!((50.0..75.0).contains(&inked), "{inked}");
    }
}
