//! What hides what: edges split exactly where triangles cover them.
//!
//! Each edge is compared with the triangles that lie near it on the view. A triangle covers the part of an edge that
//! lies inside its outline and behind its plane: four linear conditions, so one interval. Nothing is sampled, so
//! nothing leaks at any scale.

use crate::drawing::taken::Area;
use crate::drawing::view::Camera;
use crate::drawing::wire::{EDGE_ON, Wire};
use core::ops::ControlFlow;
use slatwork_solid::{DVec2, DVec3};
use std::sync::Arc;

/// How far behind a face something must lie to be hidden by it, mm: parts that touch show their common line.
pub(crate) const BEHIND: f64 = 0.05;
/// Triangles reach this far past their sides, mm, so that an edge behind the seam of two of them does not shine
/// through it.
const SEAM: f64 = 1e-3;
/// Pieces of an edge shorter than this are not drawn, and gaps shorter are closed, mm.
pub(crate) const LEAST_PIECE: f64 = 0.05;
/// Cells of the grid along each side of the view, at least and at most; about one for each triangle between.
const CELLS: (usize, usize) = (8, 64);

/// A triangle that faces the viewer, in view coordinates (x, y on paper, z to the viewer).
struct Cover {
    corners: [DVec3; 3],
    normal: DVec3,
    /// For each side: the inward unit normal on paper and a corner on it.
    sides: [(DVec2, DVec2); 3],
    body: usize,
}

impl Cover {
    fn new(corners: [DVec3; 3], body: usize) -> Option<Cover> {
        let normal = (corners[1] - corners[0]).cross(corners[2] - corners[0]).try_normalize()?;
        let side = |i: usize| {
            let (a, b) = (corners[i].truncate(), corners[(i + 1) % 3].truncate());
            ((b - a).perp().normalize_or_zero(), a)
        };
        (normal.z > EDGE_ON).then(|| Cover { corners, normal, sides: core::array::from_fn(side), body })
    }

    /// The shares of the way from `a` to `b` between which the edge lies behind this triangle.
    fn covers(&self, a: DVec3, b: DVec3) -> Option<(f64, f64)> {
        let mut span = (0.0, 1.0);
        let depth = |p: DVec3| -(p - self.corners[0]).dot(self.normal) - BEHIND;
        narrow(&mut span, depth(a), depth(b))?;
        for (inward, corner) in self.sides {
            let height = |p: DVec3| (p.truncate() - corner).dot(inward) + SEAM;
            narrow(&mut span, height(a), height(b))?;
        }
        Some(span)
    }

    /// The box on the view that it hides nothing outside of.
    fn area(&self) -> Area {
        let [a, b, c] = self.corners.map(DVec3::truncate);
        Area { low: a.min(b).min(c), high: a.max(b).max(c) }.grown(SEAM)
    }

    fn holds(&self, point: DVec2) -> bool {
        self.sides.iter().all(|(inward, corner)| (point - *corner).dot(*inward) >= -SEAM)
    }
}

/// Keeps of a span the part in which a linear function, of which both end values are given, is not negative.
fn narrow(span: &mut (f64, f64), at_start: f64, at_end: f64) -> Option<()> {
    if at_start < 0.0 && at_end < 0.0 {
        return None;
    }
    if at_start < 0.0 {
        span.0 = span.0.max(at_start / (at_start - at_end));
    } else if at_end < 0.0 {
        span.1 = span.1.min(at_start / (at_start - at_end));
    }
    (span.0 < span.1).then_some(())
}

/// A stretch of an edge that a body hides: the shares of the way from its start, and the number of the body.
pub(crate) type HiddenBy = (f64, f64, usize);

/// All triangles of a wire that can hide something in one view, sorted into a grid.
pub(crate) struct Grid {
    camera: Camera,
    covers: Vec<Cover>,
    /// The box on the view that each triangle hides nothing outside of.
    boxes: Vec<Area>,
    /// The box round all of them; none where there are none.
    whole: Option<Area>,
    /// How near to the viewer each triangle comes, mm.
    fronts: Vec<f64>,
    low: DVec2,
    /// Cells along each side.
    cells: usize,
    /// Cells per mm.
    density: DVec2,
    /// Triangles of one cell after another, in each the foremost first, and where each cell begins.
    near: Vec<u32>,
    begins: Vec<u32>,
}

impl Grid {
    pub(crate) fn of(wire: &Wire, camera: Camera) -> Self {
        let covers: Vec<Cover> = wire
            .triangles
            .iter()
            .filter_map(|(corners, body)| Cover::new(corners.map(|c| camera.see(c)), *body))
            .collect();
        let boxes: Vec<Area> = covers.iter().map(Cover::area).collect();
        let whole = boxes.iter().copied().reduce(|own, other| own.with(&other));
        let front = |own: &Cover| own.corners.iter().fold(f64::NEG_INFINITY, |front, own| front.max(own.z));
        let fronts: Vec<f64> = covers.iter().map(front).collect();
        let Area { low, high } =
            whole.map_or(Area { low: DVec2::ZERO, high: DVec2::ONE }, |own| own.grown(-SEAM));
        let size = (high - low).max(DVec2::splat(1e-6));
        let cells = (covers.len() as f64).sqrt().clamp(CELLS.0 as f64, CELLS.1 as f64) as usize;
        let density = DVec2::splat(cells as f64) / size;
        let mut grid = Grid {
            camera,
            covers,
            boxes,
            whole,
            fronts,
            low,
            cells,
            density,
            near: Vec::new(),
            begins: Vec::new(),
        };
        let touched = grid.touched();
        grid.fill(&touched);
        grid
    }

    /// Sorts triangles by the cells that they touch; in a cell they keep the order in which they are given.
    fn fill(&mut self, touched: &[(u32, u32)]) {
        self.begins = vec![0; self.cells * self.cells + 1];
        touched.iter().for_each(|own| self.begins[own.0 as usize + 1] += 1);
        for cell in 0..self.cells * self.cells {
            self.begins[cell + 1] += self.begins[cell];
        }
        let mut next = self.begins.clone();
        self.near = vec![0; touched.len()];
        for &(cell, index) in touched {
            let place = &mut next[cell as usize];
            self.near[*place as usize] = index;
            *place += 1;
        }
    }

    /// What lies in a cell.
    fn in_cell(&self, cell: usize) -> &[u32] {
        &self.near[self.begins[cell] as usize..self.begins[cell + 1] as usize]
    }

    /// The cells that each triangle touches, the foremost triangles first, column by column: a long slanting one touches few of
    /// those in its box.
    fn touched(&self) -> Vec<(u32, u32)> {
        let mut touched = Vec::with_capacity(12 * self.covers.len());
        let mut order: Vec<usize> = (0..self.covers.len()).collect();
        order.sort_by(|a, b| self.fronts[*b].total_cmp(&self.fronts[*a]));
        for index in order {
            let corners = self.covers[index].corners.map(DVec3::truncate);
            let Area { low, high } = self.boxes[index];
            let ((first, _), (last, _)) = (self.cell(low), self.cell(high));
            for column in first..=last {
                let (left, right) = (self.border(column) - 2.0 * SEAM, self.border(column + 1) + 2.0 * SEAM);
                // The grid's border columns also hold what lies beyond them by a seam.
                let (left, right) = (left.min(high.x), right.max(low.x));
                let Some((foot, head)) = height_between(corners, left, right) else { continue };
                let rows = [foot - SEAM, head + SEAM].map(|y| self.cell(DVec2::new(low.x, y)).1);
                touched.extend(
                    (rows[0]..=rows[1]).map(|row| ((row * self.cells + column) as u32, index as u32)),
                );
            }
        }
        touched
    }

    /// Where a column of cells starts.
    fn border(&self, column: usize) -> f64 {
        self.low.x + column as f64 / self.density.x
    }

    /// Column and row of a point, those outside the grid moved to its border.
    fn cell(&self, point: DVec2) -> (usize, usize) {
        let place =
            ((point - self.low) * self.density).clamp(DVec2::ZERO, DVec2::splat((self.cells - 1) as f64));
        (place.x as usize, place.y as usize)
    }

    /// Cells that a line passes, column by column.
    fn cells_along(&self, a: DVec2, b: DVec2) -> Vec<usize> {
        let (left, right) = if a.x <= b.x { (a, b) } else { (b, a) };
        let ((first, _), (last, _)) = (self.cell(left), self.cell(right));
        let mut cells = Vec::new();
        for column in first..=last {
            let border = |c: usize| self.border(c).clamp(left.x, right.x);
            let height = |x: f64| {
                let run = right.x - left.x;
                if run > 0.0 { left.y + (right.y - left.y) * (x - left.x) / run } else { left.y }
            };
            let (mut low, mut high) = (height(border(column)), height(border(column + 1)));
            if first == last {
                (low, high) = (left.y, right.y);
            }
            let rows =
                [low.min(high) - SEAM, low.max(high) + SEAM].map(|y| self.cell(DVec2::new(left.x, y)).1);
            cells.extend((rows[0]..=rows[1]).map(|row| row * self.cells + column));
        }
        cells
    }

    /// What of the way from `a` to `b` each triangle hides.
    pub(crate) fn hides(&self, a: DVec3, b: DVec3) -> Vec<HiddenBy> {
        let mut hidden = Vec::new();
        // It never breaks off.
        _ = self.each_that_hides(a, b, |own| {
            hidden.push(own);
            ControlFlow::Continue(())
        });
        hidden
    }

    /// Goes to what each triangle hides of the way from `a` to `b`, as long as it is told to.
    fn each_that_hides(
        &self,
        a: DVec3,
        b: DVec3,
        mut go: impl FnMut(HiddenBy) -> ControlFlow<()>,
    ) -> ControlFlow<()> {
        let (a, b) = (self.camera.see(a), self.camera.see(b));
        let (from, to) = (a.truncate(), b.truncate());
        let way = Area { low: from.min(to), high: from.max(to) };
        if !self.whole.is_some_and(|whole| way.meets(&whole)) {
            return ControlFlow::Continue(());
        }
        let back = a.z.min(b.z);
        let cells = self.cells_along(from, to);
        self.each_near(&cells, back, |index| {
            let cover = &self.covers[index];
            match way.meets(&self.boxes[index]).then(|| cover.covers(a, b)).flatten() {
                Some((start, end)) => go((start, end, cover.body)),
                None => ControlFlow::Continue(()),
            }
        })
    }

    /// Goes once to each triangle in some cells that comes before `back`, as long as it is told to.
    fn each_near(
        &self,
        cells: &[usize],
        back: f64,
        mut go: impl FnMut(usize) -> ControlFlow<()>,
    ) -> ControlFlow<()> {
        let before = |cell: &usize| {
            let all = self.in_cell(*cell).iter().map(|index| *index as usize);
            all.take_while(|index| self.fronts[*index] > back)
        };
        if let [only] = cells {
            return before(only).try_for_each(go);
        }
        // A bit for each triangle: most lie in many cells, and sorting them would take longer.
        let mut met = vec![0u64; self.covers.len().div_ceil(64)];
        for index in cells.iter().flat_map(before) {
            let (word, bit) = (index / 64, 1 << (index % 64));
            if met[word] & bit == 0 {
                met[word] |= bit;
                go(index)?;
            }
        }
        ControlFlow::Continue(())
    }

    fn at(&self, point: DVec2) -> impl Iterator<Item = &Cover> {
        let (column, row) = self.cell(point);
        self.in_cell(row * self.cells + column).iter().map(|index| &self.covers[*index as usize])
    }

    /// The triangles that may lie over a box on the view, in order.
    fn over(&self, low: DVec2, high: DVec2) -> impl Iterator<Item = &Cover> {
        let ((left, foot), (right, head)) = (self.cell(low), self.cell(high));
        let cells = (foot..=head).flat_map(|row| (left..=right).map(move |column| row * self.cells + column));
        let mut found = Vec::new();
        // It never breaks off.
        _ = self.each_near(&cells.collect::<Vec<_>>(), f64::NEG_INFINITY, |index| {
            found.push(index);
            ControlFlow::Continue(())
        });
        found.sort_unstable();
        found.into_iter().map(|index| &self.covers[index])
    }
}

/// A grid, and which of its bodies are there.
struct Layer {
    grid: Arc<Grid>,
    /// By number of the body; without it all are there.
    shown: Option<Vec<bool>>,
}

impl Layer {
    fn shows(&self, body: usize) -> bool {
        self.shown.as_ref().is_none_or(|shown| shown.get(body).copied().unwrap_or(false))
    }

    fn at(&self, point: DVec2) -> impl Iterator<Item = &Cover> {
        self.grid.at(point).filter(|cover| self.shows(cover.body))
    }

    fn covers(&self) -> impl Iterator<Item = &Cover> {
        self.grid.covers.iter().filter(|cover| self.shows(cover.body))
    }
}

/// All that can hide something in one view.
pub(crate) struct Covers {
    camera: Camera,
    /// Those whose hidden stretches may be known from elsewhere are the first.
    layers: Vec<Layer>,
}

impl Covers {
    pub(crate) fn of(wire: &Wire, camera: Camera) -> Self {
        Covers { camera, layers: vec![Layer { grid: Arc::new(Grid::of(wire, camera)), shown: None }] }
    }

    /// Of all bodies of a grid.
    pub(crate) fn all_of(grid: &Arc<Grid>) -> Self {
        Covers { camera: grid.camera, layers: vec![Layer { grid: Arc::clone(grid), shown: None }] }
    }

    /// Of some bodies of a grid, and of others that stand elsewhere.
    pub(crate) fn among(grid: &Arc<Grid>, shown: Vec<bool>, others: &Wire) -> Self {
        let camera = grid.camera;
        let some = Layer { grid: Arc::clone(grid), shown: Some(shown) };
        let others = Layer { grid: Arc::new(Grid::of(others, camera)), shown: None };
        Covers { camera, layers: vec![some, others] }
    }

    /// The shares of the way from `a` to `b` that are hidden, in order, not overlapping.
    pub(crate) fn hidden(&self, a: DVec3, b: DVec3) -> Vec<(f64, f64)> {
        self.with_layers(Vec::new(), &self.layers, a, b)
    }

    /// The same where it is known what all bodies of the first grid hide of it.
    pub(crate) fn hidden_beside(&self, known: &[HiddenBy], a: DVec3, b: DVec3) -> Vec<(f64, f64)> {
        let Some((first, others)) = self.layers.split_first() else { return Vec::new() };
        let shown = known.iter().filter(|own| first.shows(own.2));
        self.with_layers(shown.map(|own| (own.0, own.1)).collect(), others, a, b)
    }

    /// The same with what some layers hide beside spans that are known.
    fn with_layers(
        &self,
        mut spans: Vec<(f64, f64)>,
        layers: &[Layer],
        a: DVec3,
        b: DVec3,
    ) -> Vec<(f64, f64)> {
        for layer in layers {
            let whole = layer.grid.each_that_hides(a, b, |(start, end, body)| {
                if !layer.shows(body) {
                    return ControlFlow::Continue(());
                }
                spans.push((start, end));
                // Nothing can hide more than all of it.
                if start <= 0.0 && end >= 1.0 { ControlFlow::Break(()) } else { ControlFlow::Continue(()) }
            });
            if whole.is_break() {
                break;
            }
        }
        if spans.is_empty() {
            return spans;
        }
        spans.sort_by(|p, q| p.0.total_cmp(&q.0));
        let length = self.camera.flat(a).distance(self.camera.flat(b)).max(1e-12);
        let mut joined = join(&spans, LEAST_PIECE / length);
        joined.retain(|(start, end)| (end - start) * length > LEAST_PIECE);
        joined
    }

    fn at(&self, point: DVec2) -> impl Iterator<Item = &Cover> {
        self.layers.iter().flat_map(move |layer| layer.at(point))
    }

    /// Whether anything is seen at a point of the view, or the background.
    pub(crate) fn is_covered(&self, point: DVec2) -> bool {
        self.at(point).any(|cover| cover.holds(point))
    }

    /// Whether a point of the world can be seen.
    pub(crate) fn sees(&self, point: DVec3) -> bool {
        self.before(self.camera.see(point)).next().is_none()
    }

    /// What lies before a point in view coordinates.
    fn before(&self, seen: DVec3) -> impl Iterator<Item = &Cover> {
        self.at(seen.truncate()).filter(move |cover| {
            let behind = -(seen - cover.corners[0]).dot(cover.normal) > BEHIND;
            behind && cover.holds(seen.truncate())
        })
    }

    /// The triangles of all bodies that face the viewer and may lie over a box on the view.
    pub(crate) fn over(&self, low: DVec2, high: DVec2) -> impl Iterator<Item = &[DVec3; 3]> {
        self.layers.iter().flat_map(move |layer| {
            let covers = layer.grid.over(low, high).filter(|cover| layer.shows(cover.body));
            covers.map(|cover| &cover.corners)
        })
    }

    /// How much of the sides of some bodies that are turned to the viewer others leave to be seen, from 0 to 1, by some points of
    /// every triangle.
    pub(crate) fn share_seen(&self, bodies: &[usize]) -> f64 {
        let own = || {
            let all = self.layers.iter().flat_map(Layer::covers);
            all.filter(|cover| bodies.contains(&cover.body))
        };
        let area = |cover: &Cover| {
            let [a, b, c] = cover.corners.map(DVec3::truncate);
            (b - a).perp_dot(c - a) / 2.0
        };
        let all: f64 = own().map(area).sum();
        let mut seen = 0.0;
        for cover in own() {
            let rows = (8.0 * (area(cover) / all).sqrt()).ceil().max(1.0);
            let [a, b, c] = cover.corners;
            let points: Vec<DVec3> =
                middles_of(rows as u32).map(|[u, v]| a + (b - a) * u + (c - a) * v).collect();
            let free = points.iter().filter(|point| {
                let mut before = self.before(**point);
                !before.any(|other| !bodies.contains(&other.body))
            });
            seen += area(cover) * free.count() as f64 / points.len() as f64;
        }
        if all > 0.0 { seen / all } else { 1.0 }
    }

    /// The middle of every triangle that faces the viewer, with its body and its area on paper, mm^2.
    pub(crate) fn middles(&self) -> impl Iterator<Item = (DVec3, usize, f64)> + '_ {
        self.layers.iter().flat_map(Layer::covers).map(|cover| {
            let [a, b, c] = cover.corners;
            let middle = (a + b + c) / 3.0;
            let world =
                self.camera.right * middle.x + self.camera.up * middle.y + self.camera.toward * middle.z;
            (world, cover.body, (b - a).truncate().perp_dot((c - a).truncate()) / 2.0)
        })
    }
}

/// Middles of the small triangles into which rows divide one, as shares along two of its sides.
fn middles_of(rows: u32) -> impl Iterator<Item = [f64; 2]> {
    let place = move |row: u32, column: u32, off: f64| {
        [(f64::from(row) + off) / f64::from(rows), (f64::from(column) + off) / f64::from(rows)]
    };
    (0..rows).flat_map(move |row| {
        let upright = (0..rows - row).map(move |column| place(row, column, 1.0 / 3.0));
        let turned = (0..(rows - row).saturating_sub(1)).map(move |column| place(row, column, 2.0 / 3.0));
        upright.chain(turned)
    })
}

/// The least and greatest y of a triangle between two x.
fn height_between(corners: [DVec2; 3], left: f64, right: f64) -> Option<(f64, f64)> {
    let mut range: Option<(f64, f64)> = None;
    let mut take = |y: f64| {
        let (low, high) = range.unwrap_or((y, y));
        range = Some((low.min(y), high.max(y)));
    };
    for i in 0..3 {
        let (a, b) = (corners[i], corners[(i + 1) % 3]);
        if (left..=right).contains(&a.x) {
            take(a.y);
        }
        for x in [left, right] {
            if (a.x < x) != (b.x < x) {
                take(a.y + (b.y - a.y) * (x - a.x) / (b.x - a.x));
            }
        }
    }
    range
}

/// Spans in order of their starts, joined where they overlap or come within `gap`.
pub(crate) fn join(spans: &[(f64, f64)], gap: f64) -> Vec<(f64, f64)> {
    let mut joined: Vec<(f64, f64)> = Vec::new();
    for (start, end) in spans {
        match joined.last_mut() {
            Some(last) if *start <= last.1 + gap => last.1 = last.1.max(*end),
            _ => joined.push((*start, *end)),
        }
    }
    joined
}

/// What is left of 0 to 1 outside spans in order, pieces shorter than `least` left out.
pub(crate) fn outside(spans: &[(f64, f64)], least: f64) -> Vec<(f64, f64)> {
    let mut rest = Vec::new();
    let mut from = 0.0;
    for (start, end) in spans.iter().copied().chain([(1.0, 1.0)]) {
        if start - from > least {
            rest.push((from, start));
        }
        from = end.max(from);
    }
    rest
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn spans_join_and_leave_a_rest() {
        let joined = join(&[(0.1, 0.3), (0.2, 0.25), (0.31, 0.4), (0.8, 1.0)], 0.02);
        assert_eq!(joined, [(0.1, 0.4), (0.8, 1.0)]);
        assert_eq!(outside(&joined, 0.0), [(0.0, 0.1), (0.4, 0.8)]);
        assert_eq!(outside(&[], 0.0), [(0.0, 1.0)]);
        assert_eq!(outside(&[(0.0, 1.0)], 0.0), []);
    }

    #[test]
    fn a_triangle_covers_what_lies_behind_it() {
        let corners = [DVec3::new(0.0, 0.0, 0.0), DVec3::new(10.0, 0.0, 0.0), DVec3::new(0.0, 10.0, 0.0)];
        let cover = Cover::new(corners, 0).unwrap();
        let (start, end) = cover.covers(DVec3::new(-5.0, 2.0, -1.0), DVec3::new(15.0, 2.0, -1.0)).unwrap();
        assert!((start - 0.25).abs() < 1e-3 && (end - 0.65).abs() < 1e-3, "{start} {end}");
        assert_eq!(cover.covers(DVec3::new(-5.0, 2.0, 0.0), DVec3::new(15.0, 2.0, 0.0)), None, "touching");
        assert_eq!(cover.covers(DVec3::new(-5.0, 2.0, 1.0), DVec3::new(15.0, 2.0, 1.0)), None, "in front");
        assert!(Cover::new([corners[0], corners[2], corners[1]], 0).is_none(), "turned away");
    }

    /// What all triangles of a wire hide, each looked at, wherever it lies.
    fn one_by_one(wire: &Wire, camera: Camera, a: DVec3, b: DVec3) -> Vec<(f64, f64)> {
        let all = wire
            .triangles
            .iter()
            .filter_map(|(corners, body)| Cover::new(corners.map(|corner| camera.see(corner)), *body));
        let mut spans: Vec<(f64, f64)> =
            all.filter_map(|cover| cover.covers(camera.see(a), camera.see(b))).collect();
        spans.sort_by(|p, q| p.0.total_cmp(&q.0));
        let length = camera.flat(a).distance(camera.flat(b));
        let mut joined = join(&spans, LEAST_PIECE / length);
        joined.retain(|(start, end)| (end - start) * length > LEAST_PIECE);
        joined
    }

    #[test]
    fn some_of_a_grid_and_others_hide_what_they_hide_all_at_once() {
        // Slanting triangles one before the other, by a simple rule; every third one is drawn elsewhere.
        let place = |n: usize| {
            let [x, y, z] =
                [7 * n % 23, 11 * n % 19, 5 * n % 17].map(|own| f64::from(u8::try_from(own).unwrap()));
            DVec3::new(x, y, z)
        };
        let triangle = |n: usize| {
            [DVec3::new(0.0, 0.0, 0.0), DVec3::new(6.0, 0.5, 1.0), DVec3::new(1.0, 5.0, -1.0)]
                .map(|corner| corner + place(n))
        };
        let back = DVec3::new(2.0, -3.0, 4.0);
        let (mut standing, mut moved, mut all) = (Wire::default(), Wire::default(), Wire::default());
        for n in 0..40 {
            let is_moved = n % 3 == 0;
            standing.triangles.push((triangle(n), n));
            let drawn = if is_moved { triangle(n).map(|corner| corner + back) } else { triangle(n) };
            all.triangles.push((drawn, n));
            if is_moved {
                moved.triangles.push((drawn, n));
            }
        }
        let camera = Camera::BOARD_FACE;
        let grid = Arc::new(Grid::of(&standing, camera));
        let some = Covers::among(&grid, (0..40).map(|n| n % 3 != 0).collect(), &moved);
        let whole = Covers::of(&all, camera);
        let mut hidden = 0;
        for n in 0..40 {
            let (a, b) = (place(n) - DVec3::Z, place(n + 9) - DVec3::Z);
            let known = grid.hides(a, b);
            assert_eq!(some.hidden(a, b), whole.hidden(a, b), "{n}");
            assert_eq!(whole.hidden(a, b), one_by_one(&all, camera, a, b), "{n}");
            assert_eq!(some.hidden_beside(&known, a, b), whole.hidden(a, b), "{n}");
            assert_eq!(some.sees(a), whole.sees(a), "{n}");
            let share = some.share_seen(&[n]);
            assert!((share - whole.share_seen(&[n])).abs() < 1e-12, "{n}");
            hidden += whole.hidden(a, b).len();
        }
        assert!(hidden > 20, "{hidden} stretches are hidden at all");
    }
}
