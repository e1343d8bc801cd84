//! Lines and arcs that coincide on paper become one: touching parts, and edges that lie behind one another.

use crate::drawing::view::Camera;
use crate::drawing::visible::join;
use crate::drawing::wire::Curve;
use slatwork_base::maths;
use slatwork_solid::DVec2;

/// A straight stretch on the view, mm of the piece.
pub(crate) type Stretch = (DVec2, DVec2);

/// Straight lines, and what is drawn on each.
#[derive(Default)]
pub(crate) struct Lines {
    tolerance: f64,
    carriers: Vec<Carrier>,
}

struct Carrier {
    origin: DVec2,
    direction: DVec2,
    visible: Vec<(f64, f64)>,
    hidden: Vec<(f64, f64)>,
}

impl Carrier {
    fn along(&self, point: DVec2) -> f64 {
        (point - self.origin).dot(self.direction)
    }

    fn off(&self, point: DVec2) -> f64 {
        (point - self.origin).perp_dot(self.direction).abs()
    }

    fn span(&self, (a, b): Stretch) -> (f64, f64) {
        let (a, b) = (self.along(a), self.along(b));
        (a.min(b), a.max(b))
    }

    fn stretch(&self, (from, to): (f64, f64)) -> Stretch {
        (self.origin + self.direction * from, self.origin + self.direction * to)
    }
}

impl Lines {
    /// Lines nearer than `tolerance` mm are the same.
    pub(crate) fn new(tolerance: f64) -> Self {
        Lines { tolerance, carriers: Vec::new() }
    }

    /// Adds stretches that are seen, and then such as are hidden. Long ones go first: they give the line its
    /// direction.
    pub(crate) fn add(&mut self, mut visible: Vec<Stretch>, mut hidden: Vec<Stretch>) {
        let long_first = |p: &Stretch, q: &Stretch| q.0.distance(q.1).total_cmp(&p.0.distance(p.1));
        visible.sort_by(long_first);
        hidden.sort_by(long_first);
        for stretch in visible {
            if let Some(carrier) = self.carrier(stretch) {
                let span = carrier.span(stretch);
                carrier.visible.push(span);
            }
        }
        for stretch in hidden {
            if let Some(carrier) = self.carrier(stretch) {
                let span = carrier.span(stretch);
                carrier.hidden.push(span);
            }
        }
    }

    /// The line on which a stretch lies; none for one that is a point on paper.
    fn carrier(&mut self, (a, b): Stretch) -> Option<&mut Carrier> {
        let direction = (b - a).try_normalize().filter(|_| a.distance(b) > self.tolerance)?;
        let near = |c: &Carrier| c.off(a) < self.tolerance && c.off(b) < self.tolerance;
        let index = self.carriers.iter().position(near).unwrap_or(self.carriers.len());
        if index == self.carriers.len() {
            self.carriers.push(Carrier { origin: a, direction, visible: Vec::new(), hidden: Vec::new() });
        }
        self.carriers.get_mut(index)
    }

    /// What is seen, each line once.
    pub(crate) fn visible(&self) -> Vec<Stretch> {
        self.carriers
            .iter()
            .flat_map(|c| joined(&c.visible, self.tolerance).into_iter().map(|s| c.stretch(s)))
            .collect()
    }

    /// What is hidden and not under something seen.
    pub(crate) fn hidden(&self) -> Vec<Stretch> {
        let rest = |c: &Carrier| {
            let seen = joined(&c.visible, self.tolerance);
            let pieces = joined(&c.hidden, self.tolerance).into_iter().flat_map(|span| less(span, &seen));
            pieces.filter(|(a, b)| b - a > self.tolerance).map(|span| c.stretch(span)).collect::<Vec<_>>()
        };
        self.carriers.iter().flat_map(rest).collect()
    }
}

fn joined(spans: &[(f64, f64)], gap: f64) -> Vec<(f64, f64)> {
    let mut sorted = spans.to_vec();
    sorted.sort_by(|p, q| p.0.total_cmp(&q.0));
    join(&sorted, gap)
}

/// A span without what others in order cover.
fn less(span: (f64, f64), others: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let mut rest = Vec::new();
    let mut from = span.0;
    for (start, end) in others.iter().filter(|o| o.1 > span.0 && o.0 < span.1) {
        if *start > from {
            rest.push((from, *start));
        }
        from = from.max(*end);
    }
    if from < span.1 {
        rest.push((from, span.1));
    }
    rest
}

/// An ellipse on the view in its one standard form: the long axis points right (up when upright), the short one
/// left of it; a circle starts at the right.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Round {
    pub(crate) centre: DVec2,
    pub(crate) major: DVec2,
    pub(crate) minor: DVec2,
}

/// A projected curve: its standard form, and how its parameter t becomes the form's: `sign * t + shift`.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Projected {
    pub(crate) round: Round,
    sign: f64,
    shift: f64,
}

impl Projected {
    /// `None` for a curve seen edge on, which is a straight line.
    pub(crate) fn of(curve: &Curve, camera: Camera) -> Option<Projected> {
        let (u, v) = (camera.flat(curve.u), camera.flat(curve.v));
        let lean = maths::atan2(2.0 * u.dot(v), u.length_squared() - v.length_squared()) / 2.0;
        let (sin, cos) = maths::sin_cos(lean);
        let (mut major, mut minor) = (u * cos + v * sin, v * cos - u * sin);
        let (mut sign, mut shift) = (1.0, -lean);
        if minor.length() < FLAT * major.length() {
            return None;
        }
        if major.perp_dot(minor) < 0.0 {
            (minor, sign, shift) = (-minor, -sign, -shift);
        }
        let angle = maths::atan2(major.y, major.x);
        if (major.length() - minor.length()).abs() < ROUND * major.length() {
            let radius = (major.length() + minor.length()) / 2.0;
            (major, minor) = (DVec2::new(radius, 0.0), DVec2::new(0.0, radius));
            shift += angle;
        } else if !(-maths::PI / 2.0 + 1e-9..=maths::PI / 2.0 + 1e-9).contains(&angle) {
            (major, minor) = (-major, -minor);
            shift += maths::PI;
        }
        Some(Projected { round: Round { centre: camera.flat(curve.centre), major, minor }, sign, shift })
    }

    /// A span of the curve's parameter as one of the standard form, in rising order.
    pub(crate) fn span(&self, from: f64, to: f64) -> (f64, f64) {
        let (a, b) = (self.sign * from + self.shift, self.sign * to + self.shift);
        (a.min(b), a.max(b))
    }
}

/// Ellipses whose short axis is less than this share of the long one are straight lines on paper.
const FLAT: f64 = 1e-3;
/// Ellipses whose axes differ by less than this share are circles.
const ROUND: f64 = 1e-6;

impl Round {
    pub(crate) fn is_circle(&self) -> bool {
        self.major.length() == self.minor.length()
    }

    pub(crate) fn point(&self, t: f64) -> DVec2 {
        let (sin, cos) = maths::sin_cos(t);
        self.centre + self.major * cos + self.minor * sin
    }

    /// Unit normal at a parameter.
    pub(crate) fn normal(&self, t: f64) -> DVec2 {
        let (sin, cos) = maths::sin_cos(t);
        (self.minor * cos - self.major * sin).perp().normalize_or_zero()
    }

    fn is_near(&self, other: &Round, tolerance: f64) -> bool {
        self.centre.distance(other.centre) < tolerance
            && self.major.distance(other.major) < tolerance
            && self.minor.distance(other.minor) < tolerance
    }
}

/// Round lines, and what is drawn on each.
pub(crate) struct Rounds {
    tolerance: f64,
    carriers: Vec<RoundCarrier>,
}

struct RoundCarrier {
    round: Round,
    visible: Vec<(f64, f64)>,
    hidden: Vec<(f64, f64)>,
}

/// A stretch of an ellipse: first parameter and parameter swept; a whole turn for a whole ellipse.
pub(crate) type RoundStretch = (Round, f64, f64);

impl Rounds {
    pub(crate) fn new(tolerance: f64) -> Self {
        Rounds { tolerance, carriers: Vec::new() }
    }

    pub(crate) fn add_visible(&mut self, round: Round, span: (f64, f64)) {
        self.carrier(round).visible.push(span);
    }

    pub(crate) fn add_hidden(&mut self, round: Round, span: (f64, f64)) {
        self.carrier(round).hidden.push(span);
    }

    fn carrier(&mut self, round: Round) -> &mut RoundCarrier {
        let known = self.carriers.iter().position(|c| c.round.is_near(&round, self.tolerance));
        let index = known.unwrap_or(self.carriers.len());
        if index == self.carriers.len() {
            self.carriers.push(RoundCarrier { round, visible: Vec::new(), hidden: Vec::new() });
        }
        &mut self.carriers[index]
    }

    /// What is seen, each arc once.
    pub(crate) fn visible(&self) -> Vec<RoundStretch> {
        self.stretches(|carrier, gap| joined_round(&carrier.visible, gap))
    }

    /// What is hidden and not under something seen.
    pub(crate) fn hidden(&self) -> Vec<RoundStretch> {
        self.stretches(|carrier, gap| {
            let seen = repeated(&joined_round(&carrier.visible, gap));
            let hidden = joined_round(&carrier.hidden, gap).into_iter();
            hidden.flat_map(|span| less(span, &seen)).filter(|(a, b)| b - a > gap).collect()
        })
    }

    fn stretches(&self, spans: impl Fn(&RoundCarrier, f64) -> Vec<(f64, f64)>) -> Vec<RoundStretch> {
        let of_carrier = |carrier: &RoundCarrier| {
            let gap = (2.0 * self.tolerance / carrier.round.minor.length()).min(0.1);
            let stretch = |(start, end): (f64, f64)| (carrier.round, start, end - start);
            spans(carrier, gap).into_iter().map(stretch).collect::<Vec<_>>()
        };
        self.carriers.iter().flat_map(of_carrier).collect()
    }
}

/// Spans of an angle, and again a turn earlier and later.
fn repeated(spans: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let turn = 2.0 * maths::PI;
    [-turn, 0.0, turn]
        .iter()
        .flat_map(|shift| spans.iter().map(move |(a, b)| (a + shift, b + shift)))
        .collect()
}

/// Spans of an angle joined also across a whole turn.
fn joined_round(spans: &[(f64, f64)], gap: f64) -> Vec<(f64, f64)> {
    let turn = 2.0 * maths::PI;
    let shifted: Vec<(f64, f64)> = spans
        .iter()
        .map(|(start, end)| {
            let whole = (start / turn).floor() * turn;
            (start - whole, end - whole)
        })
        .collect();
    let mut joined = joined(&shifted, gap);
    while joined.len() > 1 && joined[joined.len() - 1].1 - turn >= joined[0].0 - gap {
        let first = joined.remove(0);
        let last = joined.len() - 1;
        joined[last].1 = joined[last].1.max(first.1 + turn);
    }
    if let [only] = joined.as_mut_slice()
        && only.1 - only.0 >= turn - gap
    {
        *only = (0.0, turn);
    }
    joined
}

#[cfg(test)]
mod tests {
    use super::*;
    use slatwork_solid::DVec3;

    #[test]
    fn coinciding_lines_become_one() {
        let at = DVec2::new;
        let mut lines = Lines::new(0.1);
        let visible = vec![
            (at(0.0, 0.0), at(50.0, 0.0)),
            (at(100.0, 0.01), at(40.0, 0.0)),
            (at(0.0, 5.0), at(50.0, 5.0)),
            (at(60.0, 5.0), at(70.0, 5.0)),
        ];
        lines.add(visible, vec![(at(20.0, 5.0), at(65.0, 5.0))]);
        let seen: Vec<f64> = lines.visible().iter().map(|(a, b)| a.distance(*b)).collect();
        assert_eq!(seen.len(), 3);
        assert!((seen[0] - 100.0).abs() < 1e-4, "{seen:?}");
        let hidden = lines.hidden();
        assert_eq!(hidden.len(), 1);
        assert!((hidden[0].0.x - 50.0).abs() < 1e-9 && (hidden[0].1.x - 60.0).abs() < 1e-9, "{hidden:?}");
    }

    #[test]
    fn spans_of_an_angle_close_to_a_whole_turn() {
        let turn = 2.0 * maths::PI;
        assert_eq!(joined_round(&[(0.0, 2.0), (2.0, 4.0), (-2.5, 0.0)], 0.01), [(0.0, turn)]);
        let open = joined_round(&[(-0.5, 0.2), (0.2, 1.0)], 0.01);
        assert_eq!(open.len(), 1);
        assert!((open[0].1 - open[0].0 - 1.5).abs() < 1e-12);
    }

    #[test]
    fn a_projected_circle_keeps_its_points() {
        let curve =
            Curve { centre: DVec3::new(3.0, 4.0, 5.0), u: DVec3::Y * 7.0, v: DVec3::Z * 7.0, slack: 0.1 };
        for view in crate::drawing::View::ALL {
            let camera = view.camera();
            let Some(projected) = Projected::of(&curve, camera) else { continue };
            for t in [0.0, 1.0, 2.5, 4.0, 6.0] {
                let point = camera.flat(curve.centre + curve.u * maths::cos(t) + curve.v * maths::sin(t));
                let (from, _) = projected.span(t, t);
                assert!(projected.round.point(from).distance(point) < 1e-9, "{view:?} {t}");
            }
        }
    }
}
