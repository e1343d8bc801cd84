//! How long the shop takes for a piece of sixty parts: sets, and then everything from cut list to purchase.
//! `cargo bench -p slatwork-shop`

#[path = "../tests/hand/mod.rs"]
mod hand;

use criterion::{Criterion, criterion_group, criterion_main};
use hand::{Board, board, catalogue, model};
use slatwork_base::Tape;
use slatwork_model::{BoardEnd, Model, NotchPurpose, When, find_sets};
use slatwork_shop::plan;
use slatwork_solid::DVec3;
use std::hint::black_box;

/// Sixty parts in twenty shapes, holes and notches in most.
fn piece() -> Model {
    let part = |index: usize| -> Board {
        let kind = (index % 20) as f64;
        let (section, thickness) = if index.is_multiple_of(2) { ("1x4", 0.75) } else { ("2x4", 1.5) };
        board(&format!("part {index}"), section, 20.0 + kind, 3.5, thickness)
            .end_cut(BoardEnd::High, 19.5 + kind, kind, 0.0)
            .hole((3.0, 1.0), 0.25, None, DVec3::NEG_Z, "screw", When::AtBench)
            .hole((6.0, 1.0), 0.25, None, DVec3::NEG_Z, "screw", When::AtBench)
            .notch(10.0, 1.5, 0.0, 0.75, NotchPurpose::Plain, When::AtBench)
    };
    model((0..60).map(part).collect())
}

fn benches(criterion: &mut Criterion) {
    let (piece, catalogue) = (piece(), catalogue());
    let mut parts = piece.parts.clone();
    criterion.bench_function("sets of 60 parts", |bencher| bencher.iter(|| find_sets(black_box(&mut parts))));
    criterion.bench_function("shop plan of 60 parts", |bencher| {
        bencher.iter(|| plan(black_box(&piece), &catalogue, Tape::Inch16));
    });
}

criterion_group!(shop, benches);
criterion_main!(shop);
