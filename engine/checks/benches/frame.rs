//! The frame solver on regular space frames of 63 and 553 members, and on a bench with feet that only push.

#[path = "../tests/common/mod.rs"]
mod common;
#[path = "../tests/common/feet.rs"]
mod feet;

use criterion::{Criterion, criterion_group, criterion_main};
use slatwork_checks::statics::frame::{Combination, solve};
use std::hint::black_box;

fn frames(criterion: &mut Criterion) {
    let frames = [("63 members", common::scaffold(2, 2, 3)), ("553 members", common::scaffold(5, 4, 7))];
    for (name, frame) in frames {
        let own = common::each_case(&frame);
        criterion.bench_function(name, |bench| bench.iter(|| solve(black_box(&frame), &own)));
        let ten: Vec<Combination> = (0..10).map(|_| own[0].clone()).collect();
        let ten_cases = format!("{name}, ten load cases");
        criterion.bench_function(&ten_cases, |bench| bench.iter(|| solve(black_box(&frame), &ten)));
    }
    let bench_frame = feet::bench();
    let own = common::each_case(&bench_frame);
    criterion.bench_function("bench on feet", |bench| bench.iter(|| solve(black_box(&bench_frame), &own)));
}

criterion_group!(benches, frames);
criterion_main!(benches);
