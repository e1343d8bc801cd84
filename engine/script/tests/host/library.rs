//! Discovery, faults that leave the rest alone, reload, printing, and sameness from run to run.

use crate::common::{build, family, library, load, plain, root, value};
use slatwork_script::{Library, Limits, RootInfo, RootKind, ScriptKind, Texts};

#[test]
fn files_are_found_by_folder_and_described() {
    let library = library(&[
        (
            "families/t.rhai",
            "//! A seat for two.\n//! With arms.\n\nfn describe(f) { f.title = \"Seat\"; }\nfn build(job, p) { }\n",
        ),
        ("families/more/u.rhai", &family("2")),
        ("checks/steady.rhai", "fn describe(c) { c.title = \"Steady\"; }\nfn run(job, report) { }\n"),
        (
            "joints/lap.rhai",
            "fn describe(j) { j.title = \"Lap\"; }\nfn cut(job, a, b, o) { }\nfn strength(job, joint, load) { }\n",
        ),
        ("catalogues/yard.rhai", "fn describe(c) { c.title = \"Yard\"; }\nfn items(c) { }\n"),
        ("reports/card.rhai", "fn describe(r) { r.title = \"Card\"; }\nfn render(job, out) { }\n"),
        ("notes/readme.txt", "not a script"),
    ]);
    let ids: Vec<&str> = library.families().map(|script| script.id.as_str()).collect();
    assert_eq!(ids, ["t", "u"]);
    let seat = library.script(ScriptKind::Family, "t").expect("the seat");
    assert_eq!(seat.declared.title, "Seat");
    assert_eq!(seat.declared.doc, "A seat for two.\nWith arms.");
    assert!(library.script(ScriptKind::Joint, "lap").expect("the lap").has("strength"));
    assert!(!seat.has("check"));
}

#[test]
fn an_unknown_name_gets_its_neighbour() {
    let library = library(&[("families/porch_swing.rhai", &family("1"))]);
    let faults = library.script(ScriptKind::Family, "porch_swign").expect_err("no such family");
    insta::assert_snapshot!(plain(&faults));
}

/// Of the families that one and what it imports, with all that is no family.
#[test]
fn loaded_for_one_family_the_others_are_left_out() {
    let importing = format!("import \"families/base\" as base;\n{}", family("base::width()"));
    let files = [
        (
            "families/base.rhai",
            "fn describe(f) { f.title = \"Base\"; }\nfn build(job, p) { }\nfn width() { 7 }\n",
        ),
        ("families/bad.rhai", "fn describe(f) { "),
        ("families/t.rhai", importing.as_str()),
        ("families/z.rhai", &family("1")),
        ("joints/lap.rhai", "fn describe(j) { j.title = \"Lap\"; }\nfn cut(job, a, b, o) { }\n"),
    ];
    let texts = Texts::default().with_root(root("test", RootKind::BuiltIn), files);
    let outcome = Library::load_for(&texts, "t");
    assert_eq!(plain(&outcome.diagnostics), "", "the bad one is no business of this family");
    let library = outcome.value.expect("a library");
    let ids: Vec<&str> = library.families().map(|script| script.id.as_str()).collect();
    assert_eq!(ids, ["base", "t"]);
    assert!(library.script(ScriptKind::Joint, "lap").is_ok());
    assert_eq!(build(&library).expect("a value"), "7");
    let all = Library::load(&texts).value.expect("a library");
    let unknown = Library::load_for(&texts, "tt").value.expect("a library");
    let unknown = unknown.script(ScriptKind::Family, "tt").expect_err("no such family");
    assert_eq!(plain(&unknown), plain(&all.script(ScriptKind::Family, "tt").expect_err("nor here")));
}

#[test]
fn a_faulty_file_leaves_the_others_alone() {
    let good = family("1");
    let outcome = load(&[("families/bad.rhai", "fn describe(f) { }"), ("families/t.rhai", &good)]);
    let library = outcome.value.expect("a library");
    assert_eq!(build(&library).expect("a value"), "1");
    assert_eq!(library.script(ScriptKind::Family, "bad").expect_err("faulty")[0].code, "missing-function");
    assert_eq!(outcome.diagnostics.len(), 1);
}

#[test]
fn the_same_name_twice() {
    let (one, two) = (family("1"), family("2"));
    let texts = Texts::default()
        .with_root(
            RootInfo { shown: String::from("own/"), ..root("project", RootKind::Project) },
            [("families/t.rhai", one.as_str())],
        )
        .with_root(
            root("built-in", RootKind::BuiltIn),
            [
                ("families/t.rhai", two.as_str()),
                ("families/a/u.rhai", two.as_str()),
                ("families/b/u.rhai", two.as_str()),
            ],
        );
    let outcome = Library::load(&texts);
    insta::assert_snapshot!(plain(&outcome.diagnostics));
    assert_eq!(build(&outcome.value.expect("a library")).expect("a value"), "1");
}

#[test]
fn too_large_a_file_is_refused_before_it_is_compiled() {
    let long = format!("// {}\n{}", "x".repeat(300 << 10), family("1"));
    let many = format!("{}{}", "\n".repeat(20_001), family("1"));
    let outcome = load(&[("families/long.rhai", &long), ("families/many.rhai", &many)]);
    let codes: Vec<&str> = outcome.diagnostics.iter().map(|fault| fault.code).collect();
    assert_eq!(codes, ["script-too-large", "script-too-large"]);
}

#[test]
fn more_lines_than_positions_can_count_are_refused() {
    let many = format!("{}{}", "\n".repeat(19_000), family("1"));
    let files: Vec<(String, String)> =
        (0..4).map(|n| (format!("families/f{n}.rhai"), many.clone())).collect();
    let files: Vec<(&str, &str)> = files.iter().map(|(p, t)| (p.as_str(), t.as_str())).collect();
    let outcome = load(&files);
    assert_eq!(outcome.diagnostics.len(), 1);
    assert_eq!(outcome.diagnostics[0].code, "too-many-lines");
    assert_eq!(outcome.value.expect("a library").families().count(), 3);
}

#[test]
fn a_change_of_text_is_noticed() {
    let (one, two) = (family("1"), family("2"));
    let with =
        |text: &str| Texts::default().with_root(root("r", RootKind::BuiltIn), [("families/t.rhai", text)]);
    let library = Library::load(&with(&one)).value.expect("a library");
    assert!(library.is_current(&with(&one)).expect("readable"));
    assert!(!library.is_current(&with(&two)).expect("readable"));
}

#[test]
fn what_is_printed_becomes_notes() {
    let library = library(&[("families/t.rhai", &family("print(`rail ${3.inch}`);\nprint([1.inch]);"))]);
    let script = library.script(ScriptKind::Family, "t").expect("t");
    let run = library.run(Limits::BUILD);
    drop(run.call(script, "build", ((), ())).expect("a value"));
    insta::assert_snapshot!(plain(&run.printed()));
}

#[test]
fn endless_printing_is_stopped() {
    let body = "let s = \"x\"; for i in 0..11 { s += s; } loop { print(s); }";
    assert_eq!(crate::common::code(body), "prints-too-much");
}

/// The names of closures are made of hashes, which must not differ from run to run or machine to machine.
#[test]
fn closures_are_named_alike_everywhere() {
    assert_eq!(value("let f = |x| x + 1; f.name"), value("let f = |x| x + 1; f.name"));
    insta::assert_snapshot!(value("let f = |x| x + 1; f.name"));
}

#[test]
fn one_library_serves_many_threads_alike() {
    let library =
        library(&[("families/t.rhai", &family("let l = []; for i in 0..50 { l.push(i.inch); } l.sum()"))]);
    let results: Vec<String> = std::thread::scope(|scope| {
        let threads: Vec<_> = (0..4).map(|_| scope.spawn(|| build(&library).expect("a value"))).collect();
        threads.into_iter().map(|thread| thread.join().expect("no panic")).collect()
    });
    assert_eq!(results, ["1225\""; 4]);
}

#[test]
fn words_that_are_not_given_are_not_there() {
    for body in ["sleep(1)", "timestamp()", "exit()", "blob(5)", "hypot(1.0, 2.0)", "ln(2.0)"] {
        assert_eq!(crate::common::code(body), "unknown-function", "{body}");
    }
}
