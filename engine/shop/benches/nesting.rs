//! Nests: one row of twelve different parts, and a plan of some equal ones over two stock lengths.

use criterion::{Criterion, criterion_group, criterion_main};
use slatwork_base::Length;
use slatwork_shop::stock::nesting::{
    CurvedCorner, Faces, NestBoard, NestPart, NestProblem, Polygon, flattened, nest, shortest_row,
};
use std::hint::black_box;

/// A crescent between two arcs of the same rise, mm.
fn crescent(length: f64, width: f64, rise: f64) -> Polygon {
    let corner = |x, y, bulge| CurvedCorner { x, y, bulge };
    let bulge = 2.0 * rise / length;
    let corners = [
        corner(0.0, 0.0, -bulge),
        corner(length, 0.0, 0.0),
        corner(length - 20.0, width - rise, 2.0 * rise / (length - 30.0)),
        corner(10.0, width - rise, 0.0),
    ];
    flattened(&corners, Length::mm(0.1)).expect("a sound outline")
}

fn problem(parts: Vec<(Polygon, usize)>) -> NestProblem {
    let part = |(polygon, count)| NestPart { polygon, faces: Faces::BothGood, count };
    let board = |feet: f64, cost| NestBoard {
        length: Length::inch(12.0 * feet),
        cost,
        available: None,
        zones: Vec::new(),
    };
    NestProblem {
        parts: parts.into_iter().map(part).collect(),
        width: Length::inch(5.5),
        clearance: Length::mm(2.6),
        boards: vec![board(8.0, 1_000), board(12.0, 1_450), board(26.0, 3_300)],
    }
}

fn nests(criterion: &mut Criterion) {
    let different = (0..12_u32).map(|k| (crescent(430.0 + 9.0 * f64::from(k), 85.0, 25.0), 1));
    let different = problem(different.collect());
    criterion.bench_function("row of twelve", |bencher| bencher.iter(|| shortest_row(black_box(&different))));
    let equal = problem(vec![(crescent(460.0, 85.0, 25.0), 6), (crescent(700.0, 100.0, 30.0), 4)]);
    criterion.bench_function("plan of ten", |bencher| bencher.iter(|| nest(black_box(&equal))));
}

criterion_group! { name = benches; config = Criterion::default().sample_size(10); targets = nests }
criterion_main!(benches);
