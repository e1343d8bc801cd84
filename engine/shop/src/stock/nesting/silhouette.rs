//! The no-fit relation of two bodies: how far the second must begin after the first.
//!
//! Of the first body only what shows from the right matters, grown by the clearance; of the second only what shows from the
//! left. At an offset across, the least offset along is the largest difference of the two over their common heights. That
//! is the right-hand side of the no-fit polygon (Bennell and Oliveira 2008, EJOR 184:397-415; Burke et al. 2007, EJOR
//! 179:27-49, from memory), taken without building the polygon: growing by a convex disc gives each edge moved out and
//! each full corner a stretch of the disc's rim; what is hidden behind other edges does no harm.

use super::{Point, Polygon};
use slatwork_base::maths;

/// Tangents in a quarter of the disc that stands for the clearance: it stands off the circle by 0.22 % at its corners.
const TANGENTS: u32 = 12;

/// An edge that rises: `low.y < high.y`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Rise {
    low: Point,
    high: Point,
}

impl Rise {
    fn new(a: Point, b: Point) -> Self {
        if a.y < b.y { Rise { low: a, high: b } } else { Rise { low: b, high: a } }
    }

    fn least_x(&self) -> i64 {
        self.low.x.min(self.high.x)
    }

    fn most_x(&self) -> i64 {
        self.low.x.max(self.high.x)
    }

    /// Its x at a height within it, rounded down.
    fn floor_at(&self, y: i64) -> i64 {
        let (dx, dy) = (self.high.x - self.low.x, self.high.y - self.low.y);
        let by = (i128::from(dx) * i128::from(y - self.low.y)).div_euclid(i128::from(dy));
        // Between the ends, so it fits.
        self.low.x + by as i64
    }

    fn mirrored(&self) -> Self {
        let mirrored = |point: Point| Point::new(-point.x, point.y);
        Rise { low: mirrored(self.low), high: mirrored(self.high) }
    }

    /// Its x at a height within it, rounded up.
    fn ceil_at(&self, y: i64) -> i64 {
        -self.mirrored().floor_at(y)
    }

    fn moved(&self, by: Point) -> Self {
        Rise { low: self.low.plus(by), high: self.high.plus(by) }
    }
}

/// What matters of a body to those before and after it on a board.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub(super) struct Silhouette {
    /// Seen from the right, grown by the clearance; farthest right first.
    right: Vec<Rise>,
    /// Seen from the left; farthest left first.
    left: Vec<Rise>,
}

impl Silhouette {
    /// The silhouette of a part at the low corner of the board.
    pub(super) fn new(polygon: &Polygon, disc: &Disc) -> Self {
        let edges: Vec<_> = polygon.edges(Point::default()).collect();
        let left = edges.iter().filter(|(a, b)| b.y < a.y).map(|&(a, b)| Rise::new(a, b)).collect();
        Silhouette { right: disc.grown_right(&edges), left }.sorted()
    }

    /// Several bodies as one, each moved.
    pub(super) fn joined<'a>(bodies: impl IntoIterator<Item = (&'a Silhouette, Point)>) -> Self {
        let mut joined = Silhouette::default();
        for (body, by) in bodies {
            joined.right.extend(body.right.iter().map(|rise| rise.moved(by)));
            joined.left.extend(body.left.iter().map(|rise| rise.moved(by)));
        }
        joined.sorted()
    }

    fn sorted(mut self) -> Self {
        self.right.sort_by_key(|rise| std::cmp::Reverse(rise.most_x()));
        self.left.sort_by_key(Rise::least_x);
        self
    }

    /// Least offset along the board, nm, from which on `next`, offset by `across`, keeps the clearance from this; rounded up.
    /// `None` when their heights have nothing in common.
    pub(super) fn separation(&self, next: &Silhouette, across: i64) -> Option<i64> {
        let first_left = next.left.first()?.least_x();
        let mut least: Option<i64> = None;
        for own in &self.right {
            if least.is_some_and(|least| own.most_x() - first_left <= least) {
                break;
            }
            for other in &next.left {
                if least.is_some_and(|least| own.most_x() - other.least_x() <= least) {
                    break;
                }
                let low = own.low.y.max(other.low.y + across);
                let high = own.high.y.min(other.high.y + across);
                if low < high {
                    let between = |y: i64| own.ceil_at(y) - other.floor_at(y - across);
                    least = least.max(Some(between(low).max(between(high))));
                }
            }
        }
        least
    }
}

/// A convex polygon round a circle, touching it along and across the board, so that neither way anything is lost.
#[derive(Clone, Debug)]
pub(super) struct Disc {
    rim: Vec<Point>,
}

impl Disc {
    /// The disc of a radius, nm.
    pub(super) fn new(radius: i64) -> Self {
        if radius == 0 {
            return Disc { rim: vec![Point::default()] };
        }
        let step = maths::PI / 2.0 / f64::from(TANGENTS);
        let reach = radius as f64 / maths::cos(step / 2.0);
        // Corners of a quarter, moved up and right to whole points: outward of every tangent there.
        let quarter: Vec<Point> = (0..TANGENTS)
            .map(|index| {
                let (sine, cosine) = maths::sin_cos(step * (f64::from(index) + 0.5));
                let whole = |value: f64| ((reach * value).ceil() as i64).min(radius);
                Point::new(whole(cosine), whole(sine))
            })
            .collect();
        let turned = |quarters: u32| quarter.iter().map(move |point| quarter_turned(*point, quarters));
        Disc { rim: (0..4).flat_map(turned).collect() }
    }

    /// Index of the rim's corner farthest out in a direction.
    fn farthest(&self, normal: Point) -> usize {
        (0..self.rim.len())
            .max_by_key(|&index| (self.rim[index].dot(normal), usize::MAX - index))
            .unwrap_or(0)
    }

    /// The rises of a polygon grown by this disc that face right, some of them hidden.
    fn grown_right(&self, edges: &[(Point, Point)]) -> Vec<Rise> {
        let outer = |(a, b): (Point, Point)| Point::new(b.y - a.y, a.x - b.x);
        let mut rises = Vec::new();
        let mut push = |a: Point, b: Point| {
            if b.y > a.y {
                rises.push(Rise::new(a, b));
            }
        };
        for (index, &edge) in edges.iter().enumerate() {
            let next = edges[(index + 1) % edges.len()];
            let mut corner = self.farthest(outer(edge));
            push(edge.0.plus(self.rim[corner]), edge.1.plus(self.rim[corner]));
            if outer(edge).cross(outer(next)) > 0 {
                let last = self.farthest(outer(next));
                while corner != last {
                    let following = (corner + 1) % self.rim.len();
                    push(edge.1.plus(self.rim[corner]), edge.1.plus(self.rim[following]));
                    corner = following;
                }
            }
        }
        rises
    }
}

fn quarter_turned(point: Point, quarters: u32) -> Point {
    (0..quarters).fold(point, |point, _| Point::new(-point.y, point.x))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn silhouette(corners: &[(i64, i64)], clearance: i64) -> Silhouette {
        let points = corners.iter().map(|&(x, y)| Point::new(x, y)).collect();
        Silhouette::new(&Polygon::new(points).unwrap(), &Disc::new(clearance))
    }

    #[test]
    fn rectangles_follow_at_length_and_clearance_and_pass_exactly() {
        let plain = silhouette(&[(0, 0), (900, 0), (900, 100), (0, 100)], 30);
        assert_eq!(plain.separation(&plain, 0), Some(930));
        assert_eq!(plain.separation(&plain, 60), Some(930));
        // Above one another by exactly the clearance: side by side.
        assert_eq!(plain.separation(&plain, 130), None);
        assert!(plain.separation(&plain, 129).is_some_and(|along| along < 930));
        assert!(plain.separation(&plain, -130).is_none() && plain.separation(&plain, -129).is_some());
    }

    /// A chevron spoons with itself: its arms are 100 wide along the board, whatever its depth.
    #[test]
    fn chevrons_spoon() {
        let chevron = [(0, 0), (100, 0), (600, 500), (100, 1000), (0, 1000), (500, 500)]
            .map(|(x, y)| (1_000 * x, 1_000 * y));
        let bare = silhouette(&chevron, 0);
        assert_eq!(bare.separation(&bare, 0), Some(100_000));
        // Edges lie at 45 degrees: a clearance of 10 takes 10 sqrt 2 = 14.1 along, up to the disc's 0.22 % and rounding.
        let grown = silhouette(&chevron, 10_000);
        let along = grown.separation(&grown, 0).unwrap();
        assert!((114_142..=114_180).contains(&along), "{along}");
    }

    #[test]
    fn the_disc_holds_its_circle_and_keeps_its_box() {
        for radius in [1, 7, 1_000, 3_175_000] {
            let rim = Disc::new(radius).rim;
            for index in 0..rim.len() {
                let (a, b) = (rim[index], rim[(index + 1) % rim.len()]);
                let edge = b.minus(a);
                // Nearest to the middle at its own nearest point, or at an end when that lies beyond it.
                let (square, least) = (edge.dot(edge), i128::from(radius).pow(2));
                let beyond = -a.dot(edge) <= 0 || -a.dot(edge) >= square;
                let outside = if beyond { a.dot(a) >= least } else { a.cross(b).pow(2) >= least * square };
                assert!(outside, "{a} {b}");
                assert!(a.x.abs() <= radius && a.y.abs() <= radius);
            }
        }
    }
}
