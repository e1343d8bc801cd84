//! Whether two placed polygons keep a clearance from each other: exact, in whole numbers, edge against edge.
//!
//! Knows nothing of silhouettes: what the no-fit relation says is checked here by another road.

use super::polygon::{Edge, edges_meet};
use super::{Point, Polygon};

/// Largest clearance, nm (134 mm): its square times the square of an edge stays within `i128`.
pub const MOST_CLEARANCE: i64 = 1 << 27;

/// A polygon where it lies.
#[derive(Clone, Copy, Debug)]
pub(super) struct Laid<'a> {
    pub(super) polygon: &'a Polygon,
    pub(super) at: Point,
}

impl Laid<'_> {
    fn edges(&self) -> impl Iterator<Item = Edge> + '_ {
        self.polygon.edges(self.at)
    }

    fn high(&self) -> Point {
        self.at.plus(Point::new(self.polygon.length(), self.polygon.width()))
    }
}

/// Whether no point of one is nearer than the clearance to the other; without clearance they may touch.
pub(super) fn keep_apart(a: Laid, b: Laid, clearance: i64) -> bool {
    if boxes_apart((a.at, a.high()), (b.at, b.high()), clearance) {
        return true;
    }
    let borders = if clearance == 0 { borders_pass(a, b) } else { borders_keep(a, b, clearance) };
    borders && !holds(a, b.polygon.points()[0].plus(b.at)) && !holds(b, a.polygon.points()[0].plus(a.at))
}

fn boxes_apart(a: (Point, Point), b: (Point, Point), gap: i64) -> bool {
    a.1.x + gap <= b.0.x || b.1.x + gap <= a.0.x || a.1.y + gap <= b.0.y || b.1.y + gap <= a.0.y
}

fn box_of((a, b): Edge) -> (Point, Point) {
    (Point::new(a.x.min(b.x), a.y.min(b.y)), Point::new(a.x.max(b.x), a.y.max(b.y)))
}

fn borders_keep(a: Laid, b: Laid, clearance: i64) -> bool {
    let own: Vec<Edge> = a.edges().collect();
    b.edges().all(|other| {
        own.iter().all(|&edge| {
            boxes_apart(box_of(edge), box_of(other), clearance) || edges_keep(edge, other, clearance)
        })
    })
}

/// Edges that do not meet are nearest at an end of one of them.
fn edges_keep(a: Edge, b: Edge, clearance: i64) -> bool {
    !edges_meet(a, b)
        && [(a.0, b), (a.1, b), (b.0, a), (b.1, a)]
            .into_iter()
            .all(|(point, edge)| point_keeps(point, edge, clearance))
}

fn point_keeps(point: Point, (from, to): Edge, clearance: i64) -> bool {
    let (along, off) = (to.minus(from), point.minus(from));
    let least = i128::from(clearance) * i128::from(clearance);
    let (foot, whole) = (along.dot(off), along.dot(along));
    if foot <= 0 {
        off.dot(off) >= least
    } else if foot >= whole {
        let beyond = point.minus(to);
        beyond.dot(beyond) >= least
    } else {
        // Distance squared is cross^2 / whole; a cross too large to square is far beyond the largest clearance.
        let cross = along.cross(off);
        cross.checked_mul(cross).is_none_or(|square| square >= least * whole)
    }
}

/// Whether a point lies inside a polygon, its border left out: the edges that a ray to the right crosses are counted.
fn holds(body: Laid, point: Point) -> bool {
    if on_border(body, point) {
        return false;
    }
    let crosses = |(a, b): &Edge| {
        let (low, high) = if a.y < b.y { (a, b) } else { (b, a) };
        low.y <= point.y && point.y < high.y && high.minus(*low).cross(point.minus(*low)) > 0
    };
    body.edges().filter(crosses).count() % 2 == 1
}

fn on_border(body: Laid, point: Point) -> bool {
    body.edges().any(|edge| lies_on(point, edge))
}

fn lies_on(point: Point, (a, b): Edge) -> bool {
    b.minus(a).cross(point.minus(a)) == 0 && a.minus(point).dot(b.minus(point)) <= 0
}

/// Whether two borders, if they meet, only touch. Where no edges cross, every common stretch holds a corner of one; there
/// the wood round the point must not overlap.
fn borders_pass(a: Laid, b: Laid) -> bool {
    let crossing = a.edges().any(|own| b.edges().any(|other| edges_cross(own, other)));
    let corners = |body: Laid| -> Vec<Point> { body.edges().map(|edge| edge.0).collect() };
    let touches = corners(a).into_iter().chain(corners(b));
    !crossing
        && touches.filter(|&point| on_border(a, point) && on_border(b, point)).all(|point| {
            match (wedge_at(a, point), wedge_at(b, point)) {
                (Some(own), Some(other)) => !own.overlaps(other),
                _ => true,
            }
        })
}

fn edges_cross((a, b): Edge, (c, d): Edge) -> bool {
    let side = |p: Point, q: Point, r: Point| q.minus(p).cross(r.minus(p)).signum();
    side(a, b, c) * side(a, b, d) < 0 && side(c, d, a) * side(c, d, b) < 0
}

/// The directions that lead from a point of a border into the wood: counter-clockwise from one to the other.
#[derive(Clone, Copy, Debug)]
struct Wedge {
    from: Point,
    to: Point,
}

fn wedge_at(body: Laid, point: Point) -> Option<Wedge> {
    let leaving = body.edges().find(|edge| edge.0 == point);
    let arriving = body.edges().find(|edge| edge.1 == point);
    let through = body.edges().find(|&edge| lies_on(point, edge));
    let (arriving, leaving) = arriving.zip(leaving).or(through.zip(through))?;
    Some(Wedge { from: leaving.1.minus(point), to: arriving.0.minus(point) })
}

impl Wedge {
    fn overlaps(self, other: Wedge) -> bool {
        let alike = self.from.cross(other.from) == 0 && self.from.dot(other.from) > 0;
        alike || self.holds(other.from) || other.holds(self.from)
    }

    /// Whether a direction leads inside.
    fn holds(self, way: Point) -> bool {
        let turn = self.from.cross(self.to);
        if turn > 0 || (turn == 0 && self.from.dot(self.to) < 0) {
            self.from.cross(way) > 0 && way.cross(self.to) > 0
        } else {
            !(self.to.cross(way) >= 0 && way.cross(self.from) >= 0)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn polygon(corners: &[(i64, i64)]) -> Polygon {
        Polygon::new(corners.iter().map(|&(x, y)| Point::new(x, y)).collect()).unwrap()
    }

    fn apart(a: &Polygon, b: &Polygon, x: i64, y: i64, clearance: i64) -> bool {
        let (a, b) = (Laid { polygon: a, at: Point::default() }, Laid { polygon: b, at: Point::new(x, y) });
        let found = keep_apart(a, b, clearance);
        assert_eq!(found, keep_apart(b, a, clearance), "the same both ways");
        found
    }

    #[test]
    fn squares_touch_but_do_not_overlap() {
        let square = polygon(&[(0, 0), (10, 0), (10, 10), (0, 10)]);
        for (x, y) in [(10, 0), (10, 3), (10, 10), (-10, 10), (0, -10), (12, 0)] {
            assert!(apart(&square, &square, x, y, 0), "{x} {y}");
        }
        for (x, y) in [(0, 0), (9, 0), (9, 9), (0, 9), (-9, 3)] {
            assert!(!apart(&square, &square, x, y, 0), "{x} {y}");
        }
        assert!(apart(&square, &square, 13, 0, 3) && !apart(&square, &square, 12, 0, 3));
        // Corner to corner: 3, 4, 5.
        assert!(apart(&square, &square, 13, 14, 5) && !apart(&square, &square, 12, 14, 5));
    }

    #[test]
    fn what_passes_through_corners_is_seen() {
        let diamond = polygon(&[(0, 10), (10, 0), (20, 10), (10, 20)]);
        let flat = polygon(&[(0, 0), (20, 0), (20, 1), (0, 1)]);
        // The flat one's upper edge runs from corner to corner of the diamond.
        assert!(!apart(&diamond, &flat, 0, 9, 0));
        assert!(!apart(&diamond, &flat, 0, 10, 0));
        assert!(apart(&diamond, &flat, 0, 20, 0) && apart(&diamond, &flat, 0, -1, 0));
        assert!(!apart(&diamond, &diamond, 0, 0, 0) && apart(&diamond, &diamond, 10, 10, 0));
    }

    #[test]
    fn what_lies_inside_is_not_apart() {
        let large = polygon(&[(0, 0), (100, 0), (100, 100), (0, 100)]);
        let small = polygon(&[(0, 0), (10, 0), (10, 10), (0, 10)]);
        assert!(!apart(&large, &small, 40, 40, 0) && !apart(&large, &small, 40, 40, 5));
        assert!(!apart(&large, &small, 0, 40, 0));
        let cup =
            polygon(&[(0, 0), (100, 0), (100, 100), (60, 100), (60, 20), (40, 20), (40, 100), (0, 100)]);
        assert!(apart(&cup, &small, 45, 50, 5) && !apart(&cup, &small, 45, 50, 6));
        assert!(apart(&cup, &small, 40, 20, 0) && !apart(&cup, &small, 40, 19, 0));
    }
}
