//! The real program: every verb, and what every kind of bad input gets.

#![expect(
    clippy::disallowed_methods,
    reason = "these tests make folders and look at what the program writes"
)]

use std::fs;
use std::path::Path;
use std::process::{Command, Output, Stdio};
use tempfile::TempDir;

/// A folder of its own, where the program is run.
struct Place {
    folder: TempDir,
}

impl Place {
    fn new() -> Place {
        Place { folder: TempDir::new().unwrap() }
    }

    /// A place with files.
    fn with(files: &[(&str, &str)]) -> Place {
        let place = Place::new();
        files.iter().for_each(|(path, text)| place.put(path, text));
        place
    }

    fn path(&self, path: &str) -> std::path::PathBuf {
        self.folder.path().join(path)
    }

    fn put(&self, path: &str, text: &str) {
        let path = self.path(path);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, text).unwrap();
    }

    fn get(&self, path: &str) -> String {
        fs::read_to_string(self.path(path)).unwrap()
    }

    fn run(&self, arguments: &[&str]) -> Run {
        let output = Command::new(env!("CARGO_BIN_EXE_slatwork"))
            .args(arguments)
            .current_dir(self.folder.path())
            .env("XDG_CONFIG_HOME", self.path("config"))
            .env_remove("NO_COLOR")
            .stdin(Stdio::null())
            .output()
            .unwrap();
        Run { output, folder: self.folder.path().to_string_lossy().to_string() }
    }

    /// Names in the folder, hidden ones too.
    fn names(&self) -> Vec<String> {
        let mut names: Vec<String> = fs::read_dir(self.folder.path())
            .unwrap()
            .map(|entry| entry.unwrap().file_name().to_string_lossy().to_string())
            .collect();
        names.sort();
        names
    }
}

/// What a run of the program gave.
struct Run {
    output: Output,
    folder: String,
}

impl Run {
    fn code(&self) -> i32 {
        self.output.status.code().expect("the program ends by itself")
    }

    fn out(&self) -> String {
        self.clean(&self.output.stdout)
    }

    fn err(&self) -> String {
        self.clean(&self.output.stderr)
    }

    fn clean(&self, bytes: &[u8]) -> String {
        String::from_utf8(bytes.to_vec()).unwrap().replace(&self.folder, "[FOLDER]")
    }

    fn fine(self) -> Run {
        assert_eq!(self.code(), 0, "{}", self.err());
        self
    }

    /// The message of a run that could not do its work, after which nothing is left on standard output.
    fn refused(self) -> String {
        assert_eq!(self.code(), 2, "{}{}", self.out(), self.err());
        assert_eq!(self.out(), "");
        self.err()
    }
}

/// A small family: a frame of two rails and two bearers, and whatever else a test puts into it.
fn family(more: &str) -> String {
    format!(
        r#"//! Tray: two rails and two bearers.
fn describe(f) {{
    f.title = "Tray";
    f.length("width", 24.inch).between(12.inch, 40.inch).step(1.inch).doc("From end to end");
    f.choice("edge", ["round", "square"]).doc("How the edges are left");
    f.wood("wood", "white oak");
    f.section("stock", "1x4");
    f.require("width < 39.inch || edge == \"square\"", "so long a rail is only made with square edges");
    f.preset("short", #{{ width: 14.inch }});
}}
fn build(job, p) {{
    job.wood(p.wood);
    let g = job.group("frame");
    let front = g.board("front rail", #{{ stock: p.stock, length: p.width }}).lie("right", "front");
    let rear = g.board("rear rail", #{{ stock: p.stock, length: p.width }}).lie("right", "rear");
    rear.against("front", front.side("rear"), 10.inch).flush("left", front.end("left")).flush("down", front.side("down"));
    let bearer = g.board("bearer", #{{ stock: p.stock }}).lie("rear", "right");
    bearer.between(front.side("rear"), rear.side("front")).flush("left", front.end("left"), 2.inch).flush("down", front.side("down"));
    job.join_all("screwed into end", [bearer, bearer.mirror("right", front)], [front, rear]);
    if p.edge == "round" {{ front.soften("long edges", inch("1/8")); }}
{more}}}
"#
    )
}

fn tray() -> Place {
    Place::with(&[("families/tray.rhai", &family(""))])
}

// ---- build ------------------------------------------------------------------------------------------------------

#[test]
fn a_cut_list_reads_well() {
    let run = tray().run(&["build", "tray", "--only", "cutlist"]).fine();
    assert_eq!(run.err(), "");
    insta::assert_snapshot!(run.out());
}

#[test]
fn papers_in_both_measures() {
    let run = tray()
        .run(&["build", "tray", "--set", "width=2ft 6in", "--only", "bill,purchase", "--units", "both"])
        .fine();
    insta::assert_snapshot!(run.out());
}

#[test]
fn lengths_are_written_as_on_the_bench() {
    for width in ["30in", "2ft 6in", "2-1/2ft", "762mm", "0.762m", "2' 6\""] {
        let run = tray().run(&["build", "tray", "--only", "cutlist", "--set", &format!("width={width}")]);
        if width == "2-1/2ft" && run.code() == 2 {
            continue; // Fractions of a foot are no bench measure; whether they are read is the parser's own matter.
        }
        assert!(run.fine().out().contains("30\" long"), "{width}");
    }
}

#[test]
fn a_folder_gets_every_paper_and_is_whole() {
    let place = tray();
    let run = place.run(&["build", "tray", "--out", "out"]).fine();
    insta::assert_snapshot!(run.out());
    let mut files: Vec<String> = walk(&place.path("out"), "");
    files.sort();
    insta::assert_snapshot!(files.join("\n"));
    assert_eq!(place.names(), ["families", "out"], "nothing is left beside the folder");
    let summary: serde_json::Value = serde_json::from_str(&place.get("out/summary.json")).unwrap();
    assert_eq!(summary["schema"], "slatwork/summary/1");
    assert_eq!(summary["values"]["width"]["mm"], 609.6);
}

fn walk(folder: &Path, before: &str) -> Vec<String> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let entry = entry.unwrap();
        let name = format!("{before}{}", entry.file_name().to_string_lossy());
        if entry.path().is_dir() {
            found.extend(walk(&entry.path(), &format!("{name}/")))
        } else {
            found.push(name)
        }
    }
    found
}

#[test]
fn a_pdf_book_is_written_or_told_to_be_missing() {
    let place = tray();
    for asked in [&["--only", "book-pdf"][..], &["--only", "cutlist", "--book-pdf"]] {
        let run = place.run(&[&["build", "tray", "--out", "out"], asked].concat());
        if cfg!(feature = "book-pdf") {
            run.fine();
            let written = fs::read(place.path("out/book.pdf")).unwrap();
            assert!(written.starts_with(b"%PDF-1.7"));
        } else {
            let told = run.refused();
            assert!(
                told.contains("error[document-not-built-in]") && told.contains("--features book-pdf"),
                "{told}"
            );
            assert_eq!(place.names(), ["families"]);
        }
    }
}

#[test]
fn building_again_replaces_the_papers() {
    let place = tray();
    place.run(&["build", "tray", "--out", "out"]).fine();
    place.put("out/my notes.txt", "mine");
    place.run(&["build", "tray", "--set", "width=30in", "--out", "out"]).fine();
    assert!(place.get("out/cutlist.txt").contains("30\" long"));
    assert_eq!(place.get("out/my notes.txt"), "mine");
    assert_eq!(place.names(), ["families", "out"]);
}

#[test]
fn a_preset_comes_under_what_is_set() {
    let place = tray();
    assert!(
        place
            .run(&["build", "tray", "--preset", "short", "--only", "cutlist"])
            .fine()
            .out()
            .contains("14\" long")
    );
    let both = ["build", "tray", "--preset", "short", "--set", "width=20in", "--only", "cutlist"];
    assert!(place.run(&both).fine().out().contains("20\" long"));
    insta::assert_snapshot!(place.run(&["build", "tray", "--preset", "shrot"]).refused());
}

#[test]
fn a_script_is_built_by_its_path() {
    let place = Place::with(&[("here/tray.rhai", &family(""))]);
    assert!(
        place
            .run(&["build", "here/tray.rhai", "--only", "cutlist"])
            .fine()
            .out()
            .starts_with("Tray: cut list")
    );
}

#[test]
fn json_gives_one_document() {
    let run = tray().run(&["build", "tray", "--only", "cutlist", "--format", "json"]).fine();
    let document: serde_json::Value = serde_json::from_str(&run.out()).unwrap();
    assert_eq!(document["schema"], "slatwork/build/1");
    assert_eq!(document["documents"]["cutlist"]["tables"]["cut_list"][0]["length"]["mm"], 609.6);
    let written = tray().run(&["build", "tray", "--out", "out", "--format", "json"]).fine();
    let document: serde_json::Value = serde_json::from_str(&written.out()).unwrap();
    assert!(document["files"].as_array().unwrap().contains(&serde_json::json!("out/cutlist.txt")));
}

#[test]
fn json_tells_what_is_wrong() {
    let run = tray().run(&["build", "tray", "--set", "width=5ft", "--format", "json"]);
    assert_eq!(run.code(), 2);
    insta::assert_snapshot!(run.out());
}

#[test]
fn measured_boards_replace_the_nominal_ones() {
    let place = tray();
    place.put("mine.toml", "[[measured]]\nsection = \"1x4\"\nwidth = \"3-3/8in\"\n");
    let run = place.run(&["build", "tray", "--measured", "mine.toml", "--only", "cutlist"]).fine();
    assert!(run.out().contains("3 3/8\" wide"), "{}", run.out());
}

#[test]
fn the_built_in_families_build() {
    for family in ["porch_swing", "garden_bench", "adirondack_chair"] {
        let run = Place::new().run(&["build", family, "--only", "cutlist,bill,purchase"]);
        assert_eq!(run.code(), 0, "{family}: {}", run.err());
    }
}

/// A ledge, and what is done to it.
fn ledge(done: &str) -> Place {
    let script = format!(
        "fn describe(f) {{ f.title = \"Ledge\"; }}\n\
         fn build(job, p) {{\n\
         let a = job.board(\"ledge\", #{{ stock: \"2x4\", length: 20.inch }}).lie(\"right\", \"up\").at(0.mm, 0.mm, 0.mm);\n\
         {done}\n\
         }}\n"
    );
    Place::with(&[("ledge.rhai", &script)])
}

#[test]
fn a_line_beyond_a_board() {
    for (height, is_cut) in [("3.5.inch", false), ("4.5.inch", false), ("3.inch", true)] {
        let saw = format!("a.saw(\"rear\", straight(20.inch).moved(0.mm, {height}), \"edge\");");
        let run = ledge(&saw).run(&["build", "ledge.rhai", "--only", "cutlist"]);
        assert_eq!(run.code() == 0, is_cut, "{height}: {}", run.err());
    }
    let trim = "job.trim([a], #{ line: \"straight\", from: a.side(\"left\"), to: a.side(\"right\"),\n\
                level: [a.side(\"rear\"), 1.inch], rise: 0.mm, waste: \"rear\", what: \"edge\" });";
    insta::assert_snapshot!(ledge(trim).run(&["build", "ledge.rhai", "--only", "cutlist"]).refused());
}

/// A group goes by one direction as a board does.
#[test]
fn a_group_is_placed_along_one_direction() {
    const PAIR: &str = r#"
fn describe(f) { f.title = "Pair"; }
fn build(job, p) {
    let group = job.group("low");
    let board = group.board("ledge", #{ stock: "1x4", length: 20.inch }).lie("right", "up");
    group.at("right", 3.inch);
    group.at("up", 5.inch);
    group.at("rear", 0.inch);
}
"#;
    let place = Place::with(&[("pair.rhai", PAIR)]);
    place.run(&["build", "pair.rhai", "--only", "shapes,cutlist", "--out", "out"]).fine();
    let places = place.get("out/places.csv");
    assert!(places.contains(",76.2,"), "{places}");
    assert!(places.contains(",127.0,") || places.contains(",127,"), "{places}");
}

// ---- what bad input gets ----------------------------------------------------------------------------------------

#[test]
fn an_unknown_parameter() {
    insta::assert_snapshot!(tray().run(&["build", "tray", "--set", "widht=20in"]).refused());
}

#[test]
fn a_value_out_of_range() {
    insta::assert_snapshot!(tray().run(&["build", "tray", "--set", "width=5ft"]).refused());
}

#[test]
fn a_parameter_that_is_set_twice() {
    insta::assert_snapshot!(
        tray().run(&["build", "tray", "--set", "width=20in", "--set", "width=22in"]).refused()
    );
}

#[test]
fn a_value_off_its_step() {
    insta::assert_snapshot!(tray().run(&["build", "tray", "--set", "width=20-1/2in"]).refused());
}

#[test]
fn a_value_that_is_no_length() {
    insta::assert_snapshot!(tray().run(&["build", "tray", "--set", "width=20"]).refused());
}

#[test]
fn a_word_that_is_no_choice() {
    insta::assert_snapshot!(tray().run(&["build", "tray", "--set", "edge=sqare"]).refused());
}

#[test]
fn a_combination_the_family_refuses() {
    insta::assert_snapshot!(tray().run(&["build", "tray", "--set", "width=40in"]).refused());
}

#[test]
fn an_unknown_family() {
    insta::assert_snapshot!(Place::new().run(&["build", "porch_swign"]).refused());
}

#[test]
fn a_script_error_three_modules_deep() {
    let place = Place::with(&[
        (
            "families/deep.rhai",
            &family("    one::lay(g, p);\n").replacen(
                "fn describe",
                "import \"lib/one\" as one;\nfn describe",
                1,
            ),
        ),
        ("lib/one.rhai", "import \"lib/two\" as two;\nfn lay(g, p) { two::lay(g, p); }\n"),
        ("lib/two.rhai", "import \"lib/three\" as three;\nfn lay(g, p) { three::lay(g, p); }\n"),
        ("lib/three.rhai", "fn lay(g, p) {\n    let far = p.width + 3;\n    far\n}\n"),
    ]);
    insta::assert_snapshot!(place.run(&["build", "deep"]).refused());
}

/// What a family gets that imports a file that imports a file that imports this one.
fn refused_three_deep(last: &str) -> String {
    let deep = family("").replacen("fn describe", "import \"lib/one\" as one;\nfn describe", 1);
    let place = Place::with(&[
        ("families/deep.rhai", &deep),
        ("lib/one.rhai", "// The first.\nimport \"lib/two\" as two;\nfn lay(g, p) { two::lay(g, p); }\n"),
        ("lib/two.rhai", "import \"lib/three\" as three;\nfn lay(g, p) { three::lay(g, p); }\n"),
        ("lib/three.rhai", last),
    ]);
    place.run(&["build", "deep"]).refused()
}

#[test]
fn a_line_that_cannot_be_read_three_modules_deep() {
    insta::assert_snapshot!(refused_three_deep("fn lay(g, p) {\n    let far = = p.width;\n    far\n}\n"));
}

#[test]
fn a_bad_import_three_modules_deep() {
    insta::assert_snapshot!(refused_three_deep("import \"../../../etc/passwd\" as all;\nfn lay(g, p) { }\n"));
    insta::assert_snapshot!(refused_three_deep("import \"lib/twoo\" as two;\nfn lay(g, p) { }\n"));
}

#[test]
fn a_script_without_an_end_is_stopped_and_named() {
    insta::assert_snapshot!(refused_with("    let n = 0;\n    while true { n += 1; }\n"));
    let deep = family("    deeper(1);\n") + "fn deeper(n) { deeper(n + 1) }\n";
    insta::assert_snapshot!(Place::with(&[("families/tray.rhai", &deep)]).run(&["build", "tray"]).refused());
}

#[test]
fn a_slip_of_a_word_is_named() {
    insta::assert_snapshot!(refused_with("    job.bord(\"shelf\", #{ stock: p.stock });\n"));
    let called = family("").replace("f.title = \"Tray\";", "f.title(\"Tray\");");
    insta::assert_snapshot!(
        Place::with(&[("families/tray.rhai", &called)]).run(&["build", "tray"]).refused()
    );
}

#[test]
fn sides_that_look_opposite_ways_are_not_flush() {
    let lay = "    let x = g.board(\"lid\", #{ stock: p.stock, length: 5.inch }).lie(\"right\", \"up\");\n";
    insta::assert_snapshot!(refused_with(&format!("{lay}    x.flush(\"down\", front.side(\"up\"));\n")));
    insta::assert_snapshot!(refused_with(&format!("{lay}    x.against(\"up\", front.side(\"up\"));\n")));
}

#[test]
fn a_swing_cannot_hang_from_below_its_arms() {
    let place = Place::new();
    place.put("low.toml", "hook_height = \"10in\"\n");
    place.put("flat.toml", "hook_height = \"26in\"\nhook_spacing = \"10ft\"\n");
    for (site, code) in [("low.toml", "hook-below-eye"), ("flat.toml", "chain-too-flat")] {
        let told = place.run(&["build", "porch_swing", "--site", site]).refused();
        assert!(told.contains(&format!("error[{code}]")) && told.contains("porch_swing.rhai:"), "{told}");
        assert!(told.contains("hook_height"), "{told}");
    }
}

#[test]
fn a_script_that_cannot_be_read() {
    let place = Place::with(&[("families/tray.rhai", &family("").replace("f.title = ", "f.title == = "))]);
    insta::assert_snapshot!(place.run(&["build", "tray"]).refused());
}

#[test]
fn a_missing_catalogue_entry() {
    insta::assert_snapshot!(tray().run(&["build", "tray", "--set", "stock=1x45"]).refused());
    insta::assert_snapshot!(tray().run(&["build", "tray", "--set", "wood=withe oak"]).refused());
    insta::assert_snapshot!(tray().run(&["build", "tray", "--set", "wood=oakk"]).refused());
}

/// A family with one more thing laid, and what it gets.
fn refused_with(more: &str) -> String {
    Place::with(&[("families/tray.rhai", &family(more))]).run(&["build", "tray"]).refused()
}

#[test]
fn no_room_between_two_sides() {
    insta::assert_snapshot!(refused_with(
        "    let x = g.board(\"stretcher\", #{ stock: p.stock }).lie(\"rear\", \"right\");\n    \
             x.between(rear.side(\"rear\"), front.side(\"front\"));\n"
    ));
}

#[test]
fn parallel_sides_that_never_meet() {
    insta::assert_snapshot!(refused_with(
        "    let x = g.board(\"stretcher\", #{ stock: p.stock }).lie(\"right\", \"front\");\n    \
             x.between(front.side(\"rear\"), rear.side(\"front\"));\n"
    ));
}

#[test]
fn a_cope_that_would_cut_a_part_in_two() {
    insta::assert_snapshot!(refused_with(
        "    let x = g.board(\"long rail\", #{ stock: \"1x2\", length: 20.inch }).lie(\"rear\", \"up\");\n    \
             x.at(5.inch, 0.mm - 4.inch, 1.inch);\n    x.cope([front], 0.mm);\n"
    ));
}

#[test]
fn a_part_longer_than_any_stock() {
    insta::assert_snapshot!(refused_with(
        "    let x = g.board(\"pole\", #{ stock: p.stock, length: 40.feet }).lie(\"right\", \"up\");\n    \
             x.against(\"down\", rear.side(\"up\")).flush(\"left\", front.end(\"left\")).flush(\"rear\", rear.side(\"rear\"));\n"
    ));
}

#[test]
fn an_unreadable_file() {
    let place = tray();
    insta::assert_snapshot!(place.run(&["build", "nowhere/tray.rhai"]).refused());
    insta::assert_snapshot!(place.run(&["build", "tray", "--site", "site.toml"]).refused());
    place.put("families.toml/x", "");
    insta::assert_snapshot!(place.run(&["build", "tray", "--measured", "families.toml"]).refused());
    fs::write(place.path("latin.toml"), b"name = \"\xe9\"").unwrap();
    insta::assert_snapshot!(place.run(&["build", "tray", "--people", "latin.toml"]).refused());
}

#[test]
fn a_faulty_site_names_its_line() {
    let place = tray();
    place.put("site.toml", "ground = \"deck\"\nhook_hight = \"84in\"\n");
    insta::assert_snapshot!(place.run(&["build", "tray", "--site", "site.toml"]).refused());
}

#[test]
fn a_faulty_catalogue_names_its_line() {
    let place = tray();
    place.put("catalogues/yard.toml", "[[measured]]\nsection = \"1x4\"\nwidth = 87\n");
    insta::assert_snapshot!(place.run(&["build", "tray"]).refused());
}

#[test]
fn a_folder_that_cannot_be_written_is_left_as_it_was() {
    let place = tray();
    place.put("taken", "a file");
    insta::assert_snapshot!(place.run(&["build", "tray", "--out", "taken/out"]).refused());
    insta::assert_snapshot!(place.run(&["build", "tray", "--out", "taken"]).refused());
    assert_eq!(place.names(), ["families", "taken"]);
    // A folder in the way of one paper keeps all of them from being written.
    fs::create_dir_all(place.path("out/cutlist.txt")).unwrap();
    insta::assert_snapshot!(place.run(&["build", "tray", "--out", "out"]).refused());
    assert_eq!(walk(&place.path("out"), ""), Vec::<String>::new());
}

/// The command of the example's own README, and the picture that README and example show.
#[test]
fn the_example_shows_what_it_makes() {
    let example = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/boathouse_swing");
    let (root, site) = (example.display().to_string(), example.join("site.toml").display().to_string());
    let place = Place::new();
    let asked =
        ["--root", &root, "build", "porch_swing", "--site", &site, "--set", "width=66in", "--out", "out"];
    place.run(&asked).fine();
    let shown = fs::read_to_string(example.join("general.svg")).unwrap();
    assert!(
        place.get("out/drawings/general.svg") == shown,
        "examples/boathouse_swing/general.svg is not the drawing that this command makes: {asked:?}"
    );
}

#[test]
fn a_root_that_is_no_folder_is_told() {
    let place = tray();
    insta::assert_snapshot!(place.run(&["build", "tray", "--root", "jetty"]).refused());
}

#[test]
fn a_link_that_leads_out_of_the_root_is_not_followed() {
    #[cfg(unix)]
    {
        let place = tray();
        place.put("outside/secret.rhai", "fn secret() {}\n");
        place.put(
            "own/families/tray.rhai",
            &family("").replacen("fn describe", "import \"lib/secret\" as s;\nfn describe", 1),
        );
        fs::create_dir_all(place.path("own/lib")).unwrap();
        std::os::unix::fs::symlink(place.path("outside/secret.rhai"), place.path("own/lib/secret.rhai"))
            .unwrap();
        insta::assert_snapshot!(place.run(&["build", "tray", "--root", "own"]).refused());
        insta::assert_snapshot!(place.run(&["list", "plug-ins", "--root", "own"]).err());
    }
}

#[test]
fn a_paper_that_is_no_text_needs_a_folder() {
    insta::assert_snapshot!(tray().run(&["build", "tray", "--only", "model"]).refused());
    insta::assert_snapshot!(tray().run(&["build", "tray", "--only", "cutlits"]).refused());
}

#[test]
fn wrong_usage_is_code_two() {
    for arguments in
        [&["build"][..], &["bild"], &["build", "tray", "--set", "width"], &["batch", "tray"], &[]]
    {
        assert_eq!(tray().run(arguments).code(), 2, "{arguments:?}");
    }
}

#[test]
fn what_fails_a_check_is_built_and_says_so_first() {
    let place = Place::with(&[("families/tray.rhai", &family("    front.touches(rear);\n"))]);
    let run = place.run(&["build", "tray", "--out", "out"]);
    assert_eq!(run.code(), 1);
    insta::assert_snapshot!(run.err());
    let paper = place.get("out/cutlist.txt");
    insta::assert_snapshot!(paper.lines().take(8).collect::<Vec<_>>().join("\n"));
    let batch = place.run(&["batch", "tray", "--vary", "edge=round,square"]);
    assert_eq!(batch.code(), 1);
    assert!(batch.out().lines().skip(1).all(|line| line.contains(",fails,")), "{}", batch.out());
}

// ---- batch ------------------------------------------------------------------------------------------------------

#[test]
fn a_grid_gives_a_row_a_variant_and_bad_ones_say_why() {
    let run =
        tray().run(&["batch", "tray", "--vary", "width=12in..44in/16in", "--vary", "edge=round,square"]);
    assert_eq!(run.code(), 2, "some cannot be built");
    insta::assert_snapshot!(run.out());
    insta::assert_snapshot!(run.err());
}

#[test]
fn rows_come_from_a_file() {
    let place = tray();
    place.put("rows.csv", "width,edge\n20in,square\n,round\n2ft 6in,\n");
    let run = place.run(&["batch", "tray", "--rows", "rows.csv", "--threads", "2"]).fine();
    insta::assert_snapshot!(run.out());
    let written = place.run(&["batch", "tray", "--rows", "rows.csv", "--out", "rows out.csv"]).fine();
    assert_eq!(written.out(), "");
    assert_eq!(place.get("rows out.csv"), run.out());
}

#[test]
fn a_row_of_another_length_than_its_heading_stops_no_other() {
    let place = tray();
    place.put("rows.csv", "width,edge\n20in\n20in,square\n20in,square,3\n");
    let run = place.run(&["batch", "tray", "--rows", "rows.csv", "--format", "json"]);
    let rows: Vec<serde_json::Value> =
        run.out().lines().map(|line| serde_json::from_str(line).unwrap()).collect();
    let status: Vec<&str> = rows.iter().map(|row| row["status"].as_str().unwrap()).collect();
    assert_eq!(status, ["not built", "fine", "not built"]);
    let told = rows[0]["findings"][0]["message"].as_str().unwrap();
    assert_eq!(told, "rows.csv, line 2 cannot be read: the row has 1 values where the heading has 2");
    assert_eq!(rows[2]["findings"][0]["code"], "bad-rows");
}

#[test]
fn json_rows_are_a_line_each() {
    let run = tray().run(&["batch", "tray", "--vary", "width=12in,60in", "--format", "json"]);
    let rows: Vec<serde_json::Value> =
        run.out().lines().map(|line| serde_json::from_str(line).unwrap()).collect();
    assert_eq!(rows.len(), 2);
    assert_eq!((&rows[0]["status"], &rows[1]["status"]), (&"fine".into(), &"not built".into()));
    assert_eq!(rows[1]["findings"][0]["code"], "out-of-range");
}

#[test]
fn bad_batches_are_refused_whole() {
    let place = tray();
    place.put("strange.csv", "width,colour\n20in,red\n");
    place.put("slip.csv", "widht\n20in\n");
    place.put("doubled.csv", "width,edge,width\n20in,round,30in\n");
    place.put("nothing.csv", "");
    place.put("headed.csv", "width,edge\n");
    for (arguments, name) in [
        (&["--vary", "width=12in..20in"][..], "no step"),
        (&["--vary", "width=20in..12in/1in"], "falling"),
        (&["--vary", "width=12in..20in/0in"], "still"),
        (&["--vary", "edge=round..square/1"], "no range"),
        (&["--vary", "widht=12in,20in"], "unknown"),
        (&["--vary", "width=12in,20in", "--vary", "width=13in,14in"], "twice"),
        (&["--rows", "strange.csv"], "unknown heading"),
        (&["--rows", "slip.csv"], "misspelt heading"),
        (&["--rows", "doubled.csv"], "heading twice"),
        (&["--rows", "nowhere.csv"], "missing"),
        (&["--rows", "nothing.csv"], "empty"),
        (&["--rows", "headed.csv"], "headed"),
    ] {
        let run = place.run(&[&["batch", "tray"], arguments].concat());
        assert_eq!(run.code(), 2, "{name}");
        insta::assert_snapshot!(name, run.err());
    }
}

// ---- the other verbs --------------------------------------------------------------------------------------------

/// Without the script lines that things come from: families change, and their lines move.
fn without_lines(text: &str) -> String {
    text.lines().filter(|line| !line.contains(".rhai:")).map(|line| format!("{line}\n")).collect()
}

#[test]
fn a_design_is_put_under_every_check() {
    let place = Place::new();
    let run = place.run(&["check", "garden_bench"]);
    assert_eq!(run.code(), 0);
    insta::assert_snapshot!(without_lines(&run.out()));
    let fir =
        place.run(&["check", "garden_bench", "--set", "wood=engelmann spruce", "--preservative", "borate"]);
    assert_eq!(fir.code(), 1);
    insta::assert_snapshot!(without_lines(fir.out().split("\nholds").next().unwrap_or_default()));
    insta::assert_snapshot!(place.run(&["check", "garden_bench", "--glue", "D9"]).refused());
    assert!(fir.out().contains("at built-in/families/garden_bench.rhai:"), "places are told");
    let json = place.run(&["check", "garden_bench", "--format", "json"]).out();
    let document: serde_json::Value = serde_json::from_str(&json).unwrap();
    assert_eq!(document["schema"], "slatwork/check/1");
    assert_eq!(document["fails"], false);
    assert_eq!(document["conditions"]["exposure"], "in the rain");
    let fall =
        document["verdicts"].as_array().unwrap().iter().find(|own| own["check"] == "seat-fall-misfits");
    let limit = &fall.unwrap()["measure"]["limit"];
    assert_eq!((limit["at_least"].as_f64(), limit["at_most"].as_f64()), (Some(0.0), Some(12.0)));
}

/// Under what fails stands what one change would mend, or how to ask for it.
#[test]
fn remedies_are_told_to_who_asks() {
    let place = Place::new();
    assert_eq!(place.run(&["new", "family", "duck_bench"]).code(), 0);
    let thin = ["check", "duck_bench", "--set", "slats=1x4"];
    let plain = place.run(&thin);
    assert_eq!(plain.code(), 1);
    assert!(plain.out().contains("(--remedies seeks what one change would mend)"), "{}", plain.out());
    let asked = place.run(&[&thin[..], &["--remedies"]].concat());
    assert_eq!(asked.code(), 1, "what fails fails all the same");
    let out = asked.out();
    let told = out.split("\nremedies").nth(1).and_then(|rest| rest.split("\n\n").next());
    insta::assert_snapshot!(told.unwrap_or_default());
    let fine = place.run(&["check", "duck_bench", "--remedies"]);
    assert_eq!(fine.code(), 0);
    assert!(!fine.out().contains("remedies"), "nothing is to be mended: {}", fine.out());
}

/// A row says what a build of the same variant says.
#[test]
fn rows_of_a_batch_are_judged_as_builds_are() {
    let place = Place::new();
    for (wood, word) in [("white oak", "fine"), ("engelmann spruce", "fails")] {
        let built =
            place.run(&["build", "garden_bench", "--only", "cutlist", "--set", &format!("wood={wood}")]);
        assert_eq!(built.code() == 0, word == "fine", "{}", built.err());
        let rows = place
            .run(&["batch", "garden_bench", "--vary", &format!("wood={wood}"), "--format", "json"])
            .out();
        let row: serde_json::Value = serde_json::from_str(rows.lines().next().expect("a row")).unwrap();
        assert_eq!(row["status"], word);
        assert_eq!(
            row["rating"]["kg_per_place"].as_f64().is_some_and(|kg| kg >= 115.0),
            word == "fine",
            "{row}"
        );
        assert_eq!(row["rating"]["fails"].is_string(), word == "fails", "what fails is not rated: {row}");
        let table = place.run(&["batch", "garden_bench", "--vary", &format!("wood={wood}")]).out();
        let (heading, row) = table.split_once('\n').expect("a heading and a row");
        let column = heading.split(',').position(|own| own == "not_rated").expect("a column");
        let told = row.split(',').nth(column).expect("a field");
        assert_eq!(told.ends_with(" fails"), word == "fails", "{table}");
    }
}

#[test]
fn loads_of_hooks_are_told_to_who_accepts_the_caution() {
    let place = tray();
    let told = |run: Run| {
        assert_ne!(run.code(), 2, "{}", run.err());
        run.out()
    };
    let withheld = told(place.run(&["check", "porch_swing"]));
    assert!(withheld.contains("are withheld") && withheld.contains("\ntake care\n"), "{withheld}");
    let asked = ["check", "porch_swing", "--format", "json"];
    let document = |more: &[&str]| -> serde_json::Value {
        serde_json::from_str(&told(place.run(&[&asked, more].concat()))).unwrap()
    };
    let (without, with) = (document(&[]), document(&["--accept", "hanging"]));
    assert_eq!((&without["hooks"], with["hooks"].as_array().unwrap().len()), (&serde_json::Value::Null, 2));
    assert_eq!(with["accepted"], serde_json::json!(["hanging"]));
    assert!(with["hooks"][0]["down_n"].as_f64().unwrap() > with["hooks"][0]["at_rest_n"].as_f64().unwrap());
    let unknown = place.run(&["check", "porch_swing", "--accept", "heights"]);
    assert_eq!(unknown.code(), 2);
    assert!(unknown.err().contains("there is no caution `heights`: there is hanging"), "{}", unknown.err());
}

#[test]
fn every_list_can_be_printed() {
    let place = tray();
    for what in [
        "families",
        "parameters",
        "presets",
        "species",
        "sizes",
        "fasteners",
        "hardware",
        "joints",
        "checks",
        "formats",
        "plug-ins",
    ] {
        assert!(!place.run(&["list", what]).fine().out().is_empty(), "{what}");
        let json = place.run(&["list", what, "--format", "json"]).fine().out();
        let document: serde_json::Value = serde_json::from_str(&json).unwrap();
        assert!(document["schema"].as_str().unwrap().starts_with("slatwork/"), "{what}");
    }
    insta::assert_snapshot!(place.run(&["list", "parameters", "tray"]).fine().out());
    let presets = place.run(&["list", "presets", "garden_bench"]).fine().out();
    assert!(presets.contains("for two") && presets.contains("width=50\""), "{presets}");
    insta::assert_snapshot!(place.run(&["list", "formats"]).fine().out());
    insta::assert_snapshot!(place.run(&["list", "parameters", "tary"]).refused());
}

#[test]
fn plug_ins_tell_what_is_wrong_with_scripts() {
    let place = tray();
    place.put("families/broken.rhai", "fn describe(f) { f.title = \"Broken\"; }\n");
    let run = place.run(&["list", "plug-ins"]);
    assert_eq!(run.code(), 2);
    insta::assert_snapshot!(run.err());
    place.run(&["build", "tray", "--only", "cutlist"]).fine();
}

/// Each for its own reason, and none as if it were not there.
#[test]
fn a_script_that_comes_to_nothing_says_why() {
    let place = tray();
    place.put("joints/half_done.rhai", "fn describe(j) { j.title = \"Half done\"; }\n");
    let joined = "fn describe(f) { f.title = \"Joined\"; }\nfn build(job, p) {\n    \
        let a = job.board(\"a\", #{ stock: \"2x4\", length: 20.inch }).lie(\"right\", \"up\");\n    \
        let b = job.board(\"b\", #{ stock: \"2x4\", length: 20.inch }).lie(\"right\", \"up\").against(\"down\", a.side(\"up\"));\n    \
        job.join(\"half done\", b, a);\n}\n";
    place.put("families/joined.rhai", joined);
    insta::assert_snapshot!("joint_without_cut", place.run(&["build", "joined"]).refused());
    place.put("families/large.rhai", &"// no end to it\n".repeat(80_000));
    insta::assert_snapshot!("family_too_large", place.run(&["build", "large"]).refused());
    fs::write(place.path("families/latin.rhai"), b"//! Caf\xe9 table.\n").unwrap();
    insta::assert_snapshot!("family_not_utf_8", place.run(&["build", "latin"]).refused());
    fs::write(place.path("joints/half_done.rhai"), b"//! Caf\xe9 joint.\n").unwrap();
    insta::assert_snapshot!("joint_not_utf_8", place.run(&["build", "joined"]).refused());
    place.run(&["build", "tray", "--only", "cutlist"]).fine();
}

#[test]
fn a_new_family_builds_at_once_and_is_never_overwritten() {
    let place = Place::new();
    let run = place.run(&["new", "family", "lake_bench"]).fine();
    insta::assert_snapshot!(run.out());
    place.run(&["build", "lake_bench", "--out", "out"]).fine();
    for width in ["20in", "36in"] {
        for more in [["depth=12in", "height=14in"], ["depth=16in", "height=19in"]] {
            let mut arguments =
                vec!["build".to_string(), "lake_bench".into(), "--only".into(), "cutlist".into()];
            for set in [format!("width={width}"), more[0].into(), more[1].into()] {
                arguments.extend(["--set".into(), set]);
            }
            let arguments: Vec<&str> = arguments.iter().map(String::as_str).collect();
            place.run(&arguments).fine();
        }
    }
    insta::assert_snapshot!(place.run(&["new", "family", "lake_bench"]).refused());
    insta::assert_snapshot!(place.run(&["new", "family", "../lake"]).refused());
    insta::assert_snapshot!(place.run(&["new", "family", "porch_swing"]).refused());
    let other = place.run(&["new", "family", "pier", "--root", "own"]).fine();
    assert!(other.out().contains("own/families/pier.rhai"));
}

/// A check tells its formula and its sources; what it lacks where it does not apply is one line.
#[test]
fn a_check_is_explained_by_the_headings_of_its_file() {
    let place = Place::new();
    let text = place.run(&["explain", "tips-back"]).fine().out();
    for (title, words) in [
        ("What it checks", "does not tip over backwards"),
        ("Why", "throw themselves back"),
        ("Method and source", "F = 0.2857 (1000 - h) N"),
        ("Method and source", "(EN 1022, from memory)"),
        ("Example", "upright rear legs"),
        ("Remedy", "Splay the rear legs"),
    ] {
        let told = text.lines().find(|line| line.starts_with(&format!("{title}: "))).expect(title);
        assert!(told.contains(words), "{text}");
    }
    let json = place.run(&["explain", "tips-back", "--format", "json"]).fine().out();
    let json: serde_json::Value = serde_json::from_str(&json).unwrap();
    for key in ["code", "meaning", "what_it_checks", "why", "method_and_source", "example", "remedy"] {
        assert!(json[key].is_string(), "{key}: {json}");
    }
    let bench = place.run(&["check", "garden_bench", "--set", "arms=none"]).out();
    let idle = bench.lines().find(|line| line.starts_with("does not apply: ")).expect("it is told");
    assert!(idle.contains("arm-breaks, arm-height-misfits (there are no arms)"), "{idle}");
}

#[test]
fn the_air_of_the_place_is_a_name_or_a_range() {
    let place = Place::new();
    let wet = |more: &[&str]| {
        let run = place.run(&[&["check", "garden_bench", "--covered", "--format", "json"], more].concat());
        assert_ne!(run.code(), 2, "{}", run.err());
        let document: serde_json::Value = serde_json::from_str(&run.out()).unwrap();
        let gap =
            document["verdicts"].as_array().unwrap().iter().find(|own| own["check"] == "gap-closes-when-wet");
        (gap.unwrap()["measure"]["found"].as_f64().unwrap(), document["conditions"]["climate"].to_string())
    };
    let (temperate, name) = wet(&[]);
    assert_eq!(name, "\"temperate\"");
    let (wide, name) = wet(&["--climate", "10..97% 5..30C"]);
    assert_eq!(name, "\"air of 10 to 97 % at 5 to 30 C\"");
    assert!(wide < temperate, "damper air closes a gap more: {wide} {temperate}");
    place.put("site.toml", "climate = \"10..97% 5..30C\"\n");
    assert_eq!(wet(&["--site", "site.toml"]).0, wide);
    assert_eq!(
        wet(&["--site", "site.toml", "--climate", "temperate"]).0,
        temperate,
        "a flag goes over the site"
    );
    let refused = place.run(&["check", "garden_bench", "--climate", "70"]).refused();
    assert!(refused.contains("30..80% 5..30C") && refused.contains("damp coast"), "{refused}");
}

#[test]
fn codes_and_schemas_are_explained() {
    let place = Place::new();
    insta::assert_snapshot!(place.run(&["explain", "off-step"]).fine().out());
    insta::assert_snapshot!(place.run(&["explain", "of-step"]).refused());
    let schema: serde_json::Value =
        serde_json::from_str(&place.run(&["explain", "slatwork/cutlist/1"]).fine().out()).unwrap();
    assert_eq!(schema["title"], "slatwork/cutlist/1");
    assert!(place.run(&["explain"]).fine().out().lines().count() > 100);
    let json: serde_json::Value =
        serde_json::from_str(&place.run(&["explain", "off-step", "--format", "json"]).fine().out()).unwrap();
    assert_eq!(json["code"], "off-step");
}

#[test]
fn the_reference_comes_as_text_json_and_page() {
    let place = Place::new();
    assert!(place.run(&["reference"]).fine().out().contains("board"));
    let json: serde_json::Value =
        serde_json::from_str(&place.run(&["reference", "--format", "json"]).fine().out()).unwrap();
    assert_eq!(json["schema"], "slatwork/reference/1");
    assert_eq!(place.run(&["reference", "--html", "--out", "words.html"]).fine().out(), "");
    assert!(place.get("words.html").starts_with("<!DOCTYPE html>"));
}

#[test]
fn completions_and_manual_know_every_verb() {
    let place = Place::new();
    let man = place.run(&["man"]).fine().out();
    for verb in ["build", "check", "batch", "list", "new", "explain", "reference", "completions", "man"] {
        assert!(man.contains(verb), "{verb}");
        assert!(place.run(&["man", verb]).fine().out().contains(".TH"), "{verb}");
        for shell in ["bash", "fish", "zsh"] {
            assert!(place.run(&["completions", shell]).fine().out().contains(verb), "{shell} {verb}");
        }
    }
}

#[test]
fn colour_is_for_terminals_and_never_the_only_sign() {
    let place = tray();
    let bad = ["build", "tray", "--set", "width=5ft"];
    assert!(!place.run(&bad).err().contains('\u{1b}'));
    let coloured = place.run(&[&bad[..], &["--color", "always"]].concat()).err();
    assert!(coloured.contains('\u{1b}') && coloured.contains("error"));
}

#[test]
fn help_says_how_lengths_are_written_and_what_the_exit_codes_mean() {
    let help = Place::new().run(&["--help"]).fine().out();
    assert!(help.contains("3-1/2in") && help.contains("Exit codes"), "{help}");
}
