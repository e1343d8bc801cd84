//! Loose borders chained to rings.

use crate::flat::{contains, signed_area};
use crate::piece::turn;
use crate::{DVec2, Tag};

/// A ring larger than another by less than this factor has the same outline.
const SAME_AREA: f64 = 1.0 + 1e-9;

/// A directed edge with a face on its left.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Border {
    pub(crate) from: u32,
    pub(crate) to: u32,
    pub(crate) tag: Option<Tag>,
}

/// The rings that borders make, each with the first tag known along it. Where rings touch they stay apart: the way goes
/// on as far left as it can. `None` when a border leads nowhere.
pub(crate) fn trace(borders: &[Border], flat: &dyn Fn(u32) -> DVec2) -> Option<Vec<(Option<Tag>, Vec<u32>)>> {
    let mut order: Vec<(u32, u32)> =
        borders.iter().enumerate().map(|(index, border)| (border.from, index as u32)).collect();
    order.sort_unstable();
    let mut used = vec![false; borders.len()];
    let mut rings = Vec::new();
    for start in 0..borders.len() {
        if used[start] {
            continue;
        }
        let (mut at, mut tag, mut ring) = (start, None, Vec::new());
        loop {
            used[at] = true;
            ring.push(borders[at].from);
            tag = tag.or(borders[at].tag);
            if borders[at].to == borders[start].from && closes(borders, &order, &used, at, start, flat) {
                break;
            }
            at = onward(borders, &order, &used, at, flat)?;
        }
        rings.push((tag, ring));
    }
    Some(rings)
}

fn leaving<'a>(order: &'a [(u32, u32)], corner: u32) -> impl Iterator<Item = usize> + 'a {
    let first = order.partition_point(|entry| entry.0 < corner);
    order[first..].iter().take_while(move |entry| entry.0 == corner).map(|entry| entry.1 as usize)
}

/// How far left a border turns off another: straight back is least.
fn leftness(into: &Border, out: &Border, flat: &dyn Fn(u32) -> DVec2) -> f64 {
    if out.to == into.from {
        return -2.0;
    }
    let corner = flat(into.to);
    let (coming, going) = (corner - flat(into.from), flat(out.to) - corner);
    let angle = turn(coming.dot(going), coming.perp_dot(going));
    if angle > 2.0 { angle - 4.0 } else { angle }
}

fn onward(
    borders: &[Border],
    order: &[(u32, u32)],
    used: &[bool],
    at: usize,
    flat: &dyn Fn(u32) -> DVec2,
) -> Option<usize> {
    let mut free = leaving(order, borders[at].to).filter(|&index| !used[index]);
    let first = free.next()?;
    let score = |index: usize| leftness(&borders[at], &borders[index], flat);
    Some(free.fold(first, |best, index| if score(index) > score(best) { index } else { best }))
}

/// Whether the ring ends here rather than passing through its first corner on another way.
fn closes(
    borders: &[Border],
    order: &[(u32, u32)],
    used: &[bool],
    at: usize,
    start: usize,
    flat: &dyn Fn(u32) -> DVec2,
) -> bool {
    match onward(borders, order, used, at, flat) {
        None => true,
        Some(other) => {
            leftness(&borders[at], &borders[start], flat) >= leftness(&borders[at], &borders[other], flat)
        }
    }
}

/// An outer ring and the rings left out of it, as corners, with the outer ring's points and tag.
pub(crate) struct Nest {
    pub(crate) tag: Option<Tag>,
    pub(crate) points: Vec<DVec2>,
    pub(crate) rings: Vec<Vec<u32>>,
    area: f64,
}

/// Puts clockwise rings into the smallest counter-clockwise ring around them.
pub(crate) fn nest(rings: Vec<(Option<Tag>, Vec<u32>)>, flat: &dyn Fn(u32) -> DVec2) -> Vec<Nest> {
    let mut nests: Vec<Nest> = Vec::new();
    let mut inner: Vec<(f64, Vec<DVec2>, Vec<u32>)> = Vec::new();
    for (tag, ring) in rings {
        let points: Vec<DVec2> = ring.iter().map(|&corner| flat(corner)).collect();
        let area = signed_area(&points);
        if area >= 0.0 {
            nests.push(Nest { tag, points, rings: vec![ring], area });
        } else {
            inner.push((-area, points, ring));
        }
    }
    for (area, points, ring) in inner {
        let probe = points[0].lerp(points[1], 0.5);
        // The ring round an island of another feature has the island's own outline: it belongs to what lies outside.
        let holds = |nest: &&mut Nest| nest.area > area * SAME_AREA && contains(&nest.points, probe);
        let holding = nests.iter_mut().filter(holds);
        if let Some(found) = holding.min_by(|a, b| a.area.total_cmp(&b.area)) {
            found.rings.push(ring);
        }
    }
    nests
}
