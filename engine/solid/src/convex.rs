//! A polygon in as few convex polygons as a greedy merge finds.

use crate::DVec2;
use crate::outline::Outline;
use crate::triangulate::triangulate;

/// Corners this flat still count as convex, as the sine of the turn: rounding noise of points on a line.
const FLAT: f64 = 1e-10;
const NONE: u32 = u32::MAX;

/// The polygon as convex polygons, each a counter-clockwise list of corners. `None` when it crosses itself.
pub(crate) fn convex_parts(outline: &Outline) -> Option<Vec<Vec<u32>>> {
    let points = &outline.points;
    let ring: Vec<u32> = (0..points.len() as u32).collect();
    if ring.iter().all(|&corner| is_convex_at(points, corner as usize)) {
        return Some(vec![ring]);
    }
    let triangles = triangulate(points, &[ring])?;
    let mut net = Net::new(points, &triangles);
    net.merge();
    Some(net.polygons())
}

fn is_convex_at(points: &[DVec2], at: usize) -> bool {
    let count = points.len();
    turns_left(points[(at + count - 1) % count], points[at], points[(at + 1) % count])
}

fn turns_left(a: DVec2, b: DVec2, c: DVec2) -> bool {
    let (into, out) = (b - a, c - b);
    into.perp_dot(out) >= -FLAT * (into.length() * out.length())
}

/// Half-edges of the triangles: `from[e]`, its neighbours round the polygon, and the half-edge on the other side.
struct Net<'a> {
    points: &'a [DVec2],
    from: Vec<u32>,
    next: Vec<u32>,
    before: Vec<u32>,
    twin: Vec<u32>,
    gone: Vec<bool>,
}

impl<'a> Net<'a> {
    fn new(points: &'a [DVec2], triangles: &[[u32; 3]]) -> Self {
        let count = triangles.len() as u32 * 3;
        let from: Vec<u32> = triangles.iter().flatten().copied().collect();
        let shift = |edge: u32, by: u32| edge - edge % 3 + (edge + by) % 3;
        let next: Vec<u32> = (0..count).map(|edge| shift(edge, 1)).collect();
        let before: Vec<u32> = (0..count).map(|edge| shift(edge, 2)).collect();
        let twin = twins(&from, &next);
        Net { points, from, next, before, twin, gone: vec![false; count as usize] }
    }

    fn point(&self, edge: u32) -> DVec2 {
        self.points[self.from[edge as usize] as usize]
    }

    /// Takes away inner edges, longest first, wherever both ends stay convex.
    fn merge(&mut self) {
        let mut inner: Vec<(f64, u32)> = (0..self.from.len() as u32)
            .filter(|&edge| self.twin[edge as usize] != NONE && edge < self.twin[edge as usize])
            .map(|edge| ((self.point(self.next[edge as usize]) - self.point(edge)).length_squared(), edge))
            .collect();
        inner.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
        for (_, edge) in inner {
            let twin = self.twin[edge as usize];
            if self.convex_without(edge, twin) && self.convex_without(twin, edge) {
                self.remove(edge, twin);
            }
        }
    }

    /// Whether the corner where `edge` starts stays convex without the edge.
    fn convex_without(&self, edge: u32, twin: u32) -> bool {
        let into = self.point(self.before[edge as usize]);
        let after = self.next[twin as usize];
        turns_left(into, self.point(edge), self.point(self.next[after as usize]))
    }

    fn remove(&mut self, edge: u32, twin: u32) {
        for (here, there) in [(edge, twin), (twin, edge)] {
            let (before, after) = (self.before[here as usize], self.next[there as usize]);
            self.next[before as usize] = after;
            self.before[after as usize] = before;
            self.gone[here as usize] = true;
        }
    }

    fn polygons(&self) -> Vec<Vec<u32>> {
        let mut seen = self.gone.clone();
        let mut polygons = Vec::new();
        for start in 0..self.from.len() as u32 {
            let mut polygon = Vec::new();
            let mut edge = start;
            while !seen[edge as usize] {
                seen[edge as usize] = true;
                polygon.push(self.from[edge as usize]);
                edge = self.next[edge as usize];
            }
            if !polygon.is_empty() {
                polygons.push(polygon);
            }
        }
        polygons
    }
}

fn twins(from: &[u32], next: &[u32]) -> Vec<u32> {
    let ends = |edge: u32| (from[edge as usize], from[next[edge as usize] as usize]);
    let mut order: Vec<(u32, u32, u32)> = (0..from.len() as u32)
        .map(|edge| {
            let (a, b) = ends(edge);
            (a.min(b), a.max(b), edge)
        })
        .collect();
    order.sort_unstable();
    let mut twin = vec![NONE; from.len()];
    for pair in order.windows(2) {
        if (pair[0].0, pair[0].1) == (pair[1].0, pair[1].1) {
            twin[pair[0].2 as usize] = pair[1].2;
            twin[pair[1].2 as usize] = pair[0].2;
        }
    }
    twin
}
