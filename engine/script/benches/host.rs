//! What hosting costs: loading, describing, calling, and how fast hostile scripts are stopped.

use criterion::{Criterion, criterion_group, criterion_main};
use rhai::Dynamic;
use slatwork_script::memory::{Counting, counting};
use slatwork_script::{Library, Limits, RootInfo, RootKind, ScriptKind, Texts, with_stack};
use std::alloc::System;
use std::hint::black_box;

#[global_allocator]
static MEMORY: Counting<System> = counting(System);

/// A family of about the size of a real one: eleven parameters, helpers, and much arithmetic on lengths.
fn family() -> String {
    let mut text = String::from(
        "//! A seat for measuring the host.\nimport \"lib/shapes\" as shapes;\n\nfn describe(f) {\n    f.title = \"Seat\";\n",
    );
    for number in 0..11 {
        text.push_str(&format!(
            "    f.length(\"size_{number}\", 5.feet).between(2.feet, 7.feet).step(1.inch).doc(\"A size\");\n"
        ));
    }
    text.push_str("}\n\nfn build(job, p) {\n    let sum = 0.inch;\n    for i in 0..31 { sum += slat(p, i); }\n    sum\n}\n\n");
    text.push_str(
        "fn slat(p, i) {\n    let gap = inch(\"3/8\");\n    shapes::wide(p.size_0, i) + gap * i\n}\n\n",
    );
    for number in 0..60 {
        text.push_str(&format!(
            "fn helper_{number}(p) {{\n    let a = p.size_1 - 3.5.inch;\n    let b = max(a, 2 * p.size_2) / 3;\n    #{{ a: a, b: b }}\n}}\n"
        ));
    }
    text
}

fn texts(family: &str) -> Texts {
    let root = RootInfo {
        name: String::from("bench"),
        kind: RootKind::BuiltIn,
        shown: String::new(),
        trusted: true,
    };
    let shapes = "fn wide(width, i) { if i % 2 == 0 { width / (i + 1) } else { width.round_to(1.mm) } }\n";
    Texts::default().with_root(root, [("families/seat.rhai", family), ("lib/shapes.rhai", shapes)])
}

fn load(family: &str) -> Library {
    let outcome = Library::load(&texts(family));
    assert!(outcome.diagnostics.is_empty(), "{:?}", outcome.diagnostics);
    outcome.value.expect("a library")
}

fn hosting(criterion: &mut Criterion) {
    let text = family();
    criterion.bench_function("load: compile 310 lines, link, describe", |bench| {
        bench.iter(|| load(black_box(&text)));
    });
    let library = load(&text);
    let seat = library.script(ScriptKind::Family, "seat").expect("the seat");
    criterion.bench_function("one run: engine and fence", |bench| {
        bench.iter(|| black_box(library.run(Limits::BUILD)));
    });
    criterion.bench_function("describe 11 parameters, from call to checked values", |bench| {
        let sets = [(String::from("size_3"), String::from("61in"))];
        bench.iter(|| black_box(seat.declared.read(None, &sets)));
    });
    let parameters = seat.declared.defaults();
    criterion.bench_function("build: 31 slats of arithmetic", |bench| {
        bench.iter(|| {
            let run = library.run(Limits::BUILD);
            run.call(seat, "build", (Dynamic::UNIT, Dynamic::from(parameters.clone()))).expect("a value")
        });
    });
}

/// The worst of the hostile scripts: these take longest to stop. Aim: 1.1 s each.
fn stopping(criterion: &mut Criterion) {
    let bodies = [
        ("an empty loop", "loop { }"),
        ("text copied in a loop", "let s = \"\"; s.pad(4000, \"y\"); loop { let t = s + \"\"; }"),
        ("a list that becomes its own item", "let a = []; loop { a = [a, a]; }"),
        ("lists copied in a loop", "let a = []; for i in 0..4000 { a.push(i.mm); } loop { let b = a; }"),
        (
            "a map that grows by key",
            "let s = \"\"; s.pad(4000, \"y\"); let m = #{}; let i = 0; loop { m[i.to_string()] = s + i; i += 1; }",
        ),
        (
            "a text replaced by itself",
            "let s = \"a\"; for i in 0..12 { s += s; } loop { s.replace(\"b\", s); }",
        ),
        (
            "a long list sorted in a loop",
            "let a = []; for i in 0..4000 { a.push(-i); } loop { let b = a; b.sort(); }",
        ),
    ];
    let mut group = criterion.benchmark_group("stop");
    group.sample_size(10);
    for (name, body) in bodies {
        let text = format!("fn describe(f) {{ f.title = \"T\"; }}\nfn build(job, p) {{\n{body}\n}}\n");
        let library = load(&text);
        let seat = library.script(ScriptKind::Family, "seat").expect("the seat");
        group.bench_function(name, |bench| {
            bench.iter(|| {
                with_stack(|| library.run(Limits::BUILD).call(seat, "build", ((), ())).expect_err("stopped"))
            });
        });
    }
    group.finish();
}

criterion_group!(benches, hosting, stopping);
criterion_main!(benches);
