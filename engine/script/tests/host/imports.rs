//! Imports stay below the roots, end, and mean what the importing file's own root means by them.

use crate::common::{build, complaints, library, root};
use slatwork_script::{Library, LooseScript, RootKind, ScriptKind, Texts};

fn importing(path: &str) -> String {
    let main = format!(
        "import {path} as m;\nfn describe(f) {{ f.title = \"T\"; }}\nfn build(job, p) {{ m::one() }}\n"
    );
    complaints(&[("families/t.rhai", &main), ("lib/one.rhai", "fn one() { 1 }")])
}

#[test]
fn names_that_lead_out_are_refused() {
    let escapes = [
        "\"../secret\"",
        "\"/abs/secret\"",
        "\"lib\\\\one\"",
        "\"lib/../../secret\"",
        "\"./lib/one\"",
        "\"\"",
        "\"lib//one\"",
        "\"lib/one.rhai\"",
        "\"C:/one\"",
        "\"lib/one\\u0000\"",
        "\"lib/öne\"",
    ];
    for escape in escapes {
        let told = importing(escape);
        assert!(told.contains("error[bad-module-name]"), "{escape}: {told}");
    }
    let long = format!("\"{}\"", "a".repeat(200));
    assert!(importing(&long).contains("error[bad-module-name]"));
}

#[test]
fn unknown_and_computed_names_are_refused() {
    let told = [importing("\"lib/oen\""), importing("\"lib/\" + \"one\""), importing("\"elsewhere\"")];
    insta::assert_snapshot!(told.join("\n\n"));
}

#[test]
fn an_import_inside_a_function_is_held_to_the_same_rules() {
    let main = "fn describe(f) { f.title = \"T\"; }\nfn build(job, p) { import \"../x\" as m; m::one() }\n";
    assert!(complaints(&[("families/t.rhai", main)]).contains("error[bad-module-name]"));
    let good =
        "fn describe(f) { f.title = \"T\"; }\nfn build(job, p) { import \"lib/one\" as m; m::one() }\n";
    let library = library(&[("families/t.rhai", good), ("lib/one.rhai", "fn one() { 1 }")]);
    assert_eq!(build(&library).expect("a value"), "1");
}

#[test]
fn cycles_are_told_with_their_chain() {
    let told = complaints(&[
        ("lib/a.rhai", "import \"lib/b\" as b;\nfn a() { 1 }"),
        ("lib/b.rhai", "import \"lib/c\" as c;\nfn b() { 1 }"),
        ("lib/c.rhai", "import \"lib/a\" as a;\nfn c() { 1 }"),
        ("lib/me.rhai", "import \"lib/me\" as me;\nfn c() { 1 }"),
    ]);
    insta::assert_snapshot!(told);
}

#[test]
fn modules_share_helpers_constants_and_closures() {
    let files = [
        (
            "families/t.rhai",
            "import \"lib/a\" as a;\nimport \"lib/b\" as b;\nconst MINE = 2;\nfn describe(f) { f.title = \"T\"; }\nfn build(job, p) { a::a(global::MINE) + b::b(1) + (a::WIDTH).mm }\n",
        ),
        ("lib/a.rhai", "import \"lib/deep/c\" as c;\nexport const WIDTH = 3.mm;\nfn a(x) { c::c(x) }\n"),
        ("lib/b.rhai", "import \"lib/deep/c\" as c;\nfn b(x) { [1].map(|y| c::c(x) + y)[0] }\n"),
        ("lib/deep/c.rhai", "const BASE = 10;\nfn c(x) { x + global::BASE }\n"),
    ];
    assert_eq!(build(&library(&files)).expect("a value"), "27.0");
}

#[test]
fn a_constant_that_is_not_exported_says_so() {
    let files = [
        (
            "families/t.rhai",
            "import \"lib/a\" as a;\nfn describe(f) { f.title = \"T\"; }\nfn build(job, p) { a::WIDTH }\n",
        ),
        ("lib/a.rhai", "const WIDTH = 3.mm;\n"),
    ];
    insta::assert_snapshot!(crate::common::plain(&[build(&library(&files)).expect_err("a fault")]));
}

#[test]
fn the_own_root_goes_before_the_others() {
    let family =
        "import \"lib/one\" as m;\nfn describe(f) { f.title = \"T\"; }\nfn build(job, p) { m::one() }\n";
    let texts = Texts::default()
        .with_root(root("project", RootKind::Project), [("lib/one.rhai", "fn one() { \"project\" }")])
        .with_root(
            root("built-in", RootKind::BuiltIn),
            [("families/t.rhai", family), ("lib/one.rhai", "fn one() { \"built-in\" }")],
        );
    let library = Library::load(&texts).value.expect("a library");
    assert_eq!(build(&library).expect("a value"), "built-in");
}

#[test]
fn trust_is_that_of_all_that_is_imported() {
    let family =
        "import \"lib/one\" as m;\nfn describe(f) { f.title = \"T\"; }\nfn build(job, p) { m::one() }\n";
    let mut untrusted = root("project", RootKind::Project);
    untrusted.trusted = false;
    let alone = family.replace("import \"lib/one\" as m;\n", "").replace("m::one()", "1");
    let texts = Texts::default()
        .with_root(
            root("user", RootKind::User),
            [("families/t.rhai", family), ("families/alone.rhai", alone.as_str())],
        )
        .with_root(untrusted, [("lib/one.rhai", "fn one() { 1 }")]);
    let library = Library::load(&texts).value.expect("a library");
    assert!(!library.script(ScriptKind::Family, "t").expect("t").trusted);
    assert!(library.script(ScriptKind::Family, "alone").expect("alone").trusted);
}

#[test]
fn a_loose_file_goes_before_its_namesake_and_sees_the_helpers() {
    let texts = Texts::default().with_root(
        root("built-in", RootKind::BuiltIn),
        [
            ("lib/one.rhai", "fn one() { 1 }"),
            ("families/t.rhai", "broken"),
            ("families/u.rhai", "also broken"),
        ],
    );
    let text =
        "import \"lib/one\" as m;\nfn describe(f) { f.title = \"T\"; }\nfn build(job, p) { m::one() + 41 }\n";
    let loose = LooseScript {
        kind: ScriptKind::Family,
        shown: String::from("bench/t.rhai"),
        text: String::from(text),
        trusted: false,
    };
    let (library, id) = Library::load_file(&texts, loose).value.expect("a library");
    assert_eq!(id, "t");
    assert_eq!(build(&library).expect("a value"), "42");
}
