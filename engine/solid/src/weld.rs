//! Points made one where they nearly coincide, and the points that lie on an edge.

use crate::DVec3;
use crate::tolerance::WELD;

/// Points, each once, in order of x.
#[derive(Debug, Default)]
pub(crate) struct Welded {
    pub(crate) points: Vec<DVec3>,
}

impl Welded {
    /// The distinct points, and for each given point its index among them.
    pub(crate) fn new(points: &[DVec3]) -> (Self, Vec<u32>) {
        let order =
            |a: &DVec3, b: &DVec3| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)).then(a.z.total_cmp(&b.z));
        let mut sorted: Vec<u32> = (0..points.len() as u32).collect();
        sorted.sort_unstable_by(|&a, &b| order(&points[a as usize], &points[b as usize]).then(a.cmp(&b)));
        let mut welded = Welded { points: Vec::with_capacity(points.len() / 3 + 1) };
        let mut place = vec![0; points.len()];
        let mut last: Option<u32> = None;
        for index in sorted {
            let point = points[index as usize];
            place[index as usize] = match last {
                Some(before) if points[before as usize] == point => place[before as usize],
                _ => welded.find_or_add(point),
            };
            last = Some(index);
        }
        (welded, place)
    }

    /// Points come in order of x, so only the last ones can be near.
    fn find_or_add(&mut self, point: DVec3) -> u32 {
        let near = |have: &DVec3| (*have - point).length_squared() < WELD * WELD;
        let window = self.points.iter().enumerate().rev().take_while(|(_, have)| have.x > point.x - WELD);
        if let Some((index, _)) = window.into_iter().find(|(_, have)| near(have)) {
            return index as u32;
        }
        self.points.push(point);
        self.points.len() as u32 - 1
    }

    /// The points strictly inside the edge from `a` to `b`, in order from `a`; appended to `found`.
    pub(crate) fn on_edge(&self, a: u32, b: u32, found: &mut Vec<(f64, u32)>) {
        let (from, to) = (self.points[a as usize], self.points[b as usize]);
        let (low, high) = (from.min(to) - DVec3::splat(WELD), from.max(to) + DVec3::splat(WELD));
        let span = to - from;
        let length = span.length();
        let along = span / length;
        let first = self.points.partition_point(|point| point.x < low.x);
        for (index, point) in
            self.points.iter().enumerate().skip(first).take_while(|(_, point)| point.x <= high.x)
        {
            if point.y < low.y || point.y > high.y || point.z < low.z || point.z > high.z {
                continue;
            }
            let arm = *point - from;
            let run = arm.dot(along);
            let off = arm - along * run;
            if run > WELD && run < length - WELD && off.length_squared() < WELD * WELD {
                found.push((run, index as u32));
            }
        }
        found.sort_by(|x, y| x.0.total_cmp(&y.0));
    }
}
