//! The whole chain of each family on one core, warm: script, solids, contacts, joints, findings, bill, boards to buy by first
//! fit; then the findings on making and the order of assembly by themselves.

use criterion::{Criterion, criterion_group, criterion_main};
use slatwork::checks::{Case, making};
use slatwork::shop::assembly;
use slatwork::{Kind, Memory, Request, Tape, Workshop, build};
use std::hint::black_box;

/// A world without files: the built-in scripts are all it takes.
fn workshop(design: &str) -> Workshop {
    Workshop::open(&Memory::default(), &Request::new(design)).value.expect("a built-in family")
}

fn chain(c: &mut Criterion) {
    for family in ["porch_swing", "garden_bench", "adirondack_chair"] {
        let workshop = workshop(family);
        c.bench_function(&format!("chain/{family}"), |b| b.iter(|| black_box(workshop.make(&[]))));
    }
}

/// Findings on making, and the order of assembly, of a finished piece.
fn making_and_order(c: &mut Criterion) {
    for family in ["porch_swing", "garden_bench", "adirondack_chair"] {
        let workshop = workshop(family);
        let model = workshop.make(&[]).value.expect("a family at its usual values").model;
        let catalogue = workshop.catalogue();
        c.bench_function(&format!("making/{family}"), |b| {
            b.iter(|| black_box(making(&Case { model: &model, catalogue })))
        });
        c.bench_function(&format!("order/{family}"), |b| {
            b.iter(|| black_box(assembly(&model, catalogue, Tape::Inch16)))
        });
    }
}

/// Reading and compiling every built-in script: what a cold process does first.
fn open(c: &mut Criterion) {
    c.bench_function("open/porch_swing", |b| b.iter(|| black_box(workshop("porch_swing"))));
}

/// From the request to the cut list, and to all papers.
fn papers(c: &mut Criterion) {
    let request = |only: &[Kind]| Request { only: only.to_vec(), ..Request::new("porch_swing") };
    for (name, only) in [("cutlist", &[Kind::CutList][..]), ("all", &[])] {
        let request = request(only);
        c.bench_function(&format!("papers/{name}"), |b| {
            b.iter(|| black_box(build(&Memory::default(), &request)))
        });
    }
}

criterion_group! {
    name = benches;
    config = Criterion::default().sample_size(20);
    targets = chain, making_and_order, open, papers
}
criterion_main!(benches);
