//! All sections of a board: between two corners of its solid they change evenly, most often not at all.

use super::slice::{Slice, Sum};
use core::cell::OnceCell;
use slatwork_solid::{DVec2, DVec3, Piece, Solid};
use std::sync::Arc;

/// The sections of a board, each stretch between two neighbouring corners read off the solid once.
#[derive(Debug)]
pub struct Sections {
    solid: Arc<Solid>,
    /// Where corners stand along the board, ascending, each once.
    corners: Vec<f64>,
    /// Between each two of them.
    stretches: Vec<OnceCell<Stretch>>,
}

/// The wood between two neighbouring corners.
#[derive(Debug)]
enum Stretch {
    /// The same section all along; nothing where there is no wood.
    Same(Option<Slice>),
    /// Rings of edges along the board, in order round each piece.
    Changing(Vec<Vec<Edge>>),
}

/// An edge between two corners of a piece.
type Edge = [DVec3; 2];

impl Sections {
    /// Of a solid.
    pub fn of(solid: &Arc<Solid>) -> Sections {
        let places = solid.pieces().iter().flat_map(Piece::vertices).map(|corner| corner.x);
        let mut corners: Vec<f64> = places.collect();
        corners.sort_by(f64::total_cmp);
        corners.dedup();
        let stretches = (1..corners.len()).map(|_| OnceCell::new()).collect();
        Sections { solid: Arc::clone(solid), corners, stretches }
    }

    /// The section at `x`, at a corner that of the stretch before it; nothing where there is no wood.
    pub fn at(&self, x: f64) -> Option<Slice> {
        let next = self.corners.partition_point(|corner| *corner < x);
        let stretch = next.checked_sub(1).and_then(|at| self.stretches.get(at))?;
        match stretch.get_or_init(|| self.stretch(self.corners[next - 1], self.corners[next])) {
            Stretch::Same(slice) => *slice,
            Stretch::Changing(rings) => {
                let mut sum = Sum::default();
                rings.iter().for_each(|ring| sum.add(ring.iter().map(|edge| crossing(edge, x))));
                sum.settle()
            }
        }
    }

    fn stretch(&self, from: f64, to: f64) -> Stretch {
        let passed = |piece: &&Piece| piece.bounds().min.x <= from && to <= piece.bounds().max.x;
        let rings: Vec<Vec<Edge>> =
            self.solid.pieces().iter().filter(passed).map(|piece| ring(piece, [from, to])).collect();
        let is_level = |[a, b]: &Edge| a.y == b.y && a.z == b.z;
        if !rings.iter().flatten().all(is_level) {
            return Stretch::Changing(rings);
        }
        let mut sum = Sum::default();
        rings.iter().for_each(|ring| sum.add(ring.iter().map(|[a, _]| DVec2::new(a.y, a.z))));
        Stretch::Same(sum.settle())
    }
}

/// Edges of a convex piece that pass a stretch from corner to corner, each from the lesser corner to the greater, in order round it.
fn ring(piece: &Piece, [from, to]: [f64; 2]) -> Vec<Edge> {
    let x = f64::midpoint(from, to);
    let vertices = piece.vertices();
    let mut edges: Vec<(f64, Edge)> = Vec::new();
    for (_, side) in piece.faces() {
        let next = side.iter().skip(1).chain(side.first());
        for (a, b) in side.iter().zip(next) {
            let [a, b] = [vertices[*a as usize], vertices[*b as usize]];
            let edge = if a.x < b.x { [a, b] } else { [b, a] };
            if edge[0].x <= from && to <= edge[1].x {
                edges.push((0.0, edge));
            }
        }
    }
    let middle = edges.iter().map(|(_, edge)| crossing(edge, x)).sum::<DVec2>() / edges.len().max(1) as f64;
    edges.iter_mut().for_each(|(turn, edge)| *turn = turn_of(crossing(edge, x) - middle));
    edges.sort_by(|a, b| a.0.total_cmp(&b.0));
    // Each belongs to two sides.
    edges.dedup_by(|a, b| a.1 == b.1);
    edges.into_iter().map(|(_, edge)| edge).collect()
}

/// Grows from 0 to 4 as a direction turns once round, without the cost of an angle.
fn turn_of(way: DVec2) -> f64 {
    let share = way.y / (way.x.abs() + way.y.abs());
    match (way.x < 0.0, way.y < 0.0) {
        (true, _) => 2.0 - share,
        (false, true) => 4.0 + share,
        (false, false) => share,
    }
}

/// Where an edge passes `x`, as (y, z).
fn crossing([a, b]: &Edge, x: f64) -> DVec2 {
    let point = a.lerp(*b, (x - a.x) / (b.x - a.x));
    DVec2::new(point.y, point.z)
}

#[cfg(test)]
mod tests {
    use super::*;
    use slatwork_base::maths;
    use slatwork_solid::{HalfSpace, Notch, Shape, Tag, Tolerance, build};

    #[test]
    fn a_turn_grows_with_the_angle() {
        let way = |degree: i32| {
            let (sin, cos) = maths::sin_cos(f64::from(degree).to_radians());
            turn_of(DVec2::new(cos, sin))
        };
        assert!((1..360).all(|degree| way(degree - 1) < way(degree)));
    }

    /// A board with a slanting end and a sloping edge: sections integrate to its volume (Gauss, exact for the
    /// squares that a section grows by between two corners).
    #[test]
    fn sections_make_up_the_volume() {
        let plane = |normal: DVec3, through: DVec3| {
            let normal = normal.normalize();
            HalfSpace { normal, offset: normal.dot(through), tag: Tag(20) }
        };
        let cuts = vec![
            plane(DVec3::new(1.0, 0.4, 0.2), DVec3::new(560.0, 45.0, 19.0)),
            plane(DVec3::new(0.1, 1.0, 0.0), DVec3::new(300.0, 75.0, 19.0)),
        ];
        let shape = Shape { cuts, ..Shape::board(600.0, 90.0, 38.0) };
        let solid = Arc::new(build(&shape, &Tolerance::default()).expect("a solid"));
        let sections = Sections::of(&solid);
        let area = |x| sections.at(x).map_or(0.0, |own| own.area);
        let between = |pair: &[f64]| {
            let (middle, half) = (f64::midpoint(pair[0], pair[1]), (pair[1] - pair[0]) / 2.0);
            let away = half / 3.0_f64.sqrt();
            (area(middle - away) + area(middle + away)) * half
        };
        let volume: f64 = sections.corners.windows(2).map(between).sum();
        let changes = |own: &&OnceCell<Stretch>| matches!(own.get(), Some(Stretch::Changing(_)));
        let changing = sections.stretches.iter().filter(changes).count();
        assert!((volume / solid.volume() - 1.0).abs() < 1e-9, "{volume} {}", solid.volume());
        assert!(changing > 2, "{changing}");
        let [first, last] = [sections.corners[0], sections.corners[sections.corners.len() - 1]];
        assert_eq!([-1.0, first, last + 1.0].map(|x| sections.at(x)), [None; 3]);
        assert!(sections.at((first + last) / 2.0).is_some());
    }

    /// A board notched on one side: before and behind the shoulder it is one section each, whatever was asked first; at the
    /// shoulder itself that before it.
    #[test]
    fn a_stretch_without_corners_is_one_section() {
        let plane = |normal: DVec3, offset| HalfSpace { normal, offset, tag: Tag(20) };
        let planes = vec![plane(-DVec3::X, -300.0), plane(-DVec3::Y, -60.0)];
        let shape = Shape { notches: vec![Notch { planes }], ..Shape::board(600.0, 90.0, 38.0) };
        let solid = Arc::new(build(&shape, &Tolerance::default()).expect("a solid"));
        let (one, other) = (Sections::of(&solid), Sections::of(&solid));
        let area = |sections: &Sections, x| sections.at(x).map(|own| (own.area * 1e6).round() / 1e6);
        for x in [10.0, 200.0, 300.0] {
            assert_eq!(area(&one, x), Some(90.0 * 38.0), "{x}");
        }
        for x in [599.0, 400.0, 300.1, 600.0] {
            assert_eq!(area(&one, x), Some(60.0 * 38.0), "{x}");
        }
        assert_eq!(other.at(250.0), one.at(10.0));
    }
}
