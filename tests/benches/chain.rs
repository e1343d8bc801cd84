//! The whole chain of the porch swing on one core, warm: script, solids, contacts, bill, boards to buy by first fit.

use criterion::{Criterion, criterion_group, criterion_main};
use slatwork::{Kind, Memory, Request, Workshop, build};
use std::hint::black_box;

/// A world without files: the built-in scripts are all it takes.
fn workshop(design: &str) -> Workshop {
    Workshop::open(&Memory::default(), &Request::new(design)).value.expect("a built-in family")
}

fn chain(c: &mut Criterion) {
    for family in ["porch_swing", "garden_bench", "adirondack_chair"] {
        let Some(workshop) = Workshop::open(&Memory::default(), &Request::new(family)).value else {
            continue;
        };
        c.bench_function(&format!("chain/{family}"), |b| b.iter(|| black_box(workshop.make(&[]))));
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
    targets = chain, open, papers
}
criterion_main!(benches);
