//! What people see when a script is wrong: every fault with its line, its word and what to do.

use crate::common::{complaints, evaluate, fault, plain};

#[test]
fn slips_of_the_finger() {
    let faults = [
        "let t = 17.inhc;",
        "let t = inhc(\"3 1/2\");",
        "let rail = 3.inch;\nlet x = rial + 1.inch;",
        "let m = #{ lenght: 3 };\nlet x = m.length;",
        "p.widht",
        "let l = [1, 2]; l.srot();",
        "let l = [1, 2]; l[5]",
        "3.inch.round_too(1.inch)",
        "let x = 3.inch.diagonal;",
        "feet::pads(1)",
    ];
    insta::assert_snapshot!(faults.map(fault).join("\n\n"));
}

#[test]
fn wrong_arguments_list_what_would_do() {
    let faults = [
        "3.inch.round_to(5)",
        "diagonal(3, 4)",
        "inch(3)",
        "helper(1)\n}\nfn helper(a, b) {\n a + b",
        "[1] - 2",
        "for i in 5 { }",
        "let x = 5; x.y = 3;",
        "if 3.inch { 1 }",
    ];
    insta::assert_snapshot!(faults.map(fault).join("\n\n"));
}

#[test]
fn parse_errors() {
    let faults = [
        "let x = (1 + 2;",
        "let default = 3;",
        "let x = \"open",
        "x + ",
        "let m = #{ a: 1, a: 2 };",
        "const LIMIT = 3; fn inner() { }",
        "eval(\"1\")",
        "1 = 2;",
    ];
    insta::assert_snapshot!(faults.map(fault).join("\n\n"));
}

#[test]
fn what_a_script_throws() {
    let faults = [
        "throw \"the rail does not fit\";",
        "throw #{ message: \"too steep\", help: \"lean it less\" };",
        "throw;",
        "let x = 9223372036854775807; x * 2",
        "let x = 1; x / 0",
    ];
    insta::assert_snapshot!(faults.map(fault).join("\n\n"));
}

#[test]
fn a_script_may_catch_and_read_what_the_host_raises() {
    let message = evaluate("try { 3.inch + 1 } catch (e) { return e.code + \": \" + e.message; }");
    assert_eq!(message.as_deref(), Ok("wrong-measure: cannot add a length (3\") and the bare number 1"));
}

#[test]
fn an_error_three_modules_deep_tells_the_whole_way() {
    let files = [
        (
            "families/t.rhai",
            "//! A seat.\nimport \"lib/frames\" as frames;\n\nfn describe(f) { f.title = \"T\"; }\n\nfn build(job, p) {\n    let frame = frames::outer(3.inch);\n}\n",
        ),
        (
            "lib/frames.rhai",
            "import \"lib/rails\" as rails;\n\nfn outer(width) {\n    inner(width * 2)\n}\n\nfn inner(width) {\n    rails::rail(width)\n}\n",
        ),
        ("lib/rails.rhai", "import \"lib/slips\" as slips;\nfn rail(width) { slips::add(width) }\n"),
        ("lib/slips.rhai", "// A slip.\nfn add(width) {\n    width + 1/2\n}\n"),
    ];
    let library = crate::common::library(&files);
    let fault = crate::common::build(&library).expect_err("a fault");
    insta::assert_snapshot!(plain(&[fault]));
}

#[test]
fn a_closure_is_placed_in_the_file_that_wrote_it() {
    let files = [
        (
            "families/t.rhai",
            "import \"lib/each\" as each;\nfn describe(f) { f.title = \"T\"; }\nfn build(job, p) {\n    each::twice(|x| x + 1.inhc)\n}\n",
        ),
        ("lib/each.rhai", "\n\n\n\n\nfn twice(f) { f.call(1) + f.call(2) }\n"),
    ];
    let fault = crate::common::build(&crate::common::library(&files)).expect_err("a fault");
    insta::assert_snapshot!(plain(&[fault]));
}

#[test]
fn a_file_is_faulty_in_its_layout() {
    let texts = [
        "fn describe(f) { f.title = \"T\"; }\nfn biuld(job, p) { }\n",
        "fn describe(f) { f.title = \"T\"; }\nfn build(job) { }\n",
        "fn describe(f) { }\nfn build(job, p) { }\n",
        "fn describe(f) { f.titel = \"T\"; }\nfn build(job, p) { }\n",
        "let x = 3;\nfn describe(f) { f.title = \"T\"; }\nfn build(job, p) { }\nprint(1);\n",
        "fn describe(f) { f.title = 3; }\nfn build(job, p) { }\n",
        "const X = 3;\nfn describe(f) { f.title = \"T\"; X }\nfn build(job, p) { }\n",
    ];
    insta::assert_snapshot!(texts.map(|text| complaints(&[("families/t.rhai", text)])).join("\n\n"));
}

#[test]
fn parse_errors_of_all_files_are_told() {
    let told = complaints(&[
        ("families/a.rhai", "fn describe(f) {"),
        ("families/b.rhai", "fn describe(f) { let x = ; }"),
        ("lib/c.rhai", "fn c() { 3 +* 4 }"),
    ]);
    insta::assert_snapshot!(told);
}

#[test]
fn unicode_before_the_fault_does_not_move_the_caret() {
    insta::assert_snapshot!(fault("let t = \"Länge — ½\"; let x = 17.inhc;"));
}
