//! Cheapest plans with their proofs, one instance from the middle of each class that takes no more than some tenths of a
//! second. `cargo bench -p slatwork-shop --bench cutting`; the whole benchmark at once:
//! `cargo run --release -p slatwork-shop --example cutting -- --table`.

#[path = "../tests/instances/mod.rs"]
mod instances;

use criterion::{Criterion, criterion_group, criterion_main};
use slatwork_shop::stock::cutting::{Limits, solve};
use std::hint::black_box;

/// Left out here: seconds each.
const LONG: [&str; 5] = ["hard28", "ai", "ani", "vsbpp_hs_conc", "scholl_3"];

fn classes(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("cutting");
    group.sample_size(10);
    for (name, _) in instances::CLASSES.iter().filter(|class| !LONG.contains(&class.0)) {
        let all = instances::class(name);
        let own = &all[all.len() / 2];
        group.bench_function(format!("{name}: {}", own.name), |bench| {
            bench.iter(|| solve(black_box(&own.problem), Limits::default()));
        });
    }
    group.finish();
}

criterion_group!(benches, classes);
criterion_main!(benches);
