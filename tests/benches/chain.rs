//! The whole chain of each family on one core, warm: script, solids, contacts, joints, findings, bill, boards to
//! buy; then the joints, the findings on making, the hole list and the order of assembly by themselves.

use criterion::{Criterion, criterion_group, criterion_main};
use mimalloc::MiMalloc;
use slatwork::checks::{Case, SUBJECTS, judge, making, rate};
use slatwork::model::Bench;
use slatwork::output::Scale;
use slatwork::output::drawing::{Body, HiddenLines, Picture, View};
use slatwork::script::{Inputs, ScriptKind, lay};
use slatwork::shop::{assembly, hole_list, purchase_for};
use slatwork::{Kind, Memory, People, Request, Site, Tape, Workshop, build};
use std::hint::black_box;
use std::sync::Arc;
use std::time::{Duration, Instant};

/// The program's, so that its times are told.
#[global_allocator]
static MEMORY: MiMalloc = MiMalloc;

const FAMILIES: [&str; 3] = ["porch_swing", "garden_bench", "adirondack_chair"];

/// A world without files: the built-in scripts are all it takes.
fn workshop(design: &str) -> Workshop {
    Workshop::open(&Memory::default(), &Request::new(design)).value.expect("a built-in family")
}

fn chain(c: &mut Criterion) {
    for family in FAMILIES {
        let workshop = workshop(family);
        c.bench_function(&format!("chain/{family}"), |b| b.iter(|| black_box(workshop.make(&[]))));
    }
}

/// The bench with a family laid on it, nothing finished.
fn laid(workshop: &Workshop) -> Bench {
    let library = workshop.library();
    let script = library.script(ScriptKind::Family, workshop.family()).expect("a built-in family");
    let catalogue = Arc::clone(workshop.catalogue());
    let inputs = Inputs { catalogue, site: Site::default(), people: People::default() };
    let values = script.declared.read(None, &[]).value.expect("usual values");
    lay(library, script, &values, &inputs).value.expect("a family at its usual values")
}

#[expect(clippy::disallowed_methods, reason = "timings are what this is for")]
fn finishing(bench: Bench) -> Duration {
    let from = Instant::now();
    let model = black_box(bench.finish());
    let took = from.elapsed();
    drop(model);
    took
}

/// The joints by themselves: what finishing takes longer than finishing the same piece with nothing joined, by turns, each
/// time on a bench that nothing has been worked out on. So the cutting, choosing, laying out, boring, and the
/// holes that are compared when sets are found.
fn joints(c: &mut Criterion) {
    for family in FAMILIES {
        let workshop = workshop(family);
        c.bench_function(&format!("joints/{family}"), |b| {
            b.iter_custom(|times| {
                let (mut with, mut without) = (Duration::ZERO, Duration::ZERO);
                for _ in 0..times {
                    with += finishing(laid(&workshop));
                    without += finishing(laid(&workshop).unjoined());
                }
                with.saturating_sub(without)
            });
        });
    }
}

/// Findings on making, the hole list and the order of assembly of a finished piece.
fn of_the_finished(c: &mut Criterion) {
    for family in FAMILIES {
        let workshop = workshop(family);
        let made = workshop.make(&[]).value.expect("a family at its usual values");
        let (model, places) = (made.model, &made.plan.shapes.places);
        let catalogue = workshop.catalogue();
        c.bench_function(&format!("making/{family}"), |b| {
            b.iter(|| black_box(making(&Case::new(&model, catalogue))))
        });
        c.bench_function(&format!("checks/{family}"), |b| {
            b.iter(|| black_box(judge(&Case::new(&model, catalogue))))
        });
        c.bench_function(&format!("rating/{family}"), |b| {
            b.iter(|| black_box(rate(&Case::new(&model, catalogue))))
        });
        c.bench_function(&format!("hanging/{family}"), |b| {
            b.iter(|| {
                let case = Case::new(&model, catalogue);
                let hanging = SUBJECTS.iter().filter(|subject| subject.name == "hanging");
                let checks = hanging.flat_map(|subject| subject.checks);
                checks.flat_map(|check| black_box(check.verdicts(&case))).count()
            })
        });
        for pieces in [1, 40] {
            c.bench_function(&format!("purchase/{family}, {pieces}"), |b| {
                b.iter(|| purchase_for(&model, catalogue, Tape::Inch16, pieces, &mut Vec::new()))
            });
        }
        c.bench_function(&format!("holes/{family}"), |b| b.iter(|| black_box(hole_list(&model, places))));
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
    let kinds = [
        ("cutlist", &[Kind::CutList][..]),
        ("book", &[Kind::Book]),
        ("book-pdf", &[Kind::BookPdf]),
        ("all", &[]),
    ];
    for (name, only) in kinds.into_iter().filter(|(_, only)| only.iter().all(|kind| kind.is_built_in())) {
        let request = request(only);
        c.bench_function(&format!("papers/{name}"), |b| {
            b.iter(|| black_box(build(&Memory::default(), &request)))
        });
    }
}

/// A view of the general arrangement of the swing: solids read off, hidden lines taken away.
fn views(c: &mut Criterion) {
    let made = workshop("porch_swing").make(&[]).value.expect("a family at its usual values");
    let parts = made.model.parts.iter();
    let bodies: Vec<Body> =
        parts.map(|part| Body { name: &part.name, solid: &part.solid, pose: part.pose }).collect();
    for view in View::ALL {
        c.bench_function(&format!("view/{}", view.name()), |b| {
            let scale = Scale { denominator: 10.0 };
            b.iter(|| black_box(Picture::of(&bodies, view.camera(), HiddenLines::Removed, scale)))
        });
    }
}

criterion_group! {
    name = benches;
    config = Criterion::default().sample_size(20);
    targets = chain, joints, of_the_finished, open, papers, views
}
criterion_main!(benches);
