//! [`Polygon`]: the outline of a part in whole nanometres, and the ways it may be turned.

use super::NestFault;
use std::fmt;

/// Largest coordinate, nm (8.6 m): products of three differences and a square stay within `i128`.
pub const MOST_EXTENT: i64 = 1 << 33;
/// Most corners of one outline.
pub const MOST_CORNERS: usize = 2_000;

/// A point or a difference of points, nm: x along the board, y across it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Point {
    /// Along the board.
    pub x: i64,
    /// Across the board.
    pub y: i64,
}

impl Point {
    /// A point from its coordinates, nm.
    pub const fn new(x: i64, y: i64) -> Self {
        Point { x, y }
    }

    pub(super) fn plus(self, other: Point) -> Self {
        Point::new(self.x + other.x, self.y + other.y)
    }

    pub(super) fn minus(self, other: Point) -> Self {
        Point::new(self.x - other.x, self.y - other.y)
    }

    /// Positive when `other` points to the left of this.
    pub(super) fn cross(self, other: Point) -> i128 {
        i128::from(self.x) * i128::from(other.y) - i128::from(self.y) * i128::from(other.x)
    }

    pub(super) fn dot(self, other: Point) -> i128 {
        i128::from(self.x) * i128::from(other.x) + i128::from(self.y) * i128::from(other.y)
    }
}

impl fmt::Display for Point {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        write!(f, "({} nm, {} nm)", self.x, self.y)
    }
}

/// A straight edge.
pub(super) type Edge = (Point, Point);

/// How a part lies: never across, as the grain follows the length.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Turn {
    /// As drawn.
    AsDrawn,
    /// Turned by 180 degrees on its face.
    HalfTurn,
    /// Flipped over its length: edges swapped, other face up.
    FlippedOverLength,
    /// Flipped over its width: ends swapped, other face up.
    FlippedOverWidth,
}

impl Turn {
    /// All four.
    pub const ALL: [Turn; 4] =
        [Turn::AsDrawn, Turn::HalfTurn, Turn::FlippedOverLength, Turn::FlippedOverWidth];

    /// Whether x and y run backwards.
    pub(super) fn reversals(self) -> (bool, bool) {
        match self {
            Turn::AsDrawn => (false, false),
            Turn::HalfTurn => (true, true),
            Turn::FlippedOverLength => (false, true),
            Turn::FlippedOverWidth => (true, false),
        }
    }

    /// This turn and then another.
    pub fn then(self, next: Turn) -> Turn {
        let ((a, b), (c, d)) = (self.reversals(), next.reversals());
        match (a != c, b != d) {
            (false, false) => Turn::AsDrawn,
            (true, true) => Turn::HalfTurn,
            (false, true) => Turn::FlippedOverLength,
            (true, false) => Turn::FlippedOverWidth,
        }
    }
}

/// Which faces of a part may lie up.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Faces {
    /// One: as drawn and the half turn.
    OneGood,
    /// Both: all four turns.
    BothGood,
}

impl Faces {
    /// The turns that are allowed.
    pub fn turns(self) -> &'static [Turn] {
        match self {
            Faces::OneGood => &Turn::ALL[..2],
            Faces::BothGood => &Turn::ALL,
        }
    }
}

/// A simple polygon, counter-clockwise, its box's low corner at (0, 0), its least corner first. Equal polygons are equal
/// values, so a turn that changes nothing shows.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Polygon {
    points: Vec<Point>,
    size: Point,
}

impl Polygon {
    /// The polygon with these corners, moved so that its box begins at (0, 0).
    pub fn new(points: Vec<Point>) -> Result<Self, NestFault> {
        if points.iter().any(|point| point.x.abs() > MOST_EXTENT || point.y.abs() > MOST_EXTENT) {
            return Err(NestFault::TooLarge);
        }
        if points.len() > MOST_CORNERS {
            return Err(NestFault::TooManyCorners);
        }
        let points = without_idle_corners(points);
        if points.len() < 3 {
            return Err(NestFault::NoArea);
        }
        check_crossing(&points)?;
        if twice_area(&points) > 0 { Ok(Self::settled(points)) } else { Err(NestFault::Clockwise) }
    }

    /// A rectangle.
    pub fn rectangle(length: i64, width: i64) -> Result<Self, NestFault> {
        Self::new(vec![
            Point::default(),
            Point::new(length, 0),
            Point::new(length, width),
            Point::new(0, width),
        ])
    }

    /// Corners that are known to be sound, moved and put in order.
    fn settled(mut points: Vec<Point>) -> Self {
        let low = points.iter().copied().reduce(|a, b| Point::new(a.x.min(b.x), a.y.min(b.y)));
        let low = low.unwrap_or_default();
        for point in &mut points {
            *point = point.minus(low);
        }
        let first = (0..points.len()).min_by_key(|&index| points[index]).unwrap_or(0);
        points.rotate_left(first);
        let size = points.iter().fold(Point::default(), |a, b| Point::new(a.x.max(b.x), a.y.max(b.y)));
        Polygon { points, size }
    }

    /// Corners, counter-clockwise.
    pub fn points(&self) -> &[Point] {
        &self.points
    }

    /// Along the board, nm.
    pub fn length(&self) -> i64 {
        self.size.x
    }

    /// Across the board, nm.
    pub fn width(&self) -> i64 {
        self.size.y
    }

    /// Twice its area, nm^2.
    pub fn twice_area(&self) -> i128 {
        twice_area(&self.points)
    }

    /// The polygon turned, its box's low corner again at (0, 0).
    pub fn turned(&self, turn: Turn) -> Self {
        let (back, down) = turn.reversals();
        let turned = |point: &Point| {
            Point::new(
                if back { self.size.x - point.x } else { point.x },
                if down { self.size.y - point.y } else { point.y },
            )
        };
        let mut points: Vec<Point> = self.points.iter().map(turned).collect();
        if back != down {
            points.reverse();
        }
        Self::settled(points)
    }

    /// Its edges in order, moved.
    pub(super) fn edges(&self, by: Point) -> impl Iterator<Item = Edge> + '_ {
        let next = self.points.iter().cycle().skip(1);
        self.points.iter().zip(next).map(move |(a, b)| (a.plus(by), b.plus(by)))
    }
}

/// Drops corners that repeat the one before or lie straight between their neighbours.
fn without_idle_corners(mut points: Vec<Point>) -> Vec<Point> {
    loop {
        let count = points.len();
        let idle = |index: usize| {
            let (before, here) = (points[(index + count - 1) % count], points[index]);
            let (into, out) = (here.minus(before), points[(index + 1) % count].minus(here));
            into == Point::default() || (into.cross(out) == 0 && into.dot(out) > 0)
        };
        match (0..count).find(|&index| idle(index)) {
            Some(index) if count > 1 => points.remove(index),
            _ => return points,
        };
    }
}

fn twice_area(points: &[Point]) -> i128 {
    (0..points.len()).map(|index| points[index].cross(points[(index + 1) % points.len()])).sum()
}

/// Refuses outlines that cross, touch or run back over themselves.
fn check_crossing(points: &[Point]) -> Result<(), NestFault> {
    let count = points.len();
    let edge = |index: usize| (points[index], points[(index + 1) % count]);
    for first in 0..count {
        let (a, b) = edge(first);
        let c = points[(first + 2) % count];
        let folds_back = b.minus(a).cross(c.minus(b)) == 0;
        if folds_back {
            return Err(NestFault::SelfCrossing { at: b });
        }
        let met = (first + 2..count).find(|&second| {
            let neighbours = (second + 1) % count == first;
            !neighbours && edges_meet((a, b), edge(second))
        });
        if let Some(second) = met {
            return Err(NestFault::SelfCrossing { at: points[second] });
        }
    }
    Ok(())
}

/// Whether two edges have a point in common, ends counted.
pub(super) fn edges_meet((a, b): Edge, (c, d): Edge) -> bool {
    if !ranges_meet(a.x, b.x, c.x, d.x) || !ranges_meet(a.y, b.y, c.y, d.y) {
        return false;
    }
    let side = |p: Point, q: Point, r: Point| q.minus(p).cross(r.minus(p)).signum();
    side(a, b, c) * side(a, b, d) <= 0 && side(c, d, a) * side(c, d, b) <= 0
}

fn ranges_meet(a: i64, b: i64, c: i64, d: i64) -> bool {
    a.max(b) >= c.min(d) && c.max(d) >= a.min(b)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn polygon(corners: &[(i64, i64)]) -> Result<Polygon, NestFault> {
        Polygon::new(corners.iter().map(|&(x, y)| Point::new(x, y)).collect())
    }

    #[test]
    fn a_polygon_begins_at_its_least_corner_whatever_was_first() {
        let once = polygon(&[(5, 5), (15, 5), (10, 15)]).unwrap();
        let again = polygon(&[(110, 115), (107, 109), (105, 105), (115, 105), (115, 105)]).unwrap();
        assert_eq!(once, again);
        assert_eq!((once.length(), once.width(), once.twice_area()), (10, 10, 100));
    }

    #[test]
    fn turns_add_up() {
        let part = polygon(&[(0, 0), (30, 0), (30, 4), (0, 9)]).unwrap();
        for first in Turn::ALL {
            for second in Turn::ALL {
                assert_eq!(part.turned(first).turned(second), part.turned(first.then(second)));
            }
            assert_eq!(part.turned(first).twice_area(), part.twice_area());
        }
        let plain = Polygon::rectangle(30, 4).unwrap();
        assert!(Turn::ALL.iter().all(|&turn| plain.turned(turn) == plain));
    }

    #[test]
    fn what_is_no_outline_is_named() {
        let crossing = polygon(&[(0, 0), (9, 9), (9, 0), (0, 9)]);
        assert!(matches!(crossing, Err(NestFault::SelfCrossing { .. })), "{crossing:?}");
        let touching = polygon(&[(0, 0), (10, 0), (10, 10), (5, 0), (0, 10)]);
        assert!(matches!(touching, Err(NestFault::SelfCrossing { .. })), "{touching:?}");
        let spike = polygon(&[(0, 0), (10, 0), (10, 10), (10, 30), (10, 10), (0, 10)]);
        assert!(matches!(spike, Err(NestFault::SelfCrossing { .. })), "{spike:?}");
        assert_eq!(polygon(&[(0, 0), (0, 9), (9, 0)]), Err(NestFault::Clockwise));
        assert_eq!(polygon(&[(0, 0), (4, 0), (9, 0)]), Err(NestFault::NoArea));
        assert_eq!(polygon(&[]), Err(NestFault::NoArea));
        assert_eq!(polygon(&[(3, 3); 5]), Err(NestFault::NoArea));
        assert_eq!(polygon(&[(0, 0), (i64::MAX, 0), (0, 9)]), Err(NestFault::TooLarge));
    }
}
