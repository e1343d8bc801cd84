//! Triangles of a polygon with inner loops: every corner used, none added.

use spade::{ConstrainedDelaunayTriangulation, HasPosition, Point2, Triangulation};

use crate::DVec2;

/// Triangles, counter-clockwise, as indices into `points`, of the region to the left of the loops (outer loop first).
/// `None` when the loops cross.
pub(crate) fn triangulate(points: &[DVec2], loops: &[Vec<u32>]) -> Option<Vec<[u32; 3]>> {
    match loops {
        [only] if only.len() == 3 => Some(vec![[only[0], only[1], only[2]]]),
        [only] if only.len() == 4 => quad(points, only).or_else(|| any(points, loops)),
        _ => any(points, loops),
    }
}

fn any(points: &[DVec2], loops: &[Vec<u32>]) -> Option<Vec<[u32; 3]>> {
    by_ears(points, loops).or_else(|| by_delaunay(points, loops))
}

/// A strictly convex quadrilateral, split along its shorter diagonal.
fn quad(points: &[DVec2], ring: &[u32]) -> Option<Vec<[u32; 3]>> {
    let at = |place: usize| points[ring[place % 4] as usize];
    let convex = (0..4).all(|place| stout(at(place), at(place + 1), at(place + 2)));
    let first = usize::from((at(2) - at(0)).length_squared() > (at(3) - at(1)).length_squared());
    let pick = |place: usize| ring[(first + place) % 4];
    convex.then(|| vec![[pick(0), pick(1), pick(2)], [pick(0), pick(2), pick(3)]])
}

fn doubled_area(a: DVec2, b: DVec2, c: DVec2) -> f64 {
    (b - a).perp_dot(c - a)
}

/// A triangle lower than this is a needle, mm: single precision, in which meshes are written, moves a corner two metres away
/// by a ten-thousandth, which may turn a needle over.
const NEEDLE: f64 = 1e-3;

/// Whether a triangle is counter-clockwise, and no needle.
fn stout(a: DVec2, b: DVec2, c: DVec2) -> bool {
    let longest = (b - a).length().max((c - b).length()).max((a - c).length());
    doubled_area(a, b, c) > NEEDLE * longest
}

/// Ear clipping. It leaves out corners on straight edges, which would open the mesh: then the count is short.
fn by_ears(points: &[DVec2], loops: &[Vec<u32>]) -> Option<Vec<[u32; 3]>> {
    let corners: Vec<u32> = loops.iter().flatten().copied().collect();
    let mut starts: Vec<u32> = Vec::with_capacity(loops.len());
    let mut total = 0;
    for ring in &loops[..loops.len() - 1] {
        total += ring.len() as u32;
        starts.push(total);
    }
    let mut local: Vec<u32> = Vec::with_capacity(corners.len() * 3);
    let flat = corners.iter().map(|&corner| points[corner as usize].to_array());
    earcut::Earcut::new().earcut(flat, &starts, &mut local);
    let wanted = corners.len() + 2 * (loops.len() - 1) - 2;
    if local.len() != wanted * 3 {
        return None;
    }
    let triangles: Vec<[u32; 3]> = local
        .as_chunks::<3>()
        .0
        .iter()
        .map(|triangle| triangle.map(|index| corners[index as usize]))
        .collect();
    let at = |corner: u32| points[corner as usize];
    // Ears of no height lie on straight edges or across folds; the careful way handles those.
    triangles.iter().all(|&[a, b, c]| stout(at(a), at(b), at(c))).then_some(triangles)
}

#[derive(Clone, Copy)]
struct Corner {
    at: Point2<f64>,
    index: u32,
}

impl HasPosition for Corner {
    type Scalar = f64;
    fn position(&self) -> Point2<f64> {
        self.at
    }
}

type Net = ConstrainedDelaunayTriangulation<Corner>;

/// Constrained Delaunay triangulation; the inside is found by flooding from the left of the loops, since the middles of
/// slivers tell nothing.
fn by_delaunay(points: &[DVec2], loops: &[Vec<u32>]) -> Option<Vec<[u32; 3]>> {
    let (corners, edges) = network(points, loops);
    let mut crossed = false;
    let net = Net::try_bulk_load_cdt(corners, edges.clone(), |_| crossed = true).ok()?;
    if crossed || net.num_constraints() == 0 {
        return None;
    }
    flood(&net, &edges)
}

fn network(points: &[DVec2], loops: &[Vec<u32>]) -> (Vec<Corner>, Vec<[usize; 2]>) {
    let mut used: Vec<u32> = loops.iter().flatten().copied().collect();
    used.sort_unstable();
    used.dedup();
    // The triangulation refuses numbers too small to multiply; at this scale they are nothing.
    let plain = |value: f64| if value.abs() < 1e-60 { 0.0 } else { value };
    let corner = |&index: &u32| {
        let point = points[index as usize];
        Corner { at: Point2::new(plain(point.x), plain(point.y)), index }
    };
    let place = |index: u32| used.binary_search(&index).unwrap_or(0);
    let mut edges = Vec::with_capacity(used.len());
    for ring in loops {
        for (from, to) in ring.iter().zip(ring.iter().cycle().skip(1)) {
            edges.push([place(*from), place(*to)]);
        }
    }
    (used.iter().map(corner).collect(), edges)
}

fn flood(net: &Net, edges: &[[usize; 2]]) -> Option<Vec<[u32; 3]>> {
    let handles: Vec<_> = net.vertices().map(|vertex| vertex.fix()).collect();
    let mut inside = vec![false; net.num_all_faces()];
    let mut waiting = Vec::new();
    for &[from, to] in edges {
        let edge = net.get_edge_from_neighbors(*handles.get(from)?, *handles.get(to)?)?;
        waiting.push(edge.face().fix());
    }
    while let Some(face) = waiting.pop() {
        if std::mem::replace(&mut inside[face.index()], true) {
            continue;
        }
        let inner = net.face(face).as_inner()?;
        for edge in inner.adjacent_edges() {
            if !edge.is_constraint_edge() {
                waiting.push(edge.rev().face().fix());
            }
        }
    }
    let kept = net.inner_faces().filter(|face| inside[face.fix().index()]);
    Some(kept.map(|face| face.vertices().map(|vertex| vertex.data().index)).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_corner_that_noise_lifts_off_a_straight_edge_makes_no_needle() {
        // The top of an arm: a cope's wall crosses its edge at the fourth corner, a hundred-millionth of a millimetre outside.
        for (lift, turn) in
            [-1e-8, 0.0, 1e-8].into_iter().flat_map(|lift| (0..6).map(move |turn| (lift, turn)))
        {
            let points =
                [(0.0, 0.0), (500.0, 0.0), (502.6, 8.0), (501.3 + lift, 4.0), (498.0, 30.0), (0.0, 30.0)]
                    .map(|(x, y)| DVec2::new(x, y));
            let mut ring = vec![0, 1, 3, 2, 4, 5];
            ring.rotate_left(turn);
            let triangles = triangulate(&points, &[ring]).expect("a plain polygon");
            assert_eq!(triangles.len(), 4);
            for [a, b, c] in triangles {
                let [a, b, c] = [a, b, c].map(|corner| points[corner as usize]);
                let area = (b - a).perp_dot(c - a) / 2.0;
                assert!(area > 1.0, "lifted {lift}: {area} mm2 of {a}, {b}, {c}");
            }
        }
    }
}
