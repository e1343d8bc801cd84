//! [`Piece`]: a convex polyhedron, and cutting it by planes.

use crate::tolerance::{CLIP_SNAP, WELD};
use crate::{Bounds, DVec3, HalfSpace, Tag};

/// The tag of planes that only divide the wood into pieces.
pub(crate) const INNER: Tag = Tag(u32::MAX);
/// No facet: the side does not stand for a part of an arc.
pub(crate) const NO_FACET: u32 = u32::MAX;

/// Where a side of a piece comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Origin {
    /// Index in the board's table of planes.
    pub(crate) plane: u32,
    /// Whether the side looks against the plane's normal.
    pub(crate) flipped: bool,
    /// Index of the facet of an arc that the side is, or [`NO_FACET`].
    pub(crate) facet: u32,
}

/// A convex polyhedron: a part of a board. All pieces of a board together are its wood, without the holes.
#[derive(Clone, Debug, PartialEq)]
pub struct Piece {
    planes: Vec<HalfSpace>,
    origins: Vec<Origin>,
    vertices: Vec<DVec3>,
    starts: Vec<u32>,
    corners: Vec<u32>,
    curved: Vec<bool>,
    bounds: Bounds,
}

/// What a plane leaves of a piece.
pub(crate) enum Cut {
    Whole,
    Nothing,
    Part(Piece),
}

impl Piece {
    /// The planes of the sides, in the order of [`Piece::faces`]; their tag is `u32::MAX` where the side only divides the
    /// board into pieces.
    pub fn planes(&self) -> &[HalfSpace] {
        &self.planes
    }

    /// The corners, mm.
    pub fn vertices(&self) -> &[DVec3] {
        &self.vertices
    }

    /// The sides: each with its plane and the indices of its corners, counter-clockwise from outside.
    pub fn faces(&self) -> impl Iterator<Item = (&HalfSpace, &[u32])> {
        self.planes.iter().enumerate().map(|(index, plane)| (plane, self.side(index)))
    }

    /// The box around the piece.
    pub fn bounds(&self) -> Bounds {
        self.bounds
    }

    /// Volume, mm^3.
    pub fn volume(&self) -> f64 {
        volume_of(&self.vertices, &self.starts, &self.corners)
    }

    /// Corners of the side with this index.
    pub(crate) fn side(&self, index: usize) -> &[u32] {
        &self.corners[self.starts[index] as usize..self.starts[index + 1] as usize]
    }

    /// Where each side comes from.
    pub(crate) fn origins(&self) -> &[Origin] {
        &self.origins
    }

    /// Per corner, whether it lies on a facet of an arc.
    pub(crate) fn curved(&self) -> &[bool] {
        &self.curved
    }

    /// A piece from its sides.
    pub(crate) fn from_sides(vertices: Vec<DVec3>, sides: &[(HalfSpace, Origin, Vec<u32>)]) -> Self {
        let mut parts = Parts::with_room(sides.len(), vertices.len());
        for (plane, origin, corners) in sides {
            parts.corners.extend_from_slice(corners);
            parts.end_side(*plane, *origin);
        }
        parts.vertices = vertices;
        parts.finish()
    }

    /// What lies on the kept side of `half`. Pieces thinner than the snap vanish, so nothing is ever cut off or left that
    /// is no more than rounding noise.
    pub(crate) fn clip(&self, half: &HalfSpace, origin: Origin) -> Cut {
        let heights: Vec<f64> = self.vertices.iter().map(|&point| snapped_height(half, point)).collect();
        if heights.iter().all(|&height| height <= 0.0) {
            return Cut::Whole;
        }
        if heights.iter().all(|&height| height >= 0.0) {
            return Cut::Nothing;
        }
        self.cut_through(&heights, half, origin).map_or(Cut::Nothing, Cut::Part)
    }

    fn cut_through(&self, heights: &[f64], half: &HalfSpace, origin: Origin) -> Option<Piece> {
        let mut cutter = Cutter::new(self, heights);
        for index in 0..self.planes.len() {
            cutter.side(index);
        }
        let cap = cutter.cap(half.normal);
        let mut parts = cutter.parts;
        if cap.len() >= 3 {
            parts.corners.extend_from_slice(&cap);
            parts.end_side(*half, origin);
        }
        (parts.planes.len() >= 4).then(|| parts.finish())
    }

    /// Whether the piece has wood on both sides of none of these: true when a region bounded by `planes` may reach it.
    pub(crate) fn may_meet(&self, planes: &[HalfSpace]) -> bool {
        planes.iter().all(|plane| self.vertices.iter().any(|&point| snapped_height(plane, point) < 0.0))
    }
}

/// Signed volume of a closed polyhedron in the flat layout of [`Piece`].
fn volume_of(vertices: &[DVec3], starts: &[u32], corners: &[u32]) -> f64 {
    let Some(&base) = vertices.first() else { return 0.0 };
    let at = |index: u32| vertices[index as usize] - base;
    let mut six = 0.0;
    for window in starts.windows(2) {
        let side = &corners[window[0] as usize..window[1] as usize];
        let first = at(side[0]);
        six += side[1..].windows(2).map(|pair| first.dot(at(pair[0]).cross(at(pair[1])))).sum::<f64>();
    }
    six / 6.0
}

fn snapped_height(half: &HalfSpace, point: DVec3) -> f64 {
    let height = half.normal.dot(point) - half.offset;
    if height.abs() < CLIP_SNAP { 0.0 } else { height }
}

/// A piece while it is put together.
struct Parts {
    planes: Vec<HalfSpace>,
    origins: Vec<Origin>,
    vertices: Vec<DVec3>,
    starts: Vec<u32>,
    corners: Vec<u32>,
}

impl Parts {
    fn with_room(sides: usize, vertices: usize) -> Self {
        let mut starts = Vec::with_capacity(sides + 2);
        starts.push(0);
        Parts {
            planes: Vec::with_capacity(sides + 1),
            origins: Vec::with_capacity(sides + 1),
            vertices: Vec::with_capacity(vertices + 4),
            starts,
            corners: Vec::with_capacity(vertices * 3 + 8),
        }
    }

    fn end_side(&mut self, plane: HalfSpace, origin: Origin) {
        self.planes.push(plane);
        self.origins.push(origin);
        self.starts.push(self.corners.len() as u32);
    }

    fn finish(self) -> Piece {
        let Parts { planes, origins, vertices, starts, corners } = self;
        let mut curved = vec![false; vertices.len()];
        for (index, _) in origins.iter().enumerate().filter(|(_, origin)| origin.facet != NO_FACET) {
            for &corner in &corners[starts[index] as usize..starts[index + 1] as usize] {
                curved[corner as usize] = true;
            }
        }
        let bounds = Bounds::around(vertices.iter().copied());
        Piece { planes, origins, vertices, starts, corners, curved, bounds }
    }
}

const DROPPED: u32 = u32::MAX;

/// One pass of a plane through a piece.
struct Cutter<'a> {
    piece: &'a Piece,
    heights: &'a [f64],
    /// New index of each kept old corner.
    kept: Vec<u32>,
    /// Cut edges (lower index, higher index) and their new corner.
    crossings: Vec<(u32, u32, u32)>,
    /// Edges of the new side, from and to.
    rim: Vec<(u32, u32)>,
    on_plane: Vec<bool>,
    parts: Parts,
}

impl<'a> Cutter<'a> {
    fn new(piece: &'a Piece, heights: &'a [f64]) -> Self {
        Cutter {
            piece,
            heights,
            kept: vec![DROPPED; heights.len()],
            crossings: Vec::with_capacity(8),
            rim: Vec::with_capacity(8),
            on_plane: Vec::with_capacity(heights.len() + 4),
            parts: Parts::with_room(piece.planes.len() + 1, heights.len() + 4),
        }
    }

    fn keep(&mut self, corner: u32) -> u32 {
        let slot = corner as usize;
        if self.kept[slot] == DROPPED {
            self.kept[slot] = self.add(self.piece.vertices[slot], self.heights[slot] == 0.0);
        }
        self.kept[slot]
    }

    fn add(&mut self, point: DVec3, on_plane: bool) -> u32 {
        self.parts.vertices.push(point);
        self.on_plane.push(on_plane);
        self.parts.vertices.len() as u32 - 1
    }

    fn cross(&mut self, from: u32, to: u32) -> u32 {
        let key = (from.min(to), from.max(to));
        if let Some(found) = self.crossings.iter().find(|crossing| (crossing.0, crossing.1) == key) {
            return found.2;
        }
        let end = |corner: u32| (self.piece.vertices[corner as usize], self.heights[corner as usize]);
        let point = cut_point(end(from), end(to));
        let added = self.add(point, true);
        self.crossings.push((key.0, key.1, added));
        added
    }

    /// Carries over what is kept of one side, and notes where it meets the plane.
    fn side(&mut self, index: usize) {
        let corners = self.piece.side(index);
        if corners.iter().all(|&corner| self.heights[corner as usize] >= 0.0) {
            return;
        }
        let first = self.parts.corners.len();
        for (place, &corner) in corners.iter().enumerate() {
            let next = corners[(place + 1) % corners.len()];
            let (here, there) = (self.heights[corner as usize], self.heights[next as usize]);
            if here <= 0.0 {
                let kept = self.keep(corner);
                self.parts.corners.push(kept);
            }
            if (here < 0.0 && there > 0.0) || (here > 0.0 && there < 0.0) {
                let crossing = self.cross(corner, next);
                self.parts.corners.push(crossing);
            }
        }
        if self.parts.corners.len() < first + 3 {
            self.parts.corners.truncate(first);
            return;
        }
        self.parts.end_side(self.piece.planes[index], self.piece.origins[index]);
        self.note_rim(first);
    }

    fn note_rim(&mut self, first: usize) {
        let side = &self.parts.corners[first..];
        for (place, &from) in side.iter().enumerate() {
            let to = side[(place + 1) % side.len()];
            if self.on_plane[from as usize] && self.on_plane[to as usize] {
                self.rim.push((to, from));
            }
        }
    }

    /// Corners of the side that the plane makes.
    fn cap(&self, normal: DVec3) -> Vec<u32> {
        let Some(&(start, mut at)) = self.rim.first() else { return Vec::new() };
        let mut chain = vec![start];
        while at != start && chain.len() <= self.rim.len() {
            chain.push(at);
            match self.rim.iter().find(|edge| edge.0 == at) {
                Some(edge) => at = edge.1,
                None => return self.cap_by_angle(normal),
            }
        }
        if chain.len() == self.rim.len() { chain } else { self.cap_by_angle(normal) }
    }

    /// The same when snapping tore the chain: a convex polygon is its corners in order round the middle.
    fn cap_by_angle(&self, normal: DVec3) -> Vec<u32> {
        let corners: Vec<u32> =
            (0..self.on_plane.len() as u32).filter(|&at| self.on_plane[at as usize]).collect();
        let at = |corner: u32| self.parts.vertices[corner as usize];
        let middle = corners.iter().map(|&corner| at(corner)).sum::<DVec3>() / corners.len().max(1) as f64;
        let across = normal.any_orthonormal_vector();
        let along = normal.cross(across);
        let mut keyed: Vec<(f64, u32)> = corners
            .iter()
            .map(|&corner| {
                let arm = at(corner) - middle;
                (turn(arm.dot(across), arm.dot(along)), corner)
            })
            .collect();
        keyed.sort_by(|a, b| a.0.total_cmp(&b.0));
        keyed.into_iter().map(|(_, corner)| corner).collect()
    }
}

/// Grows with the direction of (x, y), from 0 to 4 over the full turn.
pub(crate) fn turn(x: f64, y: f64) -> f64 {
    let sum = x.abs() + y.abs();
    if sum == 0.0 {
        return 0.0;
    }
    let slope = x / sum;
    if y >= 0.0 { 1.0 - slope } else { 3.0 + slope }
}

/// Where an edge meets the plane. The ends are taken in a fixed order, so that every piece that has the edge gets the
/// same bits.
fn cut_point(from: (DVec3, f64), to: (DVec3, f64)) -> DVec3 {
    let order = |a: DVec3, b: DVec3| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)).then(a.z.total_cmp(&b.z));
    let ((a, high), (b, low)) = if order(from.0, to.0).is_le() { (from, to) } else { (to, from) };
    a + (b - a) * (high / (high - low))
}

/// A box as a piece, with the tag on every side: raw material for regions.
pub(crate) fn block(bounds: &Bounds, tag: Tag) -> Piece {
    const SIDES: [(DVec3, [u32; 4]); 6] = [
        (DVec3::NEG_X, [0, 4, 6, 2]),
        (DVec3::X, [1, 3, 7, 5]),
        (DVec3::NEG_Y, [0, 1, 5, 4]),
        (DVec3::Y, [2, 6, 7, 3]),
        (DVec3::NEG_Z, [0, 2, 3, 1]),
        (DVec3::Z, [4, 5, 7, 6]),
    ];
    let vertices = bounds.corners();
    let sides: Vec<_> = SIDES
        .iter()
        .map(|(normal, corners)| {
            let offset = normal.dot(vertices[corners[0] as usize]);
            let origin = Origin { plane: 0, flipped: false, facet: NO_FACET };
            (HalfSpace { normal: *normal, offset, tag }, origin, corners.to_vec())
        })
        .collect();
    Piece::from_sides(vertices.to_vec(), &sides)
}

/// Whether a piece is too thin to be wood: rounding noise between two planes that nearly coincide.
pub(crate) fn is_sliver(piece: &Piece) -> bool {
    piece
        .planes
        .iter()
        .any(|plane| piece.vertices.iter().all(|&point| plane.normal.dot(point) - plane.offset > -WELD))
}
