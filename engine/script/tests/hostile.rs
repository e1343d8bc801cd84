//! Scripts that mean harm: each is stopped, with the right word, and within its memory.
//!
//! The limit of time is measured in the benchmark; here only what a run says and holds.

#[path = "host/common.rs"]
mod common;

use common::{complaints, family, library};
use slatwork_script::memory::{Counting, counting, is_counted};
use slatwork_script::{Limits, ScriptKind, with_stack};
use std::alloc::System;
use std::time::Duration;

#[global_allocator]
static MEMORY: Counting<System> = counting(System);

/// What no run may exceed: the limit of a run, and half as much again for the one operation that crosses it.
const MOST_BYTES: usize = 96 << 20;

/// How long a test waits for a script that only takes time.
const PATIENCE: Duration = Duration::from_secs(1);

/// Runs a hostile body and gives the name of the fault that stopped it.
fn stopped(body: &str) -> &'static str {
    let text = family(body);
    with_stack(|| {
        let library = library(&[("families/t.rhai", &text)]);
        let script = library.script(ScriptKind::Family, "t").expect("t");
        let run = library.run(Limits { time: PATIENCE, ..Limits::BUILD });
        let fault = run.call(script, "build", ((), ())).expect_err("a hostile script is stopped");
        assert!(run.peak_bytes() < MOST_BYTES, "{body}: {} bytes", run.peak_bytes());
        fault.code
    })
    .expect("a thread")
}

/// What compiling and loading a hostile text gives.
fn refused(text: &str) -> String {
    with_stack(|| complaints(&[("families/t.rhai", text)])).expect("a thread")
}

#[test]
fn memory_is_counted_here() {
    assert!(is_counted());
}

#[test]
fn endless_loops() {
    for body in [
        "loop { }",
        "let i = 0; loop { i += 1; }",
        "loop { inch(\"1/2\"); }",
        "for i in range(0, 9223372036854775807, 3) { }",
        "loop { try { loop { } } catch { } }",
        "let s = \"x\"; for i in 0..12 { s += s; } loop { let t = s + \"\"; }",
        "let a = []; for i in 0..4000 { a.push(i); } loop { let b = a; }",
    ] {
        let code = stopped(body);
        assert!(matches!(code, "too-many-steps" | "too-much-time"), "{body}: {code}");
    }
}

#[test]
fn endless_recursion() {
    assert_eq!(stopped("f(1) }\nfn f(x) { f(x + 1)"), "nested-too-deep");
    assert_eq!(stopped("f(1) }\nfn f(x) { g(x) }\nfn g(x) { f(x)"), "nested-too-deep");
    assert_eq!(stopped("let f = |g| g.call(g); f.call(f)"), "nested-too-deep");
    assert_eq!(stopped("f([1]) }\nfn f(l) { l.map(|x| f([x]))"), "nested-too-deep");
    assert_eq!(stopped("try { f(1) } catch { f(1) } }\nfn f(x) { f(x + 1)"), "nested-too-deep");
    let nested = format!("f(1) }}\nfn f(x) {{ {}f(x + 1){}", "(".repeat(12), ")".repeat(12));
    assert_eq!(stopped(&nested), "nested-too-deep");
}

#[test]
fn values_that_grow() {
    for body in [
        "let s = \"x\"; loop { s += s; }",
        "let s = \"x\"; s.pad(1000000000, \"y\"); s",
        "let a = [1]; loop { a += a; }",
        "let a = []; loop { a.push(1); }",
        "let a = []; loop { a = [a, a]; }",
        "let a = []; loop { a.push([1, 2, 3]); }",
        "let a = [1]; a.pad(1000000000, 1); a",
        "let m = #{ a: 1 }; loop { m = #{ a: m, b: m, c: m, d: m }; }",
        "let s = \"a\"; for i in 0..12 { s += s; } s.replace(\"a\", s); s",
        "let l = []; for i in 0..2000 { l.push(\"abc\"); } l.join(\",\")",
        "try { let s = \"x\"; loop { s += s; } } catch { }",
        "let s = \"\"; s.pad(4096, \"y\"); `${s}${1}`",
    ] {
        assert_eq!(stopped(body), "value-too-large", "{body}");
    }
}

/// The engine does not bound maps that are written by key, nor the sum of many values: the memory fence does.
#[test]
fn maps_that_grow_by_key() {
    for body in [
        "let s = \"\"; s.pad(4000, \"y\"); let m = #{}; let i = 0; loop { m[`k${i}`] = `${s}${i}`; i += 1; }",
        "let s = \"\"; s.pad(4000, \"y\"); let m = #{}; let i = 0; loop { m[i.to_string()] = s + i; i += 1; }",
        "let s = \"\"; s.pad(4000, \"y\"); let m = #{ n: #{} }; let i = 0; loop { m.n[i.to_string()] = s + i; i += 1; }",
    ] {
        assert_eq!(stopped(body), "too-much-memory", "{body}");
    }
}

#[test]
fn many_values_at_once() {
    let copies: String = (0..490).map(|n| format!("let v{n} = a; ")).collect();
    let body = format!("let a = []; for i in 0..4096 {{ a.push(i.mm); }} {copies} 1");
    assert_eq!(stopped(&body), "too-much-memory");
}

#[test]
fn a_panic_inside_the_engine_stays_there() {
    // Counting the size of a shared value inside a list is a panic of the engine.
    let body = "let x = 1; let f = || x += 1; let a = [x, f]; a.push(a); 5";
    let text = family(body);
    let answer = with_stack(|| {
        let library = library(&[("families/t.rhai", &text)]);
        let script = library.script(ScriptKind::Family, "t").expect("t");
        let run = library.run(Limits::BUILD);
        run.call(script, "build", ((), ())).map(|value| value.to_string()).map_err(|fault| fault.code)
    });
    assert!(matches!(answer, Ok(Ok(_) | Err("host-panic"))), "{answer:?}");
}

/// Showing, comparing, measuring and dropping a value descend into it: the stack must be deep enough.
#[test]
fn values_nested_deep() {
    // Measuring a list at each step makes this slow: the clock may come first.
    assert!(matches!(stopped("let a = []; loop { a = [a]; }"), "value-too-large" | "too-much-time"));
    assert_eq!(stopped("let m = #{}; loop { m = #{ m: m }; }"), "value-too-large");
    let deep = "let a = [1]; for i in 0..4000 { a = [a]; } ";
    for use_it in
        ["a.to_string()", "`${a}`", "a == a", "[a].contains(a)", "print(a)", "throw a", "[a, a].sort()"]
    {
        let text = family(&format!("{deep} {use_it}; throw \"end\""));
        let fault = with_stack(|| {
            let library = library(&[("families/t.rhai", &text)]);
            let script = library.script(ScriptKind::Family, "t").expect("t");
            library.run(Limits::BUILD).call(script, "build", ((), ())).expect_err("it throws").code
        });
        assert!(fault.is_ok(), "{use_it}: {fault:?}");
    }
}

#[test]
fn texts_that_overwhelm_a_parser() {
    for (open, close) in
        [("(", ")"), ("[", "]"), ("{", "}"), ("#{a:", "}"), ("!", ""), ("if true {", "}"), ("|x| ", "")]
    {
        let deep = format!("{}1{}", open.repeat(20_000), close.repeat(20_000));
        assert!(refused(&family(&deep)).contains("error["), "{open}");
    }
    for chain in ["1 + ", "x.", "x?.y[", "true && ", "a ?? ", "2 - ", "`${", "f("] {
        assert!(refused(&family(&chain.repeat(20_000))).contains("error["), "{chain}");
    }
    let many: String = (0..600).map(|n| format!("fn f{n}() {{ }}\n")).collect();
    assert!(refused(&format!("{}{many}", family("1"))).contains("error[script-syntax]"));
    let list = format!("[{}]", "1,".repeat(100_000));
    assert!(refused(&family(&list)).contains("error["));
    assert!(refused(&family(&format!("\"{}\"", "x".repeat(200_000)))).contains("error["));
    assert!(refused(&"x".repeat(300_000)).contains("error[script-too-large]"));
}

#[test]
fn one_line_of_very_many_statements_compiles_or_is_too_large() {
    let told = refused(&family(&"1;".repeat(100_000)));
    assert!(told.is_empty(), "{told}");
}

#[test]
fn eval_is_refused_by_either_name() {
    assert!(refused(&family("eval(\"1\")")).contains("disabled"));
    assert_eq!(stopped("let e = Fn(\"eval\"); e.call(\"1\")"), "script-syntax");
}

#[test]
fn describe_has_tighter_limits() {
    let endless = "fn describe(f) { f.title = \"T\"; loop { } }\nfn build(job, p) { }\n";
    assert!(refused(endless).contains("error[too-many-steps]"));
    let many = "fn describe(f) { f.title = \"T\"; for i in 0..1000 { f.count(`n${i}`, 1); } }\nfn build(job, p) { }\n";
    assert!(refused(many).contains("error[too-many-parameters]"));
    let top =
        "const X = [1].map(|x| { loop { } });\nfn describe(f) { f.title = \"T\"; }\nfn build(job, p) { }\n";
    assert!(refused(top).contains("error[too-many-steps]"));
}
