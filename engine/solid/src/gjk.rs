//! The distance between two convex sets of points (Gilbert, Johnson and Keerthi's method).
//!
//! An own one rather than a library's: the pieces have at most a few dozen corners and need no hull or topology built
//! first, the answer comes with a proof of its error, and forty crates stay out of the tree.

use crate::DVec3;

/// The answer is within this of the true distance, mm.
const PROVEN: f64 = 1e-10;
/// Rounds after which the method gives up; boards need about ten.
const ROUNDS: usize = 64;

/// The distance between the hulls of `a` and `b`, 0 when they meet. `None` when rounding kept it from a proven answer.
pub(crate) fn distance(a: &[DVec3], b: &[DVec3]) -> Option<f64> {
    let mut simplex = Simplex::default();
    let mut nearest = *a.first()? - *b.first()?;
    simplex.push(nearest);
    for _ in 0..ROUNDS {
        let length = nearest.length();
        if length < PROVEN {
            return Some(0.0);
        }
        let next = farthest(a, -nearest) - farthest(b, nearest);
        // No point of the difference lies lower along `nearest` than `next`: the distance is at least that height.
        let proven = nearest.dot(next) / length;
        if length - proven <= PROVEN.max(length * 1e-14) {
            return Some(length);
        }
        if !simplex.push(next) {
            return None;
        }
        nearest = simplex.reduce();
        if simplex.count == 4 {
            return Some(0.0);
        }
    }
    None
}

/// Whether the hull of `a`, moved by `motion` from where it is, stays clear of the hull of `b` all the way. Where rounding
/// keeps the method from a proven answer, hulls nearer than a nanometre meet.
pub(crate) fn apart(a: &[DVec3], motion: DVec3, b: &[DVec3]) -> bool {
    const MEET: f64 = 1e-6;
    let (Some(&first), Some(&other)) = (a.first(), b.first()) else { return true };
    let mut simplex = Simplex::default();
    let mut nearest = first - other;
    simplex.push(nearest);
    for _ in 0..ROUNDS {
        let length = nearest.length();
        if length < MEET {
            return false;
        }
        let ahead = if motion.dot(nearest) < 0.0 { motion } else { DVec3::ZERO };
        let next = farthest(a, -nearest) + ahead - farthest(b, nearest);
        // No point of the difference lies lower along `nearest` than `next`.
        if nearest.dot(next) > length * MEET {
            return true;
        }
        if !simplex.push(next) {
            return false;
        }
        nearest = simplex.reduce();
        if simplex.count == 4 {
            return false;
        }
    }
    false
}

fn farthest(points: &[DVec3], direction: DVec3) -> DVec3 {
    let mut best = (f64::NEG_INFINITY, DVec3::ZERO);
    for &point in points {
        let reach = point.dot(direction);
        if reach > best.0 {
            best = (reach, point);
        }
    }
    best.1
}

/// Up to four points of the difference of the two sets.
#[derive(Default)]
struct Simplex {
    points: [DVec3; 4],
    count: usize,
}

/// The point of a simplex nearest to the origin, and which corners carry it.
#[derive(Clone, Copy)]
struct Nearest {
    point: DVec3,
    carried_by: [bool; 4],
}

impl Simplex {
    /// False when the point is there already: no progress.
    fn push(&mut self, point: DVec3) -> bool {
        if self.count == 4 || self.points[..self.count].contains(&point) {
            return false;
        }
        self.points[self.count] = point;
        self.count += 1;
        true
    }

    /// Keeps the corners that carry the point nearest to the origin, and returns that point. All four are kept only when
    /// the origin lies inside.
    fn reduce(&mut self) -> DVec3 {
        let nearest = match self.count {
            1 => Nearest { point: self.points[0], carried_by: [true, false, false, false] },
            2 => self.on_segment(0, 1),
            3 => self.on_triangle(0, 1, 2),
            _ => self.in_tetrahedron(),
        };
        let mut kept = 0;
        for index in 0..self.count {
            if nearest.carried_by[index] {
                self.points[kept] = self.points[index];
                kept += 1;
            }
        }
        self.count = kept;
        nearest.point
    }

    fn carried(point: DVec3, corners: &[usize]) -> Nearest {
        let mut carried_by = [false; 4];
        corners.iter().for_each(|&corner| carried_by[corner] = true);
        Nearest { point, carried_by }
    }

    fn on_segment(&self, i: usize, j: usize) -> Nearest {
        let (a, b) = (self.points[i], self.points[j]);
        let span = b - a;
        let share = -a.dot(span) / span.length_squared();
        if share <= 0.0 {
            Self::carried(a, &[i])
        } else if share >= 1.0 {
            Self::carried(b, &[j])
        } else {
            Self::carried(a + span * share, &[i, j])
        }
    }

    fn on_triangle(&self, i: usize, j: usize, k: usize) -> Nearest {
        let (a, b, c) = (self.points[i], self.points[j], self.points[k]);
        let normal = (b - a).cross(c - a);
        let inside = |from: DVec3, to: DVec3| (to - from).cross(-from).dot(normal) > 0.0;
        if normal.length_squared() > 0.0 && inside(a, b) && inside(b, c) && inside(c, a) {
            return Self::carried(normal * (a.dot(normal) / normal.length_squared()), &[i, j, k]);
        }
        nearer(nearer(self.on_segment(i, j), self.on_segment(j, k)), self.on_segment(k, i))
    }

    fn in_tetrahedron(&self) -> Nearest {
        const SIDES: [([usize; 3], usize); 4] =
            [([0, 1, 2], 3), ([0, 1, 3], 2), ([0, 2, 3], 1), ([1, 2, 3], 0)];
        let mut best: Option<Nearest> = None;
        for ([i, j, k], opposite) in SIDES {
            let (a, b, c) = (self.points[i], self.points[j], self.points[k]);
            let normal = (b - a).cross(c - a);
            let (origin, other) = (-a.dot(normal), (self.points[opposite] - a).dot(normal));
            // The origin beyond this side, or the tetrahedron flat.
            if origin * other <= 0.0 {
                let found = self.on_triangle(i, j, k);
                best = Some(best.map_or(found, |best| nearer(best, found)));
            }
        }
        best.unwrap_or(Nearest { point: DVec3::ZERO, carried_by: [true; 4] })
    }
}

fn nearer(a: Nearest, b: Nearest) -> Nearest {
    if b.point.length_squared() < a.point.length_squared() { b } else { a }
}
